"""What a person measured and set of their own: values in place of the table's, and tests that teach.

The law of this file:

1. A value is one thing for each material, parameter and site: two people who set the same one say different things
   of one thing, and that can be settled.
2. A test of a lot names the lot, and what it was made of follows from the lot; a test without a lot names a material,
   the condition of the stuff and, if it is known, a site.
3. Amounts are kept as they were typed; what a test comes to is worked out from them.
"""

from __future__ import annotations

import uuid
from collections.abc import Mapping
from decimal import Decimal
from types import MappingProxyType
from typing import Literal, get_args

from field_app.core.facts import Facts, LocalTime, MeasureFact
from field_app.core.materials import Material, Parameter, material
from field_app.core.problems import Problem, Refused
from field_app.core.units import UNITS, read_number, show_round
from field_app.words import later, tr

__all__ = ["MOST_BRIX", "STATES", "TESTS", "OwnTestFacts", "OwnTestKind", "StuffState", "ValueFacts", "fault_of_test",
           "fault_of_value", "parameter_of", "units_for", "value_id"]

OwnTestKind = Literal["dry", "spent", "reading"]
#: The tests of one's own: dry matter, share extracted, refractometer reading.
TESTS: tuple[OwnTestKind, ...] = get_args(OwnTestKind)
StuffState = Literal["fresh", "browned", "soaked", "air-dry"]
#: In what state stuff is put to a test: fresh, browned and soft, soaked and drained, or air-dry.
STATES: tuple[StuffState, ...] = get_args(StuffState)

#: The space of names from which the id of a value is made (RFC 9562, 5.5).
_VALUES = uuid.UUID("0b7c3f5e-5f0e-5d1a-8d8e-3f6f0c2b9a42")
#: The strongest liquor that is read [°Brix]: beyond it, syrup was meant.
MOST_BRIX = 60
_POUND, _YARD2 = Decimal("0.45359237"), Decimal("0.83612736")  # [kg], [m²], exactly
#: The gallon [L] and the bushel [m³] of the United States and of Britain, each said with whose it is.
_GALLONS = {"US gal": Decimal("3.785411784"), "imp gal": Decimal("4.54609")}
_BUSHELS = {"US bu": Decimal("0.03523907016688"), "imp bu": Decimal("0.03636872")}
#: The units in which a person may give a parameter, by the unit of the table, and their factors; the first is offered.
_UNITS: Mapping[str, Mapping[str, Decimal]] = MappingProxyType({
    "1": {"%": Decimal("0.01"), "1": Decimal(1)},
    "kg": {"g": Decimal("0.001"), "kg": Decimal(1), "oz": Decimal("0.028349523125"), "lb": Decimal("0.45359237")},
    "kg/m³": {"kg/m³": Decimal(1), "kg/L": Decimal(1000),
              **{f"lb/{name}": _POUND / bushel for name, bushel in _BUSHELS.items()}},
    "kg/kg": {"kg/kg": Decimal(1)},
    "L/kg": {"L/kg": Decimal(1), **{f"{name}/lb": gallon / _POUND for name, gallon in _GALLONS.items()}},
    "L/(h·m²)": {"L/(h·m²)": Decimal(1),
                 **{f"{name}/(h·yd²)": gallon / _YARD2 for name, gallon in _GALLONS.items()}},
    "min": {"min": Decimal(1), "h": Decimal(60), "days": Decimal(1440)},
    "d": {later("days"): Decimal(1), later("weeks"): Decimal(7)},
})


class ValueFacts(Facts):
    """A parameter of a material as a person sets it, everywhere or at one site, in place of the table's.

    value: decimal text in ``unit``, low and high the same, or None where only one figure is known;
    at: RFC 3339 local time with its offset.
    """

    material: str
    parameter: str
    value: str
    unit: str
    at: LocalTime
    low: str | None = None
    high: str | None = None
    site: str | None = None
    by: str = ""
    note: str = ""


class OwnTestFacts(Facts):
    """A test of one's own stuff; masses are on the scale with the dish, if one is told.

    dry: ``before`` the stuff as it is, ``after`` the same dried until it loses no more.
    spent: ``before`` air-dry stuff, ``after`` the same, spent and air-dry again.
    reading: ``before`` the stuff put in, ``liquor`` the liquor on it in the kettle, ``brix`` the refractometer's
    reading [°Brix] as decimal text.
    state: of the stuff, where no lot says it; division: the smallest step that the scale shows;
    at: RFC 3339 local time with its offset.
    """

    test: OwnTestKind
    at: LocalTime
    lot: str | None = None
    material: str | None = None
    site: str | None = None
    state: StuffState | None = None
    dish: MeasureFact | None = None
    before: MeasureFact | None = None
    after: MeasureFact | None = None
    liquor: MeasureFact | None = None
    brix: str | None = None
    division: MeasureFact | None = None
    by: str = ""
    note: str = ""


def value_id(material_key: str, parameter: str, site: str | None = None) -> str:
    """The id of a value, the same on every device.

    >>> value_id("black-walnut", "dry-fresh") == value_id("black-walnut", "dry-fresh", None)
    True
    """
    return f"urn:uuid:{uuid.uuid5(_VALUES, '|'.join((material_key, parameter, site or '')))}"


