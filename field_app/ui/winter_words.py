"""What the screen of past seasons draws, worked out of what it tells."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable

from field_app.core.coverage import Coverage
from field_app.core.review_words import (
    bars_of,
    count_words,
    held_words,
    seen_words,
    stood_words,
    stuff_words,
    verdict_words,
)
from field_app.core.season import Season
from field_app.core.season_review import TreeReview
from field_app.ui.parts import Mark, Span, Strip
from field_app.words import mid, tr

__all__ = ["dates_strip", "said_of_count", "said_of_yields", "tree_words"]

#: A year that is no leap year, on which the dates of all years are drawn.
_DRAWN = 2001


def tree_words(tree: TreeReview) -> str:
    """A tree by its place and what it is."""
    return f"{tree.site_name}, {mid(stuff_words(tree.material))}"


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
        said.append(tr("{year}: {seen}; forecast {days}, {held}", year=year.year, seen=seen_words(year),
                       days=stood_words(last), held=held_words(year, last)))
        days += [band.low, band.high, *(mark.day for mark in marks)]
    if not rows:
        return None
    beside = dt.timedelta(days=6)
    return Strip(min(days) - beside, max(days) + beside, dt.date.min, tuple(rows),
                 f"{tree_words(tree)}. " + ". ".join(said) + ".")


def said_of_count(name: str, told: Coverage, more: Iterable[str] = ()) -> str:
    """A count for somebody who hears it."""
    return " ".join((f"{name}: {count_words(told)}.", verdict_words(told), *more))
