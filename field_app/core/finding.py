"""Finding a tree again: which way to turn, how far, how sure, and one better fix out of several.

What a device calls its accuracy differs: 95 of 100 fixes lie within it (W3C Geolocation, "accuracy attribute"),
68 of 100 (Android, Location.getAccuracy), or it is the root of the summed variances north and east (Apple).
All are brought to the standard deviation along one axis. If north and east are normal and alike, the distance from
the middle follows the Rayleigh law, and a share P of the fixes lies within ``sigma * sqrt(-2 ln(1 - P))``.
"""

from __future__ import annotations

import math
import statistics
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from field_app.core.positions import Fix, Meaning, Position, bearing_deg, compass_word, distance_m, from_here
from field_app.words import tr

__all__ = ["FLOOR_M", "Combined", "Dropped", "Way", "combine", "radius_95", "sigma_m", "turn_words", "way_to",
           "weighted_mean"]

#: However many fixes agree, they were taken under the same sky and share its error: no ring is smaller [m]
#: (common practice, no source).
FLOOR_M = 3.0
#: A fix of more than so many times the best radius tells nothing new; nor does one so many standard deviations
#: away from the others [1] (common practice, no source).
_ROUGH, _FAR = 3.0, 3.0
#: The radius of a fix of which the device did not say how sure it is [m].
_UNTOLD_M = 50.0


def _rayleigh(share: float) -> float:
    return math.sqrt(-2 * math.log1p(-share))


#: Radius over standard deviation [1]; where the meaning is not known, the widest of the three, which is Apple's.
_OVER_SIGMA: dict[Meaning, float] = {"95 %": _rayleigh(0.95), "68 %": _rayleigh(0.68), "unknown": math.sqrt(2)}


def sigma_m(radius_m: float, meaning: Meaning) -> float:
    """Standard deviation along one axis [m] of a fix with a radius [m] of that meaning.

    >>> [round(sigma_m(10.0, meaning), 3) for meaning in ("95 %", "68 %", "unknown")]
    [4.085, 6.624, 7.071]
    """
    return radius_m / _OVER_SIGMA[meaning]


def radius_95(sigma: float) -> float:
    """The radius [m] within which 95 of 100 fixes with this standard deviation along each axis [m] lie."""
    return sigma * _OVER_SIGMA["95 %"]


def weighted_mean(values: Sequence[float], sigmas: Sequence[float]) -> tuple[float, float]:
    """The mean of measurements weighted by the inverse of their variances, and its standard deviation.

    J. R. Taylor, An Introduction to Error Analysis (1997), equations 7.10 to 7.12; his example of three students
    (from memory) is 11.42 ± 0.69:

    >>> mean, sigma = weighted_mean([11, 12, 10], [1, 1, 3])
    >>> f"{mean:.2f} {sigma:.2f}"
    '11.42 0.69'
    """
    weights = [1 / sigma**2 for sigma in sigmas]
    whole = math.fsum(weights)
    return math.fsum(w * x for w, x in zip(weights, values, strict=True)) / whole, whole**-0.5


@dataclass(frozen=True, slots=True)
class Dropped:
    """A fix that was left out, and why: too rough beside the best one, or too far from the others."""

    fix: Fix
    why: Literal["rough", "far"]


@dataclass(frozen=True, slots=True)
class Combined:
    """One fix out of several. Its radius holds 95 of 100 [m] and is never below :data:`FLOOR_M`.

    sigma_m: standard deviation along one axis, before the floor [m].
    """

    fix: Fix
    sigma_m: float
    used: tuple[Fix, ...]
    dropped: tuple[Dropped, ...]


