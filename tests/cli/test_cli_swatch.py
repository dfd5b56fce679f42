"""Swatches of one's own on the command line."""

import json

import pytest
from click.testing import CliRunner

from field_app.cli import main

AS_OF = "2026-10-08T15:00:00-02:00"
ADD = ("swatch", "add", "--material", "black-walnut", "--stuff", "5 g", "--cloth", "10 g", "--time", "1 h")


@pytest.fixture
def call(tmp_path):
    def run(*args):
        return CliRunner().invoke(main, ["--data", str(tmp_path / "data"), "--as-of", AS_OF, *args],
                                  env={"FIELD_APP_DATA": "", "FIELD_APP_NOW": ""}, catch_exceptions=False)
    return run


def lightness(call):
    told = json.loads(call("preview", "--material", "black-walnut", "--wof", "50 %", "--time", "1h", "--json").stdout)
    cell = told["columns"][0]["colours"]["none"]
    return told["own_swatches"], cell["L"]["central"]


def test_a_swatch_teaches_the_preview_until_it_is_removed(call):
    """Noted, listed, its colour is nearer and its label says so; removed, all is as before; undone, it is back."""
    before = lightness(call)
    noted = json.loads(call(*ADD, "--result", "#5a3d26", "--json").stdout)
    assert (noted["material"], noted["colour"], noted["hours"]) == ("black-walnut", "#5a3d26", "1")
    after = lightness(call)
    assert (before[0], after[0]) == (0, 1)
    assert after[1] < before[1] - 3
    assert call("preview", "--material", "black-walnut", "--shade", "light").stdout.rstrip().endswith(
        "Set by 1 swatch of your own; still an illustration, for no two baths are alike.")
    listed = call("swatch", "list").stdout
    assert listed == (f"{noted['code']}  5 g of Black walnut, air-dry, on 10 g of cloth, 1 h: #5a3d26, by eye\n")
    assert call("swatch", "remove", noted["code"].lower()).exit_code == 0
    assert lightness(call) == before
    assert call("undo").exit_code == 0
    assert lightness(call) == after


def test_a_band_changes_what_medium_takes(call):
    """The command says what medium takes now, and what the table has."""
    said = call(*ADD, "--result", "dark").stdout
    assert "Medium takes 40" in said
    assert said.endswith("the table has 50 % (40–75).\n")


def test_a_swatch_of_a_lot(call):
    """By the code of its lot it needs neither material nor state."""
    call("site", "add", "Mill lane")
    lot = json.loads(call("log", "--site", "Mill lane", "--material", "alder-cones", "--gross", "2 kg", "--condition",
                          "air-dry", "--json").stdout)
    noted = json.loads(call("swatch", "add", "--lot", lot["code"], "--stuff", "10 g", "--cloth", "10 g",
                            "--time", "1 h", "--mordant", "iron", "--result", "L* 31", "--json").stdout)
    assert (noted["material"], noted["state"], noted["lightness"]) == ("alder-cones", "air-dry", "31")


@pytest.mark.parametrize(("args", "words"), [
    ((*ADD, "--result", "brownish"), "result: 'brownish' is neither a shade"),
    ((*ADD, "--result", "#ffffff"), "is not darker than the cloth before"),
    ((*ADD, "--result", "dark", "--lot", "K7QF"), "Give --lot or --material."),
    ((*ADD[:-2], "--time", "20", "--result", "dark"), "has no unit"),
    (("swatch", "remove", "ZZZZ"), "no swatch has the code"),
])
def test_what_is_wrong_is_said(call, args, words):
    """What can't be noted or removed is refused with what to do."""
    result = call(*args)
    assert (result.exit_code, result.stdout) == (2, "")
    assert words in result.stderr


def test_no_swatches_yet(call):
    """An empty list says how to begin."""
    result = call("swatch", "list")
    assert (result.stdout, result.exit_code) == ("", 0)
    assert "swatch add --help" in result.stderr
