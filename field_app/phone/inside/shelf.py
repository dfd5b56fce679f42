"""Photographs in the browser's own storage: each a file of its own, beside the file of records."""

from __future__ import annotations

import json
import logging
from collections.abc import Callable
from typing import Any

from field_app.core.problems import FolderFault
from field_app.phone.inside.records import fault_of, only_looks
from field_app.store import is_name, sound
from field_app.words import tr

__all__ = ["PageShelf"]

log = logging.getLogger(__name__)
#: The longer side of a small picture [px], and how many of them are remembered [1].
_SIDE, _MOST = 320, 200


class PageShelf:
    """A shelf that the page's worker keeps.

    worker: its verbs for photographs; writes: whether this tab is the one that may;
    as_js: hands bytes over to the browser.
    """

    def __init__(self, worker: Any, *, writes: bool, as_js: Callable[[bytes], Any]) -> None:
        self._worker, self._writes, self._as_js = worker, writes, as_js
        self._small: dict[str, bytes] = {}

    async def keep(self, name: str, data: bytes) -> None:
        """Put the bytes there, flushed and read back. Raises NoRoom or FolderFault."""
        if not self._writes:
            raise only_looks()
        # One that is there already must not be torn by writing it once more.
        if await self.read(name) == data:
            return
        try:
            await self._worker.keep(name, self._as_js(data))
        except Exception as error:  # the browser's errors have no class of their own in Python
            raise _fault(str(error)) from error
        if await self.read(name) != data:
            raise _fault("what was read back is not what was written")

    async def read(self, name: str) -> bytes | None:
        """What lies there; an empty file is none."""
        if not is_name(name):
            return None
        try:
            found: bytes = (await self._worker.read(name)).to_bytes()
        except Exception:  # the same: whatever it is, it can't be read
            return None
        return found or None

    async def small(self, name: str) -> bytes:
        """A small picture that the browser makes; or as it is, where it can't. Raises Refused if missing or damaged."""
        if name in self._small:
            return self._small[name]
        try:
            made: bytes = (await self._worker.small(name, _SIDE)).to_bytes()
        except Exception as error:  # whatever the browser lacks: the client can draw the whole one
            log.warning("no small picture was made: %s", error)
            made = b""
        if not made:
            return sound(name, await self.read(name))
        if len(self._small) >= _MOST:
            self._small.clear()
        self._small[name] = made
        return made

    async def remove(self, name: str) -> None:
        """Take it off. Raises FolderFault."""
        if not (self._writes and is_name(name)):
            return
        try:
            await self._worker.remove(name)
        except Exception as error:  # the same
            raise _fault(str(error)) from error

    async def names(self) -> frozenset[str]:
        """The names of what lies there."""
        return frozenset(name for name in json.loads(await self._worker.names()) if is_name(name))


def _fault(message: str) -> FolderFault:
    return fault_of(
        message, where="photographs on this phone",
        no_room=tr("Remove pictures or apps that you don't need, and try again. What was kept before is safe."),
        fix=tr("Try again. What was kept before is safe."))
