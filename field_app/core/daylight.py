"""Daylight at a place: when the sun sets, how long one still sees, and by when one should be out.

Sunrise and sunset are those of the upper edge of the sun on a flat horizon, with the usual refraction (zenith
90° 50′); civil dusk is when its centre stands 6° below. The height of the place is not counted: it would make the
day longer, and under trees it isn't. Computed by ``astral``, which follows the formulas of the NOAA solar calculator.
"""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from typing import TYPE_CHECKING

from field_app.core.day_text import clock_time
from field_app.core.positions import Position
from field_app.words import tr

if TYPE_CHECKING:
    from astral import Observer, SunDirection

__all__ = ["MARGIN", "Daylight", "daylight"]

#: So long before sunset one should be out (common practice, no source): what is under trees is dark before.
MARGIN = dt.timedelta(minutes=30)
_DAY = dt.timedelta(days=1)
#: Zenith of the sun's centre at sunrise and sunset, without refraction, and at civil dusk [deg].
_SET, _DUSK = 90.0 + 32.0 / 60 / 2, 96.0


@dataclass(frozen=True, slots=True)
class Daylight:
    """The light of one day at one place; times are aware, in the zone that was asked for.

    sunrise, sunset, dusk: None if it doesn't happen on that day (far north or south);
    noon: when the sun stands highest; up: whether it is above the horizon then.
    """

    sunrise: dt.datetime | None
    noon: dt.datetime
    sunset: dt.datetime | None
    dusk: dt.datetime | None
    up: bool

    def out_by(self, margin: dt.timedelta = MARGIN) -> dt.datetime | None:
        """By when one should be out: ``margin`` before sunset. None if the sun doesn't set, or doesn't rise."""
        return None if self.sunset is None else self.sunset - margin

    def cautions(self, begins: dt.datetime, back: dt.datetime, margin: dt.timedelta = MARGIN) -> tuple[str, ...]:
        """What is to be said of a round between these times, in plain words; empty if there is light enough."""
        return (*self._early(begins), *self._late(back, margin))

    def _early(self, begins: dt.datetime) -> tuple[str, ...]:
        if self.sunrise is None or begins >= self.sunrise:
            return ()
        return (tr("The sun rises at {sunrise}: until then take a light.", sunrise=clock_time(self.sunrise)),)

    def _late(self, back: dt.datetime, margin: dt.timedelta) -> tuple[str, ...]:
        if self.sunset is None:
            if self.up:
                return ()
            return (tr("The sun does not rise on this day: take a light, and don't go alone."),)
        if self.dusk is not None and back > self.dusk:
            return (tr("The round ends at {back}, after dark ({dusk}): leave stops out, or take a light "
                       "and don't go alone.", back=clock_time(back), dusk=clock_time(self.dusk)),)
        if back > self.sunset:
            return (tr("The round ends at {back}, after sunset ({sunset}): leave stops out, or take a "
                       "light.", back=clock_time(back), sunset=clock_time(self.sunset)),)
        if back > self.sunset - margin:
            return (tr("The round ends at {back}, close to sunset ({sunset}), and under trees it is dark "
                       "before: take a light, or leave a stop out.",
                       back=clock_time(back), sunset=clock_time(self.sunset)),)
        return ()


def daylight(place: Position, day: dt.date, zone: dt.tzinfo) -> Daylight:
    """The light of the calendar day ``day`` of a time zone at a place.

    The day is that of the zone, wherever the place is: it is the one whose solar noon falls on that date.

    >>> light = daylight(Position(44.0, -28.0), dt.date(2026, 10, 8), dt.timezone(dt.timedelta(hours=-2)))
    >>> f"{light.sunrise:%H:%M} {light.sunset:%H:%M} {light.dusk:%H:%M}"
    '05:58 17:20 17:49'
    """
    from astral import Observer, SunDirection  # most screens ask for no sun
    from astral.sun import elevation

    watcher = Observer(place.lat, place.lon, 0.0)
    noon, near = _noon(watcher, day, zone)

    def crossing(zenith: float, direction: SunDirection, *, refracted: bool = True) -> dt.datetime | None:
        rising = direction is SunDirection.RISING
        for date in (near - _DAY, near, near + _DAY):
            moment = _crossing(watcher, date, zenith, direction, refracted=refracted)
            if moment is not None and dt.timedelta() <= (noon - moment if rising else moment - noon) <= _DAY / 2:
                return moment.astimezone(zone)
        return None

    sunset = crossing(_SET, SunDirection.SETTING)
    return Daylight(crossing(_SET, SunDirection.RISING), noon.astimezone(zone), sunset,
                    crossing(_DUSK, SunDirection.SETTING, refracted=False),
                    up=sunset is not None or elevation(watcher, noon) > 90.0 - _SET)


def _noon(watcher: Observer, day: dt.date, zone: dt.tzinfo) -> tuple[dt.datetime, dt.date]:
    """The solar noon of the day, and the date at Greenwich under which it is found."""
    from astral.sun import noon

    midday = dt.datetime.combine(day, dt.time(12), zone)
    found = [(noon(watcher, near), near) for near in (day - _DAY, day, day + _DAY)]
    return min(found, key=lambda pair: (abs(pair[0] - midday), pair[1]))


def _crossing(watcher: Observer, date: dt.date, zenith: float, direction: SunDirection, *,
              refracted: bool) -> dt.datetime | None:
    """When the sun stands at a zenith [deg], rising or setting, or None if it doesn't."""
    from astral.sun import time_of_transit

    try:
        return time_of_transit(watcher, date, zenith, direction, with_refraction=refracted)
    except ValueError:
        return None  # on that day it stays below, or above
