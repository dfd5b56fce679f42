"""The order in which the disk is asked: a name is given only to what is on the disk, and then pushed itself."""

import contextlib
import os
import sys
from pathlib import Path

import pytest

from field_app.disk import keep_private, make_folder, mark_of, side_name, sweep, whole_file
from field_app.store.backup import back_up
from field_app.store.folder import DATABASE
from field_app.store.log import Log
from field_app.store.restoring import restore
from tests.store.making import NOW_MS, Devices

pytestmark = pytest.mark.skipif(sys.platform != "linux", reason="what a handle belongs to is seen on Linux alone")


@pytest.fixture
def deeds(monkeypatch, tmp_path):
    """What was synced, renamed and removed, in its order, by names from the test's folder on."""
    noted = []
    fsync, replace, unlink = os.fsync, Path.replace, Path.unlink

    def name(path):
        text = str(Path(path).relative_to(tmp_path))
        return "/".join("…" if part.endswith(".part") else part for part in Path(text).parts) or "."

    def noting_fsync(handle):
        noted.append(f"sync {name(Path(f'/proc/self/fd/{handle}').readlink())}")
        fsync(handle)

    def noting_replace(path, target):
        noted.append(f"rename {name(path)} to {name(target)}")
        return replace(path, target)

    def noting_unlink(path, **more):
        noted.append(f"remove {name(path)}")
        unlink(path, **more)

    monkeypatch.setattr(os, "fsync", noting_fsync)
    monkeypatch.setattr(Path, "replace", noting_replace)
    monkeypatch.setattr(Path, "unlink", noting_unlink)
    return noted


def test_a_file_is_on_the_disk_before_it_gets_its_name(deeds, tmp_path):
    """First the bytes are pushed, then the name is given, then the folder is pushed."""
    with whole_file(tmp_path / "backup.zip", check=lambda _: deeds.append("check")) as file:
        file.write(b"new")
    assert deeds == ["sync …", "check", "rename … to backup.zip", "sync ."]


def test_every_new_folder_is_pushed_by_its_parent(deeds, tmp_path):
    """Of a path of new folders each name lasts; one that was there is not asked again."""
    make_folder(tmp_path / "a" / "b" / "c")
    assert deeds == ["sync .", "sync a", "sync a/b"]
    make_folder(tmp_path / "a" / "b" / "c")
    assert len(deeds) == 3


def test_a_new_database_has_a_lasting_name(deeds, tmp_path):
    """The folder and the file's name in it are pushed before the first table is made."""
    with contextlib.closing(Log(tmp_path / "data", new_device="a" * 16)):
        assert deeds == ["sync .", "sync data"]


def test_the_old_data_are_copied_before_the_new_take_their_place(deeds, tmp_path):
    """The copy is on the disk under its name before the journal goes and the database is replaced."""
    with contextlib.closing(Log(tmp_path / "data", new_device="a" * 16)) as log:
        log.take_in_texts(Devices(1).many(5), now_ms=NOW_MS)
        back_up(log, tmp_path / "backup.zip")
    (tmp_path / "data" / f"{DATABASE}-journal").touch()
    deeds.clear()
    restore(tmp_path / "backup.zip", tmp_path / "data", new_device="b" * 16, now_ms=NOW_MS)
    assert deeds == [
        "sync data/…",
        f"sync …/{DATABASE}", "sync …", "rename … to data-before-restore-1", "sync .",
        f"remove data/{DATABASE}-journal", "sync data",
        f"rename data/…/{DATABASE} to data/{DATABASE}", "sync data"]


def test_left_overs_of_other_files_are_not_swept(tmp_path):
    """What a power cut left of the same file goes; another file's is left alone, also with a like name."""
    parts = [side_name(tmp_path / name) for name in ("backup.zip", "backup.zip", "backup.zip.old", "backup")]
    for part in parts:
        part.mkdir() if part == parts[1] else part.write_bytes(b"half")
    sweep(side_name(tmp_path / "backup.zip"))
    assert sorted(tmp_path.iterdir()) == sorted(parts[2:])
    long = side_name(tmp_path / ("x" * 255))
    assert len(long.name) < 80


def test_only_rights_of_others_are_taken_away(tmp_path):
    """A file keeps its owner's rights, and a folder's missing right is not given to it."""
    path = tmp_path / "file"
    path.touch()
    for mode, due in ((0o644, 0o600), (0o400, 0o400), (0o777, 0o700), (0o600, 0o600)):
        path.chmod(mode)
        keep_private(path)
        assert path.stat().st_mode & 0o777 == due
    keep_private(tmp_path / "nowhere")


def test_a_copy_has_another_mark(tmp_path):
    """The mark of a file stays when it is renamed, and a copy has another one."""
    first, second = tmp_path / "first", tmp_path / "second"
    first.write_bytes(b"x")
    second.write_bytes(b"x")
    mark = mark_of(first)
    assert mark not in ("", mark_of(second))
    first.rename(tmp_path / "third")
    assert mark_of(tmp_path / "third") == mark
