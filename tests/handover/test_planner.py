"""The planner's file: what is in it, in which form, and always the same."""

import csv
import datetime as dt
import hashlib
import io
import json
import random
import subprocess
import sys
import zipfile
from dataclasses import replace
from decimal import Decimal
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from field_app.core.estimate import Range
from field_app.core.facts import FixFacts, StepFacts
from field_app.core.life import Step, live
from field_app.core.load import estimate_lot
from field_app.core.positions import Position
from field_app.core.problems import Refused
from field_app.core.units import Measure
from field_app.handover import PlannerOptions, check, planner_file
from field_app.handover.cells import read_text
from field_app.handover.rows import confidence
from tests.handover.scene import CHAPEL, GONE, MADE, MILL, ORCHARD, good, lot, lots, opened, rows_of, site, sites

MEMBERS = ["datapackage.json", "lots.csv", "sites.csv", "lots.geojson"]


def table(data: bytes, path: str = "lots.csv") -> list[dict[str, str]]:
    header, *rows = rows_of(opened(data)[path])
    return [dict(zip(header, row, strict=True)) for row in rows]


def test_the_checker_finds_nothing_wrong_with_what_the_writer_makes():
    """Every combination of options gives a file that is whole and says what it may."""
    for places in (None, 0, 1, 2, 3, 5):
        for names in (False, True):
            for notes in (False, True):
                report = check(good(PlannerOptions(places=places, names=names, notes=notes)))
                assert (report.problems, report.notes) == ((), ())
                assert dict(report.counts) == {"lots": 4, "sites": 3}
                assert (report.profile, report.made) == ("planner", MADE)


def test_an_empty_book_gives_a_file_too():
    """Without lots there are headers, and nothing is wrong."""
    report = check(planner_file([], [], made=MADE))
    assert report.ok
    assert dict(report.counts) == {"lots": 0, "sites": 0}


def test_the_members_are_stored_with_one_fixed_time():
    """The zip says nothing of when and where it was made."""
    with zipfile.ZipFile(io.BytesIO(good())) as archive:
        infos = archive.infolist()
    assert [info.filename for info in infos] == MEMBERS
    assert {info.date_time for info in infos} == {(1980, 1, 1, 0, 0, 0)}
    assert {info.compress_type for info in infos} == {zipfile.ZIP_STORED}
    assert {info.create_system for info in infos} == {3}


def test_the_same_lots_give_the_same_bytes_in_any_order():
    """The order in which lots and sites come makes no difference, and neither do doubles."""
    whole, places = lots(), sites()
    shuffle = random.Random(7)
    shuffle.shuffle(whole)
    shuffle.shuffle(places)
    assert planner_file([*whole, whole[0]], [*places, places[0]], made=MADE) == good()


def test_another_process_makes_the_same_bytes():
    """Neither the order of sets nor the local time zone gets into the file."""
    code = ("import hashlib; from tests.handover.scene import good; "
            "print(hashlib.sha256(good()).hexdigest())")
    root = Path(__file__).parents[2]
    digests = {
        subprocess.run([sys.executable, "-c", code], cwd=root, check=True, capture_output=True, text=True,
                       env={"PYTHONHASHSEED": seed, "TZ": zone, "PATH": "", "LC_ALL": "C"}).stdout.strip()
        for seed, zone in (("1", "UTC"), ("2", "Asia/Tokyo"))}
    assert digests == {hashlib.sha256(good()).hexdigest()}


def test_the_descriptor_states_the_standard_and_the_size_and_hash_of_each_file():
    """$schema is the name that Data Package 2.0 gives; bytes and hash are those of the members."""
    files = opened(good())
    package = json.loads(files["datapackage.json"])
    assert package["$schema"] == "https://datapackage.org/profiles/2.0/datapackage.json"
    assert [resource["path"] for resource in package["resources"]] == MEMBERS[1:]
    for resource in package["resources"]:
        data = files[resource["path"]]
        assert resource["bytes"] == len(data)
        assert resource["hash"] == "sha256:" + hashlib.sha256(data).hexdigest()
        assert resource["encoding"] == "utf-8"
    assert [(resource["format"], resource["mediatype"]) for resource in package["resources"]] == [
        ("csv", "text/csv"), ("csv", "text/csv"), ("geojson", "application/geo+json")]


def test_the_schemas_name_the_columns_in_the_order_of_the_tables():
    """Fields, header, primary key and foreign key fit together (Table Schema 2.0, fieldsMatch exact)."""
    files = opened(good())
    lots_schema, sites_schema = (
        resource["schema"] for resource in json.loads(files["datapackage.json"])["resources"][:2])
    for schema, path in ((lots_schema, "lots.csv"), (sites_schema, "sites.csv")):
        assert [field["name"] for field in schema["fields"]] == rows_of(files[path])[0]
    assert lots_schema["primaryKey"] == ["materialEntityID"]
    assert lots_schema["foreignKeys"] == [
        {"fields": ["locationID"], "reference": {"resource": "sites", "fields": ["locationID"]}}]
    mass = next(field for field in lots_schema["fields"] if field["name"] == "net_mass_kg_low")
    assert mass["unit"] == "kg"
    assert "[kg]" in mass["description"]
    assert mass["constraints"] == {"required": True, "minimum": 0}


