"""The command that plans a round: words for people, the contract for programs, and clear refusals."""

import json

import pytest
from click.testing import CliRunner

from field_app.cli import main

SEASON = "2026-10-08T15:00:00-02:00"


@pytest.fixture(scope="module")
def demo(tmp_path_factory):
    folder = tmp_path_factory.mktemp("demo") / "book"
    assert CliRunner().invoke(main, ["demo", str(folder)]).exit_code == 0
    return folder


def run(demo, *words):
    return CliRunner().invoke(main, ["--data", str(demo), "--as-of", SEASON, "round", *words])


def test_a_round_in_words(demo):
    """Stops in their order with ranges and times, when to be out, that they are not paths, and what is left out."""
    done = run(demo, "--from", "44.0120, -28.0060")
    assert done.exit_code == 0, done.output
    assert "worth the way" in done.stdout
    assert "1. Mill lane, 15:00" in done.stdout
    assert "Out by 16:50; the sun sets at 17:20." in done.stdout
    assert "they are not paths" in done.stdout
    assert "Schoolyard: leave was refused: don't gather there" in done.stdout
    assert "Heron marsh: leave was not asked yet: ask first" in done.stdout


def test_the_contract_for_programs(demo):
    """Stops, what is left out, when to be out and cautions are there, with their units."""
    told = json.loads(run(demo, "--from", "44.0120, -28.0060", "--until", "17:30", "--carry", "25kg", "--json").stdout)
    assert {"stops", "left_out", "out_by", "cautions"} <= set(told)
    assert told["out_by"].startswith("2026-10-08T16:50:")
    for stop in told["stops"]:
        assert {"site", "leg_m", "bearing_deg", "arrive", "expected"} <= set(stop)
        assert stop["site_id"].startswith("urn:uuid:")
        assert set(stop["expected"]) == {"low", "central", "high", "unit"}
        assert stop["expected"]["unit"] == "kg"
    assert told["total"]["central"] <= 25 + 1e-6
    assert told["ends"] <= "2026-10-08T17:30:00-02:00"
    assert {"refused", "not-asked"} <= {one["why"] for one in told["left_out"]}


def test_a_need_and_an_open_end(demo):
    """Enough is enough, and one way needs no way back."""
    told = json.loads(run(demo, "--from", "Mill lane", "--need", "12kg", "--one-way", "--json").stdout)
    assert told["total"]["central"] == pytest.approx(12)
    assert told["last_leg"] is None


def test_a_need_may_be_told_as_cloth(demo):
    """What some cloth takes is worked out as `need` does, and the round brings just that."""
    told = json.loads(run(demo, "--from", "Mill lane", "--need", "wool 3 kg", "--shade", "dark", "--json").stdout)
    needed = json.loads(CliRunner().invoke(main, [
        "--data", str(demo), "--as-of", SEASON, "need", "--cloth", "wool 3 kg", "--shade", "dark", "--json"]).stdout)
    assert told["need"] == pytest.approx(needed["still_as"]["whole_fruit"]["central"])
    assert told["need_words"].startswith("wool 3 kg at dark takes ")
    assert "neither a mass nor cloth" in run(demo, "--from", "Mill lane", "--need", "a shawl").stderr


def test_what_can_not_be_read_is_told_at_once(demo):
    """Every wrong option is named, and the exit code is that of a wrong call."""
    done = run(demo, "--from", "nowhere", "--until", "14:00", "--carry", "x", "--speed", "900")
    assert done.exit_code == 2
    assert [line.split(":")[0] for line in done.stderr.splitlines()] == ["--from", "--until", "--carry", "--speed"]


def test_two_ends_are_one_too_many(demo):
    """An end and none at all contradict each other; and without a start there is no round."""
    assert "--one-way" in run(demo, "--from", "Mill lane", "--to", "Oak ride", "--one-way").stderr
    assert "--from: where you begin is missing" in run(demo).stderr


def test_a_book_without_trees_has_no_round(tmp_path):
    """It says so, and does not fail."""
    done = CliRunner().invoke(main, ["--data", str(tmp_path / "new"), "--as-of", SEASON, "round", "--from", "44, -28"])
    assert done.exit_code == 0
    assert done.stdout.startswith("No tree is worth the way today.")
