"""The preview of colours on the command line."""

import json

import pytest
from click.testing import CliRunner

from field_app.cli import main
from field_app.core.colour import Lab, difference, lab_of


@pytest.fixture
def call(tmp_path):
    def run(*args):
        return CliRunner().invoke(main, ["--data", str(tmp_path / "data"), "preview", *args],
                                  env={"FIELD_APP_DATA": "", "FIELD_APP_NOW": ""}, catch_exceptions=False)
    return run


def test_values_of_every_ground_and_time(call):
    """As JSON: for each time its depth and, by ground, three colours whose L*a*b* and difference follow from them."""
    result = call("--material", "black-walnut", "--shade", "medium", "--base", "#8b9db4", "--json")
    assert result.exit_code == 0, result.stderr
    told = json.loads(result.stdout)
    assert told["base"]["hex"] == "#8b9db4"
    assert [column["after"] for column in told["columns"]] == ["3 min", "15 min", "1 h", "6 h"]
    for column in told["columns"]:
        assert list(column["colours"]) == ["none", "alum", "iron"]
        for cell in column["colours"].values():
            for member in ("lightest", "central", "darkest"):
                lab = lab_of(cell[member]["hex"])
                assert (lab.lightness, lab.a, lab.b) == pytest.approx(
                    (cell[member]["L"], cell[member]["a"], cell[member]["b"]), abs=0.7)
            apart = difference(Lab(*(cell["central"][axis] for axis in "Lab")), lab_of("#8b9db4"))
            assert cell["delta_e"]["central"] == pytest.approx(apart, abs=0.15)
            assert cell["L"]["low"] <= cell["L"]["central"] <= cell["L"]["high"] <= told["base"]["L"]
    assert told["label"] == "An illustration until a swatch of your own is in."
    assert any("Raja" in reason["source"] for reason in told["reasons"])


def test_words_for_people(call):
    """In words: the cloth before, each time with its depth, three colours a ground, what they are, and the label."""
    told = call("--material", "oak-bark", "--wof", "100 %", "--time", "45 min", "--mordant", "iron")
    lines = told.stdout.splitlines()
    assert lines[0] == "English oak bark, one bath, 30 L to the kilogram of cloth:"
    assert lines[1] == "The cloth before: #ece1ca, L* 90, a* 0, b* 13; near white, creamy"
    assert lines[2].startswith("45 min: depth 0.64 (")
    assert lines[3].startswith("  iron       #")
    assert lines[3].endswith("; deep, greyish")
    assert lines[-1] == "An illustration until a swatch of your own is in."


def test_loads_and_dips(call):
    """Loads after each other get paler, dips deeper; the first of each is the same cloth."""
    how = ("--material", "black-walnut", "--depth", "1", "--json")
    loads = json.loads(call(*how, "--baths", "3").stdout)["columns"]
    dips = json.loads(call(*how, "--dips", "3", "--time", "1h").stdout)["columns"]
    assert [column["after"] for column in loads] == ["first load", "second load", "third load"]
    light, dark = ([column["colours"]["none"]["central"]["L"] for column in columns] for columns in (loads, dips))
    assert light == sorted(light)
    assert dark == sorted(dark, reverse=True)
    assert light[0] == dark[0]


def test_stuff_of_a_lot_is_seen_with_the_swatches_of_that_lot(tmp_path):
    """A dark swatch of one lot darkens the preview of that lot more than that of its material elsewhere."""
    def call(*args):
        return CliRunner().invoke(main, ["--data", str(tmp_path / "data"), *args], env={"FIELD_APP_NOW": ""},
                                  catch_exceptions=False)

    call("site", "add", "Mill lane")
    lot = json.loads(call("log", "--site", "Mill lane", "--material", "alder-cones", "--gross", "2 kg",
                          "--json").stdout)
    call("swatch", "add", "--lot", lot["code"], "--stuff", "10 g", "--cloth", "10 g", "--time", "1 h",
         "--result", "dark")
    how = ("--wof", "100 %", "--time", "1h", "--json")
    here, elsewhere = (json.loads(call("preview", *what, *how).stdout)["columns"][0]["depth"]["central"]
                       for what in (("--lot", lot["code"]), ("--material", "alder-cones")))
    assert here > elsewhere


def test_iron_comes_with_its_cautions(call):
    """Whoever asks for iron is told to lock it up and to weigh it."""
    result = call("--material", "black-walnut", "--shade", "light", "--mordant", "iron")
    assert result.stderr == "Iron salt: locked up, labelled.\nWeigh the iron: too much makes wool brittle.\n"


def test_cloth_by_its_name(call):
    """A name of the list stands for its colour."""
    named = call("--material", "black-walnut", "--shade", "light", "--base", "Faded-blue")
    assert named.stdout == call("--material", "black-walnut", "--shade", "light", "--base", "#8B9DB4").stdout


@pytest.mark.parametrize(("args", "words"), [
    ((), "Give --shade, --wof or --depth."),
    (("--depth", "0"), "depth: 0 is no depth."),
    (("--wof", "50", "--shade", "light"), "told in one way"),
    (("--wof", "9000"), "is no amount of dye stuff"),
    (("--shade", "light", "--base", "mauvish"), "--base: 'mauvish' is not a colour."),
    (("--shade", "light", "--time", "20"), "has no unit"),
    (("--shade", "light", "--baths", "2", "--dips", "2"), "Give either --baths or --dips."),
    (("--shade", "light", "--baths", "2", "--time", "1h", "--time", "2h"), "Give one time for every bath."),
])
def test_what_is_wrong_is_said(call, args, words):
    """What can't be previewed is refused with the option and what to do, and the exit code of a wrong call."""
    result = call("--material", "black-walnut", *args)
    assert (result.exit_code, result.stdout) == (2, "")
    assert words in result.stderr


def test_an_unknown_material_is_told_with_close_ones(call):
    """A slip in the name of the material is met with what may have been meant."""
    result = call("--material", "black-wallnut", "--shade", "light")
    assert result.exit_code == 2
    assert "Did you mean black-walnut" in result.stderr
