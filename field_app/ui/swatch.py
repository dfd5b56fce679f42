"""A swatch of one's own: what it was dyed with, for how long, and what came out, by eye, as a shade or measured."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, replace

import flet as ft

from field_app.core.bands import SHADES
from field_app.core.bath import Load, dye_in_turn
from field_app.core.colour import read_hex
from field_app.core.colour_course import pot_for
from field_app.core.durations import read_hours
from field_app.core.estimate import exact
from field_app.core.eye import Patch, patches
from field_app.core.materials import MATERIALS
from field_app.core.own_facts import STATES
from field_app.core.palette import GROUND_WORDS, GROUNDS, Ground
from field_app.core.preview import BASES, UNDYED
from field_app.core.problems import Problem, Refused
from field_app.core.swatch_deeds import SwatchForm, decide_swatch
from field_app.core.swatch_words import cloth_words
from field_app.core.swatches import SwatchFacts
from field_app.core.units import offered_first
from field_app.store import FieldBook, note_swatch
from field_app.ui import drafts, parts
from field_app.ui.colour_cells import cloth_grid, eye_card, ground_notes
from field_app.ui.guard import screen
from field_app.ui.own_units import amount_text, own_unit
from field_app.ui.refusals import at, elsewhere, not_kept
from field_app.ui.services import use_app, use_services
from field_app.ui.sheet import Sheet, units_row, use_sheet, when_fold
from field_app.ui.state import AppState, Done
from field_app.words import later, mid, shade_words, state_words, tr

__all__ = ["ABOUT", "NAME", "NewSwatch", "SwatchTyped", "take_back_swatch"]

_CALLED = {"stuff": later("dye stuff"), "cloth": later("cloth"), "time": later("how long"),
           "result": later("what came out"), "base": later("the cloth"), "condition": later("its condition"),
           "material": later("dye stuff"), "at": later("when"), "note": later("note")}
_TIMES = (("15 min", "15 min"), ("1 h", "1 h"), ("6 h", "6 h"))
_WAYS = (("eye", later("by eye")), ("shade", later("a shade")), ("measured", later("measured")))
_STATE_WORDS = {"browned": later("browned, soft"), "soaked": later("soaked, drained")}
#: How many lots are offered to choose from, the newest first [1].
_LOTS = 6
#: Under which name is kept what was looked at last, of a lot with its id behind it.
NAME = "colour preview"
#: About what the bar that undoes it is.
ABOUT = "swatches"
_NOT_KEPT = "urn:uuid:00000000-0000-0000-0000-000000000000"


@dataclass(frozen=True, slots=True)
class SwatchTyped:
    """What is typed or chosen so far; unit: of the masses; way: how it is told what came out."""

    material: str = "black-walnut"
    lot: str = ""
    state: str = "air-dry"
    stuff: str = ""
    cloth: str = ""
    unit: str = field(default_factory=lambda: own_unit("mass", small=True))
    lasted: str = "1 h"
    mordant: Ground = "none"
    base: str = UNDYED
    base_typed: str = ""
    way: str = "eye"
    eye: str = ""
    shade: str = ""
    measured: str = ""
    earlier: bool = False
    day: str = ""
    time: str = ""
    note: str = ""

    def form(self) -> SwatchForm:
        """As the book takes it."""
        result = {"eye": self.eye, "shade": self.shade,
                  "measured": f"L* {self.measured}" if self.measured.strip() else ""}[self.way]
        # By eye only a colour is meant, so a number without its sign is one too.
        if self.way == "eye" and result.strip() and not result.strip().startswith("#"):
            result = f"#{result.strip()}"
        return SwatchForm(
            stuff=amount_text(self.stuff, self.unit), cloth=amount_text(self.cloth, self.unit), time=self.lasted,
            result=result, mordant=self.mordant, base=self.base_typed.strip() or self.base, lot=self.lot,
            material="" if self.lot else self.material, state=self.state,
            at=f"{self.day} {self.time}".strip() if self.earlier else "", note=self.note,
            unit=self.unit)


def _keep(app: AppState, book: FieldBook, typed: SwatchTyped) -> None:
    note_swatch(book, typed.form())
    _did(app, book, tr("swatch of {stuff} noted", stuff=mid(tr(MATERIALS[typed.material].name))))


def take_back_swatch(app: AppState, book: FieldBook, swatch: str, words: str) -> None:
    """Take back a swatch, so that it can be undone on this page. Raises Refused."""
    book.withdraw(swatch)
    _did(app, book, tr("{what} taken back", what=words))


def _did(app: AppState, book: FieldBook, words: str) -> None:
    last = book.log_book.last_own()
    app.done = Done(words, ABOUT, last.name) if last else None
    app.refresh()


@screen
def NewSwatch() -> ft.View:
    """One form, with a card of colours to hold the swatch against."""
    services, app = use_services(), use_app()
    code = ft.use_route_params().get("id", "")
    lot = ft.use_memo(lambda: services.book.lot(code) if code else None, [code, app.lots])
    looked = drafts.kept(app, f"{NAME} {lot.id}" if lot else NAME)
    key = lot.facts.material if lot else looked.material if looked else "black-walnut"
    home = f"/lots/{lot.code}/colour" if lot else "/dye-day/colour"
    sheet = use_sheet(f"swatch {lot.id if lot else key}", lambda: SwatchTyped(
        key, lot=lot.id if lot else "", base=looked.base if looked else UNDYED))
    typed = sheet.typed

    def save() -> None:
        if sheet.try_to(lambda: _keep(app, services.book, typed), _fold_of):
            ft.context.page.navigate(home)

    return parts.page_view(
        f"/lots/{lot.code}/swatch" if lot else f"{home}/swatch",
        tr("A swatch of lot {code}", code=lot.code) if lot
        else tr("A swatch of {stuff}", stuff=mid(tr(MATERIALS[typed.material].name))),
        tr("What came out?"),
        [*elsewhere(sheet.problems, _CALLED), *_amounts(sheet), sheet.keypad("stuff", "stuff", "cloth"),
         *_bath(sheet), *_result(sheet, services.book),
         parts.fold_card([_cloth(sheet), _stuff(sheet), when_fold(sheet), _note(sheet)])],
        dock=parts.main_button(tr("Keep this swatch"), save, "swatch-save"),
        dock_note=not_kept(sheet.problems, _CALLED),
        back=home)


def _fold_of(problem: Problem) -> str:
    return {"at": "when", "note": "note", "base": "base", "condition": "state"}.get(problem.where, "")


def _amounts(sheet: Sheet[SwatchTyped]) -> list[ft.Control]:
    unit = sheet.typed.unit
    return [sheet.side_by_side(sheet.number(tr("Dye stuff"), "stuff", first=True, expand=3),
                               sheet.number(tr("Cloth"), "cloth", expand=3), sheet.unit_button(unit),
                               where=("stuff", "cloth")),
            *units_row(sheet, offered_first("mass")[:4], unit)]


def _bath(sheet: Sheet[SwatchTyped]) -> list[ft.Control]:
    typed = sheet.typed
    return [parts.second(tr("How long in the bath")),
            parts.chips(_TIMES, typed.lasted, sheet.put("lasted", "time"), "lasted"),
            parts.field(tr("Or another time"), "" if typed.lasted in dict(_TIMES) else typed.lasted,
                        sheet.put("lasted", "time"), "lasted-other", at(sheet.problems, "time"), hint=tr("45 min")),
            parts.second(tr("Mordant")),
            parts.chips([(ground, tr(GROUND_WORDS[ground])) for ground in GROUNDS], typed.mordant,
                        sheet.put("mordant", "result"), "mordant"),
            *ground_notes(typed.mordant)]


def _result(sheet: Sheet[SwatchTyped], book: FieldBook) -> list[ft.Control]:
    typed, wrong = sheet.typed, at(sheet.problems, "result")
    rows: list[ft.Control] = [parts.heading(tr("What came out")),
                              parts.chips([(key, tr(words)) for key, words in _WAYS], typed.way,
                                          sheet.put("way", "result"), "told")]
    if typed.way == "eye":
        rows += [parts.second(tr("Hold it beside these, dry and in daylight, and tap the nearest.")),
                 eye_card(_patches(typed, book), typed.eye, sheet.put("eye", "result")),
                 parts.field(tr("Or its colour"), typed.eye, sheet.put("eye", "result"), "eye-hex", wrong,
                             hint="#7f5a38")]
    elif typed.way == "shade":
        rows += [parts.chips([(shade, shade_words(shade)) for shade in SHADES], typed.shade,
                             sheet.put("shade", "result"), "came"),
                 *parts.problem_text(wrong)]
    else:
        rows.append(parts.field(tr("Lightness L*, 0 black to 100 white"), typed.measured,
                                sheet.put("measured", "result"),
                                "measured", wrong, hint="42", keyboard=ft.KeyboardType.NUMBER))
    return rows


def _patches(typed: SwatchTyped, book: FieldBook) -> Sequence[Patch]:
    """The colours around what is expected of what is typed so far, or of a common swatch while that can't be read."""
    in_force = book.in_force()
    stuff = in_force(typed.material)
    form = replace(typed.form(), lot="", material=typed.material, result="medium", at="", note="")
    decided = decide_swatch(form, replace(book.situation(), new_id=lambda: _NOT_KEPT))
    wof, hours = 0.5, 1.0
    try:
        base, hours = read_hex(form.base or UNDYED), read_hours(form.time)
    except Refused:
        base = UNDYED
    if not decided.problems:
        facts = SwatchFacts.model_validate(dict(decided.drafts[0].facts))
        wof = facts.stuff.si / facts.cloth.si
        if facts.state not in (None, "air-dry"):
            fresh, dry = stuff.parameter("dry", facts.state or "fresh"), stuff.parameter("dry", "air-dry")
            wof *= fresh.central / dry.central if fresh and dry else 1.0
    (dyed,) = dye_in_turn(pot_for(stuff, wof=min(max(wof, 0.01), 50.0)), [Load(exact(1.0, "kg"), "cloth", hours)])
    return patches(base, dyed.depth, in_force.palette(typed.material).tints[typed.mordant])


