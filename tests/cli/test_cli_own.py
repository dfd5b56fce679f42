"""What is a person's own by command: values, tests, pots and pails."""

import json

import pytest
from click.testing import CliRunner

from field_app.cli import main

AS_OF = "2026-10-08T15:00:00-02:00"
DRY = ("test", "dry", "--before", "212 g", "--after", "52 g", "--dish", "12 g")


@pytest.fixture
def call(tmp_path):
    def run(*args):
        return CliRunner().invoke(main, ["--data", str(tmp_path / "data"), "--as-of", AS_OF, *map(str, args)],
                                  env={"FIELD_APP_DATA": "", "FIELD_APP_NOW": ""}, catch_exceptions=False)
    return run


@pytest.fixture
def lot(call):
    call("site", "add", "Mill lane", "--material", "black-walnut")
    return parsed(call("log", "--site", "Mill lane", "--material", "black-walnut", "--part", "hull", "--ripe", "fallen",
                       "--gross", "10 kg", "--json"))["code"]


def parsed(result):
    assert result.exit_code == 0, result.stderr
    return json.loads(result.stdout)


def dry_mass(call, lot):
    return parsed(call("estimate", lot, "--json"))["dry_matter"]["central"]


def row(call, *more):
    return parsed(call("materials", "black-walnut", *more, "--json"))["parameters"]["dry-fresh"]


def test_a_value_is_set_seen_and_taken_back(call, lot):
    """A value of one's own holds in the next estimate, is starred in the table, and goes when it is taken back."""
    told = call("figure", "set", "black-walnut", "dry fresh", "18 %", "--low", "16 %", "--by", "me")
    assert told.stdout == ("Black walnut, dry matter, fresh: 18 % (16–19.8) "
                           "(your own value, set by me; the table has 15 % (12–25)).\n")
    assert dry_mass(call, lot) == pytest.approx(1.8)
    table = call("materials", "black-walnut").stdout
    assert "dry matter, fresh [dry-fresh] *: 18 % (16–19.8) (your own value, set by me; the table has 15 %" in table
    assert "black-walnut: Black walnut, Juglans nigra *" in call("materials").stdout
    assert parsed(call("materials", "black-walnut", "--json"))["overridden"]["dry-fresh"]["central"] == 0.15
    assert call("figure", "list").stdout == (
        "Black walnut, dry matter, fresh [dry-fresh]: 18 % (low 16), set 2026-10-08, by me\n")
    assert "15 % (12–25)" in call("figure", "back", "black-walnut", "dry-fresh").stdout
    assert dry_mass(call, lot) == pytest.approx(1.5)
    assert call("figure", "list").stdout == "No value of your own is set.\n"
    assert call("figure", "back", "black-walnut", "dry-fresh").exit_code == 2


def test_a_value_for_a_place_holds_there(call, lot):
    """A value for a place is seen in the table for that place alone."""
    call("figure", "set", "black-walnut", "dry-fresh", "22 %", "--site", "Mill lane")
    assert row(call)["mark"] == "memory"
    assert row(call, "--site", "mill lane")["mark"] == "own"
    assert dry_mass(call, lot) == pytest.approx(2.2)
    (value,) = parsed(call("figure", "list", "black-walnut", "--json"))
    assert (value["value"], value["unit"]) == ("22", "%")
    assert "Black walnut at Mill lane" in call("figure", "list").stdout
    assert call("figure", "back", "black-walnut", "dry-fresh", "--site", "Mill lane").exit_code == 0


def test_a_dry_test_teaches_and_says_what(call, lot):
    """After a dry test the command tells the figure in the table, in general, for the place, and of the lot."""
    told = call(*DRY, "--lot", lot).stdout.splitlines()
    assert told[0].endswith(". Black walnut, dry matter, fresh:")
    assert [line.partition(":")[0].strip() for line in told[1:]] == [
        "in the table", "in general", "at Mill lane", f"of lot {lot}"]
    assert told[1].endswith("15 % (12–25)")
    assert dry_mass(call, lot) == pytest.approx(2.0, rel=0.02)
    assert "your own test of this lot; it narrows the table's band" in call("estimate", lot).stdout
    code = parsed(call("test", "list", "--json"))[0]["code"]
    assert call("test", "list").stdout == (
        f"{code} · 2026-10-08 · dry test of black walnut, fresh, Mill lane, lot {lot}\n")
    assert call("test", "back", code.lower()).stdout == f"Test {code} is taken back.\n"
    assert dry_mass(call, lot) == pytest.approx(1.5)
    assert call("test", "list").stdout == "No test was noted yet.\n"
    assert call("test", "back", code).exit_code == 2


