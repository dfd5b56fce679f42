"""Syncing with a folder that several devices share, whoever carries its files from one to the other.

The law of this file:

1. A device writes one file there, its own, by putting a whole new one in the place of the old one; only if it
   knows something that is not in it.
2. It takes in every file that could be ours, whatever it is called: copies, conflicting copies, half-written
   ones. It reads before it writes, since a copied folder finds out by reading that it needs another name.
3. It deletes nothing there, and never puts its database there.
"""

from __future__ import annotations

import hashlib
import stat
from collections import Counter
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path
from types import MappingProxyType

from field_app.core.course import part, step
from field_app.core.problems import Refused, refuse
from field_app.disk import write_file
from field_app.handover.group import group_name
from field_app.handover.package import DESCRIPTOR
from field_app.handover.packing import LIMITS
from field_app.handover.sequence import NAMES, sequence
from field_app.handover.take import PlannersFile, Taken
from field_app.store import FieldBook
from field_app.store.sync import Merged, clock_notes, copy_notes, drawn_from, set_aside
from field_app.sync.report import FileTaken, Overdraft, SyncReport
from field_app.sync.settling import disagreements
from field_app.sync.taking import group_bytes, take_in
from field_app.words import tr

__all__ = ["sync_folder"]

#: In the name of every file of ours, whatever a program that carries files makes of it.
_MARK = "harvest-lots"
#: How a zip begins and what its first member may be called, and how a bare list of versions begins.
_BEGINNINGS = (b"PK\x03\x04", b"\x1e{")
_FIRST_MEMBERS = (NAMES.encode(), DESCRIPTOR.encode())


def sync_folder(book: FieldBook, folder: Path) -> SyncReport:
    """Take in what others put into the folder, and put there what this device knows.

    Raises Refused if the folder is not there or is no place for it, and the faults of the two folders; what was
    taken in before a fault stays.
    """
    _check_folder(book, folder)
    own = folder / group_name(book.log_book.device)
    first, in_place = not own.exists(), ""
    # A copy that was told apart when it was opened is told of here when it writes under its new name.
    cloned = bool(book.log_book.notices) and first
    taken: list[FileTaken] = []
    devices: Counter[str] = Counter()
    ignored = 0
    paths = list(_files(folder))
    for number, path in enumerate(paths):
        with part(0.9 * number / len(paths), 0.9 * (number + 1) / len(paths)):
            step(0)
            found = _take(book, path)
        if found is None:
            ignored += 1
            continue
        one, merged, contents = found
        taken.append(one)
        devices.update(merged.devices)
        cloned = cloned or merged.cloned
        if path == own and contents is not None:
            in_place = contents.digest if not contents.notes else ""
    # A folder that turned out to be a copy has another name now, and leaves the old file as it is.
    own_now = folder / group_name(book.log_book.device)
    if own_now != own:
        own, first, in_place = own_now, not own_now.exists(), ""
    step(0.9)
    texts = list(book.log_book.texts())
    wrote = in_place != hashlib.sha256(sequence(texts)).hexdigest()
    if wrote:
        write_file(own, group_bytes(book, texts))
    now_ms = int(book.now().timestamp() * 1000)
    log = book.log_book
    return SyncReport(
        folder=folder, file=own, device=log.device, wrote=wrote, first=first, files=tuple(taken), ignored=ignored,
        devices=MappingProxyType(dict(sorted(devices.items()))), waiting=len(set_aside(log)),
        disagreements=disagreements(book), overdrafts=_overdrafts(book), clocks=clock_notes(log, now_ms=now_ms),
        copies=copy_notes(log), cloned=cloned)


def _check_folder(book: FieldBook, folder: Path) -> None:
    if not folder.is_dir():
        raise refuse("FOLDER", tr("{folder} is not there, or is no folder", folder=folder),
                     tr("Make the folder first, or name another."))
    shared, data = folder.resolve(), book.folder.resolve()
    if shared == data or shared in data.parents or data in shared.parents:
        raise refuse("FOLDER", tr("{folder} holds the data folder of this program, or lies in it", folder=folder),
                     tr("Share another folder: a database that is shared gets damaged."))


def _files(folder: Path) -> Iterator[Path]:
    """The plain files of the folder in the order of their names; what is in folders below is left alone."""
    for path in sorted(folder.iterdir()):
        try:
            if stat.S_ISREG(path.lstat().st_mode):
                yield path
        except OSError:
            continue  # it was taken away while we looked


def _take(book: FieldBook, path: Path) -> tuple[FileTaken, Merged, Taken | None] | None:
    """What came of a file, or None if it is not for us."""
    called_ours = _MARK in path.name.lower()
    try:
        data = _read(path, called_ours)
        if data is None:
            return None
        merged, contents = take_in(book, data, path.name)
    except Refused as refused:
        if not called_ours:
            return None
        told = tuple(replace(problem, where=path.name) for problem in refused.problems)
        # A planner's file is none to be merged, but may well lie in the same folder.
        found = FileTaken(path.name, notes=told) if isinstance(refused, PlannersFile) else FileTaken(
            path.name, problems=told)
        return found, Merged(), None
    return FileTaken(path.name, merged.new, merged.known, merged.set_aside, contents.cut, merged.problems,
                     contents.notes), merged, contents


def _read(path: Path, called_ours: bool) -> bytes | None:
    """The bytes of a file that could be ours by its name or its beginning; None if it is not, or gone."""
    try:
        with path.open("rb") as file:
            data = file.read(64)
            zipped = data.startswith(_BEGINNINGS[0]) and any(name in data for name in _FIRST_MEMBERS)
            if called_ours or zipped or data.startswith(_BEGINNINGS[1]):
                return data + file.read(LIMITS.packed + 1 - len(data))
    except FileNotFoundError:
        pass
    except OSError as error:
        raise refuse(path.name, tr("can't be read ({error})", error=error.strerror or error),
                     tr("Give yourself the right to read it, and sync again.")) from None
    return None


def _overdrafts(book: FieldBook) -> tuple[Overdraft, ...]:
    found = []
    for key in drawn_from(book.log_book):
        try:
            lot = book.lot(key)
        except (Refused, ValueError):
            continue  # it can't be worked out, which is told where it is shown
        if lot.life.overdraft:
            found.append(Overdraft(lot.id, lot.code, lot.life.overdraft, lot.life.left.unit))
    return tuple(found)
