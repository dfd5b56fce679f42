"""What the planner's file and the group file have in common: tables, a map, and their description.

The description is ``datapackage.json`` (Data Package 2.0), tables are RFC 4180, the map is RFC 7946.
The same rows, options and time always give the same bytes.
"""

from __future__ import annotations

import csv
import datetime as dt
import hashlib
import io
import json
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from field_app.core.course import step
from field_app.core.lots import LotNow
from field_app.core.sites import SiteNow
from field_app.handover.cells import Cell, written
from field_app.handover.columns import LOTS, SITES, Column, Table, field_of
from field_app.handover.options import PlannerOptions
from field_app.handover.rows import Row, lot_row, site_row, unknown_site_row

__all__ = ["DESCRIPTOR", "FORMAT", "GROUP", "MAP", "PLANNER", "SCHEMA", "Part", "csv_bytes", "description", "lot_parts",
           "plain_part", "table_part"]

DESCRIPTOR = "datapackage.json"
MAP = "lots.geojson"
#: The name of the standard's profile, as it gives it; nothing is ever fetched from there.
SCHEMA = "https://datapackage.org/profiles/2.0/datapackage.json"
#: The two profiles of ours: for whoever plans the dye day, and for people who may know the trees.
PLANNER, GROUP = "planner", "group"
#: Rises when a file is made that an earlier program would read wrongly.
FORMAT = 1


@dataclass(frozen=True, slots=True)
class Part:
    """A file of the package: its name, its bytes, and how the description tells of it."""

    path: str
    data: bytes
    resource: Mapping[str, Any]


def csv_bytes(columns: Sequence[Column], rows: Iterable[Row]) -> bytes:
    """A table of the rows."""
    out = io.StringIO(newline="")
    table = csv.writer(out, lineterminator="\r\n")
    table.writerow(column.name for column in columns)
    table.writerows([written(row.get(column.name)) for column in columns] for row in rows)
    return out.getvalue().encode("utf-8")


def table_part(table: Table, rows: Sequence[Row], *options: str) -> Part:
    """A table and its schema; options: those that bring columns."""
    columns = table.having(*options)
    data = csv_bytes(columns, rows)
    met = {column.name: [value for row in rows if isinstance(value := row.get(column.name), str)]
           for column in columns if column.keys_of}
    schema: dict[str, Any] = {"fields": [field_of(column, met.get(column.name, ())) for column in columns],
                              "primaryKey": [table.key]}
    if table.points_at is not None:
        column, other = table.points_at
        schema["foreignKeys"] = [{"fields": [column], "reference": {"resource": other, "fields": [column]}}]
    return Part(table.path, data, {
        "name": table.name, "type": "table", "path": table.path, "title": table.title, "format": "csv",
        "mediatype": "text/csv", **_whole(data),
        "dialect": {"delimiter": ",", "lineTerminator": "\r\n", "quoteChar": '"', "doubleQuote": True},
        "schema": schema})


def plain_part(path: str, data: bytes, *, name: str, title: str, form: str, mediatype: str) -> Part:
    """A file that is no table."""
    return Part(path, data, {"name": name, "path": path, "title": title, "format": form, "mediatype": mediatype,
                             **_whole(data)})


def lot_parts(lots: Iterable[LotNow], sites: Iterable[SiteNow], *, made: dt.datetime,
              options: PlannerOptions) -> tuple[tuple[Part, ...], int]:
    """Lots and sites as tables and as a map, and how many lots there are [1].

    lots, sites: as they stand, in any order; a site that lots name but that is not given gets an empty row.
    made: when the file is made, with its offset; leave and keeping are those of that day.
    Raises ValueError if ``made`` has no offset.
    """
    if made.tzinfo is None:
        raise ValueError("the time a file is made needs its offset")
    by_id = {site.id: site for site in sites}
    chosen = sorted({lot.id: lot for lot in lots}.values(), key=lambda lot: (lot.gathered, lot.id))
    lot_rows = []
    for number, lot in enumerate(chosen):
        step(number / len(chosen))
        lot_rows.append(lot_row(lot, by_id.get(lot.facts.site), made=made, options=options))
    site_rows = [site_row(by_id[site], made=made, options=options) if site in by_id
                 else unknown_site_row(site, options=options)
                 for site in sorted({*by_id, *(lot.facts.site for lot in chosen)})]
    return (table_part(LOTS, lot_rows, *options.columns), table_part(SITES, site_rows, *options.columns), plain_part(
        MAP, _geojson(LOTS.having(*options.columns), lot_rows), name="lots-map",
        title="The lots as points on a map, with the same facts", form="geojson",
        mediatype="application/geo+json")), len(chosen)


def description(parts: Iterable[Part], *, title: str, words: str, made: dt.datetime,
                handover: Mapping[str, Any]) -> bytes:
    """``datapackage.json``; handover: what our own programs have to know, beside the format."""
    return (json.dumps({
        "$schema": SCHEMA, "name": "harvest-lots", "title": title, "description": words,
        "created": made.isoformat(timespec="seconds"), "handover": {**handover, "format": FORMAT},
        "resources": [part.resource for part in parts],
    }, ensure_ascii=False, indent=1) + "\n").encode("utf-8")


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
