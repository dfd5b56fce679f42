"""The group file: what is in it, that it is the same for the same, and that the checker reads it."""

import csv
import datetime as dt
import io
import json

import pytest

from field_app.core.records import name_of, read_version
from field_app.handover import check
from field_app.handover.group import group_file, group_name
from field_app.handover.packing import pack
from field_app.handover.take import take
from tests.handover.scene import MADE, closed, lots, opened, sites
from tests.sync.island import START, Device, digest, windfall


@pytest.fixture
def mill(devices):
    device = devices()
    device.site()
    lot = device.lot(note="under the big limb")
    device.step(lot.id, "strained", volume="12 L")
    device.draw(lot.id, "3 L", by="the dye house", purpose="shawl")
    device.lot(gross="2 kg", tare="")
    return device


def table(data, path):
    return list(csv.DictReader(io.StringIO(opened(data)[path].decode(), newline=""), strict=True))


def test_its_members_are_those_of_the_format_versions_first(mill):
    """Names and versions, then what is made from them: what others need is left longest in a cut file."""
    assert list(opened(mill.file())) == ["versions.csv", "versions.geojsons", "datapackage.json", "lots.csv",
                                         "sites.csv", "lots.geojson", "differences.csv"]
    assert group_name(mill.id) == f"harvest-lots.{mill.id}.zip"


def test_its_versions_are_a_sorted_text_sequence(mill):
    """RS, the version's own bytes, LF (RFC 8142), sorted by name, each once; the list has the same names."""
    files = opened(mill.file())
    texts = files["versions.geojsons"].split(b"\n")
    assert texts.pop() == b""
    assert all(text.startswith(b"\x1e{") for text in texts)
    names = [name_of(text[1:]) for text in texts]
    assert names == sorted({name_of(text) for text in mill.texts()})
    assert files["versions.csv"].decode() == "".join(f"{line}\r\n" for line in ("version", *names))
    assert {read_version(text[1:]).name for text in texts} == set(names)


def test_the_same_versions_and_time_give_the_same_bytes(devices, mill, tmp_path):
    """A second device that took the file in makes the same sequence, and with the same lots and time the same file."""
    other = devices()
    other.book.log_book.take_in_texts(mill.texts(), now_ms=0)
    assert digest(other.file()) == digest(mill.file())
    made = [group_file(order(sorted(device.texts())), order(list(device.book.lots(limit=-1))),
                       order(list(device.book.sites())), device="a" * 16, made=START)
            for device in (mill, other) for order in (list, reversed)]
    assert len(set(made)) == 1


def test_it_tells_in_plain_words_that_exact_places_are_inside(mill):
    """Title and description say so to whoever opens the description."""
    package = json.loads(opened(mill.file())["datapackage.json"])
    assert "with exact places" in package["title"]
    assert "Exact places are inside" in package["description"]
    assert package["handover"] == {"profile": "group", "places": None, "names": True, "notes": True,
                                   "device": mill.id, "format": 1}


def test_places_are_exact_with_names_notes_and_who_gave_leave(mill):
    """Nothing is rounded and nothing withheld among people who may know the trees."""
    (row, _) = sorted(table(mill.file(), "lots.csv"), key=lambda row: row["eventDate"])
    (site,) = table(mill.file(), "sites.csv")
    assert (row["decimalLatitude"], row["decimalLongitude"]) == ("44.012340", "-28.005670")
    assert row["note"] == "under the big limb"
    assert (site["locality"], site["leave"], site["leave_by"]) == ("Mill lane", "given", "the miller")
    assert row["informationWithheld"] == site["informationWithheld"] == ""


def test_what_is_left_stands_in_its_own_unit(mill):
    """Liquor in litres, the rest in kilograms, each with its overdraft; the other unit is empty."""
    liquor, load = sorted(table(mill.file(), "lots.csv"), key=lambda row: row["eventDate"])
    assert (liquor["state"], liquor["left_L"], liquor["overdraft_L"], liquor["left_kg"]) == ("strained", "9", "0", "")
    assert (load["state"], load["left_kg"], load["overdraft_kg"], load["left_L"]) == ("gathered", "2", "0", "")
    assert liquor["overdraft_kg"] == load["overdraft_L"] == load["nuts_kg"] == ""


