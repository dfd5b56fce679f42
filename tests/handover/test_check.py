"""The checker: each kind of fault is found, and its place is named."""

import json

import pytest

from field_app.core.problems import Problem
from field_app.handover import PlannerOptions, check
from field_app.handover.packing import pack
from tests.handover.scene import (
    GONE,
    MILL,
    cells_of,
    closed,
    good,
    lots,
    opened,
    rows_of,
    with_cell,
    with_file,
    with_json,
)


def told(data: bytes, *, of_map: bool = False) -> list[str]:
    """Where and what of each problem; those of the map, which follow from a changed cell, only if asked for."""
    return [f"{problem.where}: {problem.what}" for problem in check(data).problems
            if of_map or not problem.where.startswith("lots.geojson")]


# Row 2 is the weighed lot, row 3 the counted one, row 4 the poured bark, row 5 the air-dry hull without a place.
CELLS = [
    ("lots.csv", 3, "net_mass_kg", "abc", 'net_mass_kg: "abc" is not a number'),
    ("lots.csv", 2, "gross", "5,5", 'gross: "5,5" is not a number'),
    ("lots.csv", 2, "gross", "1.4e1", 'gross: "1.4e1" is not a number'),
    ("lots.csv", 2, "gross", "1 420", 'gross: "1 420" is not a number'),
    ("lots.csv", 2, "gross", "14.2 kg", 'gross: "14.2 kg" is not a number'),
    ("lots.csv", 2, "gross", "NaN", 'gross: "NaN" is not a number'),
    ("lots.csv", 2, "gross", "٣", 'gross: "٣" is not a number'),
    ("lots.csv", 2, "net_mass_kg_low", "-1", "net_mass_kg_low: -1 is less than 0"),
    ("lots.csv", 4, "fill", "1.5", "fill: 1.5 is more than 1.3"),
    ("lots.csv", 3, "count", "12.5", 'count: "12.5" is not a whole number'),
    ("lots.csv", 2, "net_mass_kg", "", "net_mass_kg: is empty"),
    ("lots.csv", 2, "basis", "guessed", 'basis: "guessed" is not one of weighed, counted, poured'),
    ("lots.csv", 2, "material", "walnutt", 'material: "walnutt" is not one of black-walnut, '),
    ("lots.csv", 2, "gross_unit", "kilo", 'gross_unit: "kilo" is not one of kg, g, '),
    ("lots.csv", 2, "materialEntityID", "7", 'materialEntityID: "7" does not have the form urn:uuid:'),
    ("lots.csv", 2, "code", "O0I1", 'code: "O0I1" does not have the form'),
    ("lots.csv", 2, "eventDate", "2026-10-01 15:24:00-02:00",
     'eventDate: "2026-10-01 15:24:00-02:00" is not a date and time with its offset'),
    ("lots.csv", 2, "eventDate", "2026-10-01T15:24:00", 'eventDate: "2026-10-01T15:24:00" is not a date'),
    ("lots.csv", 2, "eventDate", "2026-13-01T15:24:00Z", 'eventDate: "2026-13-01T15:24:00Z" is not a date'),
    ("lots.csv", 2, "eventDate", "0001-01-01T00:00:00+14:00", 'eventDate: "0001-01-01T00:00:00+14:00" is not'),
    ("lots.csv", 2, "use_by_latest", "2026-02-30", 'use_by_latest: "2026-02-30" is not a day'),
    ("lots.csv", 2, "use_by_latest", "20261010", 'use_by_latest: "20261010" is not a day'),
    ("lots.csv", 2, "use_by_latest", "2026-10-01", "use_by_latest: 2026-10-01 is before use_by_earliest, 2026-10-04"),
    ("lots.csv", 2, "net_mass_kg_low", "14", "net_mass_kg: low 14, central 13.2928 and high"),
    ("lots.csv", 2, "cloth_dark_kg_high", "0.1", "cloth_dark_kg: low "),
    ("lots.csv", 2, "air_dry_kg", "", "air_dry_kg: is empty, but air_dry_kg_low is not"),
    ("lots.csv", 2, "tare", "40", "tare: 40 lb is not less than the gross of 14.20 kg"),
    ("lots.csv", 2, "tare_unit", "", "tare_unit: is empty, but tare is not"),
    ("lots.csv", 3, "count", "", "count: is empty, but basis is counted"),
    ("lots.csv", 2, "decimalLatitude", "91", "decimalLatitude: 91 is more than 90"),
    ("lots.csv", 2, "decimalLongitude", "-180.5", "decimalLongitude: -180.5 is less than -180"),
    ("lots.csv", 2, "decimalLatitude", "44.0123",
     "decimalLatitude: 44.0123 is more exact than the 2 places that the file promises"),
    ("lots.csv", 2, "decimalLongitude", "", "decimalLongitude: is empty, but decimalLatitude is not"),
    ("lots.csv", 2, "geodeticDatum", "EPSG:3857", 'geodeticDatum: "EPSG:3857" is not one of EPSG:4326'),
    ("lots.csv", 2, "coordinateUncertaintyInMeters", "0", "coordinateUncertaintyInMeters: 0 is less than 1"),
    ("lots.csv", 2, "locationID", GONE, f'locationID: "{GONE}" is not a site of sites.csv'),
    ("lots.csv", 3, "materialEntityID", lots()[0].id,
     f'materialEntityID: "{lots()[0].id}" is also in row 2'),
    ("lots.csv", 2, "surer", "=1+1", 'surer: "=1+1" would be run as a formula by a spreadsheet'),
    ("lots.csv", 2, "surer", "x" * 4001, "surer: has 4,001 signs; at most 4,000 are read"),
    ("sites.csv", 2, "leave", "maybe", 'leave: "maybe" is not one of given, refused, not-asked, expired'),
    ("sites.csv", 3, "locationID", MILL, f'locationID: "{MILL}" is also in row 2'),
]


