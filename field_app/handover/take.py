"""Versions out of any file of ours: a group file, what is left of a cut one, or a bare list.

The law of this file:

1. A version enters as the bytes it was written in, or not at all. In a group file its own name in the list of
   names vouches for it; if that list is damaged, the hash of all versions in the description does.
2. What can't enter is set aside with its bytes and the reason; the good versions of the same file are kept.
3. Whatever the bytes, versions and problems come back, or Refused with words; every difference from what was
   written is told, as a problem, or as a note if no version can be touched by it.
4. Nothing is read from the tables and the map: they are made from the versions, not the other way round.
"""

from __future__ import annotations

import hashlib
from collections.abc import Callable, Collection, Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import Any

from field_app.core.course import step
from field_app.core.intake import LIMITS as VERSION_LIMITS
from field_app.core.intake import Reader, Row
from field_app.core.problems import Problem, Refused, refuse
from field_app.core.records import name_of
from field_app.core.trust import read_trusted
from field_app.handover.cells import shown
from field_app.handover.faults import MOST, Faults
from field_app.handover.jsontext import read_json
from field_app.handover.package import DESCRIPTOR, FORMAT, GROUP, PLANNER
from field_app.handover.packing import LIMITS, Limits, is_packed_by_us, unpack
from field_app.handover.sequence import NAMES, VERSIONS, Written, listed, pieces, salvage
from field_app.words import english, later, tr, tr_n

__all__ = ["Known", "PlannersFile", "Taken", "judge", "take"]

#: Tells which of some names are known already, so that their texts need not be read again.
Known = Callable[[Collection[str]], Collection[str]]
_AGAIN = later("Ask whoever made the file for a new copy; what was good in it is kept.")
_OTHER = later("This is not a group file. Choose another file.")
_PLANNERS = later("Ask for the group file: one makes it by syncing with a shared folder.")
#: What a zip ends with, and how far from its end that may begin [byte] (PKWARE APPNOTE 6.3, 4.3.16).
_DIRECTORY_END, _SHORTEST_END = b"PK\x05\x06", 22
_LONGEST_END = _SHORTEST_END + 0xFFFF
#: After so many records it is told how far the reading is [1].
_TELL = 512
#: So much of what is no version is kept to be looked at [byte].
_KEPT = VERSION_LIMITS.record


class PlannersFile(Refused):
    """What was offered is a planner's file: whole, perhaps, but it holds no versions."""


@dataclass(frozen=True, slots=True)
class Taken:
    """What a file holds.

    versions: those that may enter and were not known yet; known: how many were known, or there twice [1];
    problems: all that is wrong, each with its place; notes: what is odd but touches no version;
    cut: whether its end is missing; quarantined: what was set aside, with the reason;
    digest: SHA-256 of the versions as a sequence if the file is whole and right, else empty.
    """

    versions: tuple[Row, ...] = ()
    known: int = 0
    problems: tuple[Problem, ...] = ()
    notes: tuple[Problem, ...] = ()
    cut: bool = False
    quarantined: tuple[tuple[bytes, Problem], ...] = ()
    digest: str = ""


@dataclass(slots=True)
class _Found:
    """What was found in a file, before any of it is read.

    listed: the names it lists; vouched: whether every text is vouched for as it stands.
    """

    pieces: Sequence[Written]
    listed: frozenset[str] = frozenset()
    vouched: bool = False
    cut: bool = False
    digest: str = ""
    faults: Faults = field(default_factory=Faults)


def take(data: bytes, *, known: Known | None = None, limits: Limits = LIMITS) -> Taken:
    """What is in a file of ours.

    known: asked once with all names of the file; what it gives back is not read again.
    Raises Refused if the file is none of ours, too large, or made by a newer program; PlannersFile for that one.

    >>> take(b"not ours")
    Traceback (most recent call last):
    field_app.core.problems.Refused: file: holds no records of ours. This is not a group file. Choose another file.
    """
    if len(data) > limits.packed:
        raise refuse("file", tr("is {count:,} bytes; at most {most:,} are read", count=len(data),
                                most=limits.packed), _OTHER)
    found = _bare(data) if data.startswith(b"\x1e") else _group(data, limits)
    if len(found.pieces) > VERSION_LIMITS.records:
        raise refuse(VERSIONS, tr("holds more than {records:,} records", records=VERSION_LIMITS.records), _OTHER)
    return _read(found, known)


