"""A round as it is typed: read strictly, every fault told at once, nothing guessed."""

import datetime as dt

import pytest

from field_app.core.facts import SiteFacts
from field_app.core.positions import Fix, Position
from field_app.core.problems import Refused
from field_app.core.round_form import RoundForm, read_round, read_until
from field_app.core.rounds import PACES
from field_app.core.sites import SiteNow

NOW = dt.datetime.fromisoformat("2026-10-08T15:00:00-02:00")
MILL = SiteNow("urn:uuid:1", SiteFacts(name="Mill lane"), Position(44.01234, -28.00567), None, (), "")
BARE = SiteNow("urn:uuid:2", SiteFacts(name="No place"), None, None, (), "")
SITES = (MILL, BARE)


def read(**typed):
    return read_round(RoundForm(**{"start": "44.01, -28.0", **typed}), SITES, NOW)


def faults(**typed):
    with pytest.raises(Refused) as refused:
        read(**typed)
    return {problem.where: problem.what for problem in refused.value.problems}


def test_what_is_left_out_is_as_usual():
    """Only a start is needed: on foot, back to it, without limits."""
    asked = read()
    assert asked.start == Position(44.01, -28.0)
    assert (asked.wish.end, asked.wish.until, asked.wish.carry, asked.wish.need) == ("start", None, None, None)
    assert asked.wish.pace == PACES["foot"]
    assert asked.next_day is None


def test_everything_that_can_be_asked_for():
    """Site names, units and times are read as elsewhere."""
    asked = read(start="mill LANE", end="open", until="17.30", carry="55 lb", need="12", means="bicycle", speed="15,5",
                 detour="1.5", stop="½ h", hour="3", next_day="2026-10-11")
    wish = asked.wish
    assert asked.start == MILL.position
    assert (wish.end, wish.until) == ("open", NOW.replace(hour=17, minute=30))
    assert wish.carry == pytest.approx(24.9475803)
    assert wish.need == 12
    assert (wish.pace.means, wish.pace.speed, wish.pace.detour, wish.pace.stop, wish.pace.hour) == (
        "bicycle", 15.5, 1.5, 30.0, 3.0)
    assert asked.next_day == dt.date(2026, 10, 11)


def test_another_end_and_a_fix_as_start():
    """The end may be a site, the start what the device says."""
    asked = read(start=Fix(Position(44.02, -28.01), "device", 5), end="Mill lane")
    assert asked.start == Position(44.02, -28.01)
    assert asked.wish.end == MILL.position


def test_every_fault_is_told_at_once():
    """Six wrong fields are six problems, each by its name."""
    assert set(faults(start="", until="25:00", carry="x", speed="900", means="foot", next_day="2026-10-08",
                      stop="20")) == {"start", "until", "carry", "speed", "next_day", "stop"}


@pytest.mark.parametrize(("typed", "words"), [
    ({"start": "nowhere"}, "neither a position nor a site"), ({"start": "No place"}, "was not noted"),
    ({"end": "No place"}, "was not noted"), ({"end": "91, 0"}, "latitude"), ({"until": "14:59"}, "is past"),
    ({"until": "half five"}, "not a time of day"), ({"carry": "0 kg"}, "is nothing"), ({"need": "3 m"}, ""),
    ({"detour": "0.9"}, "makes no sense"), ({"means": "horse"}, "not known"), ({"hour": "-1"}, "")])
def test_what_makes_no_sense_is_refused(typed, words):
    """Each has its own words, under the name of its field."""
    ((where, what),) = faults(**typed).items()
    assert where == next(iter(typed))
    assert words in what


def test_a_name_of_where_it_was_typed_is_used():
    """The command line names its options in the messages."""
    with pytest.raises(Refused) as refused:
        read_round(RoundForm(), SITES, NOW, names={"start": "--from"})
    assert refused.value.problems[0].where == "--from"


def test_the_last_minute_is_past():
    """Now is not to come any more."""
    with pytest.raises(Refused):
        read_until("15:00", NOW)
    assert read_until("15:01", NOW) == NOW.replace(minute=1)
