"""The shelf and the full copy of a phone, with the browser's verbs in Python's hands: what it says when they fail."""

from __future__ import annotations

import asyncio
import hashlib
import io
import zipfile
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from typing import Any

import pytest

from field_app.core.course import Stopped, heard
from field_app.core.forms import SiteForm, WindfallForm
from field_app.core.problems import FolderFault, NoRoom, Refused
from field_app.main import local_now
from field_app.phone.inside.page_home import PageHome
from field_app.phone.inside.shelf import PageShelf
from field_app.store import FieldBook, Log, check_backup
from tests.phone.test_no_signal import BUSHEL
from tests.photographs import photograph

HEAP = photograph()
NAME = hashlib.sha256(HEAP).hexdigest() + ".jpeg"


class Held(bytes):
    def to_bytes(self) -> bytes:
        return bytes(self)


class Worker:
    """The verbs of the page's worker, on a dictionary."""

    def __init__(self) -> None:
        self.files: dict[str, bytes] = {}
        self.fault, self.spoils, self.draws = "", False, True
        self.handed = self.closed = self.forgotten = 0
        self.copy = io.BytesIO()

    async def keep(self, name: str, data: bytes) -> None:
        if self.fault:
            raise RuntimeError(self.fault)
        self.files[name] = data[:-1] if self.spoils else data

    async def read(self, name: str) -> Held:
        return Held(self.files.get(name, b""))

    async def small(self, name: str, side: int) -> Held:  # noqa: ARG002 - as the worker has it
        if not self.draws:
            raise RuntimeError("ReferenceError: OffscreenCanvas is not defined")
        data = self.files.get(name, b"")
        return Held(b"small" if hashlib.sha256(data).hexdigest() == name[:64] else b"")

    async def remove(self, name: str) -> None:
        if self.fault:
            raise RuntimeError(self.fault)
        self.files.pop(name, None)

    async def names(self) -> str:
        return '["' + '","'.join([*self.files, "stray.txt"]) + '"]'

    async def begin_copy(self, name: str) -> Worker:  # noqa: ARG002 - as the worker has it
        if self.fault:
            raise RuntimeError(self.fault)
        self.copy = io.BytesIO()
        return self

    def write(self, data: bytes, at: int) -> None:
        if self.spoils:
            raise RuntimeError("QuotaExceededError: the write was cut short")
        self.copy.seek(at)
        self.copy.write(data)

    def size(self) -> int:
        return len(self.copy.getbuffer())

    def close(self) -> None:
        self.closed += 1

    async def hand_over(self) -> None:
        self.handed += 1

    async def forget_copies(self) -> None:
        assert self.closed  # a browser lets no file go that is open
        self.forgotten += 1


class CopyWorker(Worker):
    """The same, where what is read is read from the copy."""

    def read(self, at: int, size: int) -> Held:  # type: ignore[override]  # a file has another verb of that name
        self.copy.seek(at)
        return Held(self.copy.read(size))


def run(work: Any) -> Any:
    # A browser that an earlier test of the run opened keeps a loop turning in this thread; ours gets one of its own.
    with ThreadPoolExecutor(1) as beside:
        return beside.submit(asyncio.run, work).result()


def shelf_on(worker: Worker, *, writes: bool = True) -> PageShelf:
    return PageShelf(worker, writes=writes, as_js=bytes)


def test_what_is_kept_is_read_back() -> None:
    """Kept, read, listed without strays, removed; a name that is none is no file's."""
    worker = Worker()
    shelf = shelf_on(worker)
    run(shelf.keep(NAME, HEAP))
    assert run(shelf.read(NAME)) == HEAP
    assert run(shelf.names()) == {NAME}
    assert run(shelf.read("../records")) is None
    run(shelf.remove(NAME))
    assert run(shelf.read(NAME)) is None


@pytest.mark.parametrize(("message", "kind", "words"), [
    ("QuotaExceededError: full", NoRoom, "no room left on this phone"),
    ("InvalidStateError: gone", FolderFault, "could not be written (InvalidStateError: gone)"),
])
def test_what_the_browser_refuses_is_said_in_plain_words(message: str, kind: type[FolderFault], words: str) -> None:
    """Without room, or for another fault, it says so of photographs, with what to do."""
    worker = Worker()
    worker.fault = message
    with pytest.raises(kind) as told:
        run(shelf_on(worker).keep(NAME, HEAP))
    assert words in told.value.problem.what
    assert told.value.problem.where == "photographs on this phone"
    with pytest.raises(kind):
        run(shelf_on(worker).remove(NAME))


