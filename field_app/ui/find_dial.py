"""The dial that points to a tree: an arrow, the ring of what the fixes leave open, and north or the way one walks."""

from __future__ import annotations

import math
from typing import Any

import flet as ft
import flet.canvas as cv

from field_app.core.finding import Way
from field_app.ui import theme
from field_app.ui.guard import guarded, piece
from field_app.ui.room import room_here
from field_app.words import tr_as

__all__ = ["Dial", "dial_shapes"]

_HEIGHT = 300.0
_WIDTH = 326.0
#: So much larger than ours the letter of north becomes at most [1]: it has to fit into its ring.
_MOST = 1.4


@piece
def Dial(way: Way, words: str) -> ft.Control:
    """The arrow to the tree, as wide as its card; ``words`` say the same to a screen reader."""
    width, set_width = ft.use_state(_WIDTH)

    def resized(event: cv.CanvasResizeEvent) -> None:
        if event.width > 0 and abs(event.width - width) > 1:
            set_width(float(event.width))

    canvas = cv.Canvas(dial_shapes(way, width, _HEIGHT, room_here().scale), height=_HEIGHT, on_resize=guarded(resized),
                       resize_interval=100)
    return ft.Semantics(label=words, image=True, exclude_semantics=True, content=ft.Container(
        canvas, bgcolor=theme.GROUND, border_radius=8, clip_behavior=ft.ClipBehavior.ANTI_ALIAS, key="dial"))


def _stroke(color: Any, width: float, dash: list[float] | None = None) -> ft.Paint:
    return ft.Paint(color=color, stroke_width=width, style=ft.PaintingStyle.STROKE, stroke_cap=ft.StrokeCap.ROUND,
                    stroke_join=ft.StrokeJoin.ROUND, stroke_dash_pattern=dash)


def _fill(color: Any) -> ft.Paint:
    return ft.Paint(color=color, style=ft.PaintingStyle.FILL)


def dial_shapes(way: Way, width: float, height: float, grown: float = 1.0) -> list[cv.Shape]:
    """What is drawn [px]: up is where one is heading if that is known, else north.

    One stands in the middle. The tree is at the tip of the arrow; the ring around it is to the scale of the arrow,
    down to a size that can still be seen. Who is there already stands in the ring.
    grown: how much larger than ours the letter of north is [1], as far as its ring has room for it.
    """
    x, y, reach = width / 2, height / 2, min(width, height) / 2 - 44
    shapes: list[cv.Shape] = [cv.Circle(x, y, reach + 26, paint=_stroke(theme.AXIS, 2))]
    north = 0.0 if way.turn_deg is None else way.turn_deg - way.bearing_deg
    shapes += _north(x, y, reach + 26, math.radians(north), min(max(1.0, grown), _MOST))
    if way.turn_deg is not None:
        shapes.append(cv.Path([cv.Path.MoveTo(x - 9, y - reach - 14), cv.Path.LineTo(x, y - reach - 26),
                               cv.Path.LineTo(x + 9, y - reach - 14)], paint=_stroke(theme.BARK, 3)))
    if way.there:
        return [*shapes, cv.Circle(x, y, reach * 0.62, paint=_fill(theme.LEAF_WASH)),
                cv.Circle(x, y, reach * 0.62, paint=_stroke(theme.LEAF, 3, dash=[8, 6])), *_you(x, y)]
    angle = math.radians(way.bearing_deg if way.turn_deg is None else way.turn_deg)
    ring = min(max(way.ring_m / way.distance_m * reach, 12.0), reach * 0.9)
    tip_x, tip_y = x + reach * math.sin(angle), y - reach * math.cos(angle)
    shapes += [cv.Circle(tip_x, tip_y, ring, paint=_fill(theme.LEAF_WASH)),
               cv.Circle(tip_x, tip_y, ring, paint=_stroke(theme.LEAF, 3, dash=[8, 6]))]
    return [*shapes, *_arrow(x, y, tip_x, tip_y, angle), *_you(x, y)]


def _arrow(x: float, y: float, tip_x: float, tip_y: float, angle: float) -> list[cv.Shape]:
    line = _stroke(theme.HULL, 9)

    def barb(side: float) -> cv.Path.LineTo:
        at = angle + math.pi + side * math.radians(32)
        return cv.Path.LineTo(tip_x + 34 * math.sin(at), tip_y - 34 * math.cos(at))

    return [cv.Line(x, y, tip_x, tip_y, paint=line),
            cv.Path([cv.Path.MoveTo(tip_x, tip_y), barb(1), cv.Path.MoveTo(tip_x, tip_y), barb(-1)], paint=line)]


def _you(x: float, y: float) -> list[cv.Shape]:
    return [cv.Circle(x, y, 13, paint=_fill(theme.PAPER)), cv.Circle(x, y, 10, paint=_fill(theme.SKY))]


def _north(x: float, y: float, reach: float, angle: float, grown: float) -> list[cv.Shape]:
    at_x, at_y = x + reach * math.sin(angle), y - reach * math.cos(angle)
    return [cv.Circle(at_x, at_y, 14, paint=_fill(theme.GROUND)),
            cv.Circle(at_x, at_y, 14, paint=_stroke(theme.HULL, 2)),
            cv.Text(at_x, at_y, tr_as("north", "N"), alignment=ft.Alignment.CENTER,
                    style=ft.TextStyle(size=15 * grown, weight=ft.FontWeight.BOLD, color=theme.HULL))]
