"""Days as a person says them, so that no screen shows a bare date."""

from __future__ import annotations

import datetime as dt

from field_app.core.day_text import clock_time, plain_day, short_day, span, weekday
from field_app.words import tr, tr_as

__all__ = ["clock_time", "day", "full_day", "plain_day", "short_day", "span"]


def full_day(when: dt.date, today: dt.date) -> str:
    """The day of the week and of the month, with the year where it is not this one.

    >>> full_day(dt.date(2026, 10, 8), dt.date(2026, 10, 20))
    'Thu 8 Oct'
    """
    return tr_as("a day of the week and of the month", "{weekday} {day}", weekday=weekday(when),
                 day=plain_day(when, today))


def day(when: dt.date, today: dt.date) -> str:
    """The same, but today, yesterday and tomorrow by their names.

    >>> day(dt.date(2026, 10, 7), dt.date(2026, 10, 8)), day(dt.date(2025, 1, 3), dt.date(2026, 10, 8))
    ('yesterday', 'Fri 3 Jan 2025')
    """
    near = {-1: tr("yesterday"), 0: tr("today"), 1: tr("tomorrow")}
    return near.get((when - today).days) or full_day(when, today)
