"""A look at a tree without gathering: how ripe, the thumb test, what lies on the ground."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

import flet as ft

from field_app.core.looks import GROUND, PLAIN_STAGES, LookForm, LookNow, stages_of
from field_app.core.materials import MATERIALS, RIPENESS
from field_app.core.problems import Problem
from field_app.core.sites import SiteNow
from field_app.store import FieldBook, add_look
from field_app.ui import drafts, parts, theme
from field_app.ui.chosen import Chosen, ChosenPictures, chosen_words, wait_for
from field_app.ui.guard import screen
from field_app.ui.refusals import at, elsewhere, not_kept
from field_app.ui.services import use_app, use_services
from field_app.ui.sheet import Sheet, use_sheet, when_fold
from field_app.ui.site_words import site_route
from field_app.ui.state import AppState, Done
from field_app.ui.tree import find_site
from field_app.words import later, tr, tr_as

__all__ = ["LookTyped", "TreeLook", "keep_look"]

_CALLED = {"material": later("what you looked at"), "stage": later("how ripe"), "dents": later("the thumb test"),
           "ground": later("on the ground"), "at": later("when"), "note": later("note")}


@dataclass(frozen=True, slots=True)
class LookTyped:
    """What is chosen or typed so far; count: what lies there as a number, in place of the words."""

    material: str = ""
    stage: str = ""
    dented: str = ""
    pressed: str = "10"
    words: str = ""
    count: str = ""
    earlier: bool = False
    day: str = ""
    time: str = ""
    note: str = ""
    photographs: tuple[Chosen, ...] = ()

    def form(self) -> LookForm:
        """As the book takes it."""
        dents = f"{self.dented.strip()} of {self.pressed.strip()}" if self.dented.strip() else ""
        return LookForm(self.material, self.stage, dents, self.count.strip() or self.words,
                        f"{self.day} {self.time}".strip() if self.earlier else "", self.note)


def keep_look(app: AppState, book: FieldBook, site: SiteNow, form: LookForm) -> LookNow:
    """Note a look, so that it can be undone on this page."""
    look = add_look(book, site.id, form)
    last = book.log_book.last_own()
    app.done = Done(tr("look at {name} noted", name=site.name), site.id, last.name) if last else None
    app.refresh()
    return look


@screen
def TreeLook() -> ft.View:
    """One form of few taps; anything may be left out."""
    services, app = use_services(), use_app()
    site, path = find_site(app.sites, ft.use_route_params().get("id", "")), ft.use_view_path()
    sheet = use_sheet(f"look {site.id}", lambda: LookTyped(next(iter(site.facts.materials), "")))

    def save() -> None:
        def keep() -> None:
            look = keep_look(app, services.book, site, sheet.typed.form())
            wait_for(app, look.id, sheet.typed.photographs)

        if sheet.try_to(keep, _fold_of):
            ft.context.page.navigate(site_route(site.id))

    stuff = MATERIALS.get(sheet.typed.material)
    plain = stuff is not None and stages_of(stuff) is PLAIN_STAGES
    return parts.page_view(
        path, tr("{name} · a look, nothing gathered", name=site.name), tr("How it stands"),
        [*elsewhere(sheet.problems, _CALLED), *_what(sheet, site), *_stage(sheet), *([] if plain else _dents(sheet)),
         *_ground(sheet), parts.fold_card([when_fold(sheet), _note(sheet), _photographs(sheet, app)])],
        dock=parts.main_button(tr("Keep this look"), save, "look-save"), dock_note=not_kept(sheet.problems, _CALLED),
        back=site_route(site.id))


def _fold_of(problem: Problem) -> str:
    return {"at": "when", "note": "note"}.get(problem.where, "")


def _what(sheet: Sheet[LookTyped], site: SiteNow) -> list[ft.Control]:
    keys = [key for key in site.facts.materials if key in MATERIALS] or list(MATERIALS)[:6]
    if len(keys) < 2 and sheet.typed.material:
        return [*parts.problem_text(at(sheet.problems, "material"))]
    return [parts.chips([(key, tr(MATERIALS[key].name)) for key in keys], sheet.typed.material,
                        lambda key: sheet.edit("material", material=key, stage=""), "look-material"),
            *parts.problem_text(at(sheet.problems, "material"))]


def _stage(sheet: Sheet[LookTyped]) -> list[ft.Control]:
    chosen, stuff = sheet.typed.stage, MATERIALS.get(sheet.typed.material)
    stages = stages_of(stuff) if stuff else PLAIN_STAGES
    ripe = RIPENESS.get(chosen)
    # A second tap takes it back: not knowing is an answer too.
    return [parts.second(tr("How ripe most of it is")),
            parts.chips([(key, tr(words)) for key, words in stages.items()], chosen,
                        lambda key: sheet.edit("stage", stage="" if key == chosen else key), "stage"),
            parts.small(tr(ripe.test) if ripe else tr("Leave it open if you can't tell.")),
            *parts.problem_text(at(sheet.problems, "stage"))]


def _dents(sheet: Sheet[LookTyped]) -> list[ft.Control]:
    typed, wrong = sheet.typed, bool(at(sheet.problems, "dents"))
    summary = (tr("{dented} of {pressed}", dented=typed.dented, pressed=typed.pressed) if typed.dented.strip()
               else tr("not tried"))

    def inside() -> list[ft.Control]:
        return [parts.small(tr("Press with the thumb, on boughs all round; ten at least, thirty is better.")),
                sheet.side_by_side(
                    sheet.number(tr("Kept the dent"), "dented", where=("dents",), first=True, expand=1),
                    sheet.number(tr_as("so many of so many", "Of"), "pressed", where=("dents",), expand=1),
                    where=("dents",)),
                sheet.keypad("dented", "dents")]

    return [parts.fold_card([parts.Fold(tr("thumb test"), summary, "dents-fold", sheet.is_open("dents") or wrong,
                                        sheet.toggle("dents"), inside, wrong)])]


def _ground(sheet: Sheet[LookTyped]) -> list[ft.Control]:
    typed = sheet.typed
    return [parts.second(tr("On the ground")),
            parts.chips([(key, tr(row.words)) for key, row in GROUND.items()],
                        "" if typed.count.strip() else typed.words,
                        lambda key: sheet.edit("ground", words="" if key == typed.words else key, count=""), "ground"),
            parts.field(tr("or the number"), typed.count, sheet.put("count", "ground"), "ground-count",
                        at(sheet.problems, "ground"), keyboard=ft.KeyboardType.NUMBER),
            ft.Container(height=theme.GRID)]


def _note(sheet: Sheet[LookTyped]) -> parts.Fold:
    wrong = at(sheet.problems, "note")
    return parts.Fold(tr("note"), sheet.typed.note.strip() or tr("none"), "note-fold", sheet.is_open("note"),
                      sheet.toggle("note"),
                      lambda: [parts.field(tr("Note"), sheet.typed.note, sheet.put("note"), "note", wrong, lines=2,
                                           hint=tr("the third tree is a week ahead"))], wrong=bool(wrong))


def _photographs(sheet: Sheet[LookTyped], app: AppState) -> parts.Fold:
    chosen = sheet.typed.photographs

    def change(made: Callable[[Any], Any]) -> None:
        now: LookTyped = drafts.kept(app, sheet.name) or sheet.typed
        sheet.edit(photographs=made(now.photographs))

    return parts.Fold(tr("photographs"), chosen_words(chosen), "photographs-fold", sheet.is_open("photographs"),
                      sheet.toggle("photographs"), lambda: [ChosenPictures(chosen, change, "photographs")])
