"""Points that fill a space of several dimensions evenly, and are always the same.

The sequence goes on by an irrational step in each dimension, made from the positive root of x^(d+1) = x + 1
(M. Roberts' quasirandom sequence, from memory), so that no two points come close.
"""

from __future__ import annotations

from functools import lru_cache
from statistics import NormalDist

__all__ = ["even_deviations"]


@lru_cache(maxsize=16)
def even_deviations(dimensions: int, count: int) -> tuple[tuple[float, ...], ...]:
    """So many points [1], each with a deviation of the standard normal distribution in every dimension [1].

    >>> points = even_deviations(2, 1000)
    >>> [round(sum(point[at] for point in points) / 1000, 2) + 0.0 for at in (0, 1)]
    [0.0, 0.0]
    """
    root = 2.0
    for _ in range(64):
        root = (1 + root) ** (1 / (dimensions + 1))
    steps = [root ** -(at + 1) for at in range(dimensions)]
    normal = NormalDist()
    return tuple(tuple(normal.inv_cdf(min(max((0.5 + turn * step) % 1, 1e-9), 1 - 1e-9)) for step in steps)
                 for turn in range(1, count + 1))
