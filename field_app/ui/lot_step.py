"""Next step: what was done with a lot, and what there is of it now."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass, field
from typing import get_args
from urllib.parse import parse_qs, urlsplit

import flet as ft

from field_app.core.deeds import StepForm, decide_step
from field_app.core.facts import StepFacts, StepKind
from field_app.core.forms import Situation
from field_app.core.life import LotLife, Step, live
from field_app.core.lots import LotNow
from field_app.core.problems import Problem
from field_app.core.units import UNITS, offered_first
from field_app.ui import parts
from field_app.ui.guard import screen
from field_app.ui.life_words import MEANS, STEP_WORDS
from field_app.ui.lot_words import stuff_words
from field_app.ui.own_units import amount_text, own_unit
from field_app.ui.refusals import at, elsewhere, not_kept
from field_app.ui.services import use_app, use_services
from field_app.ui.sheet import Sheet, units_row, use_sheet, when_fold
from field_app.words import later, tr

__all__ = ["LotStep", "StepTyped", "after_step"]

_CALLED = {"step": later("what was done"), "mass": later("what it weighs"), "volume": later("how many litres"),
           "nuts": later("nuts kept"), "at": later("when"), "note": later("note")}
_LIQUOR: tuple[StepKind, ...] = ("boiled", "strained")
_ENDS: tuple[StepKind, ...] = ("spent", "spoiled")
#: A new record's name and its stamp, for what is only shown and never kept.
_NOT_KEPT, _LAST = "urn:uuid:00000000-0000-0000-0000-000000000000", "~"


@dataclass(frozen=True, slots=True)
class StepTyped:
    """What is typed or chosen so far; unit: of the amount, which a choice of another step presets."""

    step: str = ""
    amount: str = ""
    unit: str = field(default_factory=lambda: own_unit("mass"))
    nuts: str = ""
    earlier: bool = False
    day: str = ""
    time: str = ""
    note: str = ""

    def form(self) -> StepForm:
        """As the book takes it."""
        ends = self.step in _ENDS
        is_volume = UNITS[self.unit].kind == "volume"
        amount = "" if ends else amount_text(self.amount, self.unit)
        return StepForm(
            self.step, mass="" if is_volume else amount, volume=amount if is_volume else "",
            nuts="" if ends or is_volume else amount_text(self.nuts, self.unit), note=self.note,
            at=f"{self.day} {self.time}".strip() if self.earlier else "",
            unit=own_unit("mass") if is_volume else self.unit)


def _likely(life: LotLife) -> StepKind:
    """What is mostly done next."""
    nexts: dict[str, StepKind] = {"soaked": "boiled", "boiled": "strained", "strained": "spent", "dried": "weighed"}
    return nexts.get(life.state, "soaked")


def after_step(lot: LotNow, form: StepForm, now: dt.datetime) -> LotLife | None:
    """What would become of a lot by a step, or None while the step can't be read."""
    decided = decide_step(form, lot.id, lot.life, Situation((), now, lambda: _NOT_KEPT))
    if decided.problems:
        return None
    step = Step(_NOT_KEPT, StepFacts.model_validate(dict(decided.drafts[0].facts)), _LAST)
    return live(lot.facts, lot.net, [*lot.life.steps, step], lot.life.draws)


@screen
def LotStep() -> ft.View:
    """One form: what was done, how much there is now, and when."""
    services, app = use_services(), use_app()
    key, path = ft.use_route_params().get("id", ""), ft.use_view_path()
    lot = ft.use_memo(lambda: services.book.lot(key), [key, app.lots])
    asked = ft.use_memo(lambda: _asked_step(ft.context.page.route or ""), [])
    sheet = use_sheet(f"step {lot.id} {asked}", lambda: _begin(lot, asked))
    typed = sheet.typed

    def save() -> None:
        done = tr(next((said for step, said in STEP_WORDS.items() if step == typed.step), typed.step))
        if sheet.try_to(lambda: app.step(lot, typed.form(), tr("{lot} {done}", lot=lot.code, done=done)), _fold_of):
            ft.context.page.navigate(f"/lots/{lot.code}")

    return parts.page_view(
        path, tr("Lot {lot} · {stuff}", lot=lot.code, stuff=stuff_words(lot.facts)),
        tr("What was done with it"),
        [*elsewhere(sheet.problems, _CALLED), *_which(sheet), *_how_much(sheet, lot),
         parts.fold_card([when_fold(sheet), _note(sheet)])],
        dock=parts.main_button(tr("Keep this step"), save, "step-save"), dock_note=not_kept(sheet.problems, _CALLED),
        back=f"/lots/{lot.code}")


