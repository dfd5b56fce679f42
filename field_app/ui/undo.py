"""A quiet way back from what was done last, on the screen that shows what it was about."""

from __future__ import annotations

import flet as ft

from field_app.ui import parts, theme
from field_app.ui.guard import piece, say
from field_app.ui.services import use_app
from field_app.words import tr

__all__ = ["UndoBar", "undo_bar"]


@piece
def UndoBar(words: str) -> ft.Control:
    """What was done, and a button that undoes it and says so."""
    app = use_app()

    def undo() -> None:
        done = app.undo()
        say(tr("Undone: {what}.", what=done.words))

    return ft.Container(
        parts.with_way(parts.second(words), parts.quiet_button(tr("Undo"), undo, "undo"), before=[
            ft.Icon(ft.Icons.CHECK, size=20, color=theme.LEAF, semantics_label=tr("done"))]),
        padding=ft.Padding(left=14, right=4, top=theme.GRID, bottom=theme.GRID), border_radius=theme.RADIUS,
        border=ft.Border.all(1, theme.LINE), bgcolor=theme.PAPER, key="undo-bar")


def undo_bar(about: str | None = None) -> list[ft.Control]:
    """The bar, if the last thing done on this page was about this lot or place, or about any for None."""
    done = use_app().done
    if done is None or (about is not None and done.about != about):
        return []
    return [UndoBar(done.words)]
