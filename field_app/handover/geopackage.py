"""The lots as a GeoPackage 1.3 (OGC 12-128r17), written by SQLite alone and in memory.

Clause numbers in the comments are those of the standard; table definitions are those of its annex C.
"""

from __future__ import annotations

import datetime as dt
import sqlite3
import struct
from collections.abc import Iterable, Sequence
from contextlib import closing
from decimal import Decimal

from field_app.handover.cells import Cell
from field_app.handover.columns import Column
from field_app.handover.rows import Row

__all__ = ["geopackage", "point"]

_TABLES = """
create table gpkg_spatial_ref_sys (
    srs_name text not null, srs_id integer primary key, organization text not null,
    organization_coordsys_id integer not null, definition text not null, description text);
create table gpkg_contents (
    table_name text not null primary key, data_type text not null, identifier text unique,
    description text default '', last_change datetime not null default (strftime('%Y-%m-%dT%H:%M:%fZ','now')),
    min_x double, min_y double, max_x double, max_y double, srs_id integer,
    constraint fk_gc_r_srs_id foreign key (srs_id) references gpkg_spatial_ref_sys(srs_id));
create table gpkg_geometry_columns (
    table_name text not null, column_name text not null, geometry_type_name text not null,
    srs_id integer not null, z tinyint not null, m tinyint not null,
    constraint pk_geom_cols primary key (table_name, column_name),
    constraint uk_gc_table_name unique (table_name),
    constraint fk_gc_tn foreign key (table_name) references gpkg_contents(table_name),
    constraint fk_gc_srs foreign key (srs_id) references gpkg_spatial_ref_sys (srs_id));
"""
_WGS84 = ('GEOGCS["WGS 84",DATUM["WGS_1984",SPHEROID["WGS 84",6378137,298.257223563,AUTHORITY["EPSG","7030"]],'
          'AUTHORITY["EPSG","6326"]],PRIMEM["Greenwich",0,AUTHORITY["EPSG","8901"]],UNIT["degree",'
          '0.0174532925199433,AUTHORITY["EPSG","9122"]],AUTHORITY["EPSG","4326"]]')
# Clause 1.1.2.1.2: these three must be there.
_SYSTEMS = (("WGS 84 geodetic", 4326, "EPSG", 4326, _WGS84, "longitude/latitude in degrees on WGS 84"),
            ("Undefined Cartesian SRS", -1, "NONE", -1, "undefined", "undefined Cartesian coordinates"),
            ("Undefined geographic SRS", 0, "NONE", 0, "undefined", "undefined geographic coordinates"))
_TYPES = {"number": "double", "integer": "integer", "datetime": "text", "date": "date", "string": "text"}


def point(longitude: float, latitude: float) -> bytes:
    """A point [deg] as a GeoPackage geometry: its header (clause 2.1.3) without envelope, and WKB.

    >>> point(10.75, 59.91).hex()
    '47500001e61000000101000000000000000080254014ae47e17af44d40'
    """
    return b"GP\x00\x01" + struct.pack("<i", 4326) + struct.pack("<bIdd", 1, 1, longitude, latitude)


def geopackage(columns: Sequence[Column], rows: Iterable[Row], *, made: dt.datetime) -> bytes:
    """The file: one table of features, ``lots``, with every column of the lot file.

    made: when it is made, with its offset.
    """
    with closing(sqlite3.connect(":memory:")) as db:
        db.execute("pragma application_id=0x47504B47")  # clause 1.1.1.1.1
        db.execute("pragma user_version=10300")
        db.executescript(_TABLES)
        db.executemany("insert into gpkg_spatial_ref_sys values (?,?,?,?,?,?)", _SYSTEMS)
        fields = ", ".join(f'"{column.name}" {_TYPES[column.type]}' for column in columns)
        db.execute(f"create table lots (fid integer primary key autoincrement not null, geom point, {fields})")
        values = []
        for row in rows:
            latitude, longitude = row["decimalLatitude"], row["decimalLongitude"]
            geometry = None
            if isinstance(latitude, Decimal) and isinstance(longitude, Decimal):
                geometry = point(float(longitude), float(latitude))
            values.append((geometry, *(_plain(row.get(column.name)) for column in columns)))
        marks = ",".join("?" * (len(columns) + 1))
        db.executemany(f"insert into lots values (null, {marks})", values)
        changed = made.astimezone(dt.UTC).strftime("%Y-%m-%dT%H:%M:%S.000Z")
        db.execute("insert into gpkg_contents (table_name, data_type, identifier, last_change, srs_id) "
                   "values ('lots', 'features', 'lots', ?, 4326)", (changed,))
        db.execute("insert into gpkg_geometry_columns values ('lots', 'geom', 'POINT', 4326, 0, 0)")
        db.commit()
        return db.serialize()


def _plain(value: Cell) -> str | float | int | None:
    return float(value) if isinstance(value, Decimal) else value