@pytest.mark.parametrize(("path", "row", "column", "cell", "words"), CELLS,
                         ids=[f"{path}-{column}-{cell[:12]}" for path, _, column, cell, _ in CELLS])
def test_a_wrong_cell_is_named_by_its_row_and_column(path, row, column, cell, words):
    """The first fault outside the map is that cell, and it says what to do."""
    data = with_cell(path, row, column, cell)
    assert told(data)[0].startswith(f"{path} row {row}, {words}")
    assert all(problem.fix.endswith(".") for problem in check(data).problems)


def lines(data: bytes) -> list[bytes]:
    return data.split(b"\r\n")


def without_column(data: bytes) -> bytes:
    rows = rows_of(data)
    at = rows[0].index("tare")
    return cells_of([row[:at] + row[at + 1:] for row in rows])


def with_column(data: bytes) -> bytes:
    return cells_of([[*row, "mine" if number == 0 else "x"] for number, row in enumerate(rows_of(data))])


def swapped(data: bytes) -> bytes:
    return cells_of([[row[1], row[0], *row[2:]] for row in rows_of(data)])


FILES = [
    ("lots.csv", lambda data: b"\xef\xbb\xbf" + data, "lots.csv: starts with a byte-order mark"),
    ("lots.csv", lambda data: data.decode().encode("utf-16"), "lots.csv line 1: byte 0xFF is not UTF-8"),
    ("lots.csv", lambda data: data.replace(b"Juglans", b"Jugl\xe4ns", 1), "lots.csv line 2: byte 0xE4 is not UTF-8"),
    ("lots.csv", lambda data: data.replace(b",", b";"), "lots.csv row 1: is parted by semicolons or tabs"),
    ("lots.csv", without_column, "lots.csv row 1, tare: this column is missing"),
    ("lots.csv", with_column, 'lots.csv row 1, "mine": this column is not described in datapackage.json'),
    ("lots.csv", swapped, "lots.csv row 1: has its columns in another order than datapackage.json"),
    ("lots.csv", lambda data: data.replace(b"tare,", b"gross,", 1), 'lots.csv row 1, tare: this column is missing'),
    ("lots.csv", lambda _: b"", "lots.csv: has no header"),
    ("lots.csv", lambda data: data + b"one,two\r\n", "lots.csv row 6: has 2 cells, the header has "),
    ("lots.csv", lambda data: data + b"\r\n", "lots.csv row 6: has 0 cells, the header has "),
    ("lots.csv", lambda data: data + b'"never closed', "lots.csv row 6: can't be read (unexpected end of data)"),
    ("lots.csv", lambda data: data + b'"a"b,', "lots.csv row 6: can't be read"),
    ("lots.csv", lambda data: data + b"x" * 200_000, "lots.csv row 6: can't be read (field larger than"),
    ("lots.geojson", lambda data: data[:-40], "lots.geojson line"),
    ("lots.geojson", lambda data: b"\xef\xbb\xbf" + data, "lots.geojson: starts with a byte-order mark"),
    ("lots.geojson", lambda _: b"[]", "lots.geojson: is not a FeatureCollection"),
    ("lots.geojson", lambda _: b"[" * 100_000, "lots.geojson"),
    ("lots.geojson", lambda data: data.replace(b"44.01", b"NaN", 1), "lots.geojson: is not JSON that all programs"),
    ("lots.geojson", lambda data: data.replace(b'"code"', b'"id", "code"', 1), "lots.geojson line 2: is not JSON"),
]


