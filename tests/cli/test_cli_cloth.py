"""The commands of the cloth: need, lists, helpers; their JSON, messages and exit codes."""

import json

import pytest
from click.testing import CliRunner

from field_app.cli import main
from field_app.cli_cloth import COMMANDS

AS_OF = "2026-10-08T15:00:00-02:00"


@pytest.fixture
def call(tmp_path):
    def run(*args):
        return CliRunner().invoke(main, ["--data", str(tmp_path / "data"), "--as-of", AS_OF, *map(str, args)],
                                  env={"FIELD_APP_DATA": "", "FIELD_APP_NOW": ""}, catch_exceptions=False)
    return run


def parsed(result):
    assert result.exit_code == 0, result.stderr
    return json.loads(result.stdout)


def test_need_says_how_much_to_gather(call):
    """Each amount has low, central, high and a unit; what is in store is taken off."""
    found = parsed(call("need", "--cloth", "wool 3 kg", "--shade", "medium", "--json"))
    for name in ("whole_fruit", "hull_fresh", "air_dry", "in_store", "still_to_gather"):
        assert set(found[name]) == {"low", "central", "high", "unit"}
        assert found[name]["unit"] == "kg"
    assert found["air_dry"]["central"] == pytest.approx(1.5)
    assert found["whole_fruit"]["central"] == pytest.approx(14.516, abs=0.001)
    assert found["in_store"]["central"] == 0
    assert found["still_to_gather"] == found["air_dry"]
    call("log", "--new-site", "Weir", "--material", "black-walnut", "--gross", "7.258 kg")
    after = parsed(call("need", "--cloth", "wool 3 kg", "--json"))
    assert after["in_store"]["central"] == pytest.approx(0.75, abs=0.001)
    assert after["still_to_gather"]["central"] == pytest.approx(0.75, abs=0.001)
    words = call("need", "--cloth", "wool 3 kg").stdout
    assert "still to gather   0.7" in words
    assert "assumed until a swatch" in words


def test_need_and_estimate_are_the_way_back_of_each_other(call):
    """Logging what need asks for gives an estimate of the cloth that was asked for."""
    asked = parsed(call("need", "--cloth", "wool 3 kg", "--shade", "dark", "--ripe", "fallen", "--json"))
    lot = parsed(call("log", "--new-site", "Weir", "--material", "black-walnut", "--ripe", "fallen", "--gross",
                      f"{asked['whole_fruit']['central']:.6f} kg", "--json"))
    worth = parsed(call("estimate", lot["code"], "--json"))
    dark = next(shade for shade in worth["shades"] if shade["shade"] == "dark")
    assert dark["fibre_mass"]["central"] == pytest.approx(3.0, rel=1e-5)


def test_bark_has_no_whole_fruit(call):
    """Its fresh part is told under the same name, whole fruit is null, and the words name the bark."""
    found = parsed(call("need", "--cloth", "cotton 1 kg", "--material", "alder-bark", "--json"))
    assert found["whole_fruit"] is None
    assert found["hull_fresh"]["central"] > found["air_dry"]["central"]
    words = call("need", "--cloth", "cotton 1 kg", "--material", "alder-bark").stdout
    assert "fresh bark" in words
    assert "base of tannin or alum" in words


@pytest.mark.parametrize(("args", "words"), [
    (["need"], "no cloth was given"), (["need", "--cloth", "woll 3 kg"], "Did you mean wool"),
    (["need", "--cloth", "wool 3 kg", "--shade", "tan"], "Choose one of: pale"),
    (["need", "--cloth", "wool 3 kg", "--material", "moon"], "moon"),
    (["need", "--cloth", "wool 3 kg", "--ripe", "glowing"], "glowing"), (["need", "--list", "Lost"], "none is named"),
    (["helpers", "tin", "--cloth", "wool 1 kg"], "not offered"), (["cloth", "show", "Lost"], "Make one first"),
    (["cloth", "add", "Shawls", "--cloth", "wool"], "does not say how much"),
])
def test_what_can_not_be_is_told_and_ends_with_2(call, args, words):
    """The message says what to do; nothing goes to standard output."""
    result = call(*args)
    assert (result.exit_code, result.stdout) == (2, "")
    assert words in result.stderr


