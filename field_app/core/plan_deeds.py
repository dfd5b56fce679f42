"""Making, changing and finishing a plan for a dye day: forms with text as typed, and what is decided."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

from field_app.core.cloth_text import read_cloths
from field_app.core.facts import DrawFacts
from field_app.core.forms import LONGEST_NAME, LONGEST_NOTE, Decision, Reader, Situation
from field_app.core.life import most_drawable
from field_app.core.lots import LotNow
from field_app.core.moments import read_day
from field_app.core.plans import MORDANTS, SHADES, PlanFacts, PlanNow, plan_draw_id, read_clock
from field_app.core.records import Draft, Thing
from field_app.core.units import Measure, read_measure, read_number, show_si, whose_gallons
from field_app.words import later, state_words, tr

__all__ = ["BathForm", "LotForm", "PlanForm", "decide_done", "decide_plan", "form_of_plan"]

_MOST_SOAK, _MOST_BOIL, _MOST_BATH, _MOST_RATIO, _MOST_STRAININGS = 24 * 90, 48, 24 * 14, 500, 6


@dataclass(frozen=True, slots=True)
class LotForm:
    """A lot as chosen, and how much of it as typed; empty for all that is left."""

    lot: LotNow
    amount: str = ""


@dataclass(frozen=True, slots=True)
class BathForm:
    """A load of cloth as typed: items parted by semicolons, such as "wool 2 kg; 2 shirts linen"."""

    cloth: str
    shade: str = "medium"
    mordant: str = "none"
    hours: str = ""
    material: str = ""


@dataclass(frozen=True, slots=True)
class PlanForm:
    """A dye day as typed. Empty fields are as custom has them; pots: ids of pots owned."""

    name: str
    day: str
    fire: str = "08:00"
    lots: Sequence[LotForm] = ()
    baths: Sequence[BathForm] = ()
    pots: Sequence[str] = ()
    water: str = ""
    soak: str = ""
    boil: str = ""
    strainings: str = "1"
    squeezed: bool = False
    ratio: str = ""
    in_turn: bool = False
    note: str = ""
    gallons: str = ""


def _text(number: Decimal) -> str:
    return format(number.normalize(), "f")


def _number(reader: Reader, where: str, text: str, most: float, unit: str, least: float = 0.0) -> str:
    """A number as decimal text, or empty; problems are noted."""
    if not text.strip():
        return ""
    number = reader.read(lambda: read_number(text, where=where))
    if number is None:
        return ""
    if not least <= number <= Decimal(repr(most)):
        reader.wrong(where, tr("{text} {unit} can't be right", text=text.strip(), unit=tr(unit)),
                     tr("Give {least:g} to {most:g} {unit}.", least=least, most=most, unit=tr(unit)))
    return _text(number)


def _amount(reader: Reader, form: LotForm) -> Measure | None:
    if not form.amount.strip():
        return None
    unit, life = form.lot.life.left.unit, form.lot.life
    where = f"lot {form.lot.code}"
    measure = reader.read(lambda: read_measure(form.amount, kind="volume" if unit == "L" else "mass", where=where,
                                               default_unit=unit))
    if measure is None:
        return None
    most = most_drawable(life)
    if not measure.si > 0:
        reader.wrong(where, tr("nothing of it is planned"), tr("Leave the lot out, or say how much of it goes in."))
    elif measure.si > most * (1 + 1e-9):
        reader.wrong(where, tr("{amount} is more than is left, {left}", amount=form.amount.strip(),
                               left=show_si(most, unit)),
                     tr("Plan with less, or weigh the lot again if there is more."))
    return measure


def _bath(reader: Reader, number: int, form: BathForm, materials: Sequence[str]) -> dict[str, object]:
    where = f"bath {number}"
    items = tuple(part.strip() for part in form.cloth.split(";") if part.strip())
    if not items:
        reader.wrong(where, tr("no cloth is named"), tr("Type it as in \"wool 2 kg\" or \"2 shirts linen\"."))
    reader.read(lambda: read_cloths(items, where=where))
    if form.shade not in SHADES:
        reader.wrong(where, tr("the shade {shade!r} is not known", shade=form.shade),
                     tr("Choose one of: {choices}.", choices=", ".join(SHADES)))
    if form.mordant not in MORDANTS:
        reader.wrong(where, tr("the mordant {mordant!r} is not known", mordant=form.mordant),
                     tr("Choose one of: {choices}.", choices=", ".join(MORDANTS)))
    if form.material and form.material not in materials:
        reader.wrong(where, tr("no lot of {material} is in the plan", material=form.material),
                     tr("Add one, or choose another liquor."))
    if not form.material and len(materials) > 1:
        reader.wrong(where, tr("there are several liquors"),
                     tr("Say which it goes into: {materials}.", materials=", ".join(materials)))
    return {"cloth": items or ("?",), "shade": form.shade, "mordant": form.mordant, "material": form.material,
            "hours": _number(reader, where, form.hours, _MOST_BATH, "h", least=0.01)}


def decide_plan(form: PlanForm, situation: Situation, *, changes: Thing | None = None) -> Decision:
    """A plan made, or an earlier one told anew; every problem is told at once."""
    reader = Reader()
    name = reader.text("name", form.name, LONGEST_NAME)
    if not name:
        reader.wrong("name", tr("is missing"), tr("Call the day something, such as \"Harvest dyeing\"."))
    day = reader.read(lambda: read_day(form.day, where="day"))
    fire = reader.read(lambda: read_clock(form.fire, where="fire"))
    chosen = [one.lot.id for one in form.lots]
    for one in form.lots:
        if one.lot.life.ended:
            reader.wrong(f"lot {one.lot.code}", tr("is {state}", state=state_words(one.lot.life.state)),
                         tr("Choose another lot."))
        if chosen.count(one.lot.id) > 1:
            reader.wrong(f"lot {one.lot.code}", tr("is named twice"), tr("Name it once, with all of its amount."))
    lots = [{"lot": one.lot.id, "amount": _amount(reader, one)} for one in form.lots]
    materials = tuple(dict.fromkeys(one.lot.facts.material for one in form.lots))
    baths = [_bath(reader, number, bath, materials) for number, bath in enumerate(form.baths, 1)]
    water = None
    if form.water.strip():
        water = reader.read(lambda: read_measure(form.water, kind="volume", where="water", default_unit="L",
                                                 gallons=whose_gallons(form.gallons)))
        if water is not None and not water.si > 0:
            reader.wrong("water", tr("is nothing"), tr("Leave it out for what custom has, or say how much."))
    soak = _number(reader, "soak", form.soak, _MOST_SOAK, "h")
    boil = _number(reader, "boil", form.boil, _MOST_BOIL, "h")
    ratio = _number(reader, "ratio", form.ratio, _MOST_RATIO, "L/kg", least=5)
    strainings = _number(reader, "strainings", form.strainings, _MOST_STRAININGS, later("times"), least=1)
    if "." in strainings:
        reader.wrong("strainings", tr("{strainings} is not a whole number", strainings=strainings),
                     tr("Give how often it is boiled and strained."))
    note = reader.text("note", form.note, LONGEST_NOTE)
    if reader.problems or day is None or fire is None:
        return Decision(problems=tuple(dict.fromkeys(reader.problems)))
    facts = PlanFacts.model_validate({
        "name": name, "day": day, "fire": fire.strftime("%H:%M"), "lots": lots, "baths": baths,
        "pots": tuple(form.pots), "water": water, "soak": soak, "boil": boil, "strainings": int(strainings or "1"),
        "squeezed": form.squeezed, "ratio": ratio, "in_turn": form.in_turn, "note": note})
    thing = changes.id if changes else situation.new_id()
    return Decision((Draft(thing, "plan", facts.as_json(), None, changes.heads if changes else ()),), thing)


def decide_done(plan: PlanNow, lots: Sequence[LotNow], situation: Situation) -> Decision:
    """The day is done: the plan says so, and every lot of it is drawn from, by what was planned or all that is left.

    lots: those of the plan. A lot with less left than was planned is a problem; so is a day done already.
    """
    reader, drafts = Reader(), []
    if plan.done:
        reader.wrong("plan", tr("was told as done already"), tr("Nothing needs to be done."))
    at = situation.now.isoformat(timespec="seconds")
    known = {lot.id: lot for lot in lots}
    for one in plan.facts.lots:
        lot = known.get(one.lot)
        if lot is None:
            reader.wrong("plan", tr("names a lot that is not known here"),
                         tr("Take it out of the plan, or sync first."))
            continue
        most, unit = most_drawable(lot.life), lot.life.left.unit
        amount = one.amount
        if amount is None and most > 0:
            amount = Measure(_text(round(Decimal(repr(most)), 6)), unit)
        if amount is None or lot.life.ended:
            reader.wrong(f"lot {lot.code}", tr("nothing is left of it"), tr("Take it out of the plan first."))
        elif amount.kind != ("volume" if unit == "L" else "mass"):
            reader.wrong(f"lot {lot.code}", tr("is counted in {unit} by now, {amount} was planned", unit=unit,
                                               amount=amount),
                         tr("Change the plan to what goes in now."))
        elif amount.si > most * (1 + 1e-6):
            reader.wrong(f"lot {lot.code}", tr("{amount} was planned, {left} is left", amount=amount,
                                               left=show_si(most, unit)),
                         tr("Change the plan to what went in, or weigh the lot again."))
        else:
            facts = DrawFacts.model_validate({"lot": lot.id, "amount": amount, "at": at, "purpose": plan.name})
            drafts.append(Draft(plan_draw_id(plan.id, lot.id), "draw", facts.as_json()))
    if reader.problems:
        return Decision(problems=tuple(reader.problems))
    done = plan.facts.model_copy(update={"done": at})
    return Decision((Draft(plan.id, "plan", done.as_json(), None, plan.heads), *drafts), plan.id)


def form_of_plan(plan: PlanNow, lots: Sequence[LotNow]) -> PlanForm:
    """The form that tells a plan as it stands, to be changed; lots that are not among ``lots`` are left out."""
    known = {lot.id: lot for lot in lots}
    facts = plan.facts
    return PlanForm(
        facts.name, facts.day.isoformat(), facts.fire,
        tuple(LotForm(known[one.lot], str(one.amount) if one.amount else "") for one in facts.lots
              if one.lot in known),
        tuple(BathForm("; ".join(bath.cloth), bath.shade, bath.mordant, bath.hours, bath.material)
              for bath in facts.baths),
        facts.pots, str(facts.water) if facts.water else "", facts.soak, facts.boil, str(facts.strainings),
        facts.squeezed, facts.ratio, facts.in_turn, facts.note)
