"""The tables, as ordered migrations, each atomic with its own record.

``version`` holds what happened and only grows: triggers refuse to change or remove a row.
``thing`` holds what follows from it, one row a thing, and can be rebuilt from ``version`` at any time.
``own`` holds what concerns this device alone and is never handed on.
"""

from __future__ import annotations

from sqlite_utils import Database, Migrations

__all__ = ["APPLICATION_ID", "FORMAT", "MIGRATIONS"]

#: Marks a SQLite file as ours, in the header field that SQLite keeps for this.
APPLICATION_ID = 0x48554C4C
#: Grows when an older program could no longer read what a newer one wrote.
FORMAT = 1
MIGRATIONS = Migrations("field-app")


@MIGRATIONS()
def m001_versions(db: Database) -> None:
    """The append-only table and the two triggers that keep it so."""
    db.execute("""
        create table version (
            number integer primary key,
            name text not null unique,
            thing text not null,
            kind text not null,
            hlc text not null,
            device text not null,
            seq integer not null,
            text blob not null
        )""")
    db.execute("create index version_thing on version (thing)")
    db.execute("create index version_device on version (device, seq)")
    for deed in ("update", "delete"):
        db.execute(f"""
            create trigger version_no_{deed} before {deed} on version
            begin select raise(abort, 'what happened is never changed'); end""")


@MIGRATIONS()
def m002_things(db: Database) -> None:
    """What holds now, with the orders in which it is listed, and what this device knows of itself."""
    db.execute("""
        create table thing (
            id text primary key,
            kind text not null,
            of text,
            sort text not null,
            code text not null,
            deleted integer not null,
            heads text not null,
            first_hlc text not null,
            last_hlc text not null,
            device text not null,
            lat real,
            lon real,
            facts text not null
        ) without rowid""")
    db.execute("create index thing_kind on thing (kind, deleted, sort, id)")
    db.execute("create index thing_of on thing (of, kind, deleted, sort, id)")
    db.execute("create index thing_code on thing (code)")
    db.execute("create table own (key text primary key, value text not null) without rowid")
