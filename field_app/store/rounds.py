"""What the book knows for a round: the sites as candidates, with what may be had there and whether one may."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Sequence

from field_app.core.cloth_text import read_cloths
from field_app.core.cloths import mass_of
from field_app.core.estimate import Range
from field_app.core.lots import LotNow
from field_app.core.need import need_for, read_shade
from field_app.core.problems import Refused, refuse
from field_app.core.rounds import Candidate
from field_app.core.season import is_south, season_of, short_day
from field_app.core.sites import SiteNow
from field_app.core.standing import standing
from field_app.core.stock import in_store
from field_app.core.totals import total
from field_app.core.units import read_measure, show_range
from field_app.core.visits import READY, WORTH_KG, lasting_due, left_of, visit_mass, worth_of
from field_app.store.book import FieldBook
from field_app.store.timing import Timing, lots_at, timings
from field_app.words import mid, shade_words, tr

__all__ = ["candidates", "need_of", "still_agreed"]

#: Above this probability nobody would ask for the figure [1].
_SURE = 0.95
#: A share of the dye that is told of when it would be lost by the next possible day [1].
_TELL = 0.05


def candidates(book: FieldBook, *, day: dt.date | None = None, next_day: dt.date | None = None,
               sites: Sequence[SiteNow] | None = None,
               known: Sequence[Timing] | None = None) -> tuple[Candidate, ...]:
    """Every site (or those given) as it may be on a round on a day, by name.

    day: that of the book's clock, if not given; next_day: the next one on which one could go, the day after if not
    given: what would be lost until then comes first. The worth is told as cloth at medium [kg].
    known: what is known of these sites on that day, worked out here if it is not given.
    """
    today = day or book.now().date()
    days = max(1, ((next_day or today + dt.timedelta(days=1)) - today).days)
    chosen = book.sites() if sites is None else sites
    found: dict[str, list[Timing]] = {}
    for one in timings(book, sites=chosen, today=today) if known is None else known:
        found.setdefault(one.site.id, []).append(one)
    lots: dict[str, list[LotNow]] = {}
    for lot in book.lots(limit=-1) if sites is None else lots_at(book, [site.id for site in chosen]):
        lots.setdefault(lot.facts.site, []).append(lot)
    return tuple(_candidate(site, found.get(site.id, ()), lots.get(site.id, ()), today, days) for site in chosen)


def still_agreed(site: SiteNow, lots: Iterable[LotNow], today: dt.date) -> float | None:
    """What the agreement still allows [kg]: the amount less what was gathered there this season; None without one."""
    if site.leave is None or site.leave.limit is None:
        return None
    south = is_south(site.position)
    season = season_of(today, south)
    taken = sum(lot.net.central for lot in lots if season_of(lot.gathered.date(), south) == season)
    return max(0.0, site.leave.limit.si - taken)


def need_of(book: FieldBook, text: str, *, shade: str = "medium", material: str = "black-walnut",
            where: str = "need") -> tuple[float | None, str]:
    """What is enough [kg], as typed: a mass as it is gathered, or cloth, for which it is worked out, and in words.

    For cloth it is what its shade takes of a material, as whole fruit or in its first part, less what is in store.
    None and no words if nothing was typed; raises Refused if it is neither a mass nor cloth.
    """
    if not text.strip():
        return None, ""
    try:
        mass = read_measure(text, kind="mass", where=where, default_unit="kg")
    except Refused as no_mass:
        try:
            items = read_cloths([text], where=where)
        except Refused:
            if any(sign.isalpha() for sign in text):
                raise refuse(where, tr("{text!r:.60} is neither a mass nor cloth", text=text.strip()),
                             tr('Type it as in "12 kg" or "wool 3 kg".')) from None
            raise no_mass from None
        stuff = book.in_force()(material)
        wanted = need_for(mass_of(items), read_shade(shade, where="shade"), stuff,
                          in_store(book.lots(limit=-1), stuff.key))
        still = wanted.still_fruit or wanted.still_hull
        told = {"cloth": text.strip(), "shade": shade_words(wanted.shade), "mass": show_range(still),
                "name": mid(stuff.said)}
        return still.central, (
            tr("{cloth} at {shade} takes {mass} more of {name}, whole fruit, beside what is in store.", **told)
            if wanted.still_fruit
            else tr("{cloth} at {shade} takes {mass} more of {name}, fresh {part}, beside what is in store.",
                    part=stuff.parts[-1].said, **told))
    if not mass.si > 0:
        raise refuse(where, tr("is nothing"), tr("Leave it out, or give how much."))
    return mass.si, ""


def _candidate(site: SiteNow, known: Sequence[Timing], lots: Sequence[LotNow], today: dt.date, days: int) -> Candidate:
    masses, worth, lost, due, words = [], 0.0, 0.0, False, []
    for one in known:
        mass, brings, left = _here(one, [lot for lot in lots if lot.facts.material == one.stuff.key], today, days)
        ready = one.forecast.ready_today >= READY
        if mass is not None:
            masses.append(mass)
            worth, lost = worth + brings, lost + brings * (1 - left)
            due = due or (ready and mass.central >= WORTH_KG and (one.curve is not None or lasting_due(
                one.forecast.p50, one.forecast.sound_until, today)))
        words.append(_words(one, mass, 1 - left, days, named=len(known) > 1))
    expected = total(masses, unit="kg") if masses else None
    if expected is not None:
        expected = expected.because(*dict.fromkeys(reason for mass in masses for reason in mass.reasons))
    why = "; ".join(dict.fromkeys(words)) or tr("nothing is known of a season there")
    return Candidate(site.id, site.name, site.position, expected, worth, lost, due, site.leave_on(today),
                     still_agreed(site, lots, today), why)


def _here(one: Timing, lots: Sequence[LotNow], today: dt.date, days: int) -> tuple[Range | None, float, float]:
    """What may be had of one material today [kg], the cloth it dyes [kg], and the share left by the next day [1]."""
    ground = one.ground(today)
    if ground is not None:
        if ground.kg.central <= 0:
            return None, 0.0, 1.0
        return ground.kg, ground.worth.central, left_of(ground.lost_by_next_day, days)
    # Bark comes from wood that was felled, whenever that is; and what is not ready is left to grow.
    if one.forecast.kind == "sap" or one.forecast.ready_today < READY:
        return None, 0.0, 1.0
    south = is_south(one.site.position)
    gathered = any(season_of(lot.gathered.date(), south) == one.forecast.season for lot in lots)
    mass = visit_mass([lot.net.central for lot in lots], gathered=gathered)
    return mass, worth_of(one.stuff, mass).central, 1.0


def _words(one: Timing, mass: Range | None, losing: float, days: int, *, named: bool) -> str:
    told = one.forecast
    if told.kind == "sap":
        return tr("bark of felled, pruned or thrown wood only: ask what lies there")
    stands = standing(told, one.today)
    if stands == "over":
        ready = tr("over for this year")
    elif stands == "late":
        ready = tr("past its best since about {day}", day=short_day(told.sound_until))
    elif stands == "ready" and told.ready_today < READY:
        ready = tr("seen ready")
    elif told.ready_today < READY:
        ready = tr("ready about {day} ({first} to {last})", day=short_day(told.p50), first=short_day(told.p10),
                   last=short_day(told.p90))
    else:
        ready = (tr("almost surely ready") if told.ready_today >= _SURE
                 else tr("ready, {share:.0f} % sure", share=100 * told.ready_today))
    if mass is None and told.ready_today >= READY and one.taken:
        ready = tr("{ready}, but nothing new since {day}", ready=ready, day=short_day(one.taken))
    if mass is not None and losing >= _TELL:
        day = short_day(one.today + dt.timedelta(days=days))
        ready = (tr("{ready}, {share:.0f} % of its dye is lost by tomorrow", ready=ready, share=100 * losing)
                 if days == 1
                 else tr("{ready}, {share:.0f} % of its dye is lost by {day}", ready=ready, share=100 * losing,
                         day=day))
    return f"{one.stuff.said}: {ready}" if named else ready


