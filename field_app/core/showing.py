"""Shows numbers, amounts and ranges as people write them.

A result carries three significant digits at most, and the three numbers of a range carry the same decimals.
The decimal sign and the measures are those the person is used to, unless a caller says which; thousands are not
set off.
"""

from __future__ import annotations

import math
from decimal import ROUND_HALF_UP, Context, Decimal
from functools import lru_cache

from field_app.core.estimate import Range
from field_app.core.habits import Measures, habits
from field_app.core.measures import UNITS, Measure, to_si, to_unit
from field_app.core.shown_units import label_of, shown_as, unit_for
from field_app.words import later, tr

__all__ = ["show_between", "show_ends", "show_measure", "show_number", "show_per", "show_range", "show_round",
           "show_si",
           "show_told", "show_value"]

_MOST_DECIMALS = 6
#: One of a unit, in words.
_ONES = {"kg": later("kilogram"), "lb": later("pound")}
#: Units that pounds and gallons stand for.
_METRIC = frozenset({"kg", "g", "t", "L", "mL", "m", "cm", "km", "degC"})
# Wide enough for any float written out.
_WIDE = Context(prec=400)


def _written(x: float, place: int, decimal: str) -> str:
    """The number rounded to a power of ten, halves away from zero."""
    if not math.isfinite(x):
        raise ValueError(f"only a finite number can be shown: {x}")
    # The rounding is of the printed decimals: 2.675 becomes 2.68, as by hand.
    exact, step = Decimal(repr(float(x))), Decimal(1).scaleb(place)
    rounded = exact.quantize(step, rounding=ROUND_HALF_UP, context=_WIDE)
    text = f"{rounded:f}"
    return (text.replace("-", "−", 1) if rounded else text.lstrip("-")).replace(".", decimal)


def _magnitude(x: float) -> int:
    """The power of ten of the first digit: 2 for 120, -1 for 0.84, 0 for zero."""
    return Decimal(repr(float(x))).adjusted() if x else 0


def show_number(x: float, *, decimal: str = "") -> str:
    """A number with three significant digits and six decimals at most; ValueError if it is not finite.

    >>> [show_number(x) for x in (13.1, 8.1, 0.84, 120, 1250, 12.96)], show_number(8.1, decimal=",")
    (['13.1', '8.1', '0.84', '120', '1250', '13'], '8,1')
    """
    return _shown(x, decimal or habits().decimal)


@lru_cache(maxsize=4096)  # the same figures of the table are shown with every estimate
def _shown(x: float, decimal: str) -> str:
    place = max(_magnitude(x) - 2, -_MOST_DECIMALS) if math.isfinite(x) else 0
    text = _written(x, place, decimal)
    return text.rstrip("0").rstrip(decimal) if decimal in text else text


def show_si(value_si: float, unit_key: str, *, decimal: str = "", measures: Measures | None = None) -> str:
    """An SI value ([kg], [L], [m] or [degC]) in the unit [unit_key], or what stands for it in the person's measures.

    KeyError for a unit that is not offered.

    >>> show_si(0.45359237, "g"), show_si(0.45359237, "g", measures="us")
    ('454 g', '1 lb')
    """
    kind = UNITS[unit_key].kind
    key = unit_key if _as_it_is(unit_key, measures) else unit_for(kind, value_si, measures)
    return f"{show_number(to_unit(value_si, key), decimal=decimal)} {label_of(key, measures)}"


def _as_it_is(unit_key: str, measures: Measures | None) -> bool:
    """Whether a unit is one that the person is used to: pounds stay pounds wherever a caller asks for them."""
    return (measures or habits().measures) == "metric" or unit_key not in _METRIC


def show_round(value_si: float, unit_key: str, *, decimal: str = "", measures: Measures | None = None) -> str:
    """A round amount, as in an example or a rule of thumb: in other measures it is rounded again, to two digits.

    >>> show_round(0.2, "g"), show_round(0.2, "g", measures="us"), show_round(14.2, "kg", measures="us")
    ('200 g', '7.1 oz', '31 lb')
    """
    if _as_it_is(unit_key, measures):
        return show_si(value_si, unit_key, decimal=decimal, measures=measures)
    key = unit_for(UNITS[unit_key].kind, value_si, measures)
    value = to_unit(value_si, key)
    return f"{show_number(_to_digits(value, 2), decimal=decimal)} {label_of(key, measures)}"


def _to_digits(value: float, digits: int) -> float:
    return round(value, digits - 1 - _magnitude(value)) if value else value


def show_per(value: float, unit: str, *, decimal: str = "", measures: Measures | None = None) -> tuple[str, str]:
    """So much for one of something, as in a rule of thumb [L/kg or g/kg]: the amount, and of what one is meant.

    >>> show_per(25.0, "L/kg"), show_per(25.0, "L/kg", measures="us")
    (('25 L', 'kilogram'), ('3 gal', 'pound'))
    """
    way = shown_as(unit, value, measures)
    above, _, below = way.label.partition("/")
    amount = way.of(value) if below == "kg" else _to_digits(way.of(value), 2)
    return f"{show_number(amount, decimal=decimal)} {above}", tr(_ONES[below])


