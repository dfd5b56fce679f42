"""The sites of a book as candidates for a round: leave, what was agreed, what may lie there and how sure."""

import datetime as dt

import pytest

from field_app.core.gather import LeaveForm
from field_app.core.looks import LookForm
from field_app.core.rounds import plan_round
from field_app.store import add_look, candidates, still_agreed
from tests.ui.fieldwork import DAY, GIVEN, FieldBag

TODAY = DAY.date()


@pytest.fixture
def bag(tmp_path):
    bag = FieldBag(tmp_path)
    yield bag
    bag.book.close()


def one(bag, name="Mill lane", **how):
    return next(found for found in candidates(bag.book, **how) if found.name == name)


def test_a_tree_in_its_season_is_due(bag):
    """A black walnut in October with much on the ground is due, with a range, its worth and a word why."""
    bag.tree("Mill lane", position="44.012345, -28.005678", materials=("black-walnut",), leave=GIVEN)
    add_look(bag.book, "Mill lane", LookForm(dents="9 of 10", ground="200"))
    found = one(bag)
    assert found.due
    assert found.expected.low < found.expected.central < found.expected.high
    assert found.expected.central > 1
    assert 0 < found.lost < found.worth
    assert "ready" in found.why
    assert found.expected.reasons


def test_what_was_just_gathered_is_not_due(bag):
    """On the evening of a visit nothing new lies there."""
    site = bag.tree("Mill lane", position="44.012345, -28.005678", materials=("black-walnut",), leave=GIVEN)
    bag.lot(site)
    found = one(bag)
    assert not found.due
    assert plan_round([found], found.position, DAY).stops == ()
    assert plan_round([found], found.position, DAY).left_out[0].why == "nothing"


def test_bark_is_no_stop(bag):
    """Bark comes from felled wood, whenever that is: no round leads to a standing trunk."""
    bag.tree("Yard", position="44.01, -28.0", materials=("alder-bark",), leave=GIVEN)
    found = one(bag, "Yard")
    assert found.expected is None
    assert "felled, pruned or thrown" in found.why


def test_cones_are_expected_by_earlier_visits(bag):
    """Where nothing rots, the mean of own visits is expected, and less after a visit in the same season."""
    site = bag.tree("Marsh", position="44.01, -28.0", materials=("alder-cones",), leave=GIVEN)
    cones = {"material": "alder-cones", "part": "cone", "ripeness": "", "condition": "air-dry", "gross": "3",
             "tare": "1"}
    bag.lot(site, days_ago=360, **cones)
    before = one(bag, "Marsh")
    assert before.expected.central == pytest.approx(2.0)
    assert before.lost == 0.0
    assert [one(bag, "Marsh", day=dt.date(2026, *day)).due for day in ((7, 1), (9, 26), (11, 20))] == [
        False, True, False], "due when they have just begun, not before, and not all winter long"
    bag.lot(site, days_ago=3, **cones)
    after = one(bag, "Marsh")
    assert after.expected.central == pytest.approx(0.5)
    assert not after.due


def test_what_is_not_ready_waits(bag):
    """In spring a walnut brings nothing, and says about when."""
    bag.tree("Mill lane", position="44.012345, -28.005678", materials=("black-walnut",), leave=GIVEN)
    found = one(bag, day=dt.date(2027, 5, 1))
    assert not found.due
    assert "ready about" in found.why
    assert plan_round([found], found.position, DAY).stops == ()


def test_a_site_without_a_season_says_so(bag):
    """Where nothing is noted of what stands there, nothing is expected."""
    bag.tree("Bare", position="44.01, -28.0", leave=GIVEN)
    assert one(bag, "Bare").why == "nothing is known of a season there"


@pytest.mark.parametrize(("leave", "state"), [
    (None, "not-asked"), (LeaveForm("refused"), "refused"), (LeaveForm("given", until="2026-10-07"), "expired"),
    (LeaveForm("given", until="2026-10-08"), "given")])
def test_leave_is_that_of_the_day(bag, leave, state):
    """The last day that was agreed counts; what was refused, ended or never asked is told as such."""
    bag.tree("Mill lane", position="44.012345, -28.005678", materials=("black-walnut",), leave=leave)
    assert one(bag).leave == state


def test_what_was_agreed_is_what_is_left_of_it(bag):
    """Of 30 kg agreed, 13.1 kg gathered this season leave 16.9 kg; last year's load doesn't count."""
    site = bag.tree("Mill lane", position="44.012345, -28.005678", materials=("black-walnut",),
                    leave=LeaveForm("given", limit="30 kg"))
    bag.lot(site, days_ago=20)
    bag.lot(site, days_ago=370)
    assert one(bag).cap == pytest.approx(16.9)
    held = bag.book.site(site)
    lots = bag.book.lots(limit=-1)
    assert still_agreed(held, lots, TODAY) == pytest.approx(16.9)
    assert still_agreed(held, [*lots, *lots, *lots], TODAY) == 0.0
    assert still_agreed(bag.book.site(bag.tree("Free", leave=GIVEN)), lots, TODAY) is None


def test_a_later_next_day_loses_more(bag):
    """Who can only come back in a week loses more by then, and is told of it."""
    bag.tree("Mill lane", position="44.012345, -28.005678", materials=("black-walnut",), leave=GIVEN)
    add_look(bag.book, "Mill lane", LookForm(dents="9 of 10", ground="200"))
    soon, late = one(bag), one(bag, next_day=TODAY + dt.timedelta(days=7))
    assert soon.worth == late.worth
    assert soon.lost < late.lost < late.worth
    assert "is lost by 15 Oct" in late.why
