"""The append-only log of versions in SQLite, and beside it the table of what holds now.

A save is one transaction: the versions, what holds of the things they touch, and this device's place in
its own chain.
When :meth:`Log.append` returns, the transaction is on the disk.
"""

from __future__ import annotations

import contextlib
import json
import sqlite3
import threading
from collections.abc import Callable, Collection, Iterable, Iterator, Sequence, Sized
from contextlib import contextmanager
from dataclasses import replace
from itertools import islice
from pathlib import Path
from typing import Any, TypeVar

import rfc8785

from field_app.core.course import step
from field_app.core.hlc import after_sending
from field_app.core.intake import ENVELOPE, Reader, Row
from field_app.core.problems import Problem, Refused, refuse
from field_app.core.records import Draft, Thing, Version, read_version
from field_app.disk import mark_of
from field_app.store.folder import DATABASE, check_marks, connect, told, unchanged
from field_app.store.folding import settle
from field_app.store.holding import CODE_LENGTH, THINGS, thing_of_row
from field_app.store.merging import Merge, Taken, insert, uncollected
from field_app.store.own import Own, another_device, copied, copied_problem, fresh, read_own, write_own
from field_app.store.schema import FORMAT, RULES, due, migrate
from field_app.words import tr

__all__ = ["CODE_LENGTH", "Log", "Taken"]

_BATCH = 1024
#: So much of the work of taking in is adding; the rest is working out what holds [1].
_ADDED = 0.8
_Given = TypeVar("_Given")
_LAST_MS = 9_999_999_999_999  # the last that has the 13 digits of a stamp: in the year 2286


