"""Starting the program: its clock, its folder, and the three ways in."""

import datetime as dt
import os
import re
import shutil
import signal
import socket
import subprocess
import sys
import threading
import time
import webbrowser
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

import field_app
from field_app import main
from field_app.core.problems import Refused
from field_app.main import clock_from, data_folder, local_now

PACKAGE = Path(field_app.__file__).parent


# The clock


def test_without_a_text_the_clock_is_that_of_the_machine() -> None:
    """The clock goes, and knows its offset from UTC."""
    for empty in ("", "  \n"):
        clock = clock_from(empty)
        assert clock is local_now
    before = dt.datetime.now(dt.UTC)
    now = local_now()
    assert before <= now <= dt.datetime.now(dt.UTC)
    assert now.utcoffset() == dt.datetime.now().astimezone().utcoffset()


@pytest.mark.parametrize(("text", "same"), [
    ("2026-10-08T15:00:00-02:00", "2026-10-08T15:00:00-02:00"),
    ("  2026-10-08t15:00:00z ", "2026-10-08T15:00:00+00:00"),
    ("2026-10-08 15:00:00+05:45", "2026-10-08T15:00:00+05:45"),
    ("2026-10-08T15:00-02:00", "2026-10-08T15:00:00-02:00"),
    ("2026-10-08T15:00:00.25Z", "2026-10-08T15:00:00.250000+00:00"),
])
def test_with_a_text_the_clock_stands_still(text: str, same: str) -> None:
    """The clock shows the time of the text, with its offset, however often it is read."""
    clock = clock_from(text)
    assert [clock().isoformat(), clock().isoformat()] == [same, same]


@given(st.datetimes(), st.integers(-14 * 60, 14 * 60))
def test_every_moment_can_be_named(moment: dt.datetime, minutes: int) -> None:
    """What Python writes in the format of the standard is read as the same moment."""
    aware = moment.replace(tzinfo=dt.timezone(dt.timedelta(minutes=minutes)))
    again = clock_from(aware.isoformat())()
    assert (again.replace(tzinfo=None), again.utcoffset()) == (moment, aware.utcoffset())


@pytest.mark.parametrize("text", [
    "2026-10-08", "2026-10-08T15:00:00", "15:00", "8.10.2026 15:00", "2026-02-30T12:00:00Z", "2026-10-08T24:01:00Z",
    "2026-10-08T15:00:00+2", "20261008T150000Z", "yesterday", "2026-10-08T15:00:00-02:00 or so",
])
def test_a_time_that_is_not_certain_is_refused(text: str) -> None:
    """A text without day, time or offset is refused, with an example of a good one and both ways to give it."""
    with pytest.raises(Refused) as refused:
        clock_from(text)
    (problem,) = refused.value.problems
    assert text in problem.what
    for hint in ("2026-10-08T15:00:00-02:00", "--as-of", "FIELD_APP_NOW"):
        assert hint in problem.fix


# The folder


def test_the_folder_is_the_one_that_was_named() -> None:
    """A named folder comes first, then a packed app's own, then the user's."""
    assert data_folder({"FIELD_APP_DATA": "mine", "FLET_PLATFORM": "android",
                        "FLET_APP_STORAGE_DATA": "kept"}) == Path("mine")
    assert data_folder({"FLET_PLATFORM": "android", "FLET_APP_STORAGE_DATA": "kept"}) == Path("kept/field-book")
    users = data_folder({})
    assert users.is_absolute()
    assert users.name == "field-app"
    # The toolkit's development server sets this too, without the app being packed.
    assert data_folder({"FLET_APP_STORAGE_DATA": "kept"}) == users


# Three ways in


@contextmanager
def started(*command: str, cwd: Path, **environment: str) -> Iterator[subprocess.Popen[str]]:
    inherited = {name: text for name, text in os.environ.items()
                 if not name.startswith(("FIELD_APP_", "FLET_", "PYTHONPATH", "DISPLAY"))}
    process = subprocess.Popen([sys.executable, *command], cwd=cwd, env={**inherited, **environment}, text=True,
                               stdout=subprocess.PIPE, stderr=subprocess.PIPE)
    try:
        yield process
    finally:
        process.kill()
        process.communicate()


def closed(process: subprocess.Popen[str]) -> tuple[int, str, str]:
    assert process.stdout is not None
    assert process.stderr is not None
    process.send_signal(signal.SIGINT)
    return process.wait(20), process.stdout.read(), process.stderr.read()


# A browser that writes down what it is asked to open; the standard library starts what BROWSER names.
BROWSER = f"{sys.executable} -c 'import sys, pathlib; pathlib.Path(\"opened\").write_text(sys.argv[1])' %s"


