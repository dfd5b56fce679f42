"""What is said of the seasons in words, the same on the screens and on the command line."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from types import MappingProxyType

from field_app.core.coverage import Coverage, Place, Verdict
from field_app.core.estimate import Range
from field_app.core.figures import figure_words
from field_app.core.materials import CONDITIONS, MATERIALS, material
from field_app.core.review_estimates import Check
from field_app.core.review_forecasts import Stood, TreeYear
from field_app.core.season import short_day
from field_app.core.season_review import Lesson, Review, TreeReview, Yield
from field_app.core.units import show_number, show_range
from field_app.words import later, listed, tr, tr_n

__all__ = ["AIR_DRY_WORDS", "bars_of", "check_words", "count_words", "figure_range", "held_words", "in_hundredths",
           "lesson_name", "lesson_source", "seen_words", "stood_name", "stood_words", "stuff_words", "tally_words",
           "title_of", "verdict_words", "weather_words", "yield_rows"]

AIR_DRY_WORDS = later("all as air-dry stuff")
_HELD: MappingProxyType[Place, str] = MappingProxyType(
    {"inside": later("inside"), "below": later("earlier than the band"), "above": later("later than the band")})
_CAME: MappingProxyType[Place, str] = MappingProxyType(
    {"inside": later("inside"), "below": later("less than thought"), "above": later("more than thought")})
_VERDICT: MappingProxyType[Verdict, str] = MappingProxyType({
    "none": later("Nothing to judge by yet."),
    "few": later("Too few to tell: ranges that hold only every second time could do as well by chance."),
    "fits": later("That fits ranges that hold four times in five."),
    "narrow": later("Fewer than chance explains: the ranges are too narrow. Reckon with more either way."),
    "wide": later("More than chance explains: the ranges are wider than they need be.")})


def stuff_words(key: str) -> str:
    """What a material is called; a key that is not known speaks for itself."""
    return MATERIALS[key].said if key in MATERIALS else key


def figure_range(quantity: Range, decimal: str = "") -> str:
    """A range as a dyer reads it: shares in per cent.

    >>> figure_range(Range(0.1, 0.15, 0.2, "1")), figure_range(Range(7, 8, 9.5, "kg"))
    ('15.0 % (10.0–20.0)', '8.0 kg (7.0–9.5)')
    """
    return show_range(in_hundredths(quantity), decimal=decimal)


def in_hundredths(quantity: Range) -> Range:
    """A share in per cent; anything else as it is."""
    if quantity.unit != "1":
        return quantity
    return Range(100 * quantity.low, 100 * quantity.central, 100 * quantity.high, "%", quantity.reasons)


def _came(value: float, unit: str, decimal: str) -> str:
    return f"{show_number(100 * value if unit == '1' else value, decimal=decimal)} {'%' if unit == '1' else unit}"


def yield_rows(one: Yield, key: str) -> tuple[tuple[str, Range], ...]:
    """What a tree gave in a season, as name and mass: each part as it was brought in, then all of it air-dry."""
    rows = []
    for part_key, condition, mass in one.parts:
        name = next((part.said for part in material(key).parts if part.key == part_key), part_key)
        rows.append((name if condition == "fresh" else f"{name}, {CONDITIONS[condition].said}", mass))
    if [condition for _, condition, _ in one.parts] != ["air-dry"]:
        rows.append((tr(AIR_DRY_WORDS), one.air_dry))
    return tuple(rows)


def seen_words(one: TreeYear) -> str:
    """When it was seen to be ready, with how far that is known."""
    if one.seen is None:
        return tr("no date seen")
    off = max(1, round(one.off))
    return tr_n("seen about {day} (± {n} day)", "seen about {day} (± {n} days)", off, day=short_day(one.seen))


def stood_name(stood: Stood) -> str:
    """Which forecast it is."""
    day = short_day(stood.made)
    return tr("as the season began, {day}", day=day) if stood.early else tr("on {day}", day=day)


def _days(first: dt.date, last: dt.date) -> str:
    return f"{short_day(first)} – {short_day(last)}"


def stood_words(stood: Stood) -> str:
    """The range of a forecast."""
    return f"{short_day(stood.central)} ({_days(stood.low, stood.high)})"


def held_words(year: TreeYear, stood: Stood) -> str:
    """Where the date lay beside the forecast, or why that is not judged."""
    place = year.place(stood)
    if place is not None:
        return tr(_HELD[place])
    if not year.over:
        return tr("not judged: not over yet")
    return (tr("not judged: no date was seen") if year.seen is None
            else tr("not judged: the date is not known well enough"))


def lesson_name(one: Lesson) -> str:
    """Which figure of what."""
    return f"{stuff_words(one.material)}: {figure_words(one.name, material(one.material))}"


def lesson_source(one: Lesson) -> str:
    """By what it was learnt.

    >>> told = Range(0.1, 0.2, 0.3, "1")
    >>> lesson_source(Lesson("black-walnut", "dry-fresh", told, told, 2, 0, False))
    'by 2 own tests'
    """
    parts = [tr("a value of your own")] if one.was_set else []
    if one.tests:
        parts.append(tr_n("{n} own test", "{n} own tests", one.tests))
    if one.swatches:
        parts.append(tr_n("{n} own swatch", "{n} own swatches", one.swatches))
    return tr("by {what}", what=listed(parts))


def check_words(one: Check, decimal: str = "") -> str:
    """What was thought and what it came to."""
    return tr("thought {thought}, came to {came}: {place}", thought=figure_range(one.thought, decimal),
              came=_came(one.came, one.thought.unit, decimal), place=tr(_CAME[one.place]))


def count_words(told: Coverage) -> str:
    """The count with what was to be expected, and what chance explains.

    >>> count_words(Coverage(1, 16, 3))
    '16 of 20 inside (1 below, 3 above); about 16 expected, 13 to 19 by chance'
    """
    if not told.n:
        return tr("none yet")
    low, high = told.by_chance
    outside = [*([tr("{count} below", count=told.below)] if told.below else []),
               *([tr("{count} above", count=told.above)] if told.above else [])]
    counts = {"inside": told.inside, "all": told.n, "expected": round(told.expected),
              "chance": str(low) if low == high else tr("{low} to {high}", low=low, high=high)}
    return (tr("{inside} of {all} inside ({outside}); about {expected} expected, {chance} by chance",
               outside=", ".join(outside), **counts) if outside
            else tr("{inside} of {all} inside; about {expected} expected, {chance} by chance", **counts))


def tally_words(told: Coverage) -> str:
    """The bare count, where there are too few to say more.

    >>> tally_words(Coverage(1, 2, 0))
    '2 of 3 inside'
    """
    return tr("{inside} of {all} inside", inside=told.inside, all=told.n)


def verdict_words(told: Coverage) -> str:
    """What the count says, plainly."""
    return tr(_VERDICT[told.verdict])


def weather_words(years: Sequence[int]) -> str:
    """Why so many forecasts tell less than their number, or empty."""
    if not years:
        return ""
    return tr_n("From {n} season. Trees of one season share its weather, so chance may reach further than told. The "
                "date seen lies between two visits and is known to some days only.",
                "From {n} seasons. Trees of one season share its weather, so chance may reach further than told. The "
                "date seen lies between two visits and is known to some days only.", len(years))


def title_of(review: Review) -> str:
    """The answer in one sentence: how good the forecasts were."""
    told = review.forecasts(False)
    if not review.all_years:
        return tr("No season to look back on yet")
    if told.n:
        return tr("{inside} of {all} dates lay inside the forecast", inside=told.inside, all=told.n)
    lots = sum(one.lots for tree in review.trees for one in tree.yields)
    return tr_n("{n} load brought in", "{n} loads brought in", lots)


def bars_of(tree: TreeReview, decimal: str) -> tuple[tuple[str, str, Range], ...]:
    """What a tree gave, a row for each year and part: its name, the figure in words, and the mass."""
    return tuple((f"{one.year} {name}", figure_range(mass, decimal), mass)
                 for one in tree.yields for name, mass in yield_rows(one, tree.material))
