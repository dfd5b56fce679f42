"""The units in which this person types: which one is offered first, and what a bare number in a field means."""

from __future__ import annotations

from field_app.core.measures import SI_UNITS, Kind
from field_app.core.units import UNITS, label_of, offered_first

__all__ = ["amount_text", "chips_of", "in_own", "own_label", "own_unit", "same_kind"]


def own_unit(kind: Kind, *, small: bool = False) -> str:
    """The key of the unit of a kind that this person uses: for a load or a bath, or for little.

    >>> own_unit("mass"), own_unit("mass", small=True), own_unit("volume")
    ('kg', 'g', 'L')
    """
    return offered_first(kind)[1 if small else 0]


def own_label(kind: Kind, *, small: bool = False) -> str:
    """How that unit is shown."""
    return label_of(own_unit(kind, small=small))


def same_kind(unit: str) -> str:
    """The unit of this person for what the core counts in a unit of its own.

    >>> same_kind("L"), same_kind("kg")
    ('L', 'kg')
    """
    return own_unit(UNITS[unit].kind)


def chips_of(keys: tuple[str, ...]) -> list[tuple[str, str]]:
    """Units to choose from, as chips take them."""
    return [(key, label_of(key)) for key in keys]


def amount_text(number: str, unit: str) -> str:
    """A number with the unit beside it; what has a unit of its own keeps it.

    >>> amount_text("3,5", "kg"), amount_text("1 lb 4 oz", "kg"), amount_text("", "kg")
    ('3,5 kg', '1 lb 4 oz', '')
    """
    body = number.strip()
    return f"{body} {UNITS[unit].label}" if body and not any(sign.isalpha() for sign in body) else body


def in_own(number: str, kind: Kind, *, unit: str = "") -> str:
    """A bare number of a field as it is meant: in this person's unit, or in *unit*.

    One in the unit that is understood anyway is left as it was typed.
    """
    meant = unit or own_unit(kind)
    return number if meant == SI_UNITS[kind] else amount_text(number, meant)
