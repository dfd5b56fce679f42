"""What the screen of past seasons draws, worked out of what it tells."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable

from field_app.core.coverage import Coverage
from field_app.core.estimate import Range
from field_app.core.review_words import (
    count_words,
    figure_range,
    held_words,
    seen_words,
    stood_words,
    stuff_words,
    verdict_words,
    yield_rows,
)
from field_app.core.season import Season
from field_app.core.season_review import Review, TreeReview
from field_app.ui.parts import Mark, Span, Strip
from field_app.ui.site_words import lower_first
from field_app.words import tr, tr_n

__all__ = ["bars_of", "check_spots", "dates_strip", "forecast_spots", "said_of_count", "said_of_yields", "title_of",
           "tree_words"]

#: A year that is no leap year, on which the dates of all years are drawn.
_DRAWN = 2001


def title_of(review: Review) -> str:
    """The answer in one sentence: how good the forecasts were."""
    told = review.forecasts(False)
    if not review.all_years:
        return tr("No season to look back on yet")
    if told.n:
        return tr("{inside} of {it} dates lay inside the forecast", inside=told.inside, it=told.n)
    lots = sum(one.lots for tree in review.trees for one in tree.yields)
    return tr_n("{n} load brought in", "{n} loads brought in", lots)


def tree_words(tree: TreeReview) -> str:
    """A tree by its place and what it is."""
    return f"{tree.site_name}, {lower_first(stuff_words(tree.material))}"


def bars_of(tree: TreeReview, decimal: str) -> tuple[tuple[str, str, Range], ...]:
    """What a tree gave, a row for each year and part: its name, the figure in words, and the mass."""
    return tuple((f"{one.year} {name}", figure_range(mass, decimal), mass)
                 for one in tree.yields for name, mass in yield_rows(one, tree.material))


def said_of_yields(tree: TreeReview, decimal: str) -> str:
    """The same for somebody who hears it."""
    return f"{tree_words(tree)}. " + ". ".join(f"{name}: {figure}" for name, figure, _ in bars_of(tree, decimal)) + "."


def dates_strip(tree: TreeReview) -> Strip | None:
    """The dates of a tree, a row for each year: the forecast of the week before as a band, the date seen as a dot."""
    rows: list[tuple[str, tuple[Span, ...], tuple[Mark, ...]]] = []
    said: list[str] = []
    days: list[dt.date] = []
    for year in tree.years:
        if not year.stood:
            continue
        last, number = year.stood[-1], year.season.day_of
        drawn = Season(_DRAWN, year.season.south).date_of
        band = Span(*(drawn(number(day)) for day in (last.low, last.central, last.high)))
        marks = () if year.seen is None else (Mark(drawn(number(year.seen)), "dot"),)
        rows.append((f"{year.year}: {seen_words(year)}", (band,), marks))
        said.append(tr("{year}: {seen_words}; forecast {stood_words}, {held_words}", year=year.year,
                       seen_words=seen_words(year), stood_words=stood_words(last), held_words=held_words(year, last)))
        days += [band.low, band.high, *(mark.day for mark in marks)]
    if not rows:
        return None
    beside = dt.timedelta(days=6)
    return Strip(min(days) - beside, max(days) + beside, dt.date.min, tuple(rows),
                 f"{tree_words(tree)}. " + ". ".join(said) + ".")


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
    return tuple(_share(check.came, check.thought) for check in review.checks)


def _share(value: float, thought: Range) -> float:
    if thought.high > thought.low:
        return (value - thought.low) / (thought.high - thought.low)
    return 0.5 if value == thought.central else 2.0 * (value > thought.central) - 0.5


def said_of_count(name: str, told: Coverage, more: Iterable[str] = ()) -> str:
    """A count for somebody who hears it."""
    return " ".join((f"{name}: {count_words(told)}.", verdict_words(told), *more))
