"""Degree days, and what a tree's own sum of warmth says of this year's date.

M = (min + max)/2, A = (max − min)/2, TL and TU the lower and the upper threshold. Of a day as a sine, the area above t
is M − t if min ≥ t, nothing if max ≤ t, else with θ = asin((t − M)/A): [(M − t)(π/2 − θ) + A cos θ]/π, and the
share of the day above t is (π/2 − θ)/π. Of a day as a triangle: (max − t)²/(2 (max − min)) and (max − t)/(max − min).
With a horizontal cutoff warmth above TU counts as TU: area(TL) − area(TU); with a vertical one it doesn't count at
all: area(TL) − area(TU) − (TU − TL) × the share above TU.
From memory: Baskerville & Emin 1969, Ecology 50:514 (no cutoff); Allen 1976, Environ. Entomol. 5:388 (cutoffs).

The program uses the single sine with the horizontal cutoff; the others are here for checks against published tables.
For no walnut a sum from bloom to ripe hulls is published, so none is shipped: it is learned from a tree's own years.
"""

from __future__ import annotations

import datetime as dt
import math
import statistics
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Literal

from field_app.core.belief import Observed
from field_app.core.ripeness import Warm
from field_app.core.season import Season, short_day
from field_app.core.units import show_value
from field_app.words import tr_n

__all__ = ["BASE", "TOP", "Cutoff", "Daily", "Method", "Temperatures", "average", "daily_sums", "degree_days",
           "degree_days_double", "mean_of_late", "modified_average", "warm_date"]

Method = Literal["sine", "triangle"]
Cutoff = Literal["horizontal", "vertical"]
#: Thresholds of fruit trees in general [°C]: 10 (UMD meteorology page; WSU viticulture page) and 30, the 86 °F of
#: the modified average of Ohio State AGF-101.
BASE, TOP = 10.0, 30.0
#: A longer gap in the temperatures of a season makes its sum unknown [d].
LONGEST_GAP = 10
#: A tree's own sums spread by this much at least [1], and its date by this much [d] (common practice, no source).
_LEAST_SPREAD, _LEAST_DAYS = 0.03, 2.0
#: By how much the warmth of days to come may be off that of earlier years [1] (common practice, no source).
_COMING = 0.2


def _sine(low: float, high: float, above: float) -> tuple[float, float]:
    middle, half = (low + high) / 2, (high - low) / 2
    if low >= above:
        return middle - above, 1.0
    if high <= above:
        return 0.0, 0.0
    angle = math.asin((above - middle) / half)
    return ((middle - above) * (math.pi / 2 - angle) + half * math.cos(angle)) / math.pi, 0.5 - angle / math.pi


def _triangle(low: float, high: float, above: float) -> tuple[float, float]:
    if low >= above:
        return (low + high) / 2 - above, 1.0
    if high <= above:
        return 0.0, 0.0
    return (high - above) ** 2 / (2 * (high - low)), (high - above) / (high - low)


def degree_days(low: float, high: float, lower: float = BASE, upper: float = math.inf, *, method: Method = "sine",
                cutoff: Cutoff = "horizontal") -> float:
    """Degree days of one day [°C d, or °F d for °F], from its lowest and highest temperature.

    Raises ValueError if high is below low, or upper not above lower.

    >>> round(degree_days(38, 55, 50, 70), 2), degree_days(10, 25, 10, 30)
    (1.19, 7.5)
    """
    if high < low or not upper > lower:
        raise ValueError(f"no day is from {low} to {high}, or no thresholds are {lower} and {upper}")
    area = _sine if method == "sine" else _triangle
    found, _ = area(low, high, lower)
    if upper == math.inf:
        return found
    over, share = area(low, high, upper)
    return found - over - ((upper - lower) * share if cutoff == "vertical" else 0.0)


def degree_days_double(low: float, high: float, next_low: float, lower: float, upper: float = math.inf, *,
                       method: Method = "sine", cutoff: Cutoff = "horizontal") -> float:
    """The same with a second half of the day that falls to the next day's lowest: the mean of both.

    >>> round(degree_days_double(38, 55, 36, 50, 70), 2)
    1.15
    """
    halves = (degree_days(min(one, high), high, lower, upper, method=method, cutoff=cutoff) for one in (low, next_low))
    return sum(halves) / 2


def average(low: float, high: float, lower: float) -> float:
    """The simple average: (low + high)/2 − lower, not below nothing; low and high in the unit of lower.

    >>> average(-2, 8, 0)
    3.0
    """
    return max(0.0, (low + high) / 2 - lower)


