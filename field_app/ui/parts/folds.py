"""What is rarely used: a line that says how it stands, and opens in place."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any

import flet as ft

from field_app.ui import theme
from field_app.ui.guard import guarded
from field_app.ui.parts import text

__all__ = ["fold"]


def fold(label: str, summary: str, *, opened: bool, on_toggle: Callable[..., Any], key: str,
         controls: Sequence[ft.Control] = (), wrong: bool = False) -> ft.Control:
    """A card with one line, ``label`` over ``summary``; ``controls`` show below it while it is open.

    wrong: whether something inside has to be mended, which the line says in words.
    """
    said = ft.Text(summary, size=theme.BODY, weight=ft.FontWeight.W_500, color=theme.HULL)
    lines: list[ft.Control] = [text.small(label), said]
    if wrong:
        lines.append(ft.Text("has to be mended", size=theme.SECOND, color=theme.MADDER))
    line = ft.TextButton(
        ft.Row([ft.Column(lines, spacing=0, expand=True, tight=True),
                ft.Icon(ft.Icons.EXPAND_LESS if opened else ft.Icons.EXPAND_MORE, size=24, color=theme.HULL,
                        semantics_label="close" if opened else "open")],
               spacing=theme.GRID),
        key=key, on_click=guarded(on_toggle),
        style=ft.ButtonStyle(padding=ft.Padding.symmetric(vertical=8, horizontal=16),
                             shape=ft.RoundedRectangleBorder(radius=theme.RADIUS)))
    inside: list[ft.Control] = []
    if opened:
        inside.append(ft.Container(
            ft.Column(list(controls), spacing=theme.GAP, horizontal_alignment=ft.CrossAxisAlignment.STRETCH),
            padding=ft.Padding(left=16, right=16, top=4, bottom=16)))
    return ft.Container(
        ft.Column([line, *inside], spacing=0, tight=True, horizontal_alignment=ft.CrossAxisAlignment.STRETCH),
        bgcolor=theme.PAPER, border=ft.Border.all(2 if wrong else 1, theme.MADDER if wrong else theme.LINE),
        border_radius=theme.RADIUS)
