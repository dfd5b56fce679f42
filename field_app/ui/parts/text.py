"""Words on the screen, in the few sizes the look has."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import flet as ft

from field_app.ui import theme
from field_app.ui.guard import guarded
from field_app.ui.parts.unbroken import words

__all__ = ["body", "figure", "heading", "lead", "scale_probe", "second", "small", "title"]

_BOLD = ft.FontWeight.BOLD


def title(text: str) -> ft.Control:
    """The answer of a screen: its title, which a screen reader finds as a heading."""
    return ft.Semantics(header=True, heading_level=1, content=words(
        text, size=theme.TITLE, weight=_BOLD, color=theme.HULL, style=ft.TextStyle(height=1.15)))


def heading(text: str) -> ft.Control:
    """The name of a group of things on a screen."""
    return ft.Semantics(header=True, heading_level=2, content=words(
        text, size=theme.LEAD, weight=_BOLD, color=theme.HULL))


def lead(text: str, *, bold: bool = True, expand: bool | int | None = None) -> ft.Text:
    """The first line of a card."""
    return words(text, size=theme.LEAD, weight=_BOLD if bold else None, color=theme.HULL, expand=expand)


def body(text: str, *, bold: bool = False, expand: bool | int | None = None) -> ft.Text:
    """Text that matters."""
    return words(text, size=theme.BODY, weight=_BOLD if bold else None, color=theme.HULL, expand=expand)


def second(text: str, *, expand: bool | int | None = None) -> ft.Text:
    """What is said beside it."""
    return words(text, size=theme.SECOND, color=theme.BARK, expand=expand)


def small(text: str, *, expand: bool | int | None = None) -> ft.Text:
    """The small line above a title, or under a field. Nothing is smaller."""
    return words(text, size=theme.SMALL, color=theme.BARK, expand=expand)


def figure(text: str, *, label: str | None = None) -> ft.Text:
    """A figure that matters. ``label`` is what a screen reader says instead."""
    return words(text, size=theme.FIGURE, weight=_BOLD, color=theme.HULL, semantics_label=label,
                 style=ft.TextStyle(height=1.1))


def scale_probe(on_scale: Callable[[float], Any]) -> ft.Control:
    """Tells how much larger than ours the device's text is [1], which the page itself doesn't know.

    One letter that is laid out, and neither seen nor read aloud.
    """
    size = 16

    def laid_out(event: ft.LayoutSizeChangeEvent[ft.Text]) -> None:
        on_scale(round(event.height / size, 2))

    letter = ft.Text("0", size=size, style=ft.TextStyle(height=1), on_size_change=guarded(laid_out))
    # Unbound in a stack, it is laid out at its own size and takes no room in the page.
    unseen = ft.Container(letter, left=0, top=0, opacity=0)
    return ft.Semantics(exclude_semantics=True, content=ft.Stack([unseen], height=1, width=1))
