"""What is left of a lot, as a load: so that what it is said to dye is what there still is.

The law of this file:

1. Once a lot was weighed again, that mass counts, in the state it had by then: air-dry once dried, soaked once under
   water, hull alone once its nuts were put by.
2. Draws are taken off (life.py).
3. Of a lot that became liquor, what holds the colour is the stuff that went into the pot. Of that, the share counts
   that its litres are of all the litres there were, at each measuring; boiling down takes no colour away.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from field_app.core.estimate import Range, Reason
from field_app.core.facts import LotFacts
from field_app.core.life import LotLife, Step, amount_of, drawn_between
from field_app.core.load import LotEstimate, estimate_lot
from field_app.core.lots import LotNow
from field_app.core.materials import Material
from field_app.words import tr

__all__ = ["Left", "estimate_left", "left_of", "scaled"]


@dataclass(frozen=True, slots=True)
class Left:
    """What is left of a lot, or went into its pot: facts in the state it had when its mass became known, and mass [kg].

    share: of that mass, what is still there once it is liquor [1]; volume: of the liquor when it was last
    measured [L], or None before it became liquor, and ``share_then`` what was there then [1];
    weighed: whether the mass was weighed; nuts_out: whether the nuts were put by.
    """

    facts: LotFacts
    mass: Range
    weighed: bool
    share: float = 1.0
    volume: Range | None = None
    share_then: float = 1.0
    nuts_out: bool = False


def left_of(lot: LotNow) -> Left:
    """What is left of a lot; nothing at all once it is used up or has ended."""
    life, facts = lot.life, lot.facts
    measured = [(at, step) for at, step in enumerate(life.steps) if amount_of(step) is not None]
    first = next((at for at, step in measured if step.facts.volume is not None), None)
    weighings = [at for at, step in measured if step.facts.mass is not None and (first is None or at < first)]
    last = weighings[-1] if weighings else None
    turned, hulled = _turned(facts, life.steps, last)
    changed = facts.model_copy(update=turned)
    if first is None:
        return Left(changed, life.left, life.measured, nuts_out=hulled)
    base = lot.net if last is None else amount_of(life.steps[last])
    assert base is not None  # a weighing has an amount
    into_pot = drawn_between(base, life.draws, None if last is None else life.steps[last].at, life.steps[first].at)
    share_then, volume, share = _in_the_pot(life, first)
    return Left(changed, into_pot, last is not None or facts.basis == "weighed", share, volume, share_then, hulled)


def _turned(facts: LotFacts, steps: Sequence[Step], last: int | None) -> tuple[dict[str, str], bool]:
    """What the steps up to the last weighing changed of what it is, and whether its nuts are out of it."""
    if last is None:
        return {}, False
    changed: dict[str, str] = {}
    until = steps[:last + 1]
    for step in until:
        if step.facts.step in ("soaked", "dried"):
            changed["condition"] = "soaked" if step.facts.step == "soaked" else "air-dry"
    hulled = facts.part == "whole-fruit" and any(step.facts.nuts is not None for step in until)
    if hulled:
        changed["part"] = "hull"
    return changed, hulled


def _in_the_pot(life: LotLife, first: int) -> tuple[float, Range, float]:
    """The liquor when it was last measured [L], and what share of its colour was there then, and is there now [1]."""
    pots = [(step.at, amount) for step in life.steps[first:]
            if step.facts.volume is not None and (amount := amount_of(step)) is not None]
    share_then = share = 1.0
    for at, (since, volume) in enumerate(pots):
        share_then, until = share, pots[at + 1][0] if at + 1 < len(pots) else None
        share *= drawn_between(volume, life.draws, since, until).central / volume.central
    return share_then, pots[-1][1], 0.0 if life.ended else share


def scaled(mass: Range, share: float) -> Range:
    """A share [1] of an amount [its unit], which says so."""
    if share == 1:
        return mass
    reason = Reason(tr("of its liquor there is still"), f"{100 * share:.0f} %", "said")
    return Range(share * mass.low, share * mass.central, share * mass.high, mass.unit, (*mass.reasons, reason))


def estimate_left(lot: LotNow, stuff: Material | None = None) -> LotEstimate:
    """What is left of a lot is worth; stuff: its material with the figures in force, those of the lot if left out.

    Raises Refused as :func:`estimate_lot` does.
    """
    left = left_of(lot)
    return estimate_lot(left.facts, stuff or lot.stuff, net=scaled(left.mass, left.share), weighed=left.weighed)
