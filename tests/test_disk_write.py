"""Writing a file whole or not at all, on real disks that are full, locked, or pulled away."""

import os
import resource
import shutil
import signal
import stat
import subprocess
import sys
import threading
import time
from pathlib import Path

import pytest

from field_app.core.problems import FolderFault, NoRoom, Refused
from field_app.disk import write_file

ROOT = Path(__file__).parents[2]
OLD, NEW = b"old" * 1000, b"new" * 5000
posix = pytest.mark.skipif(os.name != "posix", reason="asks the system in the way of POSIX")


@pytest.fixture
def path(tmp_path: Path) -> Path:
    target = tmp_path / "lots.zip"
    write_file(target, OLD)
    return target


def alone(path: Path) -> bool:
    return [entry.name for entry in path.parent.iterdir()] == [path.name]


def test_a_new_file_is_there_whole_and_alone(path):
    """What was written is read back, and no part is left beside it."""
    assert path.read_bytes() == OLD
    assert alone(path)


def test_an_old_file_is_replaced_and_keeps_its_rights(path):
    """A file that only a group may read stays so."""
    path.chmod(0o640)
    write_file(path, NEW)
    assert path.read_bytes() == NEW
    assert stat.S_IMODE(path.stat().st_mode) == 0o640
    assert alone(path)


def test_a_new_file_may_be_read_as_others_of_its_folder(tmp_path):
    """A file for others is not locked away: its rights are those of any new file."""
    write_file(tmp_path / "lots.zip", NEW)
    (tmp_path / "plain").write_bytes(b"")
    assert (tmp_path / "lots.zip").stat().st_mode == (tmp_path / "plain").stat().st_mode


@posix
def test_a_link_still_points_at_the_file_after_it_was_written(path, tmp_path):
    """Writing through a link changes the file that it names."""
    link = tmp_path / "link.zip"
    link.symlink_to(path)
    write_file(link, NEW)
    assert link.is_symlink()
    assert path.read_bytes() == NEW


@posix
def test_a_disk_that_fills_up_leaves_the_old_file(path):
    """The system cuts the write short, then refuses: NoRoom, the old bytes, and no part left."""
    soft, hard = resource.getrlimit(resource.RLIMIT_FSIZE)
    resource.setrlimit(resource.RLIMIT_FSIZE, (4000, hard))
    try:
        with pytest.raises(NoRoom) as caught:
            write_file(path, NEW)
    finally:
        resource.setrlimit(resource.RLIMIT_FSIZE, (soft, hard))
    assert "full" in caught.value.problem.what
    assert "untouched" in caught.value.problem.fix
    assert path.read_bytes() == OLD
    assert alone(path)


FULL = """
import sys
from pathlib import Path
from field_app.core.problems import NoRoom
from field_app.disk import write_file
path = Path(sys.argv[1]) / "lots.zip"
write_file(path, b"old" * 1000)
try:
    write_file(path, b"new" * 100_000)
except NoRoom as fault:
    print(fault.problem.what, path.read_bytes() == b"old" * 1000, len(list(path.parent.iterdir())))
"""


@posix
@pytest.mark.skipif(shutil.which("unshare") is None, reason="needs unshare for a disk of its own")
def test_a_real_full_disk_leaves_the_old_file(tmp_path):
    """On a file system of 64 kB, in a name space of its own, the same holds."""
    script = 'mount -t tmpfs -o size=64k none "$1" && exec "$2" -c "$3" "$1"'
    done = subprocess.run(
        ["unshare", "--map-root-user", "--mount", "sh", "-c", script, "sh", str(tmp_path), sys.executable, FULL],
        cwd=ROOT, capture_output=True, text=True, check=False)
    if "unshare" in done.stderr or "mount" in done.stderr:
        pytest.skip(f"no disk of its own here: {done.stderr.strip()[:80]}")
    assert done.stdout.strip() == "the disk is full (No space left on device) True 1", done.stderr


