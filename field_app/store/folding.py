"""What many versions change of what holds: gathered as they come, and written once for each thing.

The law of this file:

1. What holds is worked out anew for the things that a new version is about, and for no others.
2. Of a thing that was not there before, all that was ever said is at hand; of others it is read again.
3. No more is held in memory than :data:`MOST` versions need, however many come.
"""

from __future__ import annotations

import json
import sqlite3
from collections.abc import Iterable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from typing import Any

from field_app.core.intake import Row
from field_app.store.folder import DATABASE, unchanged
from field_app.store.holding import COLUMNS, Listed, Said, listed_of, row_of_listed, standing

__all__ = ["Fold", "settle"]

#: So many versions are gathered before what holds of their things is written [1].
MOST = 200_000
#: From so many new things on the orders of the table are made anew rather than filled one by one [1].
MANY = 4096
#: So many of the columns of a thing say where it is listed; the others what is shown there [1].
_LISTED = 6
_BATCH = 1024
_ROOM = ", ".join("?" * len(COLUMNS.split(",")))


class Fold:
    """Gathers versions that are being added to the table. Call :meth:`write` at the end."""

    def __init__(self, connection: sqlite3.Connection) -> None:
        self._connection = connection
        self._fresh: dict[str, list[Said]] = {}
        self._met: set[str] = set()
        self._listed: dict[str, Listed] = {}

    def unmet(self, things: Iterable[str]) -> set[str]:
        """Those of the things of which it is not known yet whether they were there before."""
        return {thing for thing in things if thing not in self._fresh and thing not in self._met}

    def add(self, rows: Sequence[Row], first: int, met: set[str]) -> None:
        """Versions that got the numbers from ``first`` on [1]; met: the things that were there before."""
        self._met |= met
        fresh, listed, known = self._fresh, self._listed, self._met
        for number, (name, thing, _, hlc, _, _, deleted, parents, _, feature) in enumerate(rows, first):
            listed[name] = listed_of(feature)
            if thing not in known:
                said = Said(number, name, hlc, deleted, parents)
                if thing in fresh:
                    fresh[thing].append(said)
                else:
                    fresh[thing] = [said]
        if len(listed) > MOST:
            self.write()

    def write(self) -> None:
        """Put into the table what holds of the things that were gathered."""
        rows = []
        for thing, said in self._fresh.items():
            stands = standing(said)
            rows.append(row_of_listed(thing, self._listed[stands.held.name], stands))
        if rows:
            _insert(self._connection, rows)
        met = [*self._met]
        for start in range(0, len(met), _BATCH):
            settle(self._connection, met[start:start + _BATCH], self._listed)
        self._fresh, self._met, self._listed = {}, set(), {}


def settle(connection: sqlite3.Connection, things: Iterable[str], at_hand: Mapping[str, Listed]) -> None:
    """Work out what holds of these things from all that is in the table.

    at_hand: where versions are listed, by name; the text of these need not be read again.
    Raises DamagedFolder if a version can't be read.
    """
    with unchanged(DATABASE):
        told: dict[str, list[Said]] = {}
        for thing, number, name, hlc, deleted, parents in connection.execute(
                "select thing, number, name, hlc, deleted, parents from version where thing in "
                "(select value from json_each(?))", (json.dumps([*things]),)):
            told.setdefault(thing, []).append(Said(number, name, hlc, bool(deleted), parents.split()))
        stands = {thing: standing(versions) for thing, versions in told.items()}
        wanted = json.dumps([one.held.number for one in stands.values() if one.held.name not in at_hand])
        read = {name: listed_of(json.loads(text)) for name, text in connection.execute(
            "select name, text from version where number in (select value from json_each(?))", (wanted,))}
        listed = set(connection.execute(
            "select id, kind, of, sort, code, deleted from thing where id in (select value from json_each(?))",
            (json.dumps([*told]),)))
        new, moved = [], []
        for thing, one in stands.items():
            name = one.held.name
            row = row_of_listed(thing, read[name] if name in read else at_hand[name], one)
            # One that stays in its place in all lists needs no new place in them.
            if row[:_LISTED] in listed:
                moved.append((*row[_LISTED:], row[0]))
            else:
                new.append(row)
    connection.executemany(f"insert or replace into thing ({COLUMNS}) values ({_ROOM})", new)
    connection.executemany("update thing set heads = ?, first_hlc = ?, held = ? where id = ?", moved)


def _insert(connection: sqlite3.Connection, rows: list[tuple[Any, ...]]) -> None:
    # In the order of the table itself, so that it grows at its end.
    rows.sort(key=lambda row: row[0])
    with _orders_later(connection, len(rows)):
        connection.executemany(f"insert into thing ({COLUMNS}) values ({_ROOM})", rows)


@contextmanager
def _orders_later(connection: sqlite3.Connection, count: int) -> Iterator[None]:
    """Around adding ``count`` things [1]: if those are most of all, their orders are made by sorting at the end.

    All of it is part of the transaction: when that fails, table and orders are as they were.
    """
    many = count >= MANY and count > connection.execute("select count(*) from thing").fetchone()[0]
    orders = connection.execute("select name, sql from sqlite_schema where type = 'index' and tbl_name = 'thing' "
                                "and sql is not null").fetchall() if many else []
    for name, _ in orders:
        connection.execute(f'drop index "{name}"')
    yield
    for _, sql in orders:
        connection.execute(sql)
