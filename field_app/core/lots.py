"""A lot as it stands now: one load, from one place and time."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable
from dataclasses import dataclass

from field_app.core.estimate import Range
from field_app.core.facts import DrawFacts, LotFacts, StepFacts, gathered_at
from field_app.core.life import Draw, LotLife, Step, live
from field_app.core.load import net_mass
from field_app.core.materials import Material
from field_app.core.own import InForce
from field_app.core.positions import Position
from field_app.core.records import Thing
from field_app.words import tr

__all__ = ["LotNow", "lot_now"]


@dataclass(frozen=True, slots=True)
class LotNow:
    """A lot: its short code, its facts, where it was gathered, and its net mass [kg].

    position: where the fix was taken, or else where the site is; None if neither is known.
    position_is_site: True if the position is the site's; life: what became of it, and what is left;
    stuff: its material with what is of one's own, or None if this program doesn't know it.
    """

    id: str
    code: str
    facts: LotFacts
    position: Position | None
    position_is_site: bool
    site_name: str
    net: Range
    heads: tuple[str, ...]
    changed: str
    life: LotLife
    stuff: Material | None = None

    @property
    def gathered(self) -> dt.datetime:
        """When it was gathered, with the offset that the person saw."""
        return gathered_at(self.facts)


def lot_now(thing: Thing, *, code: str, site: Thing | None, steps: Iterable[Thing] = (),
            draws: Iterable[Thing] = (), in_force: InForce | None = None) -> LotNow:
    """A lot from what holds about it, about its site, and about what was done with it and drawn from it.

    in_force: gives its material with what is of one's own; left out, it is as the table has it.

    Raises Refused if the amounts can't be read, and pydantic's ValidationError if facts are not of their kind.
    """
    facts = LotFacts.model_validate(dict(thing.facts))
    stuff = (in_force or InForce()).for_lot(facts, thing.id)
    net = net_mass(facts, stuff)
    own = thing.position
    place = own or (site.position if site is not None else None)
    return LotNow(
        id=thing.id, code=code, facts=facts,
        position=None if place is None else Position(*place),
        position_is_site=own is None and place is not None,
        site_name=tr("a place not known here") if site is None else str(site.facts["name"]),
        net=net, heads=thing.heads, changed=thing.last_hlc,
        life=live(facts, net,
                  [Step(step.id, StepFacts.model_validate(dict(step.facts)), step.last_hlc) for step in steps],
                  [Draw(draw.id, DrawFacts.model_validate(dict(draw.facts)), draw.last_hlc) for draw in draws]),
        stuff=stuff,
    )
