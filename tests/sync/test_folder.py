"""Syncing with a shared folder: what is written, what is read, what is left alone, and what is told."""

import datetime as dt
import os
import shutil

import pytest

from field_app.core.problems import Refused
from field_app.handover import planner_file
from field_app.store import DATABASE
from field_app.store.sync import copy_notes, set_aside
from field_app.sync import group_name, merge_bytes
from tests.sync.island import DECADE, START, digest, windfall

DAY = dt.timedelta(days=1)


def names(folder):
    return sorted(path.name for path in folder.iterdir())


def test_two_devices_agree_after_each_has_synced(devices, shared):
    """What one logged the other has, from whom is told, and both files hold the same versions."""
    one, two = devices(), devices()
    one.site()
    lot = one.lot()
    first = one.sync(shared)
    assert (first.new, first.wrote, first.first) == (0, True, True)
    assert "exact places" in first.notice
    met = two.sync(shared)
    assert dict(met.devices) == {one.id: 3}
    assert met.sentences()[0] == f"3 records new: 3 from device {one.id}."
    assert two.book.lot(lot.code).net == lot.net
    two.draw(lot.code, "2 kg")
    two.sync(shared)
    again = one.sync(shared)
    assert (again.new, again.first, again.notice) == (1, False, "")
    assert one.book.lot(lot.code).life.left.central == pytest.approx(11.1)
    assert digest((shared / group_name(one.id)).read_bytes()) == digest((shared / group_name(two.id)).read_bytes())


def test_a_device_writes_its_own_file_alone_and_only_when_it_knows_more(devices, shared):
    """No other file is touched, nothing is deleted, no database is there, and nothing is rewritten for nothing."""
    one, two = devices(), devices()
    one.site()
    one.sync(shared)
    stranger = shared / "notes.txt"
    stranger.write_text("milk")
    before = (shared / group_name(one.id)).read_bytes()
    two.sync(shared)
    assert names(shared) == sorted([group_name(one.id), group_name(two.id), "notes.txt"])
    assert (shared / group_name(one.id)).read_bytes() == before
    stamps = {path: path.stat().st_mtime_ns for path in shared.iterdir()}
    report = two.sync(shared)
    assert not report.wrote
    assert report.ignored == 1
    assert {path: path.stat().st_mtime_ns for path in shared.iterdir()} == stamps
    assert not any(DATABASE in name for name in names(shared))


@pytest.mark.parametrize("harm", [lambda data: data[:-30], lambda data: data.replace(b"Mill lane", b"Mall lane", 1),
                                  lambda data: data.replace(b"lots.geojson", b"lots.geojsun", 1), lambda _: b""])
def test_a_device_mends_its_own_file(devices, shared, harm):
    """An own file that was cut, changed or emptied is written anew."""
    one = devices()
    one.site()
    one.sync(shared)
    path = shared / group_name(one.id)
    good = path.read_bytes()
    path.write_bytes(harm(good))
    assert one.sync(shared).wrote
    assert digest(path.read_bytes()) == digest(good)
    assert not one.sync(shared).wrote


@pytest.mark.parametrize("name", [
    "harvest-lots.{} (conflicted copy).zip", "harvest-lots.{} (1).zip", "Copy of harvest-lots.{}.zip",
    "harvest-lots.{}.sync-conflict-20261009-101500-ABCDEFG.zip", ".harvest-lots.{}.zip.part", "HARVEST-LOTS.{}.ZIP",
    "harvest-lots.{}.zip~", "from the sawyer.zip"])
def test_copies_are_taken_in_whatever_they_are_called(devices, shared, name):
    """A conflicting copy, a download's second name, a hidden or a renamed file: all are read."""
    one, two = devices(), devices()
    one.site()
    (shared / name.format(one.id)).write_bytes(one.file())
    assert two.sync(shared).new == 2


@pytest.mark.parametrize("share", [0.02, 0.2, 0.6, 0.99])
def test_a_half_written_file_gives_what_is_whole_in_it_and_is_told(devices, shared, share):
    """What can be read enters, the rest comes when the file is whole; nothing is set aside for being torn."""
    one, two = devices(), devices()
    for name in ("Mill lane", "Ford bend", "Oak ride", "Chapel green"):
        one.site(name)
    data = one.file()
    path = shared / group_name(one.id)
    path.write_bytes(data[:int(len(data) * share)])
    report = two.sync(shared)
    assert report.problems
    assert all(path.name in problem.where for problem in report.problems)
    assert report.set_aside == 0
    path.write_bytes(data)
    assert two.sync(shared).new == 8 - report.new
    assert two.texts() >= one.texts()


