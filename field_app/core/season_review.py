"""The seasons looked back on: what each tree gave and when, what was learnt, and how good forecasts and estimates were.

Screens and commands show this one value, so that they tell the same figures.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from typing import Any

from field_app.core.coverage import Coverage, coverage_of
from field_app.core.estimate import Range
from field_app.core.load import estimate_lot
from field_app.core.lots import LotNow
from field_app.core.materials import material
from field_app.core.own import OwnRecords, learnt
from field_app.core.problems import Refused
from field_app.core.review_estimates import CHECKED, Check, CheckKind
from field_app.core.review_forecasts import TreeYear
from field_app.core.season import season_of
from field_app.core.totals import total

__all__ = ["Lesson", "Review", "TreeReview", "Yield", "lessons_of", "of_year", "yields_of"]


@dataclass(frozen=True, slots=True)
class Yield:
    """What one tree gave in one season.

    parts: as it was brought in [kg], by the key of the part and the condition; air_dry: the dye stuff of all of it,
    brought to air-dry [kg]; lots: how many loads [1].
    """

    year: int
    parts: tuple[tuple[str, str, Range], ...]
    air_dry: Range
    lots: int

    def as_json(self) -> dict[str, Any]:
        """The same as plain data."""
        return {"year": self.year, "lots": self.lots, "air_dry": self.air_dry.as_json(),
                "parts": [{"part": part, "condition": condition, "mass": mass.as_json()}
                          for part, condition, mass in self.parts]}


@dataclass(frozen=True, slots=True)
class TreeReview:
    """The seasons of one material at one site."""

    site: str
    site_name: str
    material: str
    yields: tuple[Yield, ...] = ()
    years: tuple[TreeYear, ...] = ()

    def as_json(self) -> dict[str, Any]:
        """The same as plain data."""
        return {"site_id": self.site, "site": self.site_name, "material": self.material,
                "yields": [one.as_json() for one in self.yields],
                "seasons": [{"year": one.year, **one.as_json()} for one in self.years]}


@dataclass(frozen=True, slots=True)
class Lesson:
    """A figure of a material that is no longer the table's: as the table has it, and as it is in force.

    name: of the figure; tests, swatches: how many taught it [1]; was_set: whether a value of one's own was set.
    """

    material: str
    name: str
    before: Range
    after: Range
    tests: int
    swatches: int
    was_set: bool

    def as_json(self) -> dict[str, Any]:
        """The same as plain data."""
        return {"material": self.material, "figure": self.name, "before": self.before.as_json(),
                "after": self.after.as_json(), "tests": self.tests, "swatches": self.swatches,
                "own_value": self.was_set}


@dataclass(frozen=True, slots=True)
class Review:
    """Everything that the seasons tell; year: the only one told of, or None for all.

    all_years: the years of which anything is known, oldest first.
    """

    year: int | None
    all_years: tuple[int, ...]
    trees: tuple[TreeReview, ...]
    lessons: tuple[Lesson, ...]
    checks: tuple[Check, ...]

    def forecasts(self, early: bool) -> Coverage:
        """How often the date seen lay inside the forecast: of the season's first day, or of the week before."""
        return coverage_of(place for tree in self.trees for year in tree.years for stood in year.stood
                           if stood.early is early and (place := year.place(stood)) is not None)

    @property
    def judged(self) -> tuple[int, ...]:
        """The years of which forecasts are judged, oldest first: those of one year share its weather."""
        return tuple(sorted({year.year for tree in self.trees for year in tree.years
                             if any(year.place(one) is not None for one in year.stood)}))

    @property
    def estimates(self) -> Coverage:
        """How often a later weighing lay inside what was thought."""
        return coverage_of(check.place for check in self.checks)

    def estimates_of(self, kind: CheckKind) -> Coverage:
        """The same of one kind of estimate."""
        return coverage_of(check.place for check in self.checks if check.kind == kind)

    def as_json(self) -> dict[str, Any]:
        """The contract: one object of plain data."""
        return {
            "year": self.year, "years": list(self.all_years), "trees": [tree.as_json() for tree in self.trees],
            "learnt": [one.as_json() for one in self.lessons],
            "forecasts": {"seasons": list(self.judged), "first_day_of_season": self.forecasts(True).as_json(),
                          "week_before": self.forecasts(False).as_json()},
            "estimates": {**self.estimates.as_json(), "kinds": {
                kind: told.as_json() for kind in CHECKED if (told := self.estimates_of(kind)).n},
                "checks": [check.as_json() for check in self.checks]}}


def yields_of(lots: Iterable[LotNow], south: bool = False) -> tuple[Yield, ...]:
    """What the lots of one tree came to in each season, oldest first, by what is known now.

    A lot whose material or amount this program can't read is left out.
    """
    by_year: dict[int, list[LotNow]] = {}
    for lot in lots:
        by_year.setdefault(season_of(lot.gathered.date(), south).year + south, []).append(lot)
    found = []
    for year, of_year in sorted(by_year.items()):
        parts: dict[tuple[str, str], list[Range]] = {}
        dry: list[Range] = []
        for lot in of_year:
            try:
                worth = estimate_lot(lot.facts, lot.stuff)
            except Refused:
                continue
            parts.setdefault((lot.facts.part, lot.facts.condition), []).append(lot.net)
            dry.append(worth.air_dry)
        if dry:
            found.append(Yield(year, tuple((*key, total(masses, unit="kg")) for key, masses in sorted(parts.items())),
                               total(dry, unit="kg"), len(dry)))
    return tuple(found)


def lessons_of(records: OwnRecords) -> tuple[Lesson, ...]:
    """What tests, swatches and values of one's own have made of the table's figures, material by material."""
    keys = sorted({one.facts.material for one in records.values} | {one.material for one in records.tests}
                  | {one.material for one in records.swatches})
    return tuple(lesson for key in keys for lesson in _lessons(key, records.of(key)))


def _lessons(key: str, records: OwnRecords) -> Iterable[Lesson]:
    try:
        stuff = material(key)
    except Refused:
        return
    for name, one in learnt(stuff, records).items():
        if one.overridden:
            yield Lesson(key, name, one.default.range(name), one.row.range(name), len(one.tests), one.swatches,
                         one.value is not None)


def _only(tree: TreeReview, year: int) -> TreeReview:
    return replace(tree, yields=tuple(one for one in tree.yields if one.year == year),
                   years=tuple(one for one in tree.years if one.year == year))


def of_year(review: Review, year: int | None) -> Review:
    """The same of one year alone; what was learnt stands as it is now. None leaves it as it is."""
    if year is None:
        return review
    trees: Sequence[TreeReview] = [_only(tree, year) for tree in review.trees]
    return replace(review, year=year, trees=tuple(tree for tree in trees if tree.yields or tree.years),
                   checks=tuple(check for check in review.checks if check.day.year == year))