def judge(found: Sequence[Written], names: frozenset[str]) -> Taken:
    """What a sequence of versions holds, of which only those may enter whose names are listed."""
    return _read(_Found(found, listed=names), None)


def _bare(data: bytes) -> _Found:
    found = _Found(pieces(data), vouched=True)
    found.faults.note("file", tr("is a bare list of records, without checksums: whether one was changed on its way "
                                 "can't be told"), tr("Where you can, take a group file instead."))
    return found


def _group(data: bytes, limits: Limits) -> _Found:
    faults = Faults()
    files: Mapping[str, bytes] = {}
    try:
        files, broken = unpack(data, limits)
    except Refused as refused:
        broken = refused.problems
    faults.take(Refused(replace(problem, fix=_AGAIN) for problem in broken))
    package = _description(files, faults)
    _refuse_others(package, data)
    stated = _stated(package)
    right = {path for path, content in files.items() if stated.get(path) == f"sha256:{_sha256(content)}"}
    left: list[Written] = []
    names = frozenset[str]()
    if not {VERSIONS, NAMES} <= right:
        left, names = salvage(data, limits)
    found = _Found(pieces(files[VERSIONS]) if VERSIONS in files else left, faults=faults,
                   vouched=VERSIONS in right and NAMES not in right,
                   listed=listed(files[NAMES]) if NAMES in files else names,
                   cut=not _has_end(data))
    if not found.pieces and VERSIONS.encode() not in data:
        raise refuse("file", tr("holds no records of ours") if data else tr("is empty"), _OTHER,
                     kind="not-ours" if data else "")
    if package is not None:
        _tell_differences(files, stated, right, faults)
    if not faults.problems:
        found.digest = _sha256(files[VERSIONS])
        if not is_packed_by_us(data, files, may_be_deflated=True):
            faults.note("file", tr("was packed again by another program, or its packing was touched; what is in it "
                                   "is whole"), tr("Nothing has to be done."))
    return found


def _has_end(data: bytes) -> bool:
    """Whether the zip's directory is there to its last byte."""
    start = data.rfind(_DIRECTORY_END, max(0, len(data) - _LONGEST_END))
    end = data[start:start + _SHORTEST_END]
    if start < 0 or len(end) < _SHORTEST_END:
        return False
    return start + _SHORTEST_END + int.from_bytes(end[-2:], "little") <= len(data)


def _sha256(data: bytes) -> str:
    return hashlib.sha256(data).hexdigest()


def _description(files: Mapping[str, bytes], faults: Faults) -> Mapping[str, Any] | None:
    if DESCRIPTOR not in files:
        # Where nothing could be unpacked that is told already, and so is a description that is there but broken.
        if files and DESCRIPTOR not in {problem.where for problem in faults.problems}:
            faults.add("file", tr("has no {file}", file=DESCRIPTOR), _AGAIN)
        return None
    try:
        package = read_json(files[DESCRIPTOR], where=DESCRIPTOR)
    except Refused as refused:
        faults.take(refused)
        return None
    if isinstance(package, dict):
        return package
    faults.add(DESCRIPTOR, tr("is not an object"))
    return None


def _refuse_others(package: Mapping[str, Any] | None, data: bytes) -> None:
    said = None if package is None else package.get("handover")
    profile = said.get("profile") if isinstance(said, dict) else None
    # What is left of a cut planner's file still says so at its beginning.
    cut_planners = package is None and b'"profile": "planner"' in data and VERSIONS.encode() not in data
    if profile == PLANNER or cut_planners:
        raise PlannersFile([Problem(
            "file", tr("is a planner's file: it tells what there is, and can't be taken in"), _PLANNERS,
            kind="planners-file")])
    if package is None:
        return
    if profile != GROUP:
        raise refuse(f"{DESCRIPTOR} handover.profile",
                     tr("is {met}, not {due}", met=shown(profile), due=shown(GROUP)), _OTHER)
    form = said.get("format") if isinstance(said, dict) else None
    if type(form) is int and form > FORMAT:
        raise refuse(f"{DESCRIPTOR} handover.format",
                     tr("is {met}; this program reads {known}", met=form, known=FORMAT),
                     tr("Update this program, then take the file again."), kind="newer-file")


