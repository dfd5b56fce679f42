"""The command line: the main job without screens, its JSON, its messages, its exit codes."""

import csv
import io
import json
import sqlite3
import zipfile

import pytest
from click.testing import CliRunner

from field_app.cli import main
from field_app.core.materials import MATERIALS
from field_app.store import DATABASE

AS_OF = "2026-10-08T15:00:00-02:00"
LOG = ["log", "--site", "Mill lane", "--material", "black-walnut", "--part", "whole-fruit", "--ripe", "fallen",
       "--gross", "14,2 kg", "--tare", "1,1 kg"]


@pytest.fixture
def call(tmp_path):
    def run(*args, data="data", as_of=AS_OF):
        return CliRunner().invoke(main, ["--data", str(tmp_path / data), "--as-of", as_of, *map(str, args)],
                                  env={"FIELD_APP_DATA": "", "FIELD_APP_NOW": ""}, catch_exceptions=False)
    return run


def parsed(result):
    assert result.exit_code == 0, result.stderr
    return json.loads(result.stdout)


def add_mill_lane(call):
    return parsed(call("site", "add", "Mill lane", "--at", "44.01234, -28.00567", "--material", "black-walnut",
                       "--leave", "given", "--leave-from", "the miller", "--json"))


def test_from_the_tree_to_the_lot_file(call, tmp_path):
    """A place, a load, its worth, the lot file and its check: the main job, each step as JSON."""
    site = add_mill_lane(call)
    lot = parsed(call(*LOG, "--json"))
    assert (lot["site_id"], lot["site"]) == (site["id"], "Mill lane")
    assert lot["net_mass"]["central"] == pytest.approx(13.1)
    assert lot["gathered"] == AS_OF
    assert [one["code"] for one in parsed(call("lots", "--json"))] == [lot["code"]]
    worth = parsed(call("estimate", lot["code"], "--json"))
    assert worth["hull_mass"]["central"] == pytest.approx(13.1 * 0.62)
    assert worth["air_dry_mass"]["central"] == pytest.approx(13.1 * 0.62 * 0.15 / 0.9)
    assert [shade["shade"] for shade in worth["shades"]] == ["light", "medium", "dark"]
    made = parsed(call("handover", tmp_path / "lots.zip", "--json"))
    assert made["lots"] == 1
    with zipfile.ZipFile(tmp_path / "lots.zip") as file:
        (row,) = csv.DictReader(io.StringIO(file.read("lots.csv").decode()))
    assert float(row["net_mass_kg"]) == pytest.approx(13.1)
    assert parsed(call("check", tmp_path / "lots.zip", "--json"))["problems"] == []


def test_lots_are_written_for_other_programs(call, tmp_path):
    """One call writes waypoints, a spreadsheet and a map file into a folder."""
    add_mill_lane(call)
    parsed(call(*LOG, "--json"))
    sizes = parsed(call("export", tmp_path / "out", "--decimal", ",", "--json"))
    assert {path.name: path.stat().st_size for path in (tmp_path / "out").iterdir()} == sizes
    assert b"13,1;" in (tmp_path / "out" / "lots-for-spreadsheet.csv").read_bytes()


def test_the_table_tells_the_source_of_every_figure(call):
    """Every material is listed; for one, every figure comes with its source and how far it is to be trusted."""
    assert {stuff["key"] for stuff in parsed(call("materials", "--json"))} == set(MATERIALS)
    told = parsed(call("materials", "black-walnut", "--json"))
    assert told["parameters"]["hull-share"]["central"] == 0.62
    assert all(row["source"] and row["mark"] for row in told["parameters"].values())
    words = call("materials", "black-walnut").stdout
    assert "hull in the whole fruit [hull-share]: 62 % (55–75) (rule of thumb; 5 lb" in words
    assert "The sources disagree" in words
    assert call("materials", "walnut").exit_code == 2


def test_words_go_out_and_messages_aside(call):
    """What was done is told on standard output, cautions on standard error."""
    add_mill_lane(call)
    result = call(*LOG)
    assert result.stdout.startswith("Saved as lot ")
    assert "13.1 kg (12.7–13.5) of black walnut" in result.stdout
    assert "Gloves" in result.stderr


def test_the_estimate_explains_itself(call):
    """An estimate in words gives each range, and the source beside each default."""
    add_mill_lane(call)
    lot = parsed(call(*LOG, "--json"))
    words = call("estimate", lot["code"].lower()).stdout
    for piece in ("dyes light", "dyes medium", "dyes dark", "Why:", "hull share of the fruit: 62 % (55–75)",
                  "rule of thumb", "14,2 kg, weighed", "To be surer:"):
        assert piece in words


def test_a_refused_call_exits_2_and_names_all_faults(call):
    """Every fault is told at once, each with what to do, and nothing goes to standard output."""
    result = call("log", "--site", "Weir", "--material", "black-walnut", "--part", "bark", "--gross", "2",
                  "--tare", "3", "--when", "2027-01-01", "--json")
    assert result.exit_code == 2
    assert result.stdout == ""
    assert [line.split(":")[0] for line in result.stderr.splitlines()] == ["site", "part", "gathered", "tare"]


