"""What the bytes of a photograph say, and the same picture without what was noted beside it.

The law of this file:

1. Three kinds are read: JPEG (ITU-T T.81 and JFIF), PNG (W3C, third edition) and WebP (RFC 9649), known by their
   first bytes, never by a file's name.
2. A bare copy holds the same picture data, byte for byte; nothing is decoded or packed anew.
   Of everything else only what is needed to draw it right stays (sizes, tables, colours); whatever is not known to be
   that goes, and so does all that comes after the picture's end, where some cameras put a second picture or a film.
3. Which way up it is held stays, as a block of EXIF (JEITA CP-3451) with that one tag and nothing else.
"""

from __future__ import annotations

import re
import struct
import zlib
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import Literal

from field_app.core.problems import refuse
from field_app.core.tiff import Noted, only_way_up, read_noted
from field_app.words import tr

__all__ = ["LARGEST", "MOST_PIXELS", "Kind", "Picture", "bare_copy", "read_picture"]

Kind = Literal["jpeg", "png", "webp"]

#: The largest photograph that is kept [byte]; the largest that a phone can still draw [1].
LARGEST, MOST_PIXELS = 12_000_000, 120_000_000

_PNG = b"\x89PNG\r\n\x1a\n"
_EXIF = b"Exif\0\0"
#: Inside a scan FF is followed by 00 or a restart; any other sign after FF ends it (T.81, B.1.1.5).
_SCAN_END = re.compile(rb"\xff[\x01-\xcf\xd8-\xfe]")
_SOI, _EOI, _SOS = 0xD8, 0xD9, 0xDA
#: Frames, but for the tables of codes that lie between their numbers (T.81, table B.1).
_FRAMES = frozenset(range(0xC0, 0xD0)) - {0xC4, 0xC8, 0xCC}
#: What draws: frames and tables C0 to CF, scans, quantization, lines, restarts, hierarchy.
_DRAWING = frozenset({*range(0xC0, 0xD0), 0xDA, 0xDB, 0xDC, 0xDD, 0xDE, 0xDF})
#: What says of colours and sizes how they are meant, by segment and by how it starts.
_MEANING = ((0xE0, b"JFIF\0"), (0xE2, b"ICC_PROFILE\0"), (0xEE, b"Adobe"))
#: Chunks of PNG that draw, and that say how colours and sizes are meant (PNG, 5.6 and 11).
_PNG_KEPT = frozenset({b"IHDR", b"PLTE", b"IDAT", b"IEND", b"tRNS", b"gAMA", b"cHRM", b"sRGB", b"iCCP", b"sBIT",
                       b"bKGD", b"pHYs", b"cICP", b"mDCV", b"cLLI"})
_WEBP_KEPT = frozenset({b"VP8X", b"VP8 ", b"VP8L", b"ALPH", b"ICCP"})
#: Flags of a WebP's VP8X chunk (RFC 9649, 2.7).
_MOVES, _HAS_XMP, _HAS_EXIF = 0x02, 0x04, 0x08


class _Broken(Exception):
    """The bytes are not what their first ones say."""


@dataclass(frozen=True, slots=True)
class Picture:
    """What a photograph is: its kind, its size as stored [pixel], and what the camera noted beside it."""

    kind: Kind
    width: int
    height: int
    noted: Noted


