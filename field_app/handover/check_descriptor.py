"""Checks datapackage.json: what it says of itself, of each file beside it, and of each column.

A planner may add columns of their own, and files of their own: both are welcome if the descriptor
declares them, and are told as notes. What this program's own columns are called, their types and their
units may not change.
"""

from __future__ import annotations

import datetime as dt
import hashlib
import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from types import MappingProxyType
from typing import Any

from field_app.core.problems import Refused
from field_app.handover.cells import shown
from field_app.handover.columns import DIFFERENCES, LOTS, NAMES, SITES, Column, Table
from field_app.handover.columns_days import DAY_TABLES
from field_app.handover.faults import ASK, Faults
from field_app.handover.jsontext import read_json
from field_app.handover.options import EVERYTHING, EXACT_PLACES, PlannerOptions
from field_app.handover.package import DESCRIPTOR, FORMAT, GROUP, MAP, PLANNER, SCHEMA
from field_app.handover.sequence import VERSIONS
from field_app.words import later, tr

__all__ = ["MAY_HAVE", "PROFILES", "Described", "read_descriptor", "read_moment_text"]

_MOMENT = re.compile(r"\d{4}-\d{2}-\d{2}T\d{2}:\d{2}:\d{2}(Z|[+-]\d{2}:\d{2})\Z", re.ASCII)
_WORD = re.compile(r"[a-z][a-z-]{0,39}\Z")
_LONGEST_TITLE = 300
_MOST_VALUES = 1000
_HASH = re.compile(r"sha256:[0-9a-f]{64}\Z")
#: The tables of each profile, and its other files.
PROFILES: Mapping[str, tuple[tuple[Table, ...], tuple[str, ...]]] = MappingProxyType({
    PLANNER: ((LOTS, SITES), (MAP,)),
    GROUP: ((LOTS, SITES, DIFFERENCES, NAMES), (MAP, VERSIONS)),
})
#: Tables that a file of either profile may have.
MAY_HAVE: tuple[Table, ...] = DAY_TABLES
_REPACK = (later("If you changed it on purpose, its size and hash in datapackage.json have to follow; otherwise ask "
                 "whoever made the file for a new copy."))


@dataclass(frozen=True, slots=True)
class Described:
    """What the descriptor says.

    fields: by table, the columns in their order: ours as the table of columns has them (with the values that
    the file declares where a newer program may know more), and None for one that somebody added.
    """

    profile: str
    title: str
    made: dt.datetime | None
    options: PlannerOptions
    fields: Mapping[str, Mapping[str, Column | None]]


def read_moment_text(text: object) -> dt.datetime | None:
    """A date and time with its offset (RFC 3339), or None if the text is none.

    >>> read_moment_text("2026-10-08 15:24:00-02:00") is None
    True
    """
    if not isinstance(text, str) or not _MOMENT.match(text):
        return None
    try:
        moment = dt.datetime.fromisoformat(text)
        moment.astimezone(dt.UTC)  # the year 1 with an offset can't be compared with anything
    except (ValueError, OverflowError):
        return None
    return moment


def read_descriptor(files: Mapping[str, bytes], faults: Faults) -> Described | None:
    """What the descriptor says, or None if there is none that can be read; all faults are told."""
    if DESCRIPTOR not in files:
        faults.add("file", tr("has no {file}", file=DESCRIPTOR),
                   tr("This is not a file of lots. Choose another file."))
        return None
    try:
        package = read_json(files[DESCRIPTOR], where=DESCRIPTOR)
    except Refused as refused:
        faults.take(refused)
        return None
    if not isinstance(package, dict):
        faults.add(DESCRIPTOR, tr("is not an object"))
        return None
    if package.get("$schema") != SCHEMA:
        faults.add(f"{DESCRIPTOR} $schema", tr("is {met}, not {due}", met=_met(package, "$schema"),
                                               due=shown(SCHEMA, 80)))
    title = package.get("title")
    if not isinstance(title, str) or not title.isprintable() or len(title) > _LONGEST_TITLE:
        faults.add(f"{DESCRIPTOR} title", tr("is {met}, not a line of text", met=_met(package, "title")))
        title = ""
    made = read_moment_text(package.get("created"))
    if made is None:
        faults.add(f"{DESCRIPTOR} created",
                   tr("is {met}, not a date and time such as 2026-10-09T18:00:00-02:00", met=_met(package, "created")))
    profile, options = _handover(package, files, faults)
    fields = _resources(package, files, options, faults, *PROFILES.get(profile, PROFILES[PLANNER]))
    return Described(profile, title, made, options, fields)


