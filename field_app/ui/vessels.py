"""The pots and pails that a person owns, and the form for one of them."""

from __future__ import annotations

from dataclasses import dataclass

import flet as ft

from field_app.core.problems import Problem, refuse
from field_app.core.units import Measure, show_measure, show_round, show_value
from field_app.core.vessels import MADE_OF, VesselForm, VesselNow
from field_app.store import vessels
from field_app.ui import parts, theme
from field_app.ui.guard import piece, screen
from field_app.ui.own_units import amount_text, in_own, own_label, own_unit
from field_app.ui.own_verbs import back_vessel, keep_vessel
from field_app.ui.refusals import at, elsewhere, not_kept
from field_app.ui.services import use_app, use_services
from field_app.ui.sheet import Sheet, use_sheet
from field_app.ui.undo import undo_bar
from field_app.words import later, tr, tr_as, tr_n

__all__ = ["OneVessel", "VesselTyped", "Vessels", "vessel_words"]

_CALLED = {"name": later("name"), "kind": later("pot or pail"), "volume": later("what it holds"),
           "diameter": later("how wide it is"), "surface": later("its surface"),
           "tare": later("what it weighs empty"), "made of": later("what it is made of"), "note": later("note")}
_KINDS = {"pot": later("Pot"), "pail": later("Pail")}


def vessel_words(one: VesselNow) -> str:
    """Size, width, weight and stuff of a vessel, on one line."""
    facts, words = one.facts, [_text(one.facts.volume)]
    if one.diameter is not None:
        words.append(tr("{width} wide", width=show_value(round(one.diameter * 100), "cm")))
    if facts.tare is not None:
        words.append(tr("{mass} empty", mass=_text(facts.tare)))
    if facts.made_of != "other":
        words.append(tr(MADE_OF[facts.made_of].words))
    return ", ".join(words)


def _text(measure: Measure | None) -> str:
    return "" if measure is None else measure.typed or show_measure(measure)


@screen
def Vessels() -> ft.View:
    """All pots and pails, by name."""
    services = use_services()
    use_app()  # drawn again when something is undone
    owned = ft.use_memo(lambda: vessels(services.book), [services.book.change_mark()])
    pots = sum(one.facts.vessel == "pot" for one in owned)
    pails = len(owned) - pots
    title = tr("{pots} and {pails}", pots=tr_n("{n} pot", "{n} pots", pots) if pots else tr("no pots"),
               pails=tr_n("{n} pail", "{n} pails", pails) if pails else tr("no pails")) if owned else (
        tr("Your pots and pails"))
    body: list[ft.Control] = []
    if not owned:
        body.append(parts.notice(
            "advice", tr("Measure them once"),
            tr("What a pot holds and how wide it is tells how much liquor it gives and what boils off. What a "
               "pail weighs empty is then taken off at the scale.")))
    for one in owned:
        words = f"{tr(_KINDS[one.facts.vessel])}: {vessel_words(one)}"
        lines: list[ft.Control] = [parts.lead(one.name), parts.body(words)]
        if caution := MADE_OF[one.facts.made_of].caution:
            lines.append(parts.second(tr(caution)))
        body.append(parts.card(lines, on_click=parts.going(f"/pots/{one.id}"), key=f"vessel-{one.name}"))
    return parts.page_view("/pots", tr("What you gather in and dye in"), title, body,
                           undo=undo_bar("vessels"), back="/",
                           dock=parts.main_button(tr("Add a pot or pail"), parts.going("/pots/new"), "vessel-add",
                                                  icon=ft.Icons.ADD))


@dataclass(frozen=True, slots=True)
class VesselTyped:
    """What is typed or chosen so far; round: whether its width is told, and not its surface."""

    name: str = ""
    vessel: str = "pot"
    volume: str = ""
    diameter: str = ""
    surface: str = ""
    tare: str = ""
    made_of: str = "other"
    note: str = ""
    is_round: bool = True
    earlier: bool = False
    day: str = ""
    time: str = ""

    def form(self) -> VesselForm:
        """As the book takes it."""
        width = amount_text(self.diameter, own_unit("length", small=True))
        return VesselForm(self.name, self.vessel, in_own(self.volume, "volume"), width if self.is_round else "",
                          "" if self.is_round else self.surface, in_own(self.tare, "mass"), self.made_of, self.note)


