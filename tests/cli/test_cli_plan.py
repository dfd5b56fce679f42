"""The commands that plan a dye day."""

import json

import pytest
from click.testing import CliRunner

from field_app.cli import main
from field_app.cli_plan import bath_form
from field_app.core.problems import Refused
from field_app.handover import check

NOW = "2026-10-08T15:00:00-02:00"


@pytest.fixture
def run(tmp_path):
    def call(*words, code=0):
        result = CliRunner().invoke(main, ["--data", str(tmp_path / "data"), "--as-of", NOW, *words])
        assert result.exit_code == code, result.output
        return result
    call("site", "add", "Mill lane", "--at", "44.01234, -28.00567", "--material", "black-walnut")
    return call


@pytest.fixture
def code(run):
    return json.loads(run("log", "--site", "Mill lane", "--material", "black-walnut", "--part", "hull",
                          "--ripe", "fallen", "--gross", "10 kg", "--json").stdout)["code"]


def test_a_dye_day_is_planned_changed_shown_and_done(run, code):
    """What comes of it is the same in words and as data; done takes what was planned."""
    new = run("plan", "new", "Harvest dyeing", "--day", "2026-10-10", "--lot", f"{code}=6 kg", "--bath",
              "wool 1 kg, medium, alum, 2 h", "--bath", "silk 300 g, light")
    assert "1. wool 1 kg:" in new.stdout
    assert "alum: 120 g (100–150)" in new.stdout
    assert "08:00–09:00  Bring black walnut to a simmer." in new.stdout
    run("plan", "change", "harvest dyeing", "--fire", "07:00", "--strainings", "2")
    told = json.loads(run("plan", "show", "Harvest dyeing", "--json").stdout)
    assert (told["plan"]["fire"], told["plan"]["strainings"]) == ("07:00", 2)
    assert [bath["cloth"] for bath in told["liquors"][0]["baths"]] == ["wool 1 kg", "silk 300 g"]
    assert "2026-10-10  Harvest dyeing" in run("plan", "list").stdout
    left = json.loads(run("plan", "done", "Harvest dyeing", "--json").stdout)["left"]
    assert left[code]["central"] == pytest.approx(4.0)
    run("plan", "done", "Harvest dyeing", code=2)


def test_a_dye_day_goes_along_with_its_lots(run, code, tmp_path):
    """The file holds the day and its lots, and passes the check."""
    run("log", "--site", "Mill lane", "--material", "black-walnut", "--part", "hull", "--gross", "3 kg")
    run("plan", "new", "Harvest dyeing", "--lot", code, "--bath", "wool 1 kg")
    file = tmp_path / "lots.zip"
    told = json.loads(run("handover", str(file), "--plan", "Harvest dyeing", "--json").stdout)
    assert told["lots"] == 1
    report = check(file.read_bytes())
    assert report.problems == ()
    assert report.counts["dye-days"] == report.counts["dye-baths"] == 1


def test_a_pot_one_does_not_own_is_refused_by_its_name(run, code):
    """The message says which pots there are."""
    run("pots", "add", "big enamel", "--volume", "60 L", "--diameter", "45 cm")
    refused = run("plan", "new", "x", "--lot", code, "--bath", "wool 1 kg", "--pot", "cauldron", code=2)
    assert "no pot is named 'cauldron'" in refused.stderr
    assert "big enamel" in refused.stderr
    planned = run("plan", "new", "x", "--lot", code, "--bath", "wool 1 kg", "--pot", "Big enamel", "--json")
    assert json.loads(planned.stdout)["liquors"][0]["boiling"]["kettles"]["times"] == 1


def test_a_list_of_cloth_goes_into_a_bath(run, code):
    """Its items are those of the bath, whatever becomes of the list; one that is not kept is refused."""
    run("cloth", "add", "Autumn shawls", "--cloth", "wool 3 kg", "--cloth", "silk 200 g")
    told = json.loads(run("plan", "new", "x", "--lot", code, "--bath", "list Autumn shawls, light", "--json").stdout)
    assert told["plan"]["baths"][0]["cloth"] == ["wool 3 kg", "silk 200 g"]
    run("plan", "new", "y", "--lot", code, "--bath", "list Spring shawls", code=2)


@pytest.mark.parametrize(("text", "form"), [
    ("wool 2 kg", ("wool 2 kg", "medium", "none", "", "")),
    ("wool 2 kg, DARK, iron, 1.5 h, oak-bark", ("wool 2 kg", "dark", "iron", "1.5", "oak-bark")),
    ("2 shirts linen; silk 1 kg, pale", ("2 shirts linen; silk 1 kg", "pale", "none", "", "")),
])
def test_a_bath_on_one_line(text, form):
    """Cloth first, the rest in any order."""
    found = bath_form(text)
    assert (found.cloth, found.shade, found.mordant, found.hours, found.material) == form


def test_a_decimal_comma_in_a_bath_is_not_taken_for_a_part():
    """"1,5 kg" would be torn apart: it is refused with what to do."""
    with pytest.raises(Refused, match="not understood"):
        bath_form("wool 1,5 kg, medium")


def test_a_plan_is_withdrawn(run, code):
    """It is gone from the list; what is not there can't be shown."""
    run("plan", "new", "x", "--lot", code, "--bath", "wool 1 kg")
    run("plan", "withdraw", "x")
    assert run("plan", "list").stdout == ""
    run("plan", "show", "x", code=2)