def modified_average(low: float, high: float, lower: float, upper: float = math.inf) -> float:
    """The same with low and high first brought between the thresholds ("86/50").

    >>> modified_average(40, 60, 50, 86)
    5.0
    """
    return (min(max(low, lower), upper) + min(max(high, lower), upper)) / 2 - lower


#: Lowest and highest temperature of days [°C].
Temperatures = Mapping[dt.date, tuple[float, float]]
#: Degree days of days [°C d].
Daily = Mapping[dt.date, float]


def daily_sums(days: Temperatures) -> Daily:
    """The degree days of each day [°C d], by the method and between the thresholds that this program uses."""
    return {day: degree_days(low, high, BASE, TOP) for day, (low, high) in days.items()}


def _filled(days: Daily, first: dt.date, last: dt.date) -> list[float] | None:
    """Degree days of each day from first to last, gaps filled by the mean of their two sides; None if one is long."""
    found: list[float | None] = []
    for offset in range((last - first).days + 1):
        found.append(days.get(first + dt.timedelta(days=offset)))
    told: list[float] = []
    for at, value in enumerate(found):
        if value is not None:
            told.append(value)
            continue
        before = next((told[back] for back in range(at - 1, max(-1, at - 1 - LONGEST_GAP), -1)), None)
        after = next((one for one in found[at:at + LONGEST_GAP + 1] if one is not None), None)
        if before is None and after is None:
            return None
        sides = [one for one in (before, after) if one is not None]
        told.append(sum(sides) / len(sides))
    gap = longest = 0
    for value in found:
        gap = gap + 1 if value is None else 0
        longest = max(longest, gap)
    return None if longest > LONGEST_GAP else told


@dataclass(frozen=True, slots=True)
class _Sum:
    at_date: float
    daily: Sequence[float]


def _sum_of(days: Daily, season: Season, number: float) -> _Sum | None:
    last = season.date_of(number)
    daily = _filled(days, season.begins, last)
    return None if daily is None else _Sum(math.fsum(daily), daily)


def warm_date(days: Daily, years: Sequence[tuple[int, Observed]], season: Season, today: dt.date) -> Warm | None:
    """The date of a season by the warmth that the tree needed in its own years; None before two of them have both.

    days: degree days of each day [°C d]; years: its own dates as (season, day).
    For days to come the warmth is that of the earlier years on the same days.
    """
    sums = [(year, found) for year, one in years
            if (found := _sum_of(days, Season(year, season.south), one.day)) is not None]
    known = [day for day in days if season.begins <= day <= today]
    if len(sums) < 2 or not known:
        return None
    last = max(known)
    so_far = _filled(days, season.begins, last)
    if so_far is None or (today - last).days > LONGEST_GAP:
        return None
    need = statistics.fmean(one.at_date for _, one in sums)
    spread = max(statistics.stdev(one.at_date for _, one in sums), _LEAST_SPREAD * need)
    return _reached(so_far, _usual(days, [Season(year, season.south) for year, _ in sums]), need, spread, len(sums),
                    season)


def _usual(days: Daily, seasons: Sequence[Season]) -> list[float]:
    """The mean degree days of each day of the season over earlier years; the last known ones where they end."""
    told: list[float] = []
    for number in range(300):
        found = [days[day] for season in seasons if (day := season.date_of(number)) in days]
        told.append(statistics.fmean(found) if found else (told[-1] if told else 0.0))
    return told


def _reached(so_far: Sequence[float], usual: Sequence[float], need: float, spread: float, count: int,
             season: Season) -> Warm | None:
    total, number = 0.0, 0
    rate = 0.0
    while total < need:
        if number >= len(usual) and number >= len(so_far):
            return None
        rate = so_far[number] if number < len(so_far) else usual[number]
        total += rate
        number += 1
    pace = statistics.fmean([*so_far, *usual[len(so_far):]][max(0, number - 7):number]) or rate
    if pace <= 0:
        return None
    coming = max(0, number - len(so_far))
    sd = math.hypot(spread * math.sqrt(1 + 1 / count) / pace, _COMING * coming, _LEAST_DAYS)
    day = short_day(season.date_of(number - 1))
    words = tr_n("{need} are reached on {day} ± {off:.0f} days, by {n} year",
                 "{need} are reached on {day} ± {off:.0f} days, by {n} years", count,
                 need=show_value(round(need), "°C-days"), day=day, off=sd)
    return Warm(float(number - 1), sd, words)


def mean_of_late(days: Temperatures, today: dt.date, span: int = 10) -> float | None:
    """The mean temperature of the last ``span`` days [°C], or None if fewer than half of them are known."""
    found = [sum(days[day]) / 2 for back in range(span) if (day := today - dt.timedelta(days=back)) in days]
    return statistics.fmean(found) if len(found) * 2 >= span else None
