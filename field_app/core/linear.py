"""Linear equations and what several observations say together, in plain numbers."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

__all__ = ["Joint", "Observation", "joint", "solved"]


def solved(matrix: Sequence[Sequence[float]], right: Sequence[float]) -> list[float]:
    """The solution of linear equations, by elimination with the greatest pivot; ZeroDivisionError if there is none.

    >>> solved([[2.0, 1.0], [1.0, 3.0]], [5.0, 10.0])
    [1.0, 3.0]
    """
    size = len(right)
    rows = [[*row, value] for row, value in zip(matrix, right, strict=True)]
    for at in range(size):
        best = max(range(at, size), key=lambda row: abs(rows[row][at]))
        rows[at], rows[best] = rows[best], rows[at]
        head = rows[at]
        for row in rows[at + 1:]:
            share = row[at] / head[at]
            if share:
                for column in range(at, size + 1):
                    row[column] -= share * head[column]
    found = [0.0] * size
    for at in reversed(range(size)):
        found[at] = (rows[at][size] - sum(rows[at][col] * found[col] for col in range(at + 1, size))) / rows[at][at]
    return found


@dataclass(frozen=True, slots=True)
class Observation:
    """A weighted sum of unknowns, as it was seen: its value, and the standard deviation of that.

    Raises ValueError if the deviation is not above zero.
    """

    weights: Mapping[str, float]
    value: float
    sd: float

    def __post_init__(self) -> None:
        if not (math.isfinite(self.value) and 0 < self.sd < math.inf):
            raise ValueError(f"an observation needs a finite value and a deviation above zero: {self}")


@dataclass(frozen=True)
class Joint:
    """What is known of several unknowns together: their precision matrix and what the observations pull at."""

    names: tuple[str, ...]
    precision: tuple[tuple[float, ...], ...]
    pull: tuple[float, ...]

    def told(self, weights: Mapping[str, float]) -> tuple[float, float]:
        """Mean and standard deviation of a weighted sum of the unknowns; names that are not unknown count nothing."""
        row = [weights.get(name, 0.0) for name in self.names]
        if not any(row):
            return 0.0, 0.0
        along = solved(self.precision, row)
        mean = math.fsum(share * pull for share, pull in zip(along, self.pull, strict=True))
        return mean, math.sqrt(math.fsum(share * weight for share, weight in zip(along, row, strict=True)))


def joint(spreads: Mapping[str, float], seen: Sequence[Observation]) -> Joint:
    """Unknowns that are 0 ± their spread at first, after all observations: precisions add, whatever their order.

    spreads: standard deviation of each unknown before; those of 0 are known and left out.
    The law is that of the conjugate normal with several means (A. Gelman et al., Bayesian Data Analysis, 3rd ed.,
    section 3.5, from memory). One unknown of spread 1, seen once as 2 with deviation 1, is halfway:

    >>> mean, sd = joint({"a": 1.0}, [Observation({"a": 1.0}, 2.0, 1.0)]).told({"a": 1.0})
    >>> round(mean, 3), round(sd, 3)
    (1.0, 0.707)
    """
    names = tuple(sorted(name for name, spread in spreads.items() if spread > 0))
    # Summed exactly, so that the order can't even change the last digit.
    rows = [[one.weights.get(name, 0.0) / one.sd for name in names] for one in seen]
    precision = tuple(tuple(
        math.fsum([*(row[at] * row[other] for row in rows), *([spreads[name] ** -2] if at == other else [])])
        for other in range(len(names))) for at, name in enumerate(names))
    pull = tuple(math.fsum(row[at] * one.value / one.sd for row, one in zip(rows, seen, strict=True))
                 for at in range(len(names)))
    return Joint(names, precision, pull)