@posix
def test_a_folder_that_may_not_be_written_is_told(path):
    """A locked folder gives NoRoom with what to do, and what was there stays."""
    locked = path.parent if os.geteuid() else Path("/sys/kernel")  # the root of a system may write anywhere else
    if not locked.is_dir():
        pytest.skip("no folder that root may not write")
    locked_target = locked / "lots.zip"
    if os.geteuid():
        locked.chmod(0o500)
    try:
        with pytest.raises(NoRoom, match="may not be written"):
            write_file(locked_target, NEW)
    finally:
        if os.geteuid():
            locked.chmod(0o700)
    assert path.read_bytes() == OLD


@pytest.mark.parametrize(("name", "words"), [
    ("", "is a folder"), ("missing/lots.zip", "is not there"), ("lots.zip/lots.zip", "is not there"),
    ("x" * 300, "plainer name"), ("a\0b", "plainer name")])
def test_what_can_t_be_a_file_is_refused_in_words(path, name, words):
    """A folder, a missing folder and an impossible name are the person's to mend."""
    with pytest.raises(Refused, match=words):
        write_file(path.parent / name, NEW)
    assert path.read_bytes() == OLD
    assert alone(path)


@posix
def test_a_device_is_not_replaced():
    """Writing to the null device would otherwise put a file in its place."""
    with pytest.raises(Refused, match="is a device"):
        write_file(Path("/dev/full"), NEW)
    assert stat.S_ISCHR(Path("/dev/full").stat().st_mode)


def test_parts_left_by_a_power_cut_are_swept(path):
    """The next writing of the same file takes its old parts away, and those of no other file."""
    write_file(path, NEW)
    mine, other = (path.with_name(name) for name in (".lots.zip.0a1b2c3d.7-1.part", "their.part"))
    for part in (mine, other):
        part.write_bytes(b"x")
    import hashlib
    mark = hashlib.sha256(b"lots.zip").hexdigest()[:8]
    left = mine.rename(path.with_name(f".lots.zip.{mark}.7-1.part"))
    write_file(path, OLD)
    assert not left.exists()
    assert other.exists()


def test_a_long_name_is_written_too(tmp_path):
    """A name as long as the disk allows has a part whose name is not longer."""
    target = tmp_path / ("ä" * 120 + ".zip")
    write_file(target, NEW)
    assert target.read_bytes() == NEW


KILLED = """
import sys
from pathlib import Path
from field_app.disk import write_file
print("ready", flush=True)
for turn in range(1_000_000):
    write_file(Path(sys.argv[1]), bytes([65 + turn % 2]) * 300_000)
"""


@posix
def test_a_writer_that_is_killed_leaves_one_whole_file(path):
    """Killed at any moment, the file is one of the two that were written, never a mixture or a part."""
    for turn in range(5):
        child = subprocess.Popen([sys.executable, "-c", KILLED, str(path)], cwd=ROOT, stdout=subprocess.PIPE)
        assert child.stdout is not None
        assert child.stdout.readline() == b"ready\n"
        time.sleep(0.02 + 0.013 * turn)
        child.send_signal(signal.SIGKILL)
        child.wait()
        child.stdout.close()
        data = path.read_bytes()
        assert data in (OLD, b"A" * 300_000, b"B" * 300_000)
    write_file(path, NEW)
    assert path.read_bytes() == NEW
    assert alone(path)


def test_two_writers_of_one_file_never_mix(path):
    """Whoever loses the race is told; the file is whole at every moment."""
    bodies = [letter * 50_000 for letter in (b"a", b"b", b"c")]
    faults: list[BaseException] = []

    def write(body: bytes) -> None:
        for _ in range(15):
            try:
                write_file(path, body)
            except FolderFault as fault:
                faults.append(fault)

    threads = [threading.Thread(target=write, args=(body,)) for body in bodies]
    for thread in threads:
        thread.start()
    while any(thread.is_alive() for thread in threads):
        assert path.read_bytes() in (OLD, *bodies)
    for thread in threads:
        thread.join()
    assert path.read_bytes() in bodies
    assert all("untouched" in str(fault) for fault in faults)
