"""What the browser tells of the room for records, and its promise to keep them."""

from __future__ import annotations

import contextlib
import io
import json
from collections.abc import Callable
from typing import Any

from field_app.core.course import Stopped, step
from field_app.core.problems import FolderFault, Refused
from field_app.phone.inside.records import fault_of
from field_app.store import BackedUp, FieldBook, write_backup
from field_app.ui import Room
from field_app.words import tr

__all__ = ["PageHome"]


class PageHome:
    """The browser's own storage."""

    in_browser = True

    def __init__(self, worker: Any, *, as_js: Callable[[bytes], Any]) -> None:
        self._worker, self._as_js = worker, as_js

    async def room(self) -> Room:
        """What is used and left for this app, and whether the browser promised to keep it. Raises RuntimeError."""
        try:
            told = json.loads(await self._worker.room())
        except Exception as error:  # the browser's errors have no class of their own in Python
            raise RuntimeError(str(error)) from error
        usage, quota = told["usage"], told["quota"]
        free = None if usage is None or quota is None else max(0, quota - usage)
        return Room(usage, free, bool(told["kept"]))

    async def ask_to_keep(self) -> None:
        """Only the page may ask, so it is told to."""
        self._worker.ask_to_keep()

    async def copy_out(self, book: FieldBook, name: str) -> BackedUp | None:
        """Write a full copy into a file of the browser's own and let the page hand that over as a download.

        Photographs go one after the other, and the file as it is: all of it at once would take more memory than some
        phones have. Raises Refused, NoRoom, FolderFault or Stopped; then nothing of the file stays.
        """
        place = None
        try:
            place = await self._worker.begin_copy(name)
            with io.BufferedRandom(_Place(place, self._as_js), 1 << 20) as file:
                done = await write_backup(book.log_book, file, book.album.shelf, name)
            place.close()
            step(1.0)
            await place.hand_over()
        except (Refused, FolderFault, Stopped):
            await self._let_go(place)
            raise
        except Exception as error:  # the browser's errors have no class of their own in Python
            await self._let_go(place)
            raise fault_of(
                str(error), where="full copy", no_room=tr("It needs as much room as your photographs once more. Remove "
                                                          "pictures or apps that you don't need, and write it again."),
                fix=tr("Nothing of yours was changed. Write it again.")) from error
        return done

    async def _let_go(self, place: Any) -> None:
        """Throw away what was begun; what can't be now goes at the next copy or the next start."""
        with contextlib.suppress(Exception):  # the same
            place.close()
        with contextlib.suppress(Exception):
            await self._worker.forget_copies()


class _Place(io.RawIOBase):
    """A file of the browser's own, as Python writes and reads it."""

    def __init__(self, place: Any, as_js: Callable[[bytes], Any]) -> None:
        self._place, self._as_js, self._at = place, as_js, 0

    def readable(self) -> bool:
        return True

    def writable(self) -> bool:
        return True

    def seekable(self) -> bool:
        return True

    def seek(self, offset: int, whence: int = io.SEEK_SET) -> int:
        base = {io.SEEK_SET: 0, io.SEEK_CUR: self._at, io.SEEK_END: int(self._place.size())}[whence]
        self._at = base + offset
        return self._at

    def tell(self) -> int:
        return self._at

    def write(self, data: Any) -> int:
        part = bytes(data)
        self._place.write(self._as_js(part), self._at)  # all of it, or it raises
        self._at += len(part)
        return len(part)

    def readinto(self, target: Any) -> int:
        found = self._place.read(self._at, len(target)).to_bytes()
        target[:len(found)] = found
        self._at += len(found)
        return len(found)
