"""The lots of a plan, put together: how much of each goes in, and what one material's lots are worth in one pot.

The law of this file:

1. A lot goes in with the amount planned, or with all that is left of it; what of it is worth scales with that.
2. Lots of one material stand on the same table, so their ends add up (totals.py); the dry matter and the strength of
   the whole are the means of theirs, each counted by its mass.
3. A lot that is liquor by now brings its litres and the extract that is in them.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from types import MappingProxyType

from field_app.core.brew import Brew
from field_app.core.estimate import Range, Reason, exact, product
from field_app.core.left import estimate_left
from field_app.core.life import most_drawable
from field_app.core.liquor import liquor_of
from field_app.core.load import LotEstimate
from field_app.core.lots import LotNow
from field_app.core.materials import Material
from field_app.core.totals import total
from field_app.core.units import Measure, show_si
from field_app.words import tr

__all__ = ["Ready", "Taking", "gathered_load", "ready_liquor", "taking"]


@dataclass(frozen=True, slots=True)
class Taking:
    """What of a lot goes in.

    amount: how much [kg, or L once it is liquor]; short: how much more was planned than is left [kg or L];
    worth: what all that is left of the lot is worth; share: how much of that goes in [1];
    stuff: its material with the figures in force.
    """

    lot: LotNow
    stuff: Material
    amount: Range
    short: float
    worth: LotEstimate
    share: Range

    @property
    def is_liquor(self) -> bool:
        """Whether it is liquor already."""
        return self.amount.unit == "L"

    @property
    def words(self) -> str:
        """Code and amount: "4K7Q, 2.5 kg"."""
        return f"{self.lot.code}, {show_si(self.amount.central, self.amount.unit)}"


@dataclass(frozen=True, slots=True)
class Ready:
    """Liquor that is there already: extract in it [kg] and its volume [L]."""

    extract: Range
    volume: Range


def taking(lot: LotNow, planned: Measure | None, stuff: Material) -> Taking:
    """What of a lot goes in: the amount planned, or what is left where none is; never more than is left."""
    left = lot.life.left
    worth = estimate_left(lot, stuff)
    if planned is None or planned.kind != ("volume" if left.unit == "L" else "mass"):
        amount, short = left, 0.0
    else:
        wanted = planned.si
        short = max(0.0, wanted - most_drawable(lot.life))
        amount = exact(wanted - short, left.unit, Reason(tr("planned"), show_si(wanted, left.unit), "said"))
    share = min(1.0, amount.central / left.central) if left.central > 0 else 0.0
    told = Reason(tr("share of what is left of {code}", code=lot.code), f"{100 * share:.0f} %", "worked out")
    return Taking(lot, stuff, amount, short, worth, exact(share, "1", *([told] if share < 1 else [])))


def _scaled(value: Range, share: Range, unit: str = "kg") -> Range:
    return product(value, share, unit=unit)


def gathered_load(takings: Sequence[Taking]) -> LotEstimate:
    """What the lots of one material that are not liquor are worth together. Raises ValueError for none."""
    parts = [one for one in takings if not one.is_liquor and one.share.central > 0]
    if not parts:
        raise ValueError("nothing goes in")
    fresh = _sum((one.worth.fresh_hull, one.share) for one in parts)
    dry = _sum((one.worth.dry_matter, one.share) for one in parts)
    air_dry = _sum((one.worth.air_dry, one.share) for one in parts)
    first = parts[0].worth
    masses = [one.worth.fresh_hull.central * one.share.central for one in parts]
    factors = {**first.factors, "net": _sum((one.worth.net, one.share) for one in parts),
               "dry matter": _mean([one.worth.factors["dry matter"] for one in parts], masses)}
    strengths = [one.worth.strength for one in parts]
    strength = None
    if all(one is not None for one in strengths):
        strength = _mean([one for one in strengths if one is not None], masses)
        factors["strength"] = strength
    cautions = tuple(dict.fromkeys(caution for one in parts for caution in one.worth.cautions))
    return replace(first, net=factors["net"], fresh_hull=fresh, dry_matter=dry, air_dry=air_dry, strength=strength,
                   cautions=cautions, factors=MappingProxyType(factors),
                   weighed=all(one.worth.weighed for one in parts))


def _sum(parts: Iterable[tuple[Range, Range]]) -> Range:
    scaled = [_scaled(value, share) for value, share in parts]
    reasons = tuple(dict.fromkeys(reason for one in scaled for reason in one.reasons))
    return total(scaled, unit="kg").because(*reasons)


def _mean(values: Sequence[Range], weights: Sequence[float]) -> Range:
    whole = sum(weights)
    low, central, high = (sum(getattr(value, end) * weight for value, weight in zip(values, weights, strict=True))
                          / whole for end in ("low", "central", "high"))
    reasons = tuple(dict.fromkeys(reason for one in values for reason in one.reasons))
    return Range(low, min(max(central, low), high), high, values[0].unit, reasons)


def ready_liquor(takings: Sequence[Taking]) -> Ready | None:
    """The liquor that the lots of a plan bring along, or None if none of them is liquor yet."""
    parts = [one for one in takings if one.is_liquor and one.amount.central > 0]
    if not parts:
        return None
    extracts = []
    for one in parts:
        made = liquor_of(one.worth, one.stuff, Brew(strained=one.lot.life.left))
        extracts.append(_scaled(made.extract, one.share))
    reasons = tuple(dict.fromkeys(reason for one in extracts for reason in one.reasons))
    return Ready(total(extracts, unit="kg").because(*reasons), total([one.amount for one in parts], unit="L"))