def test_a_planners_file_in_the_folder_is_left_alone(devices, shared):
    """A file for a planner is no group file: by another name it is ignored, by our name it is noted."""
    one = devices()
    one.site()
    one.lot()
    data = planner_file(one.book.lots(), one.book.sites(), made=START)
    (shared / "lots.zip").write_bytes(data)
    report = one.sync(shared)
    assert (report.ignored, report.problems, report.files) == (1, (), ())
    (shared / "harvest-lots for the dye day.zip").write_bytes(data)
    report = one.sync(shared)
    assert report.problems == ()
    assert any("planner's file" in sentence for sentence in report.sentences())


def test_folders_links_and_unreadable_files_are_no_harm(devices, shared, tmp_path):
    """Only plain files are read; one that may not be read is told by its name."""
    one = devices()
    (shared / "harvest-lots.folder.zip").mkdir()
    (shared / "harvest-lots.link.zip").symlink_to("/dev/zero")
    os.mkfifo(shared / "harvest-lots.pipe.zip")
    assert one.sync(shared).problems == ()
    if os.geteuid():
        (shared / "harvest-lots.locked.zip").touch(mode=0)
        assert "can't be read" in str(one.sync(shared).problems[0])


def test_a_huge_file_is_refused_by_its_size(devices, shared, monkeypatch):
    """More than a group file may be is not read into memory."""
    from field_app.handover.packing import Limits
    from field_app.sync import folder

    monkeypatch.setattr(folder, "LIMITS", Limits(packed=50_000_000))
    with (shared / "harvest-lots.huge.zip").open("wb") as file:
        file.truncate(3_000_000_000)
    (problem,) = devices().sync(shared).problems
    assert "at most 50,000,000 are read" in problem.what


def test_a_folder_that_is_no_place_for_it_is_refused(devices, shared, tmp_path):
    """Not there, a file, or with the database in it or around it: refused with words, nothing written."""
    one = devices()
    (tmp_path / "file").touch()
    inner = one.folder / "inner"
    inner.mkdir()
    for folder in (tmp_path / "nowhere", tmp_path / "file", one.folder, one.folder.parent, inner):
        with pytest.raises(Refused) as refused:
            one.sync(folder)
        assert refused.value.problems[0].where == "FOLDER"
    assert names(inner) == []


def test_bad_versions_are_set_aside_once_and_listed(devices, shared):
    """What can't enter is kept with its reason and its file; the same again adds nothing, and stays told."""
    one, two = devices(), devices()
    one.site()
    data = one.file()
    path = shared / "harvest-lots.other.zip"
    path.write_bytes(data.replace(b"Mill lane", b"Mell lane", 1))
    report = two.sync(shared)
    assert (report.new, report.set_aside, report.waiting) == (1, 1, 1)
    again = two.sync(shared)
    assert (again.new, again.set_aside, again.waiting) == (0, 0, 1)
    assert again.problems == report.problems
    (one_aside,) = set_aside(two.book.log_book)
    assert b"Mell lane" in one_aside.text
    assert one_aside.file == path.name
    assert one_aside.problem.where.startswith(f"{path.name}, versions.geojsons record ")
    two.reopen()
    assert set_aside(two.book.log_book) == (one_aside,)


def test_what_is_taken_in_later_is_no_longer_listed(devices):
    """Bytes that a newer program accepts leave the list of what is set aside, not the table."""
    from field_app.core.problems import Problem
    from field_app.store.sync import merge

    one, two = devices(), devices()
    one.site()
    (version, *_) = one.book.log_book.versions()
    log = two.book.log_book
    merge(log, (), [(version.text, Problem("x", "is of a newer program", "Update."))], name="f.zip", now_ms=0)
    assert [aside.name for aside in set_aside(log)] == [version.name]
    merge_bytes(two.book, one.file(), "f.zip")
    assert set_aside(log) == ()


