"""What was held before and what is held now, as two hills on one line, with a band and words for each.

The higher and narrower a hill, the surer one is; a screen reader gets the words instead.
"""

from __future__ import annotations

import math

import flet as ft

from field_app.core.estimate import Z90, Range
from field_app.ui import theme
from field_app.ui.parts import text
from field_app.ui.parts.ranges import range_bar, range_words
from field_app.ui.parts.unbroken import words
from field_app.words import tr

__all__ = ["belief_picture", "hill"]

#: Columns of a hill: enough that the eye takes them for a curve.
_COLUMNS = 72
_HEIGHT = 96
#: The dark hill is at most this many times as high as the light one, so that the light one is still seen.
_MOST = 3.0


def hill(quantity: Range, scale_max: float, columns: int = _COLUMNS) -> tuple[float, ...]:
    """How likely each part of a line from zero to ``scale_max`` is [1/unit], log-normal through low and high.

    Something without spread is a single column.

    >>> [round(height, 2) for height in hill(Range(1.0, 2.0, 4.0, "kg"), 4.0, 4)]
    [0.06, 0.43, 0.27, 0.12]
    """
    step = scale_max / columns
    if quantity.low <= 0 or quantity.low == quantity.high:
        at = min(int(quantity.central / step), columns - 1) if step > 0 else 0
        return tuple(1 / step if column == at and step > 0 else 0.0 for column in range(columns))
    middle = (math.log(quantity.low) + math.log(quantity.high)) / 2
    sd = (math.log(quantity.high) - math.log(quantity.low)) / (2 * Z90)
    heights = []
    for column in range(columns):
        x = (column + 0.5) * step
        z = (math.log(x) - middle) / sd
        heights.append(math.exp(-z * z / 2) / (x * sd * math.sqrt(2 * math.pi)))
    return tuple(heights)


def belief_picture(before: Range, after: Range, *, called: str, was: str, now: str, decimal: str = "") -> ft.Control:
    """Two hills on one line from zero: the light one as it was, the dark one as it is now.

    before, after: in one unit; called: what it is; was, now: what the two are called.
    """
    most = max(before.high, after.high) * 1.25
    light, dark = hill(before, most), hill(after, most)
    top = max(light) or 1.0
    # A hill that is much higher is cut to what can be drawn beside the other.
    shrink = min(1.0, _MOST * top / (max(dark) or 1.0))
    full = max(top, max(dark) * shrink)
    words = f"{called}. {was}: {range_words(before, decimal=decimal)}. {now}: {range_words(after, decimal=decimal)}."
    hills = ft.Stack(
        [_drawn(light, 1 / full, theme.EDGE, 1.0), _drawn(dark, shrink / full, theme.HULL, 0.85),
         ft.Container(height=2, bgcolor=theme.AXIS, bottom=0, left=0, right=0)], height=_HEIGHT)
    return ft.Column([
        ft.Semantics(label=words, image=True, exclude_semantics=True, content=hills),
        *_band(tr("{name} (light)", name=was), before, most, decimal),
        *_band(tr("{name} (dark)", name=now), after, most, decimal),
    ], spacing=theme.GRID, horizontal_alignment=ft.CrossAxisAlignment.STRETCH)


def _band(name: str, quantity: Range, most: float, decimal: str) -> list[ft.Control]:
    line = ft.Row([text.second(name), words(range_words(quantity, decimal=decimal), size=theme.BODY,
                                            weight=ft.FontWeight.BOLD, color=theme.HULL)],
                  wrap=True, spacing=10, run_spacing=0, alignment=ft.MainAxisAlignment.SPACE_BETWEEN)
    return [line, range_bar(quantity, most, name, decimal=decimal)]


def _drawn(heights: tuple[float, ...], scale: float, color: ft.Colors, opacity: float) -> ft.Control:
    columns: list[ft.Control] = [
        ft.Container(height=round(_HEIGHT * height * scale), bgcolor=color, expand=1) for height in heights]
    return ft.Container(ft.Row(columns, spacing=0, vertical_alignment=ft.CrossAxisAlignment.END), opacity=opacity,
                        left=0, right=0, bottom=0, height=_HEIGHT)
