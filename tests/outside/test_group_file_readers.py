"""The group file in the hands of programs that know nothing of this one.

frictionless: validator of the makers of the standard (Data Package 2.0, https://datapackage.org/standard/).
pyogrio: GDAL's own readers of GeoJSON (RFC 7946) and of GeoJSON text sequences (RFC 8142), through its virtual zip.
geojson.json: the JSON Schema of GeoJSON that comes with frictionless.
"""

import json
import struct
from importlib import resources

import pytest

from tests.handover.scene import cells_of, closed, opened, rows_of
from tests.sync.make_golden import GROUP

frictionless = pytest.importorskip("frictionless")
pytestmark = pytest.mark.filterwarnings("ignore")  # what the outside readers warn of is their own business


@pytest.fixture
def written(tmp_path):
    def write(data: bytes) -> str:
        path = tmp_path / "group.zip"
        path.write_bytes(data)
        return str(path)
    return write


def test_frictionless_finds_the_package_valid(written):
    """Descriptor, sizes, hashes, types, constraints and keys are right in its eyes, in all six resources."""
    report = frictionless.validate(written(GROUP.read_bytes()), type="package")
    assert report.valid, report.flatten(["name", "type", "message"])
    assert [task.name for task in report.tasks] == ["versions", "version-texts", "lots", "sites", "lots-map",
                                                    "differences"]
    rows = {task.name: task.stats.get("rows") for task in report.tasks}
    assert (rows["versions"], rows["lots"], rows["sites"]) == (13, 2, 2)
    assert rows["differences"] >= 4


@pytest.mark.parametrize(("path", "change", "kind"), [
    ("versions.geojsons", lambda data: data.replace(b"Mill lane", b"Mall lane"), "version-texts: hash-count"),
    ("versions.csv", lambda data: data + data[9:].split(b"\r\n")[0] + b"\r\n", "versions: hash-count"),
    ("differences.csv", lambda data: data.replace(b"how much", b"how many", 1), "differences: hash-count")])
def test_frictionless_catches_what_was_changed(written, path, change, kind):
    """A file that was changed behind the descriptor's back breaks its hash or size."""
    files = opened(GROUP.read_bytes())
    changed = change(files[path])
    assert changed != files[path]
    report = frictionless.validate(written(closed({**files, path: changed}, hashed=False)), type="package")
    assert kind in {f"{task.name}: {error.type}" for task in report.tasks for error in task.errors}


@pytest.mark.parametrize(("path", "column", "cell", "kind"), [
    ("lots.csv", "state", "dreamt", "constraint-error"), ("lots.csv", "left_L", "-1", "constraint-error"),
    ("versions.csv", "version", "sha256:00", "constraint-error"), ("differences.csv", "other_device", "me",
                                                                   "constraint-error"),
    ("differences.csv", "number", "2", "primary-key"), ("differences.csv", "other_when", "soon", "type-error")])
def test_frictionless_knows_the_rules_of_the_new_columns(written, path, column, cell, kind):
    """The states, the signs of amounts, the forms of names and devices are in the schema."""
    files = opened(GROUP.read_bytes())
    rows = rows_of(files[path])
    rows[1][rows[0].index(column)] = cell
    report = frictionless.validate(written(closed({**files, path: cells_of(rows)})), type="package")
    assert kind in {error.type for task in report.tasks for error in task.errors}


def test_gdal_reads_the_map_with_exact_places(written):
    """A GIS sees the lots where they were fixed, in WGS 84."""
    pyogrio = pytest.importorskip("pyogrio")
    meta, _, shapes, columns = pyogrio.raw.read(f"/vsizip/{written(GROUP.read_bytes())}/lots.geojson")
    values = dict(zip(meta["fields"], columns, strict=True))
    assert meta["crs"] == "EPSG:4326"
    rows = rows_of(opened(GROUP.read_bytes())["lots.csv"])
    lat, lon = rows[0].index("decimalLatitude"), rows[0].index("decimalLongitude")
    for shape, row in zip(shapes, rows[1:], strict=True):
        # Well-known binary: byte order, type 1 (Point), x, y (OGC 06-103r4, 8.2).
        assert struct.unpack("<BLdd", shape) == (1, 1, float(row[lon]), float(row[lat]))
    assert list(values["state"]) == [row[rows[0].index("state")] for row in rows[1:]]


def test_gdal_reads_the_versions_as_a_text_sequence(written):
    """Its reader of RFC 8142 finds one feature for each name in the list, each with its device and stamp."""
    pyogrio = pytest.importorskip("pyogrio")
    files = opened(GROUP.read_bytes())
    names = files["versions.csv"].decode().split()[1:]
    meta, _, _, columns = pyogrio.raw.read(f"/vsizip/{written(GROUP.read_bytes())}/versions.geojsons")
    values = dict(zip(meta["fields"], columns, strict=True))
    assert len(values["hlc"]) == len(names)
    assert set(values["kind"]) == {"site", "leave", "lot", "step", "draw"}
    assert all(stamp.endswith(device) for stamp, device in zip(values["hlc"], values["device"], strict=True))


def test_every_version_is_valid_by_the_schema_of_geojson():
    """Each text of the sequence is a Feature of RFC 7946 on its own."""
    jsonschema = pytest.importorskip("jsonschema")
    schema = json.loads(resources.files("frictionless").joinpath("assets/profiles/geojson.json").read_text("utf-8"))
    validator = jsonschema.validators.validator_for(schema)(schema)
    texts = opened(GROUP.read_bytes())["versions.geojsons"].split(b"\x1e")[1:]
    for text in texts:
        assert list(validator.iter_errors(json.loads(text))) == []