def test_disagreements_and_overdrafts_are_told(devices, shared):
    """Two people who correct one lot, and who draw more than there is, hear of it with names."""
    one, two = devices(), devices()
    one.site()
    lot = one.lot(gross="11.1 kg")
    one.sync(shared)
    two.sync(shared)
    one.draw(lot.code, "6 kg", by="the miller")
    two.draw(lot.code, "7 kg", by="the sawyer")
    one.book.correct(lot.id, windfall(gross="12.1 kg"))
    two.book.correct(lot.id, windfall(gross="10.1 kg"))
    one.sync(shared)
    report = two.sync(shared)
    (overdraft,) = report.overdrafts
    held = two.book.lot(lot.code)
    assert overdraft.amount == pytest.approx(13 - held.net.central)
    assert overdraft.words in " ".join(report.sentences())
    assert [apart.difference.about for apart in report.disagreements] == ["how much", "when"]
    told = " ".join(report.sentences())
    assert f"lot {lot.code}, how much: “basis weighed, gross" in told
    assert report.problems == ()


def test_clocks_that_are_wrong_are_told_and_their_records_kept(devices, shared):
    """A clock days ahead, one that is years behind, and one's own that went back: each in plain words."""
    right, ahead, behind = devices(), devices(now=START + 3 * DAY), devices(now=START - DECADE)
    for number, device in enumerate((right, ahead, behind)):
        device.site(f"Oak ride {number}")
        device.sync(shared)
    report = right.sync(shared)
    told = " ".join(report.sentences())
    assert f"the clock of device {ahead.id} is 3 days ahead; its records are kept" in told
    assert f"the clock of device {behind.id} was " in told
    assert " days behind, or more; its records are kept" in told
    assert len(right.book.sites()) == 3
    assert report.problems == ()
    ahead.clock.now = START
    assert "this device's own records are 3 days ahead of its clock" in " ".join(ahead.sync(shared).sentences())


def test_a_day_is_no_wrong_clock(devices, shared):
    """Less than a day apart is not worth a word."""
    right, ahead = devices(), devices(now=START + DAY * 0.9)
    ahead.site()
    ahead.sync(shared)
    assert right.sync(shared).clocks == ()


def test_a_copied_folder_goes_on_under_another_name(devices, shared, tmp_path):
    """The copy gets an id and a file of its own; both keep what each wrote, and it is said in plain words."""
    one = devices()
    one.site()
    one.sync(shared)
    one.close()
    shutil.copytree(one.folder, tmp_path / "copy")
    one.reopen()
    copy = devices(number=7, folder=tmp_path / "copy")
    assert copy.id != one.id
    one.lot(gross="5 kg")
    copy.lot(gross="7 kg")
    one.sync(shared)
    report = copy.sync(shared)
    assert report.cloned
    assert f"goes on as device {copy.id}" in " ".join(report.sentences())
    assert names(shared) == sorted([group_name(one.id), group_name(copy.id)])
    one.sync(shared)
    assert one.texts() == copy.texts()
    assert one.book.count("lot") == 2


def test_a_restored_folder_finds_out_by_reading(devices, shared, tmp_path):
    """A database put back as it was before writes the same numbers again: told, both kept, and it goes on anew."""
    one, two = devices(), devices()
    one.site()
    one.close()
    before = (one.folder / DATABASE).read_bytes()
    one.reopen()
    old = one.id
    one.lot(gross="5 kg")
    one.sync(shared)
    one.close()
    (one.folder / DATABASE).write_bytes(before)
    one.reopen()
    one.lot(gross="7 kg")
    report = one.sync(shared)
    assert report.cloned
    assert one.id != old
    assert one.book.count("lot") == 2
    assert (shared / group_name(old)).exists()
    assert two.sync(shared).new == len(one.texts())
    (note,) = copy_notes(two.book.log_book)
    assert f"device {old} was copied or restored" in str(note)


def test_a_report_as_json_is_plain_data(devices, shared):
    """Programs get every part of the report without any text to take apart."""
    import json

    one, two = devices(), devices()
    one.site()
    one.sync(shared)
    told = json.loads(json.dumps(two.sync(shared).as_json()))
    assert told["devices"] == {one.id: 2}
    assert told["files"] == [{"name": group_name(one.id), "new": 2, "known": 0, "set_aside": 0, "cut": False}]
    assert told["first"] is True
