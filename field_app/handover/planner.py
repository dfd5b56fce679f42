"""The planner's file: lots and sites as they stand, in one zipped Data Package 2.0.

The same lots, options and time always give the same bytes.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable

from field_app.core.course import part
from field_app.core.lots import LotNow
from field_app.core.sites import SiteNow
from field_app.handover.days import DayOut, day_parts
from field_app.handover.options import PlannerOptions
from field_app.handover.package import DESCRIPTOR, PLANNER, description, lot_parts
from field_app.handover.packing import pack
from field_app.words import english

__all__ = ["planner_file"]


def planner_file(lots: Iterable[LotNow], sites: Iterable[SiteNow], *, made: dt.datetime,
                 options: PlannerOptions | None = None, days: Iterable[DayOut] = ()) -> bytes:
    """The zip for whoever plans the dye day.

    days: dye days that are planned here already, worked out in English; their lots should be among ``lots``.

    lots, sites: as they stand, in any order; a site that lots name but that is not given gets an empty row.
    made: when the file is made, with its offset; leave and keeping are those of that day.
    Raises ValueError if ``made`` has no offset.

    >>> made = dt.datetime.fromisoformat("2026-10-09T18:00:00-02:00")
    >>> planner_file([], [], made=made)[:4]
    b'PK\\x03\\x04'
    """
    options = options or PlannerOptions()
    with english():
        with part(0.0, 0.7):
            parts, count = lot_parts(lots, sites, made=made, options=options)
        parts = (*parts, *day_parts(days, options=options))
    where = f"rounded to {options.step} degree" if options.step else "exact"
    words = (f"{count} lot{'' if count == 1 else 's'} of gathered dye stuff. Positions are {where}. Every "
             "estimate is a range: 10 % of the cases lie below low, 10 % above high. Left out: "
             f"{options.withheld}.")
    package = description(
        parts, title=f"Harvest lots for planning a dye day, as they stood on {made.date().isoformat()}",
        words=words, made=made, handover={"profile": PLANNER, **options.as_json()})
    return pack({DESCRIPTOR: package, **{part.path: part.data for part in parts}})
