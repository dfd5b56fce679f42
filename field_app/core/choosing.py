"""Which stops a round takes when there is not the time, the strength or the need for all of them.

The law of this file:

1. Stops that are due come first. If the limits don't allow them all: first what saves most of what would be lost
   by the next possible day, then what brings most dye worth, less what an hour on the way must bring.
2. A stop that is not due is added only if it is worth the way: if it brings a given mass for the time it adds.
3. With a need instead, it is the shortest round that brings so much.
4. What can be carried goes to what would be lost first, then to what is worth most for its weight.

Up to :data:`EXACT` stops every choice is weighed, with the shortest way for each; beyond, stops are added one by
one, the one that brings most for the time it adds, and then exchanged as long as that is better.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Sequence
from dataclasses import dataclass
from itertools import pairwise

from field_app.core.tours import EXACT, Legs, exact_costs, exact_path, improvements, length, short_path

__all__ = ["Choice", "Limits", "Offer", "choose"]

_HOUR = 60.0
# Less than this is a rounding error of a sum.
_LEAST = 1e-9
#: So often the stops of a large round are gone through for an exchange [1].
_PASSES = 2


@dataclass(frozen=True, slots=True)
class Offer:
    """What a stop brings if everything there is taken.

    kg: mass [kg]; worth: of that as dye, lost: what of the worth would be gone by the next possible day, both in one
    unit of the caller's, such as the cloth that it dyes; due: whether one ought to go.
    """

    kg: float
    worth: float
    lost: float = 0.0
    due: bool = True


@dataclass(frozen=True, slots=True)
class Limits:
    """minutes: for the way and the stops together [min]; carry: what can be carried [kg]; need: what is enough [kg];
    each None if there is no such limit. stop: time at one stop [min]; hour: what an hour more must bring [kg].
    """

    minutes: float | None = None
    carry: float | None = None
    need: float | None = None
    stop: float = 0.0
    hour: float = 0.0

    @property
    def room(self) -> float:
        """What is taken at most [kg]."""
        return min([kg for kg in (self.carry, self.need) if kg is not None], default=float("inf"))


@dataclass(frozen=True, slots=True)
class Choice:
    """path: nodes from the start to the end, in their order; kg: what is taken at each stop on it [kg];
    minutes: what it takes in all; extra: what each offer that was left out would add to that [min].
    """

    path: tuple[int, ...]
    kg: tuple[float, ...]
    minutes: float
    extra: dict[int, float]


def choose(offers: Sequence[Offer], legs: Legs, limits: Limits) -> Choice:
    """The stops of a round and their order. ``legs`` [min] has the start, one node for each offer, and the end."""
    return _Choosing(offers, legs, limits).choice()


class _Choosing:
    def __init__(self, offers: Sequence[Offer], legs: Legs, limits: Limits) -> None:
        self.offers, self.legs, self.limits = offers, legs, limits
        self.costs = exact_costs(legs) if len(offers) <= EXACT else None
        #: Worth of a kilogram, over all offers: by it worth is told as mass, and set against time.
        self.usual = (sum(offer.worth for offer in offers) / (sum(offer.kg for offer in offers) or 1.0)) or 1.0
        # What is filled in first: what would be lost, then what is worth most for its weight.
        self.order = sorted((at for at, offer in enumerate(offers) if offer.kg > 0), key=lambda at: (
            -offers[at].lost / offers[at].kg, -offers[at].worth / offers[at].kg, at))
        self.rank = {at: rank for rank, at in enumerate(self.order)}

    def choice(self) -> Choice:
        due = [at for at in self.order if self.offers[at].due]
        rest = [at for at in self.order if not self.offers[at].due]
        if self._fits(due):
            chosen = set(due)
        elif self.costs is not None:
            chosen = self._best_of(due)
        else:
            chosen = self._grown(due)
        kg = self._taken(self._worth_the_way(chosen, rest))
        path = self._path({at for at in kg if kg[at] > 0})
        extra = {at: self._cheapest(path, at)[0] + self.limits.stop
                 for at in range(len(self.offers)) if at + 1 not in path}
        return Choice(tuple(path), tuple(kg[node - 1] for node in path[1:-1]), self._time(path), extra)

    # What a set of stops takes and brings

    def _taken(self, chosen: Iterable[int]) -> dict[int, float]:
        """What is taken at each stop [kg]."""
        room, taken = self.limits.room, {}
        for at in sorted(chosen, key=self.rank.__getitem__):
            taken[at] = min(self.offers[at].kg, room)
            room -= taken[at]
        return taken

    def _value(self, chosen: Iterable[int], minutes: float = 0.0) -> tuple[float, ...]:
        """What a set of stops is good for that takes so long [min]; the greater the better."""
        lost = worth = mass = 0.0
        for at, kg in self._taken(chosen).items():
            share = kg / self.offers[at].kg
            lost, worth, mass = lost + share * self.offers[at].lost, worth + share * self.offers[at].worth, mass + kg
        if self.limits.need is not None:
            return round(mass, 6), -round(minutes, 6)
        # A handful that would be lost is no reason for a walk.
        return round(lost / self.usual, 1), round(worth / self.usual - minutes / _HOUR * self.limits.hour, 6)

    def _minutes(self, chosen: Collection[int], path: Sequence[int] = ()) -> float:
        """What the stops take, with the way [min]; of many stops along ``path``, if it is known."""
        stops = self.limits.stop * len(chosen)
        if self.costs is not None:
            return self.costs[1][sum(1 << at for at in chosen)] + stops
        return length(path or self._quick_path(chosen), self.legs) + stops

    def _in_time(self, minutes: float) -> bool:
        return self.limits.minutes is None or minutes <= self.limits.minutes + _LEAST

    def _fits(self, chosen: Sequence[int]) -> bool:
        mass = sum(self.offers[at].kg for at in chosen)
        if self.limits.room != float("inf") and mass > self.limits.room + _LEAST:
            return False
        return self.limits.minutes is None or self._in_time(self._minutes(chosen))

    # Ways

    def _path(self, chosen: set[int]) -> list[int]:
        if self.costs is not None:
            return exact_path(self.legs, sum(1 << at for at in chosen), self.costs)
        nodes, few = self._part(chosen)
        return [nodes[node] for node in short_path(few)]

    def _quick_path(self, chosen: Iterable[int]) -> list[int]:
        """A fairly short path over some stops: each put in where it adds least, then shortened."""
        path = [0, len(self.legs) - 1]
        for at in sorted(chosen):
            path.insert(self._cheapest(path, at)[1], at + 1)
        return self._shortened(path)

    def _shortened(self, path: list[int]) -> list[int]:
        nodes = [0, *sorted(path[1:-1]), len(self.legs) - 1]
        number = {node: at for at, node in enumerate(nodes)}
        few = [[self.legs[a][b] for b in nodes] for a in nodes]
        short = [number[node] for node in path]
        for _ in improvements(short, few):
            pass
        return [nodes[node] for node in short]

    def _part(self, chosen: Iterable[int]) -> tuple[list[int], list[list[float]]]:
        nodes = [0, *(at + 1 for at in sorted(chosen)), len(self.legs) - 1]
        return nodes, [[self.legs[a][b] for b in nodes] for a in nodes]

    def _cheapest(self, path: Sequence[int], at: int) -> tuple[float, int]:
        """What a stop adds to a path at least [min], and at which place."""
        row = self.legs[at + 1]
        return min((row[a] + row[b] - self.legs[a][b], place)
                   for place, (a, b) in enumerate(pairwise(path), 1))

    # Choosing

    def _best_of(self, due: Sequence[int]) -> set[int]:
        """The best of all sets of up to :data:`EXACT` stops."""
        best: set[int] = set()
        best_key = self._value(())
        for number in range(1, 1 << len(due)):
            chosen = [at for bit, at in enumerate(due) if number >> bit & 1]
            minutes = self._minutes(chosen)
            if self._in_time(minutes):
                key = self._value(chosen, minutes)
                if key > best_key:
                    best, best_key = set(chosen), key
        return best

    def _grown(self, due: Sequence[int]) -> set[int]:
        """A good set of many stops: grown one by one, then some of them exchanged."""
        path = self._grow([0, len(self.legs) - 1], due)
        for _ in range(_PASSES):
            before = path
            for at in [node - 1 for node in path[1:-1]]:
                without = self._shortened([node for node in path if node != at + 1])
                other = self._grow(without, [stop for stop in due if stop != at])
                if self._key(other) > self._key(path):
                    path = other
            if path is before:
                break
        return {node - 1 for node in path[1:-1]}

    def _key(self, path: Sequence[int]) -> tuple[float, ...]:
        return self._value([node - 1 for node in path[1:-1]], self._time(path))

    def _time(self, path: Sequence[int]) -> float:
        return length(path, self.legs) + self.limits.stop * (len(path) - 2)

    def _grow(self, path: list[int], offered: Iterable[int]) -> list[int]:
        """The path with stops added, the one that brings most for the time it adds first, as long as one fits."""
        left = [at for at in offered if at + 1 not in path]
        spent = self._time(path)
        tight = False
        while left:
            members = [node - 1 for node in path[1:-1]]
            now = self._value(members, spent)
            best: tuple[tuple[float, ...], int, int, float] | None = None
            for at in left:
                adds, place = self._cheapest(path, at)
                adds += self.limits.stop
                if not self._in_time(spent + adds):
                    continue
                then = self._value([*members, at], spent + adds)
                rate = tuple((b - a) / max(adds, _LEAST) for a, b in zip(now, then, strict=True))
                if then > now and (best is None or rate > best[0]):
                    best = rate, at, place, adds
            if best is None:
                if tight:
                    break
                # What was put in one by one may be shortened, and then there may be time for one more.
                path, tight = self._shortened(path), True
                spent = self._time(path)
                continue
            _, at, place, adds = best
            path = [*path[:place], at + 1, *path[place:]]
            spent, tight = spent + adds, False
            left.remove(at)
        return path

    def _worth_the_way(self, chosen: set[int], rest: Sequence[int]) -> set[int]:
        """The chosen stops, and those that are not due but worth the way."""
        left = list(rest)
        path = self._quick_path(chosen) if left and self.costs is None else []
        while left:
            now, mass = self._minutes(chosen, path), sum(self._taken(chosen).values())
            wanted = self.limits.need is not None and mass < self.limits.need - _LEAST
            best: tuple[float, int] | None = None
            for at in left:
                more = {*chosen, at}
                adds = (self._minutes(more) - now if self.costs is not None
                        else self._cheapest(path, at)[0] + self.limits.stop)
                brings = sum(self._taken(more).values()) - mass
                pays = wanted or brings * _HOUR >= self.limits.hour * adds
                rate = brings / max(adds, _LEAST)
                if brings > _LEAST and pays and self._in_time(now + adds) and (best is None or rate > best[0]):
                    best = rate, at
            if best is None:
                break
            at = best[1]
            if self.costs is None:
                path.insert(self._cheapest(path, at)[1], at + 1)
            chosen = {*chosen, at}
            left.remove(at)
        return chosen
