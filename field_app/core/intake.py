"""Bytes from elsewhere into versions as rows: strictly, and fast for what is plainly right.

The law of this file:

1. :func:`field_app.core.records.read_version` alone says what a version is, and what is wrong with bytes
   that are none.
2. The short cut accepts only bytes that it can tell to be a version; with any doubt it asks the law.
   For JSON without odd numbers, Python's own writer with sorted keys gives what RFC 8785 asks for.
3. A version is no longer, deeper or wordier than :data:`LIMITS`, whoever wrote it.
"""

from __future__ import annotations

import json
import re
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, NamedTuple

from field_app.core.problems import refuse
from field_app.core.records import name_of, read_version
from field_app.words import tr

__all__ = ["ENVELOPE", "LIMITS", "Limits", "Reader", "Row", "facts_of", "position_of", "row_of"]


@dataclass(frozen=True, slots=True)
class Limits:
    """How large a version may be.

    record: its length [byte]; text: signs of a text in it [1]; depth: how deep it is nested [1];
    records: versions in one file [1].
    """

    record: int = 64 * 1024
    text: int = 4_000
    depth: int = 8
    records: int = 1_000_000


LIMITS = Limits()
#: The members of a version that are not facts.
ENVELOPE = frozenset({"v", "kind", "deleted", "hlc", "device", "seq", "prev", "parents"})


class Row(NamedTuple):
    """A version as it lies in the table; ``feature`` is its JSON data."""

    name: str
    thing: str
    kind: str
    hlc: str
    device: str
    seq: int
    deleted: bool
    parents: tuple[str, ...]
    text: bytes
    feature: Mapping[str, Any]

    @property
    def facts(self) -> dict[str, Any]:
        """The facts of the version, in the order of their names."""
        return facts_of(self.feature)


class _Doubt(ValueError):
    """The short cut can't tell; the law has to."""


# A place as RFC 8785 writes it: the last sign is not 0, none is below a millionth, and 0 has no sign.
_PLACE = r"(?!-0[,\]])(-?(?:0|[1-9][0-9]{0,2})(?:\.[0-9]{0,5}[1-9])?)"
# Sorted as RFC 8785 asks for, every version begins and ends so.
_FRAME = re.compile(
    r'\{"geometry":(?:null|\{"coordinates":\[' + _PLACE + "," + _PLACE + r'\],"type":"Point"\}),"id":"(urn:uuid:'
    r'[0-9a-f]{8}-[0-9a-f]{4}-[0-9a-f]{4}-[0-9a-f]{4}-[0-9a-f]{12})","properties":').match
_END = ',"type":"Feature"}'
_HLC = re.compile(r"[0-9]{13}-[0-9a-f]{4}-[0-9a-f]{16}\Z").match
_DEVICE = re.compile(r"[0-9a-f]{16}\Z").match
_NAME = re.compile(r"ni:///sha-256;[A-Za-z0-9_-]{43}\Z").match
# Beyond the basic plane the order of UTF-16, which RFC 8785 sorts by, is not that of code points.
_BEYOND = re.compile(rb"[\xf0-\xf4]").search
_write = json.JSONEncoder(sort_keys=True, separators=(",", ":"), ensure_ascii=False, allow_nan=False,
                          check_circular=False).encode


def _whole(text: str) -> int:
    if len(text) > 15:  # RFC 8785 knows no whole number beyond 2**53
        raise _Doubt
    return int(text)


def _other_number(_: str) -> Any:
    raise _Doubt  # a binary number is met in a position or nowhere


def _number(text: str) -> float:
    return float(text) if "." in text else int(text)


_parse = json.JSONDecoder(parse_float=_other_number, parse_int=_whole, parse_constant=_other_number).raw_decode


class Reader:
    """Reads versions within the limits."""

    def __init__(self, limits: Limits = LIMITS) -> None:
        self._limits = limits

    def read(self, text: bytes, name: str, *, where: str) -> Row:
        """The row of a version's bytes, whose name is ``name``.

        Raises Refused, naming ``where``, if they are no version or beyond the limits.
        """
        if len(text) > self._limits.record:
            raise refuse(where, tr("is {count:,} bytes long; at most {record:,} are taken", count=len(text),
                                   record=self._limits.record),
                         tr("This record is left out. Ask for the file again."))
        try:
            feature = self._plain(text)
        except (ValueError, TypeError, KeyError, RecursionError):
            feature = json.loads(read_version(text, where=where).text)
        # Few brackets can't be deep and a short record holds no long text: most need no walk.
        brackets = text.count(b"{") + text.count(b"[")
        if brackets > self._limits.depth or len(text) > self._limits.text:
            self._walk(feature, self._limits.depth, where)
        return row_of(text, name, feature)

    @staticmethod
    def _plain(text: bytes) -> dict[str, Any]:
        source = text.decode()
        frame = _FRAME(source)
        if frame is None or not source.endswith(_END):
            raise _Doubt
        inside = source[frame.end():-len(_END)]
        properties, _ = _parse(inside)
        if _write(properties) != inside or (not text.isascii() and _BEYOND(text)):
            raise _Doubt
        x, y, thing = frame.groups()
        point = None
        if x is not None:
            longitude, latitude = _number(x), _number(y)
            if not (-180 <= longitude <= 180 and -90 <= latitude <= 90):
                raise _Doubt
            point = {"coordinates": [longitude, latitude], "type": "Point"}
        version, seq, prev, parents = properties["v"], properties["seq"], properties["prev"], properties["parents"]
        if (type(version) is not int or version != 1 or type(properties["deleted"]) is not bool
                or type(seq) is not int or seq < 1 or type(parents) is not list
                or type(properties["kind"]) is not str or not properties["kind"]
                or not _HLC(properties["hlc"]) or not _DEVICE(properties["device"])
                or (prev is not None and not _NAME(prev)) or (parents and not all(map(_NAME, parents)))):
            raise _Doubt
        return {"geometry": point, "id": thing, "properties": properties, "type": "Feature"}

    def _walk(self, value: Any, left: int, where: str) -> None:
        fix = tr("This record is left out. Ask for the file again.")
        if isinstance(value, str):
            if len(value) > self._limits.text:
                raise refuse(where, tr("holds a text of {count:,} characters; at most {text:,} are taken",
                                       count=len(value), text=self._limits.text), fix)
        elif isinstance(value, dict | list):
            if left == 0:
                raise refuse(where, tr("is nested more than {depth} deep", depth=self._limits.depth), fix)
            if isinstance(value, dict):
                for key in value:
                    self._walk(key, left, where)
            for member in value.values() if isinstance(value, dict) else value:
                self._walk(member, left - 1, where)


def row_of(text: bytes, name: str | None = None, feature: Mapping[str, Any] | None = None) -> Row:
    """The row of bytes that are known to be a version."""
    feature = json.loads(text) if feature is None else feature
    properties = feature["properties"]
    return Row(name or name_of(text), feature["id"], properties["kind"], properties["hlc"], properties["device"],
               properties["seq"], properties["deleted"], tuple(properties["parents"]), text, feature)


def facts_of(feature: Mapping[str, Any]) -> dict[str, Any]:
    """The facts of a version, in the order of their names."""
    facts = dict(feature["properties"])
    for key in ENVELOPE:
        facts.pop(key, None)
    return facts


def position_of(feature: Mapping[str, Any]) -> tuple[float, float] | None:
    """Latitude and longitude [deg] of a version, or None."""
    if feature["geometry"] is None:
        return None
    longitude, latitude = feature["geometry"]["coordinates"]
    return float(latitude), float(longitude)
