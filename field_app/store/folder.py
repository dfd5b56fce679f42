"""The data folder: is it ours, may we write it, is it too new; and how SQLite's errors are told to a person."""

from __future__ import annotations

import sqlite3
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from field_app.core.problems import DamagedFolder, FolderFault, ForeignFolder, NewerFolder, NoRoom, Problem, Refused
from field_app.disk import keep_private, make_folder, sync_folder
from field_app.store.schema import APPLICATION_ID, FORMAT
from field_app.store.shelf import PHOTOGRAPHS
from field_app.words import later, tr

__all__ = ["DATABASE", "JOURNAL", "check_folder", "check_marks", "connect", "holds_data", "set_up", "told",
           "unchanged"]

DATABASE = "field-app.sqlite"
#: What SQLite keeps beside the database while it writes.
JOURNAL = DATABASE + "-journal"
_MAGIC = b"SQLite format 3\x00"
_JOURNAL_MAGIC = bytes.fromhex("d9d505f920a163d7")
#: How long to wait for another program that is writing [s].
PATIENCE = 10
_DAMAGED = later("Keep a copy of the folder as it is, and put a backup in its place.")


def _named(folder: Path) -> str:
    """Where the folder is, for a message."""
    return f"data folder {folder}"


def holds_data(folder: Path) -> bool:
    """Whether the folder holds anything at all but hidden files."""
    return folder.is_dir() and any(not entry.name.startswith(".") for entry in folder.iterdir())


def check_folder(folder: Path) -> bool:
    """Whether the folder holds data of ours; False if it is empty or not there. Reads only, and never SQLite.

    Raises ForeignFolder, NewerFolder or DamagedFolder for a folder that we may not use, OSError from the disk.
    """
    where = _named(folder)
    path = folder / DATABASE
    if path.exists():
        _check_header(folder, path)
        return True
    if folder.exists() and not folder.is_dir():
        raise ForeignFolder(Problem(where, tr("is a file, not a folder"), tr("Choose a folder with --data.")))
    if (folder / JOURNAL).exists():
        raise DamagedFolder(Problem(where, tr("{file} is missing in it, only its journal is left", file=DATABASE),
                                    tr("Put the file back, or a backup in place of the folder.")))
    if (folder / PHOTOGRAPHS).is_dir():
        raise DamagedFolder(Problem(where, tr("{file} is missing in it, only photographs are left", file=DATABASE),
                                    tr("Put the file back, or a backup in place of the folder.")))
    if holds_data(folder):
        raise ForeignFolder(Problem(where, tr("holds other things, but no data of this program"),
                                    tr("Choose an empty folder with --data, or one made by this program.")))
    return False


def _check_header(folder: Path, path: Path) -> None:
    with path.open("rb") as file:
        header = file.read(100)
    if not header:
        return
    ours = len(header) == 100 and header.startswith(_MAGIC)
    # SQLite file format, 1.3: user version at byte 60, application id at byte 68, big-endian.
    if ours and int.from_bytes(header[68:72], "big") == APPLICATION_ID:
        check_marks(folder, APPLICATION_ID, int.from_bytes(header[60:64], "big"))
    elif _founding_was_cut(folder):
        return
    elif ours:
        check_marks(folder, 0, 0)
    else:
        raise ForeignFolder(Problem(_named(folder), tr("{name} in it is not a database of this program",
                                                       name=path.name),
                                    tr("Choose another folder with --data, or put the right file back.")))


def check_marks(folder: Path, application: int, version: int) -> None:
    """Raise ForeignFolder or NewerFolder, unless the marks in a database's header are ones that we can use."""
    if application != APPLICATION_ID:
        raise ForeignFolder(Problem(_named(folder), tr("{file} in it was written by another program", file=DATABASE),
                                    tr("Choose another folder with --data.")))
    if version > FORMAT:
        raise NewerFolder(Problem(_named(folder), tr("was written by a newer version of this program"),
                                  tr("Update this program; nothing in the folder was touched.")))


def _founding_was_cut(folder: Path) -> bool:
    # The power went while the first tables were written. SQLite's journal then says that there was no page
    # before (file format, 3: initial size at byte 16), and SQLite takes the half-written ones back.
    try:
        with (folder / JOURNAL).open("rb") as file:
            journal = file.read(28)
    except FileNotFoundError:
        return False
    return len(journal) == 28 and journal.startswith(_JOURNAL_MAGIC) and journal[16:20] == bytes(4)