@pytest.mark.skipif(os.name != "posix", reason="signals and a browser as on POSIX")
@pytest.mark.parametrize("packed", [
    {}, {"FLET_PLATFORM": "linux"}, {"FLET_PLATFORM": "linux", "DISPLAY": ":0", "FLET_FORCE_WEB_SERVER": "true"}])
def test_as_a_script_it_opens_the_screens(tmp_path: Path, packed: dict[str, str]) -> None:
    """Run as a file, from anywhere, it prints the address, opens the browser there, and ends cleanly.

    So it does as a packed app without a display, where the toolkit would serve to all machines around.
    """
    with started(str(PACKAGE / "main.py"), cwd=tmp_path, FIELD_APP_DATA=str(tmp_path / "book"),
                 FIELD_APP_NOW="2026-10-08T15:00:00-02:00", BROWSER=BROWSER, **packed) as process:
        assert process.stderr is not None
        line = process.stderr.readline()
        if "is in use" in line:
            assert process.wait(20) == 2
            pytest.skip("the usual port is taken on this machine")
        address = re.fullmatch(
            r"The field book in .*/book is open at (http://127\.0\.0\.1:8550/\?t=\S{43})\n", line)
        assert address is not None, line + process.stderr.read()
        opened = tmp_path / "opened"
        for _ in range(100):
            if opened.exists() and opened.read_text():
                break
            time.sleep(0.1)
        assert opened.read_text() == address[1]
        assert closed(process) == (0, "", "Ctrl+C stops it.\n")
    assert (tmp_path / "book").is_dir()


@pytest.mark.skipif(os.name != "posix", reason="a packed app listens on a Unix socket")
def test_unpacked_at_an_archives_root_it_waits_for_its_client(tmp_path: Path) -> None:
    """As in a packed app, without a package around it, it opens its folder and listens for the native client."""
    root = tmp_path / "unpacked"
    shutil.copytree(PACKAGE, root, ignore=shutil.ignore_patterns("__pycache__"))
    kept, place = tmp_path / "kept", tmp_path / "client.sock"
    with started(str(root / "main.py"), cwd=root, FLET_PLATFORM="linux", FLET_APP_STORAGE_DATA=str(kept),
                 FLET_SERVER_UDS_PATH=str(place), DISPLAY=":0") as process:
        for _ in range(200):
            if place.exists() or process.poll() is not None:
                break
            time.sleep(0.1)
        assert process.poll() is None, process.communicate()[1]
        with socket.socket(socket.AF_UNIX) as client:
            client.connect(str(place))
        assert [path.suffix for path in (kept / "field-book").iterdir() if path.suffix == ".sqlite"] == [".sqlite"]


def test_at_an_archives_root_the_package_is_the_one_beside_it(tmp_path: Path) -> None:
    """Imported as a lone module, it makes the package out of its own folder, also when another is installed."""
    root = tmp_path / "unpacked"
    shutil.copytree(PACKAGE, root, ignore=shutil.ignore_patterns("__pycache__"))
    code = "import main, field_app.core.problems as p; print(p.__file__); print(main.clock_from('')().tzinfo is None)"
    with started("-c", code, cwd=root) as process:
        out, err = process.communicate(timeout=60)
    assert (out, err) == (f"{root / 'core' / 'problems.py'}\nFalse\n", "")


def test_a_wrong_environment_is_told_and_not_traced(tmp_path: Path) -> None:
    """A bad time ends a script with code 2 and a bad folder with code 1, each with one readable message."""
    (tmp_path / "letter.txt").write_text("hello")
    for wrong, code, words in (
        ({"FIELD_APP_NOW": "noon"}, 2, "as of: 'noon' is not a date and time"),
        ({"FIELD_APP_DATA": str(tmp_path)}, 1, str(tmp_path)),
    ):
        with started(str(PACKAGE / "main.py"), cwd=tmp_path, **wrong) as process:
            out, err = process.communicate(timeout=60)
        assert (process.returncode, out) == (code, "")
        assert words in err
        assert "Traceback" not in err
    assert [path.name for path in tmp_path.iterdir()] == ["letter.txt"]


def test_a_missing_browser_is_told(monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> None:
    """Where no browser can be started, the person is told to open the address."""
    monkeypatch.setattr(webbrowser, "_tryorder", [])
    thread = threading.Thread(target=main._show, args=("http://127.0.0.1:1/",))
    thread.start()
    thread.join(10)
    assert "open the address yourself" in capsys.readouterr().err


def test_the_command_does_not_wait_for_what_it_does_not_need() -> None:
    """Loading the entrance loads neither the toolkit, nor the web server, nor the database."""
    code = "import sys, field_app.main; print({'flet', 'uvicorn', 'flet_web', 'sqlite3', 'pint'} & set(sys.modules))"
    with started("-c", code, cwd=PACKAGE.parent) as process:
        assert process.communicate(timeout=60) == ("set()\n", "")
