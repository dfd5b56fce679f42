"""Things to tap. Each is at least 48 px high, grows with the text, and can't crash the app."""

from __future__ import annotations

import inspect
from collections.abc import Callable, Sequence
from typing import Any

import flet as ft

from field_app.core.habits import habits
from field_app.ui import theme
from field_app.ui.guard import guarded
from field_app.ui.parts.unbroken import words as unbroken_words
from field_app.words import tr

__all__ = ["chips", "drop_button", "going", "icon_button", "main_button", "outline_button", "quiet_button"]

Handler = Callable[..., Any]


def going(route: str) -> Handler:
    """A handler that goes to a route."""
    def go() -> None:
        ft.context.page.navigate(route)
    return go


def _button(text: str, on_click: Handler, key: str, *, size: int, target: int, style: ft.ButtonStyle,
            color: str, icon: ft.IconData | None, expand: bool | int | None, bold: bool, disabled: bool,
            tooltip: str | None, action: Any) -> ft.Button:
    words = unbroken_words(text, size=size, weight=ft.FontWeight.BOLD if bold else None, color=color,
                           text_align=ft.TextAlign.CENTER, style=ft.TextStyle(height=theme.LINE_HEIGHT))
    style.padding = theme.button_padding(target, size)
    style.icon_size = size + 4
    style.icon_color = color
    return ft.Button(words, icon=icon, key=key, on_click=guarded(on_click), style=style, expand=expand,
                     elevation=0, disabled=disabled, tooltip=tooltip, action=action)


def main_button(text: str, on_click: Handler, key: str, *, icon: ft.IconData | None = None,
                expand: bool | int | None = True, disabled: bool = False, action: Any = None) -> ft.Button:
    """The one main action of a screen: 60 px high, dark on light. It belongs into the dock."""
    style = ft.ButtonStyle(bgcolor=theme.ACTION, shape=ft.RoundedRectangleBorder(radius=16),
                           overlay_color=ft.Colors.with_opacity(0.12, theme.ON_ACTION))
    return _button(text, on_click, key, size=20, target=theme.MAIN_TARGET, style=style, color=theme.ON_ACTION,
                   icon=icon, expand=expand, bold=True, disabled=disabled, tooltip=None, action=action)


def outline_button(text: str, on_click: Handler, key: str, *, icon: ft.IconData | None = None,
                   expand: bool | int | None = None, main: bool = False, disabled: bool = False,
                   action: Any = None) -> ft.Button:
    """A second action: an outline, 48 px high, or 60 beside a main one (``main=True``)."""
    style = ft.ButtonStyle(bgcolor=ft.Colors.TRANSPARENT, side=ft.BorderSide(2, theme.HULL),
                           shape=ft.RoundedRectangleBorder(radius=16 if main else theme.RADIUS))
    return _button(text, on_click, key, size=20 if main else theme.BODY, color=theme.HULL, style=style,
                   target=theme.MAIN_TARGET if main else theme.TARGET, icon=icon, expand=expand, bold=True,
                   disabled=disabled, tooltip=None, action=action)


def quiet_button(text: str, on_click: Handler, key: str, *, icon: ft.IconData | None = None,
                 expand: bool | int | None = None, disabled: bool = False, first: bool = False,
                 action: Any = None) -> ft.Button:
    """A small way on, underlined only by its place: 48 px high.

    ``first`` where it begins a line by itself: its words then stand under those above it.
    """
    style = ft.ButtonStyle(bgcolor=ft.Colors.TRANSPARENT,
                           shape=ft.RoundedRectangleBorder(radius=theme.RADIUS))
    button = _button(text, on_click, key, size=theme.BODY, target=theme.TARGET, style=style, color=theme.SKY,
                     icon=icon, expand=expand, bold=True, disabled=disabled, tooltip=None, action=action)
    if habits().light == "sun" and isinstance(button.content, ft.Text):
        # In full sun there is no colour for it: without a line it would pass for bold words.
        button.content.style = ft.TextStyle(height=theme.LINE_HEIGHT, decoration=ft.TextDecoration.UNDERLINE)
    if first:
        style.padding = theme.button_padding(theme.TARGET, theme.BODY, 0)
    return button


def icon_button(icon: ft.IconData, label: str, on_click: Handler, key: str) -> ft.IconButton:
    """A picture to tap, 48 px square; ``label`` is its name for a screen reader."""
    # A tooltip would be its name on some platforms only; the picture's own label is one on all.
    picture = ft.Icon(icon, color=theme.HULL, size=24, semantics_label=label)
    return ft.IconButton(picture, key=key, on_click=guarded(on_click), width=theme.TARGET, height=theme.TARGET)


def drop_button(text: str, on_click: Handler, key: str, *, opened: bool) -> ft.Button:
    """What is chosen now, with an arrow: a tap opens what else there is; 48 px high."""
    face = ft.Row(
        [ft.Text(text, size=theme.LEAD, weight=ft.FontWeight.BOLD, color=theme.HULL,
                 style=ft.TextStyle(height=theme.LINE_HEIGHT)),
         ft.Icon(ft.Icons.EXPAND_LESS if opened else ft.Icons.EXPAND_MORE, size=22, color=theme.HULL,
                 semantics_label=tr("close") if opened else tr("change"))], spacing=2, tight=True)
    style = ft.ButtonStyle(bgcolor=theme.PAPER, side=ft.BorderSide(1, theme.EDGE),
                           shape=ft.RoundedRectangleBorder(radius=theme.RADIUS),
                           padding=theme.button_padding(theme.TARGET, theme.LEAD, 10))
    return ft.Button(face, key=key, style=style, elevation=0, on_click=guarded(on_click))


def chips(options: Sequence[tuple[str, str]], chosen: str | None, on_pick: Callable[[str], Any],
          key: str) -> ft.Row:
    """One of several: ``options`` are (value, words). The chosen one is bold, framed and ticked.

    Each has the key ``<key>-<value>``; ``on_pick`` gets the value.
    """
    return ft.Row([_chip(value, words, value == chosen, on_pick, key) for value, words in options],
                  wrap=True, spacing=2 * theme.GRID, run_spacing=2 * theme.GRID)


def _chip(value: str, words: str, chosen: bool, on_pick: Callable[[str], Any], key: str) -> ft.Button:
    tick = ft.Icon(ft.Icons.CHECK, size=20, color=theme.HULL, semantics_label=tr("chosen")) if chosen else None
    text = unbroken_words(words, size=theme.BODY, color=theme.HULL, weight=ft.FontWeight.BOLD if chosen else None,
                          style=ft.TextStyle(height=theme.LINE_HEIGHT))
    style = ft.ButtonStyle(
        bgcolor=theme.SAND if chosen else theme.PAPER,
        side=ft.BorderSide(2 if chosen else 1, theme.HULL if chosen else theme.EDGE),
        shape=ft.RoundedRectangleBorder(radius=12),
        padding=theme.button_padding(theme.TARGET, theme.BODY, 12))

    async def pick_later() -> None:
        await on_pick(value)

    def pick_now() -> None:
        on_pick(value)

    pick = pick_later if inspect.iscoroutinefunction(on_pick) else pick_now
    return ft.Button(text, icon=tick, key=f"{key}-{value}", style=style, elevation=0,
                     on_click=guarded(pick))