def _stated(package: Mapping[str, Any] | None) -> dict[str, str]:
    """The hash that the description states for each file."""
    resources = None if package is None else package.get("resources")
    found: dict[str, str] = {}
    for resource in resources if isinstance(resources, list) else []:
        if isinstance(resource, dict):
            path, digest = resource.get("path"), resource.get("hash")
            if isinstance(path, str) and isinstance(digest, str):
                found[path] = digest
    return found


def _tell_differences(files: Mapping[str, bytes], stated: Mapping[str, str], right: Collection[str],
                      faults: Faults) -> None:
    told = {problem.where for problem in faults.problems}
    for path in (VERSIONS, NAMES):
        if path not in stated:
            faults.add(f"{DESCRIPTOR} resources", tr("does not state the hash of {path}", path=path), _AGAIN)
    for path in stated:
        if path in files and path not in right:
            fix = _AGAIN if path in (VERSIONS, NAMES) else (
                tr("Nothing is taken in from it. To change a record, change it in the program."))
            faults.add(path, tr("does not match its hash in {file}: it was changed or damaged",
                                file=DESCRIPTOR), fix, kind="damaged")
        elif path not in files and path not in told:
            faults.add(shown(path), tr("is not among the members that could be read"), _AGAIN)
    for path in files:
        if path not in stated and path != DESCRIPTOR:
            faults.note(path, tr("is not described in {file}; it was not read", file=DESCRIPTOR),
                        tr("Nothing has to be done."))


def _read(found: _Found, known: Known | None) -> Taken:
    faults, cut = found.faults, found.cut
    whole = [piece for piece in found.pieces if piece.whole]
    names = [name_of(piece.text) for piece in whole]
    # A text that nothing vouches for is not known just because it is not new.
    met = set(known(names)) if known is not None and names else set[str]()
    first = len(met.intersection(names))
    reader = Reader()
    versions: list[Row] = []
    aside: list[tuple[bytes, Problem]] = []

    def set_aside(piece: Written, objection: Callable[[], Problem]) -> None:
        if len(aside) < MOST:
            # What is kept beside it is English, like all that is kept.
            with english():
                aside.append((piece.text[:_KEPT], objection()))
        faults.take(Refused([objection()]))

    for piece in found.pieces:
        if not piece.whole:
            where = f"{VERSIONS} record {piece.number}"
            if piece.last:
                cut = True
                faults.add(where, tr("is cut off"), _AGAIN, kind="cut")
            else:
                set_aside(piece, lambda where=where: Problem(  # type: ignore[misc]  # mypy can't type a default
                    where, tr("is not a text of its own between RS and LF (RFC 8142)"), _AGAIN, kind="damaged"))
    seen = set(met)
    for number, (name, piece) in enumerate(zip(names, whole, strict=True)):
        if number % _TELL == 0:
            step(number / len(whole))
        if name in seen:
            continue
        seen.add(name)
        where = f"{VERSIONS} record {piece.number}"
        if not found.vouched and name not in found.listed:
            set_aside(piece, lambda where=where: Problem(  # type: ignore[misc]  # mypy can't type a default
                where, tr("is not what was written: its hash is not in {file}", file=NAMES), _AGAIN, kind="damaged"))
            continue
        try:
            versions.append(read_trusted(piece.text, name, where=where, reader=reader))
        except Refused:
            set_aside(piece, lambda piece=piece, name=name, where=where:  # type: ignore[misc]  # as above
                      _objection(piece.text, name, where, reader))
    missing = len(found.listed.difference(names))
    if missing:
        faults.add(VERSIONS, tr_n("{n} of the {count} records that {file} lists is not whole in it",
                                  "{n} of the {count} records that {file} lists are not whole in it", missing,
                                  count=len(found.listed), file=NAMES), _AGAIN, kind="records-missing")
    twice = len(names) - len(set(names))
    return Taken(versions=tuple(versions), known=first + twice, problems=faults.problems, notes=faults.notes,
                 cut=cut, quarantined=tuple(aside), digest="" if faults.problems else found.digest)


def _objection(text: bytes, name: str, where: str, reader: Reader) -> Problem:
    """What stands against a text that was refused."""
    try:
        read_trusted(text, name, where=where, reader=reader)
    except Refused as refused:
        return refused.problems[0]
    raise AssertionError(f"{where} was refused, and is not any more")
