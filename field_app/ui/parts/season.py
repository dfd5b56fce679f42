"""Drawings of a season: the strip of one tree, the line of one among many, and the curve of what lies there.

Each is drawn on a canvas as wide as its card, and each says the same in words to a screen reader.
Shapes tell things apart, not colours: a ring is "not yet", a full dot "ready", a dot in a ring a thumb test,
a square a visit to come, a dashed line today.
What is painted does not grow with the text of the device by itself, so it is told by how much: ``grown`` [1].
"""

from __future__ import annotations

import datetime as dt
import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from itertools import pairwise

import flet as ft
import flet.canvas as cv

from field_app.core.day_text import month_name
from field_app.ui import theme
from field_app.ui.guard import guarded, piece
from field_app.ui.room import room_here

__all__ = ["SIGN", "WIDTH", "Mark", "Span", "Strip", "curve_picture", "grown_here", "lines_of", "months_of", "paint",
           "picture", "season_line", "season_strip", "strip_shapes", "words_at"]

#: The width before the client has told its own, that of a card on a phone of 390 px [logical px].
WIDTH = 316.0
#: So wide is a sign of such words on the average, rather too wide [logical px].
SIGN = 7.4
#: Heights [logical px]: of a row's words, of its marks, of the axis, and of the curve.
_WORDS, _ROW, _AXIS, _CURVE = 20.0, 24.0, 22.0, 120.0
#: So much larger than ours words on a canvas become at most, and marks with a number in them [1]: what is told beside
#: each other must still fit beside each other.
_MOST, _MOST_MARK = 2.0, 1.5
#: Half the side of a square [logical px].
_HALF = 9.0


@dataclass(frozen=True, slots=True)
class Span:
    """A range of days with the one in its middle."""

    low: dt.date
    central: dt.date
    high: dt.date


@dataclass(frozen=True, slots=True)
class Mark:
    """One thing on a day; kind: ring, dot, half or square; words: a number in a square, or empty."""

    day: dt.date
    kind: str
    words: str = ""


@dataclass(frozen=True, slots=True)
class Strip:
    """The season of one tree: the days it covers, today, and its rows as (words, spans, marks); said: all in words."""

    first: dt.date
    last: dt.date
    today: dt.date
    rows: tuple[tuple[str, tuple[Span, ...], tuple[Mark, ...]], ...]
    said: str


def paint(color: ft.Colors, *, width: float = 0.0, dash: Sequence[float] = (), opacity: float = 1.0) -> ft.Paint:
    """A filled shape, or a line of a width [logical px]."""
    shade = ft.Colors.with_opacity(opacity, color) if opacity < 1 else color
    if width:
        return ft.Paint(color=shade, stroke_width=width, style=ft.PaintingStyle.STROKE,
                        stroke_dash_pattern=list(dash) or None)
    return ft.Paint(color=shade, style=ft.PaintingStyle.FILL)


def grown_here() -> float:
    """How much larger than ours words on a canvas are on this device, within what a canvas has room for [1]."""
    return min(max(1.0, room_here().scale), _MOST)


def words_at(x: float, y: float, words: str, *, grown: float = 1.0, bold: bool = False,
             align: ft.Alignment | None = None, color: ft.Colors = theme.BARK) -> cv.Shape:
    """Words on a canvas, in the smallest size there is, times as much as they have grown."""
    return cv.Text(x, y, words, alignment=align or ft.Alignment.TOP_LEFT,
                   style=ft.TextStyle(size=theme.SMALL * grown, color=color,
                                      weight=ft.FontWeight.BOLD if bold else None))


def lines_of(words: str, width: float, grown: float = 1.0) -> list[str]:
    """The words in lines that fit into that width [logical px]; one word too long has a line of its own.

    >>> lines_of("ready around 7 Oct", 316), lines_of("ready around 7 Oct", 200, 2.0)
    (['ready around 7 Oct'], ['ready around', '7 Oct'])
    """
    lines: list[str] = []
    for word in words.split(" "):
        longer = f"{lines[-1]} {word}" if lines else word
        if lines and len(longer) * SIGN * grown <= width:
            lines[-1] = longer
        else:
            lines.append(word)
    return lines


def _place(first: dt.date, last: dt.date, width: float) -> Callable[[dt.date], float]:
    days = max(1, (last - first).days)
    inner = width - 12

    def at(day: dt.date) -> float:
        return 6 + inner * min(1.0, max(0.0, (day - first).days / days))
    return at


