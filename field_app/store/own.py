"""What a folder knows of its own device: its id, its clock, and its place in its own chain of versions.

The law of this file:

1. Of one device there is one chain: version ``seq`` follows ``seq - 1`` and names it as ``prev``.
2. A folder that was copied would go on with the same chain twice. So a folder whose database is not the file
   it was (another serial number on the disk), that holds versions of its own device beyond its own count, or
   that meets such versions from elsewhere, goes on under a new device id.
3. Nothing that was written is changed by that: both ends of the chain are kept, and told of.
"""

from __future__ import annotations

import hashlib
import re
import sqlite3
from dataclasses import dataclass, replace

from field_app.core.hlc import Stamp, read_stamp
from field_app.core.problems import Problem
from field_app.store.folder import DATABASE, unchanged
from field_app.words import tr

__all__ = ["HABITS", "Own", "another_device", "copied", "copied_problem", "fresh", "read_own", "write_own"]

#: The key under which the table keeps what the person is used to, beside the members below.
HABITS = "habits"
_DEVICE = re.compile(r"[0-9a-f]{16}").fullmatch
_PREV = re.compile(r"|ni:///sha-256;[A-Za-z0-9_-]{43}").fullmatch


@dataclass(frozen=True, slots=True)
class Own:
    """The members of the table of that name.

    device: 16 hexadecimal digits; stamp: the last one given or followed; seq: versions written [1];
    prev: name of the last one, empty if none; place: serial number of the database file, empty if unknown;
    rules: those by which the things were worked out; former: device ids that this folder had before.
    """

    device: str
    stamp: Stamp
    seq: int = 0
    prev: str = ""
    place: str = ""
    rules: str = ""
    former: tuple[str, ...] = ()


def fresh(device: str) -> Own:
    """What a new folder knows."""
    return Own(device, Stamp(0, 0, device))


def read_own(connection: sqlite3.Connection) -> Own | None:
    """What the folder knows, or None if it was just made. Raises DamagedFolder if the disk has changed it."""
    values = dict(connection.execute("select key, value from own").fetchall())
    if not values:
        return None
    with unchanged(DATABASE):
        # What the next version is made of must be right, or nobody would take that version.
        if not (_DEVICE(values["device"]) and _PREV(values["prev"])):
            raise ValueError("no id of a device, or no name of a version")
        return Own(values["device"], read_stamp(values["hlc"]), int(values["seq"]), values["prev"], values["place"],
                   values["rules"], tuple(values["former"].split()))


def write_own(connection: sqlite3.Connection, own: Own, before: Own | None = None) -> None:
    """Keep what changed since ``before``; to be called within a transaction."""
    old = {} if before is None else _values(before)
    new = _values(own)
    connection.executemany("insert or replace into own (key, value) values (?, ?)",
                           [(key, value) for key, value in new.items() if old.get(key) != value])


def _values(own: Own) -> dict[str, str]:
    return {"device": own.device, "hlc": str(own.stamp), "seq": str(own.seq), "prev": own.prev,
            "place": own.place, "rules": own.rules, "former": " ".join(own.former)}


def copied(connection: sqlite3.Connection, own: Own, place: str) -> bool:
    """Whether the folder is a copy, or holds what was written elsewhere under its device id (rule 2)."""
    if own.place and place and own.place != place:
        return True
    row = connection.execute("select max(seq) from version where device = ?", (own.device,)).fetchone()
    return row[0] is not None and row[0] > own.seq


def another_device(own: Own, spare: str) -> Own:
    """The same folder under a new device id, made from a spare one that is used by nobody else."""
    known = {own.device, *own.former}
    device, turn = spare, 0
    while device in known:
        turn += 1
        device = hashlib.sha256(f"{spare} {turn}".encode()).hexdigest()[:16]
    return replace(own, device=device, stamp=own.stamp._replace(device=device), seq=0, prev="",
                   former=(*own.former, own.device))


def copied_problem(device: str) -> Problem:
    """What to tell the person when the folder went on under a new device id."""
    return Problem("this device", tr("records were written elsewhere under its id {device}, as by a copied folder",
                                     device=device),
                   tr("Nothing is lost and nothing needs doing: both are kept, and this folder has a new id now."))
