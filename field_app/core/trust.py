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
from types import MappingProxyType
from typing import Any, Protocol

from pydantic import ValidationError

from field_app.core.cloth_lists import ClothFacts, cloth_fault
from field_app.core.facts import DrawFacts, Facts, LeaveFacts, LotFacts, SiteFacts, StepFacts
from field_app.core.hlc import read_stamp
from field_app.core.intake import LIMITS, Limits, Reader, Row
from field_app.core.load import net_mass
from field_app.core.looks import LookFacts, look_fault
from field_app.core.materials import material, ripeness
from field_app.core.misfits import misfit
from field_app.core.moments import EARLIEST_YEAR
from field_app.core.own_facts import OwnTestFacts, ValueFacts, fault_of_test, fault_of_value
from field_app.core.plans import PlanFacts, plan_fault
from field_app.core.problems import Problem, Refused
from field_app.core.records import KINDS
from field_app.core.swatches import SwatchFacts, fault_of_swatch, is_swatch
from field_app.core.units import Kind, Measure
from field_app.core.vessels import VesselFacts, vessel_fault
from field_app.core.weather import WarmthFacts, warmth_fault
from field_app.words import later, tr

__all__ = ["LIMITS", "MODELS", "Limits", "examine", "read_trusted"]


class _Read(Protocol):
    """What is looked at: a version, or the row of one."""

    @property
    def thing(self) -> str: ...
    @property
    def kind(self) -> str: ...
    @property
    def facts(self) -> Mapping[str, Any]: ...
    @property
    def hlc(self) -> str: ...
    @property
    def device(self) -> str: ...
    @property
    def text(self) -> bytes: ...


#: The facts of each kind that this program reads.
MODELS: Mapping[str, type[Facts]] = MappingProxyType({
    "site": SiteFacts, "leave": LeaveFacts, "lot": LotFacts, "step": StepFacts, "draw": DrawFacts,
    "look": LookFacts, "plan": PlanFacts, "cloth": ClothFacts, "warmth": WarmthFacts,
    "value": ValueFacts, "test": OwnTestFacts, "vessel": VesselFacts})
#: What kind of amount a fact may be; those marked True must be more than nothing.
_AMOUNTS: Mapping[str, Mapping[str, tuple[tuple[Kind, ...], bool]]] = MappingProxyType({
    "leave": {"limit": (("mass",), False)},
    "lot": {"gross": (("mass",), True), "tare": (("mass",), False), "pail": (("volume",), True),
            "division": (("mass",), True)},
    "step": {"mass": (("mass",), True), "volume": (("volume",), True), "nuts": (("mass",), True)},
    "draw": {"amount": (("mass", "volume"), True)},
    "vessel": {"volume": (("volume",), True), "diameter": (("length",), True), "tare": (("mass",), True)},
    "test": {"dish": (("mass",), False), "before": (("mass",), True), "after": (("mass",), True),
             "liquor": (("volume",), True), "division": (("mass",), True)}})
_NOT_OF_KIND: Mapping[tuple[Kind, ...], str] = MappingProxyType({
    ("mass",): later("{measure} is not a mass"), ("volume",): later("{measure} is not a volume"),
    ("length",): later("{measure} is not a length"), ("mass", "volume"): later("{measure} is not a mass or a volume")})
_TIMES: Mapping[str, str] = MappingProxyType({"lot": "gathered", "step": "at", "draw": "at", "look": "at",
                                                "value": "at", "test": "at", "swatch": "at"})
#: Kinds that may belong to nothing: a test of stuff of which no lot was logged.
_MAY_STAND_ALONE = frozenset({"test"})
#: The last year that has a stamp of 13 digits.
_LAST_YEAR = 2286
_URN = re.compile(r"urn:uuid:[0-9a-f]{8}-[0-9a-f]{4}-[0-9a-f]{4}-[0-9a-f]{4}-[0-9a-f]{12}\Z")
_RADIUS = re.compile(r"[0-9]{1,8}(\.[0-9]{1,6})?\Z")
# RFC 8785 writes every control sign with a backslash.
_MAY_HOLD_CONTROLS = re.compile(rb"\\(?:u00|[bfr])").search
_ASK = later("It is set aside. Ask for the file again, or have the record told anew.")
_NEWER = later("It is set aside. Update this program, then take the file again.")


