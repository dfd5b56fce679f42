"""History of a lot: everything that was said of it, newest first, and what people say differently."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence

import flet as ft

from field_app.core.history import Told
from field_app.store import FieldBook
from field_app.store.sync import apart
from field_app.sync import history, subject
from field_app.ui import parts
from field_app.ui.guard import guarded, screen
from field_app.ui.history_words import Names, deed_words, names_of
from field_app.ui.life_words import moment_words
from field_app.ui.services import use_app, use_services
from field_app.ui.settle_cards import settle_cards
from field_app.ui.undo import undo_bar
from field_app.words import later, tr, tr_n

__all__ = ["LotHistory"]

#: So many entries are shown at a time [1].
_PAGE = 30
_STANDING = {"holds": "", "disagrees": later("said differently, and not settled"), "replaced": later("replaced since")}


@screen
def LotHistory() -> ft.View:
    """A lot's history by its code or id, also of one that was taken back."""
    services, state = use_services(), use_app()
    key, path = ft.use_route_params().get("id", ""), ft.use_view_path()
    shown, set_shown = ft.use_state(_PAGE)
    ft.use_effect(guarded(state.catch_up), [])
    book = services.book
    found = ft.use_memo(lambda: subject(book, key), [key])
    told, open_ones = ft.use_memo(lambda: (history(book, found.id)[::-1], apart(book.log_book, of=found.id)),
                                  [found.id, state.lots, state.apart])
    names = ft.use_memo(lambda: names_of(book), [state.lots])
    body: list[ft.Control] = [*settle_cards(open_ones, found.id, names),
                              *(_entry(one, names, book, state.today()) for one in told[:shown])]
    if len(told) > shown:
        body.append(parts.outline_button(tr("Show more"), lambda: set_shown(shown + _PAGE), "history-more"))
    return parts.page_view(path, tr("Lot {lot} · newest first", lot=found.name), _title(told, len(open_ones)), body,
                           undo=undo_bar(found.id), back=f"/lots/{key}")


def _title(told: Sequence[Told], open_ones: int) -> str:
    if open_ones:
        return tr_n("Something is to be settled", "{n} things are to be settled", open_ones)
    return tr_n("Said once, never changed", "Said and done, {n} times", len(told))


def _entry(one: Told, names: Names, book: FieldBook, today: dt.date) -> ft.Control:
    heading, facts = deed_words(one, today)
    when = moment_words(one.at.astimezone(book.now().tzinfo), today)
    standing = _STANDING[one.standing]
    rows: list[ft.Control] = [
        parts.body(heading, bold=True),
        *(parts.figure_row(about, words) for about, words in facts),
        parts.small(" · ".join([names.called(one.device), when, *([tr(standing)] if standing else [])]))]
    return parts.card(rows, "amber" if one.standing == "disagrees" else None, key=f"told-{one.version[-8:]}")
