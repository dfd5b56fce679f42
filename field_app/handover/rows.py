"""Lots and sites as rows of our files, with no more in them than the options allow.

The law of this file:

1. A rounded position is rounded by one rule everywhere (Chapman 2020, doi 10.15468/doc-5jp4-5g10: generalise,
   never randomise), and a row says so.
2. In a file with rounded positions a lot stands at its site's rounded position, however it was fixed: the
   fixes of many lots around one tree, each rounded for itself, would fall into neighbouring cells
   and so show where between them the tree stands.
3. The stated radius is worked out from the rounded position, in whole metres, so that it tells nothing
   of the exact one; it is never too small, and never zero.
"""

from __future__ import annotations

import datetime as dt
import math
from collections.abc import Mapping
from decimal import Decimal

from field_app.core.cautions import cautions_for
from field_app.core.estimate import Range
from field_app.core.facts import FixFacts
from field_app.core.keeping import use_by_now
from field_app.core.left import estimate_left
from field_app.core.life import LotLife
from field_app.core.lots import LotNow
from field_app.core.materials import MATERIALS, RIPENESS
from field_app.core.positions import Position, coarse, coarse_uncertainty_m, distance_m
from field_app.core.problems import Refused
from field_app.core.sites import SiteNow
from field_app.core.units import Measure, read_number
from field_app.handover.cells import Cell, decimal_of
from field_app.handover.options import EXACT_PLACES, PlannerOptions

__all__ = ["WIDTHS", "Row", "lot_row", "site_row", "unknown_site_row"]

Row = Mapping[str, Cell]
#: Confidence by the widest high / low [1] of the air-dry mass.
WIDTHS = (("narrow", 1.5), ("fair", 3.0), ("wide", math.inf))
#: Radius that holds 95 % over radius that holds 68 % of a round normal scatter [1]:
#: sqrt(ln 0.05 / ln 0.32), from the Rayleigh distribution.
_TO_95 = math.sqrt(math.log(0.05) / math.log(0.32))
_GLOBE = 20_100_000  # half way around [m]: no place is less sure
_JOIN = " | "  # as Darwin Core recommends for lists


def lot_row(lot: LotNow, site: SiteNow | None, *, made: dt.datetime, options: PlannerOptions) -> Row:
    """A lot as a row of lots.csv; site is the one it was gathered at, or None if nothing is known of it."""
    facts = lot.facts
    stuff = MATERIALS.get(facts.material)
    ripe = RIPENESS.get(facts.ripeness) if facts.ripeness else None
    row: dict[str, Cell] = {
        "materialEntityID": lot.id, "code": lot.code, "locationID": facts.site,
        "material": facts.material, "scientificName": stuff.botanical if stuff else None,
        "part": facts.part, "ripeness": facts.ripeness, "bbch": ripe.bbch if ripe else None,
        "condition": facts.condition, "basis": facts.basis, "eventDate": facts.gathered,
        **_typed("gross", facts.gross), **_typed("tare", facts.tare), "count": facts.count,
        "pails": _decimal(facts.pails), **_typed("pail", facts.pail), "fill": _decimal(facts.fill),
        **_three("net_mass_kg", lot.net), **_worth(lot, made), **_life(lot.life),
        **_lot_place(lot, site, options),
    }
    if options.notes:
        row["note"] = facts.note or None
    return row


def site_row(site: SiteNow, *, made: dt.datetime, options: PlannerOptions) -> Row:
    """A site as a row of sites.csv."""
    row: dict[str, Cell] = {
        "locationID": site.id, "materials": _JOIN.join(site.facts.materials) or None,
        "leave": site.leave_on(made.date()),
        "leave_until": site.leave.until.isoformat() if site.leave and site.leave.until else None,
        **_place(site.position, _radius(site.facts.fix), "Position", options),
    }
    if options.people:
        row["leave_by"] = (site.leave.by or None) if site.leave else None
    if options.names:
        row["locality"] = site.facts.name
    if options.notes:
        row["note"] = site.facts.note or None
    return row


def unknown_site_row(site: str, *, options: PlannerOptions) -> Row:
    """A row for a site that lots name, but of which nothing is known here."""
    return {"locationID": site, **_place(None, None, "Position", options)}


def _typed(name: str, measure: Measure | None) -> dict[str, Cell]:
    if measure is None:
        return {name: None, f"{name}_unit": None}
    return {name: Decimal(measure.value), f"{name}_unit": measure.unit}


