"""Days and times as a person types them, read strictly."""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Callable

from field_app.core.problems import refuse
from field_app.words import tr

__all__ = ["EARLIEST_YEAR", "by_24_hours", "read_day", "read_moment"]

EARLIEST_YEAR = 1900
#: A phone's clock and a tower's may differ by this much without anybody being wrong.
_SLACK = dt.timedelta(minutes=5)
_DAY = re.compile(r"\d{4}-\d{2}-\d{2}\Z", re.ASCII)
_MOMENT = re.compile(
    r"(\d{4}-\d{2}-\d{2})(?:[T ](\d{2}:\d{2})(:\d{2})?(?:\.\d+)?\s?(Z|[+-]\d{2}:?\d{2})?)?\Z", re.ASCII)
_TWICE_TWELVE = re.compile(r"(?<!\d)(0?[1-9]|1[0-2])[:.]([0-5]\d)\s?([ap])\.?m\.?\Z", re.ASCII | re.IGNORECASE)


def by_24_hours(text: str) -> str:
    """The same with a time of the 12-hour clock at its end told by the 24-hour one; anything else as it is.

    >>> by_24_hours("2026-10-08 3:24 pm"), by_24_hours("12:05 a.m."), by_24_hours("15:24")
    ('2026-10-08 15:24', '00:05', '15:24')
    """
    def told(match: re.Match[str]) -> str:
        hour = int(match[1]) % 12 + (12 if match[3].lower() == "p" else 0)
        return f"{hour:02}:{match[2]}"

    return _TWICE_TWELVE.sub(told, text.strip())


def read_day(text: str, *, where: str) -> dt.date:
    """A day, as year-month-day (ISO 8601).

    Raises Refused, naming ``where``, for anything else and for a day before 1900.

    >>> read_day("2026-10-08", where="until")
    datetime.date(2026, 10, 8)
    """
    body = text.strip()
    try:
        if not _DAY.match(body):
            raise ValueError
        day = dt.date.fromisoformat(body)
    except ValueError:
        raise refuse(where, tr("{text!r} is not a day", text=body),
                     tr("Type year-month-day, such as 2026-10-08.")) from None
    if day.year < EARLIEST_YEAR:
        raise refuse(where, tr("{text} is before {year}", text=body, year=EARLIEST_YEAR),
                     tr("Check the year."))
    return day


def read_moment(text: str, *, where: str, now: dt.datetime,
                localise: Callable[[dt.datetime], dt.datetime] | None = None) -> dt.datetime:
    """A day, or a day and time, with or without offset; without one it is local time. Either clock will do.

    A day alone means noon, or now if the day is today and noon is still to come.
    Raises Refused, naming ``where``, for anything else, for a time to come, and for one before 1900.
    """
    body = text.strip()
    match = _MOMENT.match(by_24_hours(body))
    hint = tr("Type year-month-day and the time, such as 2026-10-08 15:24.")
    if match is None:
        raise refuse(where, tr("{text!r} is not a date and time", text=body), hint)
    day, clock, seconds, offset = match.groups()
    try:
        moment = dt.datetime.fromisoformat(f"{day}T{clock or '12:00'}{seconds or ':00'}{offset or ''}")
    except ValueError:
        raise refuse(where, tr("{text!r} is not a date and time that exists", text=body), hint) from None
    if moment.tzinfo is None:
        moment = moment.replace(tzinfo=now.tzinfo) if localise is None else localise(moment)
    if clock is None and moment > now and moment.date() == now.date():
        moment = now
    if moment.year < EARLIEST_YEAR:
        raise refuse(where, tr("{text} is before {year}", text=body, year=EARLIEST_YEAR),
                     tr("Check the year."))
    if moment > now + _SLACK:
        raise refuse(where, tr("{text} is still to come", text=body), tr("Check the day and the clock of this device."))
    return moment
