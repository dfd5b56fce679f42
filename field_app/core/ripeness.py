"""When a tree is ready: the calendar of its species, its own earlier years, and this year's looks.

The law of this file:

1. A tree's date is the day on which half of its crop is ripe (keeps a dent); for stuff without a ripeness to see,
   the day from which one can gather it; for bark, the day on which the sap is up.
2. Before anything is known of the tree, its usual date is normal around the calendar of its species, wider where the
   place is not like the one where the calendar was seen.
3. Its own earlier years narrow that by normal-normal updating; this year's date spreads around it by YEARLY.
4. Where the sum of warmth at its own earlier dates is known, that is one more normal observation of this year's date.
5. This year's looks cut the result off, or weigh it by the dents (:mod:`field_app.core.belief`).
6. It is good until half of the crop has turned, or a look that found most of it sound says that it has not yet.
7. Hopkins' law moves the calendar only if somebody chose it, with the sign that was chosen.
"""

from __future__ import annotations

import datetime as dt
import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Literal

from field_app.core.belief import Belief, Dents, Observed, interval, updated
from field_app.core.estimate import Reason
from field_app.core.materials import Material
from field_app.core.positions import Position
from field_app.core.season import CalendarRow, Season, calendar_row, hopkins_shift, is_south, season_of, short_day
from field_app.core.sources import source_said
from field_app.words import later, tr

__all__ = ["YEARLY", "Forecast", "Hopkins", "Seen", "Warm", "forecast", "own_dates", "prior_of"]

#: Standard deviation of one tree's date from year to year [d]; a starting assumption, none was found published.
YEARLY = 6.0
#: Where a place is not like the one of the calendar, so much more spread [d]: 10 days become 14 (common practice).
ELSEWHERE = math.sqrt(14**2 - 10**2)
#: Between the tropics a calendar of the temperate zone tells little [d] (common practice, no source).
TROPICS, TROPICAL = 23.44, 60.0
#: As far from the calendar's place it still holds as it is [deg]; the eastern half of temperate North America.
NEAR, NEAR_EAST = 2.5, 15.0
#: If nobody looked before the first ripe fruit was seen, somebody is taken to come by every other week [d].
UNSEEN = 14.0
#: More than so many on the ground say that the tree is ripe, if nothing else was told (common practice) [1].
MANY = 100
Hopkins = Literal["none", "later", "earlier"]

_PRACTICE = later("common practice, no source")
_NOT_YET, _RIPE = ("green", "yellowing", "not-yet"), ("dented", "fallen", "ready")


@dataclass(frozen=True, slots=True)
class Seen:
    """What was seen of one material at one tree on a day, by a look or by what was gathered.

    stage: a key of the table of ripeness or a plain stage, or None; ground: how many lay there [1];
    kg: what was gathered, as whole fruit [kg], or None for a look.
    """

    day: dt.date
    stage: str | None = None
    dented: int | None = None
    pressed: int | None = None
    ground: int | None = None
    kg: float | None = None

    @property
    def found_ready(self) -> bool:
        """Whether a look found it ready, and most of it not turned yet."""
        if self.kg is not None or self.stage in ("browned", "black", "over"):
            return False
        return 2 * (self.dented or 0) >= self.pressed if self.pressed else self.stage in _RIPE


@dataclass(frozen=True, slots=True)
class Warm:
    """The date of this year by the sum of warmth: mean and standard deviation [d], and how it came about."""

    mean: float
    sd: float
    words: str


@dataclass(frozen=True, slots=True)
class Forecast:
    """When a tree is ready this season.

    p10, p50, p90: the days before which it is ready with 10, 50, 90 %; ready_today: the probability that one can
    gather today [1]; sound_until: until then half of the crop is still sound, on the tree or under it;
    ends: the last day on which going there makes sense;
    belief: the distribution of the date; prior: that of the species alone; lasts: how long one can gather [d];
    years: own earlier dates as (season, day); seen: this season's looks and lots.
    """

    season: Season
    p10: dt.date
    p50: dt.date
    p90: dt.date
    ready_today: float
    sound_until: dt.date
    ends: dt.date
    belief: Belief
    prior: Belief
    lasts: float
    kind: Literal["ripe", "sap"]
    years: tuple[tuple[int, Observed], ...]
    seen: tuple[Seen, ...]
    reasons: tuple[Reason, ...]


