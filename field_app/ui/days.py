"""Days and times as a dyer would say them. English, without the machine's own settings."""

from __future__ import annotations

import datetime as dt

__all__ = ["clock", "long_day", "short_day", "spoken_day", "until_words"]

_DAYS = ("Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday")
_MONTHS = ("January", "February", "March", "April", "May", "June", "July", "August", "September", "October",
           "November", "December")


def long_day(day: dt.date) -> str:
    """A day in full.

    >>> long_day(dt.date(2026, 10, 8))
    'Thursday 8 October'
    """
    return f"{_DAYS[day.weekday()]} {day.day} {_MONTHS[day.month - 1]}"


def short_day(day: dt.date, today: dt.date) -> str:
    """A day in short, with its year if that is not this one.

    >>> short_day(dt.date(2026, 10, 11), dt.date(2026, 10, 8))
    'Sun 11 Oct'
    """
    year = "" if day.year == today.year else f" {day.year}"
    return f"{_DAYS[day.weekday()][:3]} {day.day} {_MONTHS[day.month - 1][:3]}{year}"


def spoken_day(day: dt.date, today: dt.date) -> str:
    """A day near today by its name, any other in short.

    >>> spoken_day(dt.date(2026, 10, 7), dt.date(2026, 10, 8))
    'yesterday'
    """
    return {-1: "yesterday", 0: "today", 1: "tomorrow"}.get((day - today).days) or short_day(day, today)


def until_words(earliest: dt.date, latest: dt.date, today: dt.date) -> str:
    """From one day to another, as one phrase.

    >>> until_words(dt.date(2026, 10, 11), dt.date(2026, 10, 16), dt.date(2026, 10, 8))
    'Sun 11 – Fri 16 Oct'
    """
    if earliest == latest:
        return spoken_day(latest, today)
    first = short_day(earliest, today)
    if (earliest.year, earliest.month) == (latest.year, latest.month):
        first = " ".join(first.split()[:2])
    return f"{first} – {short_day(latest, today)}"


def clock(moment: dt.datetime) -> str:
    """The time of day, as 15:24."""
    return f"{moment:%H:%M}"