def _begin(one: VesselNow | None) -> VesselTyped:
    if one is None:
        return VesselTyped()
    facts = one.facts
    return VesselTyped(facts.name, facts.vessel, _text(facts.volume), _text(facts.diameter), facts.surface or "",
                       _text(facts.tare), facts.made_of, facts.note, is_round=facts.surface is None)


@screen
def OneVessel() -> ft.View:
    """One form: name, size, weight, stuff."""
    services, app = use_services(), use_app()
    key, path = ft.use_route_params().get("id", "new"), ft.use_view_path()
    owned = ft.use_memo(lambda: vessels(services.book), [services.book.change_mark()])
    old = next((one for one in owned if one.id == key), None)
    if old is None and key != "new":
        raise refuse("pot", tr("it is not in this book"), tr("Go back to the pots and choose it there."))
    sheet = use_sheet(f"vessel {key}", lambda: _begin(old))
    typed = sheet.typed

    def save() -> None:
        if sheet.try_to(lambda: keep_vessel(app, services.book, typed.form(), old), _fold_of):
            ft.context.page.navigate("/pots")

    body: list[ft.Control] = [
        *elsewhere(sheet.problems, _CALLED),
        parts.chips([("pot", tr("pot")), ("pail", tr("pail"))], typed.vessel, sheet.put("vessel", "kind"), "kind"),
        parts.field(tr("Name"), typed.name, sheet.put("name"), "name", at(sheet.problems, "name"),
                    hint=tr("big enamel pot")),
        sheet.side_by_side(
            parts.field(tr("It holds"), typed.volume, sheet.put("volume"), "volume", hint=show_round(40, "L"),
                        expand=1),
            parts.field(tr("Weighs empty"), typed.tare, sheet.put("tare"), "tare", hint=show_round(1.1, "kg"),
                        expand=1),
            where=("volume", "tare")),
        *_width(sheet), parts.second(tr("Made of")),
        parts.chips([(name, tr(make.words)) for name, make in MADE_OF.items()], typed.made_of,
                    sheet.put("made_of", "made of"), "made"),
        *_caution(typed), parts.fold_card([_note(sheet)])]
    if old is not None:
        body.append(_TakeBack(old))
    return parts.page_view(
        path, tr("A number without a unit is {volume}, {mass} or {width}", volume=own_label("volume"),
                 mass=own_label("mass"), width=own_label("length", small=True)),
        old.name if old else tr("A pot or a pail"), body,
        dock=parts.main_button(tr("Keep it"), save, "vessel-save"), dock_note=not_kept(sheet.problems, _CALLED),
        back="/pots")


def _fold_of(problem: Problem) -> str:
    return "note" if problem.where == "note" else ""


def _width(sheet: Sheet[VesselTyped]) -> list[ft.Control]:
    typed = sheet.typed
    shape = parts.chips([("round", tr_as("a shape", "round")), ("other", tr("not round"))],
                        "round" if typed.is_round else "other",
                        lambda key: sheet.edit("diameter", "surface", is_round=key == "round"), "shape")
    if typed.is_round:
        field = parts.field(tr("How wide inside"), typed.diameter, sheet.put("diameter"), "diameter",
                            at(sheet.problems, "diameter"), hint=show_round(0.38, "cm"))
    else:
        field = parts.field(tr("Surface inside"), typed.surface, sheet.put("surface"), "surface",
                            at(sheet.problems, "surface"), hint=tr("0.12 m² or 1200 cm²"))
    return [shape, field]


def _caution(typed: VesselTyped) -> list[ft.Control]:
    caution = MADE_OF[typed.made_of].caution if typed.made_of in MADE_OF else ""
    return [parts.notice("caution", "", tr(caution), key="vessel-caution")] if caution else []


def _note(sheet: Sheet[VesselTyped]) -> parts.Fold:
    wrong = at(sheet.problems, "note")
    return parts.Fold(tr("note"), sheet.typed.note.strip() or tr("none"), "note-fold", sheet.is_open("note"),
                      sheet.toggle("note"),
                      lambda: [parts.field(tr("Note"), sheet.typed.note, sheet.put("note"), "note",
                                           wrong, lines=2)], wrong=bool(wrong))


@piece
def _TakeBack(one: VesselNow) -> ft.Control:
    services, app = use_services(), use_app()

    def take_back() -> None:
        back_vessel(app, services.book, one)
        ft.context.page.navigate("/pots")

    return ft.Row([parts.quiet_button(tr("It is gone: take it back"), take_back, "vessel-back", first=True)],
                  spacing=theme.GRID)