def prior_of(row: CalendarRow, place: Position | None, hopkins: Hopkins = "none") -> tuple[float, float, list[Reason]]:
    """Mean and spread [d] of the usual date of a tree at a place, and why."""
    mean, spread = float(row.day), row.spread
    south = is_south(place)
    day = short_day(Season(2001, south).date_of(mean))
    reasons = [Reason(tr("calendar of the species"), tr("{day} ± {spread:.0f} days", day=day, spread=spread),
                      "default", source_said(row.source), row.mark)]
    home = row.place
    if place is not None and abs(place.lat) < TROPICS:
        spread = math.hypot(spread, TROPICAL)
        reasons.append(Reason(tr("between the tropics"), tr("± {spread:.0f} days", spread=spread), "default",
                              tr(_PRACTICE), "practice"))
    elif home is not None and (place is None or south or abs(abs(place.lat) - abs(home.lat)) > NEAR
                               or abs(place.lon - home.lon) > NEAR_EAST):
        spread = math.hypot(spread, ELSEWHERE)
        why = tr("where it stands is not noted") if place is None else tr("the calendar was seen elsewhere")
        reasons.append(Reason(why, tr("± {spread:.0f} days instead", spread=spread), "default", tr(_PRACTICE),
                              "practice"))
    if hopkins != "none" and place is not None and home is not None:
        east = place.lon - home.lon if _north_american(place) and _north_american(home) else 0.0
        shift = hopkins_shift(abs(place.lat) - abs(home.lat), east, spring=hopkins == "later")
        mean += shift
        sense = tr("later towards the pole") if hopkins == "later" else tr("earlier towards the pole")
        reasons.append(Reason(tr("Hopkins' law as you chose, {sense}", sense=sense),
                              tr("{shift} days", shift=f"{shift:+.0f}".replace("-", "−")), "said",
                              tr("Hopkins 1918, quoted in the Aldo Leopold papers; its sense in autumn from memory"),
                              "memory"))
    return mean, spread, reasons


def _north_american(place: Position) -> bool:
    return 25 <= place.lat <= 55 and -130 <= place.lon <= -55


def _spread_of(stuff: Material) -> float:
    row = stuff.parameter("crop-spread")
    return row.central if row else 7.0


def _turned(stuff: Material, stage: str | None) -> float:
    """How long before the look such fruit was ripe at least [d]."""
    row = stuff.parameter("keep-fallen")
    if row is None:
        return 0.0
    return {"browned": row.low, "black": row.central}.get(stage or "", 0.0)


def _bounds(seen: Iterable[Seen], stuff: Material, season: Season) -> tuple[float, float, str]:
    """The last "not yet", the first "ripe" after it, and the words on a contradiction, if there is one."""
    after, by, dropped = -math.inf, math.inf, ""
    for one in sorted(seen, key=lambda one: one.day):
        number = float(season.day_of(one.day))
        # A few on the ground fell early; pails of them don't, unless the thumb says otherwise.
        many = one.ground is not None and one.ground > MANY and one.pressed is None
        if one.stage in _NOT_YET and one.pressed is None:
            if by <= number:
                dropped = tr("ripe was told before “not yet” on {day}: the later one counts",
                             day=short_day(one.day))
                by = math.inf
            after = number
        elif one.stage in (*_RIPE, "browned", "black") or (one.stage is None and (one.kg is not None or many)):
            # A look of before the last "not yet" can't reach back behind it.
            by = min(by, max(number - _turned(stuff, one.stage), after + 1))
    return after, by, dropped


def _dents(seen: Iterable[Seen], stuff: Material, season: Season) -> tuple[Dents, ...]:
    spread = _spread_of(stuff)
    return tuple(Dents(float(season.day_of(one.day)), one.dented or 0, one.pressed, spread)
                 for one in seen if one.pressed)


