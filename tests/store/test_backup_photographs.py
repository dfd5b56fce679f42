"""A full copy holds the photographs as they were kept, and gives them back; a file that was changed is refused."""

import asyncio
import hashlib
import io
import itertools
import json
import zipfile

import pytest
import rfc8785

from field_app.core.course import Stopped, heard
from field_app.core.problems import Refused
from field_app.store import (
    PHOTOGRAPHS,
    add_backup,
    add_photographs,
    back_up,
    backup_bytes,
    check_backup,
    restore,
    write_backup,
)
from field_app.store import backup as backup_module
from field_app.store.backup_source import LIST, MANIFEST, VERSIONS, Sizes
from tests.photographs import photograph
from tests.store.making import NOW_MS
from tests.store.test_photographs import LOT, OTHER, Shed

HEAP, PAIL = photograph(way_up=6), photograph("PNG", shade=60)


@pytest.fixture
def sheds(tmp_path):
    """Makes folders with two lots in each."""
    made = []

    def make(name):
        made.append(Shed(tmp_path / name))
        return made[-1]

    yield make
    for one in made:
        one.log.close()


@pytest.fixture
def full(sheds):
    found = sheds("data")
    found.add(HEAP)
    found.add(PAIL)
    found.add(PAIL, OTHER)
    found.album.take_away(found.add(photograph(shade=20)))
    return found


def members(path):
    with zipfile.ZipFile(path) as archive:
        return {name: archive.read(name) for name in archive.namelist()}


def test_a_full_copy_gives_back_every_photograph(full, tmp_path):
    """What is shown by a lot is in it once, bit for bit, with its list; restored, everything is as it was."""
    done = back_up(full.log, tmp_path / "copy.zip")
    assert (done.photographs, done.left_out) == (3, ())
    files = members(tmp_path / "copy.zip")
    assert sorted(data for name, data in files.items() if name.startswith(PHOTOGRAPHS + "/")) == sorted([HEAP, PAIL])
    assert HEAP.count(b"Pinhole") == 1  # exact: with all that the camera noted, since it is the person's own copy
    found = restore(tmp_path / "copy.zip", tmp_path / "new", new_device="b" * 16, now_ms=NOW_MS)
    assert (found.photographs, found.kept) == (2, None)
    full.log.close()
    full.folder = tmp_path / "new"
    full.open()
    assert sorted((one.of, full.read(one)) for one in full.album.all()) == sorted(
        [(LOT, HEAP), (LOT, PAIL), (OTHER, PAIL)])
    assert full.album.taken_away(LOT) == ()


def test_the_same_photographs_give_the_same_file(full, sheds, tmp_path):
    """In whatever order they were added, on whatever device."""
    back_up(full.log, tmp_path / "one.zip")
    other = sheds("other")
    other.log.take_in_texts(full.log.texts(), now_ms=NOW_MS)
    add = asyncio.run(add_photographs(other.album, (tmp_path / "one.zip").read_bytes(), "one.zip"))
    assert add == 2
    back_up(other.log, tmp_path / "two.zip")
    one, two = members(tmp_path / "one.zip"), members(tmp_path / "two.zip")
    assert {name: data for name, data in one.items() if "photograph" in name} == {
        name: data for name, data in two.items() if "photograph" in name}


def test_without_photographs_the_file_is_as_it_was(sheds, tmp_path):
    """A book without photographs is written as before there were any, so an older program reads it."""
    back_up(sheds("data").log, tmp_path / "copy.zip")
    files = members(tmp_path / "copy.zip")
    assert sorted(files) == [MANIFEST, VERSIONS]
    assert json.loads(files[MANIFEST])["v"] == 1


def test_a_copy_is_added_to_what_is_there(full, sheds):
    """Photographs of another device join those that are here; twice changes nothing, and none is taken away."""
    data, _ = backup_bytes(full.log)
    other = sheds("other")
    other.add(photograph(shade=90))
    for new in (2, 0):
        add_backup(other.log, data, "copy.zip", now_ms=NOW_MS)
        assert asyncio.run(add_photographs(other.album, data, "copy.zip")) == new
    assert len(other.album.all()) == 4
    assert {other.read(one) for one in other.album.all()} == {HEAP, PAIL, photograph(shade=90)}


def test_a_missing_file_keeps_nothing_else_back(full, tmp_path):
    """A photograph whose file is gone or damaged is left out of the copy, and told of; all else is in it."""
    heap = next(one for one in full.album.all() if one.kind == "jpeg")
    (full.folder / PHOTOGRAPHS / heap.name).write_bytes(b"\xff\xd8\xff")
    done = back_up(full.log, tmp_path / "copy.zip")
    assert done.photographs == 2
    assert [problem.what for problem in done.left_out] == ["its file is damaged"]
    assert check_backup(tmp_path / "copy.zip").photographs == 2


