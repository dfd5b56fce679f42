"""How long something takes, as people type it: 20 min, 1 h 30 min, 1½ h, 2 days.

A bare number has no unit that everybody would mean, so it is refused.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from types import MappingProxyType

from field_app.core.problems import refuse
from field_app.core.reading import clean, quoted, read_number
from field_app.core.showing import show_number
from field_app.words import later, tr

__all__ = ["read_hours", "show_hours", "show_hours_range"]

_FIX = later("Type it as in 20 min, 1 h 30 min, 1½ h or 2 days")
#: Each unit of time as people write it, in hours [h].
_UNITS: Mapping[str, float] = MappingProxyType({
    **dict.fromkeys(("s", "sec", "secs", "second", "seconds", "sekunde", "sekunden"), 1 / 3600),
    **dict.fromkeys(("min", "mins", "minute", "minutes", "minuten"), 1 / 60),
    **dict.fromkeys(("h", "hr", "hrs", "hour", "hours", "std", "stunde", "stunden"), 1.0),
    **dict.fromkeys(("d", "day", "days", "tag", "tage", "tagen"), 24.0),
    **dict.fromkeys(("w", "week", "weeks", "woche", "wochen"), 168.0)})
_PART = re.compile(r"(?P<number>[^a-z]+?) *(?P<unit>[a-z]+)\.? *", re.IGNORECASE)


def read_hours(text: str, *, where: str = "time") -> float:
    """A time [h], more than nothing; Refused with what to type instead.

    >>> [round(read_hours(text), 3) for text in ("3 min", "1h", "1 h 30 min", "1½ h", "2 days")]
    [0.05, 1.0, 1.5, 1.5, 48.0]
    """
    body, hours, at = clean(text, where, fix=_FIX), 0.0, 0
    while at < len(body):
        part = _PART.match(body, at)
        if part is None:
            what = (tr("{quoted} has no unit", quoted=quoted(text)) if at == 0
                    else tr("{quoted} is no time", quoted=quoted(text)))
            raise refuse(where, what, f"{tr(_FIX)}.")
        factor = _UNITS.get(part["unit"].lower())
        if factor is None:
            raise refuse(where, tr("{quoted} is no unit of time", quoted=quoted(part["unit"])), f"{tr(_FIX)}.")
        hours += float(read_number(part["number"].strip(), where=where)) * factor
        at = part.end()
    if not hours > 0:
        raise refuse(where, tr("{quoted} is no time at all", quoted=quoted(text)), f"{tr(_FIX)}.")
    return hours


def show_hours(hours: float, *, decimal: str = "") -> str:
    """A time [h] for people: minutes below one and a half hours unless full, then hours, then days.

    >>> [show_hours(hours) for hours in (0.05, 0.25, 1, 1.25, 6, 7.5, 72)]
    ['3 min', '15 min', '1 h', '75 min', '6 h', '7.5 h', '3 days']
    """
    if hours < 1.5 and hours != 1:
        return f"{show_number(hours * 60, decimal=decimal)} min"
    if hours < 48:
        return f"{show_number(hours, decimal=decimal)} h"
    return tr("{number} days", number=show_number(hours / 24, decimal=decimal))


def show_hours_range(low: float | None, central: float | None, high: float | None) -> str:
    """A time with its low and high [h] for people, as closely as one times a bath; None is never.

    That is whole minutes, from an hour and a half on tenths of an hour, then of a day. One unit is told once.

    >>> show_hours_range(2.71, 3.94, 9), show_hours_range(0.0687, 0.124, 1.297)
    ('3.9 h (2.7–9)', '7 min (4–78)')
    >>> show_hours_range(0.8, 4.16, None), show_hours_range(50, 75, 120)
    ('4.2 h (48 min–never)', '3.1 days (2.1–5)')
    """
    ends = [tr("never") if one is None else show_hours(_as_timed(one)) for one in (low, central, high)]
    unit = ends[1].rpartition(" ")[2]
    if all(end.endswith(f" {unit}") for end in ends):
        ends = [ends[0].removesuffix(f" {unit}"), ends[1], ends[2].removesuffix(f" {unit}")]
    return f"{ends[1]} ({ends[0]}–{ends[2]})"


def _as_timed(hours: float) -> float:
    """A time [h] to the minute, from an hour and a half on to a tenth of an hour, then of a day; never nothing."""
    if hours < 1.5:
        return max(round(hours * 60), 1) / 60
    return round(hours, 1) if hours < 48 else round(hours / 24, 1) * 24
