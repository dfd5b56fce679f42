"""The same lots for other programs: a map's waypoints, a spreadsheet in the user's own way, a GIS.

None of these is ever taken in again: the lot file is, and it checks itself.
What may be told of places is what the options of the planner's file allow.
"""

from __future__ import annotations

import csv
import datetime as dt
import io
import xml.etree.ElementTree as ET
from collections.abc import Iterable, Mapping, Sequence
from decimal import Decimal

from field_app.core.habits import habits
from field_app.core.looks import LookNow
from field_app.core.lots import LotNow
from field_app.core.materials import MATERIALS
from field_app.core.problems import refuse
from field_app.core.sites import SiteNow
from field_app.core.units import show_range
from field_app.handover.cells import Cell, escaped, number_text
from field_app.handover.columns import LOTS
from field_app.handover.geopackage import geopackage
from field_app.handover.looks import looks_table
from field_app.handover.options import PlannerOptions
from field_app.handover.rows import Row, lot_row
from field_app.words import english, tr

__all__ = ["export_files", "gpx", "spreadsheet"]

_GPX = "http://www.topografix.com/GPX/1/1"


def export_files(lots: Iterable[LotNow], sites: Iterable[SiteNow], *, made: dt.datetime, decimal: str = "",
                 options: PlannerOptions | None = None, looks: Iterable[LookNow] = ()) -> Mapping[str, bytes]:
    """The files by their names: ``lots.gpx``, ``lots-for-spreadsheet.csv``, ``lots.gpkg``, ``looks.csv`` if any.

    made: when they are made, with its offset; decimal: the sign in the spreadsheet, "." or ",", else the person's.
    Raises Refused for another sign.
    """
    options = options or PlannerOptions()
    by_id = {site.id: site for site in sites}
    chosen = sorted({lot.id: lot for lot in lots}.values(), key=lambda lot: (lot.gathered, lot.id))
    sign = decimal or habits().decimal
    with english():
        return _files(chosen, by_id, tuple(looks), made=made, decimal=sign, options=options)


def _files(chosen: Sequence[LotNow], by_id: Mapping[str, SiteNow], seen: Sequence[LookNow], *, made: dt.datetime,
           decimal: str, options: PlannerOptions) -> Mapping[str, bytes]:
    rows = [lot_row(lot, by_id.get(lot.facts.site), made=made, options=options) for lot in chosen]
    names = [lot.site_name if options.names else "" for lot in chosen]
    table = {"looks.csv": looks_table(seen, by_id.values(), names=options.names)} if seen else {}
    return {**table, "lots.gpx": gpx(chosen, rows, names, made=made),
            "lots-for-spreadsheet.csv": spreadsheet(rows, names, options=options, decimal=decimal),
            "lots.gpkg": geopackage(LOTS.having(*options.columns), rows, made=made)}


def gpx(lots: Iterable[LotNow], rows: Iterable[Row], names: Iterable[str], *, made: dt.datetime) -> bytes:
    """Waypoints, one a lot whose place is known, as GPX 1.1 (element order of its schema's ``wptType``)."""
    ET.register_namespace("", _GPX)
    root = ET.Element(f"{{{_GPX}}}gpx", {"version": "1.1", "creator": "field-app"})
    head = ET.SubElement(root, f"{{{_GPX}}}metadata")
    ET.SubElement(head, f"{{{_GPX}}}time").text = _utc(made)
    for lot, row, name in zip(lots, rows, names, strict=True):
        latitude, longitude = row["decimalLatitude"], row["decimalLongitude"]
        if not isinstance(latitude, Decimal) or not isinstance(longitude, Decimal):
            continue
        stuff = MATERIALS.get(lot.facts.material)
        what = stuff.name if stuff else lot.facts.material
        point = ET.SubElement(root, f"{{{_GPX}}}wpt",
                              {"lat": number_text(latitude), "lon": number_text(longitude)})
        for tag, text in (("time", _utc(lot.gathered)), ("name", f"{lot.code} {name}".strip()),
                          ("desc", f"{what}, {show_range(lot.net)}"), ("type", lot.facts.material)):
            ET.SubElement(point, f"{{{_GPX}}}{tag}").text = _printable(text)
    ET.indent(root)
    body: bytes = ET.tostring(root, encoding="utf-8")
    return b'<?xml version="1.0" encoding="UTF-8"?>\n' + body + b"\n"


def _utc(moment: dt.datetime) -> str:
    return moment.astimezone(dt.UTC).strftime("%Y-%m-%dT%H:%M:%SZ")


def _printable(text: str) -> str:
    # XML 1.0 has no way to write most control characters, not even escaped.
    return "".join(sign for sign in text if sign.isprintable() or sign in "\n\t")


def spreadsheet(rows: Iterable[Row], names: Iterable[str], *, options: PlannerOptions, decimal: str = ".") -> bytes:
    """A table that a spreadsheet opens by itself: byte-order mark, the decimal sign, and what separates beside it."""
    if decimal not in (".", ","):
        raise refuse("decimal", tr("{sign!r} is no decimal sign", sign=decimal), tr("Choose a point or a comma."))
    columns = LOTS.having(*options.columns)
    heads = [f"{column.name} [{column.unit}]" if column.unit else column.name for column in columns]
    file = io.StringIO(newline="")
    writer = csv.writer(file, delimiter=";" if decimal == "," else ",")
    writer.writerow([*heads, *(["site"] if options.names else [])])
    for row, name in zip(rows, names, strict=True):
        cells = [_cell(row.get(column.name), decimal) for column in columns]
        writer.writerow([*cells, *([escaped(name)] if options.names else [])])
    return b"\xef\xbb\xbf" + file.getvalue().encode("utf-8")


def _cell(value: Cell, decimal: str) -> str:
    if value is None:
        return ""
    return escaped(value) if isinstance(value, str) else number_text(value).replace(".", decimal)
