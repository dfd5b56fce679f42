"""Noting leave: its three states, the day, and what is kept of what was typed."""

import datetime as dt

import pytest

from field_app.core.facts import LeaveFacts
from field_app.core.gather import LeaveForm
from field_app.core.units import Measure
from field_app.ui.day_field import picked_day
from field_app.ui.leave_fields import form_of, to_keep
from tests.ui.fieldwork import FieldBag, on_screen, play


@pytest.fixture
def bag(tmp_path):
    bag = FieldBag(tmp_path)
    yield bag
    bag.book.close()


def test_the_day_can_be_chosen_on_a_calendar(bag):
    """A day tapped on the calendar stands in the field as it would be typed."""
    async def walk():
        d = await bag.open("/trees/new")
        await d.type("tree-name", "Mill lane")
        await d.tap("leave-given")
        await d.tap("leave-until-pick")
        calendar = next(c for c in d.controls() if c.key == "leave-until-days")
        assert (calendar.first_date, calendar.current_date) == (dt.date(2026, 10, 8), dt.date(2026, 10, 8))
        d.session.apply_patch(calendar._i, {"value": dt.datetime(2026, 11, 30, 2, tzinfo=dt.UTC)})
        await d.fire(calendar, "change")
        assert d.one("leave-until").value == "2026-11-30"
        assert not [c for c in d.controls() if c.key == "leave-until-days" and c.open]
        await d.tap("tree-save")
        assert bag.book.site("Mill lane").leave.until == dt.date(2026, 11, 30)
        d.check_alive()
    play(walk)


@pytest.mark.parametrize(("sent", "offset"), [
    ("2026-10-08T02:00:00+00:00", -2),  # the zone of the clock
    ("2026-10-08T03:00:00+00:00", -2),  # the day lies in another half of the year than today
    ("2026-10-07T21:00:00+00:00", 3),
    ("2026-10-07T11:00:00+00:00", 13),
    ("2026-10-08T12:00:00+00:00", -12),
    ("2026-10-08T00:00:00+00:00", 0),
    ("2026-10-07T22:00:00+00:00", -2),  # a browser four hours to the east of the clock
])
def test_the_day_of_a_calendar_is_the_day_that_was_tapped(sent, offset):
    """The client sends its own midnight in UTC, which is another day there for half of the world."""
    now = dt.datetime(2026, 3, 1, 9, tzinfo=dt.timezone(dt.timedelta(hours=offset)))
    assert picked_day(dt.datetime.fromisoformat(sent), now) == dt.date(2026, 10, 8)
    assert picked_day(dt.date(2026, 10, 8), now) == dt.date(2026, 10, 8)


def test_what_was_typed_for_one_state_of_leave_survives_another(bag):
    """Tapping through the states loses no text."""
    async def walk():
        d = await bag.open("/trees/new")
        await d.tap("leave-given")
        await d.type("leave-until", "2026-11-30")
        await d.tap("leave-refused")
        assert "leave-until" not in on_screen(d)
        await d.tap("leave-given")
        assert d.one("leave-until").value == "2026-11-30"
    play(walk)


def test_refused_leave_is_kept_without_a_day(bag):
    """A day that was typed before the leave turned out to be refused says nothing about the refusal."""
    async def walk():
        d = await bag.open("/trees/new")
        await d.type("tree-name", "Schoolyard")
        await d.tap("leave-given")
        await d.type("leave-until", "2026-11-30")
        await d.tap("leave-refused")
        await d.type("leave-by", "the school")
        await d.tap("tree-save")
        leave = bag.book.site("Schoolyard").leave
        assert (leave.state, leave.by, leave.until) == ("refused", "the school", None)
    play(walk)


def test_the_form_of_leave_shows_what_is_known():
    """Leave noted with a limit in pounds comes back as it was typed."""
    leave = LeaveFacts(site="urn:uuid:0", state="given", by="the parish",
                       limit=Measure("20", "oz", "1 lb 4 oz"))
    assert form_of(leave) == LeaveForm("given", by="the parish", limit="1 lb 4 oz")
    assert form_of(None).state == "not-asked"


def test_only_given_leave_has_an_end_and_a_limit():
    """What was typed for another state is not kept with this one."""
    typed = LeaveForm("refused", by="the school", until="2026-11-30", limit="20 kg", note="ask in spring")
    assert to_keep(typed) == LeaveForm("refused", by="the school", note="ask in spring")
    given = LeaveForm("given", until="2026-11-30", limit="20 kg")
    assert to_keep(given) == given
