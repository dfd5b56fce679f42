"""Where the records are kept, as far as a person must know: how much room there is, and who may clear it."""

from __future__ import annotations

import shutil
from dataclasses import dataclass
from pathlib import Path
from typing import Protocol

from field_app.store import BackedUp, FieldBook

__all__ = ["FolderHome", "Home", "Room"]


@dataclass(frozen=True, slots=True)
class Room:
    """How much room is used, and how much there is for more [byte], or None where that is not told.

    kept: whether the browser promised to keep what is there; None where nobody but the person clears it.
    """

    used: int | None = None
    free: int | None = None
    kept: bool | None = None


class Home(Protocol):
    """A place that keeps records."""

    #: Whether a browser keeps them, which may clear them, and which nobody backs up.
    in_browser: bool

    async def room(self) -> Room:
        """How much room is used and left. Raises OSError or RuntimeError where it can't be told."""

    async def ask_to_keep(self) -> None:
        """Ask the browser for its promise; whether it gave it, :meth:`room` tells a moment later."""

    async def copy_out(self, book: FieldBook, name: str) -> BackedUp | None:
        """Hand out a full copy under this name; None where it has no way of its own for that.

        It lets the screen have its turn between its pieces. Raises Refused, NoRoom, FolderFault or Stopped.
        """


class FolderHome:
    """A data folder on the person's own disk."""

    in_browser = False

    def __init__(self, book: FieldBook) -> None:
        self._folder: Path = book.folder

    async def room(self) -> Room:
        """The size of what lies in the folder, and what is free on its disk."""
        used = sum(path.stat().st_size for path in self._folder.rglob("*") if path.is_file())
        return Room(used, shutil.disk_usage(self._folder).free)

    async def ask_to_keep(self) -> None:
        """There is nobody to ask."""

    async def copy_out(self, book: FieldBook, name: str) -> BackedUp | None:
        """The device's own dialog says where it goes."""
