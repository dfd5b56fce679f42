"""Positions on the WGS 84 ellipsoid: values, distance, bearing, and positions made coarse on purpose.

Six decimals of a degree are kept, which is a tenth of a metre; no receiver that is carried in a pocket is better.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cache
from typing import TYPE_CHECKING, Any, Literal

from field_app.core.problems import refuse
from field_app.words import later, tr

if TYPE_CHECKING:
    from geographiclib.geodesic import Geodesic

__all__ = ["Fix", "Meaning", "Position", "Source", "bearing_deg", "coarse", "coarse_uncertainty_m",
           "compass_word", "distance_m", "from_here", "line"]

Source = Literal["device", "typed", "pasted"]
Meaning = Literal["95 %", "68 %", "unknown"]

#: Semi-major axis [m] and flattening [1] of WGS 84 (NGA.STND.0036, 2014).
WGS84_AXIS = 6378137.0
WGS84_FLATTENING = 1 / 298.257223563

_PLACES = 6
_WINDS = (later("north"), later("north-east"), later("east"), later("south-east"), later("south"), later("south-west"),
          later("west"), later("north-west"))


def _degrees(value: object, name: str, limit: int) -> float:
    number = isinstance(value, int | float) and not isinstance(value, bool)
    if not (number and math.isfinite(value) and abs(value) <= limit):  # type: ignore[arg-type]  # it is a number
        what = (tr("{value!r:.40} is not a latitude from -{limit} to {limit} degrees", value=value, limit=limit)
                if name == "latitude"
                else tr("{value!r:.40} is not a longitude from -{limit} to {limit} degrees", value=value, limit=limit))
        raise refuse("position", what, tr("Check the number, and that latitude comes first."))
    # Adding zero turns the negative zero, which prints as "-0.0", into zero.
    return round(float(value), _PLACES) + 0.0  # type: ignore[arg-type]  # it is a number


@dataclass(frozen=True, slots=True)
class Position:
    """A place: latitude north and longitude east of Greenwich [deg], WGS 84, to six decimals.

    At a pole every longitude is the same and becomes 0; -180 becomes 180 (RFC 5870, 3.4.2 and 3.4.4).
    Raises Refused if a coordinate is not a finite number in its range.

    >>> Position(44.0123401, -28.00567), Position(-5, -180)
    (Position(lat=44.01234, lon=-28.00567), Position(lat=-5.0, lon=180.0))
    """

    lat: float
    lon: float

    def __post_init__(self) -> None:
        lat, lon = _degrees(self.lat, "latitude", 90), _degrees(self.lon, "longitude", 180)
        object.__setattr__(self, "lat", lat)
        object.__setattr__(self, "lon", 0.0 if abs(lat) == 90 else 180.0 if lon == -180 else lon)


@dataclass(frozen=True, slots=True)
class Fix:
    """A position and how it came to be known.

    accuracy_m: radius around the position [m]; meaning: the share of fixes that lie inside that radius.
    Raises Refused if the radius is not a finite number of zero or more.
    """

    position: Position
    source: Source
    accuracy_m: float | None = None
    meaning: Meaning = "unknown"

    def __post_init__(self) -> None:
        radius = self.accuracy_m
        if radius is not None and not (math.isfinite(radius) and radius >= 0):
            raise refuse("position", tr("an accuracy of {radius} m means nothing", radius=radius),
                         tr("Take the fix again."))


@cache
def _geodesic(axis: float, flattening: float) -> Geodesic:
    from geographiclib.geodesic import Geodesic  # most screens measure no distance

    return Geodesic(axis, flattening)


def line(lat1: float, lon1: float, lat2: float, lon2: float, *, axis: float = WGS84_AXIS,
         flattening: float = WGS84_FLATTENING) -> tuple[float, float]:
    """Length [m] and bearing at the start [deg, below 360] of the shortest line between two points [deg].

    axis [m] and flattening [1] are those of the ellipsoid. Method: C. F. F. Karney, Algorithms for geodesics,
    Journal of Geodesy 87 (2013) 43-55, doi 10.1007/s00190-012-0578-z; good to 15 nm everywhere.

    Table 3 there: a line of 5 m.

    >>> length, bearing = line(-30.12345, 0, -30.12344, 0.00005)
    >>> f"{length:.6f} {bearing:.8f}"
    '4.944208 77.04353354'
    """
    found = _geodesic(axis, flattening).Inverse(lat1, lon1, lat2, lon2)
    bearing = float(found["azi1"]) % 360
    # A bearing of a hair less than nothing is 360 after the modulus, for lack of digits.
    return float(found["s12"]), 0.0 if bearing == 360 else bearing


def distance_m(a: Position, b: Position) -> float:
    """The shortest way over the ground from one position to the other [m], as if it were flat."""
    return 1000 * float(_ruler().measure((a.lat, a.lon), (b.lat, b.lon)))


@cache
def _ruler() -> Any:
    # One for all: each new one works the series of its ellipsoid out again.
    from geopy.distance import geodesic

    return geodesic()


def bearing_deg(a: Position, b: Position) -> float:
    """The direction in which one leaves the first position for the second [deg, clockwise from north, below 360].

    It is 0 where both are the same place.
    """
    return 0.0 if a == b else line(a.lat, a.lon, b.lat, b.lon)[1]


def from_here(p: Position, bearing: float, metres: float) -> Position:
    """Where one comes to by leaving a position at a bearing [deg] and going straight so far [m].

    The direct problem of the paper named at :func:`line`.

    >>> from_here(Position(44.0, 180.0), 90, 100)
    Position(lat=44.0, lon=-179.998753)
    """
    found = _geodesic(WGS84_AXIS, WGS84_FLATTENING).Direct(p.lat, p.lon, bearing, metres)
    return Position(float(found["lat2"]), float(found["lon2"]))


def compass_word(deg: float) -> str:
    """The nearest of the eight winds to a bearing [deg].

    >>> compass_word(77), compass_word(359), compass_word(-45)
    ('east', 'north', 'north-west')
    """
    return tr(_WINDS[math.floor(deg / 45 + 0.5) % 8])


def coarse(p: Position, places: int) -> Position:
    """The position with fewer decimals [places, 0 to 6], so that it can be handed on without showing the tree.

    >>> coarse(Position(44.01234, -28.00567), 2)
    Position(lat=44.01, lon=-28.01)
    """
    _check(places)
    return Position(round(p.lat, places), round(p.lon, places))


def coarse_uncertainty_m(p: Position, places: int) -> float:
    """How far off a position with that many decimals may be [m].

    One unit of the last decimal in latitude and longitude together, after A. D. Chapman and J. R. Wieczorek,
    Georeferencing Best Practices (2020), doi 10.15468/doc-gg7h-s853, Uncertainty Related to Coordinate Precision,
    with the radii of curvature of J. Wieczorek, Q. Guo and R. J. Hijmans, The point-radius method,
    Int. J. Geogr. Inf. Sci. 18 (2004) 745-767. A worked example of the former is 1.5568 km:

    >>> round(coarse_uncertainty_m(Position(10.27, -123.6), 2), 1)
    1556.8
    """
    _check(places)
    squared = WGS84_FLATTENING * (2 - WGS84_FLATTENING)  # of the eccentricity
    latitude = math.radians(p.lat)
    bend = 1 - squared * math.sin(latitude) ** 2
    along_meridian = WGS84_AXIS * (1 - squared) / bend**1.5
    from_axis = WGS84_AXIS / math.sqrt(bend) * math.cos(latitude)
    return math.radians(10.0**-places) * math.hypot(along_meridian, from_axis)


def _check(places: int) -> None:
    if not 0 <= places <= _PLACES:
        raise ValueError(f"a position has 0 to {_PLACES} decimals, not {places}")
