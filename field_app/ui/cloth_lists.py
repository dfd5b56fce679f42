"""The lists of cloth that are kept, and one of them: what is to be dyed, item by item, fibre by fibre."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

import flet as ft

from field_app.core.cloth_lists import ClothForm, ClothNow
from field_app.core.cloths import mass_of
from field_app.core.problems import FolderFault, Refused
from field_app.core.totals import total
from field_app.store import cloth_list, cloth_lists
from field_app.ui import drafts, parts
from field_app.ui.cloth_keep import keep_cloth, take_back_cloth
from field_app.ui.cloth_pick import ITEM_CALLED, Picked, add_item, cloth_mass_words, picker, total_card
from field_app.ui.guard import guarded, screen
from field_app.ui.refusals import NO_PROBLEMS, at, elsewhere, not_kept
from field_app.ui.services import use_app, use_services
from field_app.ui.state import AppState
from field_app.ui.undo import undo_bar
from field_app.words import later, tr, tr_n

__all__ = ["ClothList", "ClothLists"]

_CALLED = {"name": later("name"), "note": later("note"), **ITEM_CALLED}
_HOME = "/dye-day/cloth"


@screen
def ClothLists() -> ft.View:
    """Every list with what is in it; a tap opens one."""
    services, app = use_services(), use_app()
    lists = ft.use_memo(lambda: cloth_lists(services.book), [services.book.change_mark(), app.done])
    decimal = services.decimal
    body: list[ft.Control] = []
    for one in lists:
        body.append(parts.card(
            [parts.lead(one.name), parts.second(one.words), parts.range_row(tr("together"), one.mass, decimal=decimal)],
            key=f"list-{one.id}", on_click=parts.going(f"{_HOME}/{one.id}")))
    if not lists:
        body.append(parts.notice("advice", tr("A list says what is to be dyed"),
                                 tr("Shawls, yarn, a length of linen: weighed, measured or by the piece. Its weight "
                                    "says how much must be gathered, and how dark it can be.")))
    title = tr("No cloth noted yet")
    if lists:
        mass = total((one.mass for one in lists), unit="kg")
        title = tr_n("{n} list, {mass} of cloth", "{n} lists, {mass} of cloth", len(lists),
                     mass=cloth_mass_words(mass, decimal=decimal))
    return parts.page_view(_HOME, tr("What is to be dyed"), title, body, undo=undo_bar(), back="/dye-day",
                           dock=parts.main_button(tr("Make a list"), parts.going(f"{_HOME}/new"), "cloth-new",
                                                  icon=ft.Icons.ADD))


@dataclass(frozen=True, slots=True)
class _Typed:
    name: str
    note: str
    picked: Picked


def _begun(one: ClothNow | None) -> _Typed:
    return _Typed("", "", Picked()) if one is None else _Typed(
        one.name, one.facts.note, Picked(one.facts.items, telling=False))


@screen
def ClothList() -> ft.View:
    """A new list, or one that is changed."""
    services, app = use_services(), use_app()
    key, decimal = ft.use_route_params().get("id", ""), services.decimal
    known: ClothNow | None = ft.use_memo(lambda: cloth_list(services.book, key) if key else None, [key])
    draft = f"cloth list {key}"
    first: _Typed = ft.use_memo(lambda: drafts.kept(app, draft) or _begun(known), [key])
    typed, set_typed = ft.use_state(first)
    problems, set_problems = ft.use_state(NO_PROBLEMS)

    def put(fresh: _Typed, *mended: str) -> None:
        drafts.keep(app, draft, fresh)
        set_typed(fresh)
        set_problems(tuple(problem for problem in problems if problem.where not in mended))

    def typing(name: str) -> Callable[[str], None]:
        return lambda value: put(replace(drafts.kept(app, draft) or typed, **{name: value}), name)

    def pick(change: Callable[[Picked], Picked]) -> None:
        now: _Typed = drafts.kept(app, draft) or typed
        put(replace(now, picked=change(now.picked)), "cloth")

    def save() -> None:
        now: _Typed = drafts.kept(app, draft) or typed
        if now.picked.item.text:
            # What was told and not added yet is meant as well.
            now = replace(now, picked=add_item(now.picked))
            put(now)
            if now.picked.problems:
                return
        try:
            keep_cloth(app, services.book, ClothForm(now.name, now.picked.items, now.note), known)
        except Refused as refused:
            set_problems(refused.problems)
            return
        except FolderFault as fault:
            set_problems((fault.problem,))
            return
        _leave(app, draft)

    def take_back() -> None:
        if known is not None:
            take_back_cloth(app, services.book, known)
            _leave(app, draft)

    items = typed.picked.read()
    body: list[ft.Control] = [
        *elsewhere(problems, _CALLED),
        parts.field(tr("Name"), typed.name, typing("name"), "cloth-name", at(problems, "name"),
                    hint=tr("Autumn shawls")),
        *([total_card(items, decimal=decimal)] if items else []),
        parts.heading(tr("What is in it")),
        *picker(typed.picked, pick, decimal=decimal),
        *parts.problem_text(at(problems, "cloth")),
        parts.field(tr("Note"), typed.note, typing("note"), "cloth-note", at(problems, "note"), hint=tr("for the fair"),
                    lines=2),
        *([parts.quiet_button(tr("Take this list back"), guarded(take_back), "cloth-back")] if known else []),
    ]
    return parts.page_view(f"{_HOME}/{key or 'new'}", tr("A list of cloth"), _title(typed.picked, decimal), body,
                           back=_HOME, dock=parts.main_button(tr("Keep this list"), save, "cloth-save"),
                           dock_note=not_kept(problems, _CALLED))


def _leave(app: AppState, draft: str) -> None:
    drafts.drop(app, draft)
    ft.context.page.navigate(_HOME)


def _title(picked: Picked, decimal: str) -> str:
    if not picked.items:
        return tr("What is to be dyed?")
    return tr("{mass} of cloth to dye", mass=cloth_mass_words(mass_of(picked.read()), decimal=decimal))
