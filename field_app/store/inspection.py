"""Looks over a whole data folder: is everything there, unchanged, and is what holds what follows from it.

:func:`inspect` tells of damage; a sound folder has none.
:func:`mixed` tells of what is odd but kept.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from contextlib import closing
from itertools import groupby
from operator import itemgetter
from typing import Any

from field_app.core.intake import Reader, Row, row_of
from field_app.core.problems import DamagedFolder, Problem, Refused
from field_app.core.records import name_of
from field_app.store.folder import DATABASE
from field_app.store.holding import COLUMNS, Said, row_of_thing, standing
from field_app.store.log import Log
from field_app.store.own import read_own
from field_app.store.photographs import faults, live_photographs
from field_app.store.schema import RULES, migrate
from field_app.store.shelf import PHOTOGRAPHS, FolderShelf
from field_app.words import later, listed, tr

__all__ = ["inspect", "mixed"]

_BACKUP = later("Keep a copy of the folder as it is, and put a backup in its place.")
_REBUILD = later("Nothing is lost: field-app inspect --mend works out anew what holds.")
_ASK = later("Ask whoever has that device for a new file, and take it in.")


def inspect(log: Log) -> tuple[Problem, ...]:
    """Everything that is damaged or missing in the folder; nothing if it is sound. Changes nothing.

    The tables must be those that the migrations make; each version must have its name's hash, the form of
    RFC 8785 and the right columns; each chain of a device must be whole; every version that another one
    replaces must be there; the things must be what a rebuild gives; and each photograph must be as it was kept.
    Raises the folder faults.
    """
    with log.reading() as connection:
        damage = [Problem(DATABASE, words, _BACKUP)
                  for (words,) in connection.execute("pragma integrity_check") if words != "ok"]
        if damage:
            # What can't be trusted to be read tells nothing more.
            return tuple(damage)
        damage = [*_frame(connection), *_versions(connection)]
        # What holds can be worked out anew only from versions that can be read.
        damage += [*(() if damage else _things(connection)), *_own(connection)]
    return (*damage, *faults(live_photographs(log), FolderShelf(log.folder / PHOTOGRAPHS).read_now))


def _frame(connection: sqlite3.Connection) -> Iterator[Problem]:
    """Tables, indexes and triggers that are not as the migrations make them.

    Above all the two triggers: without them a record could be changed or taken away.
    """
    from sqlite_utils import Database

    with closing(sqlite3.connect(":memory:")) as fresh:
        migrate(fresh)
        ours, found = Database(fresh), Database(connection)
        for name, sql in ours.triggers_dict.items():
            if found.triggers_dict.get(name) != sql:
                yield Problem(f"trigger {name}", tr("is missing or was changed by another program"), _BACKUP)
        for table in ours.table_names():
            # Of a name that is not there, sqlite-utils tells no columns.
            if found.table(table).columns_dict != ours.table(table).columns_dict:
                yield Problem(f"table {table}", tr("is missing or was changed by another program"), _BACKUP)


def _versions(connection: sqlite3.Connection) -> Iterator[Problem]:
    names = {name for (name,) in connection.execute("select name from version")}
    rows = connection.execute("select number, name, thing, kind, hlc, device, seq, deleted, parents, text "
                              "from version order by device, seq, name")
    reader = Reader()
    for device, of_device in groupby(rows, key=itemgetter(5)):
        last = 0
        earlier: set[str | None] = {None}
        for seq, of_seq in groupby(of_device, key=itemgetter(6)):
            here: set[str | None] = set()
            if seq > last + 1:
                yield _gap(device, last + 1, seq - 1)
            for columns in of_seq:
                number, name, thing = columns[:3]
                here.add(name)
                row = _sound(reader, columns)
                if isinstance(row, Problem):
                    yield row
                    continue
                if seq == last + 1 and row.feature["properties"]["prev"] not in earlier:
                    yield Problem(f"device {device}", tr("its record {seq} does not follow one before it", seq=seq),
                                  _ASK, thing)
                for missing in set(row.parents) - names:
                    yield Problem(f"version {number}", tr("the version it replaces is missing ({missing})",
                                                          missing=missing), _ASK, thing)
            last, earlier = seq, here


def _sound(reader: Reader, columns: tuple[Any, ...]) -> Row | Problem:
    number, name, thing, *others, text = columns
    where = f"version {number}"
    if not isinstance(text, bytes) or name_of(text) != name:
        return Problem(where, tr("its bytes are not those it is named by ({name})", name=name), _BACKUP, str(thing))
    try:
        row = reader.read(text, name, where=where)
    except Refused as refused:
        fault = refused.problems[0]
        return Problem(fault.where, fault.what, _BACKUP, str(thing))
    if (thing, *others) != (row.thing, row.kind, row.hlc, row.device, row.seq, int(row.deleted),
                            " ".join(row.parents)):
        return Problem(where, tr("its columns differ from its bytes"), _BACKUP, row.thing)
    return row


def _gap(device: str, first: int, last: int) -> Problem:
    what = (tr("record {first} is missing", first=first) if first == last
            else tr("records {first} to {last} are missing", first=first, last=last))
    return Problem(f"device {device}", what, _ASK)


def _rebuilt(connection: sqlite3.Connection) -> Iterator[tuple[Any, ...]]:
    """The rows of things as they follow from all versions, in the order of their ids."""
    rows = connection.execute("select number, text from version order by thing")
    for _, of_thing in groupby(((number, row_of(text)) for number, text in rows), key=lambda pair: pair[1].thing):
        versions = dict(of_thing)
        stands = standing([Said(number, row.name, row.hlc, row.deleted, row.parents)
                           for number, row in versions.items()])
        yield row_of_thing(versions[stands.held.number].feature, stands)


def _things(connection: sqlite3.Connection) -> Iterator[Problem]:
    found = iter(connection.cursor().execute(f"select {COLUMNS} from thing order by id"))
    here = next(found, None)
    for due in _rebuilt(connection):
        while here is not None and here[0] < due[0]:
            yield Problem("thing", tr("is listed, but nothing was ever said of it"), _REBUILD, here[0])
            here = next(found, None)
        if here is None or here[0] != due[0]:
            yield Problem("thing", tr("is not listed"), _REBUILD, due[0])
            continue
        if here != due:
            yield Problem("thing", tr("differs from what was said of it"), _REBUILD, here[0])
        here = next(found, None)
    while here is not None:
        yield Problem("thing", tr("is listed, but nothing was ever said of it"), _REBUILD, here[0])
        here = next(found, None)


def _own(connection: sqlite3.Connection) -> Iterator[Problem]:
    try:
        own = read_own(connection)
    except DamagedFolder as fault:
        yield fault.problem
        return
    if own is None:
        yield Problem("this device", tr("has no id"), _BACKUP)
        return
    last = connection.execute("select seq, name from version where device = ? order by seq desc limit 1",
                              (own.device,)).fetchone()
    if (own.seq, own.prev) != (last or (0, "")):
        yield Problem("this device", tr("has counted {seq} records of its own; the last one here is {last}",
                                     seq=own.seq, last=last[0] if last else 0),
                      tr("Close this program and open it again: it then goes on under a new id."))
    if own.rules != RULES:
        yield Problem("this device", tr("what holds was worked out by other rules"), _REBUILD)


def mixed(log: Log) -> tuple[Problem, ...]:
    """Things that are told of as of two kinds: by a mistake of another program, since an id is made for one."""
    with log.reading() as connection:
        found = connection.execute("select thing, group_concat(distinct kind) from version "
                                   "group by thing having count(distinct kind) > 1 order by thing").fetchall()
    return tuple(Problem("thing", tr("is told of as {kinds}", kinds=listed([tr(kind) for kind in kinds.split(",")])),
                         tr("All is kept, and the latest holds. Tell it anew if that is wrong."), thing)
                 for thing, kinds in found)
