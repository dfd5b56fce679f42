"""What falls, how it rots, and when to come for it.

The law of this file:

1. The fruits of a tree fall around its date, ``fall-after`` days later, with the crop's own spread; since the date
   itself is not certain, the curve is the mean over what is believed of it.
2. What has fallen is sound at first, then browned, then black: the share that is still sound falls from one to none
   between the ends of ``stay-sound``, that of black rises between the ends of ``keep-fallen``, the rest is browned.
3. Warmth halves these days for every 10 °C above 15 °C, and doubles them below (common practice, no source).
4. Worth is by the factors of the table of ripeness: browned is worth less, not lost; black begins at the high end
   of its factor and is rained out to the low end within three weeks (common practice, no source).
5. A visit takes all that lies there; the best visits are found exactly, by going over all days.
"""

from __future__ import annotations

import datetime as dt
import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache

from field_app.core.belief import Belief
from field_app.core.cloth import shades
from field_app.core.estimate import Range, Reason, exact, product, quotient
from field_app.core.looks import GROUND
from field_app.core.materials import RIPENESS, Material
from field_app.core.ripeness import Forecast
from field_app.core.units import show_number, show_si
from field_app.words import later, tr

__all__ = ["Curve", "Ground", "Rot", "Visit", "crop_of", "curve_of", "falls", "ground_on", "ground_range", "plans",
           "rot_of", "spread_evenly", "warm_factor"]

_PRACTICE = later("common practice, no source")
#: Days until black hull is rained out (common practice, no source) [d].
_RAIN = 21.0


def falls(stuff: Material) -> bool:
    """Whether its fruits fall and rot, so that the days matter."""
    return stuff.parameter("fall-after") is not None


def warm_factor(mean_c: float | None) -> float:
    """By how much the days of rotting are stretched at a mean temperature [°C], 1 if it is not known [1].

    >>> warm_factor(25.0), warm_factor(None)
    (0.5, 1.0)
    """
    return 1.0 if mean_c is None else min(2.0, max(0.5, 2 ** ((15 - mean_c) / 10)))


@dataclass(frozen=True, slots=True)
class Rot:
    """How long fallen hull stays sound, and when it is black: each as the first and the last day [d]."""

    sound: tuple[float, float]
    black: tuple[float, float]

    def shares(self, age: float) -> tuple[float, float, float]:
        """The shares that are sound, browned and black after so many days on the ground [1]."""
        sound = 1 - _ramp(age, *self.sound)
        black = min(_ramp(age, *self.black), 1 - sound)
        return sound, 1 - sound - black, black

    def worth(self, age: float, end: str = "central") -> float:
        """What such hull is worth beside firm green [1]; end: low, central or high of the factors."""
        sound, browned, black = self.shares(age)
        firm, soft, (low, high) = _factors()
        if end == "low":
            return sound * firm[0] + browned * soft[0] + black * low
        if end == "high":
            return sound * firm[1] + browned * soft[1] + black * high
        rained_out = high - (high - low) * _ramp(age, self.black[0], self.black[0] + _RAIN)
        return sound * sum(firm) / 2 + browned * sum(soft) / 2 + black * rained_out


def _ramp(age: float, first: float, last: float) -> float:
    return min(1.0, max(0.0, (age - first) / (last - first))) if last > first else float(age >= first)


@cache
def _factors() -> tuple[tuple[float, float], ...]:
    return tuple((RIPENESS[key].strength_low, RIPENESS[key].strength_high) for key in ("fallen", "browned", "black"))


def rot_of(stuff: Material, factor: float = 1.0) -> Rot:
    """How a material rots on the ground; factor: by which its days are stretched [1]. ValueError if it never falls."""
    sound, black = stuff.parameter("stay-sound"), stuff.parameter("keep-fallen")
    if sound is None or black is None:
        raise ValueError(f"{stuff.key} has no days of rotting")
    return Rot((sound.low * factor, sound.high * factor), (black.low * factor, black.high * factor))


@dataclass(frozen=True, slots=True)
class Curve:
    """The share of a crop that falls on each day [1], from the day with the number ``first`` on."""

    first: int
    shares: tuple[float, ...]

    @property
    def last(self) -> int:
        """The number of the last day on which something falls."""
        return self.first + len(self.shares) - 1

    def on(self, day: int) -> float:
        """The share that falls on a day [1]."""
        at = day - self.first
        return self.shares[at] if 0 <= at < len(self.shares) else 0.0


def _phi(z: float) -> float:
    return 0.5 * math.erfc(-z / math.sqrt(2))