def test_what_was_there_before_a_restore_is_kept_with_its_photographs(full, sheds, tmp_path):
    """The folder that is kept beside holds its photographs too, and those of the backup take their place."""
    other = sheds("other")
    other.add(photograph(shade=90))
    back_up(other.log, tmp_path / "copy.zip")
    full.log.close()
    done = restore(tmp_path / "copy.zip", full.folder, new_device="b" * 16, now_ms=NOW_MS)
    full.open()
    assert [full.read(one) for one in full.album.all()] == [photograph(shade=90)]
    full.log.close()
    full.folder = done.kept
    full.open()
    assert {full.read(one) for one in full.album.all()} == {HEAP, PAIL}


def test_a_folder_that_lost_its_database_can_be_restored(full, tmp_path):
    """Photographs without a database are kept aside, and the backup takes the place."""
    back_up(full.log, tmp_path / "copy.zip")
    full.log.close()
    (full.folder / "field-app.sqlite").unlink()
    done = restore(tmp_path / "copy.zip", full.folder, new_device="b" * 16, now_ms=NOW_MS)
    assert len(list((done.kept / PHOTOGRAPHS).iterdir())) == 3
    full.open()
    assert len(full.album.all()) == 3


def changed(files, **changes):
    found = {**files}
    for name, data in changes.items():
        found[name.replace("__", "/")] = data
    return {name: data for name, data in found.items() if data is not None}


def packed(path, files):
    with zipfile.ZipFile(path, "w") as archive:
        for name, data in files.items():
            archive.writestr(name, data)
    return path


def relisted(files, rows):
    """The same files with another list, of which the manifest tells."""
    text = rows if isinstance(rows, bytes) else rfc8785.dumps(rows)
    manifest = {**json.loads(files[MANIFEST]), "photographs": hashlib.sha256(text).hexdigest()}
    return {**files, LIST: text, MANIFEST: rfc8785.dumps(manifest)}


def test_a_copy_that_was_changed_is_refused(full, sheds, tmp_path):
    """A photograph or its list missing, swapped, renamed, doubled, too large or no photograph: the place is named."""
    back_up(full.log, tmp_path / "copy.zip")
    files = members(tmp_path / "copy.zip")
    rows = json.loads(files[LIST])
    heap = next(name for name in files if name.endswith(".jpeg"))
    letter = hashlib.sha256(b"Dear miller").hexdigest()
    lettered = {**files, f"{PHOTOGRAPHS}/{letter}.jpeg": b"Dear miller"}
    lying = [{**row, "kind": "webp"} if row["kind"] == "jpeg" else row for row in rows]
    cases = {
        "no list": ({name: data for name, data in files.items() if name != LIST}, "should hold"),
        "no photograph": ({name: data for name, data in files.items() if name != heap}, "other photographs than"),
        "other bytes": ({**files, heap: photograph(shade=11)}, "not those it is named by"),
        "a path": ({**files, "../" + heap: HEAP}, "should hold"),
        "another name": ({**files, f"{PHOTOGRAPHS}/heap.jpeg": HEAP}, "should hold"),
        "other list": ({**files, LIST: b"[]"}, "not the list that the manifest tells of"),
        "no rows": (relisted(files, []), "other photographs than"),
        "no list at all": (relisted(files, b"{"), "no list of photographs"),
        "more said": (relisted(files, [{**row, "place": "44 N"} for row in rows]), "no list of photographs"),
        "odd thing": (relisted(files, [{**row, "of": "../x"} for row in rows]), "no list of photographs"),
        "odd size": (relisted(files, [{**row, "size": row["size"] + 1} for row in rows]), "not those it is named by"),
        "a letter": (relisted(lettered, [*rows, {**rows[0], "sha256": letter, "kind": "jpeg", "size": 11}]),
                     "not a photograph"),
        "another kind": (relisted({**files, heap.replace("jpeg", "webp"): HEAP, heap: HEAP},
                                  [*lying, *rows]), "is no webp"),
        "version": ({**files, MANIFEST: rfc8785.dumps({**json.loads(files[MANIFEST]), "v": 3})}, "newer version"),
    }
    other = sheds("other")
    for name, (bad, words) in cases.items():
        path = packed(tmp_path / "bad.zip", bad)
        with pytest.raises(Refused, match=words) as told:
            check_backup(path)
        assert told.value.problems[0].where.startswith("bad.zip"), name
        with pytest.raises(Refused, match=words):
            restore(path, tmp_path / "nowhere", new_device="c" * 16, now_ms=NOW_MS)
        assert not (tmp_path / "nowhere").exists(), name
        with pytest.raises(Refused, match=words):
            add_backup(other.log, path.read_bytes(), "bad.zip", now_ms=NOW_MS)
    assert other.album.all() == ()


