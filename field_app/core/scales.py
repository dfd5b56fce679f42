"""How far a scale may be off: what it rounds away, and what it is permitted to be wrong by.

Maximum permissible errors: OIML R 76-1, Table 6, in multiples of the verification division e, at initial
verification; in service they are twice as large. They hold for the net value whatever the tare.
A hanging scale of the field has no class: it is taken to be off by one and a half divisions at most
(common practice, no source).
"""

from __future__ import annotations

import math
from typing import Literal, get_args

__all__ = ["CLASSES", "UNVERIFIED", "ScaleClass", "least_load", "net_deviation", "permissible_error",
           "rounding_deviation"]

ScaleClass = Literal["III", "IIII"]
CLASSES: tuple[ScaleClass, ...] = get_args(ScaleClass)
#: How far a scale without class may be off, in divisions [1] (common practice, no source).
UNVERIFIED = 1.5

# Up to so many divisions the error is half a division, one, one and a half; and the least load, in divisions.
_STEPS = {"III": (500, 2000, 10_000), "IIII": (50, 200, 1000)}
_LEAST = {"III": 20, "IIII": 10}


def permissible_error(load: float, division: float, scale_class: ScaleClass, *, in_service: bool = False) -> float:
    """How far a verified scale may be off at a load [kg] with its division [kg], either way [kg].

    Beyond its greatest number of divisions the last step goes on. Raises ValueError if a mass is not above 0.

    >>> [round(permissible_error(load, 0.020, "III"), 3) for load in (8, 30, 45)]
    [0.01, 0.02, 0.03]
    """
    if not (load > 0 and division > 0):
        raise ValueError("load and division must be above 0")
    divisions = load / division
    first, second, _ = _STEPS[scale_class]
    errors = 0.5 if divisions <= first else 1.0 if divisions <= second else 1.5
    return errors * division * (2 if in_service else 1)


def least_load(division: float, scale_class: ScaleClass) -> float:
    """The least load for which a scale of this class is meant [kg], by its division [kg].

    >>> least_load(0.020, "III")
    0.4
    """
    return _LEAST[scale_class] * division


def rounding_deviation(division: float, readings: int = 1) -> float:
    """The standard deviation that rounding to a division leaves [kg], of so many readings added or taken off.

    It is even within half a division either way, so d/√12 for one, and d/√6 for gross less tare.

    >>> [round(1000 * rounding_deviation(0.020, readings), 2) for readings in (1, 2)]
    [5.77, 8.16]
    """
    return division * math.sqrt(readings / 12)


def net_deviation(gross: float, tare: float, division: float, scale_class: ScaleClass | None = None) -> float:
    """The standard deviation of a net mass [kg], from gross, tare (0 if none was weighed) and division [kg].

    What the scale may be wrong by is taken as even within its limits, those in service; rounding comes on top.

    >>> round(1000 * net_deviation(14.2, 1.1, 0.020), 1)
    25.8
    """
    readings = 2 if tare > 0 else 1
    if scale_class is None:
        wrong = UNVERIFIED * division * math.sqrt(readings)
    else:
        # The limit holds for the net value, so a tare brings no second one.
        wrong = permissible_error(gross - tare, division, scale_class, in_service=True)
    return math.hypot(wrong / math.sqrt(3), rounding_deviation(division, readings))