def show_value(value: float, unit: str, *, decimal: str = "", measures: Measures | None = None) -> str:
    """A single figure of the core [its unit, such as g/L or m²], in the person's measures.

    >>> show_value(120.0, "g/m²"), show_value(120.0, "g/m²", measures="us")
    ('120 g/m²', '3.54 oz/yd²')
    """
    return show_ends(value, value, value, unit, decimal=decimal, measures=measures)


def show_ends(low: float, central: float, high: float, unit: str, *, decimal: str = "",
              measures: Measures | None = None) -> str:
    """A figure with its ends [the unit of all three], each with the digits that it has by itself.

    >>> show_ends(45.0, 70.0, 100.0, "g"), show_ends(45.0, 70.0, 100.0, "g", measures="imperial")
    ('70 g (45–100)', '2.47 oz (1.59–3.53)')
    """
    way = shown_as(unit, central or high, measures)
    texts = [show_number(way.of(value), decimal=decimal) for value in (low, central, high)]
    named = f"{texts[1]} {way.label}".rstrip()
    return named if low == high else f"{named} ({texts[0]}–{texts[2]})"


def show_between(low_si: float, high_si: float, unit_key: str) -> str:
    """From one SI value to another, such as the heat of a bath.

    >>> show_between(40, 60, "degC")
    '40–60 °C'
    """
    low, _, _ = show_si(low_si, unit_key).partition(" ")
    return f"{low}–{show_si(high_si, unit_key)}"


def show_measure(measure: Measure, *, decimal: str = "") -> str:
    """An amount with every digit that was given [its unit].

    >>> show_measure(Measure("14.20", "kg"), decimal=",")
    '14,20 kg'
    """
    number = measure.value.replace(".", decimal or habits().decimal, 1).replace("-", "−", 1)
    return f"{number} {label_of(measure.unit)}"


def show_told(measure: Measure, *, decimal: str = "") -> str:
    """An amount as it was told [its unit], and what that is in the person's measures, where those are others.

    >>> show_told(Measure("12.5", "kg")), show_told(Measure("52", "oz", "3 lb 4 oz"))
    ('12.5 kg', '3 lb 4 oz (1.47 kg)')
    """
    told = measure.typed or show_measure(measure, decimal=decimal)
    metric = habits().measures == "metric"
    if (measure.unit in _METRIC) == metric:
        return told
    large = {"mass": "kg", "volume": "L", "length": "m", "temperature": "degC"}[measure.kind]
    small = {"mass": "g", "volume": "mL", "length": "cm", "temperature": "degC"}[measure.kind]
    own = show_si(measure.si, large if measure.si >= 1 else small, decimal=decimal)
    return f"{told} ({own})"


def show_range(r: Range, *, decimal: str = "", unit: str | None = None, measures: Measures | None = None) -> str:
    """A range as its central value with low and high in brackets [unit, or the range's own].

    In pounds and gallons it is shown in the unit that stands for it there.
    A range without spread is one number; a narrow one gets the decimals that tell low from high.
    unit: a key of UNITS to show it in; ValueError if the range is of another kind.

    >>> show_range(Range(7.01, 8.07, 9.62, "kg")), show_range(Range(0.7, 0.842, 1, "kg"), unit="g")
    ('8.1 kg (7.0–9.6)', '842 g (700–1000)')
    >>> show_range(Range(7.01, 8.07, 9.62, "kg"), measures="us")
    '17.8 lb (15.5–21.2)'
    """
    decimal = decimal or habits().decimal
    low, central, high = r.low, r.central, r.high
    if unit is not None and unit != r.unit:
        if r.unit not in UNITS or UNITS[r.unit].kind != UNITS[unit].kind:
            raise ValueError(f"a range in {r.unit} can't be shown in {unit}")
        low, central, high = (to_unit(to_si(x, r.unit), unit) for x in (low, central, high))
    key = unit or r.unit
    if key in UNITS and _as_it_is(key, measures):
        label = label_of(key, measures)
    else:
        way = shown_as(key, central or high, measures)
        low, central, high = (way.of(x) for x in (low, central, high))
        label = way.label
    named = f" {label}" if label else ""
    if low == high:
        return f"{show_number(central, decimal=decimal)}{named}"
    top = _magnitude(central or high)
    place = max(top - (2 if top >= 1 else 1), -_MOST_DECIMALS)
    while place > -_MOST_DECIMALS and _written(low, place, decimal) == _written(high, place, decimal):
        place -= 1
    shown = [_written(x, place, decimal) for x in (low, central, high)]
    return f"{shown[1]}{named} ({shown[0]}–{shown[2]})"