def read_picture(data: bytes, where: str) -> Picture:
    """What these bytes are. Raises Refused, said of ``where``, if they are no photograph that can be kept."""
    again = tr("Choose a photograph in JPEG, PNG or WebP.")
    if not data:
        raise refuse(where, tr("is empty"), again)
    if len(data) > LARGEST:
        raise refuse(where, tr("is larger than {most} MB", most=LARGEST // 1_000_000),
                     tr("Take it with fewer pixels, or make it smaller, and add it again."))
    kind = _kind(data)
    if kind is None:
        heic = data[4:8] == b"ftyp"  # ISO 14496-12, 4.3: how films and most pictures of newer phones start
        raise refuse(where, tr("is a film or a picture of a kind that not every device can show") if heic else
                     tr("is not a photograph that can be kept"),
                     tr("Let the camera save JPEG, and add it again.") if heic else again)
    try:
        found = _READERS[kind](data)
    except (_Broken, IndexError, struct.error):
        raise refuse(where, tr("is damaged or cut off"), tr("Take it again, or have it sent once more.")) from None
    if not 0 < found.width * found.height <= MOST_PIXELS:
        raise refuse(where, tr("has {wide} × {high} pixels", wide=found.width, high=found.height),
                     tr("Take it with fewer pixels, or make it smaller, and add it again."))
    return found


def bare_copy(data: bytes, where: str) -> bytes:
    """The same picture without place, time, camera and all else that was noted beside it; raises Refused likewise."""
    found = read_picture(data, where)
    return _BARE[found.kind](data, found.noted.way_up)


def _kind(data: bytes) -> Kind | None:
    if data.startswith(b"\xff\xd8\xff"):
        return "jpeg"
    if data.startswith(_PNG):
        return "png"
    return "webp" if data[:4] == b"RIFF" and data[8:12] == b"WEBP" else None


# JPEG

def _segments(data: bytes) -> Iterator[tuple[int, bytes]]:
    """Every segment up to the picture's end: its marker, and its bytes with what is scanned after it."""
    at = 2
    while True:
        start = at
        if data[at] != 0xFF:
            raise _Broken
        while data[at] == 0xFF:  # any number of them may stand before a marker (T.81, B.1.1.2)
            at += 1
        marker, at = data[at], at + 1
        if marker == _EOI:
            yield marker, b"\xff\xd9"
            return
        if marker == 0x01 or 0xD0 <= marker <= 0xD7:
            continue
        size = int.from_bytes(data[at:at + 2], "big")
        if marker in (0, _SOI) or size < 2 or at + size > len(data):
            raise _Broken
        at += size
        if marker == _SOS:
            end = _SCAN_END.search(data, at)
            if end is None:
                raise _Broken
            at = end.start()
        elif marker in _DRAWING and (b"Exif\0" in data[start:at] or b"://" in data[start:at]):
            raise _Broken  # notes under the mark of something that draws
        yield marker, data[start:at].lstrip(b"\xff")


def _read_jpeg(data: bytes) -> Picture:
    noted, size, xmp, scans = Noted(), None, False, 0
    for marker, part in _segments(data):
        body = part[3:]
        if marker == 0xE1 and body.startswith(_EXIF) and noted == Noted():
            noted = read_noted(body[len(_EXIF):])
        elif marker == 0xE1:
            xmp = xmp or _tells_place(body)
        elif marker in _FRAMES and size is None:
            size = struct.unpack(">HH", body[1:5])
        scans += marker == _SOS
    if size is None or not scans:
        raise _Broken
    return Picture("jpeg", size[1], size[0], noted.with_place(xmp))


def _bare_jpeg(data: bytes, way_up: int) -> bytes:
    heads, rest = [], []
    for marker, part in _segments(data):
        means = any(marker == key and part[3:].startswith(start) for key, start in _MEANING)
        if marker == 0xE0 and means:
            heads.append(b"\xff" + part)
        elif marker in _DRAWING or means:
            rest.append(b"\xff" + part)
    if way_up != 1:
        body = _EXIF + only_way_up(way_up)
        heads.append(b"\xff\xe1" + (len(body) + 2).to_bytes(2, "big") + body)
    return b"\xff\xd8" + b"".join(heads) + b"".join(rest) + b"\xff\xd9"


# PNG

def _chunks(data: bytes) -> Iterator[tuple[bytes, bytes]]:
    at = len(_PNG)
    while True:
        size, name = struct.unpack(">I4s", data[at:at + 8])
        body, check = data[at + 8:at + 8 + size], data[at + 8 + size:at + 12 + size]
        if check != zlib.crc32(name + body).to_bytes(4, "big"):
            raise _Broken
        yield name, body
        if name == b"IEND":
            return
        at += 12 + size


def _read_png(data: bytes) -> Picture:
    parts = list(_chunks(data))
    if parts[0][0] != b"IHDR" or not any(name == b"IDAT" for name, _ in parts):
        raise _Broken
    width, height = struct.unpack(">II", parts[0][1][:8])
    exif = next((body for name, body in parts if name == b"eXIf"), b"")
    texts = any(_tells_place(body) for name, body in parts if name in (b"iTXt", b"tEXt"))
    return Picture("png", width, height, read_noted(exif).with_place(texts))


def _bare_png(data: bytes, way_up: int) -> bytes:
    kept: list[tuple[bytes, bytes]] = []
    for name, body in _chunks(data):
        if name == b"IDAT" and way_up != 1 and not any(one == b"IDAT" for one, _ in kept):
            kept.append((b"eXIf", only_way_up(way_up)))
        if name in _PNG_KEPT:
            kept.append((name, body))
    return _PNG + b"".join(struct.pack(">I4s", len(body), name) + body + zlib.crc32(name + body).to_bytes(4, "big")
                           for name, body in kept)


# WebP

def _riff(data: bytes) -> Iterator[tuple[bytes, bytes]]:
    end = 8 + int.from_bytes(data[4:8], "little")
    if end > len(data) + 1:  # the last sign of padding is missing in some
        raise _Broken
    at = 12
    while at + 8 <= end:
        name, size = struct.unpack("<4sI", data[at:at + 8])
        body = data[at + 8:at + 8 + size]
        if len(body) != size:
            raise _Broken
        yield name, body
        at += 8 + size + size % 2


def _read_webp(data: bytes) -> Picture:
    parts = dict(reversed(list(_riff(data))))
    noted = read_noted(parts.get(b"EXIF", b"").removeprefix(_EXIF)).with_place(_tells_place(parts.get(b"XMP ", b"")))
    if b"VP8X" in parts and parts[b"VP8X"][0] & _MOVES:
        raise _Broken
    if b"VP8 " in parts:  # RFC 6386, 9.1
        if parts[b"VP8 "][3:6] != b"\x9d\x01\x2a":
            raise _Broken
        width, height = (side & 0x3FFF for side in struct.unpack("<HH", parts[b"VP8 "][6:10]))
    elif b"VP8L" in parts:  # RFC 9649, 3.4
        if parts[b"VP8L"][0] != 0x2F:
            raise _Broken
        bits = int.from_bytes(parts[b"VP8L"][1:5], "little")
        width, height = (bits & 0x3FFF) + 1, (bits >> 14 & 0x3FFF) + 1
    else:
        raise _Broken
    return Picture("webp", width, height, noted)


def _bare_webp(data: bytes, way_up: int) -> bytes:
    kept: list[tuple[bytes, bytes]] = []
    for name, body in _riff(data):
        if name in _WEBP_KEPT and name not in [one for one, _ in kept]:
            kept.append((name, bytes([body[0] & ~(_HAS_XMP | _HAS_EXIF)]) + body[1:] if name == b"VP8X" else body))
    if way_up != 1:  # only a file that says that it has notes may have them, so it begins with VP8X
        name, body = kept[0]
        if name == b"VP8X":
            kept[0] = (name, bytes([body[0] | _HAS_EXIF]) + body[1:])
            kept.append((b"EXIF", only_way_up(way_up)))
    body = b"WEBP" + b"".join(name + len(part).to_bytes(4, "little") + part + bytes(len(part) % 2)
                              for name, part in kept)
    return b"RIFF" + len(body).to_bytes(4, "little") + body


def _tells_place(text: bytes) -> bool:
    """Whether a text beside a picture tells a position, as XMP does (exif:GPSLatitude)."""
    return b"GPSLatitude" in text


_READERS: dict[Kind, Callable[[bytes], Picture]] = {"jpeg": _read_jpeg, "png": _read_png, "webp": _read_webp}
_BARE: dict[Kind, Callable[[bytes, int], bytes]] = {"jpeg": _bare_jpeg, "png": _bare_png, "webp": _bare_webp}
