"""Photographs are kept beside the book before it says so, can be brought back for a day, and are told when damaged."""

import asyncio
import contextlib
import datetime as dt
import hashlib
import stat

import pytest

from field_app.core.problems import FolderFault, NoRoom, Problem, Refused
from field_app.core.records import Draft
from field_app.store import KEPT_FOR, PHOTOGRAPHS, Album, FolderShelf, JournalLog, Log, inspect, is_name, read_journal
from field_app.store import shelf as shelf_module
from tests.photographs import photograph
from tests.store.making import NOW_MS

LOT, OTHER = ("urn:uuid:01890000-0000-7000-8000-00000000000" + end for end in "12")
DAY = dt.datetime.fromisoformat("2026-10-08T15:00:00-02:00")


class Shed:
    """A folder with two lots and their photographs, and a clock that the test sets."""

    def __init__(self, folder):
        self.folder, self.now = folder, DAY
        self.open()
        self.log.append([Draft(LOT, "lot", {"site": "s"}), Draft(OTHER, "lot", {"site": "s"})], now_ms=NOW_MS)

    def open(self):
        self.log = Log(self.folder, new_device="a" * 16)
        self.shelf = FolderShelf(self.folder / PHOTOGRAPHS)
        self.album = Album(self.log, self.shelf, lambda: self.now)

    def again(self):
        self.log.close()
        self.open()

    def add(self, data, thing=LOT, name="heap.jpg"):
        return asyncio.run(self.album.add(thing, data, name))

    def read(self, one):
        return asyncio.run(self.album.read(one))

    def sweep(self):
        return asyncio.run(self.album.sweep())

    def files(self):
        return sorted(path.name for path in (self.folder / PHOTOGRAPHS).iterdir())


@pytest.fixture
def shed(tmp_path):
    found = Shed(tmp_path / "data")
    yield found
    found.log.close()


def test_what_was_kept_is_there_after_a_restart(shed):
    """The bytes lie beside the database under their SHA-256, for their owner alone, and are read back the same."""
    data = [photograph(shade=shade) for shade in (0, 60)]
    kept = [shed.add(each) for each in data]
    shed.again()
    assert list(shed.album.of(LOT)) == kept
    assert [shed.read(one) for one in kept] == data
    assert shed.files() == sorted(f"{hashlib.sha256(each).hexdigest()}.jpeg" for each in data)
    for path in (shed.folder / PHOTOGRAPHS).iterdir():
        assert stat.S_IMODE(path.stat().st_mode) == 0o600
    assert stat.S_IMODE((shed.folder / PHOTOGRAPHS).stat().st_mode) == 0o700
    assert inspect(shed.log) == ()


def test_the_same_one_again_changes_nothing(shed):
    """Added twice it is there once; for another lot it is another photograph with the same file."""
    one = shed.add(photograph())
    assert shed.add(photograph()) == one
    assert shed.add(photograph(), OTHER).of == OTHER
    assert (len(shed.album.of(LOT)), len(shed.album.all()), len(shed.files())) == (1, 2, 1)


@pytest.mark.parametrize(("data", "thing", "words"), [
    (b"Dear miller", LOT, "not a photograph"), (photograph()[:-40], LOT, "cut off"),
    (photograph(), "urn:uuid:01890000-0000-7000-8000-00000000000f", "not in the book"),
])
def test_what_can_t_be_kept_leaves_nothing_behind(shed, data, thing, words):
    """A letter, a photograph that was cut off, or one of nothing: refused in words, and no file is left."""
    with pytest.raises(Refused, match=words):
        shed.add(data, thing)
    assert shed.album.all() == ()
    assert not (shed.folder / PHOTOGRAPHS).exists()


def test_a_disk_that_fails_keeps_nothing_and_says_so(shed, monkeypatch):
    """The book tells of no photograph whose bytes could not be put on the disk."""
    def full(path, *, check):
        raise NoRoom(Problem(str(path), "the disk is full", "Make room."))

    monkeypatch.setattr(shelf_module, "whole_file", full)
    with pytest.raises(NoRoom):
        shed.add(photograph())
    assert shed.album.all() == ()
    monkeypatch.undo()
    shed.add(photograph())
    assert len(shed.album.all()) == 1


