"""The file of records in the browser's own storage, as a log.

A save is in the file, and the file is on the disk, before it is called saved: the page's worker appends through a
handle that no other tab can have, and flushes.
"""

from __future__ import annotations

import hashlib
import logging
from collections.abc import Awaitable, Callable, Mapping
from pathlib import Path
from typing import Any, Protocol

from field_app.core.problems import FolderFault, NoRoom, Problem
from field_app.store import HEAD, Journal, JournalLog, read_journal
from field_app.store.journal import entry
from field_app.words import tr, tr_n

__all__ = ["File", "fault_of", "only_looks", "open_log"]

WHERE = "records on this phone"


class Bytes(Protocol):
    """Bytes as the browser holds them."""

    def to_bytes(self) -> bytes:
        """A copy for Python."""


class File(Protocol):
    """The file of records, as the worker opened it: role "writer" or "reader"; copy: what its second copy holds."""

    role: str
    data: Bytes
    copy: Bytes

    def append(self, data: Any) -> None:
        """Put bytes at the end, on the disk; raises the browser's error, and then none of them is there."""

    def cut(self, size: int) -> None:
        """Shorten the file [byte]."""

    def aside(self, name: str, data: Any) -> Awaitable[bool]:
        """Keep bytes in a file of their own; whether they were not kept so before."""

    def follow(self, size: int, data: Any) -> Awaitable[None]:
        """Let the second copy follow: so much of it stands [byte], and these bytes come next."""


async def open_log(file: File, folder: Path, *, new_device: str, as_js: Callable[[bytes], Any]) -> JournalLog:
    """The log of the records in the file; what is damaged in it is kept aside and told of in its notices.

    What the file lost and its second copy still has is taken from there.
    folder: an empty one in memory; as_js: hands bytes over to the browser.
    Raises NewerFolder, and NoRoom if a new file can't be begun.
    """
    data, copy = file.data.to_bytes(), file.copy.to_bytes()
    journal = read_journal(data, where=WHERE)
    if file.role != "writer":
        # What looks torn is being written by another tab.
        return JournalLog(folder, new_device=new_device, entries=journal.entries, keep=_refuse)
    lost = {} if data.startswith(copy) else _lost(journal, read_journal(copy, where=WHERE))
    notices = await _set_aside(file, journal, as_js)
    stands = _mend(file, data, journal, lost, as_js)
    await _follow(file, copy, stands, as_js)
    log = JournalLog(folder, new_device=new_device, entries=(*journal.entries, *([lost] if lost else [])),
                     keep=_keeper(file, as_js))
    if lost:
        notices.append(_found_again(len(lost["versions"])))
    log.notices = (*log.notices, *notices)
    return log


async def _set_aside(file: File, journal: Journal, as_js: Callable[[bytes], Any]) -> list[Problem]:
    """Keep what is damaged in files of its own, and tell of what was not kept so before."""
    told = []
    for damage in journal.damages:
        name = f"set-aside-{hashlib.sha256(damage.data).hexdigest()[:16]}"
        if await file.aside(name, as_js(damage.data)):
            told.append(_told(damage.at, len(damage.data)))
    return told


def _mend(file: File, data: bytes, journal: Journal, lost: Mapping[str, Any], as_js: Callable[[bytes], Any]) -> bytes:
    """Cut off what is torn, put in what was lost, and give what the file holds then."""
    if journal.torn is not None:
        file.cut(journal.whole)
        data = data[:journal.whole]
    more = (HEAD if journal.whole == 0 else b"") + (entry(lost) if lost else b"")
    if more:
        _keeper(file, as_js)(more)
    return data + more


async def _follow(file: File, copy: bytes, stands: bytes, as_js: Callable[[bytes], Any]) -> None:
    size = len(copy) if stands.startswith(copy) else 0
    try:
        await file.follow(size, as_js(stands[size:]))
    except Exception as error:  # the browser's errors have no class of their own in Python
        logging.getLogger(__name__).warning("there is no second copy: %s", error)


def _lost(journal: Journal, spare: Journal) -> dict[str, Any]:
    """What the second copy holds and the file does not, as one entry; empty if there is nothing."""
    known = {text for content in journal.entries for text in content.get("versions", ())}
    aside = {tuple(row) for content in journal.entries for row in content.get("aside", ())}
    versions = [text for content in spare.entries for text in content.get("versions", ()) if text not in known]
    rows = [row for content in spare.entries for row in content.get("aside", ()) if tuple(row) not in aside]
    photographs = _photographs(journal, spare)
    if not (versions or rows or photographs):
        return {}
    # A device goes on with the greatest number that it gave; one that lost the whole file goes on as another.
    ours, theirs = _own(journal), _own(spare)
    later = ours and theirs.get("device") == ours["device"] and int(theirs["seq"]) > int(ours["seq"])
    return {"versions": versions, "aside": rows, "own": theirs if later else {},
            **({"photographs": photographs} if photographs else {})}


def _photographs(journal: Journal, spare: Journal) -> list[Any]:
    """What was said of photographs, all of it once more in its order, if the file lost any; of each the last holds."""
    ours, theirs = ([row for content in one.entries for row in content.get("photographs", ())]
                    for one in (journal, spare))
    if all(row in ours for row in theirs):
        return []
    return [*theirs, *(row for row in ours if row not in theirs)]


def _own(journal: Journal) -> dict[str, str]:
    own: dict[str, str] = {}
    for content in journal.entries:
        own |= content.get("own", {})
    return own


def _found_again(count: int) -> Problem:
    return Problem(WHERE, tr_n("{n} that was missing was found in the second copy",
                               "{n} that were missing were found in the second copy", count),
                   tr("They are back. Hand over soon, and keep a full copy elsewhere: the storage of this phone may "
                      "be failing."))


def _told(at: int, size: int) -> Problem:
    return Problem(WHERE, tr("{size} bytes at {at} can't be read, as when the power goes during a save", size=size,
                             at=at),
                   tr("They are kept aside. All that was shown as saved before and after is here; look at what you "
                      "logged last, and log it again if it is missing."))


def _keeper(file: File, as_js: Callable[[bytes], Any]) -> Callable[[bytes], None]:
    def keep(data: bytes) -> None:
        try:
            file.append(as_js(data))
        except Exception as error:  # the browser's errors have no class of their own in Python
            raise fault_of(str(error)) from error

    return keep


def fault_of(message: str, *, where: str = WHERE, no_room: str = "", fix: str = "") -> FolderFault:
    """What the browser said when it could not write, in plain words.

    where: what was written; no_room, fix: what to do without room, and else; as for a record, if left out.
    """
    if "quota" in message.casefold():
        return NoRoom(Problem(where, tr("there is no room left on this phone"), no_room or tr(
            "Nothing was saved, and what you typed is still here. Remove pictures or apps that you don't need, and "
            "save again. What was saved before is safe; hand it over soon.")))
    return FolderFault(Problem(
        where, tr("could not be written ({fault})", fault=message.strip().splitlines()[-1][:200]), fix or tr(
            "Nothing was saved, and what you typed is still here. Save again; if it happens again, note it down on "
            "paper and open the field book anew.")))


def _refuse(data: bytes) -> None:  # noqa: ARG001 - what would be kept
    raise only_looks()


def only_looks() -> NoRoom:
    """Why a tab that is not the one that writes saves nothing."""
    return NoRoom(Problem("this tab", tr("the field book is open in another tab, and only that one may save"),
                          tr("Nothing was saved here. Go to the other tab; or close it, and load this one again.")))
