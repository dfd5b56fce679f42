"""The file of records in the browser's own storage, as a log.

A save is in the file, and the file is on the disk, before it is called saved: the page's worker appends through a
handle that no other tab can have, and flushes.
"""

from __future__ import annotations

import hashlib
from collections.abc import Awaitable, Callable
from pathlib import Path
from typing import Any, Protocol

from field_app.core.problems import FolderFault, NoRoom, Problem
from field_app.store import HEAD, Journal, JournalLog, read_journal

__all__ = ["File", "open_log"]

WHERE = "records on this phone"


class Bytes(Protocol):
    """Bytes as the browser holds them."""

    def to_bytes(self) -> bytes:
        """A copy for Python."""


class File(Protocol):
    """The file of records, as the worker opened it: role "writer" or "reader"."""

    role: str
    data: Bytes

    def append(self, data: bytes) -> None:
        """Put bytes at the end, on the disk; raises the browser's error, and then none of them is there."""

    def cut(self, size: int) -> None:
        """Shorten the file [byte]."""

    def aside(self, name: str, data: bytes) -> Awaitable[None]:
        """Keep bytes in a file of their own."""


async def open_log(file: File, folder: Path, *, new_device: str, as_js: Callable[[bytes], Any]) -> JournalLog:
    """The log of the records in the file; what is damaged in it is kept aside and told of in its notices.

    folder: an empty one in memory; as_js: hands bytes over to the browser.
    Raises NewerFolder, and NoRoom if a new file can't be begun.
    """
    data = file.data.to_bytes()
    journal = read_journal(data, where=WHERE)
    notices: tuple[Problem, ...] = ()
    if file.role == "writer":
        keep = _keeper(file, as_js)
        notices = await _set_aside(file, journal, as_js)
        if journal.whole == 0:
            keep(HEAD)
    else:
        keep = _refuse
        notices = tuple(_told(damage.at, len(damage.data)) for damage in journal.damages if damage is not journal.torn)
    log = JournalLog(folder, new_device=new_device, entries=journal.entries, keep=keep)
    log.notices = (*log.notices, *notices)
    return log


async def _set_aside(file: File, journal: Journal, as_js: Callable[[bytes], Any]) -> tuple[Problem, ...]:
    for damage in journal.damages:
        name = f"set-aside-{hashlib.sha256(damage.data).hexdigest()[:16]}"
        await file.aside(name, as_js(damage.data))
    if journal.torn is not None:
        file.cut(journal.whole)
    return tuple(_told(damage.at, len(damage.data)) for damage in journal.damages)


def _told(at: int, size: int) -> Problem:
    return Problem(WHERE, f"{size} bytes at {at} can't be read, as when the power goes during a save",
                   "They are kept aside. All that was shown as saved before and after is here; "
                   "look at what you logged last, and log it again if it is missing.")


def _keeper(file: File, as_js: Callable[[bytes], Any]) -> Callable[[bytes], None]:
    def keep(data: bytes) -> None:
        try:
            file.append(as_js(data))
        except Exception as error:  # the browser's errors have no class of their own in Python
            raise _fault(str(error)) from error

    return keep


def _fault(message: str) -> FolderFault:
    if "quota" in message.casefold():
        return NoRoom(Problem(WHERE, "there is no room left on this phone",
                              "Nothing was saved, and what you typed is still here. Remove pictures or apps that you "
                              "don't need, and save again. What was saved before is safe; hand it over soon."))
    return FolderFault(Problem(WHERE, f"could not be written ({message.strip().splitlines()[-1][:200]})",
                               "Nothing was saved, and what you typed is still here. Save again; if it happens again, "
                               "note it down on paper and open the field book anew."))


def _refuse(data: bytes) -> None:  # noqa: ARG001 - what would be kept
    raise NoRoom(Problem("this tab", "the field book is open in another tab, and only that one may save",
                         "Nothing was saved here. Go to the other tab; or close it, and load this one again."))
