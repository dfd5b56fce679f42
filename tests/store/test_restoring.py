"""A restored folder holds what the backup holds; what was there before is kept, and a bad file changes nothing."""

import contextlib
import sqlite3
import subprocess
import sys
import zipfile

import pytest

from field_app.core.problems import FolderFault, ForeignFolder, NewerFolder, NoRoom, Refused
from field_app.core.records import Draft
from field_app.store import restoring
from field_app.store.backup import MANIFEST, VERSIONS, back_up
from field_app.store.folder import DATABASE, JOURNAL
from field_app.store.inspection import inspect
from field_app.store.log import Log
from field_app.store.restoring import restore
from field_app.store.schema import FORMAT
from tests.store.files import contents, manifest_of, packed, sequence
from tests.store.making import NOW_MS, Devices, feature_of, text_of

SITE = "urn:uuid:01890000-0000-7000-8000-000000000001"


@pytest.fixture
def backup(opened, tmp_path):
    """A backup of a folder with its own and others' versions, which is gone."""
    log = opened("source", device="a" * 16)
    log.take_in_texts(Devices(3).many(100), now_ms=NOW_MS)
    log.append([Draft(SITE, "site", {"name": "Mill lane"}, (44.01234, -28.00567))], now_ms=NOW_MS)
    back_up(log, tmp_path / "backup.zip")
    return tmp_path / "backup.zip"


def put_back(backup, folder, device="c" * 16):
    return restore(backup, folder, new_device=device, now_ms=NOW_MS)


def texts(folder):
    with contextlib.closing(Log(folder, new_device="d" * 16)) as log:
        assert inspect(log) == ()
        return [*log.texts()]


def test_a_backup_fills_a_new_folder(backup, tmp_path, opened):
    """Restored into a folder that is not there, every version and all that holds is as before, under a new id."""
    done = put_back(backup, tmp_path / "new")
    assert (done.versions, done.kept, done.folder) == (101, None, tmp_path / "new")
    source, new = opened("source"), opened("new")
    assert [*new.texts()] == [*source.texts()]
    assert new.things("lot") == source.things("lot")
    assert (new.device, new.notices, inspect(new)) == ("c" * 16, (), ())
    assert new.append([Draft(SITE, "site", {})], now_ms=NOW_MS)[0].seq == 1
    back_up(new, tmp_path / "again.zip")
    assert sorted(path.name for path in tmp_path.iterdir()) == ["again.zip", "backup.zip", "new", "source"]
    assert [path.name for path in (tmp_path / "new").iterdir() if path.suffix == ".part"] == []


def test_an_empty_folder_is_filled(backup, tmp_path):
    """An empty folder, or one with hidden files alone, is filled, with rights for its owner alone."""
    (tmp_path / "new").mkdir(mode=0o755)
    (tmp_path / "new" / ".directory").touch()
    assert put_back(backup, tmp_path / "new").kept is None
    assert (tmp_path / "new").stat().st_mode & 0o777 == 0o700
    assert len(texts(tmp_path / "new")) == 101


def test_what_was_there_is_kept_beside(backup, tmp_path):
    """A folder with data is replaced, and a copy of it opens beside it; restoring again keeps another one."""
    with contextlib.closing(Log(tmp_path / "data", new_device="b" * 16)) as log:
        log.append([Draft(SITE, "site", {"name": "Ford bend"})], now_ms=NOW_MS)
        before = [*log.texts()]
    first = put_back(backup, tmp_path / "data")
    second = put_back(backup, tmp_path / "data", device="e" * 16)
    assert (first.kept, second.kept) == (tmp_path / "data-before-restore-1", tmp_path / "data-before-restore-2")
    assert texts(first.kept) == before
    assert texts(second.kept) == texts(tmp_path / "data") == texts(tmp_path / "source")
    assert first.kept.stat().st_mode & 0o777 == 0o700


