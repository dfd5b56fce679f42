"""Reads a backup, strictly: whatever is in the file was changed by nobody, or it is refused, naming the place."""

from __future__ import annotations

import contextlib
import hashlib
import io
import json
import struct
import zipfile
import zlib
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import IO, Any

from pydantic import BaseModel, ConfigDict, Field, TypeAdapter, ValidationError

from field_app.core.facts import LocalTime
from field_app.core.misfits import misfit
from field_app.core.pictures import LARGEST, Kind, read_picture
from field_app.core.problems import refuse
from field_app.core.trust import LIMITS
from field_app.store.photographs import Photograph
from field_app.store.shelf import PHOTOGRAPHS, is_name
from field_app.words import later, tr

__all__ = ["BEGIN", "END", "FIX", "FORMAT", "LIST", "MANIFEST", "SIZES", "VERSIONS", "Sizes", "Source", "opened"]

VERSIONS = "versions.geojsons"
MANIFEST = "manifest.json"
LIST = "photographs.json"
FORMAT = "field-app backup"
BEGIN, END = b"\x1e", b"\n"
FIX = later("Nothing was changed. Choose another backup, or have this one copied again.")
_CHUNK = 1 << 16
#: What the library raises on bytes that are no zip, or a broken one.
_BROKEN = (zipfile.BadZipFile, zlib.error, struct.error, NotImplementedError, RuntimeError, ValueError,
           EOFError, OverflowError, IndexError, KeyError)
#: The marks of a zip's last record, and of the one that stands before it in a zip of more than 4 GB.
_LAST, _LAST_64 = b"PK\x05\x06", b"PK\x06\x07"


@dataclass(frozen=True, slots=True)
class Sizes:
    """How large a backup may be.

    packed, unpacked: sizes of its records [byte]; ratio: unpacked size over packed size [1];
    photographs: size of all of them [byte]; members: how many there may be [1].
    """

    packed: int = 50_000_000
    unpacked: int = 200_000_000
    ratio: int = 200
    photographs: int = 2_000_000_000
    members: int = 20_000


SIZES = Sizes()


class _Row(BaseModel):
    model_config = ConfigDict(extra="forbid", frozen=True, strict=True)

    sha256: str = Field(pattern=r"^[0-9a-f]{64}$")
    kind: Kind
    size: int = Field(ge=1, le=LARGEST)
    of: str = Field(pattern=r"^urn:uuid:[0-9a-f-]{36}$")
    at: LocalTime


_ROWS = TypeAdapter(tuple[_Row, ...])


@contextlib.contextmanager
def opened(file: Path | bytes | IO[bytes], name: str) -> Iterator[Source]:
    """The members of a backup, to be read. Raises Refused, naming the place, if it is none.

    file: where it is, its bytes, or the file itself, which stays open.
    """
    with contextlib.ExitStack() as stack:
        try:
            stream: IO[bytes]
            if isinstance(file, Path):
                stream = stack.enter_context(file.open("rb"))
            else:
                stream = io.BytesIO(file) if isinstance(file, bytes) else file
            size, most = stream.seek(0, io.SEEK_END), SIZES.packed + SIZES.photographs
            if size > most:
                raise refuse(name, tr("is {count:,} bytes; at most {most:,} are read", count=size, most=most), FIX)
            _check_directory(stream, size, name)
        except OSError as error:
            raise refuse(name, tr("can't be read ({error})", error=error.strerror or error), FIX) from None
        try:
            archive = stack.enter_context(zipfile.ZipFile(stream))
        except _BROKEN:
            raise refuse(name, tr("is not a backup, or its end is missing"), FIX) from None
        yield Source(archive, name, size)


def _check_directory(stream: IO[bytes], size: int, name: str) -> None:
    """Refuse a directory of very many members before it is built in memory (APPNOTE, 4.3.16)."""
    stream.seek(max(0, size - 70_000))
    tail = stream.read()
    at = tail.rfind(_LAST)
    if at < 0 or len(tail) < at + 22:
        raise refuse(name, tr("is not a backup, or its end is missing"), FIX)
    entries, length = struct.unpack("<HI", tail[at + 10:at + 16])
    if entries > SIZES.members or length > 500 * SIZES.members or _LAST_64 in tail[max(0, at - 20):at]:
        raise refuse(name, tr("is a zip with very many members, not a backup"), FIX)
    stream.seek(0)


