"""What holds of a thing, worked out from the columns of its versions, and its row in the table of things.

The law is :func:`field_app.core.records.settle`; this is the same by a shorter way, for many things at once.
"""

from __future__ import annotations

import json
from collections.abc import Sequence
from types import MappingProxyType
from typing import Any, NamedTuple

from field_app.core.records import Thing, code_of, sort_of
from field_app.store.intake import Row, facts_of, position_of

__all__ = ["CODE_LENGTH", "COLUMNS", "Said", "Standing", "row_of_thing", "standing", "thing_of_row"]

#: Signs of a code that are kept for look-up; fewer are shown.
CODE_LENGTH = 12
#: The columns of the table of things, in the order of the rows made here.
COLUMNS = "id, kind, of, sort, code, deleted, heads, first_hlc, last_hlc, device, lat, lon, facts"


class Said(NamedTuple):
    """Of one version, what decides whether it holds."""

    name: str
    hlc: str
    deleted: bool
    parents: Sequence[str]


class Standing(NamedTuple):
    """The unreplaced versions of a thing, the one that holds first, and the stamp of its earliest version."""

    heads: tuple[str, ...]
    first_hlc: str


def standing(versions: Sequence[Said]) -> Standing:
    """How the versions of one thing stand to each other, in whatever order they come."""
    if len(versions) == 1:
        return Standing((versions[0].name,), versions[0].hlc)
    replaced = {parent for version in versions for parent in version.parents}
    heads = [(not said.deleted, said.hlc, said.name) for said in versions if said.name not in replaced]
    heads.sort(reverse=True)
    return Standing(tuple(name for _, _, name in heads), min(said.hlc for said in versions))


def row_of_thing(held: Row, stands: Standing) -> tuple[Any, ...]:
    """The row of a thing, from the version that holds."""
    facts, position = facts_of(held.feature), position_of(held.feature)
    thing = Thing(id=held.thing, kind=held.kind, facts=facts, position=position, heads=stands.heads,
                  first_hlc=stands.first_hlc, last_hlc=held.hlc, device=held.device, deleted=held.deleted)
    lat, lon = position or (None, None)
    of = thing.of
    return (thing.id, thing.kind, of if isinstance(of, str) else None, sort_of(thing),
            code_of(thing.id, CODE_LENGTH), int(thing.deleted), " ".join(thing.heads), thing.first_hlc,
            thing.last_hlc, thing.device, lat, lon,
            json.dumps(facts, ensure_ascii=False, separators=(",", ":")))


def thing_of_row(row: Sequence[Any]) -> Thing:
    """The thing of a row of :data:`COLUMNS`."""
    key, kind, _, _, _, deleted, heads, first, last, device, lat, lon, facts = row
    return Thing(id=key, kind=kind, facts=MappingProxyType(json.loads(facts)),
                 position=None if lat is None else (lat, lon), heads=tuple(heads.split(" ")),
                 first_hlc=first, last_hlc=last, device=device, deleted=bool(deleted))

