"""The group file: everything a device knows, for people who may know the trees.

The same zipped Data Package as the planner's file, with exact places, names and notes, with every version of every
record, and with where people say different things.
Devices that know the same versions hold the same bytes of ``versions.geojsons``; from the same lots and the same time
they make the same file.
What other devices need comes first in it, so that it is left if the end of the file is cut off.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable
from dataclasses import dataclass

from field_app.core.differences import Difference
from field_app.core.lots import LotNow
from field_app.core.problems import refuse
from field_app.core.records import name_of
from field_app.core.sites import SiteNow
from field_app.handover.columns import DIFFERENCES
from field_app.handover.columns import NAMES as NAMES_TABLE
from field_app.handover.options import EVERYTHING
from field_app.handover.package import DESCRIPTOR, GROUP, Part, description, lot_parts, plain_part, table_part
from field_app.handover.packing import LIMITS, pack
from field_app.handover.rows import Row
from field_app.handover.sequence import VERSIONS, sequence
from field_app.words import english, later, tr

__all__ = ["NOTICE", "Disagreement", "group_file", "group_name"]

#: What to tell before such a file leaves the device for the first time.
NOTICE = (later("The file holds the exact places of your trees and their names, notes, and who gave leave. Put it "
                "only where people look who may know the trees."))


@dataclass(frozen=True, slots=True)
class Disagreement:
    """Something of which people say different things.

    record: its id; kind: lot, site, leave, step or draw; belongs_to: the lot's code or the site's name.
    """

    record: str
    kind: str
    belongs_to: str
    difference: Difference

    @property
    def words(self) -> str:
        """The same as one sentence."""
        held, others = self.difference.holds, self.difference.others
        name = self.belongs_to or tr("not known here")
        thing = (tr("{kind} {name}", kind=tr(self.kind), name=name) if self.kind in ("lot", "site")
                 else tr("{kind} of {name}", kind=tr(self.kind), name=name))
        otherwise = ", ".join(tr("“{words}” (device {device})", words=tr(other.words), device=other.device)
                              for other in others)
        return tr("{thing}, {about}: “{words}” holds (device {device}), others say {others}", thing=thing,
                  about=tr(self.difference.about), words=tr(held.words), device=held.device, others=otherwise)


def group_name(device: str) -> str:
    """What a device's own file is called; it writes no other.

    >>> group_name("00000000000000aa")
    'harvest-lots.00000000000000aa.zip'
    """
    return f"harvest-lots.{device}.zip"


def group_file(texts: Iterable[bytes], lots: Iterable[LotNow], sites: Iterable[SiteNow],
               disagreements: Iterable[Disagreement] = (), *, device: str, made: dt.datetime) -> bytes:
    """The zip for the group.

    texts: of all versions, in any order; lots, sites: as they stand; device: id of whoever makes it;
    made: when, with its offset.
    Raises ValueError if ``made`` has no offset, Refused if there is more than one file may hold.
    """
    named = {name_of(text): text for text in texts}
    with english():
        parts, count = lot_parts(lots, sites, made=made, options=EVERYTHING)
        whole = [*_version_parts(named), *parts, table_part(DIFFERENCES, _difference_rows(disagreements))]
    day = made.date().isoformat()
    package = description(
        whole, title=f"Harvest lots of a group, with exact places, as they stood on {day}", made=made,
        words=(f"{count} lot{'' if count == 1 else 's'} of gathered dye stuff, and {len(named)} "
               f"version{'' if len(named) == 1 else 's'} of all records. Exact places are inside, with the names of "
               "the sites, all notes, and who gave leave: give it only to people who may know the trees. "
               "Every estimate is a range: 10 % of the cases lie below low, 10 % above high."),
        handover={"profile": GROUP, **EVERYTHING.as_json(), "device": device})
    versions, tables = whole[:2], whole[2:]
    files = {**{part.path: part.data for part in versions}, DESCRIPTOR: package,
             **{part.path: part.data for part in tables}}
    unpacked = sum(map(len, files.values()))
    if unpacked > LIMITS.unpacked:
        raise refuse("group file", tr("would be {count:,} bytes; at most {most:,} are read", count=unpacked,
                                      most=LIMITS.unpacked),
                     tr("Start a new data folder for the new season, and keep this one."))
    # Stored, so that what is left of a cut file can be read; packed only where it would be too large.
    return pack(files, deflated=unpacked > 0.9 * LIMITS.packed)


def _version_parts(named: dict[str, bytes]) -> tuple[Part, Part]:
    names = sorted(named)
    texts = plain_part(VERSIONS, sequence(named.values()), name="version-texts",
                       title="Every version of every record, as a GeoJSON text sequence (RFC 8142)",
                       form="geojsons",
                       mediatype="application/geo+json-seq")
    return table_part(NAMES_TABLE, [{"version": name} for name in names]), texts


def _difference_rows(disagreements: Iterable[Disagreement]) -> list[Row]:
    rows: list[Row] = []
    order = sorted(disagreements, key=lambda one: (one.kind, one.record, one.difference.about))
    for one in order:
        held = one.difference.holds
        for other in one.difference.others:
            rows.append({
                "number": len(rows) + 1, "record": one.record, "kind": one.kind, "belongs_to": one.belongs_to or None,
                "about": one.difference.about, "holds": held.words, "holds_device": held.device,
                "holds_when": _when(held.at), "other": other.words, "other_device": other.device,
                "other_when": _when(other.at), "other_version": other.version})
    return rows


def _when(moment: dt.datetime) -> str:
    return moment.astimezone(dt.UTC).isoformat(timespec="seconds")
