"""What is believed of a date: a normal distribution, narrowed by what was seen.

The law of this file:

1. Before this year's looks a date is normal, with mean and standard deviation from :func:`updated`.
2. "Not yet" on a day cuts off all earlier dates, "ripe" on a day all later ones.
3. Of a crop that ripens around its date, the fruits that keep a dent follow a normal curve of the crop's own spread;
   so "k of n" weighs each date by the binomial of that curve, counted as ten fruits at most, since fruits of one
   bough are no independent trials.
4. Every such weight is log-concave and moves later with the day of the look, so a later "not yet" can't make any
   quantile earlier.
"""

from __future__ import annotations

import math
from bisect import bisect_left
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise
from statistics import NormalDist

__all__ = ["Belief", "Dents", "Observed", "interval", "updated"]

#: Fruits of one look count as so many independent ones at most (common practice, no source) [1].
_INDEPENDENT = 10
#: Points of the coarse and the fine grid, and the weight beside the greatest below which a day is left out [1].
_COARSE, _FINE, _NOTHING = 48, 144, 1e-8
_ROOT_HALF = math.sqrt(0.5)


@dataclass(frozen=True, slots=True)
class Observed:
    """A date as it was observed in one season: its mean [d] and the variance of the observing [d²]."""

    day: float
    variance: float = 0.0


@dataclass(frozen=True, slots=True)
class Dents:
    """So many of so many took a dent, on a day [d]; spread: standard deviation of the crop around its date [d]."""

    day: float
    dented: int
    pressed: int
    spread: float


def interval(after: float, by: float) -> Observed:
    """A date known only to lie between two visits: the middle, and (by − after)²/12 (a uniform's variance).

    >>> interval(200, 206)
    Observed(day=203.0, variance=3.0)
    """
    return Observed((after + by) / 2, (by - after) ** 2 / 12)


def updated(mean: float, sd: float, observed: Sequence[Observed], yearly: float) -> tuple[float, float]:
    """Mean and standard deviation [d] of a tree's usual date, by normal-normal updating.

    mean, sd: the prior of trees in general; yearly: standard deviation of one tree from year to year [d].
    With p = 1/sd² + Σ 1/(yearly² + variance): the mean is (mean/sd² + Σ day/(yearly² + variance)) / p, the new
    standard deviation 1/√p.

    >>> tuple(round(x, 3) for x in updated(267, 10, [Observed(260), Observed(264), Observed(257)], 6))
    (261.048, 3.273)
    """
    precision, total = 1 / sd**2, mean / sd**2
    for one in observed:
        weight = 1 / (yearly**2 + one.variance)
        precision += weight
        total += one.day * weight
    return total / precision, precision**-0.5


