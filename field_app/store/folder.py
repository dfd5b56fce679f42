"""The data folder: is it ours, may we write it, is it too new; and how SQLite's errors are told to a person."""

from __future__ import annotations

import sqlite3
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from field_app.core.problems import DamagedFolder, FolderFault, ForeignFolder, NewerFolder, NoRoom, Problem
from field_app.store.schema import APPLICATION_ID, FORMAT

__all__ = ["DATABASE", "connect", "holds_data", "told"]

DATABASE = "field-app.sqlite"
_MAGIC = b"SQLite format 3\x00"


def _named(folder: Path) -> str:
    """Where the folder is, for a message."""
    return f"data folder {folder}"


def holds_data(folder: Path) -> bool:
    """Whether the folder holds anything at all but hidden files."""
    return folder.is_dir() and any(not entry.name.startswith(".") for entry in folder.iterdir())


def _check_header(folder: Path, path: Path) -> None:
    where = _named(folder)
    with path.open("rb") as file:
        header = file.read(100)
    if not header:
        return
    if len(header) < 100 or not header.startswith(_MAGIC):
        raise ForeignFolder(Problem(where, f"{path.name} in it is not a database of this program",
                                    "Choose another folder with --data, or put the right file back."))
    # SQLite file format, 1.3: user version at byte 60, application id at byte 68, big-endian.
    user_version = int.from_bytes(header[60:64], "big")
    if int.from_bytes(header[68:72], "big") != APPLICATION_ID:
        raise ForeignFolder(Problem(where, f"{path.name} in it was written by another program",
                                    "Choose another folder with --data."))
    if user_version > FORMAT:
        raise NewerFolder(Problem(where, "was written by a newer version of this program",
                                  "Update this program; nothing in the folder was touched."))


def connect(folder: Path) -> sqlite3.Connection:
    """A connection to the folder's database, made if the folder is empty or not there yet.

    Raises ForeignFolder, NewerFolder, DamagedFolder or NoRoom; a folder that is refused is not changed.
    """
    where = _named(folder)
    path = folder / DATABASE
    try:
        if path.exists():
            _check_header(folder, path)
        elif folder.exists() and not folder.is_dir():
            raise ForeignFolder(Problem(where, "is a file, not a folder", "Choose a folder with --data."))
        elif holds_data(folder):
            raise ForeignFolder(Problem(where, "holds other things, but no data of this program",
                                        "Choose an empty folder with --data, or one made by this program."))
        folder.mkdir(mode=0o700, parents=True, exist_ok=True)
        if not path.exists():
            path.touch(mode=0o600)
    except OSError as error:
        raise NoRoom(Problem(where, f"can't be used ({error.strerror})",
                             "Choose another folder with --data, or give yourself the right to write it.")) from None
    with told(folder):
        # Screens and their server may run on different threads; the book's lock lets one in at a time.
        connection = sqlite3.connect(path, isolation_level=None, check_same_thread=False, timeout=10)
        try:
            _set_up(connection)
        except BaseException:
            connection.close()
            raise
    return connection


def _set_up(connection: sqlite3.Connection) -> None:
    # TRUNCATE with FULL: no acknowledged commit lost in a power cut, and one file to copy.
    # DELETE with FULL, the default, may bring back a finished journal and lose the last commits.
    connection.execute("pragma journal_mode=truncate")
    connection.execute("pragma synchronous=full")
    if sys.platform == "darwin":
        connection.execute("pragma fullfsync=on")


@contextmanager
def told(folder: Path) -> Iterator[None]:
    """Turns SQLite's errors into faults that a person understands."""
    try:
        yield
    except sqlite3.Error as error:
        raise _fault(folder, error) from error


def _fault(folder: Path, error: sqlite3.Error) -> FolderFault:
    where = _named(folder)
    name = getattr(error, "sqlite_errorname", "") or ""
    if name.startswith(("SQLITE_FULL", "SQLITE_IOERR")):
        return NoRoom(Problem(where, f"could not be written ({error})",
                              "Nothing was saved. Make room on the disk and save again."))
    if name.startswith(("SQLITE_READONLY", "SQLITE_CANTOPEN", "SQLITE_PERM")):
        return NoRoom(Problem(where, f"may not be written ({error})",
                              "Nothing was saved. Give yourself the right to write it, or choose another."))
    if name.startswith(("SQLITE_BUSY", "SQLITE_LOCKED")):
        return NoRoom(Problem(where, "is being written by another program",
                              "Nothing was saved. Close the other one, or try again in a moment."))
    return DamagedFolder(Problem(where, f"can't be read ({error})",
                                 "Keep a copy of the folder as it is, and put a backup in its place."))
