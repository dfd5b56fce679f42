"""What comes out of hull or bark in water: how much of it by when, and how much of that is strained off.

The law of this file:

1. What can be had, y∞, comes out in two parts: a share w(T) is washed off at once, the rest diffuses out slowly,
   y(t) = y∞ [w(T) + (1 − w(T)) (1 − e^(−k(T) t))]. Shape: two-compartment fits on plant stuff, Bucić-Kojić et al.
   2007, J. Food Eng. 81:236, and 2013, Food Chem. 136:1136.
2. From one temperature to the next the progress of the slow part goes on where it stood, and what was washed off
   stays off: the w of the hottest water so far holds.
3. w(T) and k(T) go by Arrhenius between the given temperatures: their logarithm is straight in 1/T.
   Beyond the ends the nearest two temperatures lead on.
4. Liquor is well mixed. What the spent stuff keeps back is as strong as what runs off, and goes into the next pot.

Nothing is lost on the way: what is strained off, kept back and not out yet add up to y∞.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from field_app.core.problems import refuse
from field_app.core.units import show_si
from field_app.words import tr

__all__ = ["GAS", "KELVIN", "Bath", "arrhenius", "between", "progress", "released", "strained_off"]

#: The molar gas constant [J/(mol K)], exact since 2019 (SI Brochure, 9th edition, as N_A k).
GAS = 8.31446261815324
#: 0 °C [K].
KELVIN = 273.15
#: Water that is neither frozen nor under pressure [°C].
_COLDEST, _HOTTEST = 0.0, 100.0


@dataclass(frozen=True, slots=True)
class Bath:
    """Some time in water of one temperature: hours [h], celsius [°C].

    Raises Refused if the time is negative or the water is not between ice and steam.
    """

    hours: float
    celsius: float

    def __post_init__(self) -> None:
        if not 0 <= self.hours < math.inf:
            raise refuse("time", tr("{hours:g} h is no time", hours=self.hours), tr("Give hours, 0 or more."))
        if not _COLDEST <= self.celsius <= _HOTTEST:
            raise refuse("temperature",
                         tr("{heat} is not that of water in an open pot", heat=show_si(self.celsius, "degC")),
                         tr("Give {coldest} to {hottest}.", coldest=show_si(0, "degC"), hottest=show_si(100, "degC")))


def arrhenius(energy: float, cold: float, hot: float) -> float:
    """How many times faster something goes at ``hot`` than at ``cold`` [K] with that energy [J/mol] to get over [1].

    Juglone on keratin fibre, Zi et al. 2018, Nat. Prod. Res. Dev. 30(3):362, has 30.09 kJ/mol:

    >>> round(arrhenius(30_090, 303, 333), 3)
    2.933
    """
    return math.exp(energy / GAS * (1 / cold - 1 / hot))


def between(points: Sequence[tuple[float, float]], celsius: float) -> float:
    """A positive value at a temperature [°C], from its values at two temperatures or more, in their order [its unit].

    >>> round(between([(25, 0.17), (70, 0.33), (90, 0.43)], 80), 3)
    0.378
    """
    at = 1
    while at < len(points) - 1 and celsius > points[at][0]:
        at += 1
    (cold, first), (hot, second) = points[at - 1], points[at]
    start, end = 1 / (cold + KELVIN), 1 / (hot + KELVIN)
    way = (start - 1 / (celsius + KELVIN)) / (start - end)
    return float(first * (second / first) ** way)


def progress(baths: Sequence[Bath], half_times: Sequence[tuple[float, float]]) -> float:
    """How far the slow part has come: the sum of k(T) t over the baths [1].

    half_times: how long half of it takes [min] at two temperatures or more [°C].

    >>> round(progress([Bath(1.0, 90)], [(20, 2880), (90, 30)]), 4)  # two half-times are 2 ln 2
    1.3863
    """
    return sum(bath.hours * 60 * math.log(2) / between(half_times, bath.celsius) for bath in baths if bath.hours)


def released(washed: float, slow: float) -> float:
    """The share of y∞ that is out [1], from the washed share w [1] and the progress of the slow part [1].

    >>> round(released(0.43, math.log(2)), 4)  # after one half-time, half of the rest
    0.715
    """
    return washed + (1 - washed) * -math.expm1(-slow)


def strained_off(out: Sequence[float], liquid: Sequence[float], kept: Sequence[float]) -> list[float]:
    """What runs off at each straining, as a share of y∞ [1].

    out: the share of y∞ that is out of the stuff by then [1], never falling; liquid: all liquid in the pot then [L];
    kept: what the spent stuff keeps back of it [L].
    Well mixed, 25 L in all and 5 L kept back for each kilogram of dry hull give 80 % and then 96 %;
    with 25 L of fresh water the second time, 96.7 % (mass balance):

    >>> [round(sum(strained_off([1, 1], liquid, [5, 5])), 3) for liquid in ([25, 25], [25, 30])]
    [0.96, 0.967]
    """
    found, dissolved, before = [], 0.0, 0.0
    for share, whole, stays in zip(out, liquid, kept, strict=True):
        dissolved += share - before
        before = share
        off = dissolved * (whole - stays) / whole
        found.append(off)
        dissolved -= off
    return found
