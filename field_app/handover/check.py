"""Checks a file of lots without any store: whether it is whole, and whether what it says can be.

The law of this file:

1. Whatever the bytes, a report comes back, never an exception.
2. Every fault names its place ("lots.csv row 3, net_mass_kg"; the header is row 1) and what to do.
3. A file that was packed or extended by somebody else is not wrong for that; such things are notes.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from types import MappingProxyType
from typing import Any

from field_app.core.problems import Problem, Refused
from field_app.handover.cells import shown
from field_app.handover.check_descriptor import MAY_HAVE, PROFILES, Described, read_descriptor
from field_app.handover.check_map import check_map
from field_app.handover.check_table import CheckedRow, read_table
from field_app.handover.columns import LOTS, NAMES, Table
from field_app.handover.faults import Faults
from field_app.handover.package import GROUP, MAP, PLANNER
from field_app.handover.packing import LIMITS, Limits, is_packed_by_us, unpack
from field_app.handover.sequence import VERSIONS, listed, pieces
from field_app.handover.take import judge
from field_app.words import later, tr

__all__ = ["Report", "check"]


@dataclass(frozen=True, slots=True)
class Report:
    """What was found in a file.

    profile: the profile it states ("planner" or "group"), or empty; title: its title; made: when it was made;
    counts: rows that could be read [1] by table; problems: all that is wrong;
    notes: worth knowing, not wrong.
    """

    profile: str
    title: str
    made: dt.datetime | None
    counts: Mapping[str, int]
    problems: tuple[Problem, ...]
    notes: tuple[Problem, ...] = ()

    @property
    def ok(self) -> bool:
        """Whether nothing is wrong."""
        return not self.problems

    def as_json(self) -> dict[str, Any]:
        """The report as plain data."""
        return {"ok": self.ok, "profile": self.profile, "title": self.title,
                "made": self.made.isoformat() if self.made else None, "counts": dict(self.counts),
                "problems": [problem.as_json() for problem in self.problems],
                "notes": [note.as_json() for note in self.notes]}


def check(data: bytes, limits: Limits = LIMITS) -> Report:
    """What is in a planner's file or a group file, and all that is wrong with it.

    limits: how much is unpacked at most.

    >>> print(*check(b"not a zip").problems)
    file: is not a zip, or its end is missing. Ask whoever made the file for a new copy.
    """
    faults = Faults()
    described: Described | None = None
    counts: dict[str, int] = {}
    try:
        files, broken = unpack(data, limits)
    except Refused as refused:
        faults.take(refused)
    else:
        faults.take(Refused(broken))
        described = read_descriptor(files, faults)
        if described is not None:
            counts = _contents(files, described, faults)
        grouped = described is not None and described.profile == GROUP
        if faults.problems == () and not is_packed_by_us(data, files, may_be_deflated=grouped):
            faults.note("file", tr("was packed again by another program, or its packing was touched; what is in it "
                                   "is whole"), tr("Nothing has to be done."))
    return Report(
        profile=described.profile if described else "", title=described.title if described else "",
        made=described.made if described else None, counts=MappingProxyType(counts),
        problems=faults.problems, notes=faults.notes)


def _contents(files: Mapping[str, bytes], described: Described, faults: Faults) -> dict[str, int]:
    tables, others = PROFILES.get(described.profile, PROFILES[PLANNER])
    rows = {table.name: read_table(table, files[table.path], described, faults)
            for table in (*tables, *MAY_HAVE) if table.path in files and table.name in described.fields}
    for table in (LOTS, *MAY_HAVE):
        if table.points_at is not None and table.name in rows and table.points_at[1] in rows:
            _others_known(table, rows, faults)
    if LOTS.name in rows and MAP in files:
        check_map(files[MAP], rows[LOTS.name], described.fields[LOTS.name], faults)
    if VERSIONS in others and VERSIONS in files:
        taken = judge(pieces(files[VERSIONS]), listed(files.get(NAMES.path, b"")))
        faults.take(Refused(taken.problems))
    return {name: len(found) for name, found in rows.items()}


#: What is said where a table names a row that another one lacks.
_NOT_ONE = {"sites": later("{shown} is not a site of sites.csv"), "lots": later("{shown} is not a lot of lots.csv"),
            "dye-days": later("{shown} is not a dye day of dye-days.csv")}


def _others_known(table: Table, rows: Mapping[str, Sequence[CheckedRow]], faults: Faults) -> None:
    assert table.points_at is not None
    column, other = table.points_at
    known = {row.cells.get(column) for row in rows[other]}
    for row in rows[table.name]:
        named = row.cells.get(column, "")
        if named and named not in known:
            faults.add(f"{table.path} row {row.number}, {column}", tr(_NOT_ONE[other], shown=shown(named, 60)),
                       record=row.cells.get(LOTS.key))
