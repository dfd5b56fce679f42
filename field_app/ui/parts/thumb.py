"""Which side the thumb is on: what is tapped most lies there, and the rest beside it."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TypeVar

import flet as ft

from field_app.core.habits import habits
from field_app.ui import theme
from field_app.ui.room import room_here

__all__ = ["at_thumb", "fields_at_thumb", "with_way"]

T = TypeVar("T")


def at_thumb(beside: Sequence[T]) -> list[T]:
    """Things beside each other, told as for the right hand: what is tapped most comes last; mirrored for the left.

    >>> at_thumb(["text", "button"])
    ['text', 'button']
    """
    return list(beside) if habits().hand == "right" else list(reversed(beside))


def fields_at_thumb(fields: Sequence[ft.Control]) -> list[ft.Control]:
    """Fields beside each other keep the order in which one reads; a button among them lies at the thumb.

    Fields share the line (``expand``), a button takes its own width.
    """
    if habits().hand == "right":
        return list(fields)
    return sorted(fields, key=lambda one: bool(one.expand))


def with_way(words: ft.Control, way: ft.Control, *, before: Sequence[ft.Control] = ()) -> ft.Control:
    """Words with a button at the thumb's side, or below them where large text would squeeze them; before: an icon."""
    words.expand = True
    large = room_here().large
    if isinstance(way, ft.Button) and isinstance(way.style, ft.ButtonStyle) and way.style.side is None:
        # Without a frame, its words are what one sees: they end where the lines above and below end.
        padding = theme.button_padding(theme.TARGET, theme.BODY)
        if large or habits().hand == "left":
            padding.left = 0
        else:
            padding.right = 0
        way.style.padding = padding
    if large:
        told: ft.Control = ft.Row([*before, words], spacing=2 * theme.GRID)
        return ft.Column([told, ft.Row([way], wrap=True)], spacing=0, tight=True)
    return ft.Row(at_thumb([*before, words, way]), spacing=2 * theme.GRID if before else theme.GRID)
