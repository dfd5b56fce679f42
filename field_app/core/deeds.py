"""What is done with a lot after it was gathered: steps, draws, corrections, withdrawals, undoing.

As in :mod:`field_app.core.gather`, a form holds text as it was typed, and a decision has drafts or problems.
"""

from __future__ import annotations

import uuid
from collections.abc import Sequence
from dataclasses import dataclass
from typing import get_args

from field_app.core.facts import DrawFacts, StepFacts, StepKind
from field_app.core.forms import LONGEST_NAME, LONGEST_NOTE, Decision, Reader, Situation
from field_app.core.life import LotLife, most_drawable
from field_app.core.moments import read_moment
from field_app.core.problems import Problem
from field_app.core.records import Draft, Thing, Version
from field_app.core.units import UNITS, Measure, read_measure, show_si
from field_app.words import state_words, tr

__all__ = ["STEPS", "DrawForm", "StepForm", "decide_draw", "decide_return", "decide_step", "decide_undo",
           "decide_withdrawal", "draw_id"]

STEPS: tuple[str, ...] = get_args(StepKind)
#: The space of names in which a planner's own draw ids become ids of ours (RFC 9562, 5.5).
_DRAWS = uuid.UUID("5d0c5b64-6a5e-5b0e-9f6a-0e0d5f1c7a11")


@dataclass(frozen=True, slots=True)
class StepForm:
    """A step as typed; mass and volume say what there was then, nuts what was kept for food."""

    step: str
    mass: str = ""
    volume: str = ""
    nuts: str = ""
    at: str = ""
    note: str = ""
    unit: str = "kg"


@dataclass(frozen=True, slots=True)
class DrawForm:
    """A draw as typed; ``ref`` is a planner's own id for it, empty if there is none."""

    amount: str
    by: str = ""
    purpose: str = ""
    at: str = ""
    ref: str = ""


def draw_id(ref: str) -> str:
    """The id of the draw that a planner calls ``ref``: the same on every device, so it is taken once.

    >>> draw_id("7") == draw_id("7")
    True
    """
    return f"urn:uuid:{uuid.uuid5(_DRAWS, ref)}"


def _at(reader: Reader, text: str, situation: Situation) -> str:
    moment = situation.now
    if text.strip():
        moment = reader.read(lambda: read_moment(
            text, where="at", now=situation.now, localise=situation.localise)) or moment
    return moment.isoformat(timespec="seconds")


def decide_step(form: StepForm, lot: str, life: LotLife, situation: Situation) -> Decision:
    """A step on a lot; strained and boiled take a volume, the others a mass."""
    reader = Reader()
    if form.step not in STEPS:
        reader.wrong("step", tr("{step!r} is not known", step=form.step),
                     tr("Choose one of: {choices}.", choices=", ".join(STEPS)))
    if life.ended and form.step not in ("spent", "spoiled"):
        reader.wrong("step", tr("the lot is {state} already", state=state_words(life.state)),
                     tr("Take that back first, or log a new lot."))
    mass = _positive(reader, "mass", form.mass, form.unit)
    nuts = _positive(reader, "nuts", form.nuts, form.unit)
    volume = _positive(reader, "volume", form.volume, "L", kind="volume")
    if mass is not None and volume is not None:
        reader.wrong("volume", tr("both a mass and a volume are given"),
                     tr("Weigh it, or measure the liquor, not both."))
    if form.step == "weighed" and mass is None and nuts is None and not reader.problems:
        reader.wrong("mass", tr("what it weighs now is not given"), tr("Type what the scale shows, less the pail."))
    at = _at(reader, form.at, situation)
    note = reader.text("note", form.note, LONGEST_NOTE)
    if reader.problems:
        return Decision(problems=tuple(reader.problems))
    facts = StepFacts.model_validate({"lot": lot, "step": form.step, "at": at, "mass": mass, "volume": volume,
                                      "nuts": nuts, "note": note})
    draft = Draft(situation.new_id(), "step", facts.as_json())
    return Decision((draft,), draft.thing)


def _positive(reader: Reader, where: str, text: str, unit: str, kind: str = "mass") -> Measure | None:
    if not text.strip():
        return None
    measure = reader.read(lambda: read_measure(text, kind="volume" if kind == "volume" else "mass", where=where,
                                               default_unit=unit))
    if measure is not None and not measure.si > 0:
        reader.wrong(where, tr("is nothing"), tr("Leave it out, or type what there is."))
    return measure


def decide_draw(form: DrawForm, lot: str, life: LotLife, situation: Situation) -> Decision:
    """A draw from a lot, refused if it is more than there can be, or in the wrong kind of unit."""
    reader = Reader()
    unit = life.left.unit
    kind = "volume" if unit == "L" else "mass"
    amount = _positive(reader, "amount", form.amount, unit, kind)
    if not form.amount.strip():
        reader.wrong("amount", tr("is not given"), tr("Type how much you take, in {unit} or another unit.", unit=unit))
    most = most_drawable(life)
    if life.ended:
        reader.wrong("lot", tr("is {state}, nothing can be drawn from it", state=state_words(life.state)),
                     tr("Choose another lot."))
    elif amount is not None and amount.si > most * (1 + 1e-9):
        reader.wrong("amount", tr("{amount} is more than is left, {left}", amount=form.amount.strip(),
                                  left=show_si(most, unit)),
                     tr("Take less, or weigh the lot again if there is more."))
    at = _at(reader, form.at, situation)
    by = reader.text("by", form.by, LONGEST_NAME)
    purpose = reader.text("for", form.purpose, LONGEST_NOTE)
    if reader.problems or amount is None:
        return Decision(problems=tuple(reader.problems))
    assert UNITS[amount.unit].kind == kind
    facts = DrawFacts.model_validate({"lot": lot, "amount": amount, "at": at, "by": by, "purpose": purpose})
    thing = draw_id(form.ref) if form.ref else situation.new_id()
    return Decision((Draft(thing, "draw", facts.as_json()),), thing)


def decide_withdrawal(thing: Thing) -> Decision:
    """Takes a thing back, keeping all that was said of it in its history."""
    if thing.deleted:
        return Decision(problems=(Problem("record", tr("was taken back already"), tr("Nothing needs to be done.")),))
    draft = Draft(thing.id, thing.kind, thing.facts, thing.position, thing.heads, deleted=True)
    return Decision((draft,), thing.id)


def decide_return(thing: Thing) -> Decision:
    """Brings a thing back that was taken back, on this device or another, as it was then."""
    if not thing.deleted:
        return Decision(problems=(Problem("record", tr("is not taken back"), tr("Nothing needs to be done.")),))
    return Decision((Draft(thing.id, thing.kind, thing.facts, thing.position, thing.heads),), thing.id)


def decide_undo(last: Version | None, thing: Thing | None, earlier: Sequence[Version]) -> Decision:
    """Undoes the last version of this device by appending what held before it.

    earlier: all versions of the thing. Undoing an undoing brings back what was undone.
    """
    if last is None or thing is None:
        return Decision(problems=(Problem("undo", tr("nothing was done on this device yet"),
                                          tr("Log something first.")),))
    if last.name != thing.heads[0]:
        return Decision(problems=(Problem(
            "undo", tr("somebody has changed it since"), tr("Open it and correct it there.")),))
    before = next((version for version in earlier if version.name in last.parents), None)
    if before is None:
        return decide_withdrawal(thing)
    draft = Draft(before.thing, before.kind, before.facts, before.position, thing.heads, deleted=before.deleted)
    return Decision((draft,), before.thing)