def read_trusted(text: bytes, name: str, *, where: str, reader: Reader) -> Row:
    """The version of its bytes, whose name is ``name``, if it may enter.

    Raises Refused, naming ``where``, if the bytes are no version, are too large, or :func:`examine` objects.
    """
    row = reader.read(text, name, where=where)
    problem = examine(row, where=where)
    if problem is not None:
        raise Refused([problem])
    return row


def examine(version: _Read, *, where: str = "record") -> Problem | None:
    """What stands against taking in a version, or None; ``where`` names it in the message."""
    facts = dict(version.facts)
    fault = _stamp_fault(version)
    if fault is None and _MAY_HOLD_CONTROLS(version.text):
        fault = _control_fault(facts)
    if fault is None:
        belongs = KINDS.get(version.kind)
        alone = version.kind in _MAY_STAND_ALONE and facts.get(belongs or "") is None
        if belongs is not None and not alone and not _is_urn(facts.get(belongs)):
            fault = (belongs, tr("must be the id of another record"), _ASK)
        elif version.kind in MODELS:
            fault = _facts_fault(version.kind, facts)
    if fault is None:
        return None
    place, what, fix = fault
    return Problem(f"{where}, {place}", what, fix, version.thing)


_Fault = tuple[str, str, str]


def _is_urn(value: object) -> bool:
    return isinstance(value, str) and _URN.match(value) is not None


def _stamp_fault(version: _Read) -> _Fault | None:
    try:
        if read_stamp(version.hlc).device == version.device:
            return None
    except ValueError:
        pass  # not a stamp at all
    return "hlc", tr("is not a stamp of the device that the record names"), _ASK


def _control_fault(value: Any, place: str = "facts") -> _Fault | None:
    # A terminal would obey such signs.
    if isinstance(value, str):
        if any(ord(sign) < 32 and sign not in "\n\t" for sign in value):
            return place, tr("holds signs that can't be shown"), _ASK
    elif isinstance(value, dict):
        for name, member in value.items():
            if fault := _control_fault(name, place) or _control_fault(member, name):
                return fault
    elif isinstance(value, list):
        return next((fault for member in value if (fault := _control_fault(member, place))), None)
    return None


def _facts_fault(kind: str, told: Mapping[str, Any]) -> _Fault | None:
    # The model would also read the text "12", or true, as a number.
    if kind == "lot" and type(told.get("count")) not in (int, type(None)):
        return "count", tr("must be a whole number"), _ASK
    if is_swatch(kind, told):
        kind = "swatch"
    try:
        facts = (SwatchFacts if kind == "swatch" else MODELS[kind]).model_validate(told)
        return _amount_fault(kind, facts) or _time_fault(kind, facts) or _of_kind(facts)
    except ValidationError as error:
        return _told(error)
    except Refused as refused:
        problem = refused.problems[0]
        newer = problem.where in ("material", "part", "ripeness") or problem.kind == "unknown"
        return problem.where, problem.what, _NEWER if newer else _ASK


def _told(error: ValidationError) -> _Fault:
    found = misfit(error)
    return found.place or "facts", found.what, _NEWER if found.newer else _ASK


def _amount_fault(kind: str, facts: Facts) -> _Fault | None:
    for name, (kinds, positive) in _AMOUNTS.get(kind, {}).items():
        measure = getattr(facts, name)
        if not isinstance(measure, Measure):
            continue
        if measure.kind not in kinds:
            return name, tr(_NOT_OF_KIND[kinds], measure=measure), _ASK
        if positive and not measure.si > 0:
            return name, tr("{measure} is nothing", measure=measure), _ASK
    return None