def test_where_people_disagree_is_a_row_for_each_other_saying(devices, mill):
    """What holds, what was said otherwise, by which device and when, as names rather than ids."""
    other = devices()
    other.site("Ford bend")
    other.book.log_book.take_in_texts(mill.texts(), now_ms=0)
    lot = mill.book.lots()[0]
    other.book.correct(lot.id, windfall("Ford bend", gross="3 kg"))
    mill.book.correct(lot.id, windfall("Mill lane", gross="4 kg"))
    mill.book.log_book.take_in_texts(other.texts(), now_ms=0)
    rows = table(mill.file(), "differences.csv")
    told = {row["about"]: (row["holds"], row["other"]) for row in rows}
    assert told["how much"] == ("basis weighed, gross 4 kg, tare 1.1 kg", "basis weighed, gross 3 kg, tare 1.1 kg")
    assert told["where"] == ("Mill lane", "Ford bend")
    assert {row["belongs_to"] for row in rows} == {lot.code}
    assert {row["holds_device"] for row in rows} == {mill.id}
    assert {row["other_device"] for row in rows} == {other.id}
    assert [row["number"] for row in rows] == [str(number) for number in range(1, len(rows) + 1)]
    dt.datetime.fromisoformat(rows[0]["other_when"])


def test_the_checker_finds_nothing_wrong(mill):
    """A group file is checked like a planner's file, with its versions and differences."""
    report = check(mill.file())
    assert (report.profile, report.problems, report.notes) == ("group", (), ())
    assert dict(report.counts) == {"lots": 2, "sites": 1, "differences": 0, "versions": len(mill.texts())}


@pytest.mark.parametrize(("path", "change", "place"), [
    ("versions.geojsons", lambda data: data.replace(b"Mill lane", b"Mell lane"), "versions.geojsons record "),
    ("versions.geojsons", lambda data: data[:-1], "versions.geojsons record "),
    ("versions.csv", lambda data: data.replace(b"ni:///sha-256", b"ni:///sha-265", 1), "versions.csv row 2, version"),
    ("lots.csv", lambda data: data.replace(b"gathered", b"dreamt"), "lots.csv row "),
])
def test_the_checker_names_what_is_wrong_inside(mill, path, change, place):
    """A change that sizes and hashes were set right for is still found in the version, the list or the table."""
    files = opened(mill.file())
    changed = change(files[path])
    assert changed != files[path]
    report = check(closed({**files, path: changed}))
    assert any(problem.where.startswith(place) for problem in report.problems), report.problems


def test_a_group_file_leaves_nothing_out(mill):
    """One that says it does is no group file of ours."""
    files = opened(mill.file())
    package = json.loads(files["datapackage.json"])
    package["handover"]["places"] = 2
    report = check(pack({**files, "datapackage.json": json.dumps(package).encode()}))
    assert [problem.where for problem in report.problems] == ["datapackage.json handover"]


def test_the_names_of_hostile_sites_are_harmless_cells(devices):
    """A name that a spreadsheet would run is escaped in the tables and whole in the versions."""
    device = devices()
    device.site("=HYPERLINK(1)")
    data = device.file()
    assert table(data, "sites.csv")[0]["locality"] == "'=HYPERLINK(1)"
    assert "=HYPERLINK(1)" in {version.facts.get("name") for version in take(data).versions}
    assert check(data).ok


def test_an_empty_book_makes_a_good_file(devices):
    """Nothing logged yet is no fault."""
    data = devices().file()
    assert check(data).ok
    assert take(data).versions == ()


def test_a_time_without_offset_is_a_broken_promise():
    """The time a file is made needs its offset."""
    with pytest.raises(ValueError, match="offset"):
        group_file([], lots(), sites(), device="a" * 16, made=MADE.replace(tzinfo=None))


def test_what_would_be_too_large_is_packed_and_still_read(tmp_path, monkeypatch):
    """Beyond what may be read as it is, the file is deflated; whole or cut, its versions come back, without a word."""
    from field_app.handover import group
    from field_app.handover.packing import Limits

    device = Device(tmp_path / "data", 1)
    try:
        for number in range(40):
            device.site(f"Oak ride {number}", f"44.01, -28.0{number:02}")
        stored = device.file()
        monkeypatch.setattr(group, "LIMITS", Limits(packed=len(stored) // 2))
        packed = device.file()
        assert len(packed) < len(stored) / 2
        assert take(packed).problems == take(packed).notes == ()
        assert {version.text for version in take(packed).versions} == device.texts()
        cut = take(packed[:packed.index(b"lots.csv", 200)])
        assert cut.cut
        assert {version.text for version in cut.versions} == device.texts()
        half = take(packed[:packed.index(b"versions.geojsons", 200) + 3000])
        assert 0 < len(half.versions) < 80
        assert {version.text for version in half.versions} < device.texts()
    finally:
        device.close()
