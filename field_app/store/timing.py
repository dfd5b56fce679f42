"""What the book knows of when to come back: forecasts, what lies on the ground, and visits worth the way."""

from __future__ import annotations

import datetime as dt
from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from functools import cached_property
from typing import get_args

from field_app.core.estimate import Range
from field_app.core.fall import (
    Curve,
    Ground,
    Rot,
    Visit,
    crop_of,
    curve_of,
    falls,
    ground_on,
    ground_range,
    plans,
    rot_of,
    warm_factor,
)
from field_app.core.looks import GROUND, LookNow
from field_app.core.lots import LotNow
from field_app.core.materials import MATERIALS, Material
from field_app.core.ripeness import Forecast, Hopkins, Seen, forecast, own_dates
from field_app.core.season import is_south, season_of
from field_app.core.sites import SiteNow
from field_app.core.standing import Standing, standing
from field_app.core.warmth import mean_of_late, warm_date
from field_app.store.book import FieldBook
from field_app.store.looks import looks_at
from field_app.store.lots import lots_now
from field_app.store.warmth import Series, series_for, warmth_series

__all__ = ["MOST_VISITS", "Timing", "by_tree", "ground_at", "in_order", "lots_at", "materials_at", "seen_of",
           "timing_of", "timings", "timings_of"]

#: Plans are made for so many visits at most [1].
MOST_VISITS = 4
#: One visit more is planned only if it saves so much more of the crop's dye [1].
_WORTH_A_VISIT = 0.05


@dataclass(frozen=True)
class Timing:
    """What is known of one material at one site on a day.

    crop, rot: None where nothing falls; taken: when one last gathered there this season; lay: the last look since
    then that told what lies there. What takes a while is worked out when it is first asked for.
    """

    site: SiteNow
    stuff: Material
    today: dt.date
    forecast: Forecast
    crop: Range | None = None
    rot: Rot | None = None
    taken: dt.date | None = None
    lay: tuple[dt.date, Range] | None = None
    looks: tuple[LookNow, ...] = field(default=(), repr=False)
    _grounds: dict[dt.date, Ground | None] = field(default_factory=dict, repr=False, compare=False)

    @cached_property
    def curve(self) -> Curve | None:
        """How the crop falls, day by day, or None where nothing falls."""
        return None if self.rot is None else curve_of(self.forecast.belief, self.stuff)

    @cached_property
    def plans(self) -> tuple[tuple[Visit, ...], ...]:
        """The best one to four visits, or none where nothing falls."""
        if self.curve is None or self.rot is None:
            return ()
        return plans(self.forecast, self.curve, self.rot, self.today, MOST_VISITS, self.taken)

    def ground(self, day: dt.date) -> Ground | None:
        """What lies there on a day, or None where nothing falls or the crop is not known."""
        if day not in self._grounds:
            self._grounds[day] = self._ground(day)
        return self._grounds[day]

    def _ground(self, day: dt.date) -> Ground | None:
        if self.curve is None or self.rot is None or self.crop is None:
            return None
        return ground_on(self.forecast, self.curve, self.rot, self.stuff, self.crop, day, last_taken=self.taken,
                         lay=self.lay)

    @property
    def visits(self) -> tuple[Visit, ...]:
        """The visits worth going for: one more only while it saves a good deal more."""
        if not self.plans:
            return ()
        chosen = self.plans[0]
        for more in self.plans[1:]:
            if sum(one.saves for one in more) - sum(one.saves for one in chosen) < _WORTH_A_VISIT:
                break
            chosen = more
        return chosen


def _whole_kg(lot: LotNow, stuff: Material) -> float:
    """A lot as whole fruit [kg]: hulls weighed alone are what the share of the hull makes of it."""
    share = stuff.parameter("hull-share")
    if share is None or lot.facts.part == "whole-fruit":
        return lot.net.central
    return lot.net.central / share.central if lot.facts.condition == "fresh" else 0.0


def seen_of(lots: Iterable[LotNow], looks: Iterable[LookNow], stuff: Material) -> tuple[Seen, ...]:
    """What was seen of one material at one site, by looks and by what was gathered, oldest first."""
    found = [Seen(look.at.date(), look.facts.stage, look.facts.dented, look.facts.pressed, _count(look))
             for look in looks]
    found += [Seen(lot.gathered.date(), lot.facts.ripeness, kg=_whole_kg(lot, stuff))
              for lot in lots if lot.facts.condition == "fresh" or not falls(stuff)]
    return tuple(sorted(found, key=lambda one: (one.day, one.kg is not None)))


def _count(look: LookNow) -> int | None:
    row = GROUND.get(look.facts.ground_words or "")
    return look.facts.ground if look.facts.ground is not None or row is None else row.least


