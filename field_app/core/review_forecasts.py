"""How good the forecasts of earlier seasons were: each as it would have stood, beside the date that was seen.

The law of this file:

1. A forecast for a past day stands on records of before that day alone: looks, loads, temperatures, own values.
2. It is taken on two days of each season: on its first day, and a week before the day that was likeliest
   by that first forecast. Neither day depends on what came after.
3. A season is judged once it is over for the tree and a date was seen in it, as ``own_dates`` finds it. That date
   lies between two visits, so it is itself known to some days only; its middle is what counts, and where it is
   known too badly, it judges nothing.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any

from field_app.core.coverage import Place, place_of
from field_app.core.materials import Material
from field_app.core.positions import Position
from field_app.core.ripeness import UNSEEN, Seen, Warm, forecast, lasts_of, own_dates
from field_app.core.season import Season, calendar_row, is_south, season_of

__all__ = ["BEFORE", "MOST_OFF", "Stood", "TreeYear", "forecast_before", "replayed"]

#: So long before the day that was likeliest at first the second forecast is taken [d].
BEFORE = 7
#: A date whose standard deviation is greater judges nothing [d]: 17 days lie between such visits (common practice).
MOST_OFF = 5.0
#: The material with what was known of it before a day.
StuffBefore = Callable[[dt.date], Material]
#: This year's date by the warmth, from temperatures of before a day and the tree's own dates.
WarmBefore = Callable[[dt.date, Sequence[Seen], Material], Warm | None]


@dataclass(frozen=True, slots=True)
class Stood:
    """A forecast as it would have stood in the morning of a day, from records of before that day.

    early: whether it was the season's first day; low, central, high: 10 %, 50 % and 90 %.
    """

    made: dt.date
    early: bool
    low: dt.date
    central: dt.date
    high: dt.date

    def as_json(self) -> dict[str, Any]:
        """The same as plain data."""
        return {"made": self.made.isoformat(), "first_day_of_season": self.early, "p10": self.low.isoformat(),
                "p50": self.central.isoformat(), "p90": self.high.isoformat()}


@dataclass(frozen=True, slots=True)
class TreeYear:
    """One season of a tree: when it was ready, as far as that was seen, and the forecasts that stood before.

    year: in which the season's autumn lies, or its spring for bark; seen: the date, None if it was not seen;
    off: standard deviation of that date, as it lies between two visits [d]; over: whether the season is over for
    the tree, so that its date is judged.
    """

    year: int
    season: Season
    seen: dt.date | None
    off: float
    over: bool
    stood: tuple[Stood, ...]

    def place(self, stood: Stood) -> Place | None:
        """Where the date lay beside a forecast; None where it is not to be judged."""
        if self.seen is None or not self.over or self.off > MOST_OFF:
            return None
        number = self.season.day_of
        return place_of(number(self.seen), number(stood.low), number(stood.high))

    def as_json(self) -> dict[str, Any]:
        """The same as plain data; ``held`` says where the date lay."""
        return {"seen": None if self.seen is None else {"date": self.seen.isoformat(), "sd_days": round(self.off, 1)},
                "over": self.over,
                "forecasts": [{**one.as_json(), "held": self.place(one)} for one in self.stood]}


def forecast_before(day: dt.date, place: Position | None, seen: Sequence[Seen], stuff: StuffBefore,
                    warm: WarmBefore | None = None, *, early: bool = False) -> Stood | None:
    """The forecast as it would have stood on a day; None where nothing has a season."""
    known = tuple(one for one in seen if one.day < day)
    then = stuff(day)
    told = forecast(place, then, known, day, warm=None if warm is None else warm(day, known, then))
    return None if told is None else Stood(day, early, told.p10, told.p50, told.p90)


def replayed(place: Position | None, seen: Sequence[Seen], stuff: StuffBefore, today: dt.date,
             warm: WarmBefore | None = None) -> tuple[TreeYear, ...]:
    """Every season in which the tree was looked at or gathered from, up to today's, oldest first."""
    now, known = stuff(today), tuple(one for one in seen if one.day <= today)
    row = calendar_row(now.key)
    if row is None or not known:
        return ()
    south = is_south(place)
    if row.kind == "sap":
        known = tuple(one for one in known if one.kg is None)  # bark is brought in whenever wood was felled
    dates = dict(own_dates(known, now, Season(season_of(today, south).year + 1, south),
                           max(UNSEEN, lasts_of(now, row) / 2)))
    # Once the forecast of today is one for the next season, this one is over for the tree.
    told = forecast(place, now, known, today)
    assert told is not None  # it has a calendar
    coming = told.season.year
    found = []
    for year in sorted({season_of(one.day, south).year for one in known}):
        season = Season(year, south)
        date = dates.get(year)
        found.append(TreeYear(
            year + south, season, None if date is None else season.date_of(date.day),
            0.0 if date is None else date.variance ** 0.5, year < coming,
            _stood(season, place, seen, stuff, today, warm)))
    return tuple(found)


def _stood(season: Season, place: Position | None, seen: Sequence[Seen], stuff: StuffBefore, today: dt.date,
           warm: WarmBefore | None) -> tuple[Stood, ...]:
    first = forecast_before(season.begins, place, seen, stuff, warm, early=True)
    if first is None:
        return ()
    day = max(season.begins + dt.timedelta(days=1), first.central - dt.timedelta(days=BEFORE))
    second = forecast_before(day, place, seen, stuff, warm) if day <= today else None
    return (first,) if second is None else (first, second)
