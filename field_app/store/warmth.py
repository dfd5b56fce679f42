"""Daily temperatures in the book: taking a table in, and reading those nearest to a site."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from pydantic import ValidationError

from field_app.core.positions import Position, distance_m
from field_app.core.warmth import Daily, Temperatures, daily_sums
from field_app.core.weather import Table, WarmthFacts, WeatherForm, decide_weather, temperatures
from field_app.store.book import FieldBook

__all__ = ["Series", "series_for", "take_weather", "warmth_series"]


@dataclass(frozen=True, slots=True)
class Series:
    """The temperatures of one place: their name, where it is if that is known, and degree days worked out once."""

    name: str
    position: Position | None
    days: Temperatures
    sums: Daily


def take_weather(book: FieldBook, form: WeatherForm) -> Table:
    """Take a table of daily temperatures in, durable when this returns; known ones change nothing. Raises Refused."""
    held = {thing.id: thing for thing in book.log_book.things("warmth")}
    decided, table = decide_weather(form, held, book.situation())
    decided.unless_refused()
    assert table is not None
    if decided.drafts:
        book.append(decided)
    return table


def warmth_series(book: FieldBook) -> tuple[Series, ...]:
    """The temperatures of each place, by name; what this version can't read is left out."""
    facts: dict[str, list[WarmthFacts]] = {}
    places: dict[str, tuple[float, float] | None] = {}
    for thing in book.log_book.things("warmth"):
        try:
            one = WarmthFacts.model_validate(dict(thing.facts))
        except ValidationError:
            continue
        facts.setdefault(one.name, []).append(one)
        places[one.name] = thing.position or places.get(one.name)
    return tuple(_series(name, facts[name], places) for name in sorted(facts))


def _series(name: str, facts: list[WarmthFacts], places: Mapping[str, tuple[float, float] | None]) -> Series:
    days, place = temperatures(facts), places[name]
    return Series(name, None if place is None else Position(*place), days, daily_sums(days))


def series_for(place: Position | None, known: tuple[Series, ...]) -> Series | None:
    """The temperatures nearest to a place, or those of which nobody said where they are."""
    placed = [one for one in known if one.position is not None and place is not None]
    if placed and place is not None:
        return min(placed, key=lambda one: distance_m(place, one.position) if one.position else 0.0)
    return known[0] if known else None
