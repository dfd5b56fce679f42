"""Which versions from elsewhere may enter, and why others are set aside.

The law of this file:

1. Whatever this program writes itself passes; what passes can be shown, added up and handed on.
2. A kind that this program doesn't know comes from a newer one: it is kept, unread, if it is not too large.
3. A known kind must have the facts of its kind, with keys that the tables of this program know.
   Facts beside those are kept, unread.
4. Nothing is mended: a version enters as it is or not at all, since its name is made from its bytes.
"""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Any

from pydantic import ValidationError

from field_app.core.facts import DrawFacts, Facts, LeaveFacts, LotFacts, SiteFacts, StepFacts
from field_app.core.hlc import read_stamp
from field_app.core.load import net_mass
from field_app.core.materials import material, ripeness
from field_app.core.moments import EARLIEST_YEAR
from field_app.core.problems import Problem, Refused
from field_app.core.records import KINDS, Version, read_version
from field_app.core.units import Kind, Measure

__all__ = ["LIMITS", "MODELS", "Limits", "examine", "read_trusted"]


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
#: The facts of each kind that this program reads.
MODELS: Mapping[str, type[Facts]] = MappingProxyType({
    "site": SiteFacts, "leave": LeaveFacts, "lot": LotFacts, "step": StepFacts, "draw": DrawFacts})
#: What kind of amount a fact may be; those marked True must be more than nothing.
_AMOUNTS: Mapping[str, Mapping[str, tuple[tuple[Kind, ...], bool]]] = MappingProxyType({
    "leave": {"limit": (("mass",), False)},
    "lot": {"gross": (("mass",), True), "tare": (("mass",), False), "pail": (("volume",), True)},
    "step": {"mass": (("mass",), True), "volume": (("volume",), True), "nuts": (("mass",), True)},
    "draw": {"amount": (("mass", "volume"), True)}})
_TIMES: Mapping[str, str] = MappingProxyType({"lot": "gathered", "step": "at", "draw": "at"})
#: The last year that has a stamp of 13 digits.
_LAST_YEAR = 2286
_URN = re.compile(r"urn:uuid:[0-9a-f]{8}-[0-9a-f]{4}-[0-9a-f]{4}-[0-9a-f]{4}-[0-9a-f]{12}\Z")
_RADIUS = re.compile(r"[0-9]{1,8}(\.[0-9]{1,6})?\Z")
_ASK = "It is set aside. Ask for the file again, or have the record told anew."
_NEWER = "It is set aside. Update this program, then take the file again."


def read_trusted(text: bytes, *, where: str, limits: Limits = LIMITS) -> Version:
    """The version of its bytes, if it may enter.

    Raises Refused, naming ``where``, if the bytes are no version, are too large, or :func:`examine` objects.
    """
    if len(text) > limits.record:
        raise Refused([Problem(where, f"is {len(text):,} bytes long; at most {limits.record:,} are taken", _ASK)])
    version = read_version(text, where=where)
    problem = _too_large(version, where, limits) or examine(version, where=where)
    if problem is not None:
        raise Refused([problem])
    return version


def _too_large(version: Version, where: str, limits: Limits) -> Problem | None:
    # Few brackets can't be deep and a short record holds no long text: most need no walk.
    brackets = version.text.count(b"{") + version.text.count(b"[")
    if brackets <= limits.depth and len(version.text) <= limits.text:
        return None
    words = _walk(version.as_feature(), limits.depth, limits)
    return Problem(where, words, _ASK, version.thing) if words else None


def _walk(value: Any, left: int, limits: Limits) -> str:
    if isinstance(value, str):
        if len(value) > limits.text:
            return f"holds a text of {len(value):,} signs; at most {limits.text:,} are taken"
    elif isinstance(value, dict | list):
        if left == 0:
            return f"is nested more than {limits.depth} deep"
        if isinstance(value, dict):
            members = [*value.values()]
            found = (_walk(key, left, limits) for key in value)
            if words := next((words for words in found if words), ""):
                return words
        else:
            members = value
        return next((words for member in members if (words := _walk(member, left - 1, limits))), "")
    return ""


def examine(version: Version, *, where: str = "record") -> Problem | None:
    """What stands against taking in a version, or None; ``where`` names it in the message."""
    fault = _stamp_fault(version) or _control_fault(dict(version.facts))
    if fault is None:
        belongs = KINDS.get(version.kind)
        if belongs is not None and not _is_urn(version.facts.get(belongs)):
            fault = (belongs, "must be the id of another record", _ASK)
        elif version.kind in MODELS:
            fault = _facts_fault(version)
    if fault is None:
        return None
    place, what, fix = fault
    return Problem(f"{where}, {place}", what, fix, version.thing)


