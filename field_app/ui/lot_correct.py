"""Correct a lot: the form of "What fell", preset with what was said, and kept as a new saying."""

from __future__ import annotations

import flet as ft

from field_app.ui import parts
from field_app.ui.guard import screen
from field_app.ui.refusals import not_kept
from field_app.ui.services import use_app, use_services
from field_app.ui.windfall import WINDFALL_CALLED, windfall_form
from field_app.ui.windfall_desk import Desk, Shown, begin_correcting
from field_app.words import tr

__all__ = ["LotCorrect"]


@screen
def LotCorrect() -> ft.View:
    """A lot by its code, with everything it says in the fields where it was typed."""
    services, app = use_services(), use_app()
    key, path = ft.use_route_params().get("id", ""), ft.use_view_path()
    lot = ft.use_memo(lambda: services.book.lot(key), [key, app.lots])
    first = ft.use_memo(lambda: begin_correcting(app, lot), [lot.id])
    typed, set_typed = ft.use_state(first)
    shown, set_shown = ft.use_state(_NOTHING)
    desk = Desk(typed, shown, app, services, set_typed, set_shown, corrects=lot)

    def leave_when_kept() -> None:
        # What was kept is shown on the lot's own screen, with a way back from it.
        if shown.lot is not None:
            ft.context.page.navigate(f"/lots/{lot.code}")

    ft.use_effect(leave_when_kept, [shown.lot])
    note = not_kept(shown.problems, WINDFALL_CALLED)
    return parts.page_view(
        path, tr("Lot {lot} · the old stays in its history", lot=lot.code), tr("Correct what was put down"),
        windfall_form(desk), dock=parts.main_button(tr("Keep the correction"), desk.save, "correct-save"),
        dock_note=note, back=f"/lots/{lot.code}")


_NOTHING = Shown()
