"""The planner's file in the hands of programs that know nothing of this one.

frictionless: validator of the makers of the standard (Data Package 2.0, https://datapackage.org/standard/).
pyogrio: GDAL's own reader of GeoJSON (RFC 7946), through its virtual zip folder.
csv and json: Python's readers of RFC 4180 and RFC 8259.
"""

import csv
import io
import json
import struct
import zipfile
from decimal import Decimal
from importlib import resources

import pytest

from field_app.handover import PlannerOptions
from tests.handover.scene import cells_of, closed, good, lots, opened, rows_of, with_cell, with_file
from tests.handover.test_days import file as file_with_day

frictionless = pytest.importorskip("frictionless")
pytestmark = pytest.mark.filterwarnings("ignore")  # what the outside readers warn of is their own business

ALL = [PlannerOptions(), PlannerOptions(places=None, names=True, notes=True)]


@pytest.fixture
def written(tmp_path):
    def write(data: bytes) -> str:
        path = tmp_path / "lots.zip"
        path.write_bytes(data)
        return str(path)
    return write


def faults(path: str) -> list[str]:
    report = frictionless.validate(path, type="package")
    return sorted({f"{task.name}: {error.type}" for task in report.tasks for error in task.errors})


@pytest.mark.parametrize("options", ALL)
def test_frictionless_finds_the_package_valid(written, options):
    """Descriptor, sizes, hashes, types, constraints and keys are right in its eyes, in all three resources."""
    report = frictionless.validate(written(good(options)), type="package")
    assert report.valid, report.flatten(["name", "type", "message"])
    assert [task.name for task in report.tasks] == ["lots", "sites", "lots-map"]
    assert [task.stats["rows"] for task in report.tasks[:2]] == [4, 3]


def test_frictionless_finds_the_tables_of_a_dye_day_valid(written):
    """The four tables of a day that goes along: types, constraints, and keys that point at lots and days."""
    report = frictionless.validate(written(file_with_day()), type="package")
    assert report.valid, report.flatten(["name", "type", "message"])
    assert [task.name for task in report.tasks][3:] == ["dye-days", "dye-lots", "dye-liquors", "dye-baths"]


def test_frictionless_reads_the_package_by_the_second_version_of_the_standard(written):
    """$schema names version 2 of the standard, and every field has the type that the schema gives."""
    package = frictionless.Package(written(good()))
    assert package.to_descriptor()["$schema"] == "https://datapackage.org/profiles/2.0/datapackage.json"
    rows = package.get_resource("lots").read_rows()
    assert rows[0]["gross"] == Decimal("14.20")
    assert rows[0]["eventDate"].utcoffset().total_seconds() == -2 * 3600
    assert rows[1]["count"] == 120
    assert rows[3]["decimalLatitude"] is None


@pytest.mark.parametrize(("path", "kind"), [("lots.csv", "lots: hash-count"), ("sites.csv", "sites: hash-count"),
                                            ("lots.geojson", "lots-map: hash-count")])
def test_frictionless_catches_a_flipped_byte(written, path, kind):
    """One byte of a file changed behind the descriptor's back breaks its hash."""
    files = opened(good())
    data = bytearray(files[path])
    data[-10] ^= 1
    assert kind in faults(written(closed({**files, path: bytes(data)}, hashed=False)))


@pytest.mark.parametrize(("column", "cell", "kind"), [
    ("net_mass_kg", "abc", "type-error"), ("gross", "5,5", "type-error"), ("basis", "guessed", "constraint-error"),
    ("net_mass_kg", "", "constraint-error"), ("net_mass_kg_low", "-1", "constraint-error"),
    ("eventDate", "yesterday", "type-error"), ("decimalLatitude", "91", "constraint-error"),
    ("locationID", "urn:uuid:0199c3a4-7b1e-7d2f-9a41-5e0c77aa0009", "foreign-key"),
    ("materialEntityID", lots()[1].id, "primary-key"), ("code", "O0I1", "constraint-error")])
def test_frictionless_sees_the_same_faults_as_the_checker(written, column, cell, kind):
    """Types, constraints and keys are in the schema, so that any validator can check them."""
    assert faults(written(with_cell("lots.csv", 2, column, cell))) == [f"lots: {kind}"]


def test_frictionless_sees_another_header(written):
    """Columns in another order than the schema's are a fault there too."""
    data = with_file(lambda data: cells_of([[row[1], row[0], *row[2:]] for row in rows_of(data)]), "lots.csv")
    assert any("label" in fault for fault in faults(written(data)))


def test_plain_python_reads_the_tables_and_the_description():
    """Any program that knows zip, CSV and JSON gets at every value."""
    with zipfile.ZipFile(io.BytesIO(good())) as archive:
        assert archive.testzip() is None
        package = json.loads(archive.read("datapackage.json"))
        text = io.TextIOWrapper(archive.open("lots.csv"), encoding="utf-8", newline="")
        rows = list(csv.DictReader(text, strict=True))
    assert [row["materialEntityID"] for row in rows] == [held.id for held in lots()]
    for field in package["resources"][0]["schema"]["fields"]:
        if field["type"] == "number":
            for row in rows:
                assert row[field["name"]] == "" or float(row[field["name"]]) < 1e6


@pytest.mark.parametrize("options", ALL)
def test_gdal_reads_the_same_points_from_inside_the_zip(written, options):
    """A GIS sees as many features as there are lots, at the places of the table, in WGS 84."""
    pyogrio = pytest.importorskip("pyogrio")
    data = good(options)
    place = f"/vsizip/{written(data)}/lots.geojson"
    header, *rows = rows_of(opened(data)["lots.csv"])
    expected = [dict(zip(header, row, strict=True)) for row in rows]
    assert pyogrio.read_info(place)["features"] == len(expected)
    meta, _, shapes, columns = pyogrio.raw.read(place)
    assert meta["crs"] == "EPSG:4326"
    assert meta["geometry_type"] == "Point"
    values = dict(zip(meta["fields"], columns, strict=True))
    assert list(values["materialEntityID"]) == [row["materialEntityID"] for row in expected]
    assert list(values["net_mass_kg"]) == [float(row["net_mass_kg"]) for row in expected]
    for shape, row in zip(shapes, expected, strict=True):
        if row["decimalLatitude"] == "":
            assert shape is None
        else:
            # Well-known binary: byte order, type 1 (Point), x, y (OGC 06-103r4, 8.2).
            assert struct.unpack("<BLdd", shape) == (
                1, 1, float(row["decimalLongitude"]), float(row["decimalLatitude"]))


@pytest.mark.parametrize("options", ALL)
def test_the_map_is_valid_by_the_schema_of_geojson(options):
    """The JSON Schema of GeoJSON that comes with frictionless takes it."""
    jsonschema = pytest.importorskip("jsonschema")
    schema = json.loads(resources.files("frictionless").joinpath("assets/profiles/geojson.json").read_text("utf-8"))
    validator = jsonschema.validators.validator_for(schema)(schema)
    collection = json.loads(opened(good(options))["lots.geojson"])
    assert list(validator.iter_errors(collection)) == []
    collection["features"][0]["geometry"]["coordinates"] = [1]
    assert list(validator.iter_errors(collection)) != []
