"""Long work on the command line: how far it is, and Ctrl+C, which leaves nothing half-written."""

import datetime as dt
import os
import subprocess
import sys

import pytest
from click.testing import CliRunner

from field_app.cli import main
from field_app.cli_base import ToldCourse
from field_app.core.course import Stopped, heard
from field_app.phone.build import write_folder


class Clock:
    """A clock that is turned by hand."""

    def __init__(self):
        self.now = dt.datetime(2026, 10, 8, 15, tzinfo=dt.UTC)

    def __call__(self):
        return self.now


@pytest.mark.parametrize(("after", "expected"), [(0.4, ""), (1.2, "\r42 % done; Ctrl+C stops it")])
def test_what_takes_longer_than_a_second_is_told(capsys, after, expected):
    """Within the first second nothing is said, then how far it is; at the end the line is wiped."""
    clock = Clock()
    course = ToldCourse(clock, shown=True)
    clock.now += dt.timedelta(seconds=after)
    course.hear(0.42)
    assert capsys.readouterr().err == expected
    course.wipe()
    assert capsys.readouterr().err == (f"\r{'':26}\r" if expected else "")


def test_without_a_terminal_nothing_is_drawn(capsys):
    """What is written into a file or read by a program holds no moving line."""
    clock = Clock()
    course = ToldCourse(clock, shown=False)
    clock.now += dt.timedelta(seconds=9)
    course.hear(0.42)
    course.wipe()
    assert capsys.readouterr().err == ""


def test_ctrl_c_ends_with_130(tmp_path, monkeypatch):
    """It ends with a line that says what holds, and with the number that shells expect."""
    def stopped(*_, **__):
        raise KeyboardInterrupt

    monkeypatch.setattr("field_app.cli_sync.sync_folder", stopped)
    done = CliRunner().invoke(main, ["--data", str(tmp_path / "data"), "sync", str(tmp_path)])
    assert done.exit_code == 130
    assert done.stderr.strip().startswith("Stopped. What was not finished was not written;")


def stopped(code):
    """Run a program of its own that is stopped by a real Ctrl+C: it says so, and ends with 130."""
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, timeout=300, check=False,
                          env={**os.environ, "FIELD_APP_LANGUAGE": "en"})
    assert done.returncode == 130, done.stderr
    assert done.stderr.splitlines()[-1].startswith("Stopped.")


@pytest.mark.skipif(sys.platform == "win32", reason="another way of signals")
def test_a_phone_build_that_is_stopped_leaves_the_folder_as_it_was(tmp_path):
    """A real Ctrl+C while files are written: exit 130, the old folder whole, and nothing beside it."""
    folder = tmp_path / "out"
    write_folder(folder, {"build.json": b'{"made_by": "field-app phone"}', "a.txt": b"old"})
    code = ("import os, signal, sys\n"
            "from field_app.phone import build\n"
            "from field_app.cli import main\n"
            "build.fetch = lambda place: []\n"
            "build.folder_files = lambda wheels, base: ('n', {f'{n}.txt': b'new' for n in range(2000)})\n"
            "real = build.step\n"
            "build.step = lambda share: os.kill(os.getpid(), signal.SIGINT) if share > .5 else real(share)\n"
            f"main(['phone', {str(folder)!r}])\n")
    stopped(code)
    assert sorted(path.name for path in folder.iterdir()) == ["a.txt", "build.json"]
    assert [path.name for path in tmp_path.iterdir()] == ["out"]


@pytest.mark.skipif(sys.platform == "win32", reason="another way of signals")
def test_a_backup_that_is_stopped_leaves_no_part_of_it(tmp_path):
    """A real Ctrl+C while it is read back: exit 130, the backup of before whole, and nothing beside it."""
    (out := tmp_path / "out").mkdir()
    command = ["--data", str(tmp_path / "data"), "backup", str(out / "backup.zip")]
    run_ok = CliRunner().invoke
    assert run_ok(main, ["--data", str(tmp_path / "data"), "site", "add", "Mill lane"]).exit_code == 0
    assert run_ok(main, command).exit_code == 0
    before = (out / "backup.zip").read_bytes()
    assert run_ok(main, ["--data", str(tmp_path / "data"), "site", "add", "Ford bend"]).exit_code == 0
    code = ("import os, signal\n"
            "from field_app.cli import main\n"
            "from field_app.store import backup\n"
            "backup._PIECE, real = 1, backup.step\n"
            "def told(share):\n"
            "    real(share)\n"
            "    told.count += 1\n"
            "    if told.count == 4:\n"  # one record of the backup of before, two written, one read back
            "        os.kill(os.getpid(), signal.SIGINT)\n"
            "told.count, backup.step = 0, told\n"
            f"main({command!r})\n")
    stopped(code)
    assert [path.name for path in out.iterdir()] == ["backup.zip"]
    assert (out / "backup.zip").read_bytes() == before


def test_a_folder_is_replaced_whole(tmp_path):
    """The new files take the place of all the old ones, and nothing stays beside them."""
    folder = tmp_path / "out"
    write_folder(folder, {"a.txt": b"old"})
    told = []
    with heard(told.append):
        write_folder(folder, {"b.txt": b"new", "c/d.txt": b"new"})
    assert told == [0.0, 0.5]
    assert sorted(str(path.relative_to(tmp_path)) for path in tmp_path.rglob("*.txt")) == ["out/b.txt", "out/c/d.txt"]


def test_a_listener_stops_the_writing(tmp_path):
    """Stopped at the second file, the old folder is as it was."""
    folder = tmp_path / "out"
    write_folder(folder, {"a.txt": b"old"})

    def stop(share):
        if share:
            raise Stopped

    with pytest.raises(Stopped), heard(stop):
        write_folder(folder, {"a.txt": b"new", "b.txt": b"new"})
    assert [path.read_bytes() for path in tmp_path.rglob("*.txt")] == [b"old"]
