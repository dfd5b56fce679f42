"""The life of a lot: what was done with it, what was drawn from it, and what is left.

The law of this file:

1. A step that gives a mass or a volume says what there was then; draws before it are in it already.
2. What is left is the last such amount (or the net mass) less the draws since.
3. Spent and spoiled end a lot: nothing is left of it, whatever was drawn.
4. Draws of two people add up. If they come to more than there was, that is an overdraft: it is shown,
   and what is left is nothing.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal
from typing import Literal

from field_app.core.day_text import plain_day
from field_app.core.estimate import Range, Reason
from field_app.core.facts import DrawFacts, LotFacts, StepFacts, gathered_at
from field_app.core.units import Measure, show_si
from field_app.words import state_words, tr

__all__ = ["Draw", "LotLife", "LotState", "Step", "amount_of", "drawn_between", "left_after", "live", "most_drawable"]

LotState = Literal["gathered", "weighed", "soaked", "boiled", "strained", "dried", "spent", "spoiled"]
_ENDS = ("spent", "spoiled")
#: A weighing on a scale of the field is good to this share either way [1].
_SCALE = 0.03


@dataclass(frozen=True, slots=True)
class Step:
    """A step as it stands: its id, its facts, and the stamp that orders steps of one moment."""

    id: str
    facts: StepFacts
    hlc: str

    @property
    def at(self) -> dt.datetime:
        """When it was done, with the offset that the person saw."""
        return dt.datetime.fromisoformat(self.facts.at)


@dataclass(frozen=True, slots=True)
class Draw:
    """A draw as it stands: its id, its facts, and the stamp that orders draws of one moment."""

    id: str
    facts: DrawFacts
    hlc: str

    @property
    def at(self) -> dt.datetime:
        """When it was taken, with the offset that the person saw."""
        return dt.datetime.fromisoformat(self.facts.at)


@dataclass(frozen=True, slots=True)
class LotLife:
    """What became of a lot.

    state: its last step; since: when that was; left: what there is still [kg], or [L] once it is liquor;
    overdraft: what was drawn beyond what there was [kg or L], 0 if nothing;
    measured: whether what there was had been weighed or measured, not guessed;
    nuts_kg: nuts kept for food, a mass of their own [kg]; misfits: draws in another unit than the lot has,
    which can't be taken off and are shown for somebody to settle.
    """

    state: LotState
    since: dt.datetime
    left: Range
    overdraft: float
    measured: bool
    nuts_kg: float
    steps: tuple[Step, ...]
    draws: tuple[Draw, ...]
    misfits: tuple[Draw, ...]

    @property
    def ended(self) -> bool:
        """Whether nothing can be drawn any more."""
        return self.state in _ENDS


def amount_of(step: Step) -> Range | None:
    """What there was by a step [kg, or L of liquor], or None if it says no amount."""
    measure, unit = step.facts.mass, "kg"
    if step.facts.volume is not None:
        measure, unit = step.facts.volume, "L"
    if measure is None:
        return None
    value = measure.si
    name = tr("{step} on {day}", step=state_words(step.facts.step), day=plain_day(step.at.date()))
    reason = Reason(name, show_si(value, unit), "weighed"
                    if unit == "kg" else "said")
    return Range(value * (1 - _SCALE), value, value * (1 + _SCALE), unit, (reason,))


def _fits(measure: Measure, unit: str) -> bool:
    from field_app.core.units import UNITS

    return UNITS[measure.unit].kind == ("mass" if unit == "kg" else "volume")


def live(facts: LotFacts, net: Range, steps: Iterable[Step] = (), draws: Iterable[Draw] = ()) -> LotLife:
    """What became of a lot, from its net mass [kg], its steps and its draws, in any order."""
    done = tuple(sorted(steps, key=lambda step: (step.at, step.hlc)))
    taken = tuple(sorted(draws, key=lambda draw: (draw.at, draw.hlc)))
    state: LotState = "gathered"
    since, base, base_at = gathered_at(facts), net, None
    for step in done:
        if state not in _ENDS or step.facts.mass is not None:
            state, since = step.facts.step, step.at
        amount = amount_of(step)
        if amount is not None:
            base, base_at = amount, step.at
    # A draw that is told to the minute of the weighing was taken after it: one weighs, then draws.
    after = [draw for draw in taken if base_at is None or draw.at >= base_at]
    misfits = tuple(draw for draw in after if not _fits(draw.facts.amount, base.unit))
    drawn = [draw for draw in after if draw not in misfits]
    total = sum((Decimal(repr(draw.facts.amount.si)) for draw in drawn), Decimal(0))
    measured = base_at is not None or facts.basis == "weighed"
    over = float(total) - (base.central if measured else base.high)
    left = _less(base, float(total), drawn)
    if state in _ENDS:
        left = Range(0.0, 0.0, 0.0, base.unit, (Reason(tr("lot"), state_words(state), "said"),))
    nuts = sum(step.facts.nuts.si for step in done if step.facts.nuts is not None)
    # Taking all that was weighed in several draws leaves dust of rounding, not an overdraft.
    return LotLife(state, since, left, over if over > 1e-9 * base.high else 0.0, measured, float(nuts),
                   done, taken, misfits)


def left_after(facts: LotFacts, net: Range, life: LotLife, draw: Draw) -> Range:
    """What was left of a lot right after one of its draws [its unit then], as far as is known now."""
    order = (draw.at, draw.hlc)
    steps = [step for step in life.steps if step.at <= draw.at]
    return live(facts, net, steps, [one for one in life.draws if (one.at, one.hlc) <= order]).left


def drawn_between(base: Range, draws: Iterable[Draw], since: dt.datetime | None, until: dt.datetime | None) -> Range:
    """What was left of an amount when the draws from ``since`` and before ``until`` were taken [its unit].

    None stands for the beginning and for now. Draws in another unit are not taken off.
    """
    taken = [draw for draw in draws if (since is None or draw.at >= since) and (until is None or draw.at < until)
             and _fits(draw.facts.amount, base.unit)]
    return _less(base, float(sum((Decimal(repr(draw.facts.amount.si)) for draw in taken), Decimal(0))), taken)


def _less(base: Range, drawn: float, draws: list[Draw]) -> Range:
    """What is left of a range when a known amount was taken; none of the three falls below nothing."""
    if not draws:
        return base
    told = [_drawn(show_si(draw.facts.amount.si, base.unit), draw.facts.purpose) for draw in draws]
    reasons = (*base.reasons,
               *(Reason(tr("drawn on {day}", day=plain_day(draw.at.date())), words, "said", draw.facts.by)
                 for draw, words in zip(draws, told, strict=True)))
    low, central, high = (max(0.0, value - drawn) for value in (base.low, base.central, base.high))
    return Range(low, central, high, base.unit, reasons)


def _drawn(amount: str, purpose: str) -> str:
    return tr("{amount} for {purpose}", amount=amount, purpose=purpose) if purpose else amount


def most_drawable(life: LotLife) -> float:
    """The most that may be drawn [unit of what is left]: what was measured, or the high end of a guess."""
    return life.left.central if life.measured else life.left.high
