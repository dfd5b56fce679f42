"""What a person can do to make an estimate narrower, and by how much, the most helpful first.

Nothing here is guessed: the range is worked out again with the spread of the factors that a check would settle
cut down to what a scale or a swatch leaves.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

from field_app.core.estimate import Range, product, quotient
from field_app.core.units import show_round
from field_app.words import later, tr

__all__ = ["SCALE", "SWATCH", "Check", "Factor", "worthwhile_checks"]

#: What a weighing leaves open, as a factor either way [1]: a scale of ± 3 % (common practice, no source).
SCALE = 1.03
#: What a swatch of one's own leaves open, as a factor either way [1]: ± 25 % (common practice, no source).
SWATCH = 1.25

Factor = Literal["net", "hull share", "dry matter", "strength", "wof"]

# Least part of the width that is worth a check: below it, nobody would see the band move.
_WORTH_IT = 0.05
_PARTS = (
    (1 / 20, later("a twentieth")), (1 / 10, later("a tenth")), (1 / 5, later("a fifth")), (1 / 4, later("a quarter")),
    (1 / 3, later("a third")),
    (2 / 5, later("two fifths")), (1 / 2, later("half")), (3 / 5, later("three fifths")), (2 / 3, later("two thirds")),
    (3 / 4, later("three quarters")),
    (9 / 10, later("nine tenths")),
)


@dataclass(frozen=True, slots=True)
class Check:
    """One thing to do, and by what part of its width the range of cloth would shrink [1]."""

    key: Literal["weigh", "hull", "dry", "swatch"]
    words: str
    shrinks: float

    def __str__(self) -> str:
        part = min(_PARTS, key=lambda part: abs(part[0] - self.shrinks))[1]
        return tr("{deed}: the range of cloth would shrink by about {part}.", deed=self.words, part=tr(part))


def worthwhile_checks(factors: Mapping[Factor, Range], *, weighed: bool, part: str) -> tuple[Check, ...]:
    """What would narrow the range of cloth, most helpful first (by the log-variance that it takes away).

    factors: of the chain from net mass [kg] to cloth [kg], "wof" being the one divided by;
    weighed: whether the net mass was weighed; part: the name of what holds the dye ("hull").
    """
    offers: list[tuple[Literal["weigh", "hull", "dry", "swatch"], str, dict[Factor, float]]] = []
    if not weighed:
        offers.append(("weigh", tr("Weigh the load"), {"net": SCALE}))
    if "hull share" in factors:
        offers.append(("hull", tr("Take the hulls off and weigh them without the nuts"),
                       {"net": 1.0, "hull share": SCALE}))
    offers.append(("dry", tr("Dry {mass} of the {part} until it loses no more weight, and weigh it again",
                             mass=show_round(0.2, "g"), part=part),
                   {"dry matter": SCALE}))
    offers.append(("swatch", tr("Dye a swatch of {mass} with the {part} and note how it came out",
                                mass=show_round(0.01, "g"), part=part),
                   {"strength": 1.0, "wof": SWATCH}))
    now = _width(factors)
    found = []
    for key, words, left in offers:
        shrinks = 1 - _width(_narrowed(factors, left)) / now if now else 0.0
        if shrinks >= _WORTH_IT:
            found.append(Check(key, words, shrinks))
    return tuple(sorted(found, key=lambda check: -check.shrinks))


def _narrowed(factors: Mapping[Factor, Range], left: Mapping[Factor, float]) -> dict[Factor, Range]:
    # The middle of the logarithm stays where it is, so that only the spread makes the difference.
    narrow = dict(factors)
    for name, factor in left.items():
        if name in factors:
            known = factors[name]
            middle = math.sqrt(known.low * known.high) or known.central
            narrow[name] = Range(middle / factor, middle, middle * factor, known.unit)
    return narrow


def _width(factors: Mapping[Factor, Range]) -> float:
    bare = [Range(one.low, one.central, one.high, one.unit) for name, one in factors.items() if name != "wof"]
    cloth = quotient(product(*bare, unit="kg"), factors["wof"], unit="kg")
    return cloth.high - cloth.low