def _timing(site: SiteNow, stuff: Material, lots: Sequence[LotNow], looks: Sequence[LookNow], today: dt.date,
            hopkins: Hopkins, series: Series | None) -> Timing | None:
    seen = seen_of(lots, looks, stuff)
    warm = None
    if series is not None and falls(stuff):
        season = season_of(today, is_south(site.position))
        warm = warm_date(series.sums, own_dates(seen, stuff, season), season, today)
    told = forecast(site.position, stuff, seen, today, hopkins=hopkins, warm=warm)
    if told is None:
        return None
    if not falls(stuff):
        return Timing(site, stuff, today, told, looks=tuple(looks))
    season, south = told.season, is_south(site.position)
    taken = max((one.day for one in told.seen if one.kg), default=None)
    by_season: dict[int, float] = {}
    for one in seen:
        if one.kg and (year := season_of(one.day, south).year) < season.year:
            by_season[year] = by_season.get(year, 0.0) + one.kg
    lying = [(look.at.date(), lay) for look in looks if season_of(look.at.date(), south) == season
             and (lay := ground_range(look.facts.ground, look.facts.ground_words)) is not None
             and (taken is None or look.at.date() > taken)]
    mean_c = None if series is None else mean_of_late(series.days, today)
    return Timing(site, stuff, today, told, crop_of(stuff, list(by_season.values())),
                  rot_of(stuff, warm_factor(mean_c)), taken, lying[-1] if lying else None, tuple(looks))


def by_tree(lots: Iterable[LotNow]) -> Mapping[tuple[str, str], list[LotNow]]:
    """Lots by the ids of their site and material."""
    found: dict[tuple[str, str], list[LotNow]] = {}
    for lot in lots:
        found.setdefault((lot.facts.site, lot.facts.material), []).append(lot)
    return found


def materials_at(site: SiteNow) -> tuple[str, ...]:
    """The materials that stand at a site, as far as this program knows them."""
    return tuple(key for key in site.facts.materials if key in MATERIALS)


def timings(book: FieldBook, *, sites: Sequence[SiteNow] | None = None, today: dt.date | None = None,
            hopkins: Hopkins = "none") -> tuple[Timing, ...]:
    """What is known of every material at every site (or those given) that has a season, the most ready first."""
    day = today or book.now().date()
    chosen = book.sites() if sites is None else sites
    return in_order(timings_of(book, chosen, day, warmth_series(book), hopkins=hopkins, all_sites=sites is None))


def timings_of(book: FieldBook, sites: Sequence[SiteNow], today: dt.date, warmth: tuple[Series, ...], *,
               hopkins: Hopkins = "none", all_sites: bool = False) -> Iterator[Timing]:
    """The same one after the other, in the order of the sites, with the temperatures as they were read.

    all_sites: whether these are all, so that the records of each need not be looked for.
    """
    ids = None if all_sites else [site.id for site in sites]
    lots = by_tree(book.lots(limit=-1) if ids is None else lots_at(book, ids))
    looks: dict[tuple[str, str], list[LookNow]] = {}
    for look in looks_at(book, ids):
        looks.setdefault((look.facts.site, look.facts.material), []).append(look)
    in_force = book.in_force()
    for site in sites:
        for key in materials_at(site):
            told = _timing(site, in_force(key, site.id), lots.get((site.id, key), ()),
                           looks.get((site.id, key), ()), today, hopkins, series_for(site.position, warmth))
            if told is not None:
                yield told


def lots_at(book: FieldBook, sites: Collection[str]) -> Iterator[LotNow]:
    """The lots of some sites (by their ids), oldest first; what this version can't read is left out."""
    things = book.log_book.things_of_all("lot", sites)
    return (lot for lot in lots_now(book.log_book, things, book.in_force()) if lot is not None)


def in_order(found: Iterable[Timing]) -> tuple[Timing, ...]:
    """Timings as a person wants them: the most ready first."""
    return tuple(sorted(found, key=_rank))


def _rank(one: Timing) -> tuple[int, dt.date, str]:
    """What is ready first, by how soon that ends; then what may be, what is past its best, and what comes."""
    stands = standing(one.forecast, one.today)
    next_day = one.forecast.sound_until if stands in ("ready", "late") else one.forecast.p50
    return get_args(Standing).index(stands), next_day, one.site.name


def timing_of(book: FieldBook, site: str, material: str = "", *, today: dt.date | None = None,
              hopkins: Hopkins = "none") -> Timing | None:
    """What is known of one material at a site (its id or name), the first with a season if none is named; else None."""
    held = book.site(site)
    found = timings(book, sites=(held,), today=today, hopkins=hopkins)
    order = {key: at for at, key in enumerate(held.facts.materials)}
    wanted = [one for one in found if not material or one.stuff.key == material]
    return min(wanted, key=lambda one: order.get(one.stuff.key, len(order)), default=None)


def ground_at(book: FieldBook, site: str, day: dt.date, material: str = "") -> Ground | None:
    """What lies under the trees of a site on a day, or None where nothing falls."""
    told = timing_of(book, site, material)
    return None if told is None else told.ground(day)
