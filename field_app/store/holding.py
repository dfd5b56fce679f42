"""What holds of a thing, worked out from the columns of its versions, and its row in the table of things.

The law is :func:`field_app.core.records.settle`; this is the same by a shorter way, for many things at once.
"""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from types import MappingProxyType
from typing import Any, NamedTuple

from field_app.core.intake import facts_of, position_of
from field_app.core.records import Thing, code_of, sort_of

__all__ = ["CODE_LENGTH", "COLUMNS", "THINGS", "Said", "Standing", "row_of_thing", "standing", "thing_of_row"]

#: Signs of a code that are kept for look-up; fewer are shown.
CODE_LENGTH = 12
#: The columns of the table of things, in the order of the rows made here.
COLUMNS = "id, kind, of, sort, code, deleted, heads, first_hlc, held"
#: Where things are read from, each with the version that holds.
THINGS = ("select t.id, t.kind, t.deleted, t.heads, t.first_hlc, v.hlc, v.device, v.text "
          "from thing t join version v on v.number = t.held")


class Said(NamedTuple):
    """Of one version, what decides whether it holds; number: its place in the table [1]."""

    number: int
    name: str
    hlc: str
    deleted: bool
    parents: Sequence[str]


class Standing(NamedTuple):
    """The unreplaced versions of a thing, the one that holds first and also as ``held``; the earliest stamp."""

    held: Said
    heads: tuple[str, ...]
    first_hlc: str


def standing(versions: Sequence[Said]) -> Standing:
    """How the versions of one thing stand to each other, in whatever order they come."""
    if len(versions) == 1:
        only = versions[0]
        return Standing(only, (only.name,), only.hlc)
    replaced = {parent for said in versions for parent in said.parents}
    heads = [said for said in versions if said.name not in replaced]
    heads.sort(key=lambda said: (not said.deleted, said.hlc, said.name), reverse=True)
    return Standing(heads[0], tuple(said.name for said in heads), min(said.hlc for said in versions))


def row_of_thing(feature: Mapping[str, Any], stands: Standing) -> tuple[Any, ...]:
    """The row of a thing, from the version that holds as JSON data."""
    properties, held = feature["properties"], stands.held
    # Position and heads play no part in what is asked of this thing, and no fact has the name of another member.
    thing = Thing(id=feature["id"], kind=properties["kind"], facts=properties, position=None, heads=(),
                  first_hlc=stands.first_hlc, last_hlc=held.hlc, device="", deleted=held.deleted)
    of = thing.of
    return (thing.id, thing.kind, of if isinstance(of, str) else None, sort_of(thing),
            code_of(thing.id, CODE_LENGTH), int(held.deleted), " ".join(stands.heads), stands.first_hlc, held.number)


def thing_of_row(row: Sequence[Any]) -> Thing:
    """The thing of a row of :data:`THINGS`."""
    key, kind, deleted, heads, first, last, device, text = row
    feature = json.loads(text)
    return Thing(id=key, kind=kind, facts=MappingProxyType(facts_of(feature)), position=position_of(feature),
                 heads=tuple(heads.split(" ")), first_hlc=first, last_hlc=last, device=device,
                 deleted=bool(deleted))
