"""A sketch of a round on a canvas: north arrow, scale bar, the stops by their numbers, legs, and where one stands.

It is drawn from positions alone, so it needs no network; a screen reader hears it as text.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any, Literal

import flet as ft
import flet.canvas as cv

from field_app.core.positions import Position, show_distance
from field_app.core.sketch import Box, Placed, Spot, sketch
from field_app.ui import theme
from field_app.ui.guard import guarded, piece

__all__ = ["Mark", "SketchMap", "shapes_of"]

Kind = Literal["you", "stop", "end", "left out"]
_WIDTH, _HEIGHT, _TEXT = 326.0, 260.0, 15
#: The strip at the foot of the sheet that belongs to the scale bar [px].
_FOOT = 34.0
#: Where the north arrow stands [px].
_ARROW = Box(8, 8, 40, 62)


@dataclass(frozen=True, slots=True)
class Mark:
    """A place on the sketch; number: of a stop, in the order of the round."""

    kind: Kind
    name: str
    position: Position
    number: int = 0


@piece
def SketchMap(marks: Sequence[Mark], legs: Sequence[tuple[int, int]], words: str,
              height: float = _HEIGHT) -> ft.Control:
    """The sketch as wide as its card; ``legs`` are pairs of indices of the marks; ``words`` say the same."""
    width, set_width = ft.use_state(_WIDTH)

    def resized(event: cv.CanvasResizeEvent) -> None:
        if event.width > 0 and abs(event.width - width) > 1:
            set_width(float(event.width))

    canvas = cv.Canvas(shapes_of(marks, legs, width, height), height=height, on_resize=guarded(resized),
                       resize_interval=100)
    return ft.Semantics(label=words, image=True, exclude_semantics=True, content=ft.Container(
        canvas, bgcolor=theme.GROUND, border_radius=8, clip_behavior=ft.ClipBehavior.ANTI_ALIAS, key="sketch"))


def shapes_of(marks: Sequence[Mark], legs: Sequence[tuple[int, int]], width: float, height: float) -> list[cv.Shape]:
    """What is drawn on a canvas of this size [px], back to front."""
    drawn = sketch([Spot(mark.name, mark.position, mark.kind != "left out") for mark in marks], width,
                   height - _FOOT, size=_TEXT, taken=(_ARROW,))
    shapes: list[cv.Shape] = []
    for a, b in legs:
        one, other = drawn.spots[a], drawn.spots[b]
        shapes.append(cv.Line(one.x, one.y, other.x, other.y, paint=_stroke(theme.BARK, 2.5, dash=[7, 5])))
    for mark, placed in zip(marks, drawn.spots, strict=True):
        shapes += _mark(mark, placed)
    return [*shapes, *_north(), *_bar(drawn.bar_m, drawn.bar_px, width, height)]


def _stroke(color: Any, width: float, dash: list[float] | None = None) -> ft.Paint:
    return ft.Paint(color=color, stroke_width=width, style=ft.PaintingStyle.STROKE, stroke_cap=ft.StrokeCap.ROUND,
                    stroke_dash_pattern=dash)


def _fill(color: Any) -> ft.Paint:
    return ft.Paint(color=color, style=ft.PaintingStyle.FILL)


def _mark(mark: Mark, placed: Placed) -> list[cv.Shape]:
    x, y = placed.x, placed.y
    if mark.kind == "left out":
        return [cv.Circle(x, y, 6, paint=_fill(theme.GROUND)), cv.Circle(x, y, 6, paint=_stroke(theme.BARK, 2))]
    shapes: list[cv.Shape] = []
    if mark.kind == "stop":
        shapes += [cv.Circle(x, y, 14, paint=_fill(theme.LEAF)),
                   cv.Text(x, y, str(mark.number), alignment=ft.Alignment.CENTER,
                           style=ft.TextStyle(size=_TEXT, weight=ft.FontWeight.BOLD, color=theme.PAPER))]
    else:
        # The ring is seen around a stop that hides the dot.
        shapes += [cv.Circle(x, y, 18, paint=_stroke(theme.SKY, 3)), cv.Circle(x, y, 8, paint=_fill(theme.SKY))]
        if mark.kind == "end":
            shapes.append(cv.Circle(x, y, 3, paint=_fill(theme.PAPER)))
    if placed.label is not None:
        shapes.append(cv.Text(placed.label.left, placed.label.top, placed.text, style=ft.TextStyle(
            size=_TEXT, weight=ft.FontWeight.BOLD, color=theme.SKY if mark.kind in ("you", "end") else theme.HULL)))
    return shapes


def _north() -> list[cv.Shape]:
    line = _stroke(theme.HULL, 2)
    return [cv.Line(24, 42, 24, 14, paint=line), cv.Line(24, 14, 18, 22, paint=line),
            cv.Line(24, 14, 30, 22, paint=line),
            cv.Text(24, 53, "N", alignment=ft.Alignment.CENTER, style=ft.TextStyle(size=14, color=theme.HULL))]


def _bar(metres: float, pixels: float, width: float, height: float) -> list[cv.Shape]:
    right, foot = width - 14, height - 14
    line = _stroke(theme.HULL, 2)
    return [cv.Line(right - pixels, foot, right, foot, paint=line),
            cv.Line(right - pixels, foot - 4, right - pixels, foot + 4, paint=line),
            cv.Line(right, foot - 4, right, foot + 4, paint=line),
            cv.Text(right - pixels / 2, foot - 12, show_distance(metres), alignment=ft.Alignment.CENTER,
                    style=ft.TextStyle(size=14, color=theme.HULL))]
