"""Units and amounts: the table of units a person may use, and an amount as it was typed.

An amount keeps the decimal text and the unit that the person used; its SI value is worked out from them.
Factors come from one registry, made when first needed, that counts in decimals, so they are exact.
A bushel or a peck is a volume, filled level with the rim; what one weighs is never a conversion.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Context, Decimal
from functools import cache, lru_cache
from types import MappingProxyType
from typing import TYPE_CHECKING, Any, Literal

from field_app.core.problems import refuse
from field_app.words import tr

if TYPE_CHECKING:
    import pint

__all__ = ["SI_UNITS", "UNITS", "Kind", "Measure", "System", "Unit", "factor_si", "offered", "to_si",
           "to_unit"]

Kind = Literal["mass", "volume", "length", "temperature"]
System = Literal["us", "imp"]

#: The unit that the core counts in, by kind.
SI_UNITS: Mapping[Kind, str] = MappingProxyType(
    {"mass": "kg", "volume": "L", "length": "m", "temperature": "degC"})


@dataclass(frozen=True, slots=True)
class Unit:
    """A unit that a person may use.

    key: as stored; label: as shown; pint_name: as the registry calls it.
    spellings: how people write it, in lower case without points, brackets and hyphens.
    system: for a unit that differs between the United States and Britain, which of the two this is;
    its spellings then count only where that system was chosen or is written with them.
    """

    key: str
    label: str
    kind: Kind
    pint_name: str
    spellings: tuple[str, ...] = ()
    system: System | None = None


_GALLON = ("gal", "gals", "gallon", "gallons")
_QUART = ("qt", "qts", "quart", "quarts")
_PINT = ("pt", "pts", "pint", "pints")
_FLUID_OUNCE = ("fl oz", "floz", "fluid oz", "fluid ounce", "fluid ounces")
_BUSHEL = ("bu", "bushel", "bushels")
_PECK = ("pk", "pks", "peck", "pecks")

#: Every unit by its key, in the order in which they are offered.
UNITS: Mapping[str, Unit] = MappingProxyType({unit.key: unit for unit in (
    Unit("kg", "kg", "mass", "kilogram", ("kgs", "kilo", "kilos", "kilogram", "kilograms", "kilogramm")),
    Unit("g", "g", "mass", "gram", ("gram", "grams", "gramme", "grammes", "gramm")),
    Unit("lb", "lb", "mass", "pound", ("lbs", "pound", "pounds")),
    Unit("oz", "oz", "mass", "ounce", ("ozs", "ounce", "ounces")),
    Unit("st", "st", "mass", "stone", ("stone", "stones")),
    Unit("t", "t", "mass", "metric_ton", ("tonne", "tonnes", "tonnen", "metric ton", "metric tons")),
    Unit("L", "L", "volume", "liter", ("ltr", "litre", "litres", "liter", "liters")),
    Unit("mL", "mL", "volume", "milliliter", ("millilitre", "millilitres", "milliliter", "milliliters")),
    Unit("gal-us", "US gal", "volume", "gallon", _GALLON, "us"),
    Unit("gal-imp", "imp gal", "volume", "imperial_gallon", _GALLON, "imp"),
    Unit("qt-us", "US qt", "volume", "quart", _QUART, "us"),
    Unit("qt-imp", "imp qt", "volume", "imperial_quart", _QUART, "imp"),
    Unit("qt-dry", "US dry qt", "volume", "dry_quart", ("qt dry", *(f"dry {name}" for name in _QUART)),
         "us"),
    Unit("pt-us", "US pt", "volume", "pint", _PINT, "us"),
    Unit("pt-imp", "imp pt", "volume", "imperial_pint", _PINT, "imp"),
    Unit("fl-oz-us", "US fl oz", "volume", "fluid_ounce", _FLUID_OUNCE, "us"),
    Unit("fl-oz-imp", "imp fl oz", "volume", "imperial_fluid_ounce", _FLUID_OUNCE, "imp"),
    Unit("bu-us", "US bu", "volume", "bushel", _BUSHEL, "us"),
    Unit("bu-imp", "imp bu", "volume", "imperial_bushel", _BUSHEL, "imp"),
    Unit("pk-us", "US pk", "volume", "peck", _PECK, "us"),
    Unit("pk-imp", "imp pk", "volume", "imperial_peck", _PECK, "imp"),
    Unit("m", "m", "length", "meter", ("metre", "metres", "meter", "meters")),
    Unit("km", "km", "length", "kilometer", ("kilometre", "kilometres", "kilometer", "kilometers")),
    Unit("ft", "ft", "length", "foot", ("foot", "feet")),
    Unit("yd", "yd", "length", "yard", ("yds", "yard", "yards")),
    Unit("mi", "mi", "length", "mile", ("mile", "miles")),
    Unit("cm", "cm", "length", "centimeter", ("centimetre", "centimetres", "centimeter", "centimeters", "zentimeter")),
    Unit("in", "in", "length", "inch", ("inch", "inches", "zoll")),
    Unit("degC", "°C", "temperature", "degC", ("°c", "c", "deg c", "celsius", "grad", "grad celsius")),
    Unit("degF", "°F", "temperature", "degF", ("°f", "f", "deg f", "fahrenheit")),
)})

#: The core's own units, which need no conversion.
_OWN = frozenset(SI_UNITS.values())
# Wide enough that a factor of 28 digits, as the registry works it out, is rounded back to its exact value.
_EXACT = Context(prec=40)
_SHORT = Context(prec=20)
_CANONICAL = re.compile(r"-?(?:0|[1-9][0-9]{0,11})(?:\.[0-9]{1,12})?\Z")
_LONGEST = 40


def offered(kind: Kind) -> tuple[str, ...]:
    """The keys of the units of one kind, in the order of a menu.

    >>> offered("mass")
    ('kg', 'g', 'lb', 'oz', 'st', 't')
    """
    return tuple(key for key, unit in UNITS.items() if unit.kind == kind)


@cache
def _registry() -> pint.UnitRegistry[Decimal]:
    import pint  # takes a quarter of a second, and the first screen needs no conversion

    return pint.UnitRegistry(non_int_type=Decimal)


def _convert(value: Decimal, source: str, target: str) -> Decimal:
    quantity = _registry().Quantity(value, UNITS[source].pint_name)
    return _SHORT.create_decimal(quantity.to(UNITS[target].pint_name).magnitude).normalize(_SHORT)


@cache
def factor_si(unit_key: str) -> Decimal:
    """How many [kg], [L] or [m] one of the unit is, exactly; a temperature has no factor (ValueError).

    >>> factor_si("lb")
    Decimal('0.45359237')
    """
    unit = UNITS[unit_key]
    if unit.kind == "temperature":
        raise ValueError("a temperature is converted with an offset, not with a factor")
    return _convert(Decimal(1), unit_key, SI_UNITS[unit.kind])


def _exact_si(value: Decimal, unit_key: str) -> Decimal:
    if UNITS[unit_key].kind == "temperature":
        return _convert(value, unit_key, "degC")
    return _EXACT.multiply(value, factor_si(unit_key))


@lru_cache(maxsize=4096)
def _si(value: str, unit_key: str) -> float:
    # The same few pails and weights come again and again, and each is asked for several times.
    return float(_exact_si(Decimal(value), unit_key))


def to_si(value: float, unit_key: str) -> float:
    """A value in the unit [unit_key] as [kg], [L], [m] or [degC]; KeyError for a unit that is not offered.

    >>> to_si(50.0, "degF")
    10.0
    """
    if unit_key in _OWN:
        return float(value)
    return float(_exact_si(Decimal(repr(float(value))), unit_key))


def to_unit(si: float, unit_key: str) -> float:
    """An SI value ([kg], [L], [m] or [degC]) in the unit [unit_key]; KeyError for a unit that is not offered.

    >>> to_unit(0.45359237, "oz")
    16.0
    >>> to_unit(10.0, "degF")
    50.0
    """
    if unit_key in _OWN:
        return float(si)
    # A float is taken at the decimals that are printed, so 0.45359237 kg is one pound, not a hair more.
    value = Decimal(repr(float(si)))
    if UNITS[unit_key].kind == "temperature":
        return float(_convert(value, "degC", unit_key))
    return float(_EXACT.divide(value, factor_si(unit_key)))


@dataclass(frozen=True, slots=True)
class Measure:
    """An amount as a person gave it [unit].

    value: decimal text with a point, no exponent, no leading zeros; zeros at the end are kept,
    for they say how finely a scale shows.
    unit: a key of UNITS.
    typed: what the person typed, where it differs from value and label ("1 lb 4 oz").
    Raises Refused if a part is not as described, or if an amount other than a temperature is below zero.

    >>> Measure("20", "oz", "1 lb 4 oz").si
    0.5669904625
    >>> str(Measure("14.2", "kg"))
    '14.2 kg'
    """

    value: str
    unit: str
    typed: str = ""

    def __post_init__(self) -> None:
        if not (isinstance(self.unit, str) and self.unit in UNITS):
            raise refuse("amount", tr("{unit!r:.60} is no unit known here", unit=self.unit),
                         tr("Use {units}.", units=", ".join(UNITS)), kind="unknown")
        if not (isinstance(self.value, str) and _CANONICAL.match(self.value)):
            raise refuse("amount", tr("{value!r:.60} is not a plain decimal number", value=self.value),
                         tr("Write it with a point and without exponent, as in 14.2."))
        if not (isinstance(self.typed, str) and len(self.typed) <= _LONGEST and self.typed.isprintable()):
            raise refuse("amount", tr("{typed!r:.60} is not the text of an amount", typed=self.typed),
                         tr("Keep it to {most} printable signs.", most=_LONGEST))
        if self.value.startswith("-"):
            self._check_below_zero()

    def _check_below_zero(self) -> None:
        if self.kind != "temperature":
            raise refuse("amount", tr("{amount} is below zero", amount=self), tr("Use an amount of zero or more."))
        if Decimal(self.value) == 0:
            raise refuse("amount", tr("{value} is zero with a minus", value=self.value), tr("Write zero without it."))
        if self.si < -273.15:
            raise refuse("amount", tr("{amount} is below the absolute zero", amount=self),
                         tr("Check the number and its unit."))

    @property
    def kind(self) -> Kind:
        """What kind of amount it is."""
        return UNITS[self.unit].kind

    @property
    def si(self) -> float:
        """The amount in [kg], [L], [m] or [degC]."""
        return _si(self.value, self.unit)

    def as_json(self) -> dict[str, str]:
        """``{value, unit}`` and, where it says more, ``typed``."""
        plain = {"value": self.value, "unit": self.unit}
        return {**plain, "typed": self.typed} if self.typed else plain

    @classmethod
    def from_json(cls, data: Mapping[str, Any]) -> Measure:
        """An amount from what :meth:`as_json` gives; Refused if it is anything else.

        >>> Measure.from_json({"value": "14.2", "unit": "kg"})
        Measure(value='14.2', unit='kg', typed='')
        """
        if not isinstance(data, Mapping) or not {"value", "unit"} <= set(data) <= {"value", "unit", "typed"}:
            raise refuse("amount", tr("{data!r:.80} is not an amount", data=data),
                         tr('Give value and unit, as in {"value": "14.2", "unit": "kg"}.'))
        return cls(data["value"], data["unit"], data.get("typed", ""))

    def __str__(self) -> str:
        return f"{self.value} {UNITS[self.unit].label}"