class Log:
    """Versions in, things out. Open with a folder and a device id that nobody else has.

    new_device: 16 hexadecimal digits, used if the folder has no device id yet, or was copied.
    notices: what the person should know about how the folder was found.
    Raises the faults of :mod:`field_app.core.problems`.
    """

    def __init__(self, folder: Path, *, new_device: str) -> None:
        self.folder = folder
        self.notices: tuple[Problem, ...] = ()
        self._spare = new_device
        self._lock = threading.RLock()
        self._connection = connect(folder)
        try:
            self._open()
        except BaseException:
            self._connection.close()
            raise

    def _open(self) -> None:
        # Looked at without a lock first, so that a folder opens while another program writes to it.
        place = mark_of(self.folder / DATABASE)
        with told(self.folder):
            if not due(self._connection) and self._is_settled(read_own(self._connection), place):
                return
        with self.writing(founding=True):
            migrate(self._connection)
            found = read_own(self._connection)
            own = found or fresh(self._spare)
            if copied(self._connection, own, place):
                self.notices = (copied_problem(own.device),)
                own = another_device(own, self._spare)
            if own.rules != RULES:
                self._rebuild()
            write_own(self._connection, replace(own, place=place, rules=RULES), found)

    def _is_settled(self, own: Own | None, place: str) -> bool:
        return (own is not None and own.rules == RULES and own.place == place
                and not copied(self._connection, own, place) and self._version() == FORMAT)

    def _version(self, *, founding: bool = False) -> int:
        version = int(self._connection.execute("pragma user_version").fetchone()[0])
        application = int(self._connection.execute("pragma application_id").fetchone()[0])
        if application or not founding:
            check_marks(self.folder, application, version)
        return version

    def close(self) -> None:
        """Let go of the file."""
        with self._lock:
            self._connection.close()

    @property
    def device(self) -> str:
        """The id of this device, 16 hexadecimal digits. It changes when the folder turns out to be a copy."""
        return self._own().device

    def _own(self) -> Own:
        with self._lock, told(self.folder):
            own = read_own(self._connection)
        assert own is not None, "an opened folder has a device id"
        return own

    @contextmanager
    def writing(self, *, founding: bool = False) -> Iterator[sqlite3.Connection]:
        """One transaction: what is done within it is kept together and lasting, or not at all.

        founding: the file may have no marks yet.
        Raises NewerFolder if a newer program has changed the folder meanwhile.
        """
        with self._lock, told(self.folder):
            self._connection.execute("begin immediate")
            try:
                self._version(founding=founding)
                yield self._connection
                self._connection.execute("commit")
            except BaseException:
                # A commit that failed for want of room has already been rolled back by SQLite.
                if self._connection.in_transaction:
                    with contextlib.suppress(sqlite3.Error):
                        self._connection.execute("rollback")
                raise

    @contextmanager
    def reading(self) -> Iterator[sqlite3.Connection]:
        """The database as it is at one moment, however long the reading takes."""
        with self._lock, told(self.folder):
            if self._connection.in_transaction:
                yield self._connection
                return
            self._connection.execute("begin")
            try:
                yield self._connection
            finally:
                if self._connection.in_transaction:
                    with contextlib.suppress(sqlite3.Error):
                        self._connection.execute("rollback")

    def _query(self, sql: str, values: Sequence[Any] = ()) -> list[tuple[Any, ...]]:
        with self._lock, told(self.folder):
            return self._connection.execute(sql, values).fetchall()

    # What happened

    def append(self, drafts: Iterable[Draft], *, now_ms: int) -> tuple[Version, ...]:
        """Stamp the drafts, put them on the disk together, and give them back as versions.

        now_ms: this device's clock [ms since 1970].
        Raises Refused for a draft that could not be read back (too long, too deep, with a binary number),
        NoRoom if they could not be kept; then none is.
        """
        drafts = tuple(drafts)
        if not drafts:
            return ()
        _check_clock(now_ms)
        with self.writing() as connection:
            before = own = self._own()
            reader, versions, rows = Reader(), [], []
            for draft in drafts:
                own = replace(own, stamp=after_sending(own.stamp, now_ms), seq=own.seq + 1)
                version = _version(draft, own)
                rows.append(_row(reader, version))
                versions.append(version)
                own = replace(own, prev=version.name)
            insert(connection, rows)
            write_own(connection, own, before)
        return tuple(versions)

    def take_in(self, versions: Iterable[Version], *, now_ms: int) -> Taken:
        """Add versions from elsewhere; those already known change nothing."""
        return self.take_in_texts((version.text for version in versions), now_ms=now_ms)

    def take_in_texts(self, texts: Iterable[bytes], *, now_ms: int, where: str = "record") -> Taken:
        """Add versions from elsewhere, as the bytes they are named by; those already known change nothing.

        now_ms: this device's clock [ms since 1970]; where: what to call a record in a message, before its number.
        Bytes that are no version are left out and told of; all others are kept together, or none is.
        Raises Refused if there are more than is taken in at once, NoRoom if they could not be kept.
        """
        return self._take_in(texts, Merge.add, now_ms, where)

    def take_in_read(self, rows: Iterable[Row], *, now_ms: int) -> Taken:
        """The same for versions that :class:`field_app.core.intake.Reader` has read already."""
        return self._take_in(rows, Merge.add_read, now_ms, "record")

    def _take_in(self, some: Iterable[_Given], add: Callable[[Merge, list[_Given]], None], now_ms: int,
                 where: str) -> Taken:
        _check_clock(now_ms)
        of = len(some) if isinstance(some, Sized) else 0
        some = iter(some)
        with uncollected(), self.writing() as connection:
            before = self._own()
            merge = Merge(connection, before, now_ms=now_ms, where=where)
            done = 0
            while batch := list(islice(some, _BATCH)):
                add(merge, batch)
                done += len(batch)
                if of:  # what is given piece by piece has no end that is known
                    step(_ADDED * done / of)
            merge.write()
            own = merge.own_after(self._spare)
            if own != before:
                write_own(connection, own, before)
        return merge.taken()

    def texts(self) -> Iterator[bytes]:
        """Every version's bytes, in the order of their stamps, as they are known when it starts."""
        numbers = [number for (number,) in self._query("select number from version order by hlc, name")]
        for start in range(0, len(numbers), _BATCH):
            part = numbers[start:start + _BATCH]
            found = dict(self._query("select number, text from version where number in "
                                     "(select value from json_each(?))", (json.dumps(part),)))
            with unchanged(f"data folder {self.folder}"):
                texts = [found[number] for number in part]
            yield from texts

    def length(self) -> int:
        """How long the bytes of all versions are together [byte]."""
        return int(self._query("select coalesce(sum(length(text)), 0) from version")[0][0])

    def versions(self, thing: str | None = None) -> tuple[Version, ...]:
        """Every version, or those of one thing, in the order of their stamps."""
        where, values = ("where thing = ?", (thing,)) if thing else ("", ())
        rows = self._query(f"select text from version {where} order by hlc, name", values)
        with unchanged(f"data folder {self.folder}"):
            return tuple(read_version(text, where=f"version {n}") for n, (text,) in enumerate(rows, 1))

    def last_own(self) -> Version | None:
        """The last thing said on this device, or None."""
        rows = self._query("select text from version where device = ? order by seq desc limit 1", (self.device,))
        with unchanged(f"data folder {self.folder}"):
            return read_version(rows[0][0]) if rows else None

    # What follows from it

    def rebuild(self) -> None:
        """Work out everything that holds anew from what happened."""
        with self.writing():
            self._rebuild()

    def _rebuild(self) -> None:
        self._connection.execute("delete from thing")
        last = ""
        while batch := self._connection.execute(
                "select distinct thing from version where thing > ? order by thing limit ?",
                (last, _BATCH)).fetchall():
            settle(self._connection, [thing for (thing,) in batch], {})
            last = batch[-1][0]

    def thing(self, key: str) -> Thing | None:
        """What holds about the thing with this id, or None."""
        found = self._things("where t.id = ?", (key,))
        return found[0] if found else None

    def things(self, kind: str, *, of: str | None = None, limit: int = -1, newest_first: bool = False,
               before: tuple[str, str] | None = None) -> tuple[Thing, ...]:
        """The living things of a kind, in their own order, all or those that belong to ``of``.

        limit: how many at most, -1 for all [1]; before: the (sort, id) after which a page goes on.
        """
        wheres, values = ["t.kind = ?", "t.deleted = 0"], [kind]
        if of is not None:
            wheres.append("t.of = ?")
            values.append(of)
        if before is not None:
            wheres.append(f"(t.sort, t.id) {'<' if newest_first else '>'} (?, ?)")
            values.extend(before)
        way = "desc" if newest_first else "asc"
        return self._things(f"where {' and '.join(wheres)} order by t.sort {way}, t.id {way} limit ?", (*values, limit))

    def count(self, kind: str, *, of: str | None = None) -> int:
        """How many living things of a kind there are [1]."""
        belongs, values = (" and of = ?", (kind, of)) if of else ("", (kind,))
        return int(self._query(
            f"select count(*) from thing where kind = ? and deleted = 0{belongs}", values)[0][0])

    def deleted(self, kind: str, *, limit: int = -1) -> tuple[Thing, ...]:
        """The things of a kind that were taken back, the latest first; limit: how many at most [1]."""
        return self._things("where t.kind = ? and t.deleted = 1 order by v.hlc desc, t.id limit ?", (kind, limit))

    def count_deleted(self, kind: str) -> int:
        """How many things of a kind were taken back [1]."""
        return int(self._query("select count(*) from thing where kind = ? and deleted = 1", (kind,))[0][0])

    def by_code(self, prefix: str, kind: str, *, deleted: bool = False) -> tuple[Thing, ...]:
        """The living things of a kind whose code starts so; deleted: those that were taken back instead."""
        return self._things("where t.code >= ? and t.code < ? and t.kind = ? and t.deleted = ?",
                            (prefix, prefix + "~", kind, deleted))

    def among(self, keys: Collection[str]) -> tuple[Thing, ...]:
        """What holds about those of the things with these ids that there are."""
        return self._things("where t.id in (select value from json_each(?))", (json.dumps([*keys]),))

    def things_of_all(self, kind: str, of: Collection[str]) -> tuple[Thing, ...]:
        """The living things of a kind that belong to any of these, in their own order."""
        return self._things("where t.of in (select value from json_each(?)) and t.kind = ? and t.deleted = 0 "
                            "order by t.sort, t.id", (json.dumps([*of]), kind))

    def held_at(self, kinds: Collection[str]) -> dict[str, tuple[int, ...]]:
        """For each thing that others of these kinds belong to, the numbers of the versions that hold of them [1].

        A thing that belongs to none stands under its own id. Numbers that are the same tell that nothing changed.
        """
        found: dict[str, list[int]] = {}
        for of, held in self._query("select coalesce(of, id), held from thing where kind in "
                                    "(select value from json_each(?)) and deleted = 0 order by held",
                                    (json.dumps([*kinds]),)):
            found.setdefault(of, []).append(held)
        return {of: tuple(numbers) for of, numbers in found.items()}

    def code_counts(self, prefixes: Collection[str], kind: str) -> dict[str, int]:
        """How many living things of a kind have a code that starts so, for each prefix with any [1]."""
        # The plus keeps SQLite from walking through all things of the kind.
        return dict(self._query(
            "select start.value, count(*) from json_each(?) start cross join thing t "
            "on t.code >= start.value and t.code < start.value || '~' where +t.kind = ? and +t.deleted = 0 "
            "group by start.value", (json.dumps([*prefixes]), kind)))

    def _things(self, where: str, values: Sequence[Any]) -> tuple[Thing, ...]:
        rows = self._query(f"{THINGS} {where}", values)
        with unchanged(f"data folder {self.folder}"):
            return tuple(thing_of_row(row) for row in rows)

    def change_mark(self) -> tuple[int, int]:
        """Two numbers that differ from earlier ones if anybody has written since [1].

        Raises FolderFault if the file was moved or replaced while it was open.
        """
        with self._lock, told(self.folder):
            elsewhere = self._connection.execute("pragma data_version").fetchone()[0]
            return int(elsewhere), self._connection.total_changes


def _check_clock(now_ms: int) -> None:
    if not 0 <= now_ms <= _LAST_MS:
        raise refuse("clock", tr("this device's clock shows a time before 1970 or after 2286"),
                     tr("Set the clock of this device and save again."))


def _row(reader: Reader, version: Version) -> Row:
    # What is written is read as strictly as what comes from elsewhere, so that no other device refuses it.
    try:
        return reader.read(version.text, version.name, where=version.kind)
    except Refused as refused:
        raise Refused(Problem(fault.where, fault.what, tr("Make it shorter or simpler, and save again."), version.thing)
                      for fault in refused.problems) from None


def _version(draft: Draft, own: Own) -> Version:
    taken = ENVELOPE & set(draft.facts)
    if taken:
        raise ValueError(f"a fact may not be called {min(taken)!r}")
    try:
        return Version(
            thing=draft.thing, kind=draft.kind, facts=dict(draft.facts), hlc=str(own.stamp), device=own.device,
            seq=own.seq, position=draft.position, parents=draft.parents, prev=own.prev or None,
            deleted=draft.deleted)
    except rfc8785.CanonicalizationError as error:
        raise refuse(draft.kind, tr("can't be kept ({error})", error=error),
                     tr("Type it anew, in plain letters.")) from None
