"""A sketch of where places lie, without a map: points on a sheet, north up, with a scale bar and labels apart.

Over the few kilometres of a round the ground is taken as flat: east and north of the first place, in metres.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from field_app.core.geodesy import WGS84_AXIS, WGS84_FLATTENING
from field_app.core.habits import habits
from field_app.core.measures import to_si, to_unit
from field_app.core.positions import Position

__all__ = ["Box", "Placed", "Sketch", "Spot", "bar_length", "nice_length", "sketch"]

#: Least width of the ground that is shown [m]: closer together, points would be drawn into the errors of their fixes.
_LEAST_M = 60.0
#: Half the size of a spot, and the room around it and between labels [px].
_SPOT, _GAP = 15.0, 3.0
#: Room that no label covers around a spot: the ring of where one stands is wider than a spot [px].
_RING = 20.0
#: Width of a letter as a multiple of the size of the text [1], a little more than it is on average.
_LETTER = 0.56
_LONGEST = 18


@dataclass(frozen=True, slots=True)
class Spot:
    """A place on the ground with its name; ``named`` is False where only the spot is drawn."""

    name: str
    position: Position
    named: bool = True


@dataclass(frozen=True, slots=True)
class Box:
    """A rectangle on the sheet [px]: left, top, right, bottom."""

    left: float
    top: float
    right: float
    bottom: float

    def meets(self, other: Box) -> bool:
        """Whether the two have a point in common."""
        return (self.left < other.right and other.left < self.right
                and self.top < other.bottom and other.top < self.bottom)

    def within(self, other: Box) -> bool:
        """Whether it lies wholly inside the other."""
        return (self.left >= other.left and self.right <= other.right
                and self.top >= other.top and self.bottom <= other.bottom)


@dataclass(frozen=True, slots=True)
class Placed:
    """A spot on the sheet [px], and its label: the text and where it goes, empty and None where there is no room."""

    spot: Spot
    x: float
    y: float
    text: str = ""
    label: Box | None = None


@dataclass(frozen=True, slots=True)
class Sketch:
    """The spots in the order they were given; bar_m, bar_px: the scale bar [m, px]; scale: [px/m]."""

    spots: tuple[Placed, ...]
    bar_m: float
    bar_px: float
    scale: float


def nice_length(most: float) -> float:
    """The greatest of 1, 2, 5, 10, 20, ... that is not more than ``most``, which is above zero.

    >>> [nice_length(most) for most in (7, 49, 260, 1900)]
    [5.0, 20.0, 200.0, 1000.0]
    """
    power = 10.0 ** math.floor(math.log10(most))
    return next(step * power for step in (5.0, 2.0, 1.0) if step * power <= most * (1 + 1e-12))


def bar_length(most: float) -> float:
    """The length of a scale bar [m] that is not more than ``most`` [m] and round in the person's own measures.

    In yards it ends at half a mile, as distances do; in miles it begins there.

    >>> bar_length(1900), bar_length(600)
    (1000.0, 500.0)
    """
    if habits().measures == "metric":
        return nice_length(most)
    miles = to_unit(most, "mi")
    return to_si(nice_length(miles), "mi") if miles >= 0.5 else to_si(nice_length(to_unit(most, "yd")), "yd")


def _metres(places: Sequence[Position]) -> list[tuple[float, float]]:
    """East and north of the first place [m]; across 180° the short way round."""
    first = places[0]
    latitude = math.radians(first.lat)
    squared = WGS84_FLATTENING * (2 - WGS84_FLATTENING)
    bend = 1 - squared * math.sin(latitude) ** 2
    north = WGS84_AXIS * (1 - squared) / bend**1.5
    east = WGS84_AXIS / math.sqrt(bend) * math.cos(latitude)
    return [(math.radians((place.lon - first.lon + 180) % 360 - 180) * east,
             math.radians(place.lat - first.lat) * north) for place in places]


def sketch(spots: Sequence[Spot], width: float, height: float, *, size: float = 15.0,
           taken: Sequence[Box] = ()) -> Sketch:
    """Where to draw each spot on a sheet [px], and its label beside it with a text of this size [px].

    taken: parts of the sheet where no label may go, such as the north arrow.
    Raises ValueError without a spot.
    """
    if not spots:
        raise ValueError("there is no place to draw")
    ground = _metres([spot.position for spot in spots])
    left, right = min(x for x, _ in ground), max(x for x, _ in ground)
    low, high = min(y for _, y in ground), max(y for _, y in ground)
    room_x, room_y = width - 2 * (_SPOT + 26), height - 2 * (_SPOT + 22)
    scale = min(room_x / max(right - left, _LEAST_M), room_y / max(high - low, _LEAST_M * room_y / room_x))
    middle = ((left + right) / 2, (low + high) / 2)
    points = [(width / 2 + (x - middle[0]) * scale, height / 2 - (y - middle[1]) * scale) for x, y in ground]
    sheet = Box(_GAP, _GAP, width - _GAP, height - _GAP)
    full = [Box(x - _RING, y - _RING, x + _RING, y + _RING) for x, y in points] + list(taken)
    placed = []
    for spot, (x, y) in zip(spots, points, strict=True):
        text = spot.name if len(spot.name) <= _LONGEST else f"{spot.name[:_LONGEST - 1].rstrip()}…"
        label = _free(x, y, len(text) * size * _LETTER, size * 1.3, sheet, full) if spot.named else None
        if label is not None:
            full.append(label)
        placed.append(Placed(spot, x, y, text if label else "", label))
    bar = bar_length(0.3 * width / scale)
    return Sketch(tuple(placed), bar, bar * scale, scale)


def _free(x: float, y: float, wide: float, tall: float, sheet: Box, full: Sequence[Box]) -> Box | None:
    """A rectangle beside a point that meets nothing else: to the right, left, above, below, or at a corner."""
    off = _RING + _GAP
    corner = 0.7 * off
    for left, top in ((x + off, y - tall / 2), (x - off - wide, y - tall / 2), (x - wide / 2, y - off - tall),
                      (x - wide / 2, y + off), (x + corner, y - corner - tall), (x + corner, y + corner),
                      (x - corner - wide, y - corner - tall), (x - corner - wide, y + corner)):
        box = Box(left, top, left + wide, top + tall)
        if box.within(sheet) and not any(box.meets(other) for other in full):
            return box
    return None