class Source:
    """The members of a backup, read strictly.

    size: of the whole file [byte].
    """

    def __init__(self, archive: zipfile.ZipFile, name: str, size: int) -> None:
        self._archive, self.name, self.size = archive, name, size
        self.count, self._size, self._read = 0, 0, 0
        self._digest = hashlib.sha256()
        members = archive.infolist()
        names = [member.filename for member in members]
        pictures = [one for one in names if is_name(one.removeprefix(f"{PHOTOGRAPHS}/")) and "/" in one]
        due = [MANIFEST, VERSIONS, *([LIST] if LIST in names else ()), *pictures]
        if sorted(names) != sorted(due) or len(set(names)) != len(names) or (pictures and LIST not in names):
            raise refuse(name, tr("is not a backup: it should hold {versions} and {manifest}, and nothing else but "
                                  "photographs with their list", versions=VERSIONS, manifest=MANIFEST), FIX)
        self._of = sum(member.file_size for member in members)
        self._pictures = frozenset(pictures)
        for member in members:
            if (member.flag_bits & 0x1 or member.external_attr >> 28 not in (0, 8)
                    or member.compress_type not in (zipfile.ZIP_STORED, zipfile.ZIP_DEFLATED)):
                raise refuse(f"{name}, {member.filename}", tr("is encrypted, a link, or packed in an odd way"), FIX)

    @property
    def share(self) -> float:
        """How much of it was read, as far as it tells of its own size [1]."""
        return min(1.0, self._read / max(1, self._of))

    def _chunks(self, member: str, most: int | None = None) -> Iterator[bytes]:
        info = self._archive.getinfo(member)
        if info.compress_size > SIZES.packed:
            raise refuse(f"{self.name}, {member}", tr("is {count:,} bytes; at most {most:,} are read",
                                                      count=info.compress_size, most=SIZES.packed), FIX)
        left = min(SIZES.unpacked if most is None else most, SIZES.ratio * max(info.compress_size, 1))
        try:
            with self._archive.open(info) as stream:
                while chunk := stream.read(_CHUNK):
                    left -= len(chunk)
                    self._read += len(chunk)
                    if left < 0:
                        raise refuse(f"{self.name}, {member}", tr("unpacks to more than a backup may hold"), FIX)
                    yield chunk
        except _BROKEN as error:
            where = f"{self.name}, {member}" + (f" after record {self.count}" if member == VERSIONS else "")
            raise refuse(where, tr("is damaged ({error})", error=str(error)[:80]), FIX) from None

    def texts(self) -> Iterator[bytes]:
        """Every text of the sequence. Raises Refused at the first that is damaged."""
        rest = b""
        for chunk in self._chunks(VERSIONS):
            self._digest.update(chunk)
            self._size += len(chunk)
            *whole, rest = (rest + chunk).split(END)
            for part in whole:
                self.count += 1
                if not part.startswith(BEGIN):
                    raise refuse(self._record(self.count),
                                 tr("does not start as a text of a sequence must (RFC 8142)"), FIX)
                yield part[1:]
            if len(rest) > LIMITS.record + 1:
                raise refuse(self._record(self.count + 1),
                             tr("is longer than {most:,} bytes", most=LIMITS.record), FIX)
        if rest:
            raise refuse(self._record(self.count + 1), tr("is cut off"), FIX)

    def _record(self, number: int) -> str:
        return f"{self.name}, {VERSIONS} record {number}"

    def check(self) -> str:
        """The SHA-256 of the texts, after all were read. Raises Refused if they are not those of the manifest."""
        where = f"{self.name}, {MANIFEST}"
        manifest = self._manifest()
        due = (manifest.get("versions"), manifest.get("bytes"), manifest.get("sha256"))
        if due != (self.count, self._size, self._digest.hexdigest()):
            raise refuse(where, tr("tells of {told} records with other contents; {count} were read", told=due[0],
                                   count=self.count), FIX)
        return self._digest.hexdigest()

    def _manifest(self) -> dict[str, Any]:
        where = f"{self.name}, {MANIFEST}"
        try:
            manifest: Any = json.loads(b"".join(self._chunks(MANIFEST)))
        except (ValueError, RecursionError):
            manifest = None
        if not isinstance(manifest, dict) or manifest.get("format") != FORMAT:
            raise refuse(where, tr("is not the manifest of a backup"), FIX)
        if manifest.get("v") != (2 if LIST in self._archive.namelist() else 1):
            raise refuse(where, tr("was written by a newer version of this program"), tr("Update this program first."))
        return manifest

    def photographs(self) -> tuple[Photograph, ...]:
        """What is said of the photographs in it. Raises Refused if it is not as the manifest has it."""
        if LIST not in self._archive.namelist():
            return ()
        where = f"{self.name}, {LIST}"
        text = b"".join(self._chunks(LIST))
        if self._manifest().get("photographs") != hashlib.sha256(text).hexdigest():
            raise refuse(where, tr("is not the list that the manifest tells of"), FIX)
        try:
            rows = _ROWS.validate_json(text)
        except ValidationError as error:
            wrong = misfit(error)
            why = f"{wrong.place}: {wrong.what}" if wrong.place else wrong.what
            raise refuse(where, tr("is no list of photographs ({error})", error=why), FIX) from None
        found = tuple(Photograph(row.sha256, row.kind, row.size, row.of, row.at) for row in rows)
        if {f"{PHOTOGRAPHS}/{one.name}" for one in found} != self._pictures:
            raise refuse(where, tr("tells of other photographs than those that are there"), FIX)
        return found

    def picture(self, one: Photograph) -> bytes:
        """The bytes of a photograph. Raises Refused if they are not those it is named by."""
        member = f"{PHOTOGRAPHS}/{one.name}"
        data = b"".join(self._chunks(member, LARGEST))
        if hashlib.sha256(data).hexdigest() != one.sha256 or len(data) != one.size:
            raise refuse(f"{self.name}, {member}", tr("is damaged: its bytes are not those it is named by"), FIX)
        if read_picture(data, f"{self.name}, {member}").kind != one.kind:
            raise refuse(f"{self.name}, {member}", tr("is no {kind}", kind=one.kind), FIX)
        return data
