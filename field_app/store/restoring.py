"""Puts what a backup holds in the place of what a folder holds.

The law of this file:

1. Nothing is changed before all of the backup was found good, and the folder that was there is copied beside it.
2. Then one file takes the place of another, in one step: whatever happens, the old data or the new are there.
   Photographs are put on the shelf before; none that lies there is touched.
3. The folder gets a new device id, since its device goes on from another point of its chain.
"""

from __future__ import annotations

import asyncio
import contextlib
import sqlite3
import sys
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from field_app.core.course import part, step
from field_app.core.problems import NoRoom, Problem, refuse
from field_app.disk import (
    copy_file,
    keep_private,
    make_folder,
    put_in_place,
    remove_folder,
    second_name,
    side_name,
    sweep,
    sync_folder,
    told_by_disk,
)
from field_app.store.backup import FIX, VERSIONS, Source, opened
from field_app.store.folder import DATABASE, JOURNAL, PATIENCE, check_folder
from field_app.store.log import Log, Taken
from field_app.store.photographs import Album, insert_photographs
from field_app.store.shelf import PHOTOGRAPHS, FolderShelf
from field_app.words import tr

__all__ = ["Restored", "add_backup", "add_photographs", "restore"]


@dataclass(frozen=True, slots=True)
class Restored:
    """folder: where the data are now; versions, photographs: how many [1]; kept: a copy of what was there before,
    or None; flagged: what is odd about some of the versions, all of which were kept.
    """

    folder: Path
    versions: int
    kept: Path | None
    flagged: tuple[Problem, ...] = ()
    photographs: int = 0


def restore(path: Path, folder: Path, *, new_device: str, now_ms: int) -> Restored:
    """Put what a backup holds in the place of what the folder holds, of which a copy is kept beside it.

    new_device: a device id that nobody else has; now_ms: this device's clock [ms since 1970].
    A log of that folder must be closed before; one that another program has open refuses to write from then on.
    Raises Refused, naming the place, for a file that is not good; ForeignFolder or NewerFolder for a folder that
    is not ours to change; NoRoom or FolderFault for faults of the disk. Then nothing was changed.
    """
    place, folder = str(folder), folder.resolve()
    was_there = folder.exists()
    with opened(path, path.name) as source, told_by_disk(place):
        # A folder that lost its database and kept what lay beside it is ours too, and damaged.
        orphan = not (folder / DATABASE).exists() and any((folder / name).exists() for name in (JOURNAL, PHOTOGRAPHS))
        there = orphan or check_folder(folder)
        make_folder(folder)
        part = side_name(folder / "restoring")
        sweep(part)
        try:
            part.mkdir(mode=0o700)
            taken = _fill(part, source, new_device=new_device, now_ms=now_ms)
            kept = None
            with _held(folder):
                if there:
                    kept = _keep_copy(folder)
                    with contextlib.suppress(FileNotFoundError):
                        (folder / JOURNAL).unlink()
                        sync_folder(folder)
                photographs = _put_up(part / PHOTOGRAPHS, folder / PHOTOGRAPHS)
                put_in_place(part / DATABASE, folder / DATABASE)
            keep_private(folder)
        except BaseException:
            remove_folder(part)
            if not was_there:
                with contextlib.suppress(OSError):
                    folder.rmdir()
            raise
        remove_folder(part)
    return Restored(folder, taken.new, kept, taken.flagged, photographs)


def _put_up(part: Path, shelf: Path) -> int:
    """Put photographs on the shelf, lasting, and say how many they are [1]; the same one again changes nothing."""
    names = FolderShelf(part).names_now()
    if names:
        make_folder(shelf)
    for name in names:
        (part / name).replace(shelf / name)
    if names:
        sync_folder(shelf)
    return len(names)


def _fill(part: Path, source: Source, *, new_device: str, now_ms: int) -> Taken:
    with contextlib.closing(Log(part, new_device=new_device)) as log:
        taken = log.take_in_texts(source.texts(), now_ms=now_ms, where=f"{source.name}, {VERSIONS} record")
        if taken.left_out:
            raise refuse(taken.left_out[0].where, taken.left_out[0].what, FIX)
        source.check()
        photographs, shelf = source.photographs(), FolderShelf(part / PHOTOGRAPHS)
        for number, one in enumerate(photographs):
            step(number / len(photographs))
            shelf.keep_now(one.name, source.picture(one))
        insert_photographs(log, photographs)
    return taken


@contextlib.contextmanager
def _held(folder: Path) -> Iterator[None]:
    """Keeps others from writing to the database that is there, and takes back what was cut off in it."""
    if not (folder / DATABASE).exists():
        yield
        return
    connection = sqlite3.connect(folder / DATABASE, isolation_level=None, timeout=PATIENCE)
    try:
        try:
            connection.execute("begin exclusive")
        except sqlite3.OperationalError as error:
            if error.sqlite_errorname.startswith(("SQLITE_BUSY", "SQLITE_LOCKED")):
                raise NoRoom(Problem(str(folder), tr("is being written by another program"),
                                     tr("Nothing was changed. Close the other one, or try again."))) from None
        except sqlite3.DatabaseError:
            pass  # too damaged to be held: the more reason to restore
        if sys.platform == "win32":
            connection.close()  # Windows replaces no file that is open
        yield
    finally:
        connection.close()


def _keep_copy(folder: Path) -> Path:
    number = 1
    while (kept := folder.with_name(f"{folder.name}-before-restore-{number}")).exists():
        number += 1
    part = side_name(kept)
    sweep(part)
    part.mkdir(mode=0o700)
    try:
        for name in (DATABASE, JOURNAL):
            if (folder / name).exists() and (folder / name).stat().st_size:
                copy_file(folder / name, part / name)
        photographs = FolderShelf(folder / PHOTOGRAPHS).names_now()
        if photographs:
            make_folder(part / PHOTOGRAPHS)
        for name in photographs:
            second_name(folder / PHOTOGRAPHS / name, part / PHOTOGRAPHS / name)
        sync_folder(part)
        put_in_place(part, kept)
    except BaseException:
        remove_folder(part)
        raise
    return kept


def add_backup(log: Log, data: bytes, name: str, *, now_ms: int) -> Taken:
    """Add the records that a backup holds to what an open log holds; nothing that is there is taken away.

    data: the bytes of the backup; name: what to call it in a message; now_ms: this device's clock [ms since 1970].
    Its photographs are looked at, and put back by :func:`add_photographs`.
    Raises Refused, naming the place, for bytes that are no whole backup; NoRoom or FolderFault for faults of the
    disk. Then nothing was changed.
    """
    with opened(data, name) as source:
        texts = list(source.texts())
        source.check()
        photographs = source.photographs()
        for number, one in enumerate(photographs):
            step(0.3 * number / len(photographs))
            source.picture(one)
    with part(0.3, 1.0):
        return log.take_in_texts(texts, now_ms=now_ms, where=f"{name}, {VERSIONS} record")


async def add_photographs(album: Album, data: bytes, name: str) -> int:
    """Add the photographs that a backup holds to those that are here; gives how many are new [1].

    Raises Refused likewise; NoRoom or FolderFault once there is no room for more: those before it are kept.
    """
    new: set[str] = set()
    with opened(data, name) as source:
        photographs = source.photographs()
        for number, one in enumerate(photographs):
            await asyncio.sleep(0)
            step(number / len(photographs))
            if await album.put_back(one, source.picture(one)):
                new.add(one.sha256)
    return len(new)
