"""Everything in a folder as one file; how it is put back is in :mod:`field_app.store.restoring`.

The law of this file:

1. A backup is a zip of two members: ``versions.geojsons``, every version in the order of their stamps as a text
   sequence (RFC 8142, each text RFC 8785), and ``manifest.json``, which says how many there are and the SHA-256
   of the first member. The same versions give the same members, and on one machine the same bytes.
2. What concerns this device alone is not in it: a restored folder gets a new device id.
3. A backup counts as written only when it was read back whole.
"""

from __future__ import annotations

import contextlib
import hashlib
import io
import json
import struct
import tempfile
import zipfile
import zlib
from collections.abc import Iterator
from dataclasses import dataclass, replace
from pathlib import Path
from typing import IO, Any, cast

import rfc8785

from field_app.core.problems import refuse
from field_app.core.trust import LIMITS
from field_app.disk import whole_file
from field_app.store.log import Log
from field_app.words import later, tr

__all__ = ["FIX", "SIZES", "VERSIONS", "BackedUp", "Sizes", "Source", "back_up", "backup_bytes", "check_backup",
           "opened"]

VERSIONS = "versions.geojsons"
MANIFEST = "manifest.json"
_FORMAT = "field-app backup"
_EARLIEST = (1980, 1, 1, 0, 0, 0)  # the earliest time of a zip, so that the time of writing is not in it
_BEGIN, _END = b"\x1e", b"\n"
_CHUNK = 1 << 16
FIX = later("Nothing was changed. Choose another backup, or have this one copied again.")
#: What the library raises on bytes that are no zip, or a broken one.
_BROKEN = (zipfile.BadZipFile, zlib.error, struct.error, NotImplementedError, RuntimeError, ValueError,
           EOFError, OverflowError, IndexError, KeyError)


@dataclass(frozen=True, slots=True)
class Sizes:
    """How large a backup may be.

    packed, unpacked: sizes [byte]; ratio: unpacked size over packed size [1].
    """

    packed: int = 50_000_000
    unpacked: int = 200_000_000
    ratio: int = 200


SIZES = Sizes()


@dataclass(frozen=True, slots=True)
class BackedUp:
    """path: the file; versions: how many are in it [1]; size: its length [byte]; sha256: of its versions."""

    path: Path
    versions: int
    size: int
    sha256: str


def back_up(log: Log, path: Path) -> BackedUp:
    """Write everything that the folder holds into one file, and read it back.

    Raises Refused if the path can't be a file's or there is more than a backup may hold,
    NoRoom or FolderFault for faults of the disk. What was at the path stays until the new file is whole.
    """
    found: list[BackedUp] = []
    with (whole_file(path, check=lambda part: found.append(check_backup(part, name=path.name))) as file,
          zipfile.ZipFile(cast(IO[bytes], file), "w", zipfile.ZIP_DEFLATED, compresslevel=6) as archive):
        digest, count, size = hashlib.sha256(), 0, 0
        with archive.open(_member(VERSIONS), "w") as member:
            for text in log.texts():
                part = _BEGIN + text + _END
                member.write(part)
                digest.update(part)
                count, size = count + 1, size + len(part)
                if size > SIZES.unpacked or count > LIMITS.records:
                    raise refuse(path.name, tr("there is more in the folder than a backup may hold"),
                                 tr("Close this program and copy the whole data folder instead."))
        archive.writestr(_member(MANIFEST), rfc8785.dumps({
            "format": _FORMAT, "v": 1, "versions": count, "bytes": size, "sha256": digest.hexdigest()}))
    return replace(found[0], path=path)


def backup_bytes(log: Log) -> bytes:
    """The same file as bytes, where a device takes no path. Raises Refused, NoRoom or FolderFault likewise."""
    with tempfile.TemporaryDirectory() as place:
        path = Path(place) / "backup.zip"
        back_up(log, path)
        return path.read_bytes()


def _member(name: str) -> zipfile.ZipInfo:
    member = zipfile.ZipInfo(name, date_time=_EARLIEST)
    member.compress_type = zipfile.ZIP_DEFLATED
    member.create_system = 3  # so that the rights below are read the same way everywhere
    member.external_attr = 0o100600 << 16
    return member


def check_backup(path: Path, *, name: str = "") -> BackedUp:
    """What is in a backup, all of which was read. Raises Refused, naming the place, if it is not whole."""
    with opened(path, name or path.name) as source:
        for _ in source.texts():
            pass
        return BackedUp(path, source.count, path.stat().st_size, source.check())