def test_a_list_is_made_changed_used_and_taken_back(call):
    """A list stands in for its cloth in need and helpers."""
    assert "No lists yet" in call("cloth", "list").stderr
    made = parsed(call("cloth", "add", "Autumn shawls", "--cloth", "wool 3 kg", "--note", "for the fair", "--json"))
    assert made["fibres"]["wool"]["central"] == 3.0
    changed = parsed(call("cloth", "change", "autumn shawls", "--more", "2 shirts linen", "--json"))
    assert [item["cloth"] for item in changed["items"]] == ["wool 3 kg", "2 shirts linen"]
    assert (changed["id"], changed["note"]) == (made["id"], "for the fair")
    assert "Autumn shawls · wool 3 kg, linen 480 g" in call("cloth", "list").stdout
    assert "for the fair" in call("cloth", "show", "Autumn shawls").stdout
    assert parsed(call("need", "--list", "Autumn shawls", "--json"))["cloth"]["central"] == pytest.approx(3.48)
    call("cloth", "change", "Autumn shawls", "--name", "Shawls", "--cloth", "silk 1 kg", "--note", "")
    assert [one["name"] for one in parsed(call("cloth", "list", "--json"))] == ["Shawls"]
    assert "taken back" in call("cloth", "remove", "Shawls").stdout
    assert parsed(call("cloth", "list", "--json")) == []
    call("undo")
    assert [one["name"] for one in parsed(call("cloth", "list", "--json"))] == ["Shawls"]
    assert parsed(call("cloth", "remove", "Shawls", "--json"))["removed"]


def test_helpers_are_told_in_grams_with_their_cautions(call):
    """By fibre, with heat, rinsing, where the water may not go, and the label."""
    found = parsed(call("helpers", "--cloth", "wool 2 kg", "--cloth", "cotton 3 m2 120 g/m2", "--json"))
    alum = next(dose for dose in found["helpers"] if (dose["helper"], dose["fibre"]) == ("alum", "wool"))
    assert alum["grams"]["central"] == pytest.approx(240)
    assert found["rinsing"]["litres"]["central"] == pytest.approx(3 * 30 * 2.36)
    words = call("helpers", "--cloth", "wool 2 kg", "--cloth", "cotton 1 kg").stdout
    for part in ("240 g", "40–60 °C", "3.0 g/L (1.0–5.0)", "never go into a stream", "last word", "Iron salts and"):
        assert part in words
    only = parsed(call("helpers", "copperas", "--cloth", "wool 2 kg", "--json"))
    assert {dose["helper"] for dose in only["helpers"]} == {"iron"}
    assert "None of it" in call("helpers", "tannin", "--cloth", "wool 2 kg").stdout


OLD = ["old-recipe", "--cloth", "wool 20 yd 54 in heavy", "--take", "2 pails fresh hull",
       "--take", "1 oz cream of tartar", "--pail", "12 L", "--for", "wool 3 kg"]


def test_an_old_recipe_is_turned_into_todays_amounts(call):
    """Two pails on twenty yards are light by custom, 2.7 kg of hull for 3 kg of wool; a load says how far it goes."""
    found = parsed(call(*OLD, "--json"))
    hull, tartar = found["lines"]
    assert hull["shade"]["central"] == "light"
    assert hull["today"]["central"] == pytest.approx(2.72, abs=0.005)
    assert "label" in tartar["words"]
    assert found["reaches"] is None
    lot = parsed(call("log", "--new-site", "Weir", "--material", "black-walnut", "--part", "hull", "--gross", "5.44 kg",
                      "--json"))
    reaches = parsed(call(*OLD, "--lot", lot["code"], "--json"))["reaches"]
    assert reaches["times"]["central"] == pytest.approx(2, abs=0.01)
    words = call(*OLD, "--lot", lot["code"], "--take", "60 gallons water", "--gallons", "imperial").stdout
    for part in ("by custom light", "for wool 3.00 kg (2.97–3.03): 2.7 kg", "A pail is taken as 12 L",
                 "Your load is enough", "imperial ones: a gallon is 4.55 L"):
        assert part in words
    untold = call(*OLD, "--take", "60 gallons water")
    assert (untold.exit_code, "whose measure it is" in untold.stderr) == (2, True)


@pytest.mark.parametrize("command", ["need", "cloth add", "cloth list", "cloth show", "cloth change", "cloth remove",
                                     "helpers", "old-recipe"])
def test_every_command_has_help_with_an_example(call, command):
    """Each command explains itself with an example, and writes JSON for programs."""
    shown = call(*command.split(), "--help").stdout
    assert f"field-app {command}" in shown.split("Example:")[1]
    assert "--json" in shown


def test_all_commands_are_tried_here():
    """No command of this room is left out of the tests above."""
    assert {command.name for command in COMMANDS} == {"need", "cloth", "helpers", "old-recipe"}
