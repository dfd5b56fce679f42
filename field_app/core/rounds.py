"""Which trees today: a round over the sites where something lies, within the light, the time and the load.

The law of this file:

1. No stop without leave: where it was refused, has ended or was never asked, the site is left out, and it says so.
   What was agreed is a cap on what is taken.
2. Legs are straight lines on the ellipsoid. A detour factor makes a way of them, and a speed a time; the person can
   set both. They are not paths: nobody knows of the river.
3. What is left out is named with its reason.
4. A way back to the start is as long in both directions; it is walked in the one on which less is carried far.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import accumulate, pairwise
from types import MappingProxyType
from typing import Any, Literal

from field_app.core.choosing import Choice, Limits, Offer, choose
from field_app.core.day_text import clock_time
from field_app.core.daylight import MARGIN, Daylight, daylight
from field_app.core.estimate import Range
from field_app.core.positions import Position, bearing_deg, distance_m
from field_app.core.sites import LeaveState
from field_app.core.totals import total
from field_app.core.tours import End, matrix
from field_app.core.units import show_si
from field_app.words import later, tr

__all__ = ["NOT_PATHS", "PACES", "Candidate", "LeftOut", "Leg", "Means", "Pace", "Round", "Stop", "Wish", "plan_round"]

Means = Literal["foot", "bicycle", "car"]
Why = Literal["refused", "expired", "not-asked", "taken", "nowhere", "nothing", "not-worth", "time", "load", "enough"]

NOT_PATHS = later("Legs are straight lines, made longer by a factor; they are not paths. Look where one can walk or "
                  "drive.")
#: A site of which this share of the worth would be lost by the next possible day is due [1].
_LOSING = 0.1
#: Less than this is nothing to walk for [kg].
_NOTHING = 0.05
#: What is gathered so near to the start can wait there until one comes back [m] (common practice, no source).
_AT_HAND = 100.0
# Less than this is a rounding error [kg].
_ROUNDING = 1e-5


@dataclass(frozen=True, slots=True)
class Pace:
    """How one gets along: speed [km/h], detour: way over straight line [1], stop: time at one site [min],
    hour: what one more hour must bring to be worth the way [kg].
    """

    means: Means = "foot"
    speed: float = 4.0
    detour: float = 1.3
    stop: float = 20.0
    hour: float = 2.0

    def minutes(self, metres: float) -> float:
        """Time for a straight line [m], with the detour [min]."""
        return metres * self.detour / (self.speed * 1000 / 60)


#: All of these are common practice, no source; the person sets them.
PACES: Mapping[Means, Pace] = MappingProxyType({
    "foot": Pace(), "bicycle": Pace("bicycle", speed=12.0), "car": Pace("car", speed=30.0, detour=1.4, hour=4.0)})


@dataclass(frozen=True, slots=True)
class Candidate:
    """A site as it may be on a round today.

    expected: what one can bring home from it [kg], or None if nothing is known;
    worth: the dye in that, lost: what of the worth would be gone by the next possible day, in the same unit;
    due: whether the forecast says to go; why: what it says, in plain words;
    cap: what the agreement still allows [kg], or None if no amount was agreed.
    """

    site: str
    name: str
    position: Position | None
    expected: Range | None
    worth: float = 0.0
    lost: float = 0.0
    due: bool = True
    leave: LeaveState = "given"
    cap: float | None = None
    why: str = ""

    @property
    def brings(self) -> Range:
        """What may be taken [kg]: the expected mass, up to what was agreed."""
        return _capped(self.expected or Range(0.0, 0.0, 0.0, "kg"), self.cap)


@dataclass(frozen=True, slots=True)
class Leg:
    """From one place to the next: straight line [m], way with the detour [m], first bearing [deg], time [min]."""

    straight_m: float
    way_m: float
    bearing_deg: float
    minutes: float


@dataclass(frozen=True, slots=True)
class Stop:
    """A stop of a round: how one gets there and when, and what one takes there [kg].

    notes: such as that the agreed amount, or what can be carried, is less than what lies there.
    """

    candidate: Candidate
    leg: Leg
    arrive: dt.datetime
    leave: dt.datetime
    expected: Range
    notes: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class LeftOut:
    """A site that is not on the round, and why: a key and words."""

    candidate: Candidate
    why: Why
    words: str


@dataclass(frozen=True, slots=True)
class Wish:
    """What the person asks for. end: "start" to come back, "open" to end anywhere, or another place;
    until: when to be back; carry: what can be carried [kg]; need: what is enough [kg].
    """

    end: Literal["start", "open"] | Position = "start"
    until: dt.datetime | None = None
    carry: float | None = None
    need: float | None = None
    pace: Pace = PACES["foot"]
    margin: dt.timedelta = MARGIN

    @property
    def need_is_less(self) -> bool:
        """Whether the need, and not what can be carried, says how much is taken."""
        return self.need is not None and (self.carry is None or self.need <= self.carry)


@dataclass(frozen=True, slots=True)
class Round:
    """The stops in their order, the last leg (None where it ends at the last stop), and what is to be known.

    total: what is brought in all [kg]; out_by: when to be out, before sunset, or None if the sun doesn't set.
    """

    start: Position
    begins: dt.datetime
    wish: Wish
    stops: tuple[Stop, ...]
    home: Leg | None
    ends: dt.datetime
    left_out: tuple[LeftOut, ...]
    light: Daylight
    cautions: tuple[str, ...]

    @property
    def total(self) -> Range:
        """What is brought in all [kg]."""
        return total((stop.expected for stop in self.stops), unit="kg")

    @property
    def way_m(self) -> float:
        """The whole way with the detour [m]."""
        return sum(leg.way_m for leg in (*(stop.leg for stop in self.stops), *([self.home] if self.home else [])))

    @property
    def out_by(self) -> dt.datetime | None:
        """By when one should be out, or None if the sun doesn't set on that day."""
        return self.light.out_by(self.wish.margin)

    def as_json(self) -> dict[str, Any]:
        """The same as plain data, for programs: distances in [m], bearings in [deg], masses in [kg]."""
        return {
            "begins": _time(self.begins), "ends": _time(self.ends),
            "stops": [{"site": stop.candidate.name, "site_id": stop.candidate.site, **_leg_json(stop.leg),
                       "arrive": _time(stop.arrive), "expected": stop.expected.as_json(), "due": stop.candidate.due,
                       "why": stop.candidate.why, "notes": list(stop.notes)} for stop in self.stops],
            "last_leg": None if self.home is None else _leg_json(self.home),
            "total": self.total.as_json(), "way_m": round(self.way_m, 1),
            "left_out": [{"site": one.candidate.name, "site_id": one.candidate.site, "why": one.why, "words": one.words}
                         for one in self.left_out],
            "sunset": _time(self.light.sunset), "dusk": _time(self.light.dusk), "out_by": _time(self.out_by),
            "cautions": list(self.cautions),
        }