def combine(fixes: Sequence[Fix]) -> Combined:
    """The mean of several fixes of one spot, weighted by how sure each is; outliers are dropped.

    A fix without a radius counts as one of 50 m. Raises ValueError without a fix.
    North and east are averaged apart, in metres around the surest fix, so neither a pole nor 180° of longitude
    is in the way.
    """
    if not fixes:
        raise ValueError("there is no fix to combine")
    sure = [_sure(fix) for fix in fixes]
    best = min(sure)
    dropped = [Dropped(fix, "rough") for fix, sigma in zip(fixes, sure, strict=True) if sigma > _ROUGH * best]
    kept = [(fix, sigma) for fix, sigma in zip(fixes, sure, strict=True) if sigma <= _ROUGH * best]
    middle = min(kept, key=lambda pair: pair[1])[0].position
    flat = [(fix, sigma, *_metres(middle, fix.position)) for fix, sigma in kept]
    while len(flat) > 2:
        # The median is not drawn along by what may be an outlier itself.
        east = statistics.median(point[2] for point in flat)
        north = statistics.median(point[3] for point in flat)
        away = [math.hypot(x - east, y - north) / sigma for _, sigma, x, y in flat]
        worst = max(range(len(flat)), key=away.__getitem__)
        if away[worst] <= _FAR:
            break
        dropped.append(Dropped(flat.pop(worst)[0], "far"))
    sigmas = [sigma for _, sigma, _, _ in flat]
    east, sigma = weighted_mean([x for _, _, x, _ in flat], sigmas)
    north, _ = weighted_mean([y for _, _, _, y in flat], sigmas)
    place = from_here(middle, math.degrees(math.atan2(east, north)), math.hypot(east, north))
    fix = Fix(place, "device", max(radius_95(sigma), FLOOR_M), "95 %")
    return Combined(fix, sigma, tuple(point[0] for point in flat), tuple(dropped))


def _sure(fix: Fix) -> float:
    # A radius of nothing would outweigh everything: no receiver is that good.
    return max(sigma_m(_UNTOLD_M if fix.accuracy_m is None else fix.accuracy_m, fix.meaning), FLOOR_M / 100)


def _metres(middle: Position, place: Position) -> tuple[float, float]:
    """East and north of the middle [m]."""
    bearing, far = math.radians(bearing_deg(middle, place)), distance_m(middle, place)
    return far * math.sin(bearing), far * math.cos(bearing)


@dataclass(frozen=True, slots=True)
class Way:
    """From a fix to a tree.

    distance_m: straight [m]; bearing_deg: from north [deg]; turn_deg: from where one is heading, to the right
    [deg, -180 to 180], or None where the heading is not known;
    ring_m: within this radius [m] around the place where one would arrive the tree stands, 19 times out of 20;
    there: whether one stands within that ring already.
    """

    distance_m: float
    bearing_deg: float
    turn_deg: float | None
    ring_m: float
    there: bool

    @property
    def compass(self) -> str:
        """The nearest of the eight winds."""
        return compass_word(self.bearing_deg)


def way_to(here: Fix, tree: Position, *, tree_fix: Fix | None = None, heading_deg: float | None = None) -> Way:
    """The way from a fix to a tree, whose own position may be unsure too; heading [deg from north], if known."""
    sigma = _sure(here)
    if tree_fix is not None and tree_fix.accuracy_m is not None:
        sigma = math.hypot(sigma, _sure(tree_fix))
    far, bearing = distance_m(here.position, tree), bearing_deg(here.position, tree)
    turn = None if heading_deg is None else (bearing - heading_deg + 180) % 360 - 180
    ring = max(radius_95(sigma), FLOOR_M)
    return Way(far, bearing, turn, ring, far <= ring)


def turn_words(turn_deg: float) -> str:
    """Which way to turn [deg, to the right], as one would say it.

    >>> turn_words(5), turn_words(-60), turn_words(140), turn_words(-178)
    ('straight on', 'to the left', 'sharp to the right', 'behind you')
    """
    right, size = turn_deg > 0, abs(turn_deg)
    if size <= 20:
        return tr("straight on")
    if size > 160:
        return tr("behind you")
    if size <= 45:
        return tr("half to the right") if right else tr("half to the left")
    if size > 115:
        return tr("sharp to the right") if right else tr("sharp to the left")
    return tr("to the right") if right else tr("to the left")
