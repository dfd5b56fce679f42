"""What happened: immutable versions, named by their content, and the fold that gives what holds now.

The law of this file:

1. A version is never changed. Correcting appends a version whose ``parents`` are those it replaces;
   deleting appends one that is marked; nothing is taken away.
2. A version's name is the RFC 6920 ``ni`` URI of the SHA-256 of its RFC 8785 bytes.
3. The heads of a thing are its versions that no other version names as a parent.
4. Of several heads, a live one beats a deleted one, then the greatest ``(hlc, name)`` holds.
   The others stay, as rivals, and are shown.
5. What holds depends only on the set of versions, never on the order in which they came.
"""

from __future__ import annotations

import base64
import datetime as dt
import hashlib
import json
import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from types import MappingProxyType
from typing import Any

import rfc8785

from field_app.core.problems import refuse
from field_app.words import tr

__all__ = ["KINDS", "Draft", "Thing", "Version", "belongs_to", "code_of", "name_of", "read_version", "settle",
           "sort_of", "sort_text"]

#: Every kind of thing, and the fact that says which other thing it belongs to.
#: A kind that is not in the table comes from a newer program: it is kept and handed on.
KINDS: Mapping[str, str | None] = MappingProxyType({
    "site": None, "leave": "site", "look": "site", "lot": "site",
    "step": "lot", "draw": "lot", "test": "lot",
    "vessel": None, "value": None, "warmth": None, "cloth": None, "plan": None, "group": None,
})

_ENVELOPE = ("v", "kind", "deleted", "hlc", "device", "seq", "prev", "parents")
_URN = re.compile(r"urn:uuid:[0-9a-f]{8}-[0-9a-f]{4}-[0-9a-f]{4}-[0-9a-f]{4}-[0-9a-f]{12}\Z")
_HLC = re.compile(r"[0-9]{13}-[0-9a-f]{4}-[0-9a-f]{16}\Z")
_DEVICE = re.compile(r"[0-9a-f]{16}\Z")
_NAME = re.compile(r"ni:///sha-256;[A-Za-z0-9_-]{43}\Z")
_BASE32 = "0123456789ABCDEFGHJKMNPQRSTVWXYZ"  # Crockford's alphabet: no I, L, O or U to misread
_PAIRS = tuple(one + other for one in _BASE32 for other in _BASE32)


@dataclass(frozen=True, slots=True)
class Draft:
    """A version as it is decided on, before a store gives it its stamp and its place.

    thing: ``urn:uuid:...`` of what it is about; facts: JSON data without floats;
    position: latitude and longitude [deg] of at most 6 places, or None;
    parents: names of the versions it replaces.
    """

    thing: str
    kind: str
    facts: Mapping[str, Any]
    position: tuple[float, float] | None = None
    parents: tuple[str, ...] = ()
    deleted: bool = False


@dataclass(frozen=True, slots=True)
class Version:
    """One thing said about a thing, by one device, at one time. See the law above."""

    thing: str
    kind: str
    facts: Mapping[str, Any]
    hlc: str
    device: str
    seq: int
    position: tuple[float, float] | None = None
    parents: tuple[str, ...] = ()
    prev: str | None = None
    deleted: bool = False
    #: RFC 8785 bytes and the name made from them, computed once.
    text: bytes = field(init=False, repr=False, compare=False)
    name: str = field(init=False, compare=False)

    def __post_init__(self) -> None:
        text = rfc8785.dumps(self.as_feature())
        object.__setattr__(self, "text", text)
        object.__setattr__(self, "name", name_of(text))

    def as_feature(self) -> dict[str, Any]:
        """The version as a GeoJSON Feature (RFC 7946)."""
        point = None
        if self.position is not None:
            latitude, longitude = self.position
            point = {"type": "Point", "coordinates": [longitude, latitude]}
        properties = {**self.facts, "v": 1, "kind": self.kind, "deleted": self.deleted,
                      "hlc": self.hlc, "device": self.device, "seq": self.seq, "prev": self.prev,
                      "parents": list(self.parents)}
        return {"type": "Feature", "id": self.thing, "geometry": point, "properties": properties}