def units_for(row: Parameter) -> Mapping[str, Decimal]:
    """The units in which a parameter may be given, the one to offer first, and their factors to that of the table."""
    return MappingProxyType(dict(_UNITS[row.unit]))


def parameter_of(facts: ValueFacts) -> tuple[Material, Parameter, tuple[float, float | None, float | None]]:
    """The material and the row that a value replaces, and central, low and high [unit of the row].

    Raises Refused if the material, the parameter or the unit is not known, or a number can't be read.
    """
    stuff = material(facts.material)
    row = stuff.parameters.get(facts.parameter)
    if row is None:
        raise Refused([Problem("parameter", tr("{parameter!r:.60} is no figure of {name}", parameter=facts.parameter,
                                               name=stuff.said),
                               tr("List the figures of the material."), kind="unknown")])
    factor = units_for(row).get(facts.unit)
    if factor is None:
        raise Refused([Problem("unit", tr("{unit!r:.30} is no unit for {parameter}", unit=facts.unit,
                                          parameter=facts.parameter),
                               tr("Choose one of: {choices}.", choices=", ".join(units_for(row))), kind="unknown")])

    def read(where: str, text: str | None) -> float | None:
        return None if text is None else float(read_number(text, where=where) * factor)

    central = read("value", facts.value)
    assert central is not None
    return stuff, row, (central, read("low", facts.low), read("high", facts.high))


def fault_of_value(facts: ValueFacts) -> Problem | None:
    """What stands against a value, or None: no number, nothing, out of order, or a share above all there is."""
    try:
        _, row, (central, low, high) = parameter_of(facts)
    except Refused as refused:
        return refused.problems[0]
    if not central > 0:
        return Problem("value", tr("{value} is nothing", value=facts.value), tr("Give a number above zero."))
    if low is not None and not 0 < low <= central:
        return Problem("low", tr("{low} is not above zero and up to {value}", low=facts.low, value=facts.value),
                       tr("Give the low end of it."))
    if high is not None and high < central:
        return Problem("high", tr("{high} is below {value}", high=facts.high, value=facts.value),
                       tr("Give the high end of it."))
    share = row.unit == "1" and not facts.parameter.startswith("wof-")
    if share and max(central, high or 0) > 1:
        most = facts.value if central > 1 else facts.high
        return Problem("value", tr("{most} {unit} is more than all there is", most=most, unit=tr(facts.unit)),
                       tr("Give a share up to 100 %."))
    return None


_MASSES = {"dry": ("before", "after"), "spent": ("before", "after"), "reading": ("before",)}


def fault_of_test(facts: OwnTestFacts) -> Problem | None:
    """What stands against a test, or None: a weighing that is missing, a gain in drying, or a reading out of reach."""
    checks = (_subject_fault, _kind_fault, _weighing_fault, _reading_fault)
    return next((fault for check in checks if (fault := check(facts)) is not None), None)


def _subject_fault(facts: OwnTestFacts) -> Problem | None:
    if facts.lot is None and (facts.material is None or facts.state is None):
        return Problem("material", tr("neither a lot nor a material and its condition is told"),
                       tr("Tell what was tested."))
    try:
        if facts.material is not None:
            material(facts.material)
    except Refused as refused:
        return refused.problems[0]
    return None


def _kind_fault(facts: OwnTestFacts) -> Problem | None:
    for name in ("dish", "before", "after", "division"):
        measure = getattr(facts, name)
        if measure is not None and UNITS[measure.unit].kind != "mass":
            return Problem(name, tr("{measure} is not a mass", measure=measure),
                           tr("Give what the scale showed, as in {example}.", example=show_round(0.212, "g")))
    missing = next((name for name in _MASSES[facts.test] if getattr(facts, name) is None), None)
    if missing is not None:
        return Problem(missing, tr("this weighing is missing"),
                       tr("Give what the scale showed, as in {example}.", example=show_round(0.212, "g")))
    return None


def _weighing_fault(facts: OwnTestFacts) -> Problem | None:
    dish = facts.dish.si if facts.dish is not None else 0.0
    weighings = {name: measure for name in _MASSES[facts.test] if (measure := getattr(facts, name)) is not None}
    for name, measure in weighings.items():
        if not measure.si > dish:
            what = (tr("{measure} is nothing", measure=measure) if facts.dish is None
                    else tr("{measure} is not more than the dish of {dish}", measure=measure, dish=facts.dish))
            return Problem(name, what, tr("Give what the scale showed, dish and all."))
    if "after" in weighings and weighings["after"].si >= weighings["before"].si:
        return Problem("after", tr("{after} is not less than the {before} before",
                                   after=weighings["after"], before=weighings["before"]),
                       tr("Check which weighing is which."))
    return None


def _reading_fault(facts: OwnTestFacts) -> Problem | None:
    if facts.test != "reading":
        return None
    if facts.liquor is None or UNITS[facts.liquor.unit].kind != "volume" or not facts.liquor.si > 0:
        return Problem("liquor", tr("how much liquor there is is missing"),
                       tr("Give the liquor in the kettle, as in {example}.", example=show_round(12, "L")))
    try:
        brix = read_number(facts.brix or "", where="brix")
    except Refused as refused:
        return refused.problems[0]
    if not 0 < brix <= MOST_BRIX:
        return Problem("brix", tr("{brix} °Brix is no reading of dye liquor", brix=facts.brix),
                       tr("Give the reading, as in 1.4."))
    return None
