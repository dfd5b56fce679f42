"""What is mostly right as it stands: a line that says so, and opens in place to be changed."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any

import flet as ft

from field_app.ui import theme
from field_app.ui.guard import guarded
from field_app.ui.parts import text
from field_app.ui.parts.unbroken import words as unbroken_words
from field_app.words import tr

__all__ = ["Fold", "fold", "fold_card"]


@dataclass(frozen=True, slots=True)
class Fold:
    """One line of a card of folds.

    label: what it is; summary: how it stands; key: of the line;
    inside: gives what shows below it, and is asked only while it is open;
    wrong: whether something inside has to be mended, which the line says in words.
    """

    label: str
    summary: str
    key: str
    opened: bool
    on_toggle: Callable[..., Any]
    inside: Callable[[], Sequence[ft.Control]] = tuple
    wrong: bool = False


def fold_card(folds: Sequence[Fold]) -> ft.Control:
    """Lines under each other in one card, 48 px high while they are closed."""
    lines = [control for fold in folds for control in (_divider(), *_fold(fold))][1:]
    return ft.Container(
        ft.Column(lines, spacing=0, tight=True, horizontal_alignment=ft.CrossAxisAlignment.STRETCH),
        bgcolor=theme.PAPER, border=ft.Border.all(1, theme.LINE), border_radius=theme.RADIUS,
        clip_behavior=ft.ClipBehavior.ANTI_ALIAS)


def fold(label: str, summary: str, *, opened: bool, on_toggle: Callable[..., Any], key: str,
         controls: Sequence[ft.Control] = (), wrong: bool = False) -> ft.Control:
    """A card of one fold."""
    return fold_card([Fold(label, summary, key, opened, on_toggle, lambda: controls, wrong)])


def _divider() -> ft.Control:
    return ft.Container(height=1, bgcolor=theme.LINE, margin=ft.Margin.symmetric(horizontal=16))


def _fold(fold: Fold) -> list[ft.Control]:
    said = unbroken_words(fold.summary, size=theme.BODY, weight=ft.FontWeight.BOLD,
                          color=theme.MADDER if fold.wrong else theme.HULL,
                          style=ft.TextStyle(height=theme.LINE_HEIGHT))
    words: list[ft.Control] = [text.second(fold.label), said]
    if fold.wrong:
        words.append(ft.Text(tr("to mend"), size=theme.SECOND, color=theme.MADDER))
    line = ft.TextButton(
        ft.Row([ft.Row(words, wrap=True, spacing=10, run_spacing=0, expand=True,
                       alignment=ft.MainAxisAlignment.SPACE_BETWEEN),
                ft.Icon(ft.Icons.EXPAND_LESS if fold.opened else ft.Icons.EXPAND_MORE, size=24, color=theme.HULL,
                        semantics_label=tr("close") if fold.opened else tr("change"))],
               spacing=theme.GRID),
        key=fold.key, on_click=guarded(fold.on_toggle),
        style=ft.ButtonStyle(padding=ft.Padding(left=16, right=10, top=12, bottom=12),
                             shape=ft.RoundedRectangleBorder(radius=0)))
    if not fold.opened:
        return [line]
    return [line, ft.Container(
        ft.Column(list(fold.inside()), spacing=theme.GAP, horizontal_alignment=ft.CrossAxisAlignment.STRETCH),
        padding=ft.Padding(left=16, right=16, top=8, bottom=16))]
