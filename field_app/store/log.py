"""The append-only log of versions in SQLite, and beside it the table of what holds now.

A save is one transaction: the versions, what holds of the things they touch, and this device's place in
its own chain.
When :meth:`Log.append` returns, the transaction is on the disk.
"""

from __future__ import annotations

import json
import threading
from collections.abc import Iterable, Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path
from types import MappingProxyType
from typing import Any

from sqlite_utils import Database

from field_app.core.hlc import Stamp, after_receiving, after_sending, read_stamp
from field_app.core.records import Draft, Thing, Version, code_of, read_version, settle, sort_of
from field_app.store.folder import connect, told
from field_app.store.schema import APPLICATION_ID, FORMAT, MIGRATIONS

__all__ = ["CODE_LENGTH", "Log"]

#: Signs of a code that are kept for look-up; fewer are shown.
CODE_LENGTH = 12
_THING = "id, kind, facts, lat, lon, heads, first_hlc, last_hlc, device, deleted"


class Log:
    """Versions in, things out. Open with a folder and this device's id for a new folder.

    new_device: 16 hexadecimal digits, used if the folder has no device id yet.
    Raises the faults of :mod:`field_app.core.problems`.
    """

    def __init__(self, folder: Path, *, new_device: str) -> None:
        self.folder = folder
        self._lock = threading.RLock()
        self._connection = connect(folder)
        try:
            with told(folder):
                self._db = Database(self._connection)
                if MIGRATIONS.pending(self._db):
                    self._connection.execute(f"pragma application_id={APPLICATION_ID}")
                    MIGRATIONS.apply(self._db)
                    self._connection.execute(f"pragma user_version={FORMAT}")
                with self._writing():
                    self._own_default("device", new_device)
                    self.device = self._own("device") or new_device
                    self._own_default("hlc", str(Stamp(0, 0, self.device)))
        except BaseException:
            self._connection.close()
            raise

    def close(self) -> None:
        """Let go of the file."""
        with self._lock:
            self._connection.close()

    @contextmanager
    def _writing(self) -> Iterator[None]:
        with self._lock, told(self.folder):
            self._connection.execute("begin immediate")
            try:
                yield
                self._connection.execute("commit")
            except BaseException:
                # A commit that failed for want of room has already been rolled back by SQLite.
                if self._connection.in_transaction:
                    self._connection.execute("rollback")
                raise

    def _query(self, sql: str, values: Sequence[Any] = ()) -> list[tuple[Any, ...]]:
        with self._lock, told(self.folder):
            return self._connection.execute(sql, values).fetchall()

    def _own(self, key: str) -> str | None:
        row = self._connection.execute("select value from own where key = ?", (key,)).fetchone()
        return None if row is None else str(row[0])

    def _set_own(self, key: str, value: str) -> None:
        self._connection.execute("insert or replace into own values (?, ?)", (key, value))

    def _own_default(self, key: str, value: str) -> None:
        self._connection.execute("insert or ignore into own values (?, ?)", (key, value))

    # What happened

    def append(self, drafts: Iterable[Draft], *, now_ms: int) -> tuple[Version, ...]:
        """Stamp the drafts, put them on the disk together, and give them back as versions.

        now_ms: this device's clock [ms since 1970]. Raises NoRoom if they could not be kept; then none is.
        """
        with self._writing():
            stamp, prev = read_stamp(self._own("hlc") or ""), self._own("prev")
            seq = int(self._own("seq") or 0)
            versions = []
            for draft in drafts:
                stamp, seq = after_sending(stamp, now_ms), seq + 1
                version = Version(
                    thing=draft.thing, kind=draft.kind, facts=dict(draft.facts), hlc=str(stamp),
                    device=self.device, seq=seq, position=draft.position, parents=draft.parents,
                    prev=prev, deleted=draft.deleted)
                prev = version.name
                versions.append(version)
            self._insert(versions)
            self._set_own("hlc", str(stamp))
            self._set_own("seq", str(seq))
            if prev is not None:
                self._set_own("prev", prev)
            self._settle({version.thing for version in versions})
        return tuple(versions)

    def take_in(self, versions: Iterable[Version], *, now_ms: int) -> int:
        """Add versions from elsewhere; those already known change nothing. Gives how many were new [1]."""
        with self._writing():
            before = self._connection.total_changes
            versions = list(versions)
            self._insert(versions)
            new = self._connection.total_changes - before
            if new:
                stamp = read_stamp(self._own("hlc") or "")
                newest = max(read_stamp(version.hlc) for version in versions)
                self._set_own("hlc", str(after_receiving(stamp, newest, now_ms)))
                self._settle({version.thing for version in versions})
        return new

    def _insert(self, versions: Iterable[Version]) -> None:
        self._connection.executemany(
            "insert or ignore into version (name, thing, kind, hlc, device, seq, text) values (?,?,?,?,?,?,?)",
            [(v.name, v.thing, v.kind, v.hlc, v.device, v.seq, v.text) for v in versions])

    def versions(self, thing: str | None = None) -> tuple[Version, ...]:
        """Every version, or those of one thing, in the order of their stamps."""
        where, values = ("where thing = ?", (thing,)) if thing else ("", ())
        rows = self._query(f"select text from version {where} order by hlc, name", values)
        return tuple(read_version(text, where=f"version {n}") for n, (text,) in enumerate(rows, 1))

    # What follows from it

    def _settle(self, things: Iterable[str]) -> None:
        rows = []
        for thing in things:
            found = self._connection.execute("select text from version where thing = ?", (thing,)).fetchall()
            rows.append(_row(settle(read_version(text) for (text,) in found)))
        self._connection.executemany(
            "insert or replace into thing values (?,?,?,?,?,?,?,?,?,?,?,?,?)", rows)

    def rebuild(self) -> None:
        """Work out everything that holds anew from what happened."""
        with self._writing():
            self._connection.execute("delete from thing")
            things = self._connection.execute("select distinct thing from version").fetchall()
            self._settle(thing for (thing,) in things)

    def thing(self, key: str) -> Thing | None:
        """What holds about the thing with this id, or None."""
        rows = self._query(f"select {_THING} from thing where id = ?", (key,))
        return _thing(rows[0]) if rows else None

    def things(self, kind: str, *, of: str | None = None, limit: int = -1, newest_first: bool = False,
               before: tuple[str, str] | None = None) -> tuple[Thing, ...]:
        """The living things of a kind, in their own order, all or those that belong to ``of``.

        limit: how many at most, -1 for all [1]; before: the (sort, id) after which a page goes on.
        """
        wheres, values = ["kind = ?", "deleted = 0"], [kind]
        if of is not None:
            wheres.append("of = ?")
            values.append(of)
        if before is not None:
            wheres.append("(sort, id) < (?, ?)" if newest_first else "(sort, id) > (?, ?)")
            values.extend(before)
        way = "desc" if newest_first else "asc"
        rows = self._query(f"select {_THING} from thing where {' and '.join(wheres)} "
                           f"order by sort {way}, id {way} limit ?", (*values, limit))
        return tuple(_thing(row) for row in rows)

    def count(self, kind: str, *, of: str | None = None) -> int:
        """How many living things of a kind there are [1]."""
        belongs, values = (" and of = ?", (kind, of)) if of else ("", (kind,))
        return int(self._query(
            f"select count(*) from thing where kind = ? and deleted = 0{belongs}", values)[0][0])

    def by_code(self, prefix: str, kind: str) -> tuple[Thing, ...]:
        """The living things of a kind whose code starts so."""
        rows = self._query(f"select {_THING} from thing where code >= ? and code < ? "
                           "and kind = ? and deleted = 0", (prefix, prefix + "~", kind))
        return tuple(_thing(row) for row in rows)

    def change_mark(self) -> tuple[int, int]:
        """Two numbers that differ from earlier ones if anybody has written since [1]."""
        with self._lock, told(self.folder):
            elsewhere = self._connection.execute("pragma data_version").fetchone()[0]
            return int(elsewhere), self._connection.total_changes


def _row(thing: Thing) -> tuple[Any, ...]:
    lat, lon = thing.position or (None, None)
    return (thing.id, thing.kind, thing.of, sort_of(thing), code_of(thing.id, CODE_LENGTH), int(thing.deleted),
            json.dumps(thing.heads), thing.first_hlc, thing.last_hlc, thing.device, lat, lon,
            json.dumps(dict(thing.facts), ensure_ascii=False))


def _thing(row: tuple[Any, ...]) -> Thing:
    key, kind, facts, lat, lon, heads, first, last, device, deleted = row
    return Thing(id=key, kind=kind, facts=MappingProxyType(json.loads(facts)),
                 position=None if lat is None else (lat, lon), heads=tuple(json.loads(heads)),
                 first_hlc=first, last_hlc=last, device=device, deleted=bool(deleted))