def _asked_step(route: str) -> str:
    """The step that an address asks for, or empty.

    >>> _asked_step("/lots/904D/step?did=soaked"), _asked_step("/lots/904D/step?did=eaten")
    ('soaked', '')
    """
    asked = parse_qs(urlsplit(route).query).get("did", [""])[0]
    return asked if asked in get_args(StepKind) else ""


def _begin(lot: LotNow, asked: str) -> StepTyped:
    step = asked or _likely(lot.life)
    return StepTyped(step=step, unit=_unit_for(step, own_unit("mass")))


def _unit_for(step: str, unit: str) -> str:
    if step == "strained":
        return unit if UNITS[unit].kind == "volume" else own_unit("volume")
    if step == "boiled":
        return unit
    return unit if UNITS[unit].kind == "mass" else own_unit("mass")


def _fold_of(problem: Problem) -> str:
    return {"at": "when", "note": "note"}.get(problem.where, "")


def _which(sheet: Sheet[StepTyped]) -> list[ft.Control]:
    typed = sheet.typed

    def choose(step: str) -> None:
        sheet.edit("mass", "volume", "nuts", step=step, unit=_unit_for(step, typed.unit))

    chosen = next((step for step in get_args(StepKind) if step == typed.step), None)
    return [parts.chips([(step, tr(STEP_WORDS[step])) for step in STEP_WORDS], typed.step, choose, "step"),
            *parts.problem_text(at(sheet.problems, "step")),
            *([parts.second(tr(MEANS[chosen]))] if chosen else [])]


def _how_much(sheet: Sheet[StepTyped], lot: LotNow) -> list[ft.Control]:
    typed = sheet.typed
    if typed.step in _ENDS:
        return []
    liquid = UNITS[typed.unit].kind == "volume"
    label = tr("Liquor now") if liquid else tr("It weighs now")
    fields = [sheet.number(label, "amount", where=("mass", "volume"), first=True, expand=5)]
    if lot.facts.part == "whole-fruit" and not liquid:
        fields.append(sheet.number(tr("Nuts kept"), "nuts", expand=4))
    fields.append(sheet.unit_button(typed.unit))
    units = {"boiled": (*offered_first("mass")[:4], *offered_first("volume")[:4]),
             "strained": offered_first("volume")[:6]}.get(typed.step, offered_first("mass"))
    need = (tr("Less the pail.") if typed.step == "weighed"
            else tr("Less the pail. Leave it out if it was not measured."))
    if liquid:
        need = tr("Leave it out if it was not measured.")
    return [sheet.side_by_side(*fields, where=("mass", "volume", "nuts")), *units_row(sheet, units, typed.unit),
            parts.second(need), _result(sheet, lot), sheet.keypad("amount", "mass", "volume")]


def _result(sheet: Sheet[StepTyped], lot: LotNow) -> ft.Control:
    before, after = lot.life.left, after_step(lot, sheet.typed.form(), sheet.now)
    then: ft.Control = parts.figure_row(tr("left then"), "–", key="left-then")
    if after is not None:
        then = parts.range_row(tr("left then"), after.left, key="left-then", decimal=sheet.decimal)
    return ft.Column([parts.range_row(tr("left so far"), before, key="left-before", decimal=sheet.decimal), then],
                     spacing=2, horizontal_alignment=ft.CrossAxisAlignment.STRETCH)


def _note(sheet: Sheet[StepTyped]) -> parts.Fold:
    wrong = at(sheet.problems, "note")
    return parts.Fold(
        tr("note"), sheet.typed.note.strip() or tr("none"), "note-fold", sheet.is_open("note"), sheet.toggle("note"),
        lambda: [parts.field(tr("Note"), sheet.typed.note, sheet.put("note"), "note", wrong, lines=2,
                             hint=tr("in the big kettle, with rain water"))], wrong=bool(wrong))
