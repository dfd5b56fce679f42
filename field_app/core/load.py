"""From what was brought in to what it is worth: net mass, hull, dry matter, air-dry mass, cloth.

The chain: net mass × hull share (of whole fruit) = what holds the dye; × its dry matter = dry mass;
/ the dry matter of air-dry stuff = air-dry mass; × strength by ripeness / WOF = cloth.
Only the cloth knows of strength: what is old is not lighter, it dyes less.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Any

from field_app.core.amounts import amount_problems, net_mass, row_of
from field_app.core.cautions import Caution, cautions_for
from field_app.core.cloth import Shade, shades
from field_app.core.estimate import Range, Reason, exact, product, quotient
from field_app.core.facts import LotFacts
from field_app.core.keeping import UseBy, use_by
from field_app.core.materials import Material, Parameter, Part, condition, material, ripeness
from field_app.core.sources import source_said
from field_app.core.surer import Factor, worthwhile_checks
from field_app.core.units import show_number
from field_app.words import later, tr

__all__ = ["LotEstimate", "amount_problems", "estimate_lot", "net_mass", "ripe_strength", "strength_of"]

_PRACTICE = later("common practice, no source")
_DISAGREE = (later("working factor between two ends, central is their middle; the sources disagree: E. Mairet holds "
                   "in 1938 that only hull not yet oxidised dyes, in 1916 that a year under water betters it"))


@dataclass(frozen=True, slots=True)
class LotEstimate:
    """What a lot is worth, each mass [kg] as a range with its reasons.

    net: what was brought in; fresh_hull: what of it holds the dye, in the condition it is in
    (the same as net, but for whole fruit); dry_matter: without any water;
    air_dry: at the moisture of air-dry stuff, on which WOF is counted.
    strength: worth of the dry matter by ripeness [1], or None where it plays no part.
    nuts: what whole fruit leaves when hulled, not yet dried; surer: what would narrow the cloth, best first;
    factors: the unsure inputs of the chain by name; weighed: whether the net mass was weighed.
    """

    net: Range
    fresh_hull: Range
    dry_matter: Range
    air_dry: Range
    strength: Range | None
    shades: tuple[Shade, ...]
    nuts: Range | None
    surer: tuple[str, ...]
    cautions: tuple[Caution, ...]
    use_by: UseBy
    factors: Mapping[Factor, Range]
    weighed: bool

    def reasons(self) -> tuple[Reason, ...]:
        """Every reason of the chain once, from the scale to the cloth."""
        ranges = [self.net, self.fresh_hull, self.dry_matter, self.air_dry]
        ranges += [shade.cloth for shade in self.shades]
        ranges += [self.nuts] if self.nuts else []
        return tuple(dict.fromkeys(reason for one in ranges for reason in one.reasons))

    def as_json(self) -> dict[str, Any]:
        """The same as plain data; masses in [kg], shares in [1]."""
        return {
            "net": self.net.as_json(), "fresh_hull": self.fresh_hull.as_json(),
            "dry_matter": self.dry_matter.as_json(), "air_dry": self.air_dry.as_json(),
            "strength": self.strength.as_json() if self.strength else None,
            "shades": [shade.as_json() for shade in self.shades],
            "nuts": self.nuts.as_json() if self.nuts else None,
            "surer": list(self.surer), "cautions": [caution.as_json() for caution in self.cautions],
            "use_by": self.use_by.as_json(), "reasons": [reason.as_json() for reason in self.reasons()],
        }


def estimate_lot(facts: LotFacts, stuff: Material | None = None, *, net: Range | None = None,
                 weighed: bool | None = None) -> LotEstimate:
    """The whole chain for a lot; stuff: its material with the figures in force, those of the table if left out.

    net: what there is of it [kg], in place of what was brought in, and whether that was weighed.

    Raises Refused if an amount, the material, part, ripeness or condition can't be read.

    >>> from field_app.core.units import Measure
    >>> lot = LotFacts(site="urn:uuid:0", material="black-walnut", part="whole-fruit", basis="poured",
    ...                gathered="2026-10-08T15:24:00-02:00", pails="1", pail=Measure("1", "bu-us"))
    >>> worth = estimate_lot(lot)
    >>> [round(mass.central, 2) for mass in (worth.net, worth.fresh_hull, worth.air_dry)]
    [19.73, 12.24, 2.04]
    """
    stuff = stuff or material(facts.material)
    net = net_mass(facts, stuff) if net is None else net
    weighed = facts.basis == "weighed" if weighed is None else weighed
    part, state = stuff.part(facts.part), condition(facts.condition).key
    share = row_of(stuff, "hull-share", state) if part.key == "whole-fruit" else None
    dye_part = tr("hull") if share else part.said
    hull_share = share.range(tr("hull share of the fruit")) if share else None
    fresh_hull = product(net, hull_share, unit="kg") if hull_share else net
    dry = row_of(stuff, "dry", _dry_state(facts, part)).range(tr("dry matter of the {name}", name=dye_part))
    dry_matter = product(fresh_hull, dry, unit="kg")
    air_dry = quotient(dry_matter, _air_dry_basis(stuff), unit="kg")
    strength = strength_of(facts, part)
    dyes = shades(air_dry, stuff, strength)
    factors: dict[Factor, Range] = {"net": net, "dry matter": dry, "wof": dyes[1].wof}
    if hull_share:
        factors["hull share"] = hull_share
    if strength:
        factors["strength"] = strength
    return LotEstimate(
        net, fresh_hull, dry_matter, air_dry, strength, dyes,
        nuts=product(net, _nut_share(share), unit="kg") if share else None,
        surer=tuple(map(str, worthwhile_checks(factors, weighed=weighed, part=dye_part))),
        cautions=cautions_for(stuff.key, part.key, ("keep", "dye")), use_by=use_by(facts, stuff),
        factors=MappingProxyType(factors), weighed=weighed,
    )


def strength_of(facts: LotFacts, part: Part) -> Range | None:
    """What the dry matter is worth as dye beside firm green hull [1], or None where ripeness plays no part.

    Exactly 1 if it is firm green or if no ripeness was told.
    """
    if not part.shows_ripeness:
        return None
    if facts.ripeness is None:
        untold = Reason(tr("strength by ripeness"), tr("1, as no ripeness was told"), "default",
                        tr(_PRACTICE), "practice")
        return exact(1.0, "1", untold)
    return ripe_strength(facts.ripeness)


def ripe_strength(key: str) -> Range:
    """What stuff of a ripeness is worth as dye beside firm green hull [1]; Refused for a key that is not known."""
    ripe = ripeness(key)
    low, high = ripe.strength_low, ripe.strength_high
    central = (low + high) / 2
    name = tr("strength, {ripeness}", ripeness=ripe.said)
    if low == high:
        return exact(low, "1", Reason(name, show_number(low), "default", tr(_DISAGREE), "practice"))
    shown = f"{show_number(central)} ({show_number(low)}–{show_number(high)})"
    return Range(low, central, high, "1", (Reason(name, shown, "worked out", tr(_DISAGREE), "practice"),))


def _dry_state(facts: LotFacts, part: Part) -> str:
    turned = part.shows_ripeness and facts.ripeness in ("browned", "black")
    return "browned" if turned and facts.condition == "fresh" else facts.condition


def _air_dry_basis(stuff: Material) -> Range:
    # A convention, not an estimate: WOF of custom is counted at this moisture, so it has no spread.
    row = row_of(stuff, "dry", "air-dry")
    moisture = tr("{share} % moisture", share=show_number((1 - row.central) * 100))
    reason = Reason(tr("air-dry is counted at"), moisture, "worked out", source_said(row.source), row.mark)
    return exact(row.central, "1", reason)


def _nut_share(share: Parameter) -> Range:
    low, central, high = 1 - share.high, 1 - share.central, 1 - share.low
    shown = "{} % ({}–{})".format(*(show_number(value * 100) for value in (central, low, high)))
    reason = Reason(tr("nut share of the fruit"), shown, "worked out",
                    f"{tr('what the hull leaves')}; {source_said(share.source)}", share.mark)
    return Range(low, central, high, "1", (reason,))