def test_spent_stuff_and_a_reading_teach_the_extract(call, lot):
    """A spent test of a material, and a reading at a place, move the share that goes into the liquor."""
    spent = parsed(call("test", "spent", "--material", "black-walnut", "--condition", "air-dry", "--before", "100 g",
                        "--after", "72 g", "--json"))
    assert (spent["figure"], spent["learnt"]["in the table"]["central"]) == ("extract", 0.30)
    read = parsed(call("test", "reading", "--lot", lot, "--condition", "air-dry", "--before", "1 kg", "--liquor",
                       "12 L", "--brix", "1,8", "--json"))
    learnt = read["learnt"]
    assert list(learnt) == ["in the table", "in general", "at Mill lane", f"of lot {lot}"]
    # 12 L at 1.8 °Brix over 1 kg of air-dry hull is 24 % of its dry matter.
    assert 0.24 < learnt[f"of lot {lot}"]["central"] < learnt["in the table"]["central"]


@pytest.mark.parametrize(("args", "said"), [
    (("figure", "set", "black-walnut", "dry-frsh", "18 %"), "Did you mean dry-fresh"),
    (("figure", "set", "black-walnut", "dry-fresh", "180 %"), "more than all there is"),
    (("figure", "set", "moon-dust", "dry-fresh", "18 %"), "is not known"),
    (("figure", "set", "black-walnut", "dry-fresh", "18 %", "--site", "Nowhere"), "no site is named"),
    ((*DRY,), "neither a lot nor a material"), ((*DRY, "--lot", "ZZZZ"), "no lot has the code"),
    ((*DRY, "--material", "black-walnut"), "condition"),
    (("test", "dry", "--material", "black-walnut", "--condition", "fresh", "--before", "50 g", "--after", "52 g"),
     "is not less than"),
    (("test", "back", "zz"), "no test has the code"), (("pots", "add", "pot"), "what it holds is missing"),
    (("pots", "add", "pot", "--volume", "12 kg"), "a volume is needed"),
    (("pots", "add", "pot", "--volume", "12 L", "--diameter", "12 m"), "is not that of a pot"),
    (("pots", "change", "pot"), "no pot or pail is named"), (("pots", "back", "pot"), "no pot or pail is named"),
    (("materials", "black-walnut", "--site", "Nowhere"), "no site is named"),
], ids=lambda value: " ".join(value) if isinstance(value, tuple) else "")
def test_what_can_not_be_is_refused(call, args, said):
    """A slip is told with what to do, nothing is kept, and the exit code is 2."""
    result = call(*args)
    assert (result.exit_code, result.stdout) == (2, "")
    assert said in result.stderr


def test_pots_are_noted_changed_listed_and_taken_back(call):
    """A pot carries what it holds, how wide it is, what it weighs and what it is made of, with its caution."""
    told = call("pots", "add", "iron kettle", "--volume", "10 gal", "--diameter", "15 in", "--made-of", "iron").stdout
    assert told.splitlines() == [
        "Noted: iron kettle: pot, 10 US gal, 38 cm wide, iron",
        "Iron makes every colour darker and greyer, and too much of it makes wool brittle.",
        "A pot that was used for dyeing is never used for food again."]
    parsed(call("pots", "add", "grey pail", "--kind", "pail", "--volume", "12", "--tare", "1,1", "--json"))
    assert call("pots", "add", "Grey  Pail", "--volume", "12 L").exit_code == 2
    changed = parsed(call("pots", "change", "grey pail", "--tare", "1.2 kg", "--name", "old pail", "--json"))
    assert (changed["name"], changed["tare"]["value"], changed["litres"]) == ("old pail", "1.2", 12)
    assert call("pots", "list").stdout.splitlines() == [
        "iron kettle: pot, 10 US gal, 38 cm wide, iron", "old pail: pail, 12 L, 1.2 kg empty"]
    parsed(call("pots", "change", "iron kettle", "--surface", "1200 cm2", "--json"))
    kettle = parsed(call("pots", "list", "--json"))[0]
    assert (kettle["surface"], "diameter" in kettle, kettle["diameter_m"]) == ("0.12", False, 0.3909)
    assert call("pots", "back", "old pail").stdout == "old pail is taken back.\n"
    assert [pot["name"] for pot in parsed(call("pots", "list", "--json"))] == ["iron kettle"]


def test_the_table_needs_no_data_folder(call, tmp_path):
    """Looking at the table makes no data folder."""
    assert call("materials", "black-walnut").exit_code == 0
    assert not (tmp_path / "data").exists()


@pytest.mark.parametrize("command", ["figure set", "figure back", "figure list", "test dry", "test spent",
                                     "test reading", "test list", "test back", "pots add", "pots change", "pots list",
                                     "pots back", "materials"])
def test_every_command_gives_an_example(command):
    """Help has an example that begins with the command itself."""
    result = CliRunner().invoke(main, [*command.split(), "--help"])
    assert f"field-app {command}" in result.stdout.split("Example:")[1]
