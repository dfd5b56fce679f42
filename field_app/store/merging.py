"""Versions into the table, and what they change of what holds: for many at once as for one.

The law of this file:

1. A version is known by its name; a known one changes nothing, not even the clock.
2. What new ones change of what holds is gathered and written at the end (:mod:`field_app.store.folding`).
3. A stamp more than :data:`field_app.core.hlc.LEAP_MS` ahead of this device's clock is kept, told of, and
   not followed.
4. A second version with the device and number of another is kept and told of.
   If the device is this one, it goes on under a new id.
"""

from __future__ import annotations

import gc
import json
import sqlite3
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, replace

from field_app.core.hlc import LEAP_MS, Stamp, after_receiving, read_stamp
from field_app.core.intake import Reader, Row
from field_app.core.problems import Problem, Refused, refuse
from field_app.core.records import name_of
from field_app.core.trust import LIMITS
from field_app.store.folding import Fold
from field_app.store.own import Own, another_device, copied_problem
from field_app.words import tr

__all__ = ["Merge", "Taken", "insert", "uncollected"]

#: Problems of one kind that are told one by one; the others are only counted.
_TOLD = 100
#: From so many versions on what is known is read once, if it is no more than fits into a small memory [1].
_MANY, _FITS = 4096, 400_000


@dataclass(frozen=True, slots=True)
class Taken:
    """What came of taking in versions.

    new, known, refused: how many were added, were here already, were no versions [1];
    left_out: why some were refused; flagged: what is odd about some that were kept. Both tell the first few.
    """

    new: int
    known: int
    refused: int
    left_out: tuple[Problem, ...]
    flagged: tuple[Problem, ...]


class _Known:
    """Names and things that are in the table already: asked for, or, where many are asked for, read once."""

    def __init__(self, connection: sqlite3.Connection) -> None:
        self._connection = connection
        self._asked = 0
        self._names: set[str] | None = None
        self._things: set[str] = set()

    def names(self, names: Sequence[str]) -> set[str]:
        """Those that are names of versions in the table."""
        self._asked += len(names)
        if self._names is None and self._asked > _MANY:
            size = self._connection.execute("select coalesce(max(number), 0) from version").fetchone()[0]
            if size <= _FITS:
                self._names = {name for (name,) in self._connection.execute("select name from version")}
                self._things = {thing for (thing,) in self._connection.execute("select distinct thing from version")}
        if self._names is not None:
            return self._names.intersection(names)
        return {name for (name,) in self._connection.execute(
            "select name from version where name in (select value from json_each(?))", (json.dumps(names),))}

    def things(self, things: set[str]) -> set[str]:
        """Those that are things in the table."""
        if self._names is not None:
            return self._things & things
        return {thing for (thing,) in self._connection.execute(
            "select distinct thing from version where thing in (select value from json_each(?))",
            (json.dumps([*things]),))}

    def add(self, rows: Sequence[Row]) -> None:
        """These were added to the table."""
        if self._names is not None:
            self._names.update(row.name for row in rows)
            self._things.update(row.thing for row in rows)


def insert(connection: sqlite3.Connection, rows: Sequence[Row]) -> None:
    """Add versions that are not in the table yet, and work out what holds of the things they are about."""
    fold = Fold(connection)
    add(connection, rows, _Known(connection), fold)
    fold.write()


def add(connection: sqlite3.Connection, rows: Sequence[Row], known: _Known, fold: Fold) -> None:
    """Add versions that are not in the table yet; what they change is gathered in ``fold``."""
    met = known.things(fold.unmet(row.thing for row in rows))
    first = connection.execute("select coalesce(max(number), 0) + 1 from version").fetchone()[0]
    connection.executemany(
        "insert into version (number, name, thing, kind, hlc, device, seq, deleted, parents, text) "
        "values (?, ?, ?, ?, ?, ?, ?, ?, ?, ?)",
        [(number, name, thing, kind, hlc, device, seq, deleted, " ".join(parents), text)
         for number, (name, thing, kind, hlc, device, seq, deleted, parents, text, _) in enumerate(rows, first)])
    known.add(rows)
    fold.add(rows, first, met)


@contextmanager
def uncollected() -> Iterator[None]:
    """Python's search for cycles rests meanwhile: JSON data have none, and it takes a fifth of the time."""
    was_on = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if was_on:
            gc.enable()