@pytest.mark.parametrize(("path", "change", "words"), FILES, ids=[words[:60] for _, _, words in FILES])
def test_a_wrong_file_is_named(path, change, words):
    """A fault of a whole file, or of a line that can't be read, is the first one of that file."""
    found = [text for text in told(with_file(change, path), of_map=True) if text.startswith(path)]
    assert found[0].startswith(words)


def resource(number: int, **members):
    def change(package):
        package["resources"][number].update(members)
    return change


def field(of: str, /, **members):
    def change(package):
        fields = package["resources"][0]["schema"]["fields"]
        next(one for one in fields if one["name"] == of).update(members)
    return change


DESCRIPTORS = [
    (lambda p: p.update({"$schema": "https://example.org/"}),
     '$schema: is "https://example.org/", not "https://datapackage.org/profiles/2.0/datapackage.json"'),
    (lambda p: p.pop("title"), "title: is missing, not a line of text"),
    (lambda p: p.update(title="\x1b[2J"), 'title: is "\\x1b[2J", not a line of text'),
    (lambda p: p.update(created="yesterday"), 'created: is "yesterday", not a date and time'),
    (lambda p: p.pop("handover"), "handover: is missing, not an object"),
    (lambda p: p["handover"].update(profile="group"),
     'handover.profile: is "group", but the file holds nothing to take in, as a planner\'s file does not'),
    (lambda p: p["handover"].update(profile="moon"),
     'handover.profile: is "moon"; this program checks planner and group'),
    (lambda p: p["handover"].update(profile=["planner"]),
     "handover.profile: is \"['planner']\"; this program checks planner and group"),
    (lambda p: p["handover"].update(format=2), 'handover.format: is "2"; this program checks 1'),
    (lambda p: p["handover"].update(places=9), 'handover.places: is "9", not 0 to 5 or null'),
    (lambda p: p["handover"].update(names="no"), 'handover.names: is "no", not true or false'),
    (lambda p: p["handover"].update(notes=True), "lots field note: is missing"),
    (lambda p: p.update(resources={}), 'resources: is "{}", not a list'),
    (lambda p: p["resources"].pop(1), "resources: does not describe sites.csv"),
    (lambda p: p["resources"].append(p["resources"][0]), 'resource 4 name: is "lots"; each needs a name of its own'),
    (lambda p: p["resources"].append({"name": "x", "path": "x.csv"}), 'resource 4 path: "x.csv" is not among'),
    (lambda p: p["resources"].append(7), "resource 4: has no path"),
    (resource(1, encoding="latin-1"), 'resource 2 encoding: is "latin-1", not utf-8'),
    (resource(1, hash="md5:0"), 'resource 2 hash: is "md5:0", not sha256: and 64'),
    (resource(0, schema=None), "lots schema: has no fields"),
    (field("net_mass_kg", type="string"), 'lots field net_mass_kg type: is "string", not "number"'),
    (field("net_mass_kg", unit="lb"), 'lots field net_mass_kg unit: is "lb", not "kg"'),
    (field("net_mass_kg", name="code"), "lots field 22: has no name of its own"),
    (lambda p: p["resources"][0]["schema"].update(primaryKey=["code"]), "lots primaryKey: is \"['code']\", not"),
    (lambda p: p["resources"][0]["schema"].update(foreignKeys=[]),
     "lots foreignKeys: does not point locationID at sites"),
]


@pytest.mark.parametrize(("change", "words"), DESCRIPTORS, ids=[words[:50] for _, words in DESCRIPTORS])
def test_a_wrong_descriptor_is_named_by_its_member(change, words):
    """Each thing that the descriptor gets wrong is told with its place."""
    found = told(with_json("datapackage.json", change), of_map=True)
    assert any(text.startswith(f"datapackage.json {words}") for text in found), found