def _met(members: Mapping[str, Any], name: str) -> str:
    return shown(members[name]) if name in members else tr("missing")


def _handover(package: Mapping[str, Any], files: Mapping[str, bytes], faults: Faults) -> tuple[str, PlannerOptions]:
    where = f"{DESCRIPTOR} handover"
    said = package.get("handover")
    if not isinstance(said, dict):
        faults.add(where, tr("is {met}, not an object", met=_met(package, "handover")),
                   tr("This is not a file of lots. Choose another file."))
        return "", PlannerOptions()
    profile = said.get("profile")
    if not isinstance(profile, str) or profile not in PROFILES:
        faults.add(f"{where}.profile", tr("is {met}; this program checks {known}", met=_met(said, "profile"),
                                          known=" and ".join(PROFILES)),
                   tr("Check it with a newer program."))
    if said.get("format") != FORMAT or isinstance(said["format"], bool):
        faults.add(f"{where}.format", tr("is {met}; this program checks {known}", met=_met(said, "format"),
                                         known=FORMAT),
                   tr("Check it with a newer program."))
    places, names, notes = said.get("places", ""), said.get("names"), said.get("notes")
    if not (places is None or (type(places) is int and 0 <= places < EXACT_PLACES)):
        faults.add(f"{where}.places", tr("is {met}, not 0 to {most} or null", met=_met(said, "places"),
                                         most=EXACT_PLACES - 1))
        places = None
    for name, value in (("names", names), ("notes", notes)):
        if not isinstance(value, bool):
            faults.add(f"{where}.{name}", tr("is {met}, not true or false", met=_met(said, name)))
    options = PlannerOptions(places=places, names=names is True, notes=notes is True)
    if profile == GROUP and not _tells_of_versions(package, files):
        faults.add(f"{where}.profile", tr("is {shown}, but the file holds nothing to take in, as a planner's file "
                                          "does not; it was checked as one", shown=shown(GROUP)),
                   tr("Ask whoever made the file which of the two it is."))
        return PLANNER, options
    if profile == GROUP:
        if options.as_json() != EVERYTHING.as_json():
            faults.add(where, tr("leaves something out, which a group file never does"))
        options = EVERYTHING
    return profile if isinstance(profile, str) and _WORD.match(profile) else "", options


def _tells_of_versions(package: Mapping[str, Any], files: Mapping[str, bytes]) -> bool:
    """Whether the file has versions or their names, or at least says so: then some of a group file were lost."""
    listed = package.get("resources")
    described = {resource.get("path") for resource in listed if isinstance(resource, dict)
                 and isinstance(resource.get("path"), str)} if isinstance(listed, list) else set()
    return not {VERSIONS, NAMES.path}.isdisjoint({*described, *files})


def _resources(package: Mapping[str, Any], files: Mapping[str, bytes], options: PlannerOptions, faults: Faults,
               tables: Sequence[Table], others: Sequence[str]) -> dict[str, dict[str, Column | None]]:
    listed = package.get("resources")
    if not isinstance(listed, list):
        faults.add(f"{DESCRIPTOR} resources", tr("is {met}, not a list", met=_met(package, "resources")))
        listed = []
    found: dict[str, Mapping[str, Any]] = {}
    names: set[str] = set()
    for number, resource in enumerate(listed, 1):
        where = f"{DESCRIPTOR} resource {number}"
        path = resource.get("path") if isinstance(resource, dict) else None
        if not isinstance(path, str):
            faults.add(where, tr("has no path"))
            continue
        name = resource.get("name")
        if not isinstance(name, str) or name in names:
            faults.add(f"{where} name", tr("is {met}; each needs a name of its own", met=_met(resource, "name")))
        else:
            names.add(name)
        if path in found:
            faults.add(f"{where} path", tr("{shown} is described twice", shown=shown(path)))
            continue
        found[path] = resource
        _file(where, path, resource, files, faults)
    for path in files:
        if path not in found and path != DESCRIPTOR:
            faults.add(path, tr("is not described in {file}", file=DESCRIPTOR),
                       tr("Describe it there, or take it out."))
    due = (*(table.path for table in tables), *others)
    for path in due:
        if path not in found:
            faults.add(f"{DESCRIPTOR} resources", tr("does not describe {path}", path=path))
    may = {table.path for table in MAY_HAVE}
    for path in found:
        if path not in due and path not in may:
            faults.note(shown(path), tr("was added by somebody else; it was not read"), tr("Nothing has to be done."))
    return {table.name: _fields(table, found[table.path], options, faults)
            for table in (*tables, *MAY_HAVE) if table.path in found}


