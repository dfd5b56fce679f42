"""The notes that a camera puts beside a picture, as EXIF writes them: which way up, when, and whether where.

EXIF (JEITA CP-3451) is a small TIFF (TIFF 6.0): an order of bytes, and directories of twelve-byte entries.
Foreign bytes are never trusted: whatever can't be read counts as not noted.
"""

from __future__ import annotations

import re
import struct
from dataclasses import dataclass, replace

__all__ = ["Noted", "only_way_up", "read_noted"]

# Tags of TIFF 6.0 and EXIF; the last two lie in the directories that the two before them point to.
_WAY_UP, _MORE, _PLACE = 0x0112, 0x8769, 0x8825
_TAKEN, _LATITUDE = 0x9003, 0x0002
_TEXT, _SHORT = 2, 3
_MOMENT = re.compile(rb"(\d{4}):(\d\d):(\d\d) (\d\d:\d\d:\d\d)")
_MOST_ENTRIES = 500


@dataclass(frozen=True, slots=True)
class Noted:
    """way_up: as EXIF counts it, 1 for upright [1-8]; taken: local time as the camera had it, or empty;
    placed: whether a position is noted.
    """

    way_up: int = 1
    taken: str = ""
    placed: bool = False

    def with_place(self, placed: bool) -> Noted:
        """The same, with a position if one was found elsewhere too."""
        return replace(self, placed=True) if placed else self


def read_noted(tiff: bytes) -> Noted:
    """What is noted in these bytes; nothing, if they can't be read."""
    try:
        order = {b"II*\0": "<", b"MM\0*": ">"}[tiff[:4]]
        first = _directory(tiff, order, struct.unpack(f"{order}I", tiff[4:8])[0])
    except (KeyError, struct.error):
        return Noted()
    kind, count, value = first.get(_WAY_UP, (0, 0, b""))
    way_up = struct.unpack(f"{order}H", value[:2])[0] if (kind, count) == (_SHORT, 1) else 1
    place = _directory(tiff, order, _number(first, _PLACE, order))
    return Noted(way_up if 1 <= way_up <= 8 else 1, _taken(tiff, order, _directory(tiff, order, _number(
        first, _MORE, order))), _LATITUDE in place)


Directory = dict[int, tuple[int, int, bytes]]


def _directory(tiff: bytes, order: str, at: int) -> Directory:
    """The entries of one directory: kind, count and the four bytes of the value, by tag."""
    head = tiff[at:at + 2] if at else b""
    if len(head) < 2:
        return {}
    count = min(struct.unpack(f"{order}H", head)[0], _MOST_ENTRIES)
    found: Directory = {}
    for start in range(at + 2, at + 2 + 12 * count, 12):
        row = tiff[start:start + 12]
        if len(row) < 12:
            break
        tag, kind, number, value = struct.unpack(f"{order}HHI4s", row)
        found.setdefault(tag, (kind, number, value))
    return found


def _number(found: Directory, tag: int, order: str) -> int:
    value: int = struct.unpack(f"{order}I", found[tag][2])[0] if tag in found else 0
    return value


def _taken(tiff: bytes, order: str, found: Directory) -> str:
    if _TAKEN not in found or found[_TAKEN][0] != _TEXT:
        return ""
    at = _number(found, _TAKEN, order)
    match = _MOMENT.match(tiff[at:at + 19])
    if match is None:
        return ""
    year, month, day, time = (part.decode() for part in match.groups())
    return f"{year}-{month}-{day}T{time}"


def only_way_up(way_up: int) -> bytes:
    """A TIFF with one directory of one entry: which way up it is held [1-8].

    >>> read_noted(only_way_up(6))
    Noted(way_up=6, taken='', placed=False)
    """
    return b"MM\0*" + struct.pack(">IHHHIHHI", 8, 1, _WAY_UP, _SHORT, 1, way_up, 0, 0)