def _time_fault(kind: str, facts: Facts) -> _Fault | None:
    if kind not in _TIMES:
        return None
    text = getattr(facts, _TIMES[kind])
    if not text.isascii() or not EARLIEST_YEAR <= dt.datetime.fromisoformat(text).year <= _LAST_YEAR:
        return _TIMES[kind], tr("is not between {first} and {last}", first=EARLIEST_YEAR, last=_LAST_YEAR), _ASK
    return None


def _of_kind(facts: Facts) -> _Fault | None:
    check = _CHECKS.get(type(facts))
    return check(facts) if check else None


def _site_fault(facts: SiteFacts) -> _Fault | None:
    if not facts.name.strip() or "\n" in facts.name:
        return "name", tr("is not a name on one line"), _ASK
    for key in facts.materials:
        material(key)
    return _fix_fault(facts)


def _lot_fault(facts: LotFacts) -> _Fault | None:
    material(facts.material).part(facts.part)
    if facts.ripeness is not None:
        ripeness(facts.ripeness)
    count = facts.count
    if count is not None and count < 1:
        return "count", tr("{count} is nothing", count=count), _ASK
    net_mass(facts)
    return _fix_fault(facts)


def _fix_fault(facts: SiteFacts | LotFacts) -> _Fault | None:
    fix = facts.fix
    if fix is not None and fix.accuracy is not None and not _RADIUS.match(fix.accuracy):
        return "fix.accuracy", tr("is not a radius in metres"), _ASK
    return None


def _look_fault(facts: LookFacts) -> _Fault | None:
    problem = look_fault(facts)
    if problem is None:
        return None
    return problem.where, problem.what, _NEWER if problem.kind == "unknown" else _ASK


def _plan_fault(facts: PlanFacts) -> _Fault | None:
    fault = plan_fault(facts)
    return None if fault is None else (*fault, _ASK)


def _value_fault(facts: ValueFacts) -> _Fault | None:
    if facts.site is not None and not _is_urn(facts.site):
        return "site", tr("must be the id of another record"), _ASK
    problem = fault_of_value(facts)
    if problem is None:
        return None
    return problem.where, problem.what, _NEWER if problem.where in ("material", "parameter", "unit") else _ASK


def _swatch_fault(facts: SwatchFacts) -> _Fault | None:
    if facts.site is not None and not _is_urn(facts.site):
        return "site", tr("must be the id of another record"), _ASK
    problem = fault_of_swatch(facts)
    if problem is None:
        return None
    return problem.where, problem.what, _NEWER if problem.kind == "unknown" else _ASK


def _test_fault(facts: OwnTestFacts) -> _Fault | None:
    if facts.site is not None and not _is_urn(facts.site):
        return "site", tr("must be the id of another record"), _ASK
    problem = fault_of_test(facts)
    if problem is None:
        return None
    return problem.where, problem.what, _NEWER if problem.kind == "unknown" else _ASK


def _cloth_fault(facts: ClothFacts) -> _Fault | None:
    problem = cloth_fault(facts)
    if problem is None:
        return None
    # An item that is not understood may be in the words of the next program.
    return problem.where, problem.what, _NEWER if problem.fix else _ASK


def _warmth_fault(facts: WarmthFacts) -> _Fault | None:
    problem = warmth_fault(facts)
    return None if problem is None else (problem.where, problem.what, _ASK)


def _vessel_fault(facts: VesselFacts) -> _Fault | None:
    problem = vessel_fault(facts)
    return None if problem is None else (problem.where, problem.what, _ASK)


_CHECKS: Mapping[type[Facts], Callable[[Any], _Fault | None]] = MappingProxyType({
    SiteFacts: _site_fault, LotFacts: _lot_fault, LookFacts: _look_fault,
    PlanFacts: _plan_fault, ClothFacts: _cloth_fault, WarmthFacts: _warmth_fault,
    ValueFacts: _value_fault, OwnTestFacts: _test_fault, SwatchFacts: _swatch_fault,
    VesselFacts: _vessel_fault})
