"""The planner's file: lots and sites as they stand, in one zipped Data Package 2.0.

``datapackage.json`` describes the others; ``lots.csv`` and ``sites.csv`` are RFC 4180; ``lots.geojson`` is
RFC 7946 with the same facts. The same lots, options and time always give the same bytes.
"""

from __future__ import annotations

import csv
import datetime as dt
import hashlib
import io
import json
from collections.abc import Iterable, Sequence
from decimal import Decimal
from typing import Any

from field_app.core.lots import LotNow
from field_app.core.sites import SiteNow
from field_app.handover.cells import Cell, written
from field_app.handover.columns import LOTS, SITES, Column, Table, field_of
from field_app.handover.options import PlannerOptions
from field_app.handover.packing import pack
from field_app.handover.rows import Row, lot_row, site_row, unknown_site_row

__all__ = ["DESCRIPTOR", "FORMAT", "MAP", "PROFILE", "SCHEMA", "planner_file"]

DESCRIPTOR = "datapackage.json"
MAP = "lots.geojson"
#: The name of the profile, as the standard gives it; nothing is ever fetched from there.
SCHEMA = "https://datapackage.org/profiles/2.0/datapackage.json"
PROFILE = "planner"
#: Rises when a file is made that an earlier program would read wrongly.
FORMAT = 1


def planner_file(lots: Iterable[LotNow], sites: Iterable[SiteNow], *, made: dt.datetime,
                 options: PlannerOptions | None = None) -> bytes:
    """The zip for whoever plans the dye day.

    lots, sites: as they stand, in any order; a site that lots name but that is not given gets an empty row.
    made: when the file is made, with its offset; state and leave are those of that day.
    Raises ValueError if ``made`` has no offset.

    >>> made = dt.datetime.fromisoformat("2026-10-09T18:00:00-02:00")
    >>> planner_file([], [], made=made)[:4]
    b'PK\\x03\\x04'
    """
    if made.tzinfo is None:
        raise ValueError("the time a file is made needs its offset")
    options = options or PlannerOptions()
    by_id = {site.id: site for site in sites}
    chosen = sorted({lot.id: lot for lot in lots}.values(), key=lambda lot: (lot.gathered, lot.id))
    lot_rows = [lot_row(lot, by_id.get(lot.facts.site), made=made, options=options) for lot in chosen]
    site_rows = [site_row(by_id[site], made=made, options=options) if site in by_id
                 else unknown_site_row(site, options=options)
                 for site in sorted({*by_id, *(lot.facts.site for lot in chosen)})]
    lot_columns, site_columns = LOTS.having(*options.columns), SITES.having(*options.columns)
    files = {
        LOTS.path: _csv(lot_columns, lot_rows),
        SITES.path: _csv(site_columns, site_rows),
        MAP: _geojson(lot_columns, lot_rows),
    }
    resources = [
        _resource(LOTS, files[LOTS.path], lot_columns, lot_rows),
        _resource(SITES, files[SITES.path], site_columns, site_rows),
        {"name": "lots-map", "path": MAP, "title": "The lots as points on a map, with the same facts",
         "format": "geojson", "mediatype": "application/geo+json", **_whole(files[MAP])},
    ]
    return pack({DESCRIPTOR: _descriptor(resources, len(chosen), made, options), **files})


def _csv(columns: Sequence[Column], rows: Iterable[Row]) -> bytes:
    out = io.StringIO(newline="")
    table = csv.writer(out, lineterminator="\r\n")
    table.writerow(column.name for column in columns)
    table.writerows([written(row.get(column.name)) for column in columns] for row in rows)
    return out.getvalue().encode("utf-8")


def _json_value(value: Cell) -> str | float | int | None:
    return float(value) if isinstance(value, Decimal) else value


def _geojson(columns: Sequence[Column], rows: Iterable[Row]) -> bytes:
    lines = []
    for row in rows:
        latitude, longitude = row["decimalLatitude"], row["decimalLongitude"]
        point = None
        if latitude is not None and longitude is not None:
            point = {"type": "Point", "coordinates": [_json_value(longitude), _json_value(latitude)]}
        feature = {"type": "Feature", "id": row["materialEntityID"], "geometry": point,
                   "properties": {column.name: _json_value(row.get(column.name)) for column in columns}}
        lines.append(json.dumps(feature, ensure_ascii=False, separators=(", ", ": ")))
    body = ",\n".join(lines)
    return f'{{"type": "FeatureCollection", "features": [\n{body}\n]}}\n'.encode()


def _whole(data: bytes) -> dict[str, Any]:
    return {"encoding": "utf-8", "bytes": len(data), "hash": f"sha256:{hashlib.sha256(data).hexdigest()}"}


def _resource(table: Table, data: bytes, columns: Sequence[Column], rows: Sequence[Row]) -> dict[str, Any]:
    met = {column.name: [value for row in rows if isinstance(value := row.get(column.name), str)]
           for column in columns if column.keys_of}
    schema: dict[str, Any] = {"fields": [field_of(column, met.get(column.name, ())) for column in columns],
                              "primaryKey": [table.key]}
    if table.points_at is not None:
        column, other = table.points_at
        schema["foreignKeys"] = [{"fields": [column], "reference": {"resource": other, "fields": [column]}}]
    return {"name": table.name, "type": "table", "path": table.path, "title": table.title, "format": "csv",
            "mediatype": "text/csv", **_whole(data),
            "dialect": {"delimiter": ",", "lineTerminator": "\r\n", "quoteChar": '"', "doubleQuote": True},
            "schema": schema}


def _descriptor(resources: list[dict[str, Any]], count: int, made: dt.datetime,
                options: PlannerOptions) -> bytes:
    day = made.date().isoformat()
    where = f"rounded to {options.step} degree" if options.step else "exact"
    return (json.dumps({
        "$schema": SCHEMA,
        "name": "harvest-lots",
        "title": f"Harvest lots for planning a dye day, as they stood on {day}",
        "description": (
            f"{count} lot{'' if count == 1 else 's'} of gathered dye stuff. Positions are {where}. Every "
            "estimate is a range: 10 % of the cases lie below low, 10 % above high. Left out: "
            f"{options.withheld}."),
        "created": made.isoformat(timespec="seconds"),
        "handover": {"profile": PROFILE, "format": FORMAT, **options.as_json()},
        "resources": resources,
    }, ensure_ascii=False, indent=1) + "\n").encode("utf-8")
