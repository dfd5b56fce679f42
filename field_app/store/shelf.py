"""Where the bytes of photographs lie: a shelf keeps them under names that say what is in them.

A name is the SHA-256 of the bytes with the kind as its ending, so what is read can be checked, and the same photograph
lies there once.
"""

from __future__ import annotations

import hashlib
import re
from pathlib import Path
from typing import Protocol

from field_app.core.problems import FolderFault, Problem, refuse
from field_app.disk import make_folder, sync_folder, told_by_disk, whole_file
from field_app.words import tr

__all__ = ["PHOTOGRAPHS", "FolderShelf", "Shelf", "is_name", "sound"]

#: The folder of photographs, beside the database.
PHOTOGRAPHS = "photographs"
_NAME = re.compile(r"([0-9a-f]{64})\.(jpeg|png|webp)", re.ASCII)


def is_name(text: str) -> bool:
    """Whether this is the name of a photograph, and so a safe one for a file.

    >>> is_name("0" * 64 + ".jpeg"), is_name("../secret.jpeg")
    (True, False)
    """
    return _NAME.fullmatch(text) is not None


def sound(name: str, data: bytes | None) -> bytes:
    """The bytes, if they are those that the name says. Raises Refused if they are missing or damaged."""
    where, back = f"photograph {name[:8]}", tr("Put it back from a full copy, if you have one.")
    if data is None:
        raise refuse(where, tr("its file is missing on this device"), back)
    if hashlib.sha256(data).hexdigest() != name.partition(".")[0]:
        raise refuse(where, tr("its file is damaged"), back)
    return data


class Shelf(Protocol):
    """A place for photographs. Its verbs wait, since a browser's files are reached only so."""

    async def keep(self, name: str, data: bytes) -> None:
        """Put the bytes there, lasting when it returns. Raises NoRoom or FolderFault; then nothing was kept."""

    async def read(self, name: str) -> bytes | None:
        """What lies there under the name, or None."""

    async def small(self, name: str) -> bytes:
        """The same as a small picture where one can be made, or as it is. Raises Refused if missing or damaged."""

    async def remove(self, name: str) -> None:
        """Take it off; nothing, if it is not there. Raises FolderFault."""

    async def names(self) -> frozenset[str]:
        """The names of what lies there."""


class FolderShelf:
    """A shelf that is a folder of the person's own disk, for its owner alone."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder

    async def keep(self, name: str, data: bytes) -> None:
        """Put the bytes there, read back and lasting."""
        self.keep_now(name, data)

    def keep_now(self, name: str, data: bytes) -> None:
        """The same, for who need not wait."""
        if self.read_now(name) == data:
            return

        def check(part: Path) -> None:
            if hashlib.sha256(part.read_bytes()).hexdigest() != name.partition(".")[0]:
                raise FolderFault(Problem(str(self.folder), tr("what was read back is not what was written"),
                                          tr("The photograph was not kept. Choose another disk.")))

        with told_by_disk(str(self.folder)):
            make_folder(self.folder)
        with whole_file(self.folder / name, check=check) as file:
            file.write(data)

    async def read(self, name: str) -> bytes | None:
        """What lies there."""
        return self.read_now(name)

    def read_now(self, name: str) -> bytes | None:
        """The same, for who need not wait."""
        try:
            return (self.folder / name).read_bytes() if is_name(name) else None
        except OSError:
            return None

    async def small(self, name: str) -> bytes:
        """As it is: here the client makes it small."""
        return sound(name, self.read_now(name))

    async def remove(self, name: str) -> None:
        """Take it off."""
        if is_name(name) and self.folder.is_dir():
            with told_by_disk(str(self.folder)):
                (self.folder / name).unlink(missing_ok=True)
                sync_folder(self.folder)

    async def names(self) -> frozenset[str]:
        """The names of what lies there."""
        return self.names_now()

    def names_now(self) -> frozenset[str]:
        """The same, for who need not wait."""
        found = self.folder.iterdir() if self.folder.is_dir() else ()
        return frozenset(path.name for path in found if is_name(path.name))
