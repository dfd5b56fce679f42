"""The baths of one liquor: how much of it and how much water goes to each load, and what comes of it.

Either each load gets as much of the liquor as its shade takes in its time, and the rest is kept; or all loads go
into the whole liquor in turn, each in what the one before it left.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from field_app.core.bands import ShadeWord, depth_of
from field_app.core.bath import Dyed, Load, Pot, dye_in_turn
from field_app.core.estimate import Range, exact, product
from field_app.core.uptake import reference_uptake, strength_for

__all__ = ["Mix", "in_turn", "shared_out"]


@dataclass(frozen=True, slots=True)
class Mix:
    """A bath: share of the whole liquor in it, share gone when it is full [1], litres of liquor and water [L]."""

    share: float
    until: float
    liquor: float
    water: float
    dyed: Dyed


def in_turn(whole: Pot, loads: Sequence[Load], ratio: float) -> list[Mix]:
    """All loads one after another in the whole liquor, filled up for the largest; ratio: of bath to cloth [L/kg]."""
    if not loads:
        return []
    volume = whole.volume.central
    water = max(0.0, ratio * max(load.cloth.central for load in loads) - volume)
    dyed = dye_in_turn(Pot(whole.dye, _more(whole.volume, water), whole.celsius, whole.constants, water), loads)
    return [Mix(1.0, 1.0, volume if not place else 0.0, water if not place else 0.0, one)
            for place, one in enumerate(dyed)]


def shared_out(whole: Pot, loads: Sequence[Load], ratio: float, shades: Sequence[ShadeWord]) -> list[Mix]:
    """Each load with what its shade takes of the liquor, as far as there is any; ratio: of bath to cloth [L/kg].

    >>> from field_app.core.estimate import exact
    >>> whole = Pot(exact(0.5, "kg"), exact(100.0, "L"))
    >>> mix, = shared_out(whole, [Load(exact(1.0, "kg"), "wool 1 kg", 2.0)], 30.0, ["light"])
    >>> round(mix.liquor, 1), round(mix.water, 1), mix.dyed.band.central
    (13.1, 16.9, 'light')
    """
    mixes, gone = [], 0.0
    full = reference_uptake(whole.constants)
    for load, shade in zip(loads, shades, strict=True):
        mass = load.cloth.central
        wanted = strength_for(depth_of(shade) * full, ratio, [load.hours] * load.dips, whole.celsius, whole.constants)
        needed = wanted * ratio * mass / 1000
        # Where hardly anything is left, the last of it goes in all the same, and the verdict says what comes of it.
        share = max(min(needed / whole.dye.central, 1 - gone), 1e-6) if whole.dye.central > 0 else 1.0
        liquor = share * whole.volume.central
        water = max(0.0, ratio * mass - liquor)
        part = exact(share, "1")
        pot = Pot(product(whole.dye, part, unit="kg"), _more(product(whole.volume, part, unit="L"), water),
                  whole.celsius, whole.constants, water)
        gone = min(1.0, gone + share)
        mixes.append(Mix(share, gone, liquor, water, dye_in_turn(pot, [load])[0]))
    return mixes


def _more(volume: Range, water: float) -> Range:
    """A volume filled up with water [L]: it is filled up to a mark, so its spread is not that of the liquor."""
    if not water:
        return volume
    mark = volume.central + water
    return Range(mark * 0.95, mark, mark * 1.05, "L", volume.reasons)
