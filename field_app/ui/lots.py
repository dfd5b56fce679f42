"""Lots: what was brought in, by how soon it spoils."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping, Sequence

import flet as ft

from field_app.core.lots import LotNow
from field_app.ui import parts, theme
from field_app.ui.all_lots import use_all_lots
from field_app.ui.guard import guarded, screen
from field_app.ui.life_words import title_of_all
from field_app.ui.lot_rows import lot_row
from field_app.ui.lots_back import LotsBack
from field_app.ui.lots_order import HURRY_WORDS, Hurry, by_hurry
from field_app.ui.services import use_app, use_services
from field_app.ui.share_parts import Unreadable
from field_app.ui.state import PAGE
from field_app.ui.undo import undo_bar
from field_app.words import tr, tr_n

__all__ = ["Lots"]


@screen
def Lots() -> ft.View:
    """The lots, fifty at a time."""
    services, state = use_services(), use_app()
    ft.use_effect(guarded(state.catch_up), [])
    today = state.today()
    shown, set_shown = ft.use_state(PAGE)
    lots = use_all_lots()
    title = (tr_n("{n} lot", "{n} lots", state.lot_count) if lots is None
             else title_of_all(lots, today, decimal=services.decimal))
    groups = ft.use_memo(lambda: by_hurry(state.lots if lots is None else lots, today), [lots, state.lots, today])
    # Those that were counted but are not among all that could be read are told of, and not offered.
    hidden = [Unreadable(services.book.change_mark())] if lots is not None and len(lots) < state.lot_count else []
    if not state.lots:
        return parts.page_view(
            "/lots", tr("What was brought in"), title,
            [*hidden, parts.notice("advice", tr("Log what fell"),
                          tr("Weigh, count or pour what you gathered at a tree. Its lot gets a code for the pail, "
                             "and here it says how long it stays good and what it will dye.")),
             LotsBack(services.book.change_mark())],
            dock=_log(), undo=undo_bar(), place="lots")
    rest = (state.lot_count if lots is None else len(lots)) - shown
    more = [parts.outline_button(tr("Show {n} more of {all}", n=min(PAGE, rest), all=rest),
                                 lambda: set_shown(shown + PAGE), "lots-more")]
    # In a column of their own, so that what follows them stays as it was opened.
    rows = ft.Column(_rows(groups, shown, today, state.apart), spacing=theme.GAP,
                     horizontal_alignment=ft.CrossAxisAlignment.STRETCH)
    return parts.page_view(
        "/lots", tr("What was brought in, by how soon it spoils"), title,
        [*hidden, rows, *(more if rest > 0 else []),
         LotsBack(services.book.change_mark()),
         ft.Row([parts.outline_button(tr("Open a lot by its label"), parts.going("/lots/find"), "lots-find",
                                      icon=ft.Icons.QR_CODE_SCANNER, expand=True)]),
         ft.Row([parts.outline_button(tr("Labels for the pails"), parts.going("/lots/labels"), "lots-labels",
                                      icon=ft.Icons.PRINT_OUTLINED, expand=True)])],
        dock=_log(), undo=undo_bar(), place="lots",
        kicker_end=[parts.icon_button(ft.Icons.QR_CODE_SCANNER, tr("open a lot by its label"),
                                      parts.going("/lots/find"), "lots-scan")])


def _rows(groups: Sequence[tuple[Hurry, Sequence[LotNow]]], shown: int, today: dt.date,
          apart: Mapping[str, bool]) -> list[ft.Control]:
    """The first so many lots, with a heading over each kind of hurry if there are several."""
    rows: list[ft.Control] = []
    for hurry, lots in groups:
        if shown <= 0:
            break
        if len(groups) > 1:
            rows.append(parts.heading(tr(HURRY_WORDS[hurry])))
        rows += [lot_row(lot, today, grave=apart.get(lot.id, False)) for lot in lots[:shown]]
        shown -= len(lots)
    return rows


def _log() -> ft.Control:
    return parts.main_button(tr("Log a windfall"), parts.going("/windfall"), "lots-log", icon=ft.Icons.ADD)
