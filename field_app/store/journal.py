"""The log where there is no file system that lasts: versions are kept in one file that only grows, and SQLite is
rebuilt in memory from it at every start.

The law of this file:

1. The journal is a row of entries. An entry holds all that one transaction added, so it is there whole or not at all:
   RS (0x1e), the CRC-32 of what follows as 8 hexadecimal digits, a space, JSON, LF. The first entry names the format.
2. An entry is handed to ``keep`` before its transaction is committed in memory, and ``keep`` returns when it is on the
   disk. If it can't, it raises, the transaction is taken back, and nothing of it was saved.
3. Bytes that are no entry are never deleted by reading: :func:`read_journal` gives them back, for whoever holds the
   file to set them aside. What comes after them is read all the same.
4. A journal of a newer format is refused, and not touched.
"""

from __future__ import annotations

import json
import re
import zlib
from collections.abc import Callable, Iterable, Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass, replace
from pathlib import Path
from sqlite3 import Connection
from typing import Any

from field_app.core.hlc import read_stamp
from field_app.core.intake import row_of
from field_app.core.problems import NewerFolder, Problem
from field_app.store.log import Log
from field_app.store.merging import insert
from field_app.store.own import HABITS, read_own, write_own
from field_app.words import tr

__all__ = ["HEAD", "Damage", "Journal", "JournalLog", "entry", "read_journal"]

_FORMAT = 1
_BATCH = 1024
_ENTRY = re.compile(rb"\x1e([0-9a-f]{8}) ([^\x1e\n]*)\n")
_ASIDE = "name, file, at_ms, place, what, fix, record, text"
_PHOTOGRAPH = "sha256, kind, bytes, of, at, gone"
_Mark = tuple[int, int, int, dict[str, str]]
#: What this device knows of itself that outlives a start; the rest is worked out anew.
_OWN = ("device", "hlc", "seq", "prev", "former", HABITS)


@dataclass(frozen=True, slots=True)
class Damage:
    """Bytes of a journal that are no entry: where they start [byte], and themselves."""

    at: int
    data: bytes


@dataclass(frozen=True, slots=True)
class Journal:
    """What a journal holds: its entries, what is damaged in it, and its size up to a torn end [byte]."""

    entries: tuple[Mapping[str, Any], ...]
    damages: tuple[Damage, ...]
    whole: int

    @property
    def torn(self) -> Damage | None:
        """The damage at the very end, as a save leaves behind that was cut off; or None."""
        return self.damages[-1] if self.damages and self.damages[-1].at == self.whole else None


def entry(content: Mapping[str, Any]) -> bytes:
    """The bytes of one entry.

    >>> entry({"own": {}})
    b'\\x1e9bc8678e {"own":{}}\\n'
    """
    text = json.dumps(content, ensure_ascii=True, separators=(",", ":")).encode()
    return b"\x1e%08x %s\n" % (zlib.crc32(text), text)


#: The first entry of every journal.
HEAD = entry({"format": "field-app journal", "v": _FORMAT})


def read_journal(data: bytes, *, where: str = "records") -> Journal:
    """What the bytes of a journal hold. Raises NewerFolder if a newer program wrote it."""
    entries: list[Mapping[str, Any]] = []
    damages: list[Damage] = []
    at = 0
    for match in _ENTRY.finditer(data):
        if int(match[1], 16) != zlib.crc32(match[2]):
            continue
        if match.start() > at:
            damages.append(Damage(at, data[at:match.start()]))
        at = match.end()
        content = json.loads(match[2])
        if content.get("v", _FORMAT) > _FORMAT:
            raise NewerFolder(Problem(where, tr("were written by a newer version of this program"),
                                      tr("Update this program; nothing that is saved was touched.")))
        entries.append(content)
    whole = at
    if at < len(data):
        damages.append(Damage(at, data[at:]))
    return Journal(tuple(entries), tuple(damages), whole)


class JournalLog(Log):
    """A log whose every transaction is kept as an entry of a journal.

    folder: an empty one in memory, which is gone when the program ends.
    new_device: 16 hexadecimal digits, used if the entries tell of no device.
    entries: what was kept before; keep: puts the bytes of an entry at the end of the journal, lasting, or raises
    a folder fault.
    Raises the faults of :mod:`field_app.core.problems`.
    """

    def __init__(self, folder: Path, *, new_device: str, entries: Iterable[Mapping[str, Any]],
                 keep: Callable[[bytes], None]) -> None:
        self._keep: Callable[[bytes], None] | None = None
        super().__init__(folder, new_device=new_device)
        # What lasts is the journal; here SQLite only has to be quick.
        for pragma in ("journal_mode=memory", "synchronous=off", "cache_spill=0"):
            self._connection.execute(f"pragma {pragma}").fetchone()
        with self.writing() as connection:
            _replay(connection, entries)
        self._keep = keep

    @contextmanager
    def writing(self, *, founding: bool = False) -> Iterator[Connection]:
        """One transaction: what is done within it is kept together and lasting, or not at all."""
        with super().writing(founding=founding) as connection:
            if self._keep is None:
                yield connection
                return
            before = _mark(connection)
            yield connection
            added = _added(connection, before)
            if added:
                self._keep(entry(added))


def _mark(connection: Connection) -> _Mark:
    version, aside, photograph = (
        int(connection.execute(f"select coalesce(max(number), 0) from {table}").fetchone()[0])
        for table in ("version", "quarantine", "photograph"))
    return version, aside, photograph, dict(connection.execute("select key, value from own").fetchall())


def _added(connection: Connection, before: _Mark) -> dict[str, Any]:
    version, aside, photograph, own = before
    texts = [text.decode() for (text,) in connection.execute(
        "select text from version where number > ? order by number", (version,))]
    set_aside = [[*row[:-1], row[-1].hex()] for row in connection.execute(
        f"select {_ASIDE} from quarantine where number > ? order by number", (aside,))]
    photographs = [list(row) for row in connection.execute(
        f"select {_PHOTOGRAPH} from photograph where number > ? order by number", (photograph,))]
    known = dict(connection.execute("select key, value from own").fetchall())
    if not (texts or set_aside or photographs or known != own):
        return {}
    added = {"versions": texts, "aside": set_aside, "own": {key: known[key] for key in _OWN if key in known}}
    return {**added, "photographs": photographs} if photographs else added


def _replay(connection: Connection, entries: Iterable[Mapping[str, Any]]) -> None:
    own: dict[str, str] = {}
    known: set[str] = set()
    rows = []
    for content in entries:
        own |= content.get("own", {})
        for text in content.get("versions", ()):
            row = row_of(text.encode())
            if row.name not in known:  # an entry that was written twice tells nothing new
                known.add(row.name)
                rows.append(row)
        connection.executemany(f"insert or ignore into quarantine ({_ASIDE}) values (?, ?, ?, ?, ?, ?, ?, ?)",
                               [(*row[:-1], bytes.fromhex(row[-1])) for row in content.get("aside", ())])
        connection.executemany(f"insert into photograph ({_PHOTOGRAPH}) values (?, ?, ?, ?, ?, ?)",
                               content.get("photographs", ()))
    for start in range(0, len(rows), _BATCH):
        insert(connection, rows[start:start + _BATCH])
    if own:
        now = read_own(connection)
        assert now is not None, "an opened log knows its device"
        write_own(connection, replace(now, device=own["device"], stamp=read_stamp(own["hlc"]), seq=int(own["seq"]),
                                      prev=own["prev"], former=tuple(own["former"].split())), now)
        if HABITS in own:
            connection.execute("insert or replace into own (key, value) values (?, ?)", (HABITS, own[HABITS]))
