"""An estimate with cloth: the baths in their order, the area that a load is enough for, and both routes."""

import json

import pytest
from click.testing import CliRunner

from field_app.cli import main

LOAD = ("--material", "black-walnut", "--form", "whole-fruit", "--mass", "29 kg")
CLOTH = ("--cloth", "wool 2 kg", "--cloth", "cotton 3 m2 120 g/m2", "--time", "1h")


@pytest.fixture
def run(tmp_path):
    def call(*words, code=0):
        result = CliRunner().invoke(main, ["--data", str(tmp_path / "book"), "--as-of", "2026-10-08T15:00:00-02:00",
                                           *words])
        assert result.exit_code == code, result.output
        return result
    return call


@pytest.fixture
def told(run):
    return lambda *words: json.loads(run("estimate", *words, "--json").stdout)


def test_the_contract_for_cloth(told):
    """Baths in their order, each with cloth, depth, shade, time and q; shades have the area of the cloth by area."""
    found = told(*LOAD, *CLOTH)
    assert [bath["cloth"] for bath in found["baths"]] == ["wool 2 kg", "cotton 3 m2 120 g/m2"]
    for bath in found["baths"]:
        assert bath["time"] == {"value": 1.0, "unit": "h"}
        assert 0 < bath["depth"]["low"] < bath["depth"]["central"] < bath["depth"]["high"]
        assert bath["q"]["unit"] == "g/kg"
        assert bath["shade"]["central"] in ("pale", "light", "medium", "dark")
    for shade in found["shades"]:
        assert shade["cloth_area"]["unit"] == "m²"
        assert shade["cloth_area"]["central"] == pytest.approx(shade["fibre_mass"]["central"] / 0.12)
    assert set(found["routes"]) == {"custom", "bath", "agree", "words"}
    assert found["time_for_shade"]["unit"] == "h"
    assert found["top_up"] is None
    without = told(*LOAD)
    assert "baths" not in without
    assert "cloth_area" not in without["shades"][0]


def test_more_stuff_longer_and_again_are_not_paler(told):
    """By command as in the core: more hull, more time and more dips deepen, a later load is paler."""
    def depth(*words, load=LOAD):
        return [bath["depth"]["central"] for bath in told(*load, *words)["baths"]]

    plain = depth("--cloth", "wool 2 kg", "--time", "1h")[0]
    rich = ("--material", "black-walnut", "--form", "whole-fruit", "--mass", "58 kg")
    assert depth("--cloth", "wool 2 kg", "--time", "1h", load=rich)[0] > plain
    assert depth("--cloth", "wool 2 kg", "--time", "6 h")[0] > plain
    assert depth("--cloth", "wool 2 kg", "--time", "1h", "--dips", "3")[0] > plain
    first, second = depth("--cloth", "wool 2 kg", "--cloth", "wool 2 kg", "--time", "1h")
    assert first == pytest.approx(plain)
    assert second < first
    assert len(depth("--cloth", "wool 2 kg; wool 1 kg")) == 2


def test_the_words_say_both_routes_and_what_dark_takes(run):
    """Custom beside the bath, when to top up, what dark takes, when nothing more is gained, and what is assumed."""
    words = run("estimate", *LOAD, *CLOTH).stdout
    for part in ("1. wool 2 kg: ", "2. cotton 3 m2 120 g/m2: ", "enough for ", "at medium", "By custom the first is",
                 "All of it together by custom", "Dark takes", "gains little after",
                 "The first is medium after", "assumed until a swatch",
                 "base of tannin or alum"):
        assert part in words
    assert "On the cloth" not in run("estimate", *LOAD).stdout


def test_a_used_bath_is_topped_up(run, told):
    """Where later loads would be too pale, the litres of boiled-down liquor are told; what never comes is told too."""
    loads = ("--cloth", "; ".join(["wool 3 kg"] * 5), "--time", "6 h")
    found = told(*LOAD, *loads)
    assert found["top_up"]["litres"]["unit"] == "L"
    assert found["top_up"]["litres"]["central"] > 0
    assert "boiled down to 1/4, for medium" in run("estimate", *LOAD, *loads).stdout
    assert "One dip never gives dark" in run("estimate", "--material", "black-walnut", "--mass", "3 kg", *loads,
                                             "--shade", "dark").stdout


def test_a_list_and_a_lot(run, told):
    """A kept list stands for its cloth, and a lot for a load."""
    run("cloth", "add", "Shawls", "--cloth", "wool 2 kg")
    logged = run("log", "--new-site", "Weir", "--material", "black-walnut", "--gross", "29 kg", "--json")
    lot = json.loads(logged.stdout)
    of_lot = told(lot["code"], "--list", "Shawls")
    assert [bath["cloth"] for bath in of_lot["baths"]] == ["wool 2 kg"]
    assert of_lot["baths"][0]["time"]["value"] == 6.0
    assert "1. wool 2 kg" in run("estimate", lot["code"], "--list", "Shawls").stdout
    run("step", lot["code"], "spent")
    assert "nothing is left of it" in run("estimate", lot["code"], "--cloth", "wool 2 kg", code=2).stderr


@pytest.mark.parametrize(("words", "message"), [
    (("--cloth", "woll 2 kg"), "Did you mean wool"), (("--cloth", "wool 2 kg", "--time", "soon"), "--time"),
    (("--time", "1h"), "--cloth: is missing"), (("--list", "Lost"), "none is named"),
    (("--cloth", "wool 2 kg", "--shade", "tan"), "Choose one of: pale"),
])
def test_what_can_not_be_is_refused(run, words, message):
    """The message names the option and says what to do."""
    assert message in run("estimate", *LOAD, *words, code=2).stderr
