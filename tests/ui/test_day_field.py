"""A day is typed or chosen on a calendar, and said back in words."""

import datetime as dt

import pytest

from tests.ui.fieldwork import DAY, FieldBag, play


@pytest.fixture
def bag(tmp_path):
    bag = FieldBag(tmp_path)
    yield bag
    bag.book.close()


def calendars(d, key):
    return [c for c in d.controls() if c.key == key and c.open]


def test_the_day_of_a_plan_is_chosen_on_a_calendar(bag):
    """The field says the day in words; the calendar offers no day that is past, and its day is taken over."""
    async def walk():
        d = await bag.open("/dye-day/plan/new")
        assert d.one("plan-day").value == "2026-10-08"
        assert d.one("plan-day").helper == "Thu 8 Oct"
        await d.tap("plan-day-pick")
        (calendar,) = calendars(d, "plan-day-days")
        assert calendar.first_date == DAY.date()
        d.session.apply_patch(calendar._i, {"value": dt.datetime.fromisoformat("2026-10-10T02:00:00+00:00")})
        await d.fire(calendar, "change")
        assert d.one("plan-day").value == "2026-10-10"
        assert d.one("plan-day").helper == "Sat 10 Oct"
        assert not calendars(d, "plan-day-days")
        d.check_alive()
    play(walk)


def test_what_is_no_day_shows_how_to_type_one(bag):
    """Half a day typed is no fault yet: the field shows what a day looks like."""
    async def walk():
        d = await bag.open("/dye-day/plan/new")
        await d.type("plan-day", "2026-1")
        assert d.one("plan-day").helper == "as in 2026-10-08"
        d.check_alive()
    play(walk)
