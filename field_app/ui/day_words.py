"""Days as a person says them, so that no screen shows a bare date."""

from __future__ import annotations

import datetime as dt

from field_app.words import later

__all__ = ["clock_time", "day", "full_day", "span"]

# Names of their own: the ones of the system follow its language, and the rest of the screen would not.
_DAYS = (later("Mon"), later("Tue"), later("Wed"), later("Thu"), later("Fri"), later("Sat"), later("Sun"))
_MONTHS = (later("Jan"), later("Feb"), later("Mar"), later("Apr"), later("May"), later("Jun"), later("Jul"),
           later("Aug"), later("Sep"), later("Oct"), later("Nov"), later("Dec"))


def _plain(when: dt.date, today: dt.date) -> str:
    year = "" if when.year == today.year else f" {when.year}"
    return f"{when.day} {_MONTHS[when.month - 1]}{year}"


def full_day(when: dt.date, today: dt.date) -> str:
    """The day of the week and of the month, with the year where it is not this one.

    >>> full_day(dt.date(2026, 10, 8), dt.date(2026, 10, 20))
    'Thu 8 Oct'
    """
    return f"{_DAYS[when.weekday()]} {_plain(when, today)}"


def day(when: dt.date, today: dt.date) -> str:
    """The same, but today, yesterday and tomorrow by their names.

    >>> day(dt.date(2026, 10, 7), dt.date(2026, 10, 8)), day(dt.date(2025, 1, 3), dt.date(2026, 10, 8))
    ('yesterday', 'Fri 3 Jan 2025')
    """
    near = {-1: "yesterday", 0: "today", 1: "tomorrow"}
    return near.get((when - today).days) or full_day(when, today)


def span(first: dt.date, last: dt.date, today: dt.date) -> str:
    """From a day to a day, without saying a month or year twice.

    >>> span(dt.date(2026, 10, 11), dt.date(2026, 10, 16), dt.date(2026, 10, 8))
    '11–16 Oct'
    >>> span(dt.date(2026, 9, 28), dt.date(2026, 10, 3), dt.date(2026, 10, 8))
    '28 Sep – 3 Oct'
    """
    if first == last:
        return _plain(first, today)
    if (first.year, first.month) == (last.year, last.month):
        return f"{first.day}–{_plain(last, today)}"
    return f"{_plain(first, today)} – {_plain(last, today)}"


def clock_time(when: dt.datetime) -> str:
    """The time of day, as the person saw it.

    >>> clock_time(dt.datetime.fromisoformat("2026-10-08T09:05:00-02:00"))
    '09:05'
    """
    return f"{when:%H:%M}"
