"""In which order to visit places so that the way is short: exact for few of them, close to it for many.

The law of this file:

1. A path begins at node 0 and ends at the last node; the nodes between them are the stops.
   A way back to the start has the start a second time as its last node, a way that may end anywhere has a last
   node at no distance from any other (:func:`matrix` makes both).
2. The same legs give the same order, on every machine: nothing is drawn by lot.
3. An improvement step never makes a path longer.

Up to :data:`EXACT` stops the order is the best there is (M. Held and R. M. Karp, A dynamic programming approach to
sequencing problems, J. SIAM 10 (1962) 196-210).
For more, paths to the nearest unvisited neighbour, one for each first stop, are shortened by turning a piece round
(2-opt; G. A. Croes 1958) and by moving a piece of up to three stops (Or-opt; I. Or 1976); the best of them is then
shaken at places that follow a fixed rule, shortened again, and kept where that gained (O. Martin, S. W. Otto and
E. W. Felten 1991). All three are from memory.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from itertools import pairwise
from typing import Literal, TypeVar

__all__ = ["EXACT", "End", "Legs", "exact_costs", "exact_path", "improvements", "length", "matrix", "nearest_path",
           "short_path"]

Legs = Sequence[Sequence[float]]
End = Literal["start", "other", "open"]
_T = TypeVar("_T")

#: Up to so many stops every order is weighed [1].
EXACT = 12
#: Of a stop's neighbours only the nearest are tried as its new neighbours [1].
_NEAR = 10
#: The longest piece that is moved as a whole [stops].
_PIECE = 3
#: So many stops are placed in all, over the first stops that are tried, before it is good enough [1].
_EFFORT = 3000
#: So often the best path is shaken [1]; the longest of the two pieces that change places then [stops].
_SHAKES, _SHAKEN = 1200, 25
# Less gain than this is a rounding error of the sum.
_LEAST = 1e-9


def matrix(places: Sequence[_T], between: Callable[[_T, _T], float], *, end: End = "start") -> list[list[float]]:
    """The legs of a path [the unit of ``between``]: the start, the stops, and the end of the law above.

    places: the start first, then the stops; for ``end="other"`` the end comes last.

    >>> matrix([0, 3, 7], lambda a, b: abs(a - b), end="open")
    [[0.0, 3.0, 7.0, 0.0], [3.0, 0.0, 4.0, 0.0], [7.0, 4.0, 0.0, 0.0], [0.0, 0.0, 0.0, 0.0]]
    """
    count = len(places)
    legs = [[0.0] * count for _ in range(count)]
    for a in range(count):
        for b in range(a + 1, count):
            legs[a][b] = legs[b][a] = float(between(places[a], places[b]))
    if end == "other":
        return legs
    last = [0.0] * count if end == "open" else list(legs[0])
    for row, leg in zip(legs, last, strict=True):
        row.append(leg)
    return [*legs, [*last, 0.0]]


def length(path: Sequence[int], legs: Legs) -> float:
    """The sum of the legs of a path, in their unit."""
    return sum(legs[a][b] for a, b in pairwise(path))


def exact_costs(legs: Legs) -> tuple[list[list[float]], list[float]]:
    """For every set of stops (bit ``k`` is stop ``k + 1``): the shortest way from the start over all of them.

    Gives the ways that end at each stop, and the ways that go on to the end, in the unit of the legs.
    """
    stops = len(legs) - 2
    last = len(legs) - 1
    none = float("inf")
    ways = [[none] * stops for _ in range(1 << stops)]
    for stop in range(stops):
        ways[1 << stop][stop] = legs[0][stop + 1]
    between = [[legs[a + 1][b + 1] for a in range(stops)] for b in range(stops)]
    whole = [legs[0][last]] + [none] * ((1 << stops) - 1)
    home = [legs[stop + 1][last] for stop in range(stops)]
    bits = [(stop, 1 << stop) for stop in range(stops)]
    for group in range(1, 1 << stops):
        here = ways[group]
        members = [stop for stop, bit in bits if group & bit]
        whole[group] = min([here[stop] + home[stop] for stop in members])
        for stop, bit in bits:
            if not group & bit:
                row = between[stop]
                ways[group | bit][stop] = min([here[before] + row[before] for before in members])
    return ways, whole


def exact_path(legs: Legs, group: int | None = None,
               costs: tuple[list[list[float]], list[float]] | None = None) -> list[int]:
    """The shortest path over all stops, or over a set of them (bit ``k`` is stop ``k + 1``).

    costs: what :func:`exact_costs` gave for the same legs, if that is at hand.

    >>> exact_path(matrix([0, 7, 3, 9], lambda a, b: abs(a - b), end="open"))
    [0, 2, 1, 3, 4]
    """
    stops, last = len(legs) - 2, len(legs) - 1
    ways, _ = costs or exact_costs(legs)
    group = (1 << stops) - 1 if group is None else group
    path, after = [last], last
    while group:
        here = ways[group]
        members = [stop for stop in range(stops) if group >> stop & 1]
        stop = min(members, key=lambda stop: here[stop] + legs[stop + 1][after])
        path.append(stop + 1)
        after, group = stop + 1, group & ~(1 << stop)
    return [*path, 0][::-1]


def nearest_path(legs: Legs, first: int) -> list[int]:
    """From the start to one stop, then always to the nearest that is left, then to the end."""
    path, left = [0, first], set(range(1, len(legs) - 1)) - {first}
    while left:
        row = legs[path[-1]]
        path.append(min(left, key=lambda stop: (row[stop], stop)))
        left.remove(path[-1])
    return [*path, len(legs) - 1]


def improvements(path: list[int], legs: Legs) -> Iterator[float]:
    """Shortens a path in place, step by step, and tells how much each step gained, until no step gains."""
    yield from _Shortening(path, legs).steps()


def short_path(legs: Legs) -> list[int]:
    """A short path over all stops: the shortest up to :data:`EXACT` of them, else the best that was found."""
    stops = len(legs) - 2
    if stops <= EXACT:
        return exact_path(legs)
    near = _neighbours(legs)
    best: list[int] = []
    shortest = float("inf")
    for first in _spread(stops, max(4, _EFFORT // stops)):
        path = nearest_path(legs, first)
        for _ in _Shortening(path, legs, near).steps():
            pass
        found = length(path, legs)
        if found < shortest - _LEAST:
            best, shortest = path, found
    return _shaken(best, legs, near)


def _shaken(best: list[int], legs: Legs, near: list[list[int]]) -> list[int]:
    """The path after two neighbouring pieces of it changed places many times, wherever that made it shorter."""
    stops, turn = len(legs) - 2, 1
    shortening = _Shortening(best, legs, near)
    for _ in range(_SHAKES):
        places = []
        for most in (stops - 2, _SHAKEN, _SHAKEN):
            turn = turn * 48271 % 2147483647  # S. K. Park and K. W. Miller, CACM 31 (1988), with the factor of 1993
            places.append(1 + turn % most)
        first = places[0]
        middle = min(first + places[1], stops)
        end = min(middle + places[2], stops + 1)
        before = list(shortening.path)
        gained = shortening.swap(first, middle, end)
        if gained < -_LEAST:
            shortening.put_back(before)
    return shortening.path


def _spread(stops: int, most: int) -> list[int]:
    """So many first stops at most, spread evenly over all of them."""
    count = min(stops, most)
    return [1 + turn * stops // count for turn in range(count)]


def _neighbours(legs: Legs) -> list[list[int]]:
    """For every node the stops and ends nearest to it, nearest first."""
    nodes = range(len(legs))
    return [sorted((other for other in nodes if other != node), key=lambda other: (legs[node][other], other))[:_NEAR]
            for node in nodes]


class _Shortening:
    """One path while it is shortened: the nodes in their order, and where each stands."""

    def __init__(self, path: list[int], legs: Legs, near: list[list[int]] | None = None) -> None:
        self.path, self.legs = path, legs
        self.near = near if near is not None else _neighbours(legs)
        self.at = [0] * len(legs)
        self._renumber(0, len(path))

    def swap(self, first: int, middle: int, end: int) -> float:
        """Two neighbouring pieces, from ``first`` and from ``middle`` to ``end``, change places; then it is shortened.

        Gives what was gained in all, below zero if it is longer now.
        """
        path, legs = self.path, self.legs
        ends = (path[first - 1], path[first], path[middle - 1], path[middle], path[end - 1], path[end])
        a, b, c, d, e, f = ends
        gained = legs[a][b] + legs[c][d] + legs[e][f] - legs[a][d] - legs[e][b] - legs[c][f]
        path[first:end] = path[middle:end] + path[first:middle]
        self._renumber(first, end)
        return gained + sum(self.steps(ends))

    def put_back(self, path: list[int]) -> None:
        """Take another path over the same nodes."""
        self.path[:] = path
        self._renumber(0, len(path))

    def steps(self, beside: Sequence[int] | None = None) -> Iterator[float]:
        """Every step that gains, looked for beside these nodes (all, if not given), and where it changed something."""
        waiting = list(self.path if beside is None else beside)
        queued = set(waiting)
        while waiting:
            node = waiting.pop()
            queued.discard(node)
            while (found := self._turn(node) or self._move(node)) is not None:
                gain, touched = found
                yield gain
                for other in touched:
                    if other not in queued:
                        queued.add(other)
                        waiting.append(other)

    def _renumber(self, first: int, end: int) -> None:
        at, path = self.at, self.path
        for place in range(first, end):
            at[path[place]] = place

    def _turn(self, node: int) -> tuple[float, tuple[int, ...]] | None:
        """Turns a piece round that begins behind this node, or ends before it, if that gains."""
        path, at, legs, row = self.path, self.at, self.legs, self.legs[node]
        here, last = at[node], len(path) - 1
        for other in self.near[node]:
            there = at[other]
            # The new leg from this node to the other takes the place of the one behind it, or before it.
            if here < last and row[path[here + 1]] > row[other] and there < last:
                first, end = (here, there) if here < there else (there, here)
                gain = (legs[path[first]][path[first + 1]] + legs[path[end]][path[end + 1]]
                        - legs[path[first]][path[end]] - legs[path[first + 1]][path[end + 1]])
                if gain > _LEAST:
                    return gain, self._reverse(first + 1, end)
            if here > 0 and row[path[here - 1]] > row[other] and there > 0:
                first, end = (here, there) if here < there else (there, here)
                gain = (legs[path[first - 1]][path[first]] + legs[path[end - 1]][path[end]]
                        - legs[path[first - 1]][path[end - 1]] - legs[path[first]][path[end]])
                if gain > _LEAST:
                    return gain, self._reverse(first, end - 1)
        return None

    def _reverse(self, first: int, end: int) -> tuple[int, ...]:
        path = self.path
        touched = (path[first - 1], path[first], path[end], path[end + 1])
        path[first:end + 1] = path[first:end + 1][::-1]
        self._renumber(first, end + 1)
        return touched

    def _move(self, node: int) -> tuple[float, tuple[int, ...]] | None:
        """Moves a piece that begins or ends with this node to beside one of its neighbours, if that gains."""
        path, at, legs = self.path, self.at, self.legs
        here, last = at[node], len(path) - 1
        if here in (0, last):
            return None
        for size in range(_PIECE):
            for first, end in {(here, here + size), (here - size, here)}:
                if first < 1 or end >= last:
                    continue
                before, after, a, b = path[first - 1], path[end + 1], path[first], path[end]
                freed = legs[before][a] + legs[b][after] - legs[before][after]
                if freed <= _LEAST:
                    continue
                far = b if node == a else a
                for other in self.near[node]:
                    if legs[node][other] >= freed:
                        break
                    there = at[other]
                    if first <= there <= end:
                        continue
                    # The piece goes in before the other or behind it, its end that is this node beside it.
                    for place in (there, there + 1):
                        if not 0 < place <= last or first <= place <= end + 1:
                            continue
                        beyond = path[place - 1] if place == there else path[place]
                        gain = freed - (legs[node][other] + legs[far][beyond] - legs[other][beyond])
                        if gain > _LEAST:
                            turned = (node == a) == (place == there) and a != b
                            return gain, self._carry(first, end, place, turned=turned)
        return None

    def _carry(self, first: int, end: int, place: int, *, turned: bool) -> tuple[int, ...]:
        path = self.path
        piece = path[first:end + 1]
        touched = (path[first - 1], path[end + 1], piece[0], piece[-1], path[place - 1], path[place])
        if turned:
            piece.reverse()
        if place <= first:
            path[place:end + 1] = piece + path[place:first]
            self._renumber(place, end + 1)
        else:
            path[first:place] = path[end + 1:place] + piece
            self._renumber(first, place)
        return touched