def name_of(text: bytes) -> str:
    """The RFC 6920 name of a byte string.

    >>> name_of(b"Hello World!")
    'ni:///sha-256;f4OxZX_x_FO5LcGBSKHWXfwtSx-j1ncoSt3SABJtkGk'
    """
    digest = base64.urlsafe_b64encode(hashlib.sha256(text).digest()).rstrip(b"=").decode()
    return f"ni:///sha-256;{digest}"


def code_of(thing: str, length: int = 4) -> str:
    """The short code of a thing, to write on a pail: the first signs of a hash of its id.

    >>> code_of("urn:uuid:017f22e2-79b0-7cc3-98c4-dc0c0c07398f")
    'T26E'
    """
    number = int.from_bytes(hashlib.sha256(thing.encode()).digest(), "big")
    # Two signs at once: a code is worked out for each thing that comes in.
    return "".join([_PAIRS[(number >> at) & 1023] for at in range(246, 246 - 5 * length, -10)])[:length]


def _has_float(value: Any) -> bool:
    if isinstance(value, float):
        return True
    if isinstance(value, dict):
        return any(_has_float(member) for member in value.values())
    return isinstance(value, list) and any(_has_float(member) for member in value)


def read_version(text: bytes, *, where: str = "version") -> Version:
    """The version of its bytes.

    Raises Refused, naming the place, if they are not RFC 8785 JSON (so no NaN, double keys, byte-order mark
    or lone surrogates), if a member is missing or has a wrong form, or if a fact holds a binary float.
    Facts this program doesn't know are kept.
    """
    fix = tr("Ask for the file again; this record is left out.")
    try:
        feature = json.loads(text)
        canonical = rfc8785.dumps(feature)
    except (ValueError, RecursionError) as error:
        raise refuse(where, tr("is not readable as JSON ({error})", error=error), fix) from None
    if canonical != text:
        raise refuse(where, tr("is not in the canonical form of RFC 8785"), fix)
    if not isinstance(feature, dict) or not isinstance(feature.get("properties"), dict):
        raise refuse(where, tr("is not a GeoJSON Feature with properties"), fix)
    properties = dict(feature["properties"])
    envelope = {}
    for key in _ENVELOPE:
        if key not in properties:
            raise refuse(f"{where}, properties.{key}", tr("is missing"), fix)
        envelope[key] = properties.pop(key)
    faults = _envelope_faults(feature, envelope, properties)
    if faults:
        raise refuse(f"{where}, {faults[0][0]}", faults[0][1], fix)
    position = None
    if feature["geometry"] is not None:
        longitude, latitude = feature["geometry"]["coordinates"]
        position = (float(latitude), float(longitude))
    version = Version(
        thing=feature["id"], kind=envelope["kind"], facts=properties, hlc=envelope["hlc"],
        device=envelope["device"], seq=envelope["seq"], position=position,
        parents=tuple(envelope["parents"]), prev=envelope["prev"], deleted=envelope["deleted"],
    )
    if version.text != text:
        raise refuse(where, tr("has members that a version does not have"), fix)
    return version


def _envelope_faults(feature: Any, envelope: Any, facts: Any) -> list[tuple[str, str]]:
    def text(value: Any, form: re.Pattern[str]) -> bool:
        return isinstance(value, str) and form.match(value) is not None

    parents = envelope["parents"]
    checks = [
        ("type", feature.get("type") == "Feature", tr("must be Feature")),
        ("id", text(feature.get("id"), _URN), tr("must be urn:uuid: and a lower-case UUID")),
        ("properties.v", envelope["v"] == 1, tr("is {version!r}; this program reads 1", version=envelope["v"])),
        ("properties.kind", isinstance(envelope["kind"], str) and bool(envelope["kind"]), tr("must be a word")),
        ("properties.deleted", isinstance(envelope["deleted"], bool), tr("must be true or false")),
        ("properties.hlc", text(envelope["hlc"], _HLC), tr("must be a stamp")),
        ("properties.device", text(envelope["device"], _DEVICE), tr("must be 16 hexadecimal digits")),
        ("properties.seq", type(envelope["seq"]) is int and envelope["seq"] > 0,
         tr("must be a whole number from 1")),
        ("properties.prev", envelope["prev"] is None or text(envelope["prev"], _NAME),
         tr("must be a name or null")),
        ("properties.parents", isinstance(parents, list) and all(text(p, _NAME) for p in parents),
         tr("must be a list of names")),
        ("geometry", _is_point(feature.get("geometry", "")), tr("must be null or a Point on the globe")),
        ("properties", not _has_float(facts), tr("holds a binary number; amounts are decimal text")),
    ]
    return [(place, words) for place, holds, words in checks if not holds]


