"""Photographs of lots and looks: which there are stands in the book, their bytes lie on a shelf beside it.

The law of this file:

1. A photograph stays on this device: it is no version, so no file for others has it; a full copy has it.
2. The bytes are on the shelf, lasting, before the book says that there is a photograph.
3. The table only grows; of each photograph of a thing the last row holds.
   One that was taken away can be brought back for a day; then its bytes are swept off the shelf.
4. The bytes are kept as they came, with all that the camera noted; what is saved from a screen is a bare copy.
"""

from __future__ import annotations

import datetime as dt
import hashlib
from collections.abc import Callable, Iterable
from dataclasses import dataclass, replace

from field_app.core.pictures import Kind, read_picture
from field_app.core.problems import Problem, Refused, refuse
from field_app.store.log import Log
from field_app.store.shelf import Shelf, sound
from field_app.words import tr

__all__ = ["KEPT_FOR", "Album", "Photograph", "faults", "insert_photographs", "live_photographs"]

#: How long a photograph that was taken away can be brought back.
KEPT_FOR = dt.timedelta(days=1)
_COLUMNS = "sha256, kind, bytes, of, at"
_LAST = "number in (select max(number) from photograph group by sha256, of)"


@dataclass(frozen=True, slots=True)
class Photograph:
    """A photograph of a lot or a look.

    sha256: of its bytes, hexadecimal; size: their length [byte]; of: the id of what it shows;
    at: local time at which it was kept, RFC 3339.
    """

    sha256: str
    kind: Kind
    size: int
    of: str
    at: str

    @property
    def name(self) -> str:
        """Its name on the shelf."""
        return f"{self.sha256}.{self.kind}"


def insert_photographs(log: Log, some: Iterable[Photograph], *, gone: bool = False) -> None:
    """Say in the book that there are these, or that they are taken away. Durable when it returns."""
    rows = [(one.sha256, one.kind, one.size, one.of, one.at, int(gone)) for one in some]
    if rows:
        with log.writing() as connection:
            connection.executemany(f"insert into photograph ({_COLUMNS}, gone) values (?, ?, ?, ?, ?, ?)", rows)


def live_photographs(log: Log, of: str | None = None) -> tuple[Photograph, ...]:
    """The photographs there are, of one thing or of all, oldest first."""
    return _select(log, f"{_LAST} and gone = 0", of)


def _select(log: Log, where: str, of: str | None) -> tuple[Photograph, ...]:
    here, values = ("and of = ?", (of,)) if of is not None else ("", ())
    with log.reading() as connection:
        rows = connection.execute(
            f"select {_COLUMNS} from photograph where {where} {here} order by number", values).fetchall()
    return tuple(Photograph(*row) for row in rows)


class Album:
    """The photographs of one book.

    clock: gives the aware local time.
    """

    def __init__(self, log: Log, shelf: Shelf, clock: Callable[[], dt.datetime]) -> None:
        self._log, self.shelf, self._clock = log, shelf, clock

    def of(self, thing: str) -> tuple[Photograph, ...]:
        """The photographs of a lot or a look, oldest first."""
        return live_photographs(self._log, thing)

    def all(self) -> tuple[Photograph, ...]:
        """Every photograph, oldest first."""
        return live_photographs(self._log)

    def taken_away(self, thing: str) -> tuple[Photograph, ...]:
        """Those of a thing that were taken away and can still be brought back."""
        since = self._clock() - KEPT_FOR
        return tuple(one for one in _select(self._log, f"{_LAST} and gone = 1", thing)
                     if dt.datetime.fromisoformat(one.at) > since)

    async def add(self, thing: str, data: bytes, name: str) -> Photograph:
        """Keep a photograph of a lot or a look; name: what to call the file in a message.

        The same one again changes nothing.
        Raises Refused for bytes that are no photograph or a thing that there is not, NoRoom or FolderFault.
        """
        found = read_picture(data, name)
        held = self._log.thing(thing)
        if held is None or held.deleted:
            raise refuse(name, tr("what it shows is not in the book any more"), tr("Add it to another lot or look."))
        sha256 = hashlib.sha256(data).hexdigest()
        known = next((one for one in self.of(thing) if one.sha256 == sha256), None)
        one = known or Photograph(sha256, found.kind, len(data), thing, self._now())
        await self.shelf.keep(one.name, data)
        if known is None:
            insert_photographs(self._log, [one])
        return one

    async def read(self, one: Photograph) -> bytes:
        """The bytes as they were kept. Raises Refused if they are missing or damaged."""
        return sound(one.name, await self.shelf.read(one.name))

    async def small(self, one: Photograph) -> bytes:
        """The same, as small as this device can make it. Raises Refused likewise."""
        return await self.shelf.small(one.name)

    def take_away(self, one: Photograph) -> None:
        """Take it from what it shows; for a day it can be brought back."""
        insert_photographs(self._log, [replace(one, at=self._now())], gone=True)

    def bring_back(self, one: Photograph) -> None:
        """Bring back one that was taken away, as it was."""
        with self._log.reading() as connection:
            (at,) = connection.execute("select at from photograph where sha256 = ? and of = ? order by number limit 1",
                                       (one.sha256, one.of)).fetchone()
        insert_photographs(self._log, [replace(one, at=at)])

    async def put_back(self, one: Photograph, data: bytes) -> bool:
        """Keep one that comes from a full copy; whether it was not here. Raises NoRoom or FolderFault."""
        await self.shelf.keep(one.name, data)
        new = all(known.sha256 != one.sha256 for known in self.of(one.of))
        if new:
            insert_photographs(self._log, [one])
        return new

    async def sweep(self) -> int:
        """Take off the shelf what nobody can bring back any more; gives how many that were [1].

        What lies there and is not in the book at all stays: it may belong to a book that will be put back.
        """
        since = self._clock() - KEPT_FOR
        rows = _select(self._log, f"{_LAST} and gone = 1", None)
        kept = {one.name for one in (*self.all(), *(row for row in rows if dt.datetime.fromisoformat(row.at) > since))}
        gone = {row.name for row in rows} - kept
        for name in gone:
            await self.shelf.remove(name)
        return len(gone)

    def _now(self) -> str:
        return self._clock().isoformat(timespec="seconds")


def faults(photographs: Iterable[Photograph], read: Callable[[str], bytes | None]) -> tuple[Problem, ...]:
    """What is wrong with the files of these."""
    found: list[Problem] = []
    for one in photographs:
        try:
            sound(one.name, read(one.name))
        except Refused as refused:
            found += (replace(problem, record=one.of) for problem in refused.problems)
    return tuple(found)
