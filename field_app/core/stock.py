"""What there still is of a dye stuff, over all lots, as air-dry stuff of full worth [kg].

1. A lot counts with what is left of it, in the state in which it was weighed last.
2. Liquor counts with the share of the stuff that it was made of: half of the liquor, half of the stuff.
3. Ripeness counts: old hull is worth less of the air-dry stuff that custom counts in.
4. What is spent or spoiled counts as nothing.
"""

from __future__ import annotations

from collections.abc import Iterable

from field_app.core.estimate import Range, Reason, exact, product
from field_app.core.life import Step
from field_app.core.load import estimate_lot
from field_app.core.lots import LotNow
from field_app.core.totals import total
from field_app.core.units import Measure

__all__ = ["air_dry_left", "in_store"]


def air_dry_left(lot: LotNow) -> Range:
    """What is left of a lot, as air-dry stuff of full worth [kg], by the figures in force for it.

    Raises Refused if its facts can't be read.
    """
    measured = _last_measured(lot)
    left = lot.life.left
    if lot.life.ended or left.high <= 0:
        return exact(0.0, "kg")
    facts = lot.facts
    if measured is None:
        share = left.central / lot.net.central
    elif left.unit == "L":
        assert measured.facts.volume is not None  # its unit says so
        share = left.central / measured.facts.volume.si
    else:
        share = 1.0
        state = _state_after(lot, measured)
        hulled = facts.part == "whole-fruit" and lot.life.nuts_kg > 0
        facts = facts.model_copy(update={
            "basis": "weighed", "gross": Measure(f"{max(left.central, 1e-6):.6f}", "kg"), "tare": None,
            "condition": state, "part": "hull" if hulled else facts.part})
    worth = estimate_lot(facts, lot.stuff)
    taken = exact(max(share, 0.0), "1", *([] if share == 1 else [Reason(
        f"left of lot {lot.code}", f"{share * 100:.0f} %", "worked out")]))
    return product(worth.air_dry, taken, *([worth.strength] if worth.strength else []), unit="kg")


def _last_measured(lot: LotNow) -> Step | None:
    told = [step for step in lot.life.steps if step.facts.mass is not None or step.facts.volume is not None]
    return told[-1] if told else None


def _state_after(lot: LotNow, measured: Step) -> str:
    """Air-dry or soaked, if it was dried or soaked by then; else as it was gathered."""
    state = str(lot.facts.condition)
    for step in lot.life.steps:
        state = {"dried": "air-dry", "soaked": "soaked"}.get(step.facts.step, state)
        if step.id == measured.id:
            break
    return state


def in_store(lots: Iterable[LotNow], material_key: str) -> Range:
    """All that is left of a material, as air-dry stuff of full worth [kg]."""
    return total((air_dry_left(lot) for lot in lots if lot.facts.material == material_key), unit="kg")
