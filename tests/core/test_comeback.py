"""When to come back: first to look, then to gather."""

import datetime as dt

import pytest

from field_app.core.comeback import COME_BACKS, come_backs, next_look
from field_app.core.fall import curve_of, plans, rot_of
from field_app.core.materials import material
from field_app.core.positions import Position
from field_app.core.ripeness import Seen, forecast

WALNUT, ISLAND = material("black-walnut"), Position(44.01, -28.0)


def told(today, *seen, stuff=WALNUT):
    return forecast(ISLAND, stuff, seen, today)


def test_the_first_look_is_at_the_fifteen_percent_day():
    """Before anything was seen one looks when it may be ready with 15 %."""
    one = told(dt.date(2026, 8, 1))
    first = next_look(one, dt.date(2026, 8, 1))
    assert one.belief.chance(one.season.day_of(first)) == pytest.approx(0.15, abs=0.02)


@pytest.mark.parametrize(("seen", "days"), [
    (Seen(dt.date(2026, 9, 28), None, 0, 30), 7), (Seen(dt.date(2026, 9, 28), None, 5, 30), 3),
    (Seen(dt.date(2026, 9, 28), "dented"), 3), (Seen(dt.date(2026, 9, 28), "fallen"), 2)])
def test_then_by_how_it_stands(seen, days):
    """Seven days while hard, three while it dents, two while it falls."""
    today = dt.date(2026, 9, 29)
    one = told(today, seen)
    if one.season.date_of(one.belief.quantile(0.15)) <= today:
        assert next_look(one, today) == seen.day + dt.timedelta(days=days)
    else:
        assert next_look(one, today) > today


def test_as_many_days_of_a_tree_whatever_was_seen():
    """Each tree that sheds its fruit has three days, in order, none in the past; a look leads while it is not ready."""
    for month, day in ((7, 1), (9, 10), (9, 30), (10, 15)):
        today = dt.date(2026, month, day)
        one = told(today)
        plan = plans(one, curve_of(one.belief, WALNUT), rot_of(WALNUT), today, COME_BACKS)[-1]
        found = come_backs(one, plan, today)
        assert len(found) == COME_BACKS
        assert [back.date for back in found] == sorted(back.date for back in found)
        assert found[0].date >= today
        assert (found[0].what == "look") == (one.ready_today < 0.5 and next_look(one, today) < plan[0].date)


def test_what_lasts_has_a_beginning_and_then_an_end():
    """Cones: the day from which they are ready, and once that is past, until when."""
    cones = material("alder-cones")
    (begins,) = come_backs(told(dt.date(2026, 9, 1), stuff=cones), (), dt.date(2026, 9, 1))
    (ends,) = come_backs(told(dt.date(2026, 12, 1), stuff=cones), (), dt.date(2026, 12, 1))
    assert (begins.what, ends.what) == ("begins", "ends")
    assert begins.date < ends.date