def test_what_reads_back_otherwise_was_not_kept() -> None:
    """Storage that gives back other bytes than were written keeps nothing, and says so."""
    worker = Worker()
    worker.spoils = True
    with pytest.raises(FolderFault, match="read back"):
        run(shelf_on(worker).keep(NAME, HEAP))


def test_a_tab_that_only_looks_keeps_nothing() -> None:
    """A second tab shows photographs and neither keeps nor removes one."""
    worker = Worker()
    worker.files[NAME] = HEAP
    shelf = shelf_on(worker, writes=False)
    with pytest.raises(NoRoom, match="another tab"):
        run(shelf.keep(NAME, HEAP))
    run(shelf.remove(NAME))
    assert run(shelf.read(NAME)) == HEAP


def test_small_pictures_and_what_stands_for_them() -> None:
    """The browser draws it once; where it can't the whole one is given; missing and damaged ones are told."""
    worker = Worker()
    worker.files[NAME] = HEAP
    shelf = shelf_on(worker)
    assert run(shelf.small(NAME)) == b"small"
    worker.draws = False
    assert run(shelf.small(NAME)) == b"small"  # remembered
    assert run(shelf_on(worker).small(NAME)) == HEAP
    worker.files[NAME] = HEAP[:-1]
    for draws in (True, False):
        worker.draws = draws
        with pytest.raises(Refused, match="damaged"):
            run(shelf_on(worker).small(NAME))
    del worker.files[NAME]
    with pytest.raises(Refused, match="missing"):
        run(shelf_on(worker).small(NAME))


@pytest.fixture
def book(tmp_path: Path) -> Any:
    import uuid

    found = FieldBook(Log(tmp_path / "book", new_device="a" * 16), clock=local_now, new_id=lambda: uuid.uuid4().urn)
    lot = found.log(WindfallForm(new_site=SiteForm("Oak ride", "44.01, -28.01"), **BUSHEL))  # type: ignore[arg-type]
    run(found.album.add(lot.id, HEAP, "heap.jpg"))
    yield found
    found.close()


def test_a_full_copy_is_put_together_in_a_file_of_the_browser(book: FieldBook, tmp_path: Path) -> None:
    """Written piece by piece, read back, closed, and only then handed over."""
    worker = CopyWorker()
    done = run(PageHome(worker, as_js=bytes).copy_out(book, "copy.zip"))
    assert (done.photographs, worker.closed, worker.handed, worker.forgotten) == (1, 1, 1, 0)
    (tmp_path / "copy.zip").write_bytes(worker.copy.getvalue())
    assert check_backup(tmp_path / "copy.zip").versions == done.versions
    with zipfile.ZipFile(tmp_path / "copy.zip") as archive:
        assert archive.read(f"photographs/{NAME}") == HEAP


@pytest.mark.parametrize("when", ["fault", "spoils"])
def test_a_full_copy_without_room_is_not_handed_over(book: FieldBook, when: str) -> None:
    """Whether there is no room at the beginning or in the middle, it is said, and nothing is handed over."""
    worker = CopyWorker()
    setattr(worker, when, "QuotaExceededError: full")
    with pytest.raises(NoRoom, match="no room left") as told:
        run(PageHome(worker, as_js=bytes).copy_out(book, "copy.zip"))
    assert told.value.problem.where == "full copy"
    assert worker.handed == 0


@pytest.mark.parametrize("share", [0.0, 0.5, 0.7, 1.0])
def test_a_full_copy_that_is_stopped_leaves_no_file(book: FieldBook, share: float) -> None:
    """Stopped at any place, the file of the browser is closed and thrown away, and nothing is handed over."""
    worker = CopyWorker()

    def hear(told: float) -> None:
        if told >= share:
            raise Stopped

    async def work() -> None:
        with heard(hear):
            await PageHome(worker, as_js=bytes).copy_out(book, "copy.zip")

    with pytest.raises(Stopped):
        run(work())
    assert (worker.closed, worker.forgotten, worker.handed) == (1, 1, 0)
