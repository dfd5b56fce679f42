"""When to come back: the next look while a tree is not ready, then the visits that save most.

The rule (common practice, built on the forecast): the first look at the day before which it is ready with 15 %;
then every 7 days while fewer than one in ten takes a dent, every 3 days from there on, every 2 days once fruit falls.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from field_app.core.fall import Visit
from field_app.core.positions import Position
from field_app.core.ripeness import Forecast

__all__ = ["COME_BACKS", "EVERY", "FIRST_LOOK", "CalendarDay", "ComeBack", "come_backs", "next_look"]

#: So many dates are told of each tree that sheds its fruit [1].
COME_BACKS = 3
#: The share of the belief at which one looks first [1], and the days between looks: hard, denting, falling [d].
FIRST_LOOK, EVERY = 0.15, (7, 3, 2)


@dataclass(frozen=True, slots=True)
class ComeBack:
    """A day to come back on.

    what: to look, to gather, or for stuff that lasts when it begins or ends; saves: share of the crop's dye [1].
    """

    date: dt.date
    what: Literal["look", "gather", "begins", "ends"]
    saves: float | None = None


@dataclass(frozen=True, slots=True)
class CalendarDay:
    """One day of the calendar.

    key: what it is a day of, the same for ever, such as the ids of site and material, the season, and the number;
    summary, words: its title and what stands under it; position: only where it may be told, with ``place``.
    """

    key: str
    day: ComeBack
    summary: str
    words: str
    place: str = ""
    position: Position | None = None


def _pace(forecast: Forecast) -> int:
    last = max(forecast.seen, key=lambda one: one.day, default=None)
    if last is None:
        return EVERY[0]
    if last.stage in ("fallen", "browned", "black") or (last.ground or 0) > 0:
        return EVERY[2]
    if last.stage == "dented" or (last.pressed and (last.dented or 0) * 10 >= last.pressed):
        return EVERY[1]
    return EVERY[0]


def next_look(forecast: Forecast, today: dt.date) -> dt.date:
    """The next day on which a look makes sense."""
    first = forecast.season.date_of(forecast.belief.quantile(FIRST_LOOK))
    if first > today:
        return first
    last = max((one.day for one in forecast.seen), default=today)
    return max(today, last + dt.timedelta(days=_pace(forecast)))


def come_backs(forecast: Forecast, plan: Sequence[Visit], today: dt.date) -> tuple[ComeBack, ...]:
    """The days to come back on, soonest first; always as many of one tree, so that each keeps its place in a calendar.

    plan: COME_BACKS visits for what falls, none for what lasts.
    """
    if not plan:
        if forecast.p50 >= today:
            return (ComeBack(forecast.p50, "begins"),)
        return (ComeBack(max(today, forecast.sound_until), "ends"),)
    visits = [ComeBack(visit.date, "gather", visit.saves) for visit in plan]
    look = next_look(forecast, today)
    if forecast.ready_today < 0.5 and look < visits[0].date:
        return (ComeBack(look, "look"), *visits[:COME_BACKS - 1])
    return tuple(visits[:COME_BACKS])
