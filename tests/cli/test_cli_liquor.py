"""The estimate by command: of a lot, and of a load that is told, as words and as the contract for programs."""

import json

import pytest
from click.testing import CliRunner

from field_app.cli import main

QUANTITIES = ("fresh_mass", "hull_mass", "dry_matter", "air_dry_mass", "extract", "liquor_volume", "liquor_strength")
BUSHEL = ("--material", "black-walnut", "--form", "whole-fruit", "--volume", "1 bushel")


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


def test_a_bushel_of_walnuts_is_the_worked_example(told):
    """A struck US bushel: 12.24 kg hull, 1.835 kg dry, 2.039 kg air-dry, 2.04 kg dark and 10.2 kg light."""
    found = told(*BUSHEL)
    light, _, dark = found["shades"]
    assert [round(found[name]["central"], digits) for name, digits in (
        ("hull_mass", 2), ("dry_matter", 3), ("air_dry_mass", 3))] == [12.24, 1.835, 2.039]
    assert (dark["shade"], round(dark["fibre_mass"]["central"], 2)) == ("dark", 2.04)
    assert (light["shade"], round(light["fibre_mass"]["central"], 1)) == ("light", 10.2)
    assert found["units"]["bushel"] == "struck US bushel, 35.23907 L"


def test_the_object_has_every_member_and_every_quantity_is_a_range(told):
    """The members of the contract are there, each quantity as low, central, high and unit, in order."""
    found = told(*BUSHEL)
    for name in QUANTITIES:
        assert list(found[name]) == ["low", "central", "high", "unit"]
        assert 0 < found[name]["low"] < found[name]["central"] < found[name]["high"]
    assert [found[name]["unit"] for name in QUANTITIES] == ["kg"] * 5 + ["L", "g/L"]
    assert [shade["shade"] for shade in found["shades"]] == ["light", "medium", "dark"]
    assert all(shade["wof"]["unit"] == "1" and shade["fibre_mass"]["unit"] == "kg" for shade in found["shades"])
    assert found["use_by"]["earliest"] <= found["use_by"]["latest"]
    assert {storage: by["earliest"] for storage, by in found["liquor_use_by"].items()} == {
        "cool": "2026-10-15", "warm": "2026-10-11", "frozen": "2027-07-05"}
    assert found["cautions"]
    assert {"name", "value", "basis"} <= set(found["reasons"][0])


@pytest.mark.parametrize(("words", "central"), [
    (("--mass", "12 kg"), 12.0), (("--mass", "12"), 12.0), (("--count", "170"), 11.9),
    (("--count", "170", "--sample", "68 g; 71 g"), 170 * 0.0695), (("--volume", "30 L", "--fill", "80%"), 24 * 0.56),
    (("--mass", "12 kg", "--scale-step", "20 g", "--scale-class", "III"), 12.0),
    (("--volume", "1 bushel", "--gallons", "imperial"), 36.36872 * 0.56)])
def test_every_way_to_say_how_much(told, words, central):
    """Weighed, counted with or without a sample, and poured with a fill: the mass that is meant."""
    found = told("--material", "black-walnut", "--form", "whole-fruit", *words)
    assert found["fresh_mass"]["central"] == pytest.approx(central)


def test_bark_is_estimated_without_its_wood(told):
    """Which wood a bark came from is asked where it is logged, not where it is only worked out."""
    assert told("--material", "oak-bark", "--mass", "3 kg")["liquor_strength"]["central"] > 0


def test_the_states_are_states(told):
    """Browned hull has more dry matter than fresh, soaked has less, and air-dry is nearly all dry."""
    dry = {state: told("--material", "black-walnut", "--form", "hull", "--mass", "1 kg", "--state", state)["dry_matter"]
           ["central"] for state in ("fresh", "browned", "soaked", "air-dry")}
    assert dry == {"fresh": 0.15, "browned": 0.22, "soaked": 0.13, "air-dry": 0.90}


def test_how_it_is_brewed_changes_the_liquor(told):
    """Water, soak, boil, strainings, squeezing, pots and a reading each tell in the liquor."""
    def liquor(*words):
        return told("--material", "black-walnut", "--form", "hull", "--mass", "10 kg", *words)

    plain = liquor()
    assert liquor("--water", "60 L")["liquor_volume"]["central"] > plain["liquor_volume"]["central"]
    assert liquor("--soak", "7 days at 20 °C")["extract"]["central"] > plain["extract"]["central"]
    assert liquor("--boil", "no", "--soak", "10 min")["extract"]["central"] < plain["extract"]["central"]
    assert liquor("--strainings", "2", "--further", "20 L")["extract"]["central"] > plain["extract"]["central"]
    assert liquor("--squeeze")["liquor_volume"]["central"] > plain["liquor_volume"]["central"]
    assert liquor("--liquor", "50 L")["liquor_volume"]["central"] == pytest.approx(50)
    read = liquor("--brix", "1,2", "--strained", "20 L")
    assert read["liquor_strength"]["central"] == pytest.approx(12.06, abs=0.01)
    assert read["extract"]["central"] == pytest.approx(0.2412, abs=0.0005)
    pots = liquor("--pot", "20 L, 30 cm", "--pot", "5 gal, 12 in")["liquor"]["kettles"]
    assert pots["times"] == 2
    assert sum(filling["stuff"] for filling in pots["fillings"]) * pots["times"] == pytest.approx(10)


