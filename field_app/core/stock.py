"""What there still is of a dye stuff, over all lots, as air-dry stuff of full worth [kg].

1. A lot counts with what is left of it (left.py), in whatever state it is, liquor too.
2. Ripeness counts: old hull is worth less of the air-dry stuff that custom counts in.
3. What is spent or spoiled counts as nothing.
"""

from __future__ import annotations

from collections.abc import Iterable

from field_app.core.estimate import Range, exact, product
from field_app.core.left import estimate_left
from field_app.core.lots import LotNow
from field_app.core.totals import total

__all__ = ["air_dry_left", "in_store"]


def air_dry_left(lot: LotNow) -> Range:
    """What is left of a lot, as air-dry stuff of full worth [kg], by the figures in force for it.

    Raises Refused if its facts can't be read.
    """
    if lot.life.ended or lot.life.left.high <= 0:
        return exact(0.0, "kg")
    worth = estimate_left(lot)
    return product(worth.air_dry, *([worth.strength] if worth.strength else []), unit="kg")


def in_store(lots: Iterable[LotNow], material_key: str) -> Range:
    """All that is left of a material, as air-dry stuff of full worth [kg]."""
    return total((air_dry_left(lot) for lot in lots if lot.facts.material == material_key), unit="kg")