def test_what_was_taken_away_comes_back_for_a_day(shed):
    """It leaves the lot at once and can be brought back as it was; a day later its file is gone for good."""
    one, two = shed.add(photograph()), shed.add(photograph(shade=60))
    shed.now += dt.timedelta(hours=1)
    shed.album.take_away(one)
    assert (shed.album.of(LOT), [gone.sha256 for gone in shed.album.taken_away(LOT)]) == ((two,), [one.sha256])
    assert shed.album.taken_away(OTHER) == ()
    shed.again()
    assert shed.sweep() == 0
    shed.album.bring_back(shed.album.taken_away(LOT)[0])
    assert set(shed.album.of(LOT)) == {one, two}
    assert shed.read(one) == photograph()
    shed.album.take_away(one)
    shed.now += KEPT_FOR + dt.timedelta(minutes=1)
    assert shed.album.taken_away(LOT) == ()
    assert shed.sweep() == 1
    assert shed.files() == [two.name]
    assert inspect(shed.log) == ()


def test_a_file_that_another_lot_shows_is_not_swept(shed):
    """As long as one thing shows a photograph its file stays, and so does a file that the book does not know."""
    one = shed.add(photograph())
    shed.add(photograph(), OTHER)
    loose = hashlib.sha256(b"loose").hexdigest() + ".jpeg"
    (shed.folder / PHOTOGRAPHS / loose).write_bytes(b"loose")
    shed.album.take_away(one)
    shed.now += 2 * KEPT_FOR
    assert shed.sweep() == 0
    assert shed.files() == sorted([one.name, loose])


def test_a_missing_or_damaged_file_is_told(shed):
    """Reading says which it is; looking the folder over finds both, names the lot, and says what to do."""
    one, two = shed.add(photograph()), shed.add(photograph(shade=60))
    (shed.folder / PHOTOGRAPHS / one.name).unlink()
    path = shed.folder / PHOTOGRAPHS / two.name
    path.write_bytes(path.read_bytes()[:-1] + b"\0")
    for each, words in ((one, "missing"), (two, "damaged")):
        with pytest.raises(Refused, match=words):
            shed.read(each)
    assert [(problem.what, problem.record) for problem in inspect(shed.log)] == [
        ("its file is missing on this device", LOT), ("its file is damaged", LOT)]
    assert shed.add(photograph()) == one  # adding it once more mends it
    assert shed.read(one) == photograph()


def test_names_that_are_none_lead_nowhere(shed):
    """Only the name of a photograph is a file's name; a path out of the folder is nothing."""
    shed.add(photograph())
    (shed.folder / "secret").write_bytes(b"secret")
    for name in ("../secret", "secret", "", "0" * 64, "0" * 64 + ".jpeg/../../secret", "0" * 64 + ".svg"):
        assert not is_name(name)
        assert asyncio.run(shed.shelf.read(name)) is None
        asyncio.run(shed.shelf.remove(name))
    assert (shed.folder / "secret").exists()


def test_a_database_that_went_missing_does_not_take_its_photographs_along(shed):
    """A folder of photographs without its database is told to be damaged, not begun anew."""
    shed.add(photograph())
    shed.log.close()
    for path in shed.folder.glob("field-app.sqlite*"):
        path.unlink()
    with pytest.raises(FolderFault, match="only photographs are left"):
        Log(shed.folder, new_device="b" * 16)


def test_what_a_phone_notes_of_photographs_is_there_after_a_restart(tmp_path):
    """The journal, from which a phone rebuilds its book, tells of photographs that were kept and taken away."""
    kept = bytearray()

    def opened(number, entries):
        return JournalLog(tmp_path / str(number), new_device="a" * 16, entries=entries, keep=kept.extend)

    with contextlib.closing(opened(1, ())) as log:
        log.append([Draft(LOT, "lot", {"site": "s"})], now_ms=NOW_MS)
        album = Album(log, FolderShelf(tmp_path / "shelf"), lambda: DAY)
        one, two = (asyncio.run(album.add(LOT, photograph(shade=shade), "heap.jpg")) for shade in (0, 60))
        album.take_away(two)
    with contextlib.closing(opened(2, read_journal(bytes(kept)).entries)) as log:
        album = Album(log, FolderShelf(tmp_path / "shelf"), lambda: DAY)
        assert (album.of(LOT), [gone.sha256 for gone in album.taken_away(LOT)]) == ((one,), [two.sha256])
        album.bring_back(two)
    with contextlib.closing(opened(3, read_journal(bytes(kept)).entries)) as log:
        assert set(Album(log, FolderShelf(tmp_path / "shelf"), lambda: DAY).of(LOT)) == {one, two}
