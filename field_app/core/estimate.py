"""A quantity that is not known exactly: low, central and high, and why.

Low and high are the 10 % and 90 % quantiles; central is the chain taken at its central values,
so it need not be the median.
A positive factor is taken as log-normal through its low and high, so a product or quotient of such factors
is log-normal again and its quantiles have a closed form: means add, variances add.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass

__all__ = ["Z90", "Range", "Reason", "exact", "product", "quotient"]

#: The 90 % quantile of the standard normal distribution (NIST/SEMATECH e-Handbook, 1.3.6.7.1).
Z90 = 1.2815515655446004


@dataclass(frozen=True, slots=True)
class Reason:
    """Why a range is as it is: one input, how it came to be known, and from where.

    name: the input, as the person knows it ("hull share of the fruit").
    value: the input as shown, with its unit.
    basis: "weighed", "counted", "poured", "said", "own" (a value or tests of one's own), "default" or "worked out".
    source: the published source of a default, or how a value was taken.
    mark: seen, weak, derived, memory or practice for a default, empty for what the person measured.
    """

    name: str
    value: str
    basis: str
    source: str = ""
    mark: str = ""

    def as_json(self) -> dict[str, str]:
        """The same as plain data, without empty members."""
        parts = {"name": self.name, "value": self.value, "basis": self.basis,
                 "source": self.source, "mark": self.mark}
        return {name: text for name, text in parts.items() if text}


@dataclass(frozen=True, slots=True)
class Range:
    """A quantity as low (10 %), central and high (90 %) [unit], with its reasons.

    Raises ValueError if the three are not finite, not in order, or negative.

    >>> Range(1.0, 2.0, 4.0, "kg").central
    2.0
    """

    low: float
    central: float
    high: float
    unit: str
    reasons: tuple[Reason, ...] = ()

    def __post_init__(self) -> None:
        if not all(math.isfinite(value) for value in (self.low, self.central, self.high)):
            raise ValueError(f"a range must be finite: {self.low}, {self.central}, {self.high}")
        if not 0 <= self.low <= self.central <= self.high:
            raise ValueError(f"a range must be in order: {self.low}, {self.central}, {self.high}")

    def because(self, *reasons: Reason) -> Range:
        """The same range with more reasons."""
        return Range(self.low, self.central, self.high, self.unit, (*self.reasons, *reasons))

    def as_json(self) -> dict[str, float | str]:
        """``{low, central, high, unit}``, as every program gets it."""
        return {"low": self.low, "central": self.central, "high": self.high, "unit": self.unit}


def exact(value: float, unit: str, *reasons: Reason) -> Range:
    """A quantity without spread [unit]."""
    return Range(value, value, value, unit, reasons)


def _log_shape(factor: Range) -> tuple[float, float]:
    """Mean and standard deviation of the factor's logarithm [1]."""
    low, high = math.log(factor.low), math.log(factor.high)
    return (low + high) / 2, (high - low) / (2 * Z90)


def _combine(above: Iterable[Range], below: Iterable[Range], unit: str) -> Range:
    above, below = tuple(above), tuple(below)
    reasons = tuple(reason for factor in (*above, *below) for reason in factor.reasons)
    if any(factor.low == 0 for factor in below):
        raise ValueError("a range that reaches zero can't be divided by")
    central = math.prod(factor.central for factor in above) / math.prod(factor.central for factor in below)
    if any(factor.low == 0 for factor in above):
        # A logarithm has no value at zero: the only such input is a load of nothing.
        high = math.prod(f.high for f in above) / math.prod(f.low for f in below)
        return Range(0.0, central, high, unit, reasons)
    up, down = [_log_shape(f) for f in above], [_log_shape(f) for f in below]
    mean = sum(m for m, _ in up) - sum(m for m, _ in down)
    spread = math.sqrt(sum(s * s for _, s in (*up, *down)))
    # With no spread at all, the exponential of the sum of logarithms would differ in the last digit.
    low = min(math.exp(mean - Z90 * spread), central) if spread else central
    high = max(math.exp(mean + Z90 * spread), central) if spread else central
    return Range(low, central, high, unit, reasons)


def product(*factors: Range, unit: str) -> Range:
    """The product of independent positive factors [unit], in closed form.

    >>> mass = product(exact(10.0, "kg"), Range(0.55, 0.62, 0.75, "1"), unit="kg")
    >>> [round(value, 2) for value in (mass.low, mass.central, mass.high)]
    [5.5, 6.2, 7.5]
    """
    return _combine(factors, (), unit)


def quotient(above: Range, *below: Range, unit: str) -> Range:
    """``above`` divided by independent positive factors [unit], in closed form.

    >>> quotient(exact(2.0, "kg"), Range(0.4, 0.5, 0.75, "1"), unit="kg").central
    4.0
    """
    return _combine((above,), below, unit)
