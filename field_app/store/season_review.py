"""The seasons looked back on: gathers from the book what :mod:`field_app.core.season_review` tells."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Generator, Iterable, Sequence

from field_app.core.fall import falls
from field_app.core.known_then import records_before
from field_app.core.looks import LookNow
from field_app.core.lots import LotNow
from field_app.core.materials import MATERIALS, Material
from field_app.core.own import InForce, OwnRecords, OwnTest
from field_app.core.review_estimates import checks_of_lot, checks_of_tests
from field_app.core.review_forecasts import WarmBefore, replayed
from field_app.core.ripeness import Seen, Warm, own_dates
from field_app.core.season import is_south, season_of
from field_app.core.season_review import Review, TreeReview, lessons_of, of_year, yields_of
from field_app.core.sites import SiteNow
from field_app.core.warmth import warm_date
from field_app.store.book import FieldBook
from field_app.store.looks import looks_at
from field_app.store.timing import by_tree, materials_at, seen_of
from field_app.store.warmth import Series, series_for, warmth_series

__all__ = ["season_review", "season_steps"]


def season_review(book: FieldBook, year: int | None = None) -> Review:
    """All seasons of the book, or one year of them."""
    steps = season_steps(book)
    while True:
        try:
            next(steps)
        except StopIteration as done:
            review: Review = done.value
            return of_year(review, year)


def season_steps(book: FieldBook) -> Generator[tuple[int, int], None, Review]:
    """The same tree by tree: gives how many are done and of how many, and at last returns the review."""
    today, records = book.now().date(), book.in_force().records
    lots = book.lots(limit=-1)
    by, looks = by_tree(lots), _looks(looks_at(book))
    warmth, known = warmth_series(book), _Known(records)
    sites = book.sites()
    asked = [(site, key) for site in sites for key in _all_materials(site, by, looks)]
    trees: list[TreeReview] = []
    for done, (site, key) in enumerate(asked):
        yield done, len(asked)
        tree = _tree(site, key, by.get((site.id, key), ()), looks.get((site.id, key), ()), known, today,
                     series_for(site.position, warmth))
        if tree.yields or tree.years:
            trees.append(tree)
    checks = [check for lot in lots for check in checks_of_lot(lot, records)]
    checks += checks_of_tests(records, _telling(lots, sites))
    years = {one.year for tree in trees for one in tree.yields} | {one.year for tree in trees for one in tree.years}
    years |= {check.day.year for check in checks}
    trees.sort(key=lambda tree: (tree.site_name.casefold(), tree.material))
    return Review(None, tuple(sorted(years)), tuple(trees), lessons_of(records),
                  tuple(sorted(checks, key=lambda check: (check.day, check.kind, check.lot))))


class _Known:
    """The materials as they were known before days; those with nothing of one's own are the table's."""

    def __init__(self, records: OwnRecords) -> None:
        self._records = records
        self._then: dict[tuple[str, ...], InForce] = {}

    def before(self, key: str, site: str, day: dt.date) -> Material:
        then = records_before(self._records.of(key), day)
        ids = (key, *(one.id for one in then.values), *(one.id for one in then.tests),
               *(one.id for one in then.swatches))
        return self._then.setdefault(ids, InForce(then))(key, site)


def _all_materials(site: SiteNow, lots: Iterable[tuple[str, str]], looks: Iterable[tuple[str, str]]) -> list[str]:
    """What stands at a site, and what was ever brought in from there or looked at."""
    noted = (key for of, key in (*lots, *looks) if of == site.id and key in MATERIALS)
    return list(dict.fromkeys((*materials_at(site), *noted)))


def _looks(looks: Iterable[LookNow]) -> dict[tuple[str, str], list[LookNow]]:
    found: dict[tuple[str, str], list[LookNow]] = {}
    for look in looks:
        found.setdefault((look.facts.site, look.facts.material), []).append(look)
    return found


def _tree(site: SiteNow, key: str, lots: Sequence[LotNow], looks: Sequence[LookNow], known: _Known, today: dt.date,
          series: Series | None) -> TreeReview:
    south = is_south(site.position)
    now = known.before(key, site.id, today + dt.timedelta(days=1))
    seen = seen_of(lots, looks, now)
    warm = None if series is None or not falls(now) else _warm_before(series, south)
    years = replayed(site.position, seen, lambda day: known.before(key, site.id, day), today, warm)
    return TreeReview(site.id, site.name, key, yields_of(lots, south), years)


def _warm_before(series: Series, south: bool) -> WarmBefore:
    def warm(day: dt.date, seen: Sequence[Seen], stuff: Material) -> Warm | None:
        season = season_of(day, south)
        sums = {one: value for one, value in series.sums.items() if one < day}
        return warm_date(sums, own_dates(seen, stuff, season), season, day)

    return warm


def _telling(lots: Sequence[LotNow], sites: Sequence[SiteNow]) -> Callable[[OwnTest], tuple[str, str]]:
    """Gives the code of the lot of a test and the name of its site, empty where there is none."""
    codes, names = {lot.id: lot.code for lot in lots}, {site.id: site.name for site in sites}
    return lambda test: (codes.get(test.lot, ""), names.get(test.site, ""))
