"""Checks lots.geojson: that it is RFC 7946, and that it says the same as lots.csv."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from decimal import Decimal
from typing import Any

from field_app.core.problems import Refused
from field_app.handover.cells import read_text, shown
from field_app.handover.check_table import CheckedRow
from field_app.handover.columns import LOTS, Column
from field_app.handover.faults import Faults
from field_app.handover.jsontext import read_json
from field_app.handover.package import MAP
from field_app.words import later, tr

__all__ = ["check_map"]

_SAME = later("lots.csv counts; make lots.geojson anew from it, or ask again.")


def check_map(data: bytes, rows: Sequence[CheckedRow], fields: Mapping[str, Column | None],
              faults: Faults) -> None:
    """Tell every fault of the map, and every place where it differs from the rows of lots.csv."""
    try:
        collection = read_json(data, where=MAP)
    except Refused as refused:
        faults.take(refused)
        return
    features = collection.get("features") if isinstance(collection, dict) else None
    if not isinstance(features, list) or collection.get("type") != "FeatureCollection":
        faults.add(MAP, tr("is not a FeatureCollection with features (RFC 7946)"))
        return
    if "crs" in collection:
        faults.add(f"{MAP} crs", tr("is not allowed: positions are WGS 84 (RFC 7946, section 4)"), tr("Take it out."))
    by_id = {row.cells.get(LOTS.key, ""): row for row in rows}
    seen: dict[str, int] = {}
    for number, feature in enumerate(features, 1):
        where = f"{MAP} feature {number}"
        if faults.hopeless:
            return
        if not isinstance(feature, dict) or feature.get("type") != "Feature":
            faults.add(where, tr("is not a Feature"))
            continue
        name = feature.get("id")
        if not isinstance(name, str) or name not in by_id:
            faults.add(f"{where} id", tr("{shown} is not a lot of {path}", shown=shown(name, 60), path=LOTS.path),
                       _SAME)
            continue
        if name in seen:
            faults.add(f"{where} id", tr("{shown} is also feature {number}", shown=shown(name, 60), number=seen[name]),
                       _SAME, name)
            continue
        seen[name] = number
        _geometry(where, feature, by_id[name], faults)
        _properties(where, feature, by_id[name], fields, faults)
    for name, row in by_id.items():
        if name and name not in seen:
            faults.add(MAP, tr("does not have {shown}, row {number} of {path}", shown=shown(name, 60),
                               number=row.number, path=LOTS.path), _SAME, name)


def _properties(where: str, feature: Mapping[str, Any], row: CheckedRow,
                fields: Mapping[str, Column | None], faults: Faults) -> None:
    properties = feature.get("properties")
    if not isinstance(properties, dict):
        faults.add(f"{where} properties", tr("is not an object"))
        return
    for name, column in fields.items():
        if column is None or name not in row.cells:
            continue
        if name not in properties:
            faults.add(f"{where}, {name}", tr("is missing"), _SAME)
        elif not _agrees(properties[name], row.cells[name], column):
            met = tr("empty") if properties[name] is None else shown(properties[name])
            due = shown(row.cells[name]) if row.cells[name] else tr("nothing")
            faults.add(f"{where}, {name}", tr("is {met}, but row {number} of {path} has {due}", met=met,
                                              number=row.number, path=LOTS.path, due=due),
                       _SAME, row.cells.get(LOTS.key))
    for name in properties:
        if name not in fields:
            faults.note(f"{where}, {shown(name)}", tr("was added by somebody else; it was not checked"),
                        tr("Nothing has to be done."))


def _agrees(value: object, cell: str, column: Column) -> bool:
    if cell == "" or value is None:
        return cell == "" and value is None
    if column.type in ("number", "integer"):
        try:
            return type(value) in (int, float) and float(cell) == value
        except ValueError:
            return False
    return value == read_text(cell)


def _geometry(where: str, feature: Mapping[str, Any], row: CheckedRow, faults: Faults) -> None:
    place, geometry = f"{where} geometry", feature.get("geometry", "")
    latitude, longitude = row.values.get("decimalLatitude"), row.values.get("decimalLongitude")
    if not isinstance(latitude, Decimal) or not isinstance(longitude, Decimal):
        if geometry is not None and not row.has("decimalLatitude"):
            faults.add(place, tr("is there, but row {number} of {path} has no position", number=row.number,
                                 path=LOTS.path), _SAME)
        return
    is_point = isinstance(geometry, dict) and geometry.get("type") == "Point"
    pair = geometry.get("coordinates") if is_point else None
    if not isinstance(pair, list) or len(pair) != 2 or any(type(part) not in (int, float) for part in pair):
        faults.add(place, tr("is not a Point with longitude and latitude"), _SAME)
    elif pair == [float(latitude), float(longitude)] and latitude != longitude:
        faults.add(place, tr("has latitude before longitude; RFC 7946 has longitude first"), _SAME)
    elif pair != [float(longitude), float(latitude)]:
        faults.add(place, tr("is at {shown} (longitude, latitude), but row {number} of {path} is at {latitude}, "
                             "{longitude}", shown=shown(pair), number=row.number, path=LOTS.path, latitude=latitude,
                             longitude=longitude), _SAME)
