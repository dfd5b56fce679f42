"""Drawings of past seasons: what each year gave, where what was seen lay in its range, and what chance explains.

Shapes tell things apart, not colours: a full dot lay inside its range, a ring outside.
"""

from __future__ import annotations

from collections.abc import Sequence

import flet as ft
import flet.canvas as cv

from field_app.core.estimate import Range
from field_app.core.review_spots import stacked
from field_app.ui import theme
from field_app.ui.guard import piece
from field_app.ui.parts.season import SIGN, WIDTH, grown_here, lines_of, paint, picture, words_at
from field_app.words import tr

__all__ = ["chance_shapes", "count_picture", "spot_shapes", "spots_picture", "year_bars", "year_shapes"]

#: Heights [logical px]: of a row's words and of its bar; half the size of a dot.
_WORDS, _BAR, _DOT = 20.0, 24.0, 5.0


def year_shapes(rows: Sequence[tuple[str, str, Range]], most: float, width: float,
                grown: float = 1.0) -> tuple[list[cv.Shape], float]:
    """The shapes of several masses on one line from zero to ``most`` each, and the height they take [logical px].

    A row is a name, the figure in words and the mass; the figure stands below the name where both don't fit.
    grown: how much larger than ours the words are [1].
    """
    shapes: list[cv.Shape] = []
    inner, y = width - 12, 0.0
    for name, figure, mass in rows:
        words = f"{name}: {figure}"
        lines = [words] if len(words) * SIGN * grown <= width else [
            *lines_of(f"{name}:", width, grown), *lines_of(figure, width, grown)]
        for line in lines:
            shapes.append(words_at(0, y, line, grown=grown))
            y += _WORDS * grown
        low, central, high = (6 + inner * min(1.0, value / most if most > 0 else 0.0)
                              for value in (mass.low, mass.central, mass.high))
        middle = y + _BAR / 2
        band = max(6.0, high - low)
        shapes += [
            cv.Line(6, middle, width - 6, middle, paint(theme.AXIS, width=1)),
            cv.Rect(min(low, width - band), middle - 4, band, 8, 4, paint(theme.BARK, opacity=theme.BAND)),
            cv.Rect(min(central, width - 6) - 2, middle - 10, 4, 20, 2, paint(theme.HULL))]
        y += _BAR
    return shapes, y


@piece
def year_bars(rows: tuple[tuple[str, str, Range], ...], most: float, said: str) -> ft.Control:
    """What a tree gave, year by year and part by part, all on one scale; said: the same in words."""
    width, set_width = ft.use_state(WIDTH)
    shapes, height = year_shapes(rows, most, width, grown_here())
    return picture(shapes, height, said, width, set_width)


def _fitting(words: Sequence[str], width: float, grown: float) -> float:
    """As much as words beside each other may grow so that they still fit [1]; as they are, if even that is too much."""
    together = SIGN * (sum(map(len, words)) + 2 * (len(words) - 1))
    return max(1.0, min(grown, width / together))


def spot_shapes(spots: Sequence[float], width: float, ends: tuple[str, str],
                grown: float = 1.0) -> tuple[list[cv.Shape], float]:
    """A dot for each thing seen, where it lay in its own range [0 low, 1 high], stacked where they meet.

    grown: how much larger than ours the words are [1]; less, where they would not fit beside each other.
    """
    # The one in the middle has as much room on either side as the longer of the others leaves.
    longer = max(ends, key=len)
    grown = _fitting((longer, tr("inside"), longer), width, grown)
    low, high, placed = stacked(spots, width, 2.4 * _DOT, 6)
    foot = 2.4 * _DOT * (1 + max((spot.level for spot in placed), default=0)) + 8
    shapes: list[cv.Shape] = [
        cv.Rect(low, 0, high - low, foot, 4, paint(theme.SAND)),
        cv.Line(6, foot, width - 6, foot, paint(theme.AXIS, width=1)),
        cv.Line(low, 0, low, foot + 4, paint(theme.AXIS, width=2)),
        cv.Line(high, 0, high, foot + 4, paint(theme.AXIS, width=2))]
    for spot in placed:
        y = foot - _DOT - 3 - 2.4 * _DOT * spot.level
        shapes.append(cv.Circle(spot.x, y, _DOT, paint(theme.HULL)) if spot.inside
                      else cv.Circle(spot.x, y, _DOT - 1, paint(theme.MADDER, width=2)))
    shapes += [words_at(0, foot + 4, ends[0], grown=grown),
               words_at(width / 2, foot + 4, tr("inside"), grown=grown, align=ft.Alignment.TOP_CENTER),
               words_at(width, foot + 4, ends[1], grown=grown, align=ft.Alignment.TOP_RIGHT)]
    return shapes, foot + 4 + _WORDS * grown


@piece
def spots_picture(spots: tuple[float, ...], ends: tuple[str, str], said: str) -> ft.Control:
    """Where each thing seen lay in its range; ends: what lies left and right of it is called."""
    width, set_width = ft.use_state(WIDTH)
    shapes, height = spot_shapes(spots, width, ends, grown_here())
    return picture(shapes, height, said, width, set_width)


def chance_shapes(n: int, inside: int, by_chance: tuple[int, int], width: float,
                  grown: float = 1.0) -> tuple[list[cv.Shape], float]:
    """A line from none to all of n: a frame for what chance explains, a tick at four in five, a dot for the count.

    grown: how much larger than ours the words are [1]; less, where they would not fit beside each other.
    """
    least, most = tr("none"), tr("all {n}", n=n)
    grown = _fitting((least, most), width, grown)

    def at(number: float) -> float:
        return 10 + (width - 20) * number / max(1, n)

    middle, (low, high) = 16.0, by_chance
    shapes: list[cv.Shape] = [
        cv.Line(10, middle, width - 10, middle, paint(theme.AXIS, width=1)),
        cv.Rect(at(low) - 6, middle - 4, at(high) - at(low) + 12, 8, 4, paint(theme.BARK, opacity=theme.BAND)),
        cv.Rect(at(0.8 * n) - 2, middle - 10, 4, 20, 2, paint(theme.HULL)),
        cv.Circle(at(inside), middle, 8, paint(theme.PAPER)), cv.Circle(at(inside), middle, 6, paint(theme.HULL)),
        words_at(0, 30, least, grown=grown), words_at(width, 30, most, grown=grown, align=ft.Alignment.TOP_RIGHT)]
    return shapes, 30 + _WORDS * grown


@piece
def count_picture(n: int, inside: int, by_chance: tuple[int, int], said: str) -> ft.Control:
    """How many lay inside, beside what chance explains; said: the same in words."""
    width, set_width = ft.use_state(WIDTH)
    shapes, height = chance_shapes(n, inside, by_chance, width, grown_here())
    return picture(shapes, height, said, width, set_width)
