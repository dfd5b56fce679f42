"""How cloth takes dye out of a bath: a closed balance, a curved isotherm, and the time it takes.

In a bath of V litres with C₀ grams of dye to the litre, M kilograms of cloth take up q grams to the kilogram:

* nothing is lost: M·q + V·C = V·C₀ (1);
* at rest, after a long time, qₑ = K·Cⁿ (2, Freundlich 1907; it fits juglone on keratin fibre better than Langmuir's:
  Zi et al. 2018, Nat. Prod. Res. Dev. 30(3):362);
* on the way there q(t) = qₑ² k t / (1 + qₑ k t) (3, pseudo-second order, found by the same authors);
* k follows Arrhenius with 30.09 kJ/mol (4, the same authors).

The constants are assumed (common practice, no source) until a swatch of one's own teaches better ones: they are set so
that the reference bath gives up about 40 % of its dye, and that a bath at 85 °C gives a tan within minutes, most of
its colour in an hour, and hardly any more after 6 to 8 hours.
Repeated dips are taken to add up: what was taken up stays through rinsing and drying, and takes no room from the next
dip. That is why they go deeper than one long bath; it is assumed as well.
Everything here is in numbers without a range; bath.py puts the ranges around them.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

from field_app.core.extraction import KELVIN, arrhenius

__all__ = ["ASSUMED", "REFERENCE_RATIO", "REFERENCE_STRENGTH", "REFERENCE_WOF", "Constants", "Taken", "at_rest", "dip",
           "hours_for", "hours_to_share", "reference_depth", "reference_uptake", "strength_for", "taken_up"]

#: The reference bath (common practice, no source): 50 % WOF of air-dry walnut hull in 30 L to the kg of cloth.
REFERENCE_WOF, REFERENCE_RATIO = 0.50, 30.0
#: The extract in it [g/L].
REFERENCE_STRENGTH = 3.8


@dataclass(frozen=True, slots=True)
class Constants:
    """The constants of the bath.

    affinity: K [(g/kg) / (g/L)ⁿ]; power: n [1]; rate: qₑ·k in the reference bath [1/h]; celsius: its heat [°C];
    energy: what the heat has to get over [J/mol]. Raises ValueError unless all are above 0 and the power is below 1.
    """

    affinity: float = 28.0
    power: float = 0.6
    rate: float = 2.375
    celsius: float = 85.0
    energy: float = 30_090.0

    def __post_init__(self) -> None:
        if not min(self.affinity, self.power, self.rate, self.energy) > 0 or not self.power < 1:
            raise ValueError(f"a bath can't have such constants: {self}")

    def speed(self, celsius: float) -> float:
        """K of (3) at a heat [°C], in [kg/(g h)]; see (4)."""
        warmer = arrhenius(self.energy, self.celsius + KELVIN, celsius + KELVIN)
        return self.rate / reference_uptake(self) * warmer


#: What holds until somebody's own swatch teaches better.
ASSUMED = Constants()


@dataclass(frozen=True, slots=True)
class Taken:
    """What one dip did: dye taken up [g/kg of cloth], dye left in the bath [g/L], and qₑ [g/kg]."""

    uptake: float
    left: float
    at_rest: float


def at_rest(strength: float, ratio: float, constants: Constants = ASSUMED) -> float:
    """qₑ [g/kg]: the root of (1) and (2), by Newton's steps kept inside a bracket.

    strength: C₀ [g/L]; ratio: bath to cloth [L/kg]. Raises ValueError for a strength below 0 or no bath at all.

    >>> q = at_rest(3.8, 30)
    >>> round(q, 2), f"{q / (3.8 * 30):.0%} of the dye"
    (45.82, '40% of the dye')
    """
    if strength < 0 or not ratio > 0:
        raise ValueError(f"no such bath: {strength} g/L, {ratio} L/kg")
    dye, inverse = strength * ratio, 1 / constants.power
    low, high = 0.0, min(dye, constants.affinity * math.pow(strength, constants.power))
    # In q the balance q + V/M·(q/K)^(1/n) − V/M·C₀ rises and bends upwards, so from the right Newton can't overshoot.
    q = high
    for _ in range(200):
        bound = ratio * math.pow(q / constants.affinity, inverse)
        over = q + bound - dye
        if over > 0:
            high = q
        else:
            low = q
        if abs(over) <= 1e-14 * dye or not q > 0:
            break
        step = q - over / (1 + inverse * bound / q)
        q = step if low < step < high else (low + high) / 2
        if high - low <= 1e-15 * high:
            break
    return q


@lru_cache(maxsize=64)  # one chain asks for it several times, with the same constants
def reference_uptake(constants: Constants = ASSUMED) -> float:
    """qₑ of the reference bath [g/kg]; a depth of 1."""
    return at_rest(REFERENCE_STRENGTH, REFERENCE_RATIO, constants)


def reference_depth(wof: float, constants: Constants = ASSUMED) -> float:
    """The depth [1] that an amount on the weight of cloth [1] of air-dry walnut hull gives, at 30 L/kg and at rest.

    >>> [round(reference_depth(wof), 2) for wof in (0.12, 0.35, 0.5, 0.75)]
    [0.34, 0.77, 1.0, 1.33]
    """
    strength = REFERENCE_STRENGTH * wof / REFERENCE_WOF
    return at_rest(strength, REFERENCE_RATIO, constants) / reference_uptake(constants)


def taken_up(rest: float, hours: float, speed: float) -> float:
    """q(t) [g/kg] of (3), from qₑ [g/kg], the time [h] and k [kg/(g h)].

    >>> [f"{taken_up(1.0, hours, 2.375):.0%}" for hours in (0.05, 0.25, 1, 6, 8)]
    ['11%', '37%', '70%', '93%', '95%']
    """
    way = rest * speed * hours
    return rest * way / (1 + way)


def hours_for(rest: float, wanted: float, speed: float) -> float | None:
    """The time [h] after which so much is taken up [g/kg], or None if the bath never gives it.

    >>> round(hours_for(1.0, 0.7, 2.375), 2)
    0.98
    """
    if wanted <= 0:
        return 0.0
    return None if wanted >= rest else wanted / (speed * rest * (rest - wanted))


def hours_to_share(rest: float, share: float, speed: float) -> float:
    """The time [h] after which a share of qₑ [1, below 1] is taken up; infinite where there is no dye.

    >>> round(hours_to_share(1.0, 0.95, 2.375), 1)
    8.0
    """
    if not 0 <= share < 1:
        raise ValueError(f"the whole is never reached: {share}")
    return share / (1 - share) / (speed * rest) if rest > 0 else math.inf


def dip(strength: float, ratio: float, hours: Sequence[float], celsius: float, constants: Constants = ASSUMED) -> Taken:
    """One cloth in one bath, dipped once for each of ``hours`` [h], rinsed and dried between.

    strength: C₀ [g/L]; ratio: bath to cloth [L/kg]; celsius: heat of the bath [°C].
    What stays in the bath is left for whatever cloth comes next; see (1).

    >>> first = dip(3.8, 30, [1.0], 85)
    >>> round(first.uptake, 1), round(first.left, 2), round(30 * (3.8 - first.left), 1)
    (32.2, 2.73, 32.2)
    """
    speed, uptake, left, rest = constants.speed(celsius), 0.0, strength, 0.0
    for time in hours:
        rest = at_rest(left, ratio, constants)
        taken = taken_up(rest, time, speed)
        uptake += taken
        left = max(0.0, left - taken / ratio)
    return Taken(uptake, left, rest)


def strength_for(wanted: float, ratio: float, hours: Sequence[float], celsius: float,
                 constants: Constants = ASSUMED) -> float:
    """C₀ [g/L] of a bath that gives the cloth so much dye [g/kg] in these dips; found inside a bracket.

    >>> round(strength_for(32.24, 30, [1.0], 85), 2)
    3.8
    """
    if wanted <= 0:
        return 0.0
    low, high = max(wanted / ratio, 1e-9), max(wanted / ratio, 1e-9) * 2
    below, above = (dip(one, ratio, hours, celsius, constants).uptake for one in (low, high))
    while above < wanted:
        low, below, high = high, above, high * 4
        above = dip(high, ratio, hours, celsius, constants).uptake
        if high > 1e9:
            raise ValueError("no bath gives that much in no time")
    for turn in range(200):
        # Uptake is nearly a power of the strength, so a straight line between logarithms lands close;
        # every third step halves, so that no end stays where it is.
        share = 0.5 if turn % 3 == 2 else math.log(wanted / below) / math.log(above / below)
        middle = low * math.pow(high / low, share)
        found = dip(middle, ratio, hours, celsius, constants).uptake
        if abs(found / wanted - 1) <= 1e-12:
            return middle
        if found < wanted:
            low, below = middle, found
        else:
            high, above = middle, found
        if high / low - 1 <= 1e-13:
            break
    return math.sqrt(low * high)
