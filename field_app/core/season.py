"""Seasons: a day's number in its season, and the calendar of each material before its tree is known.

The law of this file:

1. A season begins on 1 March, south of the equator on 1 September, and is called by the year in which it begins.
2. A day's number counts from there, that day being 0; a leap day is not counted, so that a day of the calendar
   has the same number every year.
3. A day of the calendar table is a northern one; in the south the same number counts from the southern beginning.
"""

from __future__ import annotations

import datetime as dt
import math
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from importlib import resources
from types import MappingProxyType
from typing import Any, Literal

from field_app.core.day_text import short_day
from field_app.core.materials import Mark
from field_app.core.positions import Position
from field_app.core.sources import cited

__all__ = ["CalendarRow", "Season", "calendar_row", "hopkins_shift", "is_south", "season_of", "short_day"]

#: Hopkins 1918: days for each degree of latitude and of longitude [d/deg], and metres of height for a day [m/d]:
#: 4 days for 1 degree, for 5 degrees, and for 400 feet.
DAYS_PER_LATITUDE, DAYS_PER_LONGITUDE, METRES_PER_DAY = 4.0, 0.8, 121.92 / 4


def _leap_day(year: int) -> dt.date | None:
    try:
        return dt.date(year, 2, 29)
    except ValueError:
        return None


@dataclass(frozen=True, slots=True)
class Season:
    """One season; year: of its beginning; south: whether of the southern half of the earth.

    >>> Season(2026).day_of(dt.date(2026, 9, 26)), Season(2027).day_of(dt.date(2028, 2, 10))
    (209, 346)
    >>> Season(2027, south=True).date_of(209), Season(2026, south=True).date_of(209)
    (datetime.date(2028, 3, 29), datetime.date(2027, 3, 29))
    """

    year: int
    south: bool = False

    @property
    def begins(self) -> dt.date:
        """Its first day."""
        return dt.date(self.year, 9 if self.south else 3, 1)

    def day_of(self, day: dt.date) -> int:
        """The number of a day, negative before it begins [d]."""
        leap = _leap_day(self.year + 1)
        return (day - self.begins).days - (leap is not None and day >= leap)

    def date_of(self, number: float) -> dt.date:
        """The day nearest to a number [d]."""
        day = self.begins + dt.timedelta(days=math.floor(number + 0.5))
        leap = _leap_day(self.year + 1)
        return day + dt.timedelta(days=1) if leap is not None and day >= leap else day

    def before(self, years: int = 1) -> Season:
        """The season so many years earlier."""
        return Season(self.year - years, self.south)


def is_south(place: Position | None) -> bool:
    """Whether a place lies south of the equator; one that is not known is taken as northern."""
    return place is not None and place.lat < 0


def season_of(day: dt.date, south: bool = False) -> Season:
    """The season in which a day lies.

    >>> season_of(dt.date(2027, 2, 3)).year, season_of(dt.date(2027, 2, 3), south=True).year
    (2026, 2026)
    """
    season = Season(day.year, south)
    return season if day >= season.begins else season.before()


@dataclass(frozen=True, slots=True)
class CalendarRow:
    """When a material is ready: the middle as a number of the season, and the spread of trees [d].

    place: where it was seen, or None; lasts: low, central, high of how long it can be gathered [d], None for hulls.
    """

    kind: Literal["ripe", "sap"]
    day: int
    spread: float
    place: Position | None
    lasts: tuple[float, float, float] | None
    source: str
    mark: Mark


@cache
def _rows() -> Mapping[str, CalendarRow]:
    text = resources.files("field_app.core").joinpath("seasons.toml").read_text(encoding="utf-8")
    raw = tomllib.loads(text)
    sources: Mapping[str, str] = raw["sources"]

    def row(kind: Literal["ripe", "sap"], facts: Mapping[str, Any]) -> CalendarRow:
        month, day = map(int, str(facts["day"]).split("-"))
        note = facts.get("note", "")
        lasts = facts.get("lasts")
        return CalendarRow(
            kind, Season(2001).day_of(dt.date(2001, month, day)), float(facts["spread"]),
            Position(facts["lat"], facts["lon"]) if "lat" in facts else None,
            (float(lasts[0]), float(lasts[1]), float(lasts[2])) if lasts else None,
            cited(sources[facts["source"]], note), facts["mark"])

    found = {key: row("ripe", facts) for key, facts in raw["ripe"].items()}
    return MappingProxyType(found | {key: row("sap", facts) for key, facts in raw["sap"].items()})


def calendar_row(key: str) -> CalendarRow | None:
    """The calendar of a material, or None where it has no season.

    >>> calendar_row("black-walnut").day, calendar_row("walnut-wood")
    (209, None)
    """
    return _rows().get(key)


def hopkins_shift(north_deg: float, east_deg: float = 0.0, up_m: float = 0.0, *, spring: bool = True) -> float:
    """Hopkins' law: how much later a spring event is [d], or with ``spring=False`` an autumn one, than elsewhere.

    north_deg, east_deg: how far poleward and east [deg]; up_m: how much higher [m].
    Hopkins 1918 as quoted in the Aldo Leopold papers; that autumn is the reverse is from memory (Hopkins 1918,
    Monthly Weather Review Supplement 9). Richardson et al. 2019 (Appl. Plant Sci. 7(3):e01228) print the sense of
    longitude the other way round, so leave ``east_deg`` out where it is not North America.

    >>> round(hopkins_shift(2, up_m=60.96), 6), round(hopkins_shift(2, up_m=60.96, spring=False), 6)
    (10.0, -10.0)
    """
    shift = DAYS_PER_LATITUDE * north_deg + DAYS_PER_LONGITUDE * east_deg + up_m / METRES_PER_DAY
    return shift if spring else -shift
