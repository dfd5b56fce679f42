"""Pictures of ranges on paper, drawn as on the screens: a band from low to high, a bar at the likeliest, dots.

Shapes tell things apart, not greys: a full dot lay inside its range, a ring outside.
"""

from __future__ import annotations

from collections.abc import Sequence

from field_app.core.review_spots import DateRow, stacked
from field_app.core.season import Season, short_day
from field_app.paper.flow import SMALL
from field_app.paper.page import Page
from field_app.words import tr

__all__ = ["ROW", "chance", "month_scale", "range_line", "spots", "spots_height"]

#: The height of one range [mm].
ROW = 5.0
_GREY, _PALE = 0.66, 0.88
_DOT = 1.1
_STEP = 2.4 * _DOT
#: A year that is no leap year, on whose days the dates of all years are drawn.
_DRAWN = 2001


def range_line(page: Page, x: float, y: float, width: float, shares: tuple[float, float, float],
               dot: float | None = None) -> None:
    """A line with the band of a range on it; shares: low, central, high [0 left end, 1 right end].

    dot: where something was seen, drawn full inside the band and as a ring outside; what lies beyond stands at the end.
    """
    low, central, high = (x + width * min(1.0, max(0.0, share)) for share in shares)
    middle = y + ROW / 2
    page.rule(x, middle, width, thick=0.15)
    left = min(low, x + width - 1.2)
    page.fill(left, middle - 0.9, max(1.2, high - low), 1.8, grey=_GREY)
    page.fill(min(central, x + width - 0.7), middle - 1.9, 0.7, 3.8)
    if dot is not None:
        page.dot(x + width * min(1.0, max(0.0, dot)), middle, 1.3, full=shares[0] <= dot <= shares[2])


def spots_height(spots: Sequence[float], width: float) -> float:
    """How high the picture of so many dots becomes [mm]."""
    _, _, placed = stacked(spots, width, _STEP, 2.0)
    return _STEP * (1 + max((spot.level for spot in placed), default=0)) + 2.0 + 4.5


def spots(page: Page, x: float, y: float, width: float, seen: Sequence[float], ends: tuple[str, str]) -> float:
    """A dot for each thing seen, where it lay in its own range [0 low, 1 high]; gives the height of it [mm].

    ends: what lies left and right of the range is called.
    """
    low, high, placed = stacked(seen, width, _STEP, 2.0)
    foot = spots_height(seen, width) - 4.5
    page.fill(x + low, y, high - low, foot, grey=_PALE)
    for end in (low, high):
        page.upright(x + end, y, foot + 1)
    page.rule(x + 2, y + foot, width - 4, thick=0.2)
    for spot in placed:
        page.dot(x + spot.x, y + foot - _DOT - 0.7 - _STEP * spot.level, _DOT, full=spot.inside)
    third = width / 3
    page.line(x, y + foot + 0.8, ends[0], SMALL, width=third)
    words = tr("inside")
    page.line(x + width / 2 - min(third, page.width_of(words, SMALL)) / 2, y + foot + 0.8, words, SMALL, width=third)
    page.line(x + 2 * third, y + foot + 0.8, ends[1], SMALL, width=third, right=True)
    return foot + 4.5


def chance(page: Page, x: float, y: float, width: float, told: tuple[int, int, tuple[int, int]]) -> float:
    """A line from none to all: a band for what chance explains, a bar at four in five, a dot for the count.

    told: how many there are, how many lay inside, and from how many to how many chance explains [1]; gives the height
    of it [mm].
    """
    n, inside, (low, high) = told
    edge = 3.0
    page.rule(x + edge, y + ROW / 2, width - 2 * edge, thick=0.15)

    def at(number: float) -> float:
        return x + edge + (width - 2 * edge) * number / max(1, n)

    page.fill(at(low) - 1.2, y + ROW / 2 - 0.9, at(high) - at(low) + 2.4, 1.8, grey=_GREY)
    page.fill(at(0.8 * n) - 0.35, y + ROW / 2 - 1.9, 0.7, 3.8)
    page.dot(at(inside), y + ROW / 2, 1.3, full=low <= inside <= high)
    page.line(x, y + ROW, tr("none"), SMALL, width=width / 2)
    page.line(x + width / 2, y + ROW, tr("all {n}", n=n), SMALL, width=width / 2, right=True)
    return ROW + 4.5


def month_scale(page: Page, x: float, y: float, width: float, rows: Sequence[DateRow], south: bool
                ) -> tuple[float, float]:
    """A scale of days with a mark every few of them; gives its first and last number of the season [d]."""
    numbers = [day for row in rows for day in (row.low, row.high, row.seen) if day is not None]
    first, last = min(numbers) - 6, max(numbers) + 6
    season = Season(_DRAWN, south)
    # So many marks that their words don't meet, whatever the months are called.
    widest = 1.5 + max(page.width_of(short_day(season.date_of(day)), SMALL) for day in range(first, last + 1))
    every = next((days for days in (5, 10, 15, 30, 61, 122) if (last - first) / days * widest <= width), 183)
    number = -(-first // every) * every
    page.rule(x, y + 4.2, width, thick=0.15)
    end = x
    while number <= last:
        share = (number - first) / (last - first)
        words = short_day(season.date_of(number))
        half = page.width_of(words, SMALL) / 2
        left = min(max(x, x + width * share - half), x + width - 2 * half)
        if left >= end:  # one at the edge is moved inwards
            page.line(left, y, words, SMALL, width=2 * half + 0.1)
            end = left + 2 * half + 1
        page.upright(x + width * share, y + 3.4, 1.6, thick=0.15)
        number += every
    return first, last
