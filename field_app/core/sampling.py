"""The mass of one piece from a few that were weighed: mean, its interval, and how many must be weighed.

Interval: x̄ ± t · s/√n, times √(1 − n/N) where n of N pieces were weighed (Cochran 1977, Sampling Techniques,
section 2.7). The pieces must be taken at random, not picked by size.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from statistics import NormalDist

__all__ = ["Mean", "mean_of", "needed", "t_quantile"]

_NORMAL = NormalDist()
#: From so many degrees of freedom on, the series of A & S 26.7.5 is exact to all digits that matter [1].
_MANY = 400


@dataclass(frozen=True, slots=True)
class Mean:
    """A mean of a sample, in the unit of its values: how many they were [1], their deviation, of how many in all [1].

    Raises ValueError if the sample is empty or larger than the whole.
    """

    mean: float
    deviation: float
    count: int
    population: int | None = None

    def __post_init__(self) -> None:
        if self.count < 1 or (self.population is not None and self.population < self.count):
            raise ValueError(f"{self.count} of {self.population} is no sample")

    @property
    def error(self) -> float:
        """The standard error of the mean, in its unit; nothing if every piece was weighed."""
        whole = 1.0 if self.population is None else 1 - self.count / self.population
        return self.deviation / math.sqrt(self.count) * math.sqrt(whole)

    def interval(self, level: float = 0.95) -> tuple[float, float]:
        """The interval that holds the mean of all pieces at this level [1], two values at least.

        Triola's set-up from Moses and Mosteller: 100 of 465 coloured sweets, mean .8565 g, deviation .0518 g:

        >>> [round(end, 4) for end in Mean(0.8565, 0.0518, 100, 465).interval()]
        [0.8474, 0.8656]
        """
        if self.count < 2:
            raise ValueError("one value has no interval")
        half = t_quantile((1 + level) / 2, self.count - 1) * self.error
        return self.mean - half, self.mean + half


def mean_of(values: Sequence[float], population: int | None = None) -> Mean:
    """The mean of values and their deviation, with n − 1; ValueError if there is none.

    >>> found = mean_of([5, 8, 4, 6, 10, 3])
    >>> found.mean, round(found.deviation, 5), [round(end, 4) for end in found.interval()]
    (6.0, 2.60768, [3.2634, 8.7366])
    """
    if not values:
        raise ValueError("a mean needs a value")
    mean = math.fsum(values) / len(values)
    squares = math.fsum((value - mean) ** 2 for value in values)
    deviation = math.sqrt(squares / (len(values) - 1)) if len(values) > 1 else 0.0
    return Mean(mean, deviation, len(values), population)


def needed(variation: float, within: float, population: int | None = None) -> int:
    """How many pieces to weigh so that the mean is known within this share of it, in 95 of 100 cases [1].

    variation: deviation of single pieces as a share of their mean [1]; within: share of the mean [1].
    Raises ValueError if either is not above 0.

    >>> needed(0.25, 0.10), needed(0.25, 0.10, population=50)
    (27, 18)
    """
    if not (variation > 0 and within > 0):
        raise ValueError("variation and tolerance must be above 0")
    count = 2
    while t_quantile(0.975, count - 1) * Mean(1.0, variation, count, None).error > within:
        # The first guess is far too small for the wide t of few pieces, so it goes up quickly at first.
        count = max(count + 1, min(count * 2, math.floor((1.96 * variation / within) ** 2)))
    if population is not None:
        # With a finite whole, n/(1 + n/N) does as well (Cochran 1977, equation 4.3).
        count = min(population, math.ceil(count / (1 + count / population)))
    return count


@lru_cache(maxsize=512)
def t_quantile(probability: float, freedom: int) -> float:
    """The quantile of Student's t distribution [1] with so many degrees of freedom [1].

    From the closed form of the distribution for whole degrees of freedom (Abramowitz and Stegun, 26.7.3 and 26.7.4);
    above 400 from its expansion around the normal quantile (26.7.5).
    Raises ValueError if the probability is not between 0 and 1, or there is no freedom.

    >>> [round(t_quantile(0.975, freedom), 3) for freedom in (1, 2, 3, 5, 29)]
    [12.706, 4.303, 3.182, 2.571, 2.045]
    """
    if not 0 < probability < 1 or freedom < 1:
        raise ValueError(f"no quantile at {probability} with {freedom} degrees of freedom")
    if probability < 0.5:
        return -t_quantile(1 - probability, freedom)
    wanted = 2 * probability - 1
    if freedom > _MANY:
        return _expanded(probability, freedom)
    # The angle θ = atan(t/√ν) runs from 0 to a right angle, and what lies within ±t grows with it.
    low, high = 0.0, math.pi / 2
    for _ in range(100):
        middle = (low + high) / 2
        if _within(middle, freedom) < wanted:
            low = middle
        else:
            high = middle
    return math.tan((low + high) / 2) * math.sqrt(freedom)


def _within(angle: float, freedom: int) -> float:
    """The probability within ±t (Abramowitz and Stegun, 26.7.3 for odd and 26.7.4 for even ν)."""
    sine, cosine = math.sin(angle), math.cos(angle)
    square = cosine * cosine
    if freedom % 2:
        term = total = cosine if freedom > 1 else 0.0
        for turn in range(2, freedom - 1, 2):
            term *= square * turn / (turn + 1)
            total += term
        return 2 / math.pi * (angle + sine * total)
    term = total = 1.0
    for turn in range(1, freedom - 2, 2):
        term *= square * turn / (turn + 1)
        total += term
    return sine * total


def _expanded(probability: float, freedom: int) -> float:
    x = _NORMAL.inv_cdf(probability)
    first = (x**3 + x) / 4
    second = (5 * x**5 + 16 * x**3 + 3 * x) / 96
    third = (3 * x**7 + 19 * x**5 + 17 * x**3 - 15 * x) / 384
    return x + first / freedom + second / freedom**2 + third / freedom**3