def _is_point(geometry: Any) -> bool:
    if geometry is None:
        return True
    if not isinstance(geometry, dict) or geometry.get("type") != "Point":
        return False
    pair = geometry.get("coordinates")
    if not isinstance(pair, list) or len(pair) != 2 or any(type(n) not in (int, float) for n in pair):
        return False
    return abs(pair[0]) <= 180 and abs(pair[1]) <= 90 and all(round(n, 6) == n for n in pair)


@dataclass(frozen=True, slots=True)
class Thing:
    """What holds now about one thing: the version that holds, and the others that nobody has replaced.

    of: the id of the thing it belongs to; heads: names of all unreplaced versions, the holding one first;
    first_hlc: the stamp of its earliest version, last_hlc: that of the holding one.
    """

    id: str
    kind: str
    facts: Mapping[str, Any]
    position: tuple[float, float] | None
    heads: tuple[str, ...]
    first_hlc: str
    last_hlc: str
    device: str
    deleted: bool

    @property
    def of(self) -> str | None:
        """The id of the thing this one belongs to, or None."""
        of: str | None = belongs_to(self.kind, self.facts)
        return of


def settle(versions: Iterable[Version]) -> Thing:
    """What holds, from all versions of one thing, in any order (rules 3 and 4 of the law).

    Raises ValueError for no version at all, or versions of different things.
    """
    known = {version.name: version for version in versions}
    if len({version.thing for version in known.values()}) != 1:
        raise ValueError("settle takes the versions of one thing")
    replaced = {parent for version in known.values() for parent in version.parents}
    heads = [version for name, version in known.items() if name not in replaced]
    heads.sort(key=lambda version: (not version.deleted, version.hlc, version.name), reverse=True)
    held = heads[0]
    return Thing(
        id=held.thing, kind=held.kind, facts=MappingProxyType(dict(held.facts)), position=held.position,
        heads=tuple(version.name for version in heads),
        first_hlc=min(version.hlc for version in known.values()), last_hlc=held.hlc,
        device=held.device, deleted=held.deleted,
    )


def belongs_to(kind: str, facts: Mapping[str, Any]) -> Any:
    """What the facts of a thing of this kind name as the thing it belongs to, or None."""
    key = KINDS.get(kind)
    return facts.get(key) if key else None


def sort_of(thing: Thing) -> str:
    """The text by which things of one kind are listed."""
    return sort_text(thing.kind, thing.facts, thing.first_hlc, thing.last_hlc)


def sort_text(kind: str, facts: Mapping[str, Any], first_hlc: str, last_hlc: str) -> str:
    """The text by which things of one kind are listed: lots by when they were gathered, sites by name.

    first_hlc, last_hlc: the stamps of the first version and of the one that holds.
    Facts from elsewhere may lack what one sorts by: then the time of the first version stands in.
    """
    if kind == "lot":
        try:
            gathered = dt.datetime.fromisoformat(facts["gathered"])
            if gathered.tzinfo is None:
                return first_hlc  # read in this machine's zone, it would sort differently elsewhere
            return gathered.astimezone(dt.UTC).isoformat(timespec="seconds")
        except (KeyError, ValueError, TypeError, OverflowError):
            return first_hlc
    if kind == "site":
        return " ".join(str(facts.get("name", "")).casefold().split())
    return last_hlc