def _time(moment: dt.datetime | None) -> str | None:
    return None if moment is None else moment.isoformat(timespec="seconds")


def _leg_json(leg: Leg) -> dict[str, float]:
    return {"leg_m": round(leg.straight_m, 1), "way_m": round(leg.way_m, 1),
            "bearing_deg": round(leg.bearing_deg, 1), "minutes": round(leg.minutes, 1)}


def _capped(mass: Range, cap: float | None) -> Range:
    if cap is None or mass.high <= cap:
        return mass
    return Range(min(mass.low, cap), min(mass.central, cap), cap, mass.unit, mass.reasons)


def plan_round(candidates: Sequence[Candidate], start: Position, begins: dt.datetime,
               wish: Wish | None = None) -> Round:
    """A round from ``start`` that begins at an aware time, on the day and in the zone of that time."""
    wish = wish or Wish()
    left_out = [LeftOut(one, *why) for one in candidates if (why := _not_at_all(one)) is not None]
    open_to = [one for one in candidates if _not_at_all(one) is None]
    light = daylight(start, begins.date(), begins.tzinfo or dt.UTC)
    places = [start, *(one.position for one in open_to if one.position is not None)]
    end: End = "other" if isinstance(wish.end, Position) else wish.end
    if isinstance(wish.end, Position):
        places.append(wish.end)
    legs = [[wish.pace.minutes(metres) for metres in row] for row in matrix(places, distance_m, end=end)]
    limits = Limits(None if wish.until is None else (wish.until - begins).total_seconds() / 60,
                    wish.carry, wish.need, wish.pace.stop, wish.pace.hour)
    choice = choose([_offer(one) for one in open_to], legs, limits)
    if end == "start":
        choice = _lighter(choice, legs, wish.pace.minutes(_AT_HAND))
    stops, at, now = [], start, begins
    for node, kg in zip(choice.path[1:-1], choice.kg, strict=True):
        stop = _stop(open_to[node - 1], at, now, kg, wish)
        stops.append(stop)
        at, now = places[node], stop.leave
    home = None
    if wish.end != "open" and (stops or isinstance(wish.end, Position)):
        home = _leg(at, wish.end if isinstance(wish.end, Position) else start, wish.pace)
        now += dt.timedelta(minutes=home.minutes)
    on_it = {stop.candidate.site for stop in stops}
    left_out += [LeftOut(one, *_not_this_time(one, number, choice, legs, limits, wish))
                 for number, one in enumerate(open_to) if one.site not in on_it]
    cautions = [*(light.cautions(begins, now, wish.margin) if stops else ()), *([tr(NOT_PATHS)] if stops else [])]
    if wish.carry is not None and sum(stop.expected.high for stop in stops) > wish.carry >= sum(
            stop.expected.central for stop in stops) > 0:
        cautions.insert(0, tr("There may be more than {mass}: take what would be lost first.",
                              mass=show_si(wish.carry, "kg")))
    return Round(start, begins, wish, tuple(stops), home, now, tuple(left_out), light, tuple(cautions))