def test_a_relative_folder_is_restored_too(backup, tmp_path, monkeypatch):
    """The folder may be named from where one stands, even as the folder itself."""
    (tmp_path / "data").mkdir()
    monkeypatch.chdir(tmp_path / "data")
    from pathlib import Path

    assert put_back(backup, Path()).kept is None
    assert put_back(backup, Path()).kept == tmp_path / "data-before-restore-1"


def bad_files():
    good = text_of(feature_of(SITE, "site", {"name": "Mill lane"}))
    for name, bad in {"junk": b"junk", "spaces": good + b" ", "large": b"x" * 70_000,
                      "long text": text_of(feature_of(SITE, "site", {"note": "x" * 5_000}))}.items():
        data = sequence(good, bad)
        yield pytest.param({VERSIONS: data, MANIFEST: manifest_of(data, 2)}, "record 2", id=name)
    data = sequence(good)
    yield pytest.param({VERSIONS: data, MANIFEST: manifest_of(data, 2)}, MANIFEST, id="count")
    yield pytest.param({VERSIONS: data[:-1], MANIFEST: manifest_of(data, 1)}, "record 1", id="cut")
    yield pytest.param({VERSIONS: data}, "x.zip", id="member")


@pytest.mark.parametrize(("files", "place"), [*bad_files()])
def test_a_bad_file_changes_nothing(opened, tmp_path, files, place):
    """A backup with a fault is refused, naming the place; folder and neighbourhood stay to the byte."""
    log = opened("data")
    log.append([Draft(SITE, "site", {"name": "Ford bend"})], now_ms=NOW_MS)
    log.close()
    path = packed(tmp_path / "x.zip", files)
    before = contents(tmp_path / "data")
    with pytest.raises(Refused) as caught:
        put_back(path, tmp_path / "data")
    assert place in caught.value.problems[0].where
    after = contents(tmp_path / "data")
    assert {name: kept for name, kept in after.items() if name != "."} == {
        name: kept for name, kept in before.items() if name != "."}
    assert sorted(path.name for path in tmp_path.iterdir()) == ["data", "x.zip"]
    with pytest.raises(Refused):
        put_back(path, tmp_path / "new")
    assert not (tmp_path / "new").exists()


def test_foreign_and_newer_folders_are_not_replaced(backup, tmp_path):
    """What another program or a newer version keeps in a folder is not moved away for a backup."""
    (tmp_path / "foreign").mkdir()
    (tmp_path / "foreign" / "letter.txt").write_text("Dear miller")
    Log(tmp_path / "newer", new_device="b" * 16).close()
    with contextlib.closing(sqlite3.connect(tmp_path / "newer" / DATABASE)) as connection:
        connection.execute(f"pragma user_version={FORMAT + 1}")
    for name, fault in (("foreign", ForeignFolder), ("newer", NewerFolder)):
        before = contents(tmp_path / name)
        with pytest.raises(fault):
            put_back(backup, tmp_path / name)
        assert contents(tmp_path / name) == before


@pytest.mark.parametrize("harm", ["middle", "end", "gone"])
def test_a_damaged_folder_is_replaced_and_kept_as_it_is(backup, tmp_path, harm):
    """Where the data are damaged a backup takes their place, and the damaged file is kept to the byte."""
    with contextlib.closing(Log(tmp_path / "data", new_device="b" * 16)) as log:
        log.take_in_texts(Devices(1).many(100), now_ms=NOW_MS)
    path = tmp_path / "data" / DATABASE
    data = path.read_bytes()
    bad = {"middle": data[:4096] + b"\xaa" * (len(data) - 4096), "end": data[:6000], "gone": b""}[harm]
    path.write_bytes(bad)
    (tmp_path / "data" / JOURNAL).write_bytes(b"left over" if harm == "gone" else b"")
    if harm == "gone":
        path.unlink()
    kept = put_back(backup, tmp_path / "data").kept
    assert texts(tmp_path / "data") == texts(tmp_path / "source")
    if harm == "gone":
        assert (kept / JOURNAL).read_bytes() == b"left over"
    else:
        assert (kept / DATABASE).read_bytes() == bad