_Fault = tuple[str, str, str]


def _is_urn(value: object) -> bool:
    return isinstance(value, str) and _URN.match(value) is not None


def _stamp_fault(version: Version) -> _Fault | None:
    stamp = read_stamp(version.hlc)
    if str(stamp) != version.hlc or stamp.device != version.device:
        return "hlc", "is not a stamp of the device that the record names", _ASK
    return None


def _control_fault(value: Any, place: str = "facts") -> _Fault | None:
    # A terminal would obey such signs.
    if isinstance(value, str):
        if any(ord(sign) < 32 and sign not in "\n\t" for sign in value):
            return place, "holds signs that can't be shown", _ASK
    elif isinstance(value, dict):
        for name, member in value.items():
            if fault := _control_fault(name, place) or _control_fault(member, name):
                return fault
    elif isinstance(value, list):
        return next((fault for member in value if (fault := _control_fault(member, place))), None)
    return None


def _facts_fault(version: Version) -> _Fault | None:
    # The model would also read the text "12", or true, as a number.
    if version.kind == "lot" and type(version.facts.get("count")) not in (int, type(None)):
        return "count", "must be a whole number", _ASK
    try:
        facts = MODELS[version.kind].model_validate(dict(version.facts))
        return _amount_fault(version.kind, facts) or _time_fault(version.kind, facts) or _of_kind(facts)
    except ValidationError as error:
        return _told(error)
    except Refused as refused:
        problem = refused.problems[0]
        newer = problem.where in ("material", "part", "ripeness") or "no unit known" in problem.what
        return problem.where, problem.what, _NEWER if newer else _ASK


def _told(error: ValidationError) -> _Fault:
    first = error.errors(include_url=False, include_context=False)[0]
    place = ".".join(str(step) for step in first["loc"]) or "facts"
    if first["type"] == "missing":
        return place, "is missing", _ASK
    words = str(first["msg"]).removeprefix("Value error, ")
    return place, f"{words[:1].lower()}{words[1:]}", _NEWER if first["type"] == "literal_error" else _ASK


def _amount_fault(kind: str, facts: Facts) -> _Fault | None:
    for name, (kinds, positive) in _AMOUNTS.get(kind, {}).items():
        measure = getattr(facts, name)
        if not isinstance(measure, Measure):
            continue
        if measure.kind not in kinds:
            return name, f"{measure} is not a {' or a '.join(kinds)}", _ASK
        if positive and not measure.si > 0:
            return name, f"{measure} is nothing", _ASK
    return None


def _time_fault(kind: str, facts: Facts) -> _Fault | None:
    if kind not in _TIMES:
        return None
    text = getattr(facts, _TIMES[kind])
    if not text.isascii() or not EARLIEST_YEAR <= dt.datetime.fromisoformat(text).year <= _LAST_YEAR:
        return _TIMES[kind], f"is not between {EARLIEST_YEAR} and {_LAST_YEAR}", _ASK
    return None


def _of_kind(facts: Facts) -> _Fault | None:
    check = _CHECKS.get(type(facts))
    return check(facts) if check else None


def _site_fault(facts: SiteFacts) -> _Fault | None:
    if not facts.name.strip() or "\n" in facts.name:
        return "name", "is not a name on one line", _ASK
    for key in facts.materials:
        material(key)
    return _fix_fault(facts)


def _lot_fault(facts: LotFacts) -> _Fault | None:
    material(facts.material).part(facts.part)
    if facts.ripeness is not None:
        ripeness(facts.ripeness)
    count = facts.count
    if count is not None and count < 1:
        return "count", f"{count} is nothing", _ASK
    net_mass(facts)
    return _fix_fault(facts)


def _fix_fault(facts: SiteFacts | LotFacts) -> _Fault | None:
    fix = facts.fix
    if fix is not None and fix.accuracy is not None and not _RADIUS.match(fix.accuracy):
        return "fix.accuracy", "is not a radius in metres", _ASK
    return None


_CHECKS: Mapping[type[Facts], Callable[[Any], _Fault | None]] = MappingProxyType({
    SiteFacts: _site_fault, LotFacts: _lot_fault})
