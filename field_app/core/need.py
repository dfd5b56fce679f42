"""The other way round: how much must be gathered for some cloth and a shade, less what is in store.

By custom it is cloth times the amount on its weight, back through the chain of load.py:
air-dry stuff, fresh hull, whole fruit. So what `need` asks for is what `estimate` says is enough, and the other way.
Beside it stands what the bath says (uptake.py), with its assumed constants.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from field_app.core.amounts import row_of
from field_app.core.bands import SHADES, ShadeWord, depth_of, extract_share, wof_of, worth_of
from field_app.core.bath import CUSTOM_HOURS, assumed
from field_app.core.cloth import DARK_WORDS
from field_app.core.estimate import Range, Reason, exact, product, quotient
from field_app.core.load import ripe_strength
from field_app.core.materials import Material
from field_app.core.problems import refuse
from field_app.core.spread import spread
from field_app.core.units import show_number
from field_app.core.uptake import REFERENCE_RATIO, Constants, reference_uptake, strength_for
from field_app.words import tr

__all__ = ["Need", "lacking", "need_for", "read_shade"]


@dataclass(frozen=True, slots=True)
class Need:
    """What some cloth takes, each as a range.

    air_dry, hull_fresh, whole_fruit: the same amount in three forms [kg], whole_fruit None where there is none;
    in_store: of air-dry stuff of full worth [kg]; still_to_gather: air-dry [kg], still_hull and still_fruit the same
    as fresh hull and as whole fruit; by_bath: air-dry by the bath alone [kg]; words: what else there is to say.
    """

    material: str
    shade: ShadeWord
    cloth: Range
    air_dry: Range
    hull_fresh: Range
    whole_fruit: Range | None
    in_store: Range
    still_to_gather: Range
    still_hull: Range
    still_fruit: Range | None
    by_bath: Range
    words: tuple[str, ...]

    def as_json(self) -> dict[str, Any]:
        """The same as plain data, masses in [kg]."""
        def told(one: Range | None) -> dict[str, Any] | None:
            return one.as_json() if one else None

        return {"material": self.material, "shade": self.shade, "cloth": told(self.cloth),
                "whole_fruit": told(self.whole_fruit), "hull_fresh": told(self.hull_fresh),
                "air_dry": told(self.air_dry), "in_store": told(self.in_store),
                "still_to_gather": told(self.still_to_gather),
                "still_as": {"whole_fruit": told(self.still_fruit), "hull_fresh": told(self.still_hull),
                             "air_dry": told(self.still_to_gather)},
                "by_bath": told(self.by_bath), "words": list(self.words),
                "reasons": [reason.as_json() for reason in self.reasons()]}

    def reasons(self) -> tuple[Reason, ...]:
        """Every reason once, from the cloth to the tree."""
        ranges = [self.air_dry, self.hull_fresh, *([self.whole_fruit] if self.whole_fruit else []), self.by_bath]
        return tuple(dict.fromkeys(reason for one in ranges for reason in one.reasons))


def read_shade(text: str, *, where: str = "shade") -> ShadeWord:
    """One of the four shades as typed; Refused with the words there are.

    >>> read_shade(" Medium ")
    'medium'
    """
    for shade in SHADES:
        if text.strip().casefold() == shade:
            return shade
    raise refuse(where, tr("{text!r:.60} is no shade", text=text),
                 tr("Choose one of: {choices}.", choices=", ".join(SHADES)))


def need_for(cloth: Range, shade: ShadeWord, stuff: Material, store: Range | None = None, ripe: str = "",
             ratio: float = REFERENCE_RATIO, hours: float = CUSTOM_HOURS) -> Need:
    """What it takes to dye some air-dry, scoured cloth [kg] to a shade with a material in force.

    store: air-dry stuff of full worth that is there already [kg]; ripe: a key of the table of ripeness that is going
    to be gathered, empty for firm green; ratio [L/kg] and hours [h]: of the bath, for the other route.
    Raises Refused if the table lacks a figure.

    >>> from field_app.core.materials import material
    >>> found = need_for(exact(3.0, "kg"), "medium", material("black-walnut"))
    >>> [round(one.central, 2) for one in (found.air_dry, found.hull_fresh, found.whole_fruit)]
    [1.5, 9.0, 14.52]
    """
    store = store or exact(0.0, "kg")
    wof = wof_of(stuff, shade)
    strength = ripe_strength(ripe) if ripe and stuff.parts[-1].shows_ripeness else None
    needed = product(cloth, wof, unit="kg")
    air_dry = quotient(needed, strength, unit="kg") if strength else needed
    still = lacking(needed, store)
    still_dry = quotient(still, strength, unit="kg") if strength else still
    hull, still_hull = _fresh(air_dry, stuff, ripe), _fresh(still_dry, stuff, ripe)
    fruit, still_fruit = _whole(hull, stuff), _whole(still_hull, stuff)
    by_bath = _by_bath(cloth, shade, stuff, strength, ratio, hours)
    return Need(stuff.key, shade, cloth, air_dry, hull, fruit, store, still_dry, still_hull, still_fruit, by_bath,
                _words(shade, air_dry, by_bath, hours))


def lacking(needed: Range, store: Range) -> Range:
    """What is needed less what is there, never below nothing [the unit of both].

    Both ends by the root of the sum of squares, for one is not off because the other is.

    >>> lacking(Range(2.0, 3.0, 5.0, "kg"), Range(0.5, 1.0, 1.5, "kg")).central
    2.0
    """
    if store.high <= 0:
        return needed
    central = needed.central - store.central
    down = math.hypot(needed.central - needed.low, store.high - store.central)
    up = math.hypot(needed.high - needed.central, store.central - store.low)
    told = Reason(tr("in store, as air-dry stuff of full worth"), f"{show_number(store.central)} {store.unit}",
                  "worked out")
    return Range(max(0.0, central - down), max(0.0, central), max(0.0, central + up), needed.unit,
                 (*needed.reasons, told))


def _fresh(air_dry: Range, stuff: Material, ripe: str) -> Range:
    """Air-dry stuff as fresh stuff [kg]; the exact way back of load.py."""
    basis = exact(row_of(stuff, "dry", "air-dry").central, "1")
    part = stuff.parts[-1]
    state = "browned" if ripe in ("browned", "black") and part.shows_ripeness else "fresh"
    dry = row_of(stuff, "dry", state).range(tr("dry matter of the {name}", name=part.said))
    return quotient(product(air_dry, basis, unit="kg"), dry, unit="kg")


def _whole(hull: Range, stuff: Material) -> Range | None:
    if not any(part.key == "whole-fruit" for part in stuff.parts):
        return None
    share = row_of(stuff, "hull-share", "fresh").range(tr("hull share of the fruit"))
    return quotient(hull, share, unit="kg")


def _by_bath(cloth: Range, shade: ShadeWord, stuff: Material, strength: Range | None, ratio: float,
             hours: float) -> Range:
    aim, share = depth_of(shade), extract_share(stuff)
    inputs = [cloth, worth_of(stuff), *assumed(), *([strength] if strength else [])]

    def chain(values: Sequence[float]) -> list[float]:
        mass, worth, affinity, rate, *ripeness = values
        constants = Constants(affinity=affinity, rate=rate)
        wanted = aim * reference_uptake(constants)
        dye = strength_for(wanted, ratio, [hours], constants.celsius, constants) * ratio * mass / 1000
        return [dye / worth / share / (ripeness[0] if ripeness else 1.0)]

    found, = spread(inputs, chain)
    return found.range("kg", tuple(dict.fromkeys(reason for one in inputs for reason in one.reasons)))


def _words(shade: ShadeWord, custom: Range, bath: Range, hours: float) -> tuple[str, ...]:
    times = bath.central / custom.central
    long = show_number(hours)
    told = (tr("By the bath, in one dip of {hours} h, it takes as much as what custom has.", hours=long)
            if 0.9 <= times <= 1.1
            else tr("By the bath, in one dip of {hours} h, it takes {times} times what custom has.", hours=long,
                    times=show_number(times)))
    return (told, tr(DARK_WORDS)) if shade == "dark" else (told,)