def test_csv_is_rfc_4180_and_utf_8_without_byte_order_mark():
    """Every line ends with CR LF, quotes are doubled, and there is no byte-order mark."""
    data = opened(good(PlannerOptions(notes=True)))["lots.csv"]
    assert not data.startswith(b"\xef\xbb\xbf")
    assert data.count(b"\n") == data.count(b"\r\n") == 5
    assert b'"\'=HYPERLINK(""x"")"' in data


def test_what_was_typed_stands_as_it_was_typed():
    """A trailing zero says how finely the scale shows, and each amount keeps its own unit."""
    first, second, third, fourth = table(good())
    assert [first[name] for name in ("gross", "gross_unit", "tare", "tare_unit")] == ["14.20", "kg", "2", "lb"]
    assert second["count"] == "120"
    assert [third[name] for name in ("pails", "pail", "pail_unit", "fill")] == ["2.5", "5", "gal-us", "0.8"]
    assert [fourth[name] for name in ("gross", "gross_unit", "tare", "tare_unit")] == ["1250", "g", "", ""]


def test_the_estimates_are_those_of_the_core_to_six_digits():
    """Each range in the file is what the core works out from the facts."""
    for held, row in zip(lots(), table(good()), strict=True):
        worth = estimate_lot(held.facts)
        cloth = {shade.name: shade.cloth for shade in worth.shades}
        expected = {"net_mass_kg": held.net, "dye_part_mass_kg": worth.fresh_hull,
                    "dry_matter_kg": worth.dry_matter, "air_dry_kg": worth.air_dry,
                    **{f"cloth_{name}_kg": value for name, value in cloth.items()}}
        for name, value in expected.items():
            cells = [Decimal(row[f"{name}{end}"]) for end in ("_low", "", "_high")]
            assert [float(cell) for cell in cells] == pytest.approx(
                [value.low, value.central, value.high], rel=5e-6)
            assert cells == sorted(cells)
            assert max(len(row[f"{name}{end}"].replace(".", "").strip("0")) for end in ("_low", "", "_high")) <= 6


def test_the_days_and_the_state_are_those_of_the_day_it_was_made():
    """A fallen lot of the first of October is past use on the twentieth; an air-dry one keeps."""
    later = dt.datetime.fromisoformat("2026-10-20T08:00:00-02:00")
    rows = table(planner_file(lots(), sites(), made=later))
    worth = estimate_lot(lots()[0].facts).use_by
    assert rows[0]["use_by_earliest"] == worth.earliest.isoformat()
    assert rows[0]["use_by_latest"] == worth.latest.isoformat()
    assert [row["keeps"] for row in rows] == ["past", "past", "soon", "keeps"]


@pytest.mark.parametrize(("step", "expected"), [
    ("soaked", ["2026-10-13", "2026-11-03", "good"]), ("strained", ["2026-10-13", "2026-10-27", "good"]),
    ("dried", ["", "", "keeps"]), ("spent", ["", "", ""]), ("spoiled", ["", "", ""])])
def test_the_days_are_those_of_what_became_of_it(step, expected):
    """Stuff under water and liquor count from the day of the step, dried stuff keeps, and what is gone has no day."""
    before = lots()[0]
    done = Step("urn:uuid:1", StepFacts(lot=before.id, step=step, at="2026-10-06T09:00:00-02:00"), "0")
    after = replace(before, life=live(before.facts, before.net, [done]))
    data = planner_file([after], sites(), made=MADE)
    (row,) = table(data)
    assert [row[name] for name in ("use_by_earliest", "use_by_latest", "keeps")] == expected
    assert not check(data).problems


def test_cautions_and_what_would_make_it_surer_are_lists_in_one_cell():
    """Lists are parted by space, bar, space, as Darwin Core recommends."""
    first = table(good())[0]
    assert "Never tip walnut liquor into water." in first["cautions"].split(" | ")
    assert first["surer"].split(" | ") == list(estimate_lot(lots()[0].facts).surer)


def test_the_map_has_the_same_facts_as_the_table():
    """Every property of a feature is the cell of its row; a lot without a position has no geometry."""
    files = opened(good())
    features = json.loads(files["lots.geojson"])["features"]
    assert len(features) == 4
    for row, feature in zip(table(good()), features, strict=True):
        assert feature["id"] == row["materialEntityID"]
        for name, cell in row.items():
            value = feature["properties"][name]
            assert ("" if value is None else value) == (float(cell) if isinstance(value, (int, float)) else cell)
    assert [feature["geometry"] for feature in features] == [
        {"type": "Point", "coordinates": [-28.01, 44.01]}, {"type": "Point", "coordinates": [-28.01, 44.01]},
        {"type": "Point", "coordinates": [-27.99, 43.99]}, None]
    assert set(json.loads(files["lots.geojson"])) == {"type", "features"}


