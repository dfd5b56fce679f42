"""How the spread of several inputs goes through a chain that is no plain product.

Sums, differences and curved steps have no closed form.
The method, the same for each of them, without any drawing of lots:

1. Each input is log-normal through its low and high (as in estimate.py); one whose low is nothing is straight on
   either side of its central value instead, and never below nothing.
2. The chain is worked out with all inputs at their medians, and then with one input at a time off its median, at
   the points of a Gauss-Hermite rule of three points. So each input has a part of its own in the result, and the
   parts are taken to add up (dimension reduction: Rahman and Xu 2004, Probabilistic Engineering Mechanics 19:393,
   from memory). For a product this is exact, as parts of a logarithm do add up.
3. Mean, variance and third moment of independent parts add, and give the 10 % and 90 % quantiles by the expansion of
   Cornish and Fisher (Abramowitz and Stegun, 26.2.49, from memory).
4. It is done for the result and for its logarithm, and the less skewed of the two holds.
5. Then the chain is worked out where the result is at its low and at its high with the least likely inputs in it;
   a result whose parts don't add up to that within 3 % is tried out in earnest:
   at 1,024 points that fill the space of the inputs evenly and are always the same (fill.py).

Tests compare the quantiles with 200,000 draws; they agree within 5 %.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass

from field_app.core.estimate import Z90, Range, Reason
from field_app.core.fill import even_deviations

__all__ = ["Spread", "log_variance", "spread"]

Chain = Callable[[Sequence[float]], Sequence[float]]
# Points and weights of the rule for the standard normal distribution (Abramowitz and Stegun, 25.4.46, from memory).
_POINT, _OUTER = math.sqrt(3.0), 1 / 6
# How well the parts must add up [1], and at how many points it is tried out if they don't [1].
_ADDS_UP, _POINTS = 0.03, 1024


@dataclass(frozen=True, slots=True)
class Spread:
    """One result of a chain: its range [unit] without reasons, and what share of its variance each input has [1].

    The shares are in the order of the inputs and add up to 1; all are 0 if nothing is unsure.
    """

    low: float
    central: float
    high: float
    shares: tuple[float, ...]

    def range(self, unit: str, reasons: tuple[Reason, ...] = ()) -> Range:
        """As a range [unit]."""
        return Range(self.low, self.central, self.high, unit, reasons)


@dataclass(frozen=True, slots=True)
class _Fit:
    """The parts of the inputs in one result, or in its logarithm: their moments, and the quantiles they make."""

    logs: bool
    centre: float
    pairs: Sequence[tuple[float, float]]
    variances: Sequence[float]
    low: float
    high: float
    skew: float


def log_variance(factor: Range) -> float:
    """Variance of the logarithm of a factor [1]; raises ValueError if it reaches zero.

    >>> round(log_variance(Range(0.5, 1.0, 2.0, "1")), 3)
    0.293
    """
    if factor.low <= 0:
        raise ValueError("a range that reaches zero has no logarithm")
    return ((math.log(factor.high) - math.log(factor.low)) / (2 * Z90)) ** 2


def spread(inputs: Sequence[Range], chain: Chain) -> tuple[Spread, ...]:
    """Every result of ``chain``, which takes one value for each input and gives one or more results.

    central is the chain at the central values; the results must not be negative.

    >>> area, = spread([Range(1.0, 2.0, 4.0, "m"), Range(0.5, 1.0, 2.0, "m")], lambda sides: [sides[0] * sides[1]])
    >>> [round(value, 2) for value in (area.low, area.central, area.high)], area.shares
    ([0.75, 2.0, 5.33], (0.5, 0.5))
    """
    central = chain([one.central for one in inputs])
    unsure = [place for place, one in enumerate(inputs) if one.low < one.high]
    if not unsure:
        return tuple(Spread(value, value, value, (0.0,) * len(inputs)) for value in central)
    medians = [_at(one, 0.0) for one in inputs]
    centre = chain(medians)
    off = []
    for place in unsure:
        values = list(medians)
        values[place] = _at(inputs[place], -_POINT)
        below = chain(values)
        values[place] = _at(inputs[place], _POINT)
        off.append((below, chain(values)))
    fits = [_better(centre[at], [(below[at], above[at]) for below, above in off]) for at in range(len(central))]
    quantiles = [(fit.low, fit.high) if not fit.logs else (math.exp(fit.low), math.exp(fit.high)) for fit in fits]
    bent = [at for at, fit in enumerate(fits) if not _adds_up(fit, at, inputs, unsure, medians, chain)]
    if bent:
        tried = _tried_out(inputs, unsure, medians, chain)
        quantiles = [tried[at] if at in bent else pair for at, pair in enumerate(quantiles)]
    results = []
    for fit, (low, high), value in zip(fits, quantiles, central, strict=True):
        whole, shares = math.fsum(fit.variances), [0.0] * len(inputs)
        for place, variance in zip(unsure, fit.variances, strict=True):
            shares[place] = variance / whole if whole else 0.0
        ends = (max(0.0, min(low, value)), max(high, value)) if whole else (value, value)
        results.append(Spread(ends[0], value, ends[1], tuple(shares)))
    return tuple(results)


def _at(one: Range, deviations: float) -> float:
    if one.low > 0:
        return float(math.sqrt(one.low * one.high) * (one.high / one.low) ** (deviations / (2 * Z90)))
    end = one.high if deviations > 0 else one.low
    return max(0.0, one.central + abs(deviations) / Z90 * (end - one.central))


def _better(centre: float, pairs: Sequence[tuple[float, float]]) -> _Fit:
    plain = _fit(centre, pairs, logs=False)
    if centre <= 0 or any(below <= 0 or above <= 0 for below, above in pairs):
        return plain
    logs = _fit(math.log(centre), [(math.log(below), math.log(above)) for below, above in pairs], logs=True)
    return logs if abs(logs.skew) <= abs(plain.skew) else plain


def _fit(centre: float, pairs: Sequence[tuple[float, float]], *, logs: bool) -> _Fit:
    mean, third, variances = centre, 0.0, []
    for below, above in pairs:
        down, up = below - centre, above - centre
        shift = _OUTER * (down + up)
        down, up = down - shift, up - shift
        variances.append(_OUTER * (down * down + up * up) + 4 * _OUTER * shift * shift)
        third += _OUTER * (down * down * down + up * up * up) - 4 * _OUTER * shift * shift * shift
        mean += shift
    variance = math.fsum(variances)
    if variance <= 0:
        return _Fit(logs, centre, pairs, variances, centre, centre, 0.0)
    deviation = math.sqrt(variance)
    skew = third / (variance * deviation)
    first, second = (Z90 * Z90 - 1) * skew / 6, (2 * Z90 * Z90 - 5) * Z90 * skew * skew / 36
    return _Fit(logs, centre, pairs, variances, mean + deviation * (first + second - Z90),
                mean + deviation * (first - second + Z90), skew)


def _adds_up(fit: _Fit, at: int, inputs: Sequence[Range], unsure: Sequence[int], medians: Sequence[float],
             chain: Chain) -> bool:
    """Whether the parts of a result add up where it is low and where it is high with the likeliest inputs."""
    whole = math.fsum(fit.variances)
    if whole <= 0:
        return True
    for side in (-Z90, Z90):
        values, expected = list(medians), fit.centre
        for place, variance, (below, above) in zip(unsure, fit.variances, fit.pairs, strict=True):
            away = side * math.sqrt(variance / whole) * (1 if above >= below else -1)
            # The parabola through the three points of this input.
            slope = (above - below) / (2 * _POINT)
            bend = (above + below - 2 * fit.centre) / (2 * _POINT * _POINT)
            expected += away * (slope + away * bend)
            values[place] = _at(inputs[place], away)
        found = chain(values)[at]
        if fit.logs:
            expected = math.exp(min(expected, 700.0))
        if abs(found - expected) > _ADDS_UP * abs(found):
            return False
    return True


def _tried_out(inputs: Sequence[Range], unsure: Sequence[int], medians: Sequence[float],
               chain: Chain) -> list[tuple[float, float]]:
    found = []
    values = list(medians)
    for point in even_deviations(len(unsure), _POINTS):
        for place, away in zip(unsure, point, strict=True):
            values[place] = _at(inputs[place], away)
        found.append(chain(values))
    low, high = round(0.1 * _POINTS), round(0.9 * _POINTS)
    columns = (sorted(column) for column in zip(*found, strict=True))
    return [(column[low], column[high]) for column in columns]