def test_every_flipped_bit_is_noticed(full, tmp_path):
    """Wherever a bit of the file is turned, it is refused, or what it gives back is the same."""
    path = tmp_path / "copy.zip"
    back_up(full.log, path)
    data, whole = path.read_bytes(), members(path)
    noticed = 0
    for at in range(0, len(data), max(1, len(data) // 400)):
        path.write_bytes(data[:at] + bytes([data[at] ^ 1 << at % 8]) + data[at + 1:])
        try:
            check_backup(path)
        except Refused:
            noticed += 1
        else:
            assert members(path) == whole
    assert noticed > 350


def test_more_photographs_than_a_copy_may_hold_are_told(full, tmp_path, monkeypatch):
    """Rather than a file that can't be put back, the person gets another way."""
    monkeypatch.setattr(backup_module, "SIZES", Sizes(photographs=len(HEAP)))
    with pytest.raises(Refused, match="copy the whole data folder"):
        back_up(full.log, tmp_path / "copy.zip")
    assert not (tmp_path / "copy.zip").exists()


def test_a_copy_written_piece_by_piece_is_the_same_file(full, tmp_path):
    """Into an open file, one photograph after the other, as a phone writes it: the same bytes as at once."""
    back_up(full.log, tmp_path / "one.zip")
    with (tmp_path / "two.zip").open("w+b") as file:
        done = asyncio.run(write_backup(full.log, file, full.shelf, "two.zip"))
    assert (tmp_path / "two.zip").read_bytes() == (tmp_path / "one.zip").read_bytes()
    assert (done.photographs, done.left_out, done.size) == (3, (), (tmp_path / "two.zip").stat().st_size)
    (full.folder / PHOTOGRAPHS / full.album.all()[0].name).unlink()
    with (tmp_path / "two.zip").open("w+b") as file:
        done = asyncio.run(write_backup(full.log, file, full.shelf, "two.zip"))
    assert (done.photographs, len(done.left_out)) == (2, 1)


def test_a_file_that_reads_back_otherwise_is_no_copy(full):
    """What the storage of a phone gives back differently than it was written is refused, not handed over."""
    class Bad(io.BytesIO):
        def read(self, *size):
            data = super().read(*size)
            return data.replace(b"Pinhole", b"Pinhale")

    with pytest.raises(Refused, match="damaged"):
        asyncio.run(write_backup(full.log, Bad(), full.shelf, "copy.zip"))


def shares(work):
    """How far the work said it was, each time."""
    told = []
    with heard(told.append):
        work()
    return told


def stopped_at(number):
    """A listener that stops the work at the number-th place where that does no harm."""
    places = itertools.count()

    def hear(_):
        if next(places) == number:
            raise Stopped

    return heard(hear)


def test_a_copy_says_how_far_it_is_and_is_stopped_anywhere(full, tmp_path, monkeypatch):
    """At each place where it can end: the copy that was there stays, and no part of the new one lies beside it."""
    monkeypatch.setattr(backup_module, "_PIECE", 1)
    path = tmp_path / "out" / "copy.zip"
    path.parent.mkdir()
    told = shares(lambda: back_up(full.log, path))
    assert told == sorted(told)
    assert (told[0] < 0.1, told[-1]) == (True, 1.0)
    # Two lots and three photographs, of which two are of the same file, written and read back.
    assert len(told) == 2 + 3 + 2 + 3
    before = path.read_bytes()
    full.add(photograph(shade=90))
    for number in range(len(told)):
        with pytest.raises(Stopped), stopped_at(number):
            back_up(full.log, path)
        assert path.read_bytes() == before
        assert [one.name for one in path.parent.iterdir()] == ["copy.zip"]
        with pytest.raises(Stopped), stopped_at(number):
            backup_bytes(full.log)
    assert back_up(full.log, path).photographs == 4


def test_a_copy_written_piece_by_piece_lets_others_have_their_turn(full, monkeypatch):
    """Where there is one thread, another task sees the work go on, and what it wants stopped is stopped."""
    monkeypatch.setattr(backup_module, "_PIECE", 1)

    async def watched(stop_at):
        turns, told = [], []

        def hear(share):
            told.append(share)
            if len(turns) >= stop_at:
                raise Stopped

        async def other():
            while True:
                turns.append(len(told))
                await asyncio.sleep(0)

        beside = asyncio.ensure_future(other())
        try:
            with heard(hear):
                await write_backup(full.log, io.BytesIO(), full.shelf, "copy.zip")
        finally:
            beside.cancel()
        return turns, told

    turns, told = asyncio.run(watched(999))
    assert len(told) == 10
    assert set(range(10)) <= set(turns)  # between any two pieces it had its turn
    with pytest.raises(Stopped):
        asyncio.run(watched(4))
