"""Where what was seen lay in its range, and how many dots of it lie beside each other: for screens and paper."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from field_app.core.estimate import Range
from field_app.core.review_estimates import Check
from field_app.core.season_review import Review, TreeReview

__all__ = ["BESIDE", "DateRow", "Spot", "check_spots", "date_rows", "forecast_spots", "share_of_check", "stacked"]

#: Beside a range so much of its width is drawn on either side; what lies further out stands at the edge [1].
BESIDE = 0.6


def forecast_spots(review: Review, early: bool) -> tuple[float, ...]:
    """Where each date that was judged lay in its forecast [0 low, 1 high]."""
    found = []
    for year in (year for tree in review.trees for year in tree.years):
        for one in year.stood:
            if one.early is early and year.place(one) is not None and year.seen is not None:
                low, seen, high = (year.season.day_of(day) for day in (one.low, year.seen, one.high))
                found.append((seen - low) / max(1, high - low))
    return tuple(found)


def check_spots(review: Review) -> tuple[float, ...]:
    """Where each estimate came out in what was thought [0 low, 1 high]."""
    return tuple(share_of_check(check) for check in review.checks)


def share_of_check(check: Check) -> float:
    """Where one estimate came out in what was thought [0 low, 1 high]."""
    return _share(check.came, check.thought)


def _share(value: float, thought: Range) -> float:
    if thought.high > thought.low:
        return (value - thought.low) / (thought.high - thought.low)
    return 0.5 if value == thought.central else 2.0 * (value > thought.central) - 0.5


@dataclass(frozen=True, slots=True)
class Spot:
    """A dot of a picture: its middle [of the width given], how many lie below it [1], and whether inside its range."""

    x: float
    level: int
    inside: bool


def stacked(spots: Sequence[float], width: float, step: float, edge: float) -> tuple[float, float, tuple[Spot, ...]]:
    """The ends of the range on a picture, and the dots, stacked where they meet [all as the width].

    spots: where each lay in its range [0 low, 1 high]; step: between the middles of two dots; edge: free on each side.
    """
    low, high = (edge + (width - 2 * edge) * (BESIDE + end) / (1 + 2 * BESIDE) for end in (0, 1))
    stacks: dict[float, int] = {}
    placed = []
    for spot in sorted(spots):
        x = _column(spot, (edge, low, high, width - edge), step)
        placed.append(Spot(x, stacks.get(x, 0), 0 <= spot <= 1))
        stacks[x] = stacks.get(x, 0) + 1
    return low, high, tuple(placed)


def _column(spot: float, ends: tuple[float, float, float, float], step: float) -> float:
    """The middle of the column of a dot; no column lies on both sides of an end of the range."""
    first, low, high, last = ends
    if 0 <= spot <= 1:
        left, right, share = low, high, spot
    elif spot < 0:
        left, right, share = first, low, 1 + max(spot, -BESIDE) / BESIDE
    else:
        left, right, share = high, last, min(spot - 1, BESIDE) / BESIDE
    columns = max(1, int((right - left) / step))
    return left + (min(int(share * columns), columns - 1) + 0.5) * (right - left) / columns


@dataclass(frozen=True, slots=True)
class DateRow:
    """The forecast of the week before and the date seen in one year, as numbers of the season [d]."""

    year: int
    low: int
    central: int
    high: int
    seen: int | None


def date_rows(tree: TreeReview) -> tuple[DateRow, ...]:
    """The dates of a tree, a row for each year of which there is a forecast."""
    found = []
    for year in tree.years:
        if year.stood:
            last, number = year.stood[-1], year.season.day_of
            found.append(DateRow(year.year, number(last.low), number(last.central), number(last.high),
                                 None if year.seen is None else number(year.seen)))
    return tuple(found)
