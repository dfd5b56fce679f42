"""Everything that is worked out of a load, as one value: what screens show and what programs get.

The members of the plain data are a contract with other programs: each quantity is ``{low, central, high, unit}``.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from dataclasses import dataclass, replace
from types import MappingProxyType
from typing import Any

from field_app.core.brew import Brew
from field_app.core.estimate import Range, Reason
from field_app.core.facts import LotFacts
from field_app.core.keeping import STORAGES, Storage, UseBy, liquor_use_by, use_by_now
from field_app.core.left import estimate_left, left_of, scaled
from field_app.core.liquor import Liquor, liquor_of
from field_app.core.load import LotEstimate, estimate_lot
from field_app.core.lots import LotNow
from field_app.core.materials import Material, material
from field_app.core.problems import Problem, Refused, refuse
from field_app.words import tr

__all__ = ["Estimated", "estimated", "estimated_lot"]


@dataclass(frozen=True, slots=True)
class Estimated:
    """A load, its material with the figures in force, what it is worth, how it is brewed, and its liquor.

    facts: of the load, in the state in which it is counted; liquor: None where none can be made of it, and
    ``problems`` say why; use_by: how long what there is now keeps, None if nothing is left;
    liquor_keeps: how long its liquor is good for, by how it is stored.
    """

    facts: LotFacts
    stuff: Material
    load: LotEstimate
    brew: Brew
    liquor: Liquor | None
    problems: tuple[Problem, ...]
    use_by: UseBy | None
    liquor_keeps: Mapping[Storage, UseBy]

    @property
    def no_liquor(self) -> str:
        """Why there is no liquor, or empty."""
        return " ".join(map(str, self.problems))

    def reasons(self) -> tuple[Reason, ...]:
        """Every reason once, from the scale to the cloth and the liquor."""
        of_liquor = self.liquor.reasons() if self.liquor else ()
        return tuple(dict.fromkeys((*self.load.reasons(), *of_liquor)))

    def as_json(self) -> dict[str, Any]:
        """The contract: one object of plain data."""
        load, liquor = self.load.as_json(), self.liquor.as_json() if self.liquor else None
        made = liquor or {}
        return {
            "material": self.stuff.key, "form": self.facts.part, "state": self.facts.condition,
            "ripeness": self.facts.ripeness,
            "fresh_mass": load["net"], "hull_mass": load["fresh_hull"], "dry_matter": load["dry_matter"],
            "air_dry_mass": load["air_dry"], "nuts": load["nuts"],
            **{name: made.pop(name, None) for name in ("extract", "liquor_volume", "liquor_strength")},
            "use_by": self.use_by.as_json() if self.use_by else None,
            "liquor_use_by": {storage: by.as_json() for storage, by in self.liquor_keeps.items()},
            "shades": [{"shade": shade.name, "wof": shade.wof.as_json(), "fibre_mass": shade.cloth.as_json()}
                       for shade in self.load.shades],
            "liquor": liquor, "no_liquor": self.no_liquor or None, "surer": load["surer"],
            "cautions": load["cautions"], "reasons": [reason.as_json() for reason in self.reasons()]}


def estimated(facts: LotFacts, stuff: Material, brew: Brew, *, brewed: dt.date) -> Estimated:
    """Everything of a load as it was brought in; brewed: the day on which its liquor would be made.

    Raises Refused if an amount can't be read, the table lacks a figure, or nothing would run off.
    """
    load = estimate_lot(facts, stuff)
    return Estimated(facts, stuff, load, brew, liquor_of(load, stuff, brew), (), load.use_by,
                     _kept(brewed, stuff))


def estimated_lot(lot: LotNow, brew: Brew, *, brewed: dt.date) -> Estimated:
    """Everything of what is left of a lot; once it is liquor, that liquor as it was measured.

    Raises Refused if its material is not known here.
    """
    stuff = lot.stuff or material(lot.facts.material)
    left, load = left_of(lot), estimate_left(lot, stuff)
    made, liquor = brewed, None
    problems: tuple[Problem, ...] = ()
    if left.volume is not None:
        made = next(step for step in lot.life.steps if step.facts.volume is not None).at.date()
    try:
        if not load.net.central > 0:
            raise refuse("lot", tr("nothing is left of it"), tr("Log another, or look at its history."))
        if left.volume is None or brew.strained is not None:
            # What one has measured just now is what there is.
            liquor = liquor_of(load, stuff, brew)
        else:
            brew = replace(brew, strained=left.volume,
                           water=None if brew.water is None else brew.water * left.share_then)
            then = estimate_lot(left.facts, stuff, net=scaled(left.mass, left.share_then), weighed=left.weighed)
            liquor = _still_there(liquor_of(then, stuff, brew), lot.life.left, left.volume)
    except Refused as refused:
        problems = refused.problems
    return Estimated(left.facts, stuff, load, brew, liquor, problems, use_by_now(lot.facts, lot.life, stuff),
                     _kept(made, stuff))


def _kept(made: dt.date, stuff: Material) -> Mapping[Storage, UseBy]:
    return MappingProxyType({storage: liquor_use_by(made, stuff, storage) for storage in STORAGES})


def _still_there(liquor: Liquor, volume: Range, measured: Range) -> Liquor:
    """Of liquor that was measured [L] what is left [L]: as strong as it was, with its share of the extract."""
    share = volume.central / measured.central
    low, central, high = (share * value for value in (liquor.extract.low, liquor.extract.central, liquor.extract.high))
    extract = Range(low, central, high, "kg", liquor.extract.reasons)
    return replace(liquor, volume=volume, extract=extract)
