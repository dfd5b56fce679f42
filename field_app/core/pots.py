"""Pots: how much fits, how often they must be filled for a load, and what boils off them.

What boils off follows the surface of the liquor and the time, never its volume.
A kilogram of stuff or of water is taken to fill one litre of a pot.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from field_app.core.problems import refuse
from field_app.core.units import show_round, show_si
from field_app.words import tr

__all__ = ["FULL", "SURFACE_PER_LITRE", "Filling", "Kettles", "Pot", "boiled_off", "kettles"]

#: The share of a pot that is filled, so that it doesn't boil over and can be stirred [1] (common practice, no source).
FULL = 0.8
#: The surface for each litre where no pot is told [m²/L]: 16 L in a pot 30 cm wide (common practice, no source).
SURFACE_PER_LITRE = math.pi * 0.15**2 / 16
_MOST_LITRES, _WIDEST = 5000.0, 3.0


@dataclass(frozen=True, slots=True)
class Pot:
    """A pot: what it holds to the rim [L], how wide it is inside [m], and what it is called.

    Raises Refused if one of them is not that of a pot.

    >>> round(Pot(40, 0.40).surface, 4), Pot(40, 0.40).useful
    (0.1257, 32.0)
    """

    volume: float
    diameter: float
    name: str = ""

    def __post_init__(self) -> None:
        if not 0 < self.volume <= _MOST_LITRES:
            raise refuse("pot", tr("{amount} is not the size of a pot", amount=show_si(self.volume, "L")),
                         tr("Give what it holds, as in {example}.", example=show_round(40, "L")))
        if not 0 < self.diameter <= _WIDEST:
            raise refuse("pot", tr("{amount} is not the width of a pot", amount=show_si(self.diameter, "m")),
                         tr("Give its width, as in {example}.", example=show_round(0.38, "cm")))

    @property
    def surface(self) -> float:
        """The open surface of what is in it [m²]."""
        return math.pi * (self.diameter / 2) ** 2

    @property
    def useful(self) -> float:
        """What may be put in, with head room [L]."""
        return self.volume * FULL


@dataclass(frozen=True, slots=True)
class Filling:
    """What goes into one pot each time: stuff [kg] and water [L]."""

    pot: Pot
    stuff: float
    water: float

    def as_json(self) -> dict[str, Any]:
        """The same as plain data; volumes in [L], width in [m], stuff in [kg]."""
        return {"pot": self.pot.name, "volume": self.pot.volume, "diameter": self.pot.diameter, "stuff": self.stuff,
                "water": self.water}


@dataclass(frozen=True, slots=True)
class Kettles:
    """How a load is boiled: so many times [1], the same each time, in these pots.

    surface: that of all pots, over all times [m²].
    """

    times: int
    fillings: tuple[Filling, ...]
    surface: float

    def as_json(self) -> dict[str, Any]:
        """The same as plain data."""
        return {"times": self.times, "fillings": [filling.as_json() for filling in self.fillings]}


def kettles(stuff: float, water: float, pots: Sequence[Pot]) -> Kettles:
    """How often the pots must be filled for so much stuff [kg] and water [L]; as few pots as do it at once.

    Raises Refused if there is no pot.

    >>> plan = kettles(12.0, 36.0, [Pot(40, 0.40), Pot(20, 0.30)])
    >>> plan.times, [(filling.stuff, filling.water) for filling in plan.fillings]
    (1, [(8.0, 24.0), (4.0, 12.0)])
    >>> kettles(12.0, 36.0, [Pot(20, 0.30)]).times
    3
    """
    if not pots:
        raise refuse("pot", tr("none is given"), tr("Give one pot at least, as in {example}.",
                         example=f"{show_round(40, 'L')}, {show_round(0.38, 'cm')}"))
    whole = stuff + water
    chosen: list[Pot] = []
    for pot in sorted(pots, key=lambda pot: -pot.useful):
        chosen.append(pot)
        if sum(one.useful for one in chosen) >= whole:
            break
    room = sum(pot.useful for pot in chosen)
    # A hair more than full is a rounding of the litres, not one more boil.
    times = max(1, math.ceil(whole / room - 1e-9))
    fillings = tuple(Filling(pot, stuff / times * pot.useful / room, water / times * pot.useful / room)
                     for pot in chosen)
    return Kettles(times, fillings, times * sum(pot.surface for pot in chosen))


def boiled_off(surface: float, hours: float, rate: float) -> float:
    """What boils off a surface [m²] in a time [h] at a rate [L/(h m²)]: so many litres [L].

    >>> round(boiled_off(Pot(40, 0.40).surface, 2, 20), 2)
    5.03
    """
    return surface * hours * rate