@dataclass(frozen=True)
class Belief:
    """A date: normal with mean and sd [d], cut off below ``after`` and above ``by``, weighed by dents.

    Raises ValueError if ``after`` is not before ``by``, or sd is not above zero.

    >>> seen = Belief(261.048, 6.835, after=256)
    >>> round(seen.chance(264), 3), round(seen.quantile(0.5), 2)
    (0.568, 263.05)
    """

    mean: float
    sd: float
    after: float = -math.inf
    by: float = math.inf
    dents: tuple[Dents, ...] = ()

    def __post_init__(self) -> None:
        if not self.after < self.by or not self.sd > 0:
            raise ValueError(f"no date is after {self.after} and by {self.by} with a spread of {self.sd}")

    @property
    def _cut(self) -> tuple[float, float] | None:
        """The two ends as shares of the uncut normal, or None if too little is left between them to divide by."""
        normal = NormalDist(self.mean, self.sd)
        low, high = normal.cdf(self.after), normal.cdf(self.by)
        # So far out that little is left between the ends, a difference of two shares near one has no digits.
        is_told = not self.dents and high - low > 1e-4 and high < 1 - 1e-9
        return (low, high) if is_told or self.is_open else None

    @property
    def is_open(self) -> bool:
        """Whether nothing was seen that narrows it."""
        return not self.dents and self.after == -math.inf and self.by == math.inf

    @cached_property
    def _grid(self) -> tuple[list[float], list[float]]:
        """Days and the chance that the date lies before each, by the trapezoid rule."""
        mean, sd = self.mean, self.sd
        low, high = mean - 6 * sd, mean + 6 * sd
        for one in self.dents:
            reach = min(5 * one.spread, 6 * sd)
            low, high = min(low, one.day - reach), max(high, one.day + reach)
        low = max(self.after, min(low, self.by - 3 * sd))
        high = min(self.by, max(high, self.after + 3 * sd))
        # A coarse look finds where there is any weight at all: it is log-concave, so that is one stretch.
        days, weights = self._weights(low, high, _COARSE)
        told = [at for at, weight in enumerate(weights) if weight > _NOTHING]
        days, weights = self._weights(days[max(0, told[0] - 1)], days[min(_COARSE, told[-1] + 1)], _FINE)
        chances, total = [0.0], 0.0
        for left, right in pairwise(weights):
            total += left + right
            chances.append(total)
        return days, [chance / total for chance in chances]

    def _weights(self, low: float, high: float, points: int) -> tuple[list[float], list[float]]:
        """Days from low to high and the weight of each, the greatest being one."""
        step = (high - low) / points
        days = [low + step * at for at in range(points + 1)]
        logs = [-0.5 * ((day - self.mean) / self.sd) ** 2 for day in days]
        for one in self.dents:
            share = min(1.0, _INDEPENDENT / one.pressed)
            kept, not_kept = one.dented * share, (one.pressed - one.dented) * share
            scaled = [(one.day - day) / one.spread for day in days]
            if kept:
                logs = [log + kept * _log_share(z) for log, z in zip(logs, scaled, strict=True)]
            if not_kept:
                logs = [log + not_kept * _log_share(-z) for log, z in zip(logs, scaled, strict=True)]
        top = max(logs)
        return days, [math.exp(log - top) for log in logs]

    def chance(self, day: float) -> float:
        """The probability that the date is this day or before [1]."""
        if day <= self.after:
            return 0.0
        if day >= self.by:
            return 1.0
        cut = self._cut
        if cut is not None:
            low, high = cut
            return min(1.0, max(0.0, (NormalDist(self.mean, self.sd).cdf(day) - low) / (high - low)))
        days, chances = self._grid
        at = bisect_left(days, day)
        if at == 0:
            return 0.0
        if at == len(days):
            return 1.0
        part = (day - days[at - 1]) / (days[at] - days[at - 1])
        return chances[at - 1] + part * (chances[at] - chances[at - 1])

    def quantile(self, share: float) -> float:
        """The day [d] before which the date lies with the probability ``share``, above 0 and below 1."""
        cut = self._cut
        if cut is not None:
            low, high = cut
            return NormalDist(self.mean, self.sd).inv_cdf(low + share * (high - low))
        days, chances = self._grid
        at = max(1, min(bisect_left(chances, share), len(days) - 1))
        rise = chances[at] - chances[at - 1]
        part = (share - chances[at - 1]) / rise if rise > 0 else 0.5
        return days[at - 1] + part * (days[at] - days[at - 1])

    def moments(self) -> Observed:
        """Mean and variance of it [d, d²]."""
        if self.is_open:
            return Observed(self.mean, self.sd**2)
        days, chances = self._grid
        middles = [(left + right) / 2 for left, right in pairwise(days)]
        parts = [right - left for left, right in pairwise(chances)]
        mean = sum(day * part for day, part in zip(middles, parts, strict=True))
        return Observed(mean, sum((day - mean) ** 2 * part for day, part in zip(middles, parts, strict=True)))


def _log_share(z: float) -> float:
    """The logarithm of the standard normal distribution function, also far out where it would be zero.

    Below −8 by the first term of its asymptotic series (Abramowitz & Stegun 26.2.12, from memory).
    """
    if z > -8:
        return math.log(0.5 * math.erfc(-z * _ROOT_HALF))
    return -0.5 * z * z - math.log(-z * math.sqrt(2 * math.pi))
