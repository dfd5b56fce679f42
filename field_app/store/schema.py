"""The tables, as ordered migrations; all that are due are done in one transaction, or none.

``version`` holds what happened and only grows: triggers refuse to change or remove a row.
``thing`` holds what follows from it, one row a thing, and can be rebuilt from ``version`` at any time;
``held`` is the number of the version that holds.
``own`` holds what concerns this device alone and is never handed on.
``photograph`` says which photographs lie on this device, and only grows.
``migration`` names the migrations that were done.
"""

from __future__ import annotations

import json
import sqlite3
import unicodedata
from collections.abc import Callable, Sequence

from field_app.core.records import KINDS
from field_app.store.quarantine import m003_quarantine

__all__ = ["APPLICATION_ID", "FORMAT", "MIGRATIONS", "RULES", "due", "migrate"]

#: Marks a SQLite file as ours, in the header field that SQLite keeps for this.
APPLICATION_ID = 0x48554C4C
#: Grows when an older program could no longer read what a newer one wrote.
FORMAT = 1
#: Differs when ``thing`` would be worked out differently, as by a program that knows more kinds: then it is
#: worked out anew when the folder is opened. The number in it grows when the rules themselves change.
#: Names are sorted by the tables of Unicode, which differ from one Python to the next.
RULES = f"1 {unicodedata.unidata_version} {json.dumps(dict(KINDS), sort_keys=True)}"

Migration = Callable[[sqlite3.Connection], None]


def m001_versions(connection: sqlite3.Connection) -> None:
    """The append-only table and the two triggers that keep it so."""
    connection.execute("""
        create table version (
            number integer primary key,
            name text not null unique,
            thing text not null,
            kind text not null,
            hlc text not null,
            device text not null,
            seq integer not null,
            deleted integer not null,
            parents text not null,
            text blob not null
        )""")
    connection.execute("create index version_thing on version (thing)")
    connection.execute("create index version_device on version (device, seq)")
    for deed in ("update", "delete"):
        connection.execute(f"""
            create trigger version_no_{deed} before {deed} on version
            begin select raise(abort, 'what happened is never changed'); end""")


def m002_things(connection: sqlite3.Connection) -> None:
    """What holds now, with the orders in which it is listed, and what this device knows of itself."""
    connection.execute("""
        create table thing (
            id text primary key,
            kind text not null,
            of text,
            sort text not null,
            code text not null,
            deleted integer not null,
            heads text not null,
            first_hlc text not null,
            held integer not null
        ) without rowid""")
    connection.execute("create index thing_kind on thing (kind, deleted, sort, id)")
    connection.execute("create index thing_of on thing (of, kind, deleted, sort, id)")
    connection.execute("create index thing_code on thing (code)")
    connection.execute("create table own (key text primary key, value text not null) without rowid")


def m004_photographs(connection: sqlite3.Connection) -> None:
    """Which photographs are kept on this device, and of what; see :mod:`field_app.store.photographs`."""
    connection.execute("""
        create table photograph (
            number integer primary key,
            sha256 text not null,
            kind text not null,
            bytes integer not null,
            of text not null,
            at text not null,
            gone integer not null
        )""")
    connection.execute("create index photograph_of on photograph (of)")


MIGRATIONS: tuple[Migration, ...] = (m001_versions, m002_things, m003_quarantine, m004_photographs)


def due(connection: sqlite3.Connection, migrations: Sequence[Migration] = MIGRATIONS) -> list[Migration]:
    """The migrations that were not done yet, in their order. Reads only."""
    has = connection.execute("select 1 from sqlite_schema where type = 'table' and name = 'migration'").fetchone()
    done = {name for (name,) in connection.execute("select name from migration")} if has else set()
    return [step for step in migrations if step.__name__ not in done]


def migrate(connection: sqlite3.Connection, migrations: Sequence[Migration] = MIGRATIONS) -> None:
    """Do what is due, with its records and the marks in the file's header.

    To be called within a transaction: the marks are part of the first page, so they come and go with it.
    """
    for step in due(connection, migrations):
        connection.execute("create table if not exists migration "
                           "(number integer primary key, name text not null unique)")
        step(connection)
        connection.execute("insert into migration (name) values (?)", (step.__name__,))
    connection.execute(f"pragma application_id={APPLICATION_ID}")
    connection.execute(f"pragma user_version={FORMAT}")