def curve_of(belief: Belief, stuff: Material) -> Curve:
    """How the crop of a tree falls, day by day. ValueError if it never falls."""
    lag, spread = stuff.parameter("fall-after"), stuff.parameter("crop-spread")
    if lag is None or spread is None:
        raise ValueError(f"{stuff.key} does not fall")
    early, late = math.floor(belief.quantile(0.005)), math.ceil(belief.quantile(0.995))
    reach = 2.5 * spread.central
    # The date is taken at the middle of each day of a grid of two days: finer changes nothing that is shown.
    ends = [early + 2 * at for at in range((late - early) // 2 + 2)]
    chances = [belief.chance(end) for end in ends]
    parts = [((left + 1), right_chance - left_chance)
             for left, left_chance, right_chance in zip(ends, chances, chances[1:], strict=False)]
    first, last = math.floor(early + lag.central - reach), math.ceil(late + lag.central + reach)
    edges = {step: _phi((step - 0.5) / spread.central) for step in range(first - late - 40, last - early + 40)}
    lag_days = round(lag.central)
    shares = []
    for day in range(first, last + 1):
        offset = day - lag_days
        shares.append(sum(part * (edges[offset - middle + 1] - edges[offset - middle]) for middle, part in parts))
    total = sum(shares)
    return Curve(first, tuple(share / total for share in shares))


@dataclass(frozen=True, slots=True)
class Visit:
    """A day to come, and the share of the crop's dye that it saves [1]."""

    date: dt.date
    saves: float


def _gains(curve: Curve, rot: Rot, start: int, end: int, last_taken: int | None) -> tuple[list[int], list[list[float]]]:
    """Days to come, and what a visit on day j saves if the one before was on day i: ``gain[j][i]``.

    Index 0 of i stands for what was taken before, i + 1 for a visit on the i-th day to come.
    """
    first = max(start, curve.first)
    days = list(range(first, max(first, min(end, curve.last + 1)) + 1))
    fresh = rot.worth(0)
    horizon = days[-1] - curve.first + 1
    worths = [rot.worth(age) / fresh for age in range(horizon + 1)]
    since = curve.first - 1 if last_taken is None else last_taken
    gains = []
    for j, day in enumerate(days):
        row = [0.0] * (j + 1)
        total, at = 0.0, day
        for i in range(j, -1, -1):
            until = since if i == 0 else days[i - 1]
            while at > until and at >= curve.first:
                total += curve.on(at) * worths[day - at]
                at -= 1
            row[i] = total
        gains.append(row)
    return days, gains


def plans(forecast: Forecast, curve: Curve, rot: Rot, today: dt.date, most: int,
          last_taken: dt.date | None = None) -> tuple[tuple[Visit, ...], ...]:
    """The best one, two, ... ``most`` visits from today on, each with the share of the crop's dye that it saves [1].

    last_taken: when one last gathered there in this season, if one did.
    """
    season = forecast.season
    taken = None if last_taken is None else season.day_of(last_taken)
    days, gains = _gains(curve, rot, season.day_of(today), season.day_of(forecast.ends), taken)
    return tuple(tuple(Visit(season.date_of(days[at]), saved) for at, saved in _best(gains, visits))
                 for visits in range(1, most + 1))


def _best(gains: Sequence[Sequence[float]], visits: int) -> list[tuple[int, float]]:
    """The indices of the best days, each with what is saved then: dynamic programming over (visits, last day)."""
    count = len(gains)
    best = [row[0] for row in gains]
    back: list[list[int]] = []
    for _ in range(1, min(visits, count)):
        nexts, came = [-1.0] * count, [0] * count
        for j in range(count):
            row = gains[j]
            for i in range(j):
                if best[i] + row[i + 1] > nexts[j]:
                    nexts[j], came[j] = best[i] + row[i + 1], i
        best = nexts
        back.append(came)
    at = max(range(count), key=best.__getitem__)
    path = [at]
    for came in reversed(back):
        at = came[at]
        path.append(at)
    path.reverse()
    before = 0
    told = []
    for at in path:
        told.append((at, gains[at][before]))
        before = at + 1
    return told


def spread_evenly(forecast: Forecast, curve: Curve, rot: Rot, today: dt.date, visits: int,
                  last_taken: dt.date | None = None) -> tuple[Visit, ...]:
    """As many visits at even distances over the same days: what a plan has to beat."""
    season = forecast.season
    taken = None if last_taken is None else season.day_of(last_taken)
    days, gains = _gains(curve, rot, season.day_of(today), season.day_of(forecast.ends), taken)
    path = sorted({round((at + 1) * (len(days) - 1) / visits) for at in range(visits)})
    before, told = 0, []
    for at in path:
        told.append(Visit(season.date_of(days[at]), gains[at][before]))
        before = at + 1
    return tuple(told)


@dataclass(frozen=True, slots=True)
class Ground:
    """What lies under a tree on a day.

    kg: as fresh whole fruit [kg]; worth: air-dry, scoured cloth that it dyes at medium [kg];
    lost_by_next_day: share of the worth that is gone a day later, if nobody comes [1].
    """

    kg: Range
    worth: Range
    lost_by_next_day: float


def crop_of(stuff: Material, seasons: Sequence[float]) -> Range | None:
    """A season's crop [kg] of whole fruit: by what was gathered in own earlier seasons, or a wide default.

    seasons: what was gathered in each [kg]. None where nothing is known of it.
    """
    told = [kg for kg in seasons if kg > 0]
    if told:
        mean = sum(told) / len(told)
        # Trees bear heavily in one year and little in the next: a factor of two either way, common practice.
        factor = 2 ** math.sqrt((1 + 1 / len(told)) / 2)
        words = tr("{mass} a season, from {count}", mass=show_si(mean, "kg"), count=len(told))
        return Range(mean / factor, mean, mean * factor, "kg",
                     (Reason(tr("crop by own earlier seasons"), words, "weighed"),))
    row = stuff.parameter("crop")
    return None if row is None else row.range(tr("crop of one tree, whole fruit"))


def ground_range(count: int | None, words: str | None) -> Range | None:
    """How many lie there by a look [1]: a number, or the ends of a word."""
    if count is not None:
        return exact(float(count), "1", Reason(tr("on the ground"), str(count), "counted"))
    row = GROUND.get(words or "")
    if row is None:
        return None
    most = row.most if row.most is not None else row.least * 3
    central = math.sqrt(max(row.least, 1) * max(most, 1)) if most else 0.0
    return Range(float(row.least), central, float(most), "1", (Reason(tr("on the ground"), tr(row.words), "said"),))


def ground_on(forecast: Forecast, curve: Curve, rot: Rot, stuff: Material, crop: Range, day: dt.date, *,
              last_taken: dt.date | None = None, lay: tuple[dt.date, Range] | None = None) -> Ground:
    """What lies there on a day: what fell since one last gathered, or since one looked, with what lay there then.

    lay: the day of a look after that, and how many lay there [1].
    """
    season, number = forecast.season, forecast.season.day_of(day)
    since = curve.first - 1 if last_taken is None else season.day_of(last_taken)
    seen_at = None if lay is None else season.day_of(lay[0])
    if seen_at is not None:
        since = max(since, seen_at)
    kg = product(crop, _fallen(forecast, curve, stuff, since, number), unit="kg")
    mass = total = later = low = high = 0.0
    for at in range(max(since + 1, curve.first), number + 1):
        share, age = curve.on(at), number - at
        mass += share
        total += share * rot.worth(age)
        later += share * rot.worth(age + 1)
        low += share * rot.worth(age, "low")
        high += share * rot.worth(age, "high")
    if lay is not None and seen_at is not None and seen_at <= number:
        piece = stuff.parameter("piece-whole-fruit")
        if piece is not None and lay[1].high > 0:
            lying = product(lay[1], piece.range(tr("one whole fruit")), unit="kg")
            kg = Range(kg.low + lying.low, kg.central + lying.central, kg.high + lying.high, "kg",
                       (*kg.reasons, *lying.reasons))
            # What lay there then had lain for a while already.
            share, lain = lying.central / crop.central, number - seen_at + rot.sound[0]
            mass += share
            total += share * rot.worth(lain)
            later += share * rot.worth(lain + 1)
            low += share * rot.worth(lain, "low")
            high += share * rot.worth(lain, "high")
    if mass <= 0:
        return Ground(kg, exact(0.0, "kg"), 0.0)
    strength = Range(low / mass, total / mass, high / mass, "1",
                     (Reason(tr("strength of what lies there"), show_number(total / mass), "worked out", tr(_PRACTICE),
                             "practice"),))
    return Ground(kg, _cloth(kg, stuff, strength), 1 - later / total)


def _fallen(forecast: Forecast, curve: Curve, stuff: Material, since: int, number: int) -> Range:
    """The share of the crop that fell after one day and up to another [1]: by an early, the mean, and a late date."""
    lag, spread = stuff.parameter("fall-after"), stuff.parameter("crop-spread")
    assert lag is not None
    assert spread is not None
    central = sum(curve.on(at) for at in range(max(since + 1, curve.first), number + 1))
    ends = [central]
    for quantile in (0.1, 0.9):
        middle = forecast.belief.quantile(quantile) + lag.central
        ends.append(max(0.0, _phi((number + 0.5 - middle) / spread.central)
                        - _phi((since + 0.5 - middle) / spread.central)))
    words = f"{show_number(100 * central)} %"
    return Range(min(ends), central, max(ends), "1", (Reason(tr("fallen and lying there"), words, "worked out"),))


def _cloth(kg: Range, stuff: Material, strength: Range) -> Range:
    share, dry, air_dry = (stuff.parameter("hull-share"), stuff.parameter("dry-fresh") or stuff.parameter("dry"),
                           stuff.parameter("dry-air-dry"))
    if share is None or dry is None or air_dry is None or kg.high <= 0:
        return exact(0.0, "kg")
    hull = product(kg, share.range(tr("hull share of the fruit")), dry.range(tr("dry matter of the hull")), unit="kg")
    worth = quotient(hull, exact(air_dry.central, "1"), unit="kg")
    return next(shade for shade in shades(worth, stuff, strength) if shade.name == "medium").cloth
