"""Fields to type into, and the keypad for weighing with wet hands."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable
from typing import Any

import flet as ft

from field_app.core.habits import habits
from field_app.core.problems import Problem
from field_app.ui import theme
from field_app.ui.guard import guarded
from field_app.ui.parts.cards import problem_text
from field_app.ui.room import room_here
from field_app.words import tr

__all__ = ["BACK", "DECIMAL", "KEYPAD", "field", "keypad", "pressed", "with_own_sign"]

#: By this a screen knows the keypad among its controls.
KEYPAD = "keypad"
#: What ``on_key`` gets for the two keys that are not digits.
DECIMAL, BACK = "decimal", "back"
#: A number, perhaps with its unit; positions, days and times are none.
_NUMBER = re.compile(r"[0-9]+\.[0-9]+( ?[^\W\d]+)?")
#: How many letters of a label fit on a narrow screen when they are twice as large [1].
_LONG = 16
_ROWS = (("1", "2", "3", BACK), ("4", "5", "6", DECIMAL), ("7", "8", "9", "0"))


def field(label: str, value: str, on_change: Callable[[str], Any], key: str,
          error: Iterable[Problem] = (), *, hint: str = "", helper: str = "", suffix: str = "",
          keyboard: ft.KeyboardType = ft.KeyboardType.TEXT, lines: int = 1,
          on_focus: Callable[..., Any] | None = None, on_submit: Callable[..., Any] | None = None,
          big: bool = False, active: bool = False, expand: bool | int | None = None,
          told_below: bool = True) -> ft.Control:
    """One field with its label; ``on_change`` gets the text; problems are said right below it.

    ``told_below`` is False where the field is too narrow for a sentence, and its row says the problems.
    ``big`` is for the figure of a screen; ``active`` marks the field that the
    keypad writes into. The keyboard ``NONE`` leaves the phone's own closed.
    """
    wrong = tuple(error)

    def changed(event: ft.Event[ft.TextField]) -> None:
        on_change(event.control.value or "")

    # Such a label takes two lines at double size as long as the field is empty, and has to fit into it.
    long = room_here().large and len(label) > _LONG
    box = ft.TextField(
        label=label, value=with_own_sign(value), key=key, on_change=guarded(changed), hint_text=hint or None,
        helper=helper or None, suffix=suffix or None, keyboard_type=keyboard, multiline=lines > 1,
        min_lines=lines if lines > 1 else None, max_lines=6 if lines > 1 else None,
        on_focus=guarded(on_focus) if on_focus else None,
        on_submit=guarded(on_submit) if on_submit else None,
        text_size=theme.FIGURE if big else theme.LEAD,
        text_style=ft.TextStyle(weight=ft.FontWeight.BOLD if big else None, color=theme.HULL),
        # The client draws a label above its field at three quarters of its size.
        label_style=ft.TextStyle(size=16 if long else 20, color=theme.BARK),
        helper_style=ft.TextStyle(size=theme.SMALL, color=theme.BARK),
        hint_style=ft.TextStyle(color=theme.BARK),
        suffix_style=ft.TextStyle(size=theme.LEAD, weight=ft.FontWeight.BOLD, color=theme.HULL),
        helper_max_lines=8 if room_here().large else 4, filled=True, fill_color=theme.PAPER,
        border={ft.ControlState.DEFAULT: _frame(theme.MADDER if wrong else theme.HULL if active else theme.EDGE,
                                                2 if wrong or active else 1),
                ft.ControlState.FOCUSED: _frame(theme.MADDER if wrong else theme.HULL, 2)},
        content_padding=ft.Padding.symmetric(vertical=24 if long else 14, horizontal=14))
    # Half of the label stands above the frame: twice as large it would lie on what is above.
    above = ft.Margin.only(top=2 * theme.GRID) if room_here().large else None
    return ft.Column([box, *(problem_text(wrong) if told_below else [])], spacing=theme.GRID, expand=expand,
                     margin=above, horizontal_alignment=ft.CrossAxisAlignment.STRETCH)


def with_own_sign(text: str) -> str:
    """A text as it was typed; a number, with the decimal sign that the person is used to."""
    return text.replace(".", habits().decimal) if _NUMBER.fullmatch(text) else text


def _frame(color: ft.Colors, width: int) -> ft.OutlineInputBorder:
    return ft.OutlineInputBorder(side=ft.BorderSide(width, color), border_radius=theme.RADIUS)


def pressed(text: str, key: str, decimal: str = "") -> str:
    """The text after a key: a second decimal sign is ignored, and one without a digit gets its zero.

    >>> pressed(pressed("14", DECIMAL), "2")
    '14.2'
    >>> pressed("1,5", DECIMAL, ",")
    '1,5'
    """
    if key == BACK:
        return text[:-1]
    if key == DECIMAL:
        if "." in text or "," in text:
            return text
        return (text or "0") + (decimal or habits().decimal)
    return text + key


def keypad(on_key: Callable[[str], Any], *, decimal: str = "", key: str = "key") -> ft.Control:
    """Four keys by three, 52 px high, what is no digit at the thumb's side.

    ``on_key`` gets a digit, :data:`DECIMAL` or :data:`BACK`.
    """
    # The digits keep their order; the column beside them is the one that moves.
    rows = _ROWS if habits().hand == "right" else tuple((last, *digits) for *digits, last in _ROWS)
    return ft.Column(
        [ft.Row([_key(name, on_key, decimal, key) for name in keys],
                spacing=2 * theme.GRID) for keys in rows],
        spacing=2 * theme.GRID, data=KEYPAD)


def _key(name: str, on_key: Callable[[str], Any], decimal: str, key: str) -> ft.Control:
    def press() -> None:
        on_key(name)

    face: ft.Control
    if name == BACK:
        face = ft.Icon(ft.Icons.BACKSPACE_OUTLINED, color=theme.HULL, size=22 * theme.LINE_HEIGHT * room_here().scale,
                       semantics_label=tr("take back"))
    else:
        sign = (decimal or habits().decimal) if name == DECIMAL else name
        face = ft.Text(sign, size=22, color=theme.HULL, style=ft.TextStyle(height=theme.LINE_HEIGHT),
                       semantics_label=tr("decimal sign") if name == DECIMAL else None)
    return ft.Button(
        face, key=f"{key}-{name}", on_click=guarded(press), expand=True,
        elevation=0,
        style=ft.ButtonStyle(bgcolor=theme.KEY, shape=ft.RoundedRectangleBorder(radius=12),
                             padding=theme.button_padding(theme.KEY_TARGET, 22, 4)))
