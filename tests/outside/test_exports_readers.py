"""What we write for other programs, read by programs and libraries that are not ours."""

import csv
import io
import struct

import gpxpy
import pyogrio
import pytest

from field_app.core.problems import Refused
from field_app.handover import PlannerOptions, export_files
from field_app.handover.geopackage import point
from tests.handover.scene import MADE, SECRETS, lots, sites

EXACT = PlannerOptions(places=6, names=True)


def made(**more):
    return export_files(lots(), sites(), made=MADE, **more)


def test_gpx_is_read_by_gpxpy():
    """GPX 1.1: gpxpy reads a waypoint for every lot with a place, where it stands and when it was gathered."""
    read = gpxpy.parse(made(options=EXACT)["lots.gpx"].decode())
    placed = [lot for lot in lots() if lot.position is not None]
    assert read.version == "1.1"
    assert sorted((w.latitude, w.longitude, w.time.timestamp()) for w in read.waypoints) == sorted(
        (lot.position.lat, lot.position.lon, lot.gathered.timestamp()) for lot in placed)
    assert {w.name for w in read.waypoints} == {f"{lot.code} {lot.site_name}" for lot in placed}


def test_geopackage_is_read_by_gdal(tmp_path):
    """OGC 12-128r17: GDAL reads the points in EPSG:4326 with every column."""
    path = tmp_path / "lots.gpkg"
    path.write_bytes(made(options=EXACT)["lots.gpkg"])
    info = pyogrio.read_info(path)
    assert (info["layer_name"], info["crs"], info["geometry_type"]) == ("lots", "EPSG:4326", "Point")
    assert info["features"] == len(lots())
    _, _, geometry, values = pyogrio.raw.read(path, columns=["code", "net_mass_kg"])
    assert sorted(values[0]) == sorted(lot.code for lot in lots())
    assert sorted(values[1]) == pytest.approx(sorted(lot.net.central for lot in lots()), rel=1e-5)
    assert sum(shape is not None for shape in geometry) == sum(lot.position is not None for lot in lots())


def test_a_point_is_the_bytes_of_the_standard():
    """OGC 12-128r17 clause 2.1.3: header without envelope, SRS 4326, then WKB; worked out by hand."""
    assert point(10.75, 59.91).hex() == "47500001e61000000101000000000000000080254014ae47e17af44d40"


@pytest.mark.parametrize(("decimal", "separator"), [(".", ","), (",", ";")])
def test_the_spreadsheet_is_in_the_users_own_way(decimal, separator):
    """A byte-order mark, the user's decimal sign, and the separator that goes with it."""
    data = made(decimal=decimal)["lots-for-spreadsheet.csv"]
    assert data.startswith(b"\xef\xbb\xbf")
    rows = list(csv.DictReader(io.StringIO(data.decode("utf-8-sig")), delimiter=separator))
    assert [row["code"] for row in rows] == [lot.code for lot in sorted(lots(), key=lambda one: (one.gathered, one.id))]
    masses = sorted(float(row["net_mass_kg [kg]"].replace(decimal, ".")) for row in rows)
    assert masses == pytest.approx(sorted(lot.net.central for lot in lots()), rel=1e-5)


def test_another_decimal_sign_is_refused():
    """Only a point or a comma is a decimal sign."""
    with pytest.raises(Refused, match="decimal sign"):
        made(decimal=";")


def test_nothing_withheld_is_told():
    """By default no file holds an exact position, a name of a place, or a note."""
    for name, data in made().items():
        for secret in (*SECRETS, "44.012345", "28.005678", "43.987654"):
            assert secret.encode() not in data, f"{secret} in {name}"
        assert struct.pack("<d", 44.012345) not in data
