"""Colours to hold a swatch against: lighter and darker, warmer and greyer than what is expected."""

from __future__ import annotations

from dataclasses import dataclass

from field_app.core.estimate import Range
from field_app.core.kubelka import Colour, colour_of, dyed
from field_app.core.palette import Tint
from field_app.core.spectrum import reflectance_of
from field_app.words import later

__all__ = ["TURNS", "Patch", "patches"]

#: The rows of the card, from warm to grey: key, words, and the fall beside the expected one [1].
TURNS: tuple[tuple[str, str, float], ...] = (
    ("warmer", "warmer", 0.70), ("expected", later("as warm as expected"), 1.0), ("greyer", "greyer", 1.55))
#: The columns, from light to dark: the dye beside the expected one [1].
_STEPS = (0.25, 0.5, 1.0, 1.9, 3.6)


@dataclass(frozen=True, slots=True)
class Patch:
    """One colour to hold a swatch against: its row, its place in it, and the colour."""

    turn: str
    place: int
    colour: Colour


def patches(base: str, depth: Range, tint: Tint) -> tuple[Patch, ...]:
    """Three rows of five colours around what is expected; base: the cloth before, in hexadecimal; depth [1].

    >>> from field_app.core.estimate import exact
    >>> from field_app.core.materials import material
    >>> from field_app.core.palette import palette_of
    >>> tint = palette_of(material("black-walnut")).tints["none"]
    >>> [patch.colour.hex for patch in patches("#ece1ca", exact(0.7, "1"), tint) if patch.turn == "expected"]
    ['#b8966c', '#a27d53', '#89633d', '#704d2c', '#583a1f']
    """
    cloth, adds = reflectance_of(base), depth.central * tint.strength.central
    return tuple(Patch(turn, place, colour_of(dyed(cloth, adds * step, tint.fall.central * beside)))
                 for turn, _, beside in TURNS for place, step in enumerate(_STEPS))
