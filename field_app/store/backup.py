"""Everything in a folder as one file; how it is put back is in :mod:`field_app.store.restoring`.

The law of this file:

1. A backup is a zip of two members: ``versions.geojsons``, every version in the order of their stamps as a text
   sequence (RFC 8142, each text RFC 8785), and ``manifest.json``, which says how many there are and the SHA-256
   of the first member. The same versions give the same members, and on one machine the same bytes.
2. Where there are photographs it has two things more: ``photographs.json``, which says of each what it shows, and the
   bytes of each under its name, which is their SHA-256; the manifest has the SHA-256 of the first.
   They are exact, with all that the camera noted: the file is for another device of the same person.
3. What else concerns this device alone is not in it: a restored folder gets a new device id.
4. A backup counts as written only when it was read back whole.
5. It is written and read back in pieces: between two of them the work may be stopped, and then nothing of it stays.

How one is read is in :mod:`field_app.store.backup_source`.
"""

from __future__ import annotations

import asyncio
import contextlib
import hashlib
import tempfile
import zipfile
from collections.abc import Callable, Generator
from dataclasses import asdict, dataclass, replace
from pathlib import Path
from types import TracebackType
from typing import IO, Any, Generic, TypeVar, cast

import rfc8785

from field_app.core.course import part, step
from field_app.core.problems import Problem, Refused, refuse
from field_app.core.trust import LIMITS
from field_app.disk import whole_file
from field_app.store.backup_source import (
    BEGIN,
    END,
    FIX,
    FORMAT,
    LIST,
    MANIFEST,
    SIZES,
    VERSIONS,
    Sizes,
    Source,
    opened,
)
from field_app.store.log import Log
from field_app.store.photographs import Photograph, live_photographs
from field_app.store.shelf import PHOTOGRAPHS, FolderShelf, Shelf, sound
from field_app.words import later, tr

__all__ = ["FIX", "MANIFEST", "SIZES", "VERSIONS", "BackedUp", "Sizes", "Source", "back_up", "backup_bytes",
           "check_backup", "opened", "write_backup"]

_EARLIEST = (1980, 1, 1, 0, 0, 0)  # the earliest time of a zip, so that the time of writing is not in it
_FIX_LARGE = later("Close this program and copy the whole data folder instead.")
#: So many records are one piece of the work [1], and so much of it is writing them; the rest is reading back [1].
_PIECE, _WRITING = 250, 0.6
Read = Callable[[str], bytes | None]
T = TypeVar("T")


@dataclass(frozen=True, slots=True)
class BackedUp:
    """path: the file; versions, photographs: how many are in it [1]; size: its length [byte];
    sha256: of its versions; left_out: photographs that could not be taken along, and why.
    """

    path: Path
    versions: int
    size: int
    sha256: str
    photographs: int = 0
    left_out: tuple[Problem, ...] = ()


def back_up(log: Log, path: Path, *, read: Read | None = None) -> BackedUp:
    """Write everything that the folder holds into one file, and read it back.

    read: gives the bytes of a photograph by its name; from the folder beside the database, if left out.
    A photograph whose file is missing or damaged is left out, and told of.
    Raises Refused if the path can't be a file's or there is more than a backup may hold, NoRoom or FolderFault for
    faults of the disk, and Stopped. What was at the path stays until the new file is whole.
    """
    found: list[BackedUp] = []
    read = read or FolderShelf(log.folder / PHOTOGRAPHS).read_now

    def check(written: Path) -> None:
        with part(_WRITING, 1.0):
            found.append(check_backup(written, name=path.name))

    with (whole_file(path, check=check) as file, _Writing(cast(IO[bytes], file), log, path.name) as writing,
          part(0.0, _WRITING)):
        _go(writing.records())
        for one in writing.due:
            writing.add(one, read(one.name) if writing.wants(one) else None)
            step(writing.share)
    return replace(found[0], path=path, left_out=tuple(writing.left_out))


async def write_backup(log: Log, file: IO[bytes], shelf: Shelf, name: str) -> BackedUp:
    """The same into a file that is open for writing and reading, one photograph after the other, and read back.

    Between two pieces of the work whatever else waits has its turn: where there is one thread, a tap on Stop too.
    name: what to call the file in a message.
    Raises Refused, Stopped, or whatever the file raises; then what is in it counts for nothing.
    """
    with _Writing(file, log, name) as writing, part(0.0, _WRITING):
        await _go_gently(writing.records())
        for one in writing.due:
            writing.add(one, await shelf.read(one.name) if writing.wants(one) else None)
            await _breathe(writing.share)
    with part(_WRITING, 1.0):
        done = await _go_gently(_checking(file, name))
    return replace(done, left_out=tuple(writing.left_out))


class _Pieces(Generic[T]):
    """Work in pieces, each of which says how far it is [1]; given: what it gives, once all of them are done."""

    given: T

    def __init__(self, pieces: Generator[float, None, T]) -> None:
        self._pieces = pieces

    def shares(self) -> Generator[float, None, None]:
        """Do one piece after the other."""
        self.given = yield from self._pieces