@pytest.mark.parametrize("args", [
    ("lots", "--limit", "0"), ("nonsense",), ("estimate",), ("estimate", "ZZZZ"), ("handover", "x.zip"),
    ("check", "missing.zip"), ("site", "add", ""), ("site", "list", "--near", "here"),
    ("log", "--site", "x", "--material", "unobtainium", "--gross", "1"),
    ("site", "add", "Weir", "--leave-from", "the miller")])
def test_wrong_calls_exit_2_with_a_message(call, args):
    """A call that can't be done exits 2, says why on standard error, and prints nothing else."""
    result = call(*args)
    assert result.exit_code == 2
    assert result.stdout == ""
    assert result.stderr.strip()


def test_a_faulty_file_exits_1_and_names_the_place(call, tmp_path):
    """A lot file with a changed number is refused by its place, and the exit code is 1."""
    add_mill_lane(call)
    parsed(call(*LOG, "--json"))
    parsed(call("handover", tmp_path / "lots.zip", "--json"))
    bad = tmp_path / "bad.zip"
    with zipfile.ZipFile(tmp_path / "lots.zip") as old, zipfile.ZipFile(bad, "w") as new:
        for name in old.namelist():
            text = old.read(name)
            new.writestr(name, text.replace(b",13.1,", b",abc,") if name == "lots.csv" else text)
    result = call("check", bad)
    assert result.exit_code == 1
    assert "lots.csv row 2, net_mass_kg" in result.stderr


def test_a_foreign_folder_is_refused_and_untouched(call, tmp_path):
    """A folder with somebody else's files is refused with exit code 1, and nothing is written to it."""
    folder = tmp_path / "letters"
    folder.mkdir()
    (folder / "letter.txt").write_text("Dear miller")
    result = call("lots", data="letters")
    assert result.exit_code == 1
    assert "other things" in result.stderr
    assert [entry.name for entry in folder.iterdir()] == ["letter.txt"]


@pytest.mark.parametrize(("field", "value", "words"), [("user_version", 99, "newer version"),
                                                       ("application_id", 7, "another program")])
def test_newer_and_foreign_data_are_refused_untouched(call, tmp_path, field, value, words):
    """A database of a newer version, or of another program, is refused with exit code 1, byte for byte as it was."""
    add_mill_lane(call)
    path = tmp_path / "data" / DATABASE
    connection = sqlite3.connect(path)
    connection.execute(f"pragma {field}={value}")
    connection.close()
    before = path.read_bytes()
    result = call("lots")
    assert result.exit_code == 1
    assert words in result.stderr
    assert path.read_bytes() == before
    assert [entry.name for entry in path.parent.iterdir()] == [DATABASE]


def test_the_demo_fills_an_empty_folder_alone(call, tmp_path):
    """The demo fills a new folder, and refuses one that holds data, naming it."""
    made = parsed(call("demo", tmp_path / "demo", "--json"))
    assert (made["sites"], made["lots"]) == (9, 12)
    again = call("demo", tmp_path / "demo")
    assert again.exit_code == 2
    assert "not empty" in again.stderr


def test_sites_are_listed_by_distance(call, tmp_path):
    """With a position, sites carry distance and bearing, and the nearest comes first."""
    call("demo", tmp_path / "demo")
    sites = parsed(call("site", "list", "--near", "44.0123, -28.0057", "--json", data="demo"))
    assert sites[0]["name"] == "Mill lane"
    assert sites[0]["distance_m"] < 10
    assert [s["distance_m"] for s in sites] == sorted(s["distance_m"] for s in sites)


def test_empty_data_says_what_to_do(call):
    """On empty data the lists say what to do next, on standard error."""
    assert "field-app log" in call("lots").stderr
    assert "field-app site add" in call("site", "list").stderr


@pytest.mark.parametrize("command", [["--help"], *([*c.split(), "--help"] for c in (
    "site", "site add", "site list", "log", "lots", "estimate", "handover", "export", "check", "demo",
    "materials"))], ids=" ".join)
def test_every_command_has_help_with_an_example(command):
    """Every command explains itself; those that do something give an example."""
    result = CliRunner().invoke(main, command)
    assert result.exit_code == 0
    if command != ["site", "--help"]:
        assert "Example:" in result.stdout
        assert "field-app " in result.stdout.split("Example:")[1]


def test_of_bark_the_command_asks_which_wood(call):
    """Bark of a standing tree is refused, untold wood is asked for, and what was told is in the lot."""
    add_mill_lane(call)
    bark = ["log", "--site", "Mill lane", "--material", "walnut-bark", "--gross", "5 kg"]
    untold, standing = call(*bark), call(*bark, "--wood", "standing")
    assert (untold.exit_code, standing.exit_code) == (2, 2)
    assert "Say one of: felled, pruned, wind-thrown." in untold.stderr
    assert "kills the tree" in standing.stderr
    assert parsed(call(*bark, "--wood", "wind-thrown", "--json"))["wood"] == "wind-thrown"