class Merge:
    """Takes in versions batch by batch, within one transaction. Give them, then ask what came of it."""

    def __init__(self, connection: sqlite3.Connection, own: Own, *, now_ms: int, where: str) -> None:
        self._connection, self._own, self._now_ms, self._where = connection, own, now_ms, where
        self._reader, self._known, self._fold = Reader(), _Known(connection), Fold(connection)
        self._count = self._new = self._refused = 0
        self._newest = ""
        self._follows = str(Stamp(now_ms + LEAP_MS, 0xFFFF, "f" * 16))
        self._cloned = False
        self._left_out: list[Problem] = []
        self._flagged: list[Problem] = []

    def add(self, texts: Sequence[bytes]) -> None:
        """Add those that are new, once read. Raises Refused if there are more than is taken in at once."""
        first = self._counted(len(texts))
        names = [name_of(text) for text in texts]
        met = self._known.names(names)
        if len(met) == len(names):
            return
        rows: list[tuple[int, Row]] = []
        read, where = self._reader.read, self._where
        for number, (name, text) in enumerate(zip(names, texts, strict=True), first):
            if name in met:
                continue
            met.add(name)
            try:
                rows.append((number, read(text, name, where=f"{where} {number}")))
            except Refused as refused:
                self._refused += 1
                self._left_out.extend(refused.problems[:_TOLD - len(self._left_out)])
        self._keep(rows)

    def add_read(self, read: Sequence[Row]) -> None:
        """Add those that are new, of versions that :class:`field_app.core.intake.Reader` has read already."""
        first = self._counted(len(read))
        met = self._known.names([row.name for row in read])
        rows = []
        for number, row in enumerate(read, first):
            if row.name not in met:
                met.add(row.name)
                rows.append((number, row))
        self._keep(rows)

    def _counted(self, more: int) -> int:
        first = self._count + 1
        self._count += more
        if self._count > LIMITS.records:
            raise refuse(self._where, tr("there are more than {records:,}", records=LIMITS.records),
                         tr("Take them in in parts."))
        return first

    def _keep(self, numbered: Sequence[tuple[int, Row]]) -> None:
        for number, row in numbered:
            if row.hlc > self._follows:
                self._flag(f"{self._where} {number}", tr("its time is more than a day ahead of this device's clock"),
                           tr("It is kept. Compare the clocks of the two devices."), row.thing)
            elif row.hlc > self._newest:
                self._newest = row.hlc
        rows = [row for _, row in numbered]
        self._new += len(rows)
        self._look_at_chains(rows)
        add(self._connection, rows, self._known, self._fold)

    def write(self) -> None:
        """Work out what holds now. To be called once, after the last were added."""
        self._fold.write()

    def _flag(self, where: str, what: str, fix: str, record: str) -> None:
        if len(self._flagged) < _TOLD:
            self._flagged.append(Problem(where, what, fix, record))

    def _look_at_chains(self, rows: Sequence[Row]) -> None:
        tops: dict[str, int] = {}
        for device in {row.device for row in rows}:
            top = self._connection.execute("select max(seq) from version where device = ?", (device,)).fetchone()[0]
            tops[device] = top or 0
        met: set[tuple[str, int]] = set()
        for row in rows:
            place = (row.device, row.seq)
            # Most versions come after all that are known of their device: no need to ask for those.
            twice = place in met or (row.seq <= tops[row.device] and self._connection.execute(
                "select 1 from version where device = ? and seq = ?", place).fetchone() is not None)
            met.add(place)
            if twice:
                self._flag(f"device {row.device}", tr("has written two records with the number {seq}", seq=row.seq),
                           tr("Both are kept. Its data folder was copied; one of the two should get a new id, which "
                              "happens when it takes in this file."), row.thing)
            self._cloned = self._cloned or row.device == self._own.device

    def own_after(self, spare: str) -> Own:
        """What this device knows of itself now; spare: a device id that nobody else has."""
        own = self._own
        if self._newest:
            own = replace(own, stamp=after_receiving(own.stamp, read_stamp(self._newest), self._now_ms))
        if self._cloned:
            self._flagged.insert(0, copied_problem(own.device))
            own = another_device(own, spare)
        return own

    def taken(self) -> Taken:
        """What came of it."""
        return Taken(self._new, self._count - self._new - self._refused, self._refused,
                     tuple(self._left_out), tuple(self._flagged))