def connect(folder: Path) -> sqlite3.Connection:
    """A connection to the folder's database, made if the folder is empty or not there yet.

    Raises ForeignFolder, NewerFolder, DamagedFolder or NoRoom; a folder that is refused is not changed.
    """
    where = _named(folder)
    path = folder / DATABASE
    try:
        if not check_folder(folder):
            make_folder(folder)
            path.touch(mode=0o600)
            sync_folder(folder)
        keep_private(folder)
        keep_private(path)
    except OSError as error:
        raise NoRoom(Problem(where, tr("can't be used ({error})", error=error.strerror),
                             tr("Choose another folder with --data, or give yourself the right to write it.")
                             )) from None
    with told(folder):
        # Screens and their server may run on different threads; the log's lock lets one in at a time.
        connection = sqlite3.connect(path, isolation_level=None, check_same_thread=False, timeout=PATIENCE)
        try:
            set_up(connection)
        except BaseException:
            connection.close()
            raise
    return connection


def set_up(connection: sqlite3.Connection) -> None:
    """The settings on which it depends that what was saved stays saved."""
    # TRUNCATE with FULL: no acknowledged commit lost in a power cut, and one file to copy.
    # DELETE with FULL, the default, may bring back a finished journal and lose the last commits.
    connection.execute("pragma journal_mode=truncate").fetchone()
    connection.execute("pragma synchronous=full")
    # Room for the indexes of 100,000 versions, which are written all over when many are taken in [KiB].
    connection.execute("pragma cache_size=-32000")
    if sys.platform == "darwin":
        connection.execute("pragma fullfsync=on")


@contextmanager
def told(folder: Path) -> Iterator[None]:
    """Turns SQLite's errors into faults that a person understands; misuse of it stays what it is."""
    try:
        yield
    except (sqlite3.ProgrammingError, sqlite3.IntegrityError):
        raise
    except sqlite3.Error as error:
        raise _fault(folder, error) from error
    except UnicodeDecodeError as error:
        # SQLite's message quotes what it met, and that is no text any more.
        raise DamagedFolder(Problem(_named(folder), tr("can't be read (its tables are damaged)"), _DAMAGED)) from error


@contextmanager
def unchanged(where: str) -> Iterator[None]:
    """Around reading what was checked when it was written: if it can't be read now, the disk has changed it.

    where: what is read, for the message. Raises DamagedFolder. Nothing that a person gave may be read within.
    """
    try:
        yield
    except (Refused, ValueError, TypeError, LookupError, AttributeError, RecursionError) as error:
        raise DamagedFolder(Problem(where, tr("a record in it was changed by the disk"), _DAMAGED)) from error


def _fault(folder: Path, error: sqlite3.Error) -> FolderFault:
    where = _named(folder)
    name = getattr(error, "sqlite_errorname", "") or ""
    reads = name.startswith(("SQLITE_IOERR_READ", "SQLITE_IOERR_SHORT_READ", "SQLITE_IOERR_CORRUPTFS"))
    if name.startswith(("SQLITE_FULL", "SQLITE_IOERR")) and not reads:
        return NoRoom(Problem(where, tr("could not be written ({error})", error=error),
                              tr("Nothing was saved. Make room on the disk and save again.")))
    if name == "SQLITE_READONLY_DBMOVED":
        return FolderFault(Problem(where, tr("was moved or replaced while it was open"),
                                   tr("Nothing was saved. Close this program, open it again and save again.")))
    if name.startswith(("SQLITE_READONLY", "SQLITE_CANTOPEN", "SQLITE_PERM")):
        return NoRoom(Problem(where, tr("may not be written ({error})", error=error),
                              tr("Nothing was saved. Give yourself the right to write it, or choose another.")))
    if name.startswith(("SQLITE_BUSY", "SQLITE_LOCKED")):
        return NoRoom(Problem(where, tr("is being written by another program"),
                              tr("Nothing was saved. Close the other one, or try again in a moment.")))
    return DamagedFolder(Problem(where, tr("can't be read ({error})", error=error), _DAMAGED))
