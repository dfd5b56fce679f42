"""In which unit a quantity of the core is shown: as it is, or as the person's measures have it.

The law of this file: each unit of the core has, for pounds and gallons, a row of units from large to small; the
first of which there is at least as much as its row says is taken, and the last one for less.
A unit made of two (g/L) becomes the trade's own pair (oz/gal).
What is no mass, volume, length, area or temperature (%, h, days) is shown as it is.

Factors of single units come from :mod:`field_app.core.measures`, so that they stand in one place.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from types import MappingProxyType
from typing import Literal

from field_app.core.habits import Measures, habits
from field_app.core.measures import SI_UNITS, UNITS, factor_si, to_si, to_unit

__all__ = ["KM_PER_MILE", "Shown", "label_of", "offered_first", "shown_as", "unit_for"]

Pounds = Literal["us", "imperial"]

#: From large to small: a unit, and the least of it that is shown in it [1].
_ROWS: Mapping[Pounds, Mapping[str, tuple[tuple[str, float], ...]]] = MappingProxyType({
    "us": {"mass": (("lb", 1), ("oz", 0)), "volume": (("gal-us", 1), ("qt-us", 1), ("fl-oz-us", 0)),
           "length": (("mi", 0.5), ("yd", 10), ("ft", 1.5), ("in", 0)), "temperature": (("degF", 0),)},
    "imperial": {"mass": (("lb", 1), ("oz", 0)), "volume": (("gal-imp", 1), ("pt-imp", 1), ("fl-oz-imp", 0)),
                 "length": (("mi", 0.5), ("yd", 10), ("ft", 1.5), ("in", 0)), "temperature": (("degF", 0),)}})

#: The unit of a kind that is offered first where one is chosen.
_FIRST: Mapping[Measures, Mapping[str, tuple[str, ...]]] = MappingProxyType({
    "metric": {"mass": ("kg", "g"), "volume": ("L", "mL"), "length": ("m", "cm", "km"), "temperature": ("degC",)},
    "us": {"mass": ("lb", "oz"), "volume": ("gal-us", "qt-us", "fl-oz-us"), "length": ("ft", "in", "yd", "mi"),
           "temperature": ("degF",)},
    "imperial": {"mass": ("lb", "oz"), "volume": ("gal-imp", "pt-imp", "fl-oz-imp"),
                 "length": ("ft", "in", "yd", "mi"), "temperature": ("degF",)}})

#: A unit made of two: as metric people read it, and what it is made of: (above, below) with their powers.
_PAIRS: Mapping[str, tuple[tuple[str, str, int], tuple[str, str, int]]] = MappingProxyType({
    "g/L": (("g", "oz", 1), ("L", "gal", 1)),
    "g/kg": (("g", "oz", 1), ("kg", "lb", 1)),
    "g/m²": (("g", "oz", 1), ("m", "yd", 2)),
    "L/kg": (("L", "gal", 1), ("kg", "lb", 1)),
    "kg/L": (("kg", "lb", 1), ("L", "gal", 1)),
    "kg/m³": (("kg", "lb", 1), ("m³", "bu", 1)),
    "L/(h·m²)": (("L", "gal", 1), ("m", "yd", 2)),
})
_PAIR_LABELS = {"g/L": "oz/gal", "g/kg": "oz/lb", "g/m²": "oz/yd²", "L/kg": "gal/lb", "kg/L": "lb/gal",
                "kg/m³": "lb/bu", "L/(h·m²)": "gal/(h·yd²)"}
#: Kilometres in a mile of 1760 yards of 0.9144 m.
KM_PER_MILE = 1.609344
#: Units whose factor is the same for every gallon.
_SAME = {"°C-days": ("°F-days", 1.8), "kg/kg": ("lb/lb", 1.0), "km/h": ("mph", 1 / KM_PER_MILE)}


@dataclass(frozen=True, slots=True)
class Shown:
    """How a quantity is shown: its label, and how a value of the core's unit becomes one of it.

    factor: what a value is multiplied with [1]; key: of UNITS, for a single unit, which may need an offset.
    """

    label: str
    factor: float = 1.0
    source: str = ""
    key: str = ""

    def of(self, value: float) -> float:
        """A value of the core's unit, in the one shown."""
        if self.key:
            return to_unit(to_si(value, self.source), self.key)
        return value * self.factor


def label_of(unit_key: str, measures: Measures | None = None) -> str:
    """The label of a unit; whose gallon it is stays unsaid where it is the person's own.

    >>> label_of("gal-us", "us"), label_of("gal-us", "imperial"), label_of("gal-us", "metric")
    ('gal', 'US gal', 'US gal')
    """
    unit = UNITS[unit_key]
    own = {"us": "us", "imperial": "imp"}.get(measures or habits().measures)
    if unit.system is None or unit.system != own:
        return unit.label
    return unit.label.removeprefix("US ").removeprefix("imp ")


def unit_for(kind: str, value_si: float, measures: Measures | None = None) -> str:
    """The key of the unit that an amount [kg, L, m or degC] of a kind is shown in.

    >>> unit_for("mass", 8.1, "us"), unit_for("mass", 0.2, "us"), unit_for("volume", 2.0, "imperial")
    ('lb', 'oz', 'pt-imp')
    """
    used = measures or habits().measures
    if used == "metric":
        return SI_UNITS[kind]  # type: ignore[index]  # a kind of UNITS
    *larger, (smallest, _) = _ROWS[used][kind]
    # A hair below a full unit is shown as one: 15.9999 oz would be read as 16 oz.
    return next((key for key, least in larger if value_si >= least * float(factor_si(key)) * (1 - 1e-9)), smallest)


def shown_as(unit: str, value: float, measures: Measures | None = None) -> Shown:
    """How a value [in a unit of the core] is shown; a unit without a counterpart stays as it is.

    >>> shown_as("kg", 8.1, "us").label, round(shown_as("g/L", 7.5, "us").of(7.489), 3)
    ('lb', 1.0)
    """
    used = measures or habits().measures
    if unit in UNITS:
        if used == "metric":
            return Shown(UNITS[unit].label)
        key = unit_for(UNITS[unit].kind, to_si(value, unit), used)
        return Shown(label_of(key, used), source=unit, key=key)
    if used != "metric" and unit in _SAME:
        return Shown(*_SAME[unit])
    if used == "metric" or unit not in (*_PAIRS, "m²", "m2"):
        return Shown("" if unit == "1" else unit)
    if unit in ("m²", "m2"):
        return Shown("yd²", _ratio("m", "yd", 2, used))
    above, below = _PAIRS[unit]
    return Shown(_PAIR_LABELS[unit], _ratio(*above, used) / _ratio(*below, used))


def _ratio(source: str, target: str, power: int, used: Measures) -> float:
    """How many of the target one of the source is [1], to a power."""
    own = "imp" if used == "imperial" else "us"
    # The core counts volumes in litres, of which a cubic metre has a thousand.
    litres = Decimal(1000) if source == "m³" else factor_si(source)
    one = litres / factor_si(f"{target}-{own}" if target in ("gal", "bu") else target)
    return float(Decimal(one) ** power)


def offered_first(kind: str, measures: Measures | None = None) -> tuple[str, ...]:
    """The keys of the units of a kind that a person chooses among, their own first.

    >>> offered_first("mass", "us")
    ('lb', 'oz', 'kg', 'g', 'st', 't')
    """
    first = _FIRST[measures or habits().measures][kind]
    return (*first, *(key for key, unit in UNITS.items() if unit.kind == kind and key not in first))
