"""How often what was seen lay inside its 10 % to 90 % range, and whether chance alone explains the count.

The law of this file:

1. Of ranges that are as wide as they say, four in five hold what is seen; of n of them the number that do is binomial
   (NIST/SEMATECH e-Handbook of Statistical Methods, 1.3.6.6.18).
2. Chance explains a count between the 5 % and the 95 % quantile of that distribution.
3. With few, also ranges that hold only every second time would pass. While that is likelier than one time in five, a
   count that chance explains is too small to tell, and it is said so.
4. Trees of one year share its weather, so they are less than that many independent trials: the band of chance is
   rather too narrow than too wide. That is said too, by whoever shows it.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any, Literal

__all__ = ["EXPECTED", "Coverage", "Place", "Verdict", "binomial_quantile", "coverage_of", "place_of"]

#: Where what was seen lies beside its range.
Place = Literal["below", "inside", "above"]
#: What a count says: nothing yet; too few to tell; as it should be; ranges too narrow; ranges wider than they need be.
Verdict = Literal["none", "few", "fits", "narrow", "wide"]
#: The share that a range from 10 % to 90 % should hold [1].
EXPECTED = 0.8
#: The ends of what chance explains [1].
_LOW, _HIGH = 0.05, 0.95
#: Ranges that hold so seldom [1] must not pass more often than so [1] for a count to tell anything.
_BAD, _FOOLED = 0.5, 0.2


def place_of(value: float, low: float, high: float) -> Place:
    """Where a value lies beside a range; its ends belong to it.

    >>> place_of(3, 1, 3), place_of(0.5, 1, 3)
    ('inside', 'below')
    """
    return "below" if value < low else "above" if value > high else "inside"


def _chance(number: int, n: int, share: float) -> float:
    """The binomial probability of a number [1]."""
    return math.comb(n, number) * share**number * (1 - share) ** (n - number)


def binomial_quantile(n: int, share: float, level: float) -> int:
    """The least number that is not passed with a probability of ``level`` at least [1].

    >>> binomial_quantile(20, 0.8, 0.05), binomial_quantile(20, 0.8, 0.95)
    (13, 19)
    """
    total = 0.0
    for number in range(n + 1):
        total += _chance(number, n, share)
        if total >= level:
            return number
    return n


@dataclass(frozen=True, slots=True)
class Coverage:
    """How many of n lay inside their range, and how many below and above it [1].

    >>> told = Coverage(1, 16, 3)
    >>> told.n, told.expected, told.by_chance, told.verdict
    (20, 16.0, (13, 19), 'fits')
    >>> Coverage(0, 4, 1).verdict, Coverage(3, 1, 0).verdict
    ('few', 'narrow')
    """

    below: int = 0
    inside: int = 0
    above: int = 0

    @property
    def n(self) -> int:
        """How many there are."""
        return self.below + self.inside + self.above

    @property
    def expected(self) -> float:
        """How many should lie inside."""
        return EXPECTED * self.n

    @property
    def by_chance(self) -> tuple[int, int]:
        """From how many to how many inside chance explains."""
        return binomial_quantile(self.n, EXPECTED, _LOW), binomial_quantile(self.n, EXPECTED, _HIGH)

    @property
    def tells(self) -> bool:
        """Whether there are enough that ranges which hold only every second time would be found out."""
        low, _ = self.by_chance
        passes = sum(_chance(number, self.n, _BAD) for number in range(low, self.n + 1))
        return self.n > 0 and passes <= _FOOLED

    @property
    def verdict(self) -> Verdict:
        """What the count says."""
        low, high = self.by_chance
        if self.n == 0:
            return "none"
        if self.inside < low:
            return "narrow"
        if self.inside > high:
            return "wide"
        return "fits" if self.tells else "few"

    def as_json(self) -> dict[str, Any]:
        """The same as plain data."""
        low, high = self.by_chance
        return {"n": self.n, "inside": self.inside, "below": self.below, "above": self.above,
                "expected": round(self.expected, 1), "by_chance": {"low": low, "high": high},
                "verdict": self.verdict}


def coverage_of(places: Iterable[Place]) -> Coverage:
    """The count of where several lay."""
    count = Counter(places)
    return Coverage(count["below"], count["inside"], count["above"])
