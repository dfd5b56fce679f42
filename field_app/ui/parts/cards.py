"""Cards, notices and rows of figures."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from itertools import pairwise
from typing import Any, Literal, cast

import flet as ft

from field_app.core.problems import Problem
from field_app.ui import theme
from field_app.ui.guard import guarded
from field_app.ui.parts import text
from field_app.ui.parts.buttons import outline_button
from field_app.ui.parts.unbroken import words as unbroken_words
from field_app.words import alone, later, tr

__all__ = ["Edge", "Notice", "busy_card", "card", "figure_row", "notice", "problem_text"]

Edge = Literal["leaf", "amber", "sky", "madder"]
Notice = Literal["caution", "refused", "advice", "good"]

_EDGES = {"leaf": theme.LEAF, "amber": theme.AMBER, "sky": theme.SKY, "madder": theme.MADDER}
#: Each kind of notice: its icon, the word a screen reader says for it, its edge and its ground.
_NOTICES = {
    "caution": (ft.Icons.WARNING_AMBER, later("caution"), theme.AMBER, theme.AMBER_WASH, theme.HULL),
    "refused": (ft.Icons.BLOCK, later("not possible"), theme.MADDER, theme.MADDER_WASH, theme.MADDER),
    "advice": (ft.Icons.LIGHTBULB_OUTLINE, later("advice"), theme.SKY, theme.SKY_WASH, theme.SKY),
    "good": (ft.Icons.CHECK_CIRCLE_OUTLINE, later("done"), theme.LEAF, theme.LEAF_WASH, theme.LEAF),
}


def _with_room(controls: Iterable[ft.Control]) -> list[ft.Control]:
    """The same, with a little room between words and the frame of what can be tapped or typed above or below them."""
    spaced = [(control, _framed(control)) for control in controls]
    for (_, frame_above), (control, framed) in pairwise(spaced):
        if framed or (frame_above and isinstance(control, ft.Text)):
            cast(ft.LayoutControl, control).margin = ft.Margin.only(top=2 * theme.GRID)
    return [control for control, _ in spaced]


def _framed(control: ft.Control) -> bool:
    if isinstance(control, (ft.Row, ft.Column)) and control.margin is None:
        return any(_framed(inner) or isinstance(inner, ft.TextField) for inner in control.controls[:1])
    return (isinstance(control, ft.Button) and isinstance(control.style, ft.ButtonStyle)
            and control.style.side is not None)


def card(controls: Sequence[ft.Control], edge: Edge | None = None, *, key: str | None = None,
         on_click: Callable[..., Any] | None = None) -> ft.Control:
    """A card on the ground; ``edge`` is a coloured side that only repeats what a word in it says.

    With ``on_click`` the whole card can be tapped.
    """
    column = ft.Column(_with_room(controls), spacing=theme.GRID, horizontal_alignment=ft.CrossAxisAlignment.STRETCH)
    content: ft.Control = ft.Container(
        column, padding=ft.Padding(left=16 if edge is None else 22, right=16, top=14, bottom=14))
    if edge:
        # A border of two colours can't have round corners, so the coloured side lies on the card and is
        # clipped by it.
        strip = ft.Container(width=6, bgcolor=_EDGES[edge], left=0, top=0, bottom=0)
        content = ft.Stack([content, strip], fit=ft.StackFit.PASS_THROUGH)
    return ft.Container(content, key=key, bgcolor=theme.PAPER, border=ft.Border.all(1, theme.LINE),
                        border_radius=theme.RADIUS, clip_behavior=ft.ClipBehavior.ANTI_ALIAS,
                        ink=on_click is not None, on_click=guarded(on_click) if on_click else None)


def busy_card(words: str, key: str, share: float | None = None,
              stop: Callable[[], object] | None = None) -> ft.Control:
    """That something is being done, how far it is [1], if that is known, and the button that stops it."""
    return card([
        ft.Row([ft.ProgressRing(width=24, height=24, value=None, color=theme.HULL, semantics_label=tr("working")),
                text.body(words, expand=True)], spacing=theme.GAP),
        *([ft.ProgressBar(value=share, color=theme.HULL, bgcolor=theme.TRACK, semantics_label=tr("how far"))]
          if share is not None else []),
        *([ft.Container(outline_button(tr("Stop"), stop, f"{key}-stop"), padding=ft.Padding.only(top=theme.GRID))]
          if stop is not None else [])], key=key)


def notice(kind: Notice, title: str, words: str = "", *, controls: Sequence[ft.Control] = (),
           key: str | None = None, live: bool = False) -> ft.Control:
    """A caution, a refusal, advice, or that something is done, with an icon and in words.

    ``live`` lets a screen reader say it as soon as it appears.
    """
    icon, spoken, edge, ground, ink = _NOTICES[kind]
    lines: list[ft.Control] = [text.body(title, bold=True)] if title else []
    if words:
        lines.append(unbroken_words(words, size=theme.SECOND, color=theme.HULL))
    box = ft.Container(
        ft.Row([ft.Icon(icon, color=ink, size=24, semantics_label=tr(spoken)),
                ft.Column(_with_room([*lines, *controls]), spacing=theme.GRID, expand=True)],
               spacing=10, vertical_alignment=ft.CrossAxisAlignment.START),
        padding=ft.Padding.symmetric(vertical=12, horizontal=14), bgcolor=ground, key=key,
        border=ft.Border.all(1, edge), border_radius=theme.RADIUS)
    return ft.Semantics(content=box, live_region=True) if live else box


def figure_row(label: str, value: str, *, key: str | None = None) -> ft.Control:
    """A name on the left and its figure, bold, on the right, or below it where both don't fit."""
    return ft.Row(
        [text.second(label),
         unbroken_words(value, key=key, size=theme.BODY, weight=ft.FontWeight.BOLD, color=theme.HULL)],
        wrap=True, spacing=10, run_spacing=0, alignment=ft.MainAxisAlignment.SPACE_BETWEEN)


def problem_text(problems: Iterable[Problem]) -> list[ft.Control]:
    """What is wrong with a field and what to do, beside the field; nothing if nothing is wrong."""
    return [
        ft.Semantics(live_region=True, content=ft.Row(
            [ft.Icon(ft.Icons.ERROR_OUTLINE, color=theme.MADDER, size=20, semantics_label=tr("to mend")),
             unbroken_words(f"{alone(problem.what)}. {problem.fix}".strip(), size=theme.SECOND, color=theme.MADDER,
                            weight=ft.FontWeight.W_500, expand=True)],
            spacing=6, vertical_alignment=ft.CrossAxisAlignment.START))
        for problem in problems
    ]
