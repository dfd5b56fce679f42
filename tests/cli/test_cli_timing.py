"""When to come back, from the command line."""

import json

import pytest
from click.testing import CliRunner

from field_app.cli import main

AS_OF = "2026-10-08T15:00:00-02:00"


@pytest.fixture
def call(tmp_path):
    def run(*args, code=0, as_of=AS_OF):
        done = CliRunner().invoke(main, ["--data", str(tmp_path / "data"), "--as-of", as_of, *map(str, args)],
                                  env={"FIELD_APP_DATA": "", "FIELD_APP_NOW": ""}, catch_exceptions=False)
        assert done.exit_code == code, done.output
        return done

    run("site", "add", "Weir", "--at", "44.0151, -28.0042", "--material", "black-walnut", "--leave", "given")
    return run


def parsed(done):
    return json.loads(done.stdout)


def test_a_look_is_noted_with_its_codes_in_the_record_alone(call):
    """The words say what was seen; the codes of observers are in the JSON, for programs."""
    done = call("look", "weir", "--dents", "7 of 10", "--ground", "a-handful", "--note", "the third tree")
    assert done.stdout == ("Noted at Weir, 8 Oct 2026: black walnut, 7 of 10 took a dent, "
                           "a handful on the ground.\n")
    told = parsed(call("look", "weir", "--stage", "fallen", "--when", "2026-10-07 09:30", "--json"))
    assert (told["site"], told["stage"], told["bbch"]) == ("Weir", "fallen", 89)
    assert told["at"] == "2026-10-07T09:30:00-02:00"


@pytest.mark.parametrize(("options", "words"), [
    ((), "what you saw is not told"), (("--dents", "most"), "not so many of so many"),
    (("--stage", "ripe"), "green, yellowing"), (("--when", "2027-01-01", "--stage", "green"), "still to come")])
def test_a_look_that_says_nothing_is_refused(call, options, words):
    """What is wrong is told with what to do, and the exit code is 2."""
    assert words in call("look", "Weir", *options, code=2).stderr


def test_when_is_told_for_programs(call):
    """The contract: site, material, three dates, the chance of today, visits with their shares, reasons."""
    call("look", "Weir", "--stage", "green", "--when", "2026-09-25")
    (told,) = parsed(call("when", "--json"))
    assert (told["site"], told["material"]) == ("Weir", "black-walnut")
    assert "2026-09-25" < told["ready"]["p10"] < told["ready"]["p50"] < told["ready"]["p90"]
    assert 0 < told["ready_today"] < 1
    assert told["sound_until"] > told["ready"]["p50"]
    assert [set(visit) for visit in told["visits"]] == [{"date", "saves"}] * len(told["visits"])
    assert [len(plan) for plan in told["plans"]] == [1, 2, 3, 4]
    assert {"seen on 25 Sep", "calendar of the species"} <= {reason["name"] for reason in told["reasons"]}
    assert set(told["ground"]["kg"]) == {"low", "central", "high", "unit"}


def test_when_is_told_in_words(call):
    """The dates, how long it is good, what lies there, the visits, and why."""
    call("look", "Weir", "--dents", "7 of 10")
    words = call("when", "Weir").stdout
    for part in ("Weir, black walnut", "ready to gather", "Ready now; go by 11 Oct 2026", "good until", "on the ground",
                 "best visits", "Why:", "XM1001"):
        assert part in words
    assert "nowhere" in call("when", "nowhere", code=2).stderr


def test_hopkins_law_is_used_only_when_asked_for(call):
    """Chosen, its shift stands among the reasons with its sign; not chosen, it is not there."""
    assert "Hopkins" not in call("when").stdout
    assert "Hopkins' law as you chose, later towards the pole: +20 days" in call("when", "--hopkins", "later").stdout
    assert ": −20 days" in call("when", "--hopkins", "earlier").stdout


def test_of_bark_the_rule_is_told(call):
    """Where bark has its season the words say what wood it may come from."""
    call("site", "add", "Yard", "--material", "oak-bark")
    words = call("when", "Yard", as_of="2026-04-20T09:00:00-02:00").stdout
    assert "the sap up" in words
    assert "felled, pruned or wind-thrown wood only" in words


def test_without_trees_it_says_what_to_do(call, tmp_path):
    """A book of nothing that has a season says how to begin."""
    done = CliRunner().invoke(main, ["--data", str(tmp_path / "empty"), "--as-of", AS_OF, "when"],
                              env={"FIELD_APP_DATA": "", "FIELD_APP_NOW": ""}, catch_exceptions=False)
    assert done.exit_code == 0
    assert "site add" in done.stderr


def test_temperatures_are_taken_in_with_their_gaps_told(call, tmp_path):
    """Days, unit and gaps are said; a table that can't be read is refused with its rows."""
    file = tmp_path / "warm.csv"
    file.write_text("date,min (°F),max (°F)\n2026-09-01,50,68\n2026-09-04,48,70\n", encoding="utf-8")
    done = call("weather", file)
    assert done.stdout == f"{file}: 2 days from 1 Sep 2026 to 4 Sep 2026, in °F.\n"
    assert done.stderr == "Gap: 2 Sep 2026 to 3 Sep 2026\n"
    told = parsed(call("weather", file, "--name", "mill", "--at", "44.0, -28.0", "--json"))
    assert told["gaps"] == [{"first": "2026-09-02", "last": "2026-09-03"}]
    file.write_text("date,min,max\n2026-09-01,a,b\n", encoding="utf-8")
    assert "row 2: 'a' is not a temperature" in call("weather", file, "--unit", "C", code=2).stderr
    file.write_bytes(b"\xff\xfe")
    assert "UTF-8" in call("weather", file, code=2).stderr
    assert "can't be read" in call("weather", tmp_path / "none.csv", code=2).stderr


def test_the_calendar_is_written_without_positions(call, tmp_path):
    """The file, how many days, and what is left out; with --places the positions are in it."""
    call("site", "add", "School", "--material", "black-walnut", "--leave", "refused")
    file = tmp_path / "come-back.ics"
    done = call("calendar", file)
    assert done.stdout == f"{file}: 3 days, without exact positions.\n"
    assert done.stderr == "School is left out: leave was refused.\n"
    assert b"GEO" not in file.read_bytes()
    told = parsed(call("calendar", file, "--places", "--site", "Weir", "--json"))
    assert (told["days"], told["left_out"]) == (3, [])
    assert b"GEO:44.0151;-28.0042" in file.read_bytes()
    assert "no day to write" in call("calendar", file, "--site", "School", code=2).stderr
