"""Where two people say different things of one thing, so that one of them can settle it.

Whole versions compete, never single members, so a mass and its unit always come from one person.
What is compared are the groups of facts that belong together in a person's mind.
"""

from __future__ import annotations

import datetime as dt
import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from types import MappingProxyType
from typing import Any

from field_app.core.hlc import read_stamp
from field_app.core.records import Version
from field_app.words import later

__all__ = ["GRAVE", "GROUPS", "Difference", "Saying", "differences"]

#: The facts that are told and settled together, by what a person would call them; whoever shows that translates it.
GROUPS: Mapping[str, Mapping[str, tuple[str, ...]]] = MappingProxyType({
    "lot": {
        "how much": ("basis", "gross", "tare", "count", "pails", "pail", "fill", "division", "scale", "sample",
                     "sample_each"),
        "what": ("material", "part"), "where": ("site",), "position": ("geometry",), "when": ("gathered",),
        "how ripe": ("ripeness",), "condition": ("condition",), "what wood": ("wood",),
        "note": ("note",)},
    "site": {"name": ("name",), "position": ("geometry",), "what stands there": ("materials",), "note": ("note",)},
    "leave": {"leave to gather": ("state", "by", "until", "limit"), "note": ("note",)},
    "step": {"what was done": ("step",), "how much": ("mass", "volume", "nuts"), "when": ("at",), "note": ("note",)},
    "look": {"what": ("material",), "how ripe": ("stage",), "dents": ("dented", "pressed"),
             "on the ground": ("ground", "ground_words"), "when": ("at",), "note": ("note",)},
    "draw": {"how much": ("amount",), "for what": ("purpose", "by"), "when": ("at",)},
    "plan": {"name": ("name",), "day": ("day", "fire"), "lots": ("lots",), "cloth": ("baths", "ratio", "in_turn"),
             "how it is made": ("pots", "water", "soak", "boil", "strainings", "squeezed"), "done": ("done",),
             "note": ("note",)},
    "cloth": {"name": ("name",), "what cloth": ("items",), "note": ("note",)},
    "warmth": {"temperatures": ("year", "first", "low", "high", "unit"), "where": ("geometry",)},
    "value": {"the value": ("value", "unit", "low", "high"), "note": ("note",)},
    "vessel": {"name": ("name",), "what it is": ("vessel", "made_of"),
               "size": ("volume", "diameter", "surface"), "weighs empty": ("tare",), "note": ("note",)},
    "test": {"what was tested": ("test", "material", "state"), "of lot": ("lot",), "where": ("site",),
             "how much": ("dish", "before", "after", "liquor", "brix", "division", "stuff", "cloth", "bath", "heat",
                          "hours"),
             "on what cloth": ("base", "mordant"), "what came out": ("band", "lightness", "colour"),
             "when": ("at",), "note": ("note",)},
})
#: What the groups are called, for the catalogue.
_MATTERS = (
    later("how much"), later("what"), later("where"), later("position"), later("when"), later("how ripe"),
    later("condition"), later("what wood"), later("note"), later("name"), later("what stands there"),
    later("leave to gather"), later("what was done"), later("dents"), later("on the ground"), later("for what"),
    later("day"), later("lots"), later("cloth"), later("how it is made"), later("done"), later("what cloth"),
    later("temperatures"), later("the value"), later("what it is"), later("size"), later("weighs empty"),
    later("what was tested"), later("of lot"), later("on what cloth"), later("what came out"))
#: The groups in which a disagreement changes what a load is worth or where it stands.
GRAVE = frozenset({"how much", "what", "where", "position"})


@dataclass(frozen=True, slots=True)
class Saying:
    """What one version says of a group of facts: its words, by which device, when, and the version's name.

    The words are the facts as they are kept, in no language of a person; whoever shows them asks ``tr``.
    """

    words: str
    device: str
    at: dt.datetime
    version: str


@dataclass(frozen=True, slots=True)
class Difference:
    """A group of facts of which versions made apart say different things; the first saying holds."""

    about: str
    holds: Saying
    others: tuple[Saying, ...]

    @property
    def grave(self) -> bool:
        """Whether somebody should settle it before the lot is used."""
        return self.about in GRAVE


def _words(value: Any) -> str:
    if isinstance(value, Mapping):
        if "value" in value and "unit" in value:
            return str(value.get("typed") or f"{value['value']} {value['unit']}")
        if value.get("type") == "Point":
            longitude, latitude = value["coordinates"]
            return f"{latitude}, {longitude}"
        return json.dumps(value, ensure_ascii=False)
    if isinstance(value, list):
        return ", ".join(_words(member) for member in value)
    return str(value)


def _saying(version: Version, members: tuple[str, ...]) -> Saying:
    feature = version.as_feature()
    facts = {**version.facts, "geometry": feature["geometry"]}
    if members[0] == "value" and facts.get("value"):
        # A figure and its unit are one thing, and so are its ends.
        ends = ", ".join(f"{name} {facts[name]}" for name in ("low", "high") if facts.get(name))
        words = f"{facts['value']} {facts.get('unit', '')}"
        return Saying(f"{words} ({ends})" if ends else words, *_who(version))
    told = [_words(facts[name]) if len(members) == 1 else f"{name} {_words(facts[name])}"
            for name in members if facts.get(name) not in (None, "")]
    return Saying(", ".join(told) or later("nothing"), *_who(version))


def differences(heads: Sequence[Version]) -> tuple[Difference, ...]:
    """Where the unreplaced versions of one thing differ; the first of ``heads`` is the one that holds.

    Deleted ones among live ones differ as a whole ("withdrawn"), for there one decides whether it stays.
    """
    if len(heads) < 2:
        return ()
    held, rivals = heads[0], heads[1:]
    found = []
    if not held.deleted and any(rival.deleted for rival in rivals):
        gone = tuple(Saying(later("withdrawn"), *_who(rival)) for rival in rivals if rival.deleted)
        found.append(Difference(later("whether it stays"), Saying(later("it stays"), *_who(held)), gone))
    groups = GROUPS.get(held.kind, {name: (name,) for name in sorted(held.facts)})
    for about, members in groups.items():
        first = _saying(held, members)
        others = [_saying(rival, members) for rival in rivals if not rival.deleted]
        apart = tuple(other for other in others if other.words != first.words)
        if apart:
            found.append(Difference(about, first, apart))
    return tuple(found)


def _who(version: Version) -> tuple[str, dt.datetime, str]:
    return version.device, dt.datetime.fromtimestamp(read_stamp(version.hlc).ms / 1000, dt.UTC), version.name
