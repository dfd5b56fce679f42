"""What holds of a thing, worked out from the columns of its versions, and its row in the table of things.

The law is :func:`field_app.core.records.settle`; this is the same by a shorter way, for many things at once.
"""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from types import MappingProxyType
from typing import Any, NamedTuple

from field_app.core.intake import facts_of, position_of
from field_app.core.records import Thing, belongs_to, code_of, sort_text

__all__ = ["CODE_LENGTH", "COLUMNS", "THINGS", "Listed", "Said", "Standing", "listed_of", "row_of_listed",
           "row_of_thing", "standing", "thing_of_row"]

#: Signs of a code that are kept for look-up; fewer are shown.
CODE_LENGTH = 12
#: The columns of the table of things, in the order of the rows made here.
COLUMNS = "id, kind, of, sort, code, deleted, heads, first_hlc, held"
#: Where things are read from, each with the version that holds.
THINGS = ("select t.id, t.kind, t.deleted, t.heads, t.first_hlc, v.hlc, v.device, v.text from thing t join "
                "version v on v.number = t.held")


class Said(NamedTuple):
    """Of one version, what decides whether it holds; number: its place in the table [1]."""

    number: int
    name: str
    hlc: str
    deleted: bool
    parents: Sequence[str]


class Listed(NamedTuple):
    """Under what a version lists its thing: its kind, what it belongs to, and by what it is sorted."""

    kind: str
    of: str | None
    sort: str


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


def listed_of(feature: Mapping[str, Any]) -> Listed:
    """Where a version, as JSON data, lists its thing if it holds."""
    # No fact has the name of another member, so that the members stand for the facts.
    properties = feature["properties"]
    kind = properties["kind"]
    of = belongs_to(kind, properties)
    return Listed(kind, of if isinstance(of, str) else None, sort_text(kind, properties, "", properties["hlc"]))


def row_of_listed(thing: str, listed: Listed, stands: Standing) -> tuple[Any, ...]:
    """The row of a thing, from where the version that holds lists it."""
    kind, of, sort = listed
    # A lot is sorted by a moment, or without one by its first version's stamp, which one version does not know.
    return (thing, kind, of, sort or stands.first_hlc if kind == "lot" else sort, code_of(thing, CODE_LENGTH),
            int(stands.held.deleted), " ".join(stands.heads), stands.first_hlc, stands.held.number)


def row_of_thing(feature: Mapping[str, Any], stands: Standing) -> tuple[Any, ...]:
    """The row of a thing, from the version that holds as JSON data."""
    return row_of_listed(feature["id"], listed_of(feature), stands)


def thing_of_row(row: Sequence[Any]) -> Thing:
    """The thing of a row of :data:`THINGS`."""
    key, kind, deleted, heads, first, last, device, text = row
    feature = json.loads(text.decode())
    return Thing(key, kind, MappingProxyType(facts_of(feature)), position_of(feature), tuple(heads.split(" ")),
                 first, last, device, bool(deleted))
