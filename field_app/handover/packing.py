"""Files into one zip and out again: the same bytes for the same files, and strict with a stranger's zip.

The law of this file:

1. A zip is written with stored members, in the order given, with one fixed time: the same files give the
   same bytes on every machine (PKWARE APPNOTE 6.3; its earliest time is 1980-01-01).
2. A zip is read only if it holds few, plainly named, unencrypted members, and what it unpacks to is counted
   while it is read, never believed from its headers.
"""

from __future__ import annotations

import io
import re
import struct
import zipfile
import zlib
from collections.abc import Mapping
from dataclasses import dataclass

from field_app.core.problems import Problem, Refused, refuse
from field_app.handover.cells import shown
from field_app.words import later, tr

__all__ = ["LIMITS", "Limits", "is_packed_by_us", "pack", "unpack"]


@dataclass(frozen=True, slots=True)
class Limits:
    """How much a stranger's zip may hold.

    packed, unpacked: sizes [byte]; entries: members [1];
    ratio: unpacked size of a member over its packed size [1].
    """

    packed: int = 50_000_000
    unpacked: int = 200_000_000
    entries: int = 16
    ratio: int = 200


LIMITS = Limits()
_NAME = re.compile(r"[a-z0-9][a-z0-9_-]{0,59}(\.[a-z0-9]{1,12}){1,2}\Z")
_CHUNK = 1 << 16
_EARLIEST = (1980, 1, 1, 0, 0, 0)
_RIGHTS = 0o100644 << 16
_ASK = later("Ask whoever made the file for a new copy.")
#: What the library raises on bytes that are no zip, or a broken one.
_BROKEN = (zipfile.BadZipFile, zlib.error, struct.error, NotImplementedError, RuntimeError, ValueError,
           EOFError, OSError, OverflowError, IndexError, KeyError)


def pack(files: Mapping[str, bytes], *, deflated: bool = False) -> bytes:
    """A zip of the files, in their order; deflated: smaller, but the same bytes only from the same library.

    >>> pack({"a.txt": b"one"}) == pack({"a.txt": b"one"})
    True
    """
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w") as archive:
        for name, data in files.items():
            member = zipfile.ZipInfo(name, date_time=_EARLIEST)
            member.compress_type = zipfile.ZIP_DEFLATED if deflated else zipfile.ZIP_STORED
            member.create_system = 3  # so that the rights below are read the same way everywhere
            member.external_attr = _RIGHTS
            archive.writestr(member, data)
    return out.getvalue()


def is_packed_by_us(data: bytes, files: Mapping[str, bytes], *, may_be_deflated: bool) -> bool:
    """Whether these bytes are how :func:`pack` packs the files, as far as that can be told.

    may_be_deflated: whether ours may be deflated, which another version of the library does otherwise.

    >>> is_packed_by_us(pack({"a.txt": b"one"}), {"a.txt": b"one"}, may_be_deflated=False)
    True
    """
    if len(data) >= sum(map(len, files.values())):
        return pack(files) == data
    if not may_be_deflated:
        return False
    with zipfile.ZipFile(io.BytesIO(data)) as archive:
        return not archive.comment and all(
            (member.compress_type, member.date_time, member.create_system, member.external_attr, member.extra)
            == (zipfile.ZIP_DEFLATED, _EARLIEST, 3, _RIGHTS, b"") for member in archive.infolist())


def unpack(data: bytes, limits: Limits = LIMITS) -> tuple[dict[str, bytes], tuple[Problem, ...]]:
    """The members of a zip that could be read, in their order, and what is wrong with the others.

    Raises Refused if it is no zip, or more than the limits allow.
    """
    if len(data) > limits.packed:
        raise refuse("file", tr("is {count:,} bytes; at most {most:,} are read", count=len(data),
                                most=limits.packed),
                     tr("This is not a file of lots, or it has to be made in parts."))
    # Each entry of the directory starts with this mark. Counting first keeps a directory of a million
    # entries from being built in memory.
    if data.count(b"PK\x01\x02") > 100 * limits.entries:
        raise refuse("file", tr("has more than {most} members", most=limits.entries), _ASK)
    try:
        archive = zipfile.ZipFile(io.BytesIO(data))
    except _BROKEN:
        raise refuse("file", tr("is not a zip, or its end is missing"), _ASK, kind="cut") from None
    with archive:
        members = archive.infolist()
        if len(members) > limits.entries:
            raise refuse("file", tr("has {count} members; at most {most} are read", count=len(members),
                                    most=limits.entries), _ASK)
        files: dict[str, bytes] = {}
        problems: list[Problem] = []
        left = limits.unpacked
        for member in members:
            fault = _member_fault(member, files)
            if fault is None:
                try:
                    files[member.filename] = _read(archive, member, left, limits.ratio)
                    left -= len(files[member.filename])
                except _BROKEN as error:
                    fault = Problem(member.filename, tr("can't be unpacked ({error})", error=str(error)[:80]), _ASK,
                                    kind="damaged")
            if fault is not None:
                problems.append(fault)
    return files, tuple(problems)


def _member_fault(member: zipfile.ZipInfo, files: Mapping[str, bytes]) -> Problem | None:
    name = member.filename
    kind = member.external_attr >> 28
    if not _NAME.match(name) or member.orig_filename != name:
        return Problem(f"member {shown(member.orig_filename)}", tr("is not a plain name of a file"),
                       " ".join((tr("Nothing was unpacked from it."), tr(_ASK))))
    faults = [
        (name in files, tr("is there twice")),
        (bool(member.flag_bits & 0x1), tr("is encrypted")),
        (kind not in (0, 8), tr("is a link or a device, not a file")),
        (member.compress_type not in (zipfile.ZIP_STORED, zipfile.ZIP_DEFLATED),
         tr("is packed by method {method}; only stored (0) and deflated (8) are read",
            method=member.compress_type)),
    ]
    return next((Problem(name, words, _ASK) for holds, words in faults if holds), None)


def _read(archive: zipfile.ZipFile, member: zipfile.ZipInfo, left: int, ratio: int) -> bytes:
    room = min(left, ratio * max(member.compress_size, 1))
    parts: list[bytes] = []
    size = 0
    with archive.open(member) as stream:
        while chunk := stream.read(_CHUNK):
            size += len(chunk)
            if size > room:
                words = (tr("unpacks to more than {ratio} times its packed size", ratio=ratio) if room < left
                         else tr("unpacks to more than may be read"))
                raise Refused([Problem(member.filename, words, _ASK)])
            parts.append(chunk)
    return b"".join(parts)