def _go(pieces: Generator[float, None, T]) -> T:
    """Do work that comes in pieces, and give what it gives."""
    work = _Pieces(pieces)
    with contextlib.closing(work.shares()) as shares:  # what it has open is closed before anybody hears of a stop
        for share in shares:
            step(share)
    return work.given


async def _go_gently(pieces: Generator[float, None, T]) -> T:
    """The same with a breath after each piece."""
    work = _Pieces(pieces)
    with contextlib.closing(work.shares()) as shares:
        for share in shares:
            await _breathe(share)
    return work.given


async def _breathe(share: float) -> None:
    await asyncio.sleep(0)
    step(share)


class _Writing:
    """The members of a backup as they are written, the records first; it ends with the list and the manifest.

    due: the photographs to add, in an order that does not depend on this device; left_out: what could not be.
    """

    def __init__(self, file: IO[bytes], log: Log, name: str) -> None:
        self._archive = zipfile.ZipFile(file, "w", zipfile.ZIP_DEFLATED, compresslevel=6)
        self._log, self._name = log, name
        self.due = sorted(live_photographs(log), key=lambda one: (one.sha256, one.of))
        self.left_out: list[Problem] = []
        self._listed: list[Photograph] = []
        self._written: set[str] = set()
        self._size, self._records = 0, 0
        self._of = log.length() + sum({one.name: one.size for one in self.due}.values())
        self._manifest: dict[str, Any] = {}

    def __enter__(self) -> _Writing:
        return self

    @property
    def share(self) -> float:
        """How much of what there is to write is written [1]."""
        return min(1.0, (self._records + self._size) / max(1, self._of))

    def records(self) -> Generator[float, None, None]:
        """Write the records, which come first, in pieces. Raises Refused if there are too many."""
        digest, count = hashlib.sha256(), 0
        with self._archive.open(_member(VERSIONS), "w") as member:
            for text in self._log.texts():
                one = BEGIN + text + END
                member.write(one)
                digest.update(one)
                count, self._records = count + 1, self._records + len(one)
                if self._records > SIZES.unpacked or count > LIMITS.records:
                    raise refuse(self._name, tr("there is more in the folder than a backup may hold"), tr(_FIX_LARGE))
                if count % _PIECE == 0:
                    yield self.share
        self._manifest = {"format": FORMAT, "v": 1, "versions": count, "bytes": self._records,
                          "sha256": digest.hexdigest()}

    def wants(self, one: Photograph) -> bool:
        """Whether its bytes are not in the file yet."""
        return one.name not in self._written

    def add(self, one: Photograph, data: bytes | None) -> None:
        """Add a photograph; data: its bytes, if they are wanted."""
        if self.wants(one):
            try:
                data = sound(one.name, data)
            except Refused as refused:
                self.left_out += refused.problems
                return
            self._size += len(data)
            if self._size > SIZES.photographs or len(self._written) + 3 >= SIZES.members:
                raise refuse(self._name, tr("there are more photographs than a backup may hold"), tr(_FIX_LARGE))
            # They are packed already; packing them again would cost time and save nothing.
            self._archive.writestr(_member(f"{PHOTOGRAPHS}/{one.name}", zipfile.ZIP_STORED), data)
            self._written.add(one.name)
        self._listed.append(one)

    def __exit__(self, kind: type[BaseException] | None, error: BaseException | None,
                 trace: TracebackType | None) -> None:
        with self._archive as archive:
            if error is None:
                if self._listed:
                    text = rfc8785.dumps([asdict(one) for one in self._listed])
                    archive.writestr(_member(LIST), text)
                    self._manifest |= {"v": 2, "photographs": hashlib.sha256(text).hexdigest()}
                archive.writestr(_member(MANIFEST), rfc8785.dumps(self._manifest))


def backup_bytes(log: Log, *, read: Read | None = None) -> tuple[bytes, BackedUp]:
    """The same file as bytes, where a device takes no path. Raises Refused, NoRoom, FolderFault or Stopped likewise."""
    with tempfile.TemporaryDirectory() as place:
        path = Path(place) / "backup.zip"
        done = back_up(log, path, read=read)
        return path.read_bytes(), done


def _member(name: str, how: int = zipfile.ZIP_DEFLATED) -> zipfile.ZipInfo:
    member = zipfile.ZipInfo(name, date_time=_EARLIEST)
    member.compress_type = how
    member.create_system = 3  # so that the rights below are read the same way everywhere
    member.external_attr = 0o100600 << 16
    return member


def check_backup(path: Path, *, name: str = "") -> BackedUp:
    """What is in a backup, all of which was read. Raises Refused, naming the place, if it is not whole."""
    return replace(_go(_checking(path, name or path.name)), path=path)


def _checking(file: Path | IO[bytes], name: str) -> Generator[float, None, BackedUp]:
    with opened(file, name) as source:
        for number, _ in enumerate(source.texts(), 1):
            if number % _PIECE == 0:
                yield source.share
        sha256 = source.check()
        photographs = source.photographs()
        for one in photographs:
            source.picture(one)
            yield source.share
        return BackedUp(Path(name), source.count, source.size, sha256, len(photographs))
