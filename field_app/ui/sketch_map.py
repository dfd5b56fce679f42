"""A sketch of a round on a canvas: north arrow, scale bar, the stops by their numbers, legs, and where one stands.

It is drawn from positions alone, so it needs no network; a screen reader hears it as text.
Its words grow with the text of the device as far as no name that is there now has to give way.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any, Literal

import flet as ft
import flet.canvas as cv

from field_app.core.positions import Position, show_distance
from field_app.core.sketch import Box, Placed, Sketch, Spot, sketch
from field_app.ui import theme
from field_app.ui.guard import guarded, piece
from field_app.ui.room import room_here

__all__ = ["Mark", "SketchMap", "shapes_of"]

Kind = Literal["you", "stop", "end", "left out"]
_WIDTH, _HEIGHT, _TEXT = 326.0, 260.0, 15
#: So much larger than ours become at most its words, those of the scale bar, what stands in a spot or an arrow, and
#: the height of the sheet, so that larger names find their place [1].
_MOST, _MOST_BAR, _MOST_WITHIN, _MOST_HIGH = 2.0, 1.6, 1.4, 1.5
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
    grown = max(1.0, room_here().scale)
    height *= min(grown, _MOST_HIGH)

    def resized(event: cv.CanvasResizeEvent) -> None:
        if event.width > 0 and abs(event.width - width) > 1:
            set_width(float(event.width))

    canvas = cv.Canvas(shapes_of(marks, legs, width, height, grown), height=height,
                       on_resize=guarded(resized), resize_interval=100)
    return ft.Semantics(label=words, image=True, exclude_semantics=True, content=ft.Container(
        canvas, bgcolor=theme.GROUND, border_radius=8, clip_behavior=ft.ClipBehavior.ANTI_ALIAS, key="sketch"))


def shapes_of(marks: Sequence[Mark], legs: Sequence[tuple[int, int]], width: float, height: float,
              grown: float = 1.0) -> list[cv.Shape]:
    """What is drawn on a canvas of this size [px], back to front; grown: how much larger than ours words are [1]."""
    bar, within = min(grown, _MOST_BAR), min(grown, _MOST_WITHIN)
    spots = [Spot(mark.name, mark.position, mark.kind != "left out") for mark in marks]

    def at(size: float, foot: float) -> Sketch:
        return sketch(spots, width, height - foot, size=_TEXT * size, taken=(_ARROW,))

    def named(drawn: Sketch) -> int:
        return sum(placed.label is not None for placed in drawn.spots)

    # As large as they may be without a name less than there are in our own size.
    due = named(at(1.0, _FOOT))
    sizes = [step / 10 for step in range(int(10 * min(grown, _MOST)), 10, -1)]
    size, drawn = next(((size, larger) for size in sizes if named(larger := at(size, _FOOT * bar)) >= due),
                       (1.0, at(1.0, _FOOT * bar)))
    shapes: list[cv.Shape] = []
    for a, b in legs:
        one, other = drawn.spots[a], drawn.spots[b]
        shapes.append(cv.Line(one.x, one.y, other.x, other.y, paint=_stroke(theme.BARK, 2.5, dash=[7, 5])))
    for mark, placed in zip(marks, drawn.spots, strict=True):
        shapes += _mark(mark, placed, size, within)
    return [*shapes, *_north(within), *_bar(drawn.bar_m, drawn.bar_px, width, height, bar)]


def _stroke(color: Any, width: float, dash: list[float] | None = None) -> ft.Paint:
    return ft.Paint(color=color, stroke_width=width, style=ft.PaintingStyle.STROKE, stroke_cap=ft.StrokeCap.ROUND,
                    stroke_dash_pattern=dash)


def _fill(color: Any) -> ft.Paint:
    return ft.Paint(color=color, style=ft.PaintingStyle.FILL)


def _mark(mark: Mark, placed: Placed, grown: float, within: float) -> list[cv.Shape]:
    x, y = placed.x, placed.y
    if mark.kind == "left out":
        return [cv.Circle(x, y, 6, paint=_fill(theme.GROUND)), cv.Circle(x, y, 6, paint=_stroke(theme.BARK, 2))]
    shapes: list[cv.Shape] = []
    if mark.kind == "stop":
        shapes += [cv.Circle(x, y, 14, paint=_fill(theme.LEAF)),
                   cv.Text(x, y, str(mark.number), alignment=ft.Alignment.CENTER,
                           style=ft.TextStyle(size=_TEXT * within, weight=ft.FontWeight.BOLD,
                                              color=theme.PAPER))]
    else:
        # The ring is seen around a stop that hides the dot.
        shapes += [cv.Circle(x, y, 18, paint=_stroke(theme.SKY, 3)), cv.Circle(x, y, 8, paint=_fill(theme.SKY))]
        if mark.kind == "end":
            shapes.append(cv.Circle(x, y, 3, paint=_fill(theme.PAPER)))
    if placed.label is not None:
        shapes.append(cv.Text(placed.label.left, placed.label.top, placed.text, style=ft.TextStyle(
            size=_TEXT * grown, weight=ft.FontWeight.BOLD,
            color=theme.SKY if mark.kind in ("you", "end") else theme.HULL)))
    return shapes


def _north(grown: float) -> list[cv.Shape]:
    line = _stroke(theme.HULL, 2)
    return [cv.Line(24, 42, 24, 14, paint=line), cv.Line(24, 14, 18, 22, paint=line),
            cv.Line(24, 14, 30, 22, paint=line),
            cv.Text(24, 53, "N", alignment=ft.Alignment.CENTER, style=ft.TextStyle(size=14 * grown, color=theme.HULL))]


def _bar(metres: float, pixels: float, width: float, height: float, grown: float) -> list[cv.Shape]:
    right, foot = width - 14, height - 14
    line = _stroke(theme.HULL, 2)
    return [cv.Line(right - pixels, foot, right, foot, paint=line),
            cv.Line(right - pixels, foot - 4, right - pixels, foot + 4, paint=line),
            cv.Line(right, foot - 4, right, foot + 4, paint=line),
            cv.Text(right - pixels / 2, foot - 12 * grown, show_distance(metres), alignment=ft.Alignment.CENTER,
                    style=ft.TextStyle(size=14 * grown, color=theme.HULL))]