def own_dates(seen: Iterable[Seen], stuff: Material, now: Season,
              unseen: float = UNSEEN) -> tuple[tuple[int, Observed], ...]:
    """The date of each earlier season in which it was ripe at some time, oldest first.

    Known between two visits it is their middle; with dents, the mean of what fits them.
    unseen: how long before the first ripe fruit that was seen it may have been ripe, if nobody looked before [d].
    """
    by_year: dict[int, list[Seen]] = {}
    for one in seen:
        by_year.setdefault(season_of(one.day, now.south).year, []).append(one)
    found = []
    for year in sorted(year for year in by_year if year < now.year):
        season = Season(year, now.south)
        after, by, _ = _bounds(by_year[year], stuff, season)
        dents = _dents(by_year[year], stuff, season)
        told = [one for one in dents if 0 < one.dented < one.pressed]
        if by < math.inf:
            first = by - unseen if after == -math.inf else max(after, by - 2 * unseen)
            found.append((year, _observed(first, by, dents)))
        elif told:
            middle = told[len(told) // 2].day
            found.append((year, _observed(max(after, middle - 45), middle + 45, dents)))
    return tuple(found)


def _observed(after: float, by: float, dents: tuple[Dents, ...]) -> Observed:
    if not dents:
        return interval(after, by)
    # A prior so wide that it says nothing leaves what the dents and the visits say.
    return Belief((after + by) / 2, 1000.0, after, by, dents).moments()


def _own_reason(years: Sequence[tuple[int, Observed]], south: bool, spread: float) -> Reason:
    told = ", ".join(f"{short_day(Season(year, south).date_of(one.day))} {year}" for year, one in years)
    inner = sum(1 / (YEARLY**2 + one.variance) for _, one in years)
    weight = inner / (inner + 1 / spread**2)
    return Reason(tr("own earlier years"), told, "worked out",
                  tr("they weigh {weight:.0f} % against the calendar; from year to year ± {spread:.0f} days is assumed",
                     weight=100 * weight, spread=YEARLY),
                  "practice")


def _look_reasons(seen: Iterable[Seen]) -> list[Reason]:
    reasons = []
    for one in sorted(seen, key=lambda one: one.day):
        day = short_day(one.day)
        if one.pressed:
            reasons.append(Reason(tr("thumb test on {day}", day=day),
                                  tr("{dented} of {pressed} kept the dent", dented=one.dented,
                                     pressed=one.pressed), "counted"))
        elif one.stage in _NOT_YET:
            reasons.append(Reason(tr("seen on {day}", day=day), tr("not ready yet"), "said"))
        elif one.stage is not None or one.kg is not None:
            name = tr("seen on {day}", day=day) if one.kg is None else tr("gathered on {day}", day=day)
            reasons.append(Reason(name, tr("over") if one.stage == "over" else tr("ready"), "said"))
    return reasons


def _within(season: Season, seen: Sequence[Seen]) -> tuple[Seen, ...]:
    return tuple(one for one in seen if season_of(one.day, season.south).year == season.year)


def lasts_of(stuff: Material, row: CalendarRow) -> float:
    """How long one can gather once it is ready [d]: of hulls until the late ones have fallen and turned."""
    if row.lasts is not None:
        return row.lasts[1]
    lag, sound, black = (stuff.parameter(name) for name in ("fall-after", "stay-sound", "keep-fallen"))
    return (2 * _spread_of(stuff) + (lag.central if lag else 4.0)
            + (black.central if black else 6.0) + (sound.central if sound else 3.0) / 2)


def _sound_for(stuff: Material, row: CalendarRow) -> float:
    if row.lasts is not None:
        return row.lasts[1]
    lag, sound = stuff.parameter("fall-after"), stuff.parameter("stay-sound")
    return (lag.central if lag else 4.0) + (sound.central if sound else 3.0)


def _sound_by(day: dt.date, seen: Sequence[Seen], stuff: Material) -> dt.date:
    """Until when it is sound: ``day`` by the reckoning, or later if somebody looked and most of it still was."""
    stays = stuff.parameter("stay-sound")
    if stays is None:
        return day
    return max([day, *(one.day + dt.timedelta(days=round(stays.central)) for one in seen if one.found_ready)])


def forecast(place: Position | None, stuff: Material, seen: Iterable[Seen], today: dt.date, *,
             hopkins: Hopkins = "none", warm: Warm | None = None) -> Forecast | None:
    """When a tree is ready in the season of today, or in the next one if that is over; None without a season.

    place: where it stands; stuff: its material, with the parameters in force; seen: all looks and lots of it.
    """
    row = calendar_row(stuff.key)
    if row is None:
        return None
    known = tuple(one for one in seen if one.day <= today)
    season = season_of(today, is_south(place))
    told = _forecast(row, place, stuff, known, season, today, hopkins, warm)
    if told.ends < today:
        return _forecast(row, place, stuff, known, Season(season.year + 1, season.south), today, hopkins, None)
    return told


def _forecast(row: CalendarRow, place: Position | None, stuff: Material, seen: tuple[Seen, ...], season: Season,
              today: dt.date, hopkins: Hopkins, warm: Warm | None) -> Forecast:
    mean, spread, reasons = prior_of(row, place, hopkins)
    prior = Belief(mean, math.hypot(spread, YEARLY))
    lasts, number = lasts_of(stuff, row), float(season.day_of(today))
    if row.kind == "sap":
        seen = tuple(one for one in seen if one.kg is None)  # bark is brought in whenever wood was felled
    years = own_dates(seen, stuff, season, max(UNSEEN, lasts / 2))
    if years:
        reasons.append(_own_reason(years, season.south, spread))
    usual, known = updated(mean, spread, [one for _, one in years], YEARLY)
    this_year = math.hypot(known, YEARLY)
    if warm is not None:
        usual, this_year = updated(usual, this_year, [Observed(warm.mean)], warm.sd)
        reasons.append(Reason(tr("warmth of this year"), warm.words, "worked out",
                              tr("degree days at the own earlier dates; no sum is published"), "derived"))
    now = _within(season, seen)
    after, by, dropped = _bounds(now, stuff, season)
    belief = Belief(usual, this_year, after, by, _dents(now, stuff, season))
    reasons += _look_reasons(now)
    if dropped:
        reasons.append(Reason(tr("looks that disagree"), dropped, "said"))
    p10, p50, p90 = (belief.quantile(share) for share in (0.1, 0.5, 0.9))
    ready = max(0.0, belief.chance(number) - belief.chance(number - lasts))
    if any(one.stage == "over" for one in now):
        ready = 0.0
    return Forecast(
        season, season.date_of(p10), season.date_of(p50), season.date_of(p90), ready,
        _sound_by(season.date_of(p50 + _sound_for(stuff, row)), now, stuff), season.date_of(p90 + lasts), belief, prior,
        lasts, row.kind, years, now, tuple(reasons))