def test_a_planners_file_that_calls_itself_a_group_file_is_told_that_alone():
    """It is checked as what it is, so that one wrong word is one fault."""
    found = told(with_json("datapackage.json", lambda p: p["handover"].update(profile="group")), of_map=True)
    assert len(found) == 1


def feature(number: int, **members):
    def change(collection):
        collection["features"][number].update(members)
    return change


MAPS = [
    (lambda c: c["features"][1]["properties"].update(net_mass_kg=5.5),
     'feature 2, net_mass_kg: is "5.5", but row 3 of lots.csv has "8.4"'),
    (lambda c: c["features"][1]["properties"].update(net_mass_kg="8.4"), 'feature 2, net_mass_kg: is "8.4"'),
    (lambda c: c["features"][1]["properties"].update(gross=1),
     'feature 2, gross: is "1", but row 3 of lots.csv has nothing'),
    (lambda c: c["features"][1]["properties"].update(code=None), "feature 2, code: is empty, but row 3"),
    (lambda c: c["features"][1]["properties"].update(count=True), 'feature 2, count: is "True"'),
    (lambda c: c["features"][1]["properties"].pop("count"), "feature 2, count: is missing"),
    (feature(0, geometry=None), "feature 1 geometry: is not a Point with longitude and latitude"),
    (feature(0, geometry={"type": "Point", "coordinates": [44.01, -28.01]}),
     "feature 1 geometry: has latitude before longitude"),
    (feature(0, geometry={"type": "Point", "coordinates": [-28.02, 44.01]}),
     'feature 1 geometry: is at "[-28.02, 44.01]" (longitude, latitude), but row 2 of lots.csv is at 44.01, -28.01'),
    (feature(0, geometry={"type": "Point", "coordinates": [-28.01, 44.01, 7]}), "feature 1 geometry: is not a Point"),
    (feature(3, geometry={"type": "Point", "coordinates": [0, 0]}), "feature 4 geometry: is there, but row 5"),
    (feature(0, id="x"), 'feature 1 id: "x" is not a lot of lots.csv'),
    (feature(0, properties=[]), "feature 1 properties: is not an object"),
    (feature(0, type="Point"), "feature 1: is not a Feature"),
    (lambda c: c["features"].append(c["features"][0]), "feature 5 id: "),
    (lambda c: c["features"].pop(), f'does not have "{lots()[3].id}", row 5 of lots.csv'),
    (lambda c: c.update(crs={"type": "name"}), "crs: is not allowed"),
]


@pytest.mark.parametrize(("change", "words"), MAPS, ids=[words[:50] for _, words in MAPS])
def test_a_map_that_differs_from_the_table_is_named_by_its_feature(change, words):
    """Each place where the map is wrong or disagrees is told, with the row it disagrees with."""
    separator = ": " if words.startswith("does") else " "
    found = told(with_json("lots.geojson", change), of_map=True)
    assert any(text.startswith(f"lots.geojson{separator}{words}") for text in found), found


def test_a_changed_file_is_told_by_size_and_by_hash():
    """Whoever edits a file without saying so is found out, and the edit itself is checked all the same."""
    files = opened(good())
    files["lots.csv"] = files["lots.csv"].replace(b"14.20", b"14.21")
    assert told(closed(files, hashed=False)) == [
        "lots.csv: does not match its hash in datapackage.json: it was changed or damaged"]
    files["lots.csv"] = files["lots.csv"].replace(b"14.21", b"14.200")
    size = len(files["lots.csv"])
    assert told(closed(files, hashed=False))[0] == (
        f'lots.csv: is {size} bytes, but bytes in datapackage.json is "{size - 1}"')


def test_every_fault_is_told_not_only_the_first():
    """Three faults in two files give three problems."""
    files = opened(with_cell("lots.csv", 3, "net_mass_kg", "abc"))
    rows = rows_of(files["lots.csv"])
    rows[1][rows[0].index("basis")] = "guessed"
    files["lots.csv"] = cells_of(rows)
    files["sites.csv"] = files["sites.csv"].replace(b"given", b"maybe")
    assert [text.split(":")[0] for text in told(closed(files))] == [
        "lots.csv row 2, basis", "lots.csv row 3, net_mass_kg", "sites.csv row 2, leave"]