def _lighter(choice: Choice, legs: Sequence[Sequence[float]], near: float) -> Choice:
    """Of the two directions of a way back to the start, the one on which less is carried far; else the nearer first.

    What is gathered within ``near`` [min] of the start can wait there for the way back.
    """
    def carried(path: Sequence[int], kg: Sequence[float]) -> tuple[float, float]:
        loads = accumulate((mass if legs[0][node] > near else 0.0 for node, mass in zip(path[1:-1], kg, strict=True)),
                           initial=0.0)
        effort = sum(load * legs[a][b] for load, (a, b) in zip(loads, pairwise(path), strict=True))
        return round(effort, 3), legs[0][path[1]]

    turned = (choice.path[0], *choice.path[-2:0:-1], choice.path[-1])
    if carried(turned, choice.kg[::-1]) < carried(choice.path, choice.kg):
        return replace(choice, path=turned, kg=choice.kg[::-1])
    return choice


def _offer(one: Candidate) -> Offer:
    mass = one.brings.central
    share = mass / one.expected.central if one.expected and one.expected.central else 0.0
    worth, lost = one.worth * share, one.lost * share
    losing = lost >= _LOSING * worth > 0
    return Offer(mass, worth, lost if losing else 0.0, one.due or losing)


def _leg(a: Position, b: Position, pace: Pace) -> Leg:
    straight = distance_m(a, b)
    return Leg(straight, straight * pace.detour, bearing_deg(a, b), pace.minutes(straight))


def _stop(one: Candidate, at: Position, now: dt.datetime, kg: float, wish: Wish) -> Stop:
    assert one.position is not None  # sites without one are left out
    leg = _leg(at, one.position, wish.pace)
    arrive = now + dt.timedelta(minutes=leg.minutes)
    notes = []
    if one.cap is not None and one.expected is not None and one.expected.high > one.cap:
        notes.append(tr("{mass} at most, as agreed.", mass=show_si(one.cap, "kg")))
    brings = one.brings
    if kg < brings.central - _ROUNDING:
        mass = show_si(kg, "kg")
        notes.append(tr("Take {mass}: more is not needed.", mass=mass) if wish.need_is_less
                     else tr("Take {mass}: more can't be carried.", mass=mass))
        brings = _capped(brings, kg)
    return Stop(one, leg, arrive, arrive + dt.timedelta(minutes=wish.pace.stop), brings, tuple(notes))


_LEAVE: Mapping[LeaveState, str] = MappingProxyType({
    "refused": later("leave was refused: don't gather there"), "expired": later("leave has ended: ask again"),
    "not-asked": later("leave was not asked yet: ask first")})


def _not_at_all(one: Candidate) -> tuple[Why, str] | None:
    """Why a site can't be on any round today, or None if it can."""
    if one.leave != "given":
        return one.leave, tr(_LEAVE[one.leave])
    if one.cap is not None and one.cap < _NOTHING:
        return "taken", tr("what was agreed is taken already: ask again")
    if one.position is None:
        return "nowhere", tr("where it is was not noted")
    if one.brings.central < _NOTHING:
        return "nothing", one.why or tr("nothing is expected there today")
    return None


def _not_this_time(one: Candidate, number: int, choice: Choice, legs: Sequence[Sequence[float]], limits: Limits,
                   wish: Wish) -> tuple[Why, str]:
    """Why a site where one may gather is not on this round."""
    if sum(choice.kg) >= limits.room - _ROUNDING:
        if wish.need_is_less:
            return "enough", tr("it is enough without it")
        return "load", tr("no more than {mass} can be carried", mass=show_si(wish.carry or 0.0, "kg"))
    adds = choice.extra[number]
    if wish.until is not None and limits.minutes is not None and choice.minutes + adds > limits.minutes:
        alone = legs[0][number + 1] + legs[number + 1][-1] + limits.stop
        far = alone > limits.minutes
        return "time", (tr("too far to be back by {time}", time=clock_time(wish.until)) if far
                        else tr("no time for it by {time}", time=clock_time(wish.until)))
    kg = min(one.brings.central, limits.room - sum(choice.kg))
    told = {"minutes": adds, "mass": show_si(kg, "kg")}
    return "not-worth", (
        tr("not worth the way: {minutes:.0f} minutes more for {mass}", **told) if _offer(one).due
        else tr("not due, and not worth the way: {minutes:.0f} minutes more for {mass}", **told))