def months_of(first: dt.date, last: dt.date) -> list[dt.date]:
    """The first days of the months within a span.

    >>> [day.month for day in months_of(dt.date(2026, 8, 20), dt.date(2026, 11, 2))]
    [9, 10, 11]
    """
    found, day = [], dt.date(first.year + first.month // 12, first.month % 12 + 1, 1)
    while day <= last:
        found.append(day)
        day = dt.date(day.year + day.month // 12, day.month % 12 + 1, 1)
    return found


def _axis(first: dt.date, last: dt.date, width: float, y: float, grown: float = 1.0) -> list[cv.Shape]:
    at = _place(first, last, width)
    shapes: list[cv.Shape] = [cv.Line(6, y, width - 6, y, paint(theme.AXIS, width=1))]
    months = months_of(first, last)
    room = (width - 12) / max(1, len(months))
    every = next(step for step in (1, 2, 3, 4, 6, 12) if step * room > 34 * grown or step == 12)
    for day in months[::every]:
        shapes.append(cv.Line(at(day), y - 4, at(day), y + 4, paint(theme.AXIS, width=1)))
        name = month_name(day.month)
        if at(day) + 2 + len(name) * SIGN * grown <= width:
            shapes.append(words_at(at(day) + 2, y + 2, name, grown=grown))
    return shapes


def _span(span: Span, at: Callable[[dt.date], float], y: float) -> list[cv.Shape]:
    low, central, high = at(span.low), at(span.central), at(span.high)
    return [cv.Rect(low, y - 4, max(6.0, high - low), 8, 4, paint(theme.BARK, opacity=theme.BAND)),
            cv.Rect(central - 2, y - 10, 4, 20, 2, paint(theme.HULL))]


def _squares(days: Sequence[dt.date], at: Callable[[dt.date], float], grown: float) -> float:
    """How much larger than ours squares on these days may be without one covering another [1]."""
    places = sorted(map(at, days))
    least = min((later - sooner for sooner, later in pairwise(places)), default=math.inf)
    return max(1.0, min(grown, _MOST_MARK, least / (2 * _HALF)))


def _mark(mark: Mark, at: Callable[[dt.date], float], y: float, grown: float = 1.0) -> list[cv.Shape]:
    x = at(mark.day)
    shapes: list[cv.Shape]
    if mark.kind == "square":
        half = _HALF * grown
        shapes = [cv.Rect(x - half, y - half, 2 * half, 2 * half, 3, paint(theme.LEAF)),
                  cv.Rect(x - half, y - half, 2 * half, 2 * half, 3, paint(theme.PAPER, width=1))]
        if mark.words:
            shapes.append(words_at(x, y, mark.words, grown=grown, bold=True, color=theme.PAPER,
                                   align=ft.Alignment.CENTER))
    elif mark.kind == "dot":
        shapes = [cv.Circle(x, y, 6, paint(theme.HULL))]
    else:
        shapes = [cv.Circle(x, y, 6, paint(theme.PAPER)), cv.Circle(x, y, 6, paint(theme.HULL, width=2))]
        if mark.kind == "half":
            shapes.append(cv.Circle(x, y, 3, paint(theme.HULL)))
    return shapes


def strip_shapes(strip: Strip, width: float, grown: float = 1.0) -> tuple[list[cv.Shape], float]:
    """The shapes of a strip on a canvas of that width, and the height it takes [logical px]."""
    at = _place(strip.first, strip.last, width)
    shapes: list[cv.Shape] = []
    y, row = 0.0, _ROW * min(grown, _MOST_MARK)
    middles = []
    for words, _, _ in strip.rows:
        for line in lines_of(words, width, grown):
            shapes.append(words_at(0, y, line, grown=grown))
            y += _WORDS * grown
        middles.append(y + row / 2)
        y += row
    foot = y + 4
    for middle, (_, spans, marks) in zip(middles, strip.rows, strict=True):
        shapes.append(cv.Line(6, middle, width - 6, middle, paint(theme.AXIS, width=1)))
        if strip.first <= strip.today <= strip.last:
            # In each row by itself, so that it never runs through words.
            x = at(strip.today)
            shapes.append(cv.Line(x, middle - 12, x, middle + 12, paint(theme.SKY, width=2, dash=(5, 4))))
        for span in spans:
            shapes += _span(span, at, middle)
        larger = _squares([mark.day for mark in marks], at, grown)
        for mark in marks:
            shapes += _mark(mark, at, middle, larger)
    return [*shapes, *_axis(strip.first, strip.last, width, foot, grown)], foot + _AXIS * grown


@piece
def season_strip(strip: Strip) -> ft.Control:
    """The season of one tree as a picture."""
    width, set_width = ft.use_state(WIDTH)
    shapes, height = strip_shapes(strip, width, grown_here())
    return picture(shapes, height, strip.said, width, set_width)


@piece
def season_line(first: dt.date, last: dt.date, today: dt.date, span: Span | None, until: dt.date | None,
                visits: tuple[dt.date, ...] = ()) -> ft.Control:
    """One tree among many, all over the same days: when it is ready, until when it is good, and the visits to come.

    The card that it stands in says the same in words.
    """
    width, set_width = ft.use_state(WIDTH)
    grown = grown_here()
    high = 28 * min(grown, _MOST_MARK)
    at, middle, foot = _place(first, last, width), high / 2, high + 8
    shapes: list[cv.Shape] = [cv.Line(6, middle, width - 6, middle, paint(theme.AXIS, width=1))]
    if span is not None and until is not None and until > span.central:
        shapes.append(cv.Rect(at(span.central), middle - 9, max(2.0, at(until) - at(span.central)), 18, 3,
                              paint(theme.LEAF, width=2)))
    if span is not None:
        shapes += _span(span, at, middle)
    if first <= today <= last:
        shapes.append(cv.Line(at(today), 0, at(today), high, paint(theme.SKY, width=2, dash=(5, 4))))
    larger = _squares(visits, at, grown)
    for number, day in enumerate(visits, 1):
        shapes += _mark(Mark(day, "square", str(number)), at, middle, larger)
    # On the same canvas: on one of its own, the months would not be as wide as the line above them.
    return picture([*shapes, *_axis(first, last, width, foot, grown)], foot + _AXIS * grown, "", width, set_width)


@piece
def curve_picture(days: tuple[dt.date, ...], lows: tuple[float, ...], centrals: tuple[float, ...],
                  highs: tuple[float, ...], today: dt.date, visits: tuple[dt.date, ...], top: str,
                  said: str) -> ft.Control:
    """What lies there over the season [kg]: a band from low to high, a line at central, today, and the visits.

    top: the words at the top end of the scale.
    """
    width, set_width = ft.use_state(WIDTH)
    first, last = days[0], days[-1]
    at, most = _place(first, last, width), max(*highs, 1e-9)
    grown = grown_here()
    lines = lines_of(top, width, grown)
    head = len(lines) * _WORDS * grown

    def up(value: float) -> float:
        return head + _CURVE * (1 - value / most)

    band: list[cv.Path.PathElement] = [cv.Path.MoveTo(at(first), up(highs[0]))]
    band += [cv.Path.LineTo(at(day), up(value)) for day, value in zip(days, highs, strict=True)]
    band += [cv.Path.LineTo(at(day), up(value)) for day, value in zip(reversed(days), reversed(lows), strict=True)]
    line: list[cv.Path.PathElement] = [cv.Path.MoveTo(at(first), up(centrals[0]))]
    line += [cv.Path.LineTo(at(day), up(value)) for day, value in zip(days, centrals, strict=True)]
    foot = head + _CURVE
    shapes: list[cv.Shape] = [
        *(words_at(0, number * _WORDS * grown, line, grown=grown) for number, line in enumerate(lines)),
        cv.Path([*band, cv.Path.Close()], paint(theme.BARK, opacity=theme.BAND)),
        cv.Path(line, paint(theme.HULL, width=3))]
    if first <= today <= last:
        shapes.append(cv.Line(at(today), head, at(today), foot, paint(theme.SKY, width=2, dash=(5, 4))))
    larger = _squares(visits, at, grown)
    for number, day in enumerate(visits, 1):
        if first <= day <= last:
            shapes += _mark(Mark(day, "square", str(number)), at, foot - 12 * larger, larger)
    return picture([*shapes, *_axis(first, last, width, foot, grown)], foot + _AXIS * grown, said, width, set_width)


def picture(shapes: list[cv.Shape], height: float, said: str, width: float,
            set_width: Callable[[float], None]) -> ft.Control:
    """A canvas that follows the width of its card; said: the same in words, or empty."""
    def resized(event: cv.CanvasResizeEvent) -> None:
        if abs(event.width - width) >= 1:
            set_width(event.width)

    canvas = cv.Canvas(shapes, height=height, on_resize=guarded(resized), resize_interval=100)
    if not said:
        # The words beside it say the same.
        return ft.Semantics(exclude_semantics=True, content=canvas)
    return ft.Semantics(label=said, image=True, exclude_semantics=True, content=canvas)