def test_in_words_it_says_the_same(run):
    """Without --json there is one line a quantity, the pots, the reasons with their sources, and what it hangs on."""
    out = run("estimate", *BUSHEL, "--pot", "40 L, 38 cm", "--strainings", "2").stdout
    for words in ("12.2 kg (", "water to put in", "each further", "liquor ", "extract in it", "strength", "40 L pot:",
                  "Why:", "Hosseinnezhad", "To be surer:", "What the strength hangs on:",
                  "Do the dry test"):
        assert words in out


def test_a_lot_tells_of_its_liquor_and_of_what_is_left(run, told):
    """The lot's estimate has the same members; strained and half of it drawn, it is half of it."""
    run("log", "--new-site", "Weir", "--at", "44.0151, -28.0042", "--material", "black-walnut", "--part", "hull",
        "--gross", "10 kg", "--scale-step", "20 g")
    code = json.loads(run("lots", "--json").stdout)[0]["code"]
    whole = told(code)
    assert whole["code"] == code
    assert whole["extract"]["central"] == pytest.approx(
        told("--material", "black-walnut", "--form", "hull", "--mass", "10 kg")["extract"]["central"])
    assert "strength" in run("estimate", code).stdout
    run("step", code, "strained", "--volume", "20 L")
    run("draw", code, "10 L", "--for", "a shawl")
    left = told(code)
    assert left["liquor_volume"]["central"] == pytest.approx(10)
    assert left["extract"]["central"] == pytest.approx(whole["extract"]["central"] / 2)
    assert left["shades"][1]["fibre_mass"]["central"] == pytest.approx(whole["shades"][1]["fibre_mass"]["central"] / 2)
    run("step", code, "spoiled")
    gone = told(code)
    assert gone["extract"] is None
    assert "nothing is left of it" in gone["no_liquor"]


@pytest.mark.parametrize(("words", "said"), [
    ((), "LOT: neither a lot nor a load is named"), (("4K7Q", "--material", "black-walnut"), "--material: is given"),
    (("--material", "black-walnut"), "--mass: how much it was is not given"),
    (("--material", "blakc-walnut", "--mass", "3"), "Did you mean black-walnut"),
    (("--material", "black-walnut", "--mass", "3 L"), "--mass: "),
    (("--material", "oak-bark", "--count", "3"), "--count: "),
    (("--material", "black-walnut", "--form", "bark", "--mass", "3"), "has no part 'bark'"),
    (("--material", "black-walnut", "--mass", "3", "--boil", "hot"), "boil: "),
    (("--material", "black-walnut", "--mass", "3", "--boil", "120 °C"), "boil: 120 °C is not"),
    (("--material", "black-walnut", "--mass", "3", "--pot", "40 L"), "pot: "),
    (("--material", "black-walnut", "--mass", "3", "--water", "1", "--liquor", "2"), "liquor: both"),
    (("--material", "black-walnut", "--mass", "3", "--strainings", "1.5"), "strainings: 1.5 is no whole"),
    (("--material", "black-walnut", "--form", "hull", "--mass", "3", "--state", "air-dry", "--water", "10"),
     "so nothing runs off")])
def test_what_can_not_be_worked_out_is_refused(run, words, said):
    """A call that can't be read says what, where and what to do, and ends with 2."""
    assert said in run("estimate", *words, code=2).stderr


def test_every_problem_of_a_brew_is_told_at_once(run):
    """Two fields that can't be read are two messages."""
    told = run("estimate", *BUSHEL, "--water", "lots", "--brix", "much", code=2).stderr
    assert "water: " in told
    assert "brix: " in told


TOP_UP = ("top-up", "--bath", "30 L", "--now", "6 g/L", "--wanted", "12 g/L")


def test_a_bath_is_topped_up(run):
    """30 L from 6 back to 12 g/L take 3.75 L of 60 g/L, of which 20 L last for four times (mass balance)."""
    out = run(*TOP_UP, "--concentrate", "60 g/L", "--store", "20 L").stdout
    assert out == "Add 3.75 L of concentrate. It lasts for 4 times.\n"
    data = json.loads(run(*TOP_UP, "--concentrate", "6 brix", "--level", "--json").stdout)
    assert data["add"]["central"] == pytest.approx(30 * 6 / (61.44 - 6))
    assert data["times"] is None


def test_a_lot_of_liquor_is_the_concentrate(run):
    """A lot that was boiled down tops a bath up, with its own strength and what is left of it."""
    run("log", "--new-site", "Weir", "--at", "44.0151, -28.0042", "--material", "black-walnut", "--part", "hull",
        "--gross", "30 kg")
    code = json.loads(run("lots", "--json").stdout)[0]["code"]
    assert "is no liquor yet" in run(*TOP_UP, "--from", code, code=2).stderr
    run("step", code, "boiled", "--volume", "10 L")
    data = json.loads(run(*TOP_UP, "--from", code, "--json").stdout)
    strength = json.loads(run("estimate", code, "--json").stdout)["liquor_strength"]["central"]
    assert data["add"]["central"] == pytest.approx(30 * 6 / (strength - 12))
    assert data["times"]["low"] <= data["times"]["central"] <= data["times"]["high"]


@pytest.mark.parametrize(("words", "said"), [
    ((*TOP_UP,), "--concentrate: say either"), ((*TOP_UP, "--concentrate", "12"), "has no unit"),
    ((*TOP_UP, "--concentrate", "10 g/L"), "may be no stronger"),
    (("top-up", "--bath", "30", "--now", "six", "--wanted", "12 g/L", "--concentrate", "60 g/L"), "--now: ")])
def test_a_topping_up_that_can_not_be_is_refused(run, words, said):
    """A concentrate not told, too thin, or a strength without unit: what, where, what to do."""
    assert said in run(*words, code=2).stderr