def _file(where: str, path: str, resource: Mapping[str, Any], files: Mapping[str, bytes],
          faults: Faults) -> None:
    data = files.get(path)
    if data is None:
        faults.add(f"{where} path", tr("{shown} is not among the members that could be read", shown=shown(path)))
        return
    size, digest = resource.get("bytes"), resource.get("hash")
    if type(size) is not int or size != len(data):
        faults.add(path, tr("is {count} bytes, but bytes in {file} is {met}", count=len(data),
                            file=DESCRIPTOR, met=_met(resource, "bytes")),
                   _REPACK)
    actual = f"sha256:{hashlib.sha256(data).hexdigest()}"
    if not isinstance(digest, str) or not _HASH.match(digest):
        faults.add(f"{where} hash", tr("is {met}, not sha256: and 64 hexadecimal digits", met=_met(resource, "hash")))
    elif digest != actual:
        faults.add(path, tr("does not match its hash in {file}: it was changed or damaged",
                            file=DESCRIPTOR), _REPACK)
    if resource.get("encoding") not in ("utf-8", "UTF-8"):
        faults.add(f"{where} encoding", tr("is {met}, not utf-8", met=_met(resource, "encoding")))


def _fields(table: Table, resource: Mapping[str, Any], options: PlannerOptions,
            faults: Faults) -> dict[str, Column | None]:
    where = f"{DESCRIPTOR} {table.name}"
    schema = resource.get("schema")
    listed = schema.get("fields") if isinstance(schema, dict) else None
    if not isinstance(schema, dict) or not isinstance(listed, list):
        faults.add(f"{where} schema", tr("has no fields"))
        return {}
    wanted = {column.name: column for column in table.columns}
    fields: dict[str, Column | None] = {}
    for number, field in enumerate(listed, 1):
        name = field.get("name") if isinstance(field, dict) else None
        if not isinstance(name, str) or name in fields:
            faults.add(f"{where} field {number}", tr("has no name of its own"))
            continue
        if name in wanted:
            fields[name] = _column(wanted[name], field, f"{where} field {name}", faults)
        else:
            fields[name] = None
            faults.note(f"{table.path} column {shown(name)}",
                        tr("was added by somebody else; it was not checked"), tr("Nothing has to be done."))
    due = table.having(*options.columns)
    for column in due:
        if column.name not in fields:
            faults.add(f"{where} field {column.name}", tr("is missing"))
    for column in table.columns:
        if column.name in fields and column not in due:
            faults.add(f"{where} field {column.name}",
                       tr("is there, though handover says {option}: false", option=column.option))
    if schema.get("primaryKey") not in ([table.key], table.key):
        faults.add(f"{where} primaryKey", tr("is {met}, not {due}", met=_met(schema, "primaryKey"),
                                             due=shown(table.key)))
    if table.points_at is not None:
        column_name, other = table.points_at
        due_keys = [{"fields": [column_name], "reference": {"resource": other, "fields": [column_name]}}]
        if schema.get("foreignKeys") != due_keys:
            faults.add(f"{where} foreignKeys", tr("does not point {column} at {table}", column=column_name,
                                                  table=other))
    return fields


def _column(column: Column, field: Mapping[str, Any], where: str, faults: Faults) -> Column:
    if field.get("type") != column.type:
        faults.add(f"{where} type", tr("is {met}, not {due}", met=_met(field, "type"), due=shown(column.type)))
    if field.get("unit", "") != column.unit:
        faults.add(f"{where} unit", tr("is {met}, not {due}", met=_met(field, "unit"), due=shown(column.unit)), ASK)
    limits = field.get("constraints")
    declared = limits.get("enum") if isinstance(limits, dict) else None
    if not column.keys_of:
        return column
    ours = column.values
    more = () if not isinstance(declared, list) else tuple(
        value for value in declared[:_MOST_VALUES] if isinstance(value, str) and value not in ours)
    return replace(column, enum=(*ours, *more), keys_of="")