@contextlib.contextmanager
def opened(path: Path, name: str) -> Iterator[Source]:
    """The members of a backup, to be read. Raises Refused, naming the place, if it is none."""
    try:
        size = path.stat().st_size
        if size > SIZES.packed:
            raise refuse(name, tr("is {size:,} bytes; at most {packed:,} are read", size=size, packed=SIZES.packed),
                         FIX)
        with path.open("rb") as file:
            data = file.read(SIZES.packed + 1)
    except OSError as error:
        raise refuse(name, tr("can't be read ({strerror})", strerror=error.strerror or error), FIX) from None
    # Each entry of the directory starts with this mark. Counting first keeps a directory of a million
    # entries from being built in memory.
    if data.count(b"PK\x01\x02") > 1_000:
        raise refuse(name, tr("is a zip with very many members, not a backup"), FIX)
    try:
        archive = zipfile.ZipFile(io.BytesIO(data))
    except _BROKEN:
        raise refuse(name, tr("is not a backup, or its end is missing"), FIX) from None
    with archive:
        yield Source(archive, name)


class Source:
    """The members of a backup, read strictly."""

    def __init__(self, archive: zipfile.ZipFile, name: str) -> None:
        self._archive, self.name = archive, name
        self.count, self._size = 0, 0
        self._digest = hashlib.sha256()
        members = archive.infolist()
        if sorted(member.filename for member in members) != [MANIFEST, VERSIONS]:
            raise refuse(name, tr("is not a backup: it should hold {VERSIONS} and {MANIFEST}, and nothing else",
                                  VERSIONS=VERSIONS, MANIFEST=MANIFEST), FIX)
        for member in members:
            if (member.flag_bits & 0x1 or member.external_attr >> 28 not in (0, 8)
                    or member.compress_type not in (zipfile.ZIP_STORED, zipfile.ZIP_DEFLATED)):
                raise refuse(f"{name}, {member.filename}", tr("is encrypted, a link, or packed in an odd way"), FIX)

    def _chunks(self, member: str) -> Iterator[bytes]:
        info = self._archive.getinfo(member)
        left = min(SIZES.unpacked, SIZES.ratio * max(info.compress_size, 1))
        try:
            with self._archive.open(info) as stream:
                while chunk := stream.read(_CHUNK):
                    left -= len(chunk)
                    if left < 0:
                        raise refuse(f"{self.name}, {member}", tr("unpacks to more than a backup may hold"), FIX)
                    yield chunk
        except _BROKEN as error:
            where = f"{self.name}, {member}" + (tr(" after record {count}", count=self.count) if member == VERSIONS
                                                else "")
            raise refuse(where, tr("is damaged ({text})", text=str(error)[:80]), FIX) from None

    def texts(self) -> Iterator[bytes]:
        """Every text of the sequence. Raises Refused at the first that is damaged."""
        rest = b""
        for chunk in self._chunks(VERSIONS):
            self._digest.update(chunk)
            self._size += len(chunk)
            *whole, rest = (rest + chunk).split(_END)
            for part in whole:
                self.count += 1
                if not part.startswith(_BEGIN):
                    raise refuse(tr("{name}, {VERSIONS} record {count}", name=self.name, VERSIONS=VERSIONS,
                                    count=self.count),
                                 tr("does not start as a text of a sequence must (RFC 8142)"), FIX)
                yield part[1:]
            if len(rest) > LIMITS.record + 1:
                raise refuse(tr("{name}, {VERSIONS} record {count}", name=self.name, VERSIONS=VERSIONS,
                                count=self.count + 1),
                             tr("is longer than {record:,} bytes", record=LIMITS.record), FIX)
        if rest:
            raise refuse(tr("{name}, {VERSIONS} record {count}", name=self.name, VERSIONS=VERSIONS,
                            count=self.count + 1), tr("is cut off"), FIX)

    def check(self) -> str:
        """The SHA-256 of the texts, after all were read. Raises Refused if they are not those of the manifest."""
        where = f"{self.name}, {MANIFEST}"
        try:
            manifest: Any = json.loads(b"".join(self._chunks(MANIFEST)))
        except (ValueError, RecursionError):
            manifest = None
        if not isinstance(manifest, dict) or manifest.get("format") != _FORMAT:
            raise refuse(where, tr("is not the manifest of a backup"), FIX)
        if manifest.get("v") != 1:
            raise refuse(where, tr("was written by a newer version of this program"), tr("Update this program first."))
        due = (manifest.get("versions"), manifest.get("bytes"), manifest.get("sha256"))
        if due != (self.count, self._size, self._digest.hexdigest()):
            raise refuse(where, tr("tells of {due} records with other contents; {count} were read", due=due[0],
                                   count=self.count), FIX)
        return self._digest.hexdigest()