def test_a_site_has_its_leave_but_nobody_s_name():
    """Leave is that of the day the file was made; a date that has gone by is told as expired."""
    rows = {row["locationID"]: row for row in table(good(), "sites.csv")}
    assert [rows[id]["leave"] for id in (MILL, ORCHARD, CHAPEL)] == ["given", "not-asked", "expired"]
    assert rows[MILL]["leave_until"] == "2026-11-30"
    assert rows[MILL]["materials"] == "black-walnut | alder-bark"


def test_a_site_that_is_not_known_gets_a_row_of_its_own():
    """A lot whose site was deleted still points at a row."""
    data = planner_file([lot(1, GONE, gross=Measure("3", "kg"))], [], made=MADE)
    assert [row["locationID"] for row in table(data, "sites.csv")] == [GONE]
    assert check(data).ok


def test_a_material_of_a_newer_program_keeps_its_mass():
    """What can't be worked out is left empty, what was weighed is there, and the file is whole."""
    data = planner_file([lot(1, MILL, material="new-stuff", part="new-part", ripeness="new", gross=Measure("3", "kg"))],
                        sites(), made=MADE)
    row = table(data)[0]
    assert (row["material"], row["net_mass_kg"], row["air_dry_kg"]) == ("new-stuff", "3", "")
    assert check(data).problems == ()


def test_options_bring_columns_and_nothing_else_does():
    """Names and notes are columns only in a file that was asked to have them."""
    plain, full = good(), good(PlannerOptions(names=True, notes=True))
    assert "note" not in table(plain)[0]
    assert "locality" not in table(plain, "sites.csv")[0]
    assert table(full)[2]["note"] == "'=HYPERLINK(\"x\")"
    assert {row["locality"] for row in table(full, "sites.csv")} == {"Mill lane", "Old orchard", "Chapel green"}


def test_places_that_make_no_sense_are_refused_with_words():
    """Rounding to fewer than no places, or to more than there are, is refused before anything is made."""
    for places in (-1, 7):
        with pytest.raises(Refused, match="places"):
            PlannerOptions(places=places)


def test_a_time_without_offset_is_a_broken_promise():
    """The writer never guesses a time zone."""
    with pytest.raises(ValueError, match="offset"):
        planner_file([], [], made=dt.datetime(2026, 10, 9, 18, 0))  # noqa: DTZ001  # that is the point


@pytest.mark.parametrize(("low", "high", "word"), [
    (1.0, 1.5, "narrow"), (1.0, 1.51, "fair"), (1.0, 3.0, "fair"), (1.0, 3.1, "wide"), (0.0, 1.0, "wide"),
    (0.0, 0.0, "narrow")])
def test_confidence_is_a_word_for_the_width(low, high, word):
    """The bounds are the ones that the column's description states."""
    assert confidence(Range(low, high, high, "kg")) == word


def test_a_field_that_csv_must_quote_comes_back_whole():
    """Commas, quotes and line breaks in a note survive (RFC 4180, 2.6 and 2.7)."""
    note = 'two words, "quoted"\r\nand a second line'
    data = planner_file([lot(1, MILL, gross=Measure("3", "kg"), note=note)], sites(), made=MADE,
                        options=PlannerOptions(notes=True))
    assert next(csv.DictReader(io.StringIO(opened(data)["lots.csv"].decode(), newline="")))["note"] == note
    assert check(data).ok


degrees = st.integers(-85_000_000, 85_000_000).map(lambda number: number / 1_000_000)
masses = st.decimals("0.001", "9999", places=3).map(lambda value: Measure(str(value), "kg"))


@settings(max_examples=60, deadline=None)
@given(name=st.text(min_size=1, max_size=30), note=st.text(max_size=60), lat=degrees, lon=degrees, gross=masses,
       accuracy=st.none() | st.integers(0, 5000).map(str), places=st.sampled_from([None, 0, 1, 2, 3, 4, 5, 6]))
def test_whatever_was_logged_the_file_is_whole(name, note, lat, lon, gross, accuracy, places):
    """Any name, note, place and mass gives a file in which the checker finds nothing, with the texts as they were."""
    fix = FixFacts(source="device", accuracy=accuracy)
    options = PlannerOptions(places=places, names=True, notes=True)
    data = planner_file([lot(1, MILL, Position(lat, lon), gross=gross, note=note, fix=fix)],
                        [site(name, MILL, Position(lon, lat), fix, note=note)], made=MADE, options=options)
    report = check(data)
    assert (report.problems, report.notes) == ((), ())
    assert read_text(table(data, "sites.csv")[0]["locality"]) == name
    feature = json.loads(opened(data)["lots.geojson"])["features"][0]
    assert (feature["properties"]["note"] or "") == note == read_text(table(data)[0]["note"])
