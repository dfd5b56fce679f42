"""The disk is full, in three ways: the person is told, nothing acknowledged is lost, nothing is there by half."""

import contextlib
import errno
import os
import shutil
import subprocess
import sys

import pytest

from field_app import disk
from field_app.core.problems import NoRoom, Refused
from field_app.core.records import Draft, name_of
from field_app.disk import copy_file, told_by_disk, whole_file
from field_app.store.backup import back_up, check_backup
from field_app.store.inspection import inspect
from field_app.store.log import Log
from field_app.store.restoring import restore
from tests.store.making import NOW_MS, Devices

SITE = "urn:uuid:01890000-0000-7000-8000-0000000000ff"


def lot(number, length=300):
    return Draft(f"urn:uuid:01890000-0000-7000-8000-{number:012x}", "lot", {"site": SITE, "note": "x" * length})


def fill(log, limit=100_000):
    """Save until there is no room; gives the names of what was acknowledged, and the message."""
    saved = set()
    for number in range(1, limit):
        try:
            saved |= {version.name for version in log.append([lot(number), lot(number + limit)], now_ms=NOW_MS)}
        except NoRoom as fault:
            return saved, str(fault)
    raise AssertionError("the disk was never full")


def names(log):
    return {name_of(text) for text in log.texts()}


@pytest.fixture
def small_disk(tmp_path):
    """A file system of 2 MB of its own."""
    place = tmp_path / "small"
    place.mkdir()
    done = subprocess.run(["mount", "-t", "tmpfs", "-o", "size=2m", "tmpfs", str(place)], capture_output=True,
                          check=False) if shutil.which("mount") else None
    if done is None or done.returncode:
        pytest.skip("NOT TESTED: a small disk can't be mounted here; it takes Linux and the right to mount")
    yield place
    subprocess.run(["umount", "-l", str(place)], check=True)


def test_a_database_that_may_not_grow(tmp_path):
    """At its largest number of pages the database refuses whole saves and merges, and goes on when it may grow."""
    with contextlib.closing(Log(tmp_path / "data", new_device="a" * 16)) as log:
        log.append([Draft(SITE, "site", {"name": "Mill lane"})], now_ms=NOW_MS)
        with log.reading() as connection:
            pages = connection.execute("pragma page_count").fetchone()[0]
            connection.execute(f"pragma max_page_count={pages + 30}")
        saved, words = fill(log)
        assert "Nothing was saved. Make room on the disk and save again." in words
        assert len(saved) > 10
        before = names(log)
        with pytest.raises(NoRoom):
            log.take_in_texts(Devices(2).many(500), now_ms=NOW_MS)
        assert names(log) == before >= saved
        assert len(before) == len(saved) + 1
        assert inspect(log) == ()
        with log.reading() as connection:
            connection.execute("pragma max_page_count=100000")
        assert log.take_in_texts(Devices(2).many(500), now_ms=NOW_MS).new == 500
        assert log.append([lot(0xFFFFF)], now_ms=NOW_MS)[0].seq == len(saved) + 2
        assert inspect(log) == ()


def test_a_small_disk_that_fills_up(small_disk):
    """On a disk that is really full saving is refused with words; after making room all is there, and saves again."""
    ballast = small_disk / "photographs"
    ballast.write_bytes(bytes(500_000))
    with contextlib.closing(Log(small_disk / "data", new_device="a" * 16)) as log:
        saved, words = fill(log)
        assert "Make room" in words
        with pytest.raises(NoRoom):
            log.take_in_texts(Devices(2).many(300), now_ms=NOW_MS)
        assert (names(log), inspect(log)) == (saved, ())
    with contextlib.closing(Log(small_disk / "data", new_device="b" * 16)) as log:
        assert (names(log), log.notices, inspect(log)) == (saved, (), ())
        ballast.unlink()
        log.append([lot(0xFFFFF, 3_000)], now_ms=NOW_MS)
        assert (len(names(log)), inspect(log)) == (len(saved) + 1, ())


def test_a_disk_too_small_for_a_new_folder(small_disk):
    """Where not even the tables fit, opening is refused with words, and works once there is room."""
    ballast = small_disk / "photographs"
    with contextlib.suppress(OSError), ballast.open("wb", buffering=0) as file:
        while True:
            file.write(bytes(4096))
    with pytest.raises(NoRoom, match="Make room"):
        Log(small_disk / "data", new_device="a" * 16)
    ballast.unlink()
    with contextlib.closing(Log(small_disk / "data", new_device="a" * 16)) as log:
        log.append([lot(1)], now_ms=NOW_MS)
        assert inspect(log) == ()


def test_a_backup_onto_a_full_disk(small_disk, tmp_path):
    """A backup that does not fit is refused with words; the one before it stays, and nothing is left over."""
    with contextlib.closing(Log(tmp_path / "data", new_device="a" * 16)) as log:
        log.take_in_texts(Devices(2).many(200), now_ms=NOW_MS)
        first = back_up(log, small_disk / "backup.zip")
        log.take_in_texts(Devices(2, seed=2).many(6_000), now_ms=NOW_MS)
        ballast = small_disk / "photographs"
        ballast.write_bytes(bytes(1_500_000))
        with pytest.raises(NoRoom, match="the disk is full"):
            back_up(log, small_disk / "backup.zip")
        assert check_backup(small_disk / "backup.zip") == first
        assert sorted(path.name for path in small_disk.iterdir()) == ["backup.zip", "photographs"]
        ballast.unlink()
        assert back_up(log, small_disk / "backup.zip").versions == 6_200


