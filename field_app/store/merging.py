"""Versions into the table, and what they change of what holds: for many at once as for one.

The law of this file:

1. A version is known by its name; a known one changes nothing, not even the clock.
2. What holds is worked out anew for the things that a new version is about, and for no others.
3. A stamp more than :data:`field_app.core.hlc.LEAP_MS` ahead of this device's clock is kept, told of, and
   not followed.
4. A second version with the device and number of another is kept and told of.
   If the device is this one, it goes on under a new id.
"""

from __future__ import annotations

import gc
import json
import sqlite3
from collections.abc import Container, Iterable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, replace
from typing import Any

from field_app.core.hlc import LEAP_MS, Stamp, after_receiving, read_stamp
from field_app.core.intake import Reader, Row
from field_app.core.problems import Problem, Refused, refuse
from field_app.core.records import name_of
from field_app.core.trust import LIMITS
from field_app.store.folder import DATABASE, unchanged
from field_app.store.holding import COLUMNS, Said, Standing, row_of_thing, standing
from field_app.store.own import Own, another_device, copied_problem

__all__ = ["Merge", "Taken", "insert", "settle", "uncollected"]

#: Problems of one kind that are told one by one; the others are only counted.
_TOLD = 100
#: From so many versions on what is known is read once, if it is no more than fits into a small memory [1].
_MANY, _FITS = 4096, 400_000
#: So many of the columns of a thing say where it is listed; the others what is shown there [1].
_LISTED = 6
_ROOM = ", ".join("?" * len(COLUMNS.split(",")))


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


def insert(connection: sqlite3.Connection, rows: Sequence[Row], known: _Known | None = None) -> None:
    """Add versions that are not in the table yet, and work out what holds of the things they are about."""
    known = known or _Known(connection)
    met = known.things({row.thing for row in rows})
    first = connection.execute("select coalesce(max(number), 0) + 1 from version").fetchone()[0]
    connection.executemany(
        "insert into version (number, name, thing, kind, hlc, device, seq, deleted, parents, text) "
        "values (?, ?, ?, ?, ?, ?, ?, ?, ?, ?)",
        [(number, row.name, row.thing, row.kind, row.hlc, row.device, row.seq, row.deleted, " ".join(row.parents),
          row.text) for number, row in enumerate(rows, first)])
    # Of a thing that was not there before, all that was ever said is at hand.
    told: dict[str, list[Said]] = {}
    for number, row in enumerate(rows, first):
        if row.thing not in met:
            told.setdefault(row.thing, []).append(Said(number, row.name, row.hlc, row.deleted, row.parents))
    features = {row.name: row.feature for row in rows}
    _write(connection, map(standing, told.values()), features)
    if met:
        settle(connection, met, features)
    known.add(rows)


def settle(connection: sqlite3.Connection, things: Iterable[str], at_hand: Mapping[str, Any]) -> None:
    """Work out what holds of these things.

    at_hand: versions as JSON data, by name, whose text need not be read again.
    Raises DamagedFolder if a version can't be read.
    """
    with unchanged(DATABASE):
        told: dict[str, list[Said]] = {}
        for thing, number, name, hlc, deleted, parents in connection.execute(
                "select thing, number, name, hlc, deleted, parents from version where thing in "
                "(select value from json_each(?))", (json.dumps([*things]),)):
            told.setdefault(thing, []).append(Said(number, name, hlc, bool(deleted), parents.split()))
        stands = [standing(versions) for versions in told.values()]
        wanted = json.dumps([one.held.number for one in stands if one.held.name not in at_hand])
        read = {name: json.loads(text) for name, text in connection.execute(
            "select name, text from version where number in (select value from json_each(?))", (wanted,))}
        listed = set(connection.execute(
            "select id, kind, of, sort, code, deleted from thing where id in (select value from json_each(?))",
            (json.dumps([*told]),)))
        _write(connection, stands, {**at_hand, **read}, listed=listed)


def _write(connection: sqlite3.Connection, stands: Iterable[Standing], features: Mapping[str, Any], *,
           listed: Container[tuple[Any, ...]] = ()) -> None:
    # listed: how things are listed already. One that stays in its place in all lists needs no new place in them.
    new, moved = [], []
    for one in stands:
        row = row_of_thing(features[one.held.name], one)
        if listed and row[:_LISTED] in listed:
            moved.append((*row[_LISTED:], row[0]))
        else:
            new.append(row)
    connection.executemany(f"insert or replace into thing ({COLUMNS}) values ({_ROOM})", new)
    connection.executemany("update thing set heads = ?, first_hlc = ?, held = ? where id = ?", moved)


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
    """Takes in versions batch by batch, within one transaction. Give the texts, then ask what came of it."""

    def __init__(self, connection: sqlite3.Connection, own: Own, *, now_ms: int, where: str) -> None:
        self._connection, self._own, self._now_ms, self._where = connection, own, now_ms, where
        self._reader, self._known = Reader(), _Known(connection)
        self._count = self._new = self._refused = 0
        self._newest = ""
        self._follows = str(Stamp(now_ms + LEAP_MS, 0xFFFF, "f" * 16))
        self._cloned = False
        self._left_out: list[Problem] = []
        self._flagged: list[Problem] = []

    def add(self, texts: Sequence[bytes]) -> None:
        """Add those that are new. Raises Refused if there are more than is taken in at once."""
        first = self._count + 1
        self._count += len(texts)
        if self._count > LIMITS.records:
            raise refuse(self._where, f"there are more than {LIMITS.records:,}", "Take them in in parts.")
        names = [name_of(text) for text in texts]
        met = self._known.names(names)
        if len(met) == len(names):
            return
        rows: list[Row] = []
        for number, (name, text) in enumerate(zip(names, texts, strict=True), first):
            if name in met:
                continue
            met.add(name)
            where = f"{self._where} {number}"
            try:
                row = self._reader.read(text, name, where=where)
            except Refused as refused:
                self._refused += 1
                self._left_out.extend(refused.problems[:_TOLD - len(self._left_out)])
                continue
            rows.append(row)
            self._look_at_stamp(row, where)
        self._new += len(rows)
        self._look_at_chains(rows)
        insert(self._connection, rows, self._known)

    def _flag(self, where: str, what: str, fix: str, record: str) -> None:
        if len(self._flagged) < _TOLD:
            self._flagged.append(Problem(where, what, fix, record))

    def _look_at_stamp(self, row: Row, where: str) -> None:
        if row.hlc > self._follows:
            self._flag(where, "its time is more than a day ahead of this device's clock",
                       "It is kept. Compare the clocks of the two devices.", row.thing)
        elif row.hlc > self._newest:
            self._newest = row.hlc

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
                self._flag(f"device {row.device}", f"has written two records with the number {row.seq}",
                           "Both are kept. Its data folder was copied; one of the two should get a new id, "
                           "which happens when it takes in this file.", row.thing)
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