def test_a_file_with_thousands_of_faults_is_told_in_a_page_or_two():
    """Beyond two hundred faults only their number is told."""
    data = with_file(lambda data: data + b"x\r\n" * 5000, "lots.csv")
    problems = check(data).problems
    assert len(problems) == 201
    assert problems[-1].what == "has 4800 more faults like these"


def test_a_file_with_hundreds_of_thousands_of_faults_is_not_read_to_its_end():
    """After ten thousand faults the rest is left, so that a junk file does not keep a phone busy."""
    data = with_file(lambda data: data + b"x\r\n" * 300_000, "lots.csv")
    problems = check(data).problems
    assert problems[-1].what.endswith(" more faults and was not read to its end")
    assert problems[-2].where == "lots.csv row 205"


def test_a_header_of_thousands_of_columns_is_not_compared():
    """More columns than any table has are told by their number."""
    assert told(with_file(lambda _: b"a," * 5000, "lots.csv"))[0] == (
        "lots.csv row 1: has 5,001 columns; at most 1,000 are read")


def test_a_missing_member_is_told():
    """Without the table of sites, its absence is told, and the lots are still checked."""
    files = opened(good())
    del files["sites.csv"]
    assert told(pack(files)) == ['datapackage.json resource 2 path: "sites.csv" is not among the members '
                                 "that could be read"]
    del files["datapackage.json"]
    assert told(pack(files)) == ["file: has no datapackage.json"]


def test_a_member_that_nobody_describes_is_told():
    """A file that was slipped in is not passed over in silence."""
    assert told(pack({**opened(good()), "extra.txt": b"x"})) == [
        "extra.txt: is not described in datapackage.json"]


def test_a_planner_may_add_columns_and_files_that_the_descriptor_declares():
    """What somebody added and declared is a note, and the rest is checked as ever."""
    files = opened(good())
    files["lots.csv"] = with_column(files["lots.csv"])
    files["plan.csv"] = b"day\r\n2026-10-12\r\n"
    package = json.loads(files["datapackage.json"])
    package["resources"][0]["schema"]["fields"].append({"name": "mine", "type": "string"})
    package["resources"].append({"name": "plan", "path": "plan.csv", "encoding": "utf-8"})
    files["datapackage.json"] = json.dumps(package).encode()
    report = check(closed(files))
    assert report.problems == ()
    assert [note.where for note in report.notes] == ['"plan.csv"', 'lots.csv column "mine"']


def test_a_formula_in_an_added_column_is_found_too():
    """What this program does not know it still does not let a spreadsheet run."""
    files = opened(good())
    files["lots.csv"] = with_column(files["lots.csv"]).replace(b",x\r\n", b",=1+1\r\n", 1)
    package = json.loads(files["datapackage.json"])
    package["resources"][0]["schema"]["fields"].append({"name": "mine", "type": "string"})
    files["datapackage.json"] = json.dumps(package).encode()
    assert told(closed(files)) == [
        'lots.csv row 2, "mine": "=1+1" would be run as a formula by a spreadsheet']


def test_line_ends_of_another_system_are_a_note():
    """LF alone is not RFC 4180, but nothing is lost by it."""
    report = check(with_file(lambda data: data.replace(b"\r\n", b"\n"), "sites.csv"))
    assert report.problems == ()
    assert [note.where for note in report.notes] == ["sites.csv"]


def test_the_report_as_plain_data_has_the_words():
    """A program that reads the report gets what a person reads."""
    report = check(with_cell("lots.csv", 3, "net_mass_kg", "abc")).as_json()
    assert report["ok"] is False
    assert report["counts"] == {"lots": 4, "sites": 3}
    assert report["made"] == "2026-10-09T18:00:00-02:00"
    assert report["problems"][0] == Problem(
        "lots.csv row 3, net_mass_kg", '"abc" is not a number',
        "Write digits with a decimal point, without unit, exponent or thousands sign.").as_json()


def test_a_row_of_names_is_checked_in_a_file_that_has_them():
    """A file with names and notes is checked with its own columns."""
    data = with_file(lambda data: data.replace(b"Mill lane", b"=Mill lane"), "sites.csv",
                     PlannerOptions(names=True))
    assert told(data) == ['sites.csv row 2, locality: "=Mill lane" would be run as a formula by a spreadsheet']
