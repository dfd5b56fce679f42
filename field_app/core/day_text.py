"""Days and times of day as a person reads them: the one door for every date that is shown."""

from __future__ import annotations

import datetime as dt

from field_app.core.habits import habits
from field_app.words import later, tr, tr_as

__all__ = ["clock_time", "day_and_time", "month_name", "plain_day", "short_day", "span", "weekday",
           "weekday_names"]

# Names of their own: the ones of the system follow its language, and the rest of the screen would not.
_DAYS = (later("Mon"), later("Tue"), later("Wed"), later("Thu"), later("Fri"), later("Sat"), later("Sun"))
_MONTHS = (later("Jan"), later("Feb"), later("Mar"), later("Apr"), later("May"), later("Jun"), later("Jul"),
           later("Aug"), later("Sep"), later("Oct"), later("Nov"), later("Dec"))


def weekday(when: dt.date) -> str:
    """The day of the week, short.

    >>> weekday(dt.date(2026, 10, 8))
    'Thu'
    """
    return tr(_DAYS[when.weekday()])


def weekday_names() -> tuple[str, ...]:
    """The days of the week, short, from Monday on."""
    return tuple(map(tr, _DAYS))


def month_name(month: int) -> str:
    """The name of a month, short, by its number from 1."""
    return tr(_MONTHS[month - 1])


def short_day(when: dt.date) -> str:
    """The day without its year.

    >>> short_day(dt.date(2026, 10, 8))
    '8 Oct'
    """
    chosen = habits().dates
    if chosen == "iso":
        return f"{when:%m-%d}"
    if chosen == "day-month":
        return tr_as("a day of a month", "{day} {month}", day=when.day, month=month_name(when.month))
    return tr_as("a day of a month", "{month} {day}", day=when.day, month=month_name(when.month))


def plain_day(when: dt.date, today: dt.date | None = None) -> str:
    """The day with its year; without it where it is the year of today, but for dates in figures.

    >>> plain_day(dt.date(2026, 10, 8)), plain_day(dt.date(2026, 10, 8), dt.date(2026, 12, 1))
    ('8 Oct 2026', '8 Oct')
    """
    chosen = habits().dates
    if chosen == "iso":
        return f"{when:%Y-%m-%d}"
    if today is not None and when.year == today.year:
        return short_day(when)
    return f"{short_day(when)}, {when.year}" if chosen == "month-day" else f"{short_day(when)} {when.year}"


def span(first: dt.date, last: dt.date, today: dt.date | None = None) -> str:
    """From a day to a day, without saying a month or year twice.

    >>> span(dt.date(2026, 10, 11), dt.date(2026, 10, 16), dt.date(2026, 10, 8))
    '11–16 Oct'
    >>> span(dt.date(2026, 9, 28), dt.date(2026, 10, 3), dt.date(2026, 10, 8))
    '28 Sep – 3 Oct'
    """
    if first == last:
        return plain_day(first, today)
    chosen = habits().dates
    if chosen != "iso" and (first.year, first.month) == (last.year, last.month):
        return _within_a_month(first, last, today, chosen)
    if chosen == "iso":
        return f"{plain_day(first)} – {plain_day(last)}"
    # Across a new year both years are said, or the first day would be read in the wrong one.
    begins = plain_day(first, today if first.year == last.year else None)
    return f"{begins} – {plain_day(last, today)}"


def day_and_time(when: dt.datetime) -> str:
    """The day with its year, and the time of day.

    >>> day_and_time(dt.datetime.fromisoformat("2026-10-08T09:05:00-02:00"))
    '8 Oct 2026 09:05'
    """
    return f"{plain_day(when.date())} {clock_time(when)}"


def _within_a_month(first: dt.date, last: dt.date, today: dt.date | None, chosen: str) -> str:
    if chosen == "day-month":
        return f"{first.day}–{plain_day(last, today)}"
    year = "" if today is not None and last.year == today.year else f", {last.year}"
    return f"{month_name(first.month)} {first.day}–{last.day}{year}"


def clock_time(when: dt.datetime | dt.time) -> str:
    """The time of day, as the person saw it.

    >>> clock_time(dt.datetime.fromisoformat("2026-10-08T09:05:00-02:00"))
    '09:05'
    """
    if habits().clock == "24":
        return f"{when:%H:%M}"
    half = tr("am") if when.hour < 12 else tr("pm")
    return f"{when.hour % 12 or 12}:{when:%M} {half}"
