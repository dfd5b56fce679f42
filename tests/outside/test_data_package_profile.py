"""The description in both lot files against the JSON Schema that the makers of the standard publish.

The schema of Data Package 2.0 (https://datapackage.org/profiles/2.0/datapackage.json) comes with dplib-py, and is
applied by jsonschema, so that no program that reads packages has a say in it.
What it does not look at, as sizes, hashes, keys and cells, frictionless and our own checker do.
"""

import copy
import json
from importlib import resources

import pytest

from field_app.handover import PlannerOptions
from tests.handover.scene import good, opened
from tests.handover.test_days import file as file_with_day
from tests.sync.island import Device

jsonschema = pytest.importorskip("jsonschema")
pytest.importorskip("dplib")


@pytest.fixture(scope="module")
def profile():
    text = resources.files("dplib").joinpath("profiles/2.0/datapackage.json").read_text("utf-8")
    kind = jsonschema.validators.validator_for(json.loads(text))
    return kind(json.loads(text), format_checker=kind.FORMAT_CHECKER)


def description(data):
    return json.loads(opened(data)["datapackage.json"])


def faults(profile, package):
    return sorted({error.json_path for error in profile.iter_errors(package)})


@pytest.mark.parametrize("data", [
    good(), good(PlannerOptions(places=None, names=True, notes=True)), file_with_day()],
    ids=["coarse", "exact", "with a dye day"])
def test_a_planner_s_file_is_described_as_the_standard_asks(profile, data):
    """Names, paths, hashes, licences, schemas and fields have the forms of the standard's own schema."""
    assert faults(profile, description(data)) == []


def test_a_group_file_is_described_as_the_standard_asks(profile, tmp_path):
    """The same holds of the file with versions."""
    device = Device(tmp_path / "data", 1)
    device.site()
    device.draw(device.lot().id, "2 kg")
    package = description(device.file())
    device.close()
    assert len(package["resources"]) > 3
    assert faults(profile, package) == []


@pytest.mark.parametrize(("change", "place"), [
    (lambda package: package.pop("resources"), "$"),
    (lambda package: package.update(created="yesterday"), "$.created"),
    (lambda package: package["resources"][0].pop("name"), "$.resources[0]"),
    (lambda package: package["resources"][0].update(path="../lots.csv"), "$.resources[0]"),
    (lambda package: package["resources"][0].update(bytes="many"), "$.resources[0].bytes"),
    (lambda package: package["resources"][0]["schema"]["fields"][0].pop("name"), "$.resources[0].schema.fields[0]"),
], ids=["no resources", "a time that is none", "no name", "a path out of the file", "a size that is none",
        "a column without a name"])
def test_the_schema_sees_what_is_wrong(profile, change, place):
    """It is not a schema that takes everything: a fault of each kind is found, at its place or in it."""
    package = copy.deepcopy(description(good()))
    change(package)
    found = faults(profile, package)
    assert found
    assert all(one.startswith(place) for one in found)
