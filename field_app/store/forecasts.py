"""The forecasts of all trees, kept: worked out anew only for a tree of which something was written, a few at a time.

A screen must not make a person wait for hundreds of trees, nor for all of them when one has changed. So what is known
of a tree is kept beside the numbers of the versions it rests on, and the rest is worked out in steps, between which the
screen may be touched.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Sequence
from typing import NamedTuple

from field_app.core.own import InForce
from field_app.core.sites import SiteNow
from field_app.store.book import FieldBook
from field_app.store.timing import Timing, in_order, timings_of
from field_app.store.warmth import Series, warmth_series

__all__ = ["Forecasts"]

#: So many trees are worked out in one step [1].
STEP = 8
_OF_A_TREE = ("site", "leave", "look", "lot")


class _Ground(NamedTuple):
    """What all forecasts of one moment stand on: the day, the temperatures as they are held, the own figures."""

    today: dt.date
    warmth: tuple[int, ...]
    in_force: InForce


class _Kept(NamedTuple):
    """What is known of one tree, and the place and the versions from which it is known."""

    site: SiteNow
    held: tuple[int, ...]
    timings: tuple[Timing, ...]


class Forecasts:
    """What is known of every tree that has a season, as long as nothing was written of it."""

    def __init__(self, book: FieldBook) -> None:
        self._book = book
        self._mark: tuple[int, int] | None = None
        self._stands_on: _Ground | None = None
        self._held: dict[str, tuple[int, ...]] = {}
        self._known: dict[str, _Kept] = {}
        self._series: tuple[Series, ...] = ()
        #: What a screen showed last, when all was known; it stays there while much is looked at anew.
        self.last: tuple[Timing, ...] = ()
        self._all: tuple[tuple[SiteNow, ...], tuple[Timing, ...]] | None = None

    def missing(self, sites: Sequence[SiteNow], today: dt.date) -> tuple[SiteNow, ...]:
        """Those of the sites that have to be worked out on this day, in their order."""
        self._look(today)
        return tuple(site for site in sites if self._outdated(site))

    @property
    def begun(self) -> bool:
        """Whether anything is known."""
        return bool(self._known)

    def known(self, sites: Sequence[SiteNow]) -> tuple[Timing, ...]:
        """What is known of these sites, the most ready first; what is not worked out yet is not there."""
        chosen = tuple(sites)
        if len(chosen) == 1:
            return in_order(self._of(chosen[0]))
        if self._all is None or self._all[0] != chosen:
            self._all = chosen, in_order(one for site in chosen for one in self._of(site))
        return self._all[1]

    def _of(self, site: SiteNow) -> tuple[Timing, ...]:
        kept = self._known.get(site.id)
        return () if kept is None else kept.timings

    def work(self, sites: Sequence[SiteNow], today: dt.date) -> Iterator[int]:
        """Work these sites out, a few a step; after each, how many are done [1]. What lies there is worked out too."""
        missing = self.missing(sites, today)
        for start in range(0, len(missing), STEP):
            # Another screen may have worked on them between two steps.
            self._work([site for site in missing[start:start + STEP] if self._outdated(site)], today)
            yield min(start + STEP, len(missing))

    def at_once(self, sites: Sequence[SiteNow], today: dt.date) -> tuple[Timing, ...]:
        """What is known of these sites, worked out now as far as it has to be."""
        for _ in self.work(sites, today):
            pass
        return self.known(sites)

    def _look(self, today: dt.date) -> None:
        """See what was written since: cheap, and asked at every drawing."""
        mark = self._book.change_mark()
        if mark == self._mark and self._stands_on is not None and self._stands_on.today == today:
            return
        log = self._book.log_book
        warm = tuple(sorted(number for numbers in log.held_at(("warmth",)).values() for number in numbers))
        stands_on = _Ground(today, warm, self._book.in_force())
        if self._stands_on is None or stands_on != self._stands_on:
            if self._stands_on is None or warm != self._stands_on.warmth:
                self._series = warmth_series(self._book)
            self._known, self._all = {}, None
        self._mark, self._stands_on, self._held = mark, stands_on, log.held_at(_OF_A_TREE)

    def _outdated(self, site: SiteNow) -> bool:
        kept = self._known.get(site.id)
        return kept is None or kept.held != self._held.get(site.id, ()) or kept.site != site

    def _work(self, sites: Sequence[SiteNow], today: dt.date) -> None:
        found: dict[str, list[Timing]] = {site.id: [] for site in sites}
        for one in timings_of(self._book, sites, today, self._series):
            one.ground(today)  # asked for by every list; what it takes belongs into this step
            found[one.site.id].append(one)
        for site in sites:
            self._known[site.id] = _Kept(site, self._held.get(site.id, ()), tuple(found[site.id]))
        self._all = None
