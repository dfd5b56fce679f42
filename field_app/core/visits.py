"""What a visit to a site may bring where no fall is forecast: cones, galls, cups, and what is left after a visit."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence

from field_app.core.cloth import shades
from field_app.core.estimate import Range, Reason, exact, product, quotient
from field_app.core.materials import Material
from field_app.core.units import show_ends, show_si
from field_app.words import later, tr

__all__ = ["READY", "UNKNOWN", "WORTH_KG", "lasting_due", "left_of", "visit_mass", "worth_of"]

_PRACTICE = later("common practice, no source")
#: What one brings home from a site where one never gathered [kg].
UNKNOWN = Range(0.3, 1.5, 6.0, "kg")
#: How far the next visit may be from the mean of the earlier ones, as a factor either way [1].
_FACTOR = 2.0
#: From this probability on a tree counts as ready [1], and from this mass on as worth the way [kg]
#: (common practice, no source).
READY, WORTH_KG = 0.5, 1.0
#: What lasts is due within so many days of its beginning, and before its end [d] (common practice, no source).
_BEGAN, _ENDS = 7, 14


def visit_mass(earlier: Sequence[float], *, gathered: bool = False) -> Range:
    """What one brings home from a site [kg], by the masses of earlier visits there [kg].

    gathered: whether one was there in this season already; then a quarter is expected, and it may be nothing.

    >>> visit_mass([2.0, 4.0]).central, visit_mass([2.0, 4.0], gathered=True).central
    (3.0, 0.75)
    """
    told = [kg for kg in earlier if kg > 0]
    if not told:
        shown = show_ends(UNKNOWN.low, UNKNOWN.central, UNKNOWN.high, "kg")
        return UNKNOWN.because(Reason(tr("first visit"), shown, "default", tr(_PRACTICE), "practice"))
    mean = sum(told) / len(told)
    visits = tr("{mass} a visit, from {count}", mass=show_si(mean, "kg"), count=len(told))
    if gathered:
        after = Reason(tr("gathered there this season"), tr("a quarter is left"), "default", tr(_PRACTICE), "practice")
        return Range(0.0, mean / 4, mean, "kg", (Reason(tr("by earlier visits"), visits, "weighed"), after))
    return Range(mean / _FACTOR, mean, mean * _FACTOR, "kg", (Reason(tr("by earlier visits"), visits, "weighed"),))


def lasting_due(began: dt.date, ends: dt.date, today: dt.date) -> bool:
    """Whether what lasts, such as cones, is due: it has just begun, or it soon ends.

    >>> [lasting_due(dt.date(2026, 9, 20), dt.date(2027, 1, 18), dt.date(2026, *day)) for day in ((9, 25), (11, 1))]
    [True, False]
    """
    return 0 <= (today - began).days <= _BEGAN or 0 <= (ends - today).days <= _ENDS


def worth_of(stuff: Material, mass: Range) -> Range:
    """The air-dry, scoured cloth that a mass of its first part, as it is gathered, dyes at medium [kg]."""
    part = stuff.parts[0]
    dry, air_dry = stuff.parameter("dry", "fresh"), stuff.parameter("dry", "air-dry")
    share = stuff.parameter("hull-share", "fresh") if part.key == "whole-fruit" else None
    if dry is None or air_dry is None or mass.high <= 0:
        return Range(0.0, 0.0, 0.0, "kg")
    factors = [mass, dry.range(tr("dry matter")), *([share.range(tr("hull share of the fruit"))] if share else [])]
    stuff_air_dry = quotient(product(*factors, unit="kg"), exact(air_dry.central, "1"), unit="kg")
    return next(shade for shade in shades(stuff_air_dry, stuff, None) if shade.name == "medium").cloth


def left_of(share_lost: float, days: int) -> float:
    """What is left of a worth after so many days [d] if a share of it is lost each day [1].

    >>> round(left_of(0.1, 3), 3)
    0.729
    """
    return float((1 - min(1.0, max(0.0, share_lost))) ** max(0, days))