def _decimal(text: str | None) -> Decimal | None:
    return None if text is None else read_number(text, where="amount")


def _three(name: str, value: Range) -> dict[str, Cell]:
    return {f"{name}_low": decimal_of(value.low), name: decimal_of(value.central),
            f"{name}_high": decimal_of(value.high)}


def _worth(lot: LotNow, made: dt.datetime) -> dict[str, Cell]:
    """What is worked out from the facts; nothing if their material is one that only a newer program knows."""
    facts = lot.facts
    try:
        estimate, use_by = estimate_left(lot), use_by_now(facts, lot.life, lot.stuff)
        cautions = cautions_for(facts.material, facts.part, ("keep", "hand over"))
    except Refused:
        return {}
    worth: dict[str, Cell] = {
        **_three("dye_part_mass_kg", estimate.fresh_hull), **_three("dry_matter_kg", estimate.dry_matter),
        **_three("air_dry_kg", estimate.air_dry), "confidence": confidence(estimate.air_dry),
        "use_by_earliest": use_by.earliest.isoformat() if use_by and use_by.earliest else None,
        "use_by_latest": use_by.latest.isoformat() if use_by and use_by.latest else None,
        "keeps": use_by.state(made.date()) if use_by else None, "surer": _JOIN.join(estimate.surer) or None,
        "cautions": _JOIN.join(caution.short for caution in cautions) or None,
    }
    for shade in estimate.shades:
        worth.update(_three(f"cloth_{shade.name}_kg", shade.cloth))
    return worth


def _life(life: LotLife) -> dict[str, Cell]:
    unit = life.left.unit
    return {"state": life.state, **_three(f"left_{unit}", life.left), f"overdraft_{unit}": decimal_of(life.overdraft),
            "nuts_kg": decimal_of(life.nuts_kg) if life.nuts_kg else None}


def confidence(value: Range) -> str:
    """How wide an estimate is, in a word.

    >>> confidence(Range(1.0, 1.2, 1.5, "kg")), confidence(Range(1.0, 2.0, 4.0, "kg"))
    ('narrow', 'wide')
    """
    if value.high == 0:
        return "narrow"
    width = value.high / value.low if value.low else math.inf
    return next(word for word, most in WIDTHS if width <= most)


def _radius(fix: FixFacts | None) -> float | None:
    """The radius [m] within which a fix is right in 95 of 100 cases, or None if the device gave none."""
    try:
        radius = float(fix.accuracy) if fix is not None and fix.accuracy else math.nan
    except ValueError:
        return None  # a fact of another device, which nothing has checked
    if fix is None or not 0 <= radius <= _GLOBE:
        return None
    return radius * (_TO_95 if fix.meaning == "68 %" else 1.0)


def _lot_place(lot: LotNow, site: SiteNow | None, options: PlannerOptions) -> dict[str, Cell]:
    own = None if lot.position_is_site else lot.position
    home = site.position if site is not None else None
    home_radius = _radius(site.facts.fix) if site is not None else None
    if options.places is None or home is None:
        if own is not None:
            return _place(own, _radius(lot.facts.fix), "Position", options)
        return _place(home, home_radius, "Position of the site", options)
    apart = 0.0 if own is None else distance_m(own, home)
    return _place(home, (home_radius or 0.0) + apart, "Position of the site", options)


def _place(position: Position | None, radius: float | None, what: str,
           options: PlannerOptions) -> dict[str, Cell]:
    if position is None:
        return {"decimalLatitude": None, "decimalLongitude": None, "geodeticDatum": None,
                "coordinateUncertaintyInMeters": None, "dataGeneralizations": None,
                "informationWithheld": options.withheld or None}
    said = None if what == "Position" else f"{what}."
    places = EXACT_PLACES
    if options.places is not None:
        position, places = coarse(position, options.places), options.places
        radius = (radius or 0.0) + coarse_uncertainty_m(position, places)
        said = f"{what} rounded to {options.step} degree."
    return {
        "decimalLatitude": _degrees(position.lat, places), "decimalLongitude": _degrees(position.lon, places),
        "geodeticDatum": "EPSG:4326",
        "coordinateUncertaintyInMeters": None if radius is None else max(1, math.ceil(radius)),
        "dataGeneralizations": said, "informationWithheld": options.withheld or None,
    }


def _degrees(value: float, places: int) -> Decimal:
    """Degrees with so many places, and no sign at zero."""
    rounded = round(Decimal(repr(value)), places)
    return abs(rounded) if rounded == 0 else rounded