def test_an_unfinished_save_is_taken_back_before_the_copy_is_kept(backup, tmp_path):
    """A journal that a power cut left is used up first: the copy beside is whole, and the new data are not harmed."""
    with contextlib.closing(Log(tmp_path / "data", new_device="b" * 16)) as log:
        log.take_in_texts(Devices(1).many(50), now_ms=NOW_MS)
        before = [*log.texts()]
    code = ("import sqlite3, sys, os\n"
            "connection = sqlite3.connect(sys.argv[1], isolation_level=None)\n"
            "connection.execute('pragma journal_mode=truncate')\n"
            "connection.execute('pragma cache_size=1')\n"
            "connection.execute('begin immediate')\n"
            "connection.execute('drop trigger version_no_update')\n"
            "connection.execute(\"update version set text = zeroblob(900)\")\n"
            "os._exit(9)\n")
    subprocess.run([sys.executable, "-c", code, str(tmp_path / "data" / DATABASE)], check=False)
    assert (tmp_path / "data" / JOURNAL).stat().st_size > 0
    kept = put_back(backup, tmp_path / "data").kept
    assert texts(kept) == before
    assert texts(tmp_path / "data") == texts(tmp_path / "source")


@pytest.mark.skipif(sys.platform == "win32", reason="Windows lets nobody replace a file that is open")
def test_a_log_that_is_still_open_does_not_write_any_more(backup, opened, tmp_path):
    """A program that had the folder open is told to open it again, and harms neither the new nor the old data."""
    log = opened("data")
    log.append([Draft(SITE, "site", {"name": "Ford bend"})], now_ms=NOW_MS)
    kept = put_back(backup, tmp_path / "data").kept
    with pytest.raises(FolderFault, match="open it again"):
        log.append([Draft(SITE, "site", {"name": "Oak ride"})], now_ms=NOW_MS)
    log.close()
    assert texts(tmp_path / "data") == texts(tmp_path / "source")
    assert len(texts(kept)) == 1


def test_a_folder_that_is_being_written_is_not_replaced(backup, opened, tmp_path, monkeypatch):
    """While another program saves, restoring gives up with words and changes nothing."""
    monkeypatch.setattr(restoring, "PATIENCE", 0.1)
    opened("data").close()
    with contextlib.closing(sqlite3.connect(tmp_path / "data" / DATABASE, isolation_level=None)) as other:
        other.execute("begin immediate")
        with pytest.raises(NoRoom, match="another program"):
            put_back(backup, tmp_path / "data")
        other.execute("rollback")
    assert texts(tmp_path / "data") == []
    assert sorted(path.name for path in tmp_path.iterdir()) == ["backup.zip", "data", "source"]


STEPS = ["copy_file", "put_in_place", "sync_folder", "sweep"]


@pytest.mark.parametrize("step", STEPS)
def test_a_disk_that_fails_at_any_step_leaves_the_old_data(backup, opened, tmp_path, monkeypatch, step):
    """When the disk refuses any step, the old data are there, and restoring works once it does not."""
    opened("data").append([Draft(SITE, "site", {"name": "Ford bend"})], now_ms=NOW_MS)
    before = texts(tmp_path / "data")

    def fails(*_):
        raise OSError(28, "No space left on device")

    with monkeypatch.context() as patch:
        patch.setattr(restoring, step, fails)
        with pytest.raises(NoRoom, match="disk is full"):
            put_back(backup, tmp_path / "data")
    assert texts(tmp_path / "data") == before
    assert put_back(backup, tmp_path / "data").versions == 101


def test_what_is_odd_in_a_backup_is_kept_and_told(tmp_path):
    """A record of a wrong clock is restored like the others, and the person is told."""
    data = sequence(text_of(feature_of(SITE, "site", {"name": "Mill lane"}, ms=NOW_MS * 2)))
    path = packed(tmp_path / "x.zip", {VERSIONS: data, MANIFEST: manifest_of(data, 1)}, compression=zipfile.ZIP_STORED)
    done = put_back(path, tmp_path / "new")
    assert (done.versions, len(done.flagged)) == (1, 1)
    assert "ahead of this device's clock" in done.flagged[0].what
