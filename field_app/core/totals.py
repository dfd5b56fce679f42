"""Several lots together, as one range.

Lots stand on the same defaults: the same hull share, the same dry matter, the same custom.
If one of these is off, it is off for all of them in the same direction, so their errors don't cancel out, and
lows, centrals and highs are each added.
For quantities that rise and fall together this is exact (Denneberg 1994, Non-additive Measure and Integral,
chapter 4: quantile functions of comonotonic variables add; from memory).
Where a part was weighed by itself it makes the range a little too wide, never too narrow.
"""

from __future__ import annotations

from collections.abc import Iterable

from field_app.core.estimate import Range

__all__ = ["total"]


def total(parts: Iterable[Range], *, unit: str) -> Range:
    """The sum of quantities that rise and fall together [unit], without reasons; zero if there are none.

    Raises ValueError if a part is in another unit.

    >>> both = total([Range(1.0, 2.0, 4.0, "kg"), Range(2.0, 2.5, 3.0, "kg")], unit="kg")
    >>> both.low, both.central, both.high
    (3.0, 4.5, 7.0)
    """
    low = central = high = 0.0
    for part in parts:
        if part.unit != unit:
            raise ValueError(f"a part in {part.unit} can't be added to a total in {unit}")
        low, central, high = low + part.low, central + part.central, high + part.high
    return Range(low, central, high, unit)