def _cloth(sheet: Sheet[SwatchTyped]) -> parts.Fold:
    typed, wrong = sheet.typed, at(sheet.problems, "base")

    def inside() -> list[ft.Control]:
        return [cloth_grid(BASES, "" if typed.base_typed.strip() else typed.base,
                           lambda colour: sheet.edit("base", "result", base=colour, base_typed=""), "cloth"),
                parts.field(tr("Or a colour of your own"), typed.base_typed, sheet.put("base_typed", "base", "result"),
                            "cloth-hex", wrong, hint="#8b9db4")]

    return parts.Fold(tr("the cloth before"), typed.base_typed.strip() or cloth_words(typed.base), "base",
                      sheet.is_open("base"), sheet.toggle("base"), inside, wrong=bool(wrong))


def _state(state: str) -> str:
    return tr(_STATE_WORDS[state]) if state in _STATE_WORDS else state_words(state)


def _stuff(sheet: Sheet[SwatchTyped]) -> parts.Fold:
    lots = [lot for lot in sheet.app.lots if lot.facts.material == sheet.typed.material][:_LOTS]

    def inside() -> list[ft.Control]:
        rows: list[ft.Control] = [
            parts.second(tr("Dye stuff")),
            parts.chips([(key, tr(stuff.name)) for key, stuff in MATERIALS.items()], sheet.typed.material,
                        lambda key: sheet.edit(material=key, lot=""), "stuff-of")]
        if lots:
            rows += [parts.second(tr("From which lot; it teaches most about that one")),
                     parts.chips([("", tr("not told")), *((lot.id, f"{lot.code} · {lot.site_name}") for lot in lots)],
                                 sheet.typed.lot, sheet.put("lot"), "lot")]
        return [*rows, parts.second(tr("In what condition it went in")),
                parts.chips([(state, _state(state)) for state in STATES], sheet.typed.state,
                            sheet.put("state", "condition"), "state-of")]

    typed = sheet.typed
    of = next((tr("lot {code}", code=lot.code) for lot in lots if lot.id == typed.lot),
              tr(MATERIALS[typed.material].name))
    return parts.Fold(tr("dyed with"), f"{of}, {_state(typed.state)}", "state",
                       sheet.is_open("state"), sheet.toggle("state"), inside)


def _note(sheet: Sheet[SwatchTyped]) -> parts.Fold:
    wrong = at(sheet.problems, "note")
    return parts.Fold(tr("note"), sheet.typed.note.strip() or tr("none"), "note-fold", sheet.is_open("note"),
                      sheet.toggle("note"), lambda: [parts.field(
                          tr("Note"), sheet.typed.note, sheet.put("note"), "note", wrong, lines=2,
                          hint=tr("rain water, second strain"))], wrong=bool(wrong))
