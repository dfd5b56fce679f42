"""Lots: what was brought in, newest first, and what wants using."""

from __future__ import annotations

import flet as ft

from field_app.ui import parts
from field_app.ui.all_lots import use_all_lots
from field_app.ui.guard import guarded, screen
from field_app.ui.lot_rows import lot_row
from field_app.ui.lot_words import title_of_all
from field_app.ui.services import use_app, use_services
from field_app.ui.state import PAGE

__all__ = ["Lots"]


@screen
def Lots() -> ft.View:
    """The lots, fifty at a time."""
    services, state = use_services(), use_app()
    ft.use_effect(guarded(state.catch_up), [])
    today = state.today()
    lots = use_all_lots()
    title = f"{state.lot_count} lots" if lots is None else title_of_all(lots, today, decimal=services.decimal)
    if not state.lots:
        return parts.page_view(
            "/lots", "What was brought in", title,
            [parts.notice("advice", "Log what fell",
                          "Weigh, count or pour what you gathered at a tree. Its lot gets a code for the pail, "
                          "and here it says how long it stays good and what it will dye.")],
            dock=_log(), place="lots")
    rest = state.lot_count - len(state.lots)
    more = [parts.outline_button(f"Show {min(PAGE, rest)} more of {rest}", state.more_lots, "lots-more")]
    return parts.page_view(
        "/lots", "What was brought in, newest first", title,
        [*(lot_row(lot, today, services.decimal) for lot in state.lots), *(more if rest > 0 else [])],
        dock=_log(), place="lots")


def _log() -> ft.Control:
    return parts.main_button("Log a windfall", parts.going("/windfall"), "lots-log", icon=ft.Icons.ADD)