def test_a_backup_restored_onto_a_full_disk(small_disk, tmp_path):
    """A backup whose versions do not fit is refused with words; the folder is as it was, and nothing is left over."""
    with contextlib.closing(Log(tmp_path / "source", new_device="a" * 16)) as log:
        log.take_in_texts(Devices(2).many(2_000), now_ms=NOW_MS)
        back_up(log, tmp_path / "backup.zip")
    with contextlib.closing(Log(small_disk / "data", new_device="b" * 16)) as log:
        saved = {log.append([lot(1)], now_ms=NOW_MS)[0].name}
    with pytest.raises(NoRoom):
        restore(tmp_path / "backup.zip", small_disk / "data", new_device="c" * 16, now_ms=NOW_MS)
    assert [path.name for path in small_disk.iterdir()] == ["data"]
    assert [path.suffix for path in (small_disk / "data").iterdir() if path.name.startswith(".")] == []
    with contextlib.closing(Log(small_disk / "data", new_device="d" * 16)) as log:
        assert (names(log), log.device, inspect(log)) == (saved, "b" * 16, ())


@pytest.mark.skipif(not os.path.exists("/dev/full"), reason="NOT TESTED: there is no /dev/full here")  # noqa: PTH110 - a device is no path of ours
def test_every_write_of_a_file_meets_a_full_disk():
    """What the device for full disks answers becomes words, whether a file is written or copied."""
    handle = os.open("/dev/full", os.O_WRONLY)
    try:
        with pytest.raises(NoRoom, match="the disk is full"), told_by_disk("backup.zip"):
            disk._Whole(handle).write(b"x")
    finally:
        os.close(handle)


def test_a_write_that_takes_less_than_it_was_given_is_gone_on_with(tmp_path, monkeypatch):
    """A disk that takes a few bytes at a time, as one does before it is full, gets them all in the end."""
    real = os.write
    monkeypatch.setattr(os, "write", lambda handle, data: real(handle, bytes(data)[:7]))
    (tmp_path / "source").write_bytes(bytes(range(200)))
    copy_file(tmp_path / "source", tmp_path / "copy")
    assert (tmp_path / "copy").read_bytes() == bytes(range(200))
    monkeypatch.setattr(os, "write", lambda *_: 0)
    with pytest.raises(NoRoom, match="the disk is full"), told_by_disk("copy"):
        copy_file(tmp_path / "source", tmp_path / "another")


@pytest.mark.parametrize("step", ["fsync", "write", "open"])
@pytest.mark.parametrize("code", [errno.ENOSPC, errno.EROFS, errno.EIO])
def test_a_fault_at_any_step_leaves_the_file_that_was_there(tmp_path, monkeypatch, step, code):
    """Whichever call of the disk fails, the old file is whole, and no half of the new one is left."""
    path = tmp_path / "backup.zip"
    path.write_bytes(b"old")

    def fails(*_, **__):
        raise OSError(code, os.strerror(code))

    def write():
        with whole_file(path, check=lambda _: None) as file:
            file.write(b"new")

    with monkeypatch.context() as patch:
        patch.setattr(os, step, fails)
        with pytest.raises(Exception, match="What was there before is untouched"):
            write()
    assert path.read_bytes() == b"old"
    assert [one.name for one in tmp_path.iterdir()] == ["backup.zip"]
    write()
    assert path.read_bytes() == b"new"


def test_a_check_that_fails_leaves_the_file_that_was_there(tmp_path):
    """What the check refuses does not take its place."""
    path = tmp_path / "backup.zip"
    path.write_bytes(b"old")

    def check(part):
        assert part.read_bytes() == b"new"
        raise Refused([])

    def write():
        with whole_file(path, check=check) as file:
            file.write(b"new")

    with pytest.raises(Refused):
        write()
    assert [(one.name, one.read_bytes()) for one in tmp_path.iterdir()] == [("backup.zip", b"old")]


@pytest.mark.skipif(sys.platform == "win32", reason="Windows has no limit on the size of a program's files")
def test_a_limit_on_the_size_of_files_is_told_like_a_full_disk(tmp_path):
    """A program that may write no large file is told so in words, for the database and for a backup."""
    code = (
        "import resource, signal, sys, pathlib\n"
        "from field_app.core.problems import NoRoom\n"
        "from field_app.store.backup import back_up\n"
        "from field_app.store.log import Log\n"
        "from tests.store.making import NOW_MS, Devices\n"
        "folder = pathlib.Path(sys.argv[1])\n"
        "log = Log(folder / 'data', new_device='a' * 16)\n"
        "log.take_in_texts(Devices(2).many(600), now_ms=NOW_MS)\n"
        "signal.signal(signal.SIGXFSZ, signal.SIG_IGN)\n"
        "resource.setrlimit(resource.RLIMIT_FSIZE, (20_000, 20_000))\n"
        "for deed in (lambda: back_up(log, folder / 'backup.zip'),\n"
        "             lambda: log.take_in_texts(Devices(2, seed=2).many(900), now_ms=NOW_MS)):\n"
        "    try:\n"
        "        deed()\n"
        "        print('done')\n"
        "    except NoRoom as fault:\n"
        "        print(fault)\n"
        "log.close()\n")
    done = subprocess.run([sys.executable, "-c", code, str(tmp_path)], capture_output=True, text=True, check=True)
    lines = done.stdout.splitlines()
    assert len(lines) == 2
    assert "the disk is full" in lines[0]
    assert "Make room" in lines[1]
    with contextlib.closing(Log(tmp_path / "data", new_device="b" * 16)) as log:
        assert (len(log.versions()), inspect(log)) == (600, ())
    assert [path.name for path in tmp_path.iterdir()] == ["data"]
