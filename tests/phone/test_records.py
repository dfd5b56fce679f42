"""The file of records and its second copy: whatever one of them loses, the other gives back."""

from __future__ import annotations

import asyncio
import itertools
import random
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from typing import Any

import pytest

from field_app.core.problems import NewerFolder, NoRoom
from field_app.core.records import Draft
from field_app.phone.inside.records import open_log
from field_app.store import HEAD, JournalLog
from field_app.store.inspection import inspect
from field_app.store.journal import entry
from tests.store.making import NOW_MS, urn

RNG = random.Random(11)


class Held(bytes):
    def to_bytes(self) -> bytes:
        return bytes(self)


class Files:
    """A phone's files as the worker hands them over: what is in them, and the verbs of the one that writes."""

    def __init__(self) -> None:
        self.main, self.second, self.others, self.full = b"", b"", {}, ""  # type: ignore[var-annotated]  # bytes by name
        self.role = "writer"
        self._follows = False

    @property
    def data(self) -> Held:
        return Held(self.main)

    @property
    def copy(self) -> Held:
        return Held(self.second)

    def append(self, data: bytes) -> None:
        if self.full:
            raise RuntimeError(self.full)
        self.main += data
        if self._follows:
            self.second += data

    def cut(self, size: int) -> None:
        self.main = self.main[:size]

    async def aside(self, name: str, data: bytes) -> bool:
        new = self.others.get(name) != data
        self.others[name] = data
        return new

    async def follow(self, size: int, data: bytes) -> None:
        self.second, self._follows = self.second[:size] + data, True


@pytest.fixture
def start(tmp_path: Path) -> Any:
    turn = itertools.count(1)

    def opened(files: Files) -> JournalLog:
        number = next(turn)
        opening = open_log(files, tmp_path / str(number), new_device=f"{number:016x}", as_js=bytes)
        # A browser that an earlier test of the run opened keeps a loop turning in this thread; ours gets a thread of
        # its own.
        with ThreadPoolExecutor(1) as beside:
            return beside.submit(asyncio.run, opening).result()

    return opened


def lots(count: int) -> list[Draft]:
    return [Draft(urn(RNG), "lot", {"site": urn(RNG), "gathered": "2026-10-08T15:24:00-02:00"}) for _ in range(count)]


def filled(start: Any) -> tuple[Files, list[bytes]]:
    """Files of a phone on which two saves were made, and the versions."""
    files = Files()
    log = start(files)
    log.append(lots(2), now_ms=NOW_MS)
    log.append(lots(1), now_ms=NOW_MS)
    return files, list(log.texts())


def test_the_second_copy_is_the_first(start: Any) -> None:
    """Each save is in both files; the next start changes neither and tells nothing."""
    files, texts = filled(start)
    assert files.main == files.second
    before = files.main
    log = start(files)
    assert (files.main, files.second, log.notices) == (before, before, ())
    assert list(log.texts()) == texts


def test_a_lost_file_comes_back_from_the_copy(start: Any) -> None:
    """When the first file is gone, every record is there, in both files again, and the device goes on as another."""
    files, texts = filled(start)
    device = start(files).device
    files.main = b""
    log = start(files)
    assert list(log.texts()) == texts
    assert log.device != device
    assert "3 that were missing were found" in str(log.notices[0])
    assert files.main == files.second
    log.append(lots(1), now_ms=NOW_MS)
    assert inspect(log) == ()
    assert len(list(start(files).texts())) == 4


def test_a_damaged_middle_is_set_aside_and_filled(start: Any) -> None:
    """A byte that turned over costs nothing: its entry is kept aside, and comes from the copy; it is told once."""
    files, texts = filled(start)
    device = start(files).device
    at = len(HEAD) + 60
    files.main = files.main[:at] + bytes([files.main[at] ^ 1]) + files.main[at + 1:]
    log = start(files)
    assert list(log.texts()) == texts
    assert [problem.what.split(" ")[-1] for problem in log.notices] == ["save", "copy"]
    assert (len(files.others), log.device) == (1, device)
    assert start(files).notices == ()
    assert inspect(log) == ()


def test_a_lost_end_keeps_its_number(start: Any) -> None:
    """When the first file lost its last saves, the device takes no number a second time."""
    files, texts = filled(start)
    files.main = files.main[:len(HEAD)] + files.main[len(HEAD):].split(b"\n")[0] + b"\n"
    log = start(files)
    assert list(log.texts()) == texts
    log.append(lots(1), now_ms=NOW_MS)
    assert log.last_own().seq == 4  # type: ignore[union-attr]  # it was just said
    assert inspect(log) == ()


def test_a_torn_end_is_cut_and_told(start: Any) -> None:
    """What a save left behind that was cut off is kept aside; the copy follows the file."""
    files, texts = filled(start)
    files.main += b"\x1e12345678 {\"vers"
    log = start(files)
    assert list(log.texts()) == texts
    assert list(files.others.values()) == [b"\x1e12345678 {\"vers"]
    assert files.main == files.second


def test_a_damaged_copy_is_written_anew(start: Any) -> None:
    """The copy may be cut or odd; then it is made again from the file, and nothing is told."""
    files, texts = filled(start)
    for spoiled in (b"", files.second[:-3], b"?" + files.second):
        files.second = spoiled
        log = start(files)
        assert (list(log.texts()), log.notices, files.second) == (texts, (), files.main)


def test_full_storage_is_told(start: Any) -> None:
    """What the browser refuses for want of room is told as that, and nothing of it is there."""
    files, texts = filled(start)
    log = start(files)
    files.full = "QuotaExceededError: no more"
    with pytest.raises(NoRoom, match="there is no room left on this phone"):
        log.append(lots(1), now_ms=NOW_MS)
    assert list(log.texts()) == texts


def test_a_reader_writes_nothing(start: Any) -> None:
    """Another tab sees what is saved, touches no file, and is refused when it saves."""
    files, texts = filled(start)
    files.role = "reader"
    files.main += b"\x1ehalf"
    before = (files.main, files.second)
    log = start(files)
    assert (list(log.texts()), log.notices) == (texts, ())
    with pytest.raises(NoRoom, match="open in another tab"):
        log.append(lots(1), now_ms=NOW_MS)
    assert (files.main, files.second, files.others) == (*before, {})


def test_newer_records_are_not_touched(start: Any) -> None:
    """What a newer version wrote, in the file or in its copy, is refused, and both stay as they are."""
    newer = entry({"format": "field-app journal", "v": 2})
    for name in ("main", "second"):
        files, _ = filled(start)
        setattr(files, name, newer + getattr(files, name)[len(HEAD):])
        before = (files.main, files.second)
        with pytest.raises(NewerFolder, match="newer version"):
            start(files)
        assert (files.main, files.second) == before
