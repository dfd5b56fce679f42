"""A quantity that is not known exactly: low, central and high, and why.

Low and high are the 10 % and 90 % quantiles; central is the chain taken at its central values,
so it need not be the median.
A positive factor is taken as log-normal through its low and high, so a product or quotient of such factors
is log-normal again and its quantiles have a closed form: means add, variances add.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass, replace

from field_app.core.sources import source_said
from field_app.words import tr

__all__ = ["Z90", "Range", "Reason", "exact", "product", "quotient"]

#: The 90 % quantile of the standard normal distribution (NIST/SEMATECH e-Handbook, 1.3.6.7.1).
Z90 = 1.2815515655446004


@dataclass(frozen=True, slots=True)
class Reason:
    """Why a range is as it is: one input, how it came to be known, and from where.

    name: the input, as the person knows it ("hull share of the fruit"); value: the input as shown, with its unit;
    source: the published source of a default, or how a value was taken: all in the language spoken when it was made.
    basis: a key, shown by ``basis_words``: "weighed", "counted", "poured", "said", "own" (a value or tests of one's
    own), "default" or "worked out".
    mark: seen, weak, derived, memory or practice for a default, empty for what the person measured.
    """

    name: str
    value: str
    basis: str
    source: str = ""
    mark: str = ""

    def said(self) -> Reason:
        """The same in the language that is spoken, of a reason that is a constant of the program."""
        return replace(self, name=tr(self.name), value=tr(self.value), source=source_said(self.source))

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
        if not (math.isfinite(self.low) and math.isfinite(self.central) and math.isfinite(self.high)):
            raise ValueError(f"a range must be finite: {self.low}, {self.central}, {self.high}")
        if not 0 <= self.low <= self.central <= self.high:
            raise ValueError(f"a range must be in order: {self.low}, {self.central}, {self.high}")

    def because(self, *reasons: Reason) -> Range:
        """The same range with more reasons."""
        return Range(self.low, self.central, self.high, self.unit, (*self.reasons, *reasons))

    def said(self) -> Range:
        """The same in the language that is spoken, of a range that is a constant of the program."""
        return replace(self, reasons=tuple(reason.said() for reason in self.reasons))

    def as_json(self) -> dict[str, float | str]:
        """``{low, central, high, unit}``, as every program gets it."""
        return {"low": self.low, "central": self.central, "high": self.high, "unit": self.unit}


def exact(value: float, unit: str, *reasons: Reason) -> Range:
    """A quantity without spread [unit]."""
    return Range(value, value, value, unit, reasons)


def _combine(above: Iterable[Range], below: Iterable[Range], unit: str) -> Range:
    # One pass, for an estimate does this some twenty times and a phone has no time to spare.
    central, mean, variance, reaches_zero = 1.0, 0.0, 0.0, False
    reasons: list[Reason] = []
    above = tuple(above)
    for factor in above:
        central *= factor.central
        reasons += factor.reasons
        if factor.low > 0:
            low, high = math.log(factor.low), math.log(factor.high)
            mean += (low + high) / 2
            variance += ((high - low) / (2 * Z90)) ** 2
        else:
            reaches_zero = True
    lowest_below = 1.0
    for factor in below:
        if factor.low == 0:
            raise ValueError("a range that reaches zero can't be divided by")
        central /= factor.central
        lowest_below *= factor.low
        reasons += factor.reasons
        low, high = math.log(factor.low), math.log(factor.high)
        mean -= (low + high) / 2
        variance += ((high - low) / (2 * Z90)) ** 2
    if reaches_zero:
        # A logarithm has no value at zero: the only such input is a load of nothing, or nearly nothing left of one.
        return Range(0.0, central, max(math.prod(factor.high for factor in above) / lowest_below, central), unit,
                     tuple(reasons))
    if not variance:
        # With no spread at all, the exponential of the sum of logarithms would differ in the last digit.
        return Range(central, central, central, unit, tuple(reasons))
    half = Z90 * math.sqrt(variance)
    return Range(min(math.exp(mean - half), central), central, max(math.exp(mean + half), central), unit,
                 tuple(reasons))


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
