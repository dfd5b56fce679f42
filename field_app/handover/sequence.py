"""Versions as a text sequence (RFC 8142), and the list of their names that vouches for each of them.

The law of this file:

1. ``versions.geojsons`` holds every version of every record: RS, its RFC 8785 text, LF, sorted by name.
   Devices that know the same versions hold the same bytes.
2. ``versions.csv`` lists their names. A name is the hash of its text, so a text whose name is listed is
   what was written, whatever else happened to the file; one that is not listed was changed on its way.
3. A text has neither RS nor LF inside, so each whole one is found again in what is left of a cut file.
"""

from __future__ import annotations

import re
import zlib
from collections.abc import Iterable
from dataclasses import dataclass

from field_app.core.records import name_of
from field_app.handover.packing import LIMITS, Limits

__all__ = ["NAMES", "VERSIONS", "Written", "listed", "pieces", "salvage", "sequence"]

VERSIONS = "versions.geojsons"
NAMES = "versions.csv"
_BEGIN, _END = b"\x1e", b"\n"
_WHOLE = re.compile(rb"\x1e(\{[^\x1e\n]*\})\n")
_NAME_LINE = re.compile(rb"(?m)^(ni:///sha-256;[A-Za-z0-9_-]{43})\r?$")
#: How much of a broken member is unpacked at once [byte].
_STEP = 1 << 10
#: A local header of a deflated member (PKWARE APPNOTE 6.3, 4.3.7): method at byte 8, sizes of name and extra
#: field at bytes 26 and 28, then the name.
_HEADER = re.compile(rb"PK\x03\x04.{4}\x08\x00.{16}(..)(..)(versions\.(?:geojsons|csv))", re.DOTALL)


@dataclass(frozen=True, slots=True)
class Written:
    """What stands at one place of a sequence: its number from 1, its bytes, and whether it is whole.

    last: whether it is the end, so that what is missing was cut off.
    """

    number: int
    text: bytes
    whole: bool
    last: bool = False


def sequence(texts: Iterable[bytes]) -> bytes:
    r"""The texts of versions as one sequence, sorted by name, each once.

    >>> sequence([b"{}", b"{}"])
    b'\x1e{}\n'
    """
    return b"".join(_BEGIN + text + _END for _, text in sorted({name_of(text): text for text in texts}.items()))


def listed(data: bytes) -> frozenset[str]:
    """The names that stand on lines of their own, in a list of names or in what is left of one."""
    return frozenset(name.decode() for name in _NAME_LINE.findall(data))


def pieces(data: bytes) -> list[Written]:
    r"""What stands in a sequence, whole or not.

    >>> [(piece.text, piece.whole) for piece in pieces(b"\x1e{}\n\x1e{")]
    [(b'{}', True), (b'{', False)]
    """
    before, *parts = data.split(_BEGIN)
    found = [Written(0, before, whole=False)] if before else []
    for number, part in enumerate(parts, 1):
        text, end, after = part.partition(_END)
        found.append(Written(number, text, whole=bool(end), last=number == len(parts)))
        if after:
            found.append(Written(number, after, whole=False))
    return found


def salvage(data: bytes, limits: Limits = LIMITS) -> tuple[list[Written], frozenset[str]]:
    """Every whole text, and every name, that is left in the raw bytes of a broken zip."""
    parts = [data, *_inflated(data, limits)]
    texts = [text for part in parts for text in _WHOLE.findall(part)]
    names = frozenset[str]().union(*(listed(part) for part in parts))
    return [Written(number, text, whole=True) for number, text in enumerate(dict.fromkeys(texts), 1)], names


def _inflated(data: bytes, limits: Limits) -> list[bytes]:
    """What is left of deflated members, up to where each is broken."""
    left, found = limits.unpacked, []
    for header in list(_HEADER.finditer(data))[:limits.entries]:
        start = header.end(3) + int.from_bytes(header[2], "little")
        stream, out = zlib.decompressobj(-zlib.MAX_WBITS), bytearray()
        # In small steps: of the step that breaks, nothing comes out.
        for at in range(start, len(data), _STEP):
            try:
                out += stream.decompress(data[at:at + _STEP])
            except zlib.error:
                break
            if stream.eof or len(out) > min(left, limits.ratio * (at + _STEP - start)):
                break
        left -= len(out)
        if left < 0:
            break
        found.append(bytes(out))
    return found
