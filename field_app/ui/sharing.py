"""What the sharing screen does: the group file out, files in, and a shared folder brought up to date.

The work is done beside the screen where the machine can do two things at once, and the screen stays alive.
"""

from __future__ import annotations

import asyncio
from collections import Counter
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from pathlib import Path
from types import MappingProxyType

from field_app.core.course import Stopped, part, step
from field_app.core.problems import FolderFault, Problem, Refused, refuse
from field_app.store import FieldBook
from field_app.sync import (
    SyncReport,
    group_bytes,
    is_list_of_draws,
    merge_bytes,
    merge_draws,
    sync_folder,
)
from field_app.ui.long_work import Course, away
from field_app.words import tr

__all__ = ["CameIn", "Incoming", "folder_up_to_date", "made_file", "take_all"]


@dataclass(frozen=True, slots=True)
class Incoming:
    """A file as a person picked it; data is None if the device did not give it."""

    name: str
    data: bytes | None


@dataclass(frozen=True, slots=True)
class CameIn:
    """What came of files: records or draws that are new, that were known, that are set aside now [1].

    files: how many there were [1]; lots, trees: how many more of them there are now [1];
    devices: new records by device [1]; refused: files that could not be taken in, with why;
    problems: what was left out of the others; cloned: whether this folder turned out to be a copy;
    stopped: whether the person stopped it before all were taken in.
    """

    files: int = 0
    lots: int = 0
    trees: int = 0
    new: int = 0
    known: int = 0
    aside: int = 0
    draws: int = 0
    devices: Mapping[str, int] = field(default_factory=lambda: MappingProxyType({}))
    refused: tuple[Problem, ...] = ()
    problems: tuple[Problem, ...] = ()
    cloned: bool = False
    stopped: bool = False


async def made_file(book: FieldBook) -> bytes:
    """The group file of everything this device knows."""
    return await away(lambda: group_bytes(book))


async def take_all(book: FieldBook, files: Sequence[Incoming], course: Course,
                   show: Callable[[float], object]) -> CameIn:
    """Take in the files one after another; one that can't be taken in keeps none of the others back.

    show: is called with how far it is [1]. If the course is stopped, the file under way is left out, and the rest.
    """
    came, before = CameIn(files=len(files)), _counts(book)
    for number, file in enumerate(files):
        def one(number: int = number, file: Incoming = file, came: CameIn = came) -> CameIn:
            with part(number / len(files), (number + 1) / len(files)):
                step(0)
                return _take(book, file, came)
        try:
            came = await course.away(one, show)
        except Stopped:
            came = replace(came, stopped=True)
            break
        show((number + 1) / len(files))
        await asyncio.sleep(0)
    lots, trees = (max(0, now - then) for now, then in zip(_counts(book), before, strict=True))
    return replace(came, lots=lots, trees=trees)


def _take(book: FieldBook, file: Incoming, came: CameIn) -> CameIn:
    try:
        if not file.data:
            raise refuse(file.name, tr("is empty") if file.data is not None else tr("was not given by the device"),
                         tr("Pick it again, or ask for it once more."))
        if is_list_of_draws(file.data, file.name):
            draws = merge_draws(book, file.data, file.name)
            return replace(came, draws=came.draws + draws.new, known=came.known + draws.known,
                           problems=(*came.problems, *draws.problems))
        merged = merge_bytes(book, file.data, file.name)
    except Refused as refused:
        told = (replace(one, where=file.name) for one in refused.problems)
        return replace(came, refused=(*came.refused, *told))
    except FolderFault as fault:
        return replace(came, refused=(*came.refused, fault.problem))
    return replace(
        came, new=came.new + merged.new, known=came.known + merged.known, aside=came.aside + merged.set_aside,
        devices=MappingProxyType(dict(Counter(came.devices) + Counter(merged.devices))),
        problems=(*came.problems, *merged.problems), cloned=came.cloned or merged.cloned)


async def folder_up_to_date(book: FieldBook, folder: str, course: Course,
                            show: Callable[[float], object]) -> tuple[SyncReport, CameIn]:
    """Take in what lies in the folder of that path, and put there what is known here.

    show: is called with how far it is [1].
    Raises Refused (where="FOLDER"), the faults of both folders, and Stopped if the course is stopped.
    """
    path = _whole_path(folder)
    before = _counts(book)
    report = await course.away(lambda: sync_folder(book, path), show)
    lots, trees = (max(0, now - then) for now, then in zip(_counts(book), before, strict=True))
    return report, CameIn(
        len(report.files), lots=lots, trees=trees, new=report.new, known=sum(one.known for one in report.files),
        aside=report.set_aside, devices=report.devices, problems=report.problems, cloned=report.cloned)


def _whole_path(typed: str) -> Path:
    body = typed.strip().strip('"')
    if not body:
        raise refuse("FOLDER", tr("no folder is named yet"),
                     tr("Copy its path from your file manager, and paste it here."))
    try:
        path = Path(body).expanduser()
    except RuntimeError:
        path = Path(body)
    if not path.is_absolute():
        # Where this program was started means nothing to whoever types here.
        raise refuse("FOLDER", tr("is not a whole path ({body})", body=body),
                     tr("Begin with / or ~, or on Windows with the letter of the drive."))
    return path


def _counts(book: FieldBook) -> tuple[int, int]:
    return book.count("lot"), book.count("site")
