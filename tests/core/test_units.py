"""Amounts: what a person may type, what is refused and how, and how results are shown."""

from __future__ import annotations

import math
import subprocess
import sys
import unicodedata
from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from field_app.core.estimate import Range
from field_app.core.problems import Problem, Refused
from field_app.core.units import (
    UNITS,
    Kind,
    Measure,
    factor_si,
    offered,
    read_measure,
    read_number,
    show_measure,
    show_number,
    show_range,
    show_si,
    to_si,
    to_unit,
)

KINDS: tuple[Kind, ...] = ("mass", "volume", "length", "temperature")
#: The registry takes a while when it is first asked, which is no fault of the example at hand.
patient = settings(deadline=None)


def problem(refused: pytest.ExceptionInfo[Refused]) -> Problem:
    (only,) = refused.value.problems
    return only


# --- reading ---------------------------------------------------------------------------------------------


@pytest.mark.parametrize(("text", "kind", "value", "unit"), [
    ("14.2 kg", "mass", "14.2", "kg"),
    ("5,5 kg", "mass", "5.5", "kg"),
    ("14.20 kg", "mass", "14.20", "kg"),
    (".5 kg", "mass", "0.5", "kg"),
    ("007 kg", "mass", "7", "kg"),
    ("5. kg", "mass", "5", "kg"),
    ("+5 kg", "mass", "5", "kg"),
    ("0 kg", "mass", "0", "kg"),
    ("  5\u00a0kg\n", "mass", "5", "kg"),
    ("5kg.", "mass", "5", "kg"),
    ("3 KILOS", "mass", "3", "kg"),
    ("3 kilo", "mass", "3", "kg"),
    ("250 g", "mass", "250", "g"),
    ("1 gram", "mass", "1", "g"),
    ("2 LB", "mass", "2", "lb"),
    ("2 lbs.", "mass", "2", "lb"),
    ("2 Pounds", "mass", "2", "lb"),
    ("4 ounces", "mass", "4", "oz"),
    ("3 stone", "mass", "3", "st"),
    ("2 tonnes", "mass", "2", "t"),
    ("½ lb", "mass", "0.5", "lb"),
    ("1½lb", "mass", "1.5", "lb"),
    ("1 ½ lb", "mass", "1.5", "lb"),
    ("1/2 lb", "mass", "0.5", "lb"),
    ("1 1/2 lb", "mass", "1.5", "lb"),
    ("1⁄3 lb", "mass", "0.333333333", "lb"),
    ("1 lb 4 oz", "mass", "20", "oz"),
    ("1lb4oz", "mass", "20", "oz"),
    ("1 lb, 4 ½ oz", "mass", "20.5", "oz"),
    ("1 st 3 lb", "mass", "17", "lb"),
    ("1 st 3 lb 2 oz", "mass", "274", "oz"),
    ("1 kg 200 g", "mass", "1200", "g"),
    ("1 250 g", "mass", "1250", "g"),
    ("12\u202f500,5 g", "mass", "12500.5", "g"),
    ("١٢٫٥ kg", "mass", "12.5", "kg"),
    ("12 L", "volume", "12", "L"),
    ("12 l", "volume", "12", "L"),
    ("12 liters", "volume", "12", "L"),
    ("500 ml", "volume", "500", "mL"),
    ("8 fl. oz.", "volume", "8", "fl-oz-us"),
    ("1 dry quart", "volume", "1", "qt-dry"),
    ("1 quart", "volume", "1", "qt-us"),
    ("2 bushels", "volume", "2", "bu-us"),
    ("3 pecks", "volume", "3", "pk-us"),
    ("3 gal (US)", "volume", "3", "gal-us"),
    ("3 U.S. gal", "volume", "3", "gal-us"),
    ("3 gal-imp", "volume", "3", "gal-imp"),
    ("3 imp. gallons", "volume", "3", "gal-imp"),
    ("3 gal 1 qt", "volume", "13", "qt-us"),
    ("310 metres", "length", "310", "m"),
    ("5 ft 3 in", "length", "63", "in"),
    ("12 °C", "temperature", "12", "degC"),
    ("12 C", "temperature", "12", "degC"),
    ("54 ºF", "temperature", "54", "degF"),
    ("54 ℉", "temperature", "54", "degF"),
    ("−5 °C", "temperature", "-5", "degC"),
])
def test_amounts_are_read_as_they_are_meant(text: str, kind: Kind, value: str, unit: str) -> None:
    """Each usual spelling of an amount gives the value and the unit that were meant."""
    measure = read_measure(text, kind=kind, where="gross")
    assert (value, unit) == (measure.value, measure.unit)


@pytest.mark.parametrize(("gallons", "unit"), [("us", "gal-us"), ("imp", "gal-imp")])
@pytest.mark.parametrize("text", ["3 gal", "3 gallons"])
def test_a_bare_gallon_is_the_chosen_one(text: str, gallons: str, unit: str) -> None:
    """Whose gallon is meant is what was chosen, where the text doesn't say it."""
    assert unit == read_measure(text, kind="volume", where="pail", gallons=gallons).unit  # type: ignore[arg-type]


@pytest.mark.parametrize("system", ["us", "imp"])
@pytest.mark.parametrize("name", ["bushel", "peck", "quart", "pint", "fl oz"])
def test_measures_of_two_countries_follow_the_gallon(name: str, system: str) -> None:
    """A bare bushel, peck, quart, pint or fluid ounce is of the same country as the chosen gallon."""
    unit = read_measure(f"1 {name}", kind="volume", where="pail", gallons=system).unit  # type: ignore[arg-type]
    assert unit.endswith(f"-{system}")


def test_what_was_typed_is_kept_where_it_says_more() -> None:
    """The text is kept with the amount if it differs from value and label, and only then."""
    assert read_measure("1 lb 4 oz", kind="mass", where="gross") == Measure("20", "oz", "1 lb 4 oz")
    assert read_measure("١٢٫٥ kg", kind="mass", where="gross").typed == "١٢٫٥ kg"
    assert read_measure("14.2 kg", kind="mass", where="gross").typed == ""
    assert read_measure("14.2", kind="mass", where="gross", default_unit="kg").typed == ""


def test_a_bare_number_has_the_default_unit() -> None:
    """A number without a unit takes the field's unit, by key or by spelling, and a typed unit wins over it."""
    assert read_measure("14,2", kind="mass", where="gross", default_unit="kg") == Measure("14.2", "kg", "14,2")
    assert read_measure("3", kind="mass", where="gross", default_unit="lbs").unit == "lb"
    assert read_measure("3 oz", kind="mass", where="gross", default_unit="kg").unit == "oz"
    with pytest.raises(Refused) as refused:
        read_measure("3", kind="mass", where="gross", default_unit="bucket")
    assert "“bucket”" in problem(refused).what


@pytest.mark.parametrize(("text", "kind", "what", "fix"), [
    ("", "mass", "nothing was typed", "Type a number"),
    ("  ", "mass", "nothing was typed", "Type a number"),
    ("12 F", "mass", "“12 F” is a temperature", "Type one of kg, g, lb"),
    ("8 oz", "volume", "“8 oz” is a mass", "Type fl oz"),
    ("8 fl oz", "mass", "“8 fl oz” is a volume", "Type one of kg, g, lb"),
    ("2 bushels", "mass", "“2 bushels” is a volume", "Type one of kg, g, lb"),
    ("3 kg", "length", "“3 kg” is a mass", "Type one of m, km"),
    ("5", "mass", "“5” has no unit", "Type it with its unit"),
    ("1 lb 4", "mass", "“4” in “1 lb 4” has no unit", "Type it with its unit"),
    ("5 kgg", "mass", "“kgg” in “5 kgg” is not a unit known here", "Did you mean kg?"),
    ("2 tons", "mass", "different amounts to different people", "Type t for a tonne"),
    ("2 heaped bushels", "volume", "“heaped bushels” in “2 heaped bushels” is not a unit", "Type one of L"),
    ("1 heaped bushel", "volume", "different amounts to different people", "Level it off"),
    ("2 #", "mass", "different amounts to different people", "Type lb"),
    ("kg", "mass", "“kg” is no number with a unit", "Type it as in 14.2 kg"),
    ("kg 5", "mass", "“kg 5” is no number with a unit", "Type it as in 14.2 kg"),
    ("5-6 kg", "mass", "“5-6 kg” is no number with a unit", "Type it as in 14.2 kg"),
    ("1 lb -4 oz", "mass", "“1 lb -4 oz” is no number with a unit", "Type it as in 14.2 kg"),
    ("1 lb .5 oz", "mass", "“1 lb .5 oz” is no number with a unit", "Type it as in 14.2 kg"),
    ("1 lb.5 oz", "mass", "“1 lb.5 oz” is no number with a unit", "Type it as in 14.2 kg"),
    ("5 kg <b>", "mass", "“kg <b>” in “5 kg <b>” is not a unit known here", "Type one of kg"),
    ("-5 kg", "mass", "“-5 kg” is below zero", "Type a mass of zero or more"),
    ("−½ lb", "mass", "is below zero", "Type a mass of zero or more"),
    ("-1 lb 4 oz", "mass", "is below zero", "Type a mass of zero or more"),
    ("-300 °C", "temperature", "below the absolute zero", "Check the number"),
    ("1,250.5 kg", "mass", "more than one comma or point", "Type one decimal sign alone"),
    ("1.250,5 kg", "mass", "more than one comma or point", "Type one decimal sign alone"),
    ("1.250.000 g", "mass", "more than one comma or point", "Type one decimal sign alone"),
    ("1 25 kg", "mass", "not groups of three", "Type one number without spaces"),
    ("1 2345 g", "mass", "not groups of three", "Type one number without spaces"),
    ("0 250 g", "mass", "not groups of three", "Type one number without spaces"),
    ("1e3 kg", "mass", "written with an exponent", "Write the number out"),
    ("1E+3 kg", "mass", "written with an exponent", "Write the number out"),
    ("nan kg", "mass", "no number with a unit", "Type it as in 14.2 kg"),
    ("inf kg", "mass", "no number with a unit", "Type it as in 14.2 kg"),
    ("∞ kg", "mass", "no number with a unit", "Type it as in 14.2 kg"),
    ("² kg", "mass", "no number with a unit", "Type it as in 14.2 kg"),
    ("½5 kg", "mass", "is not a number", "Type a number such as"),
    ("1/0 lb", "mass", "is not a fraction", "Type it as in 1/2"),
    ("1 5/4 lb", "mass", "is not a fraction", "Type it as in 1/2"),
    ("1.5 1/2 lb", "mass", "is not a number", "Type a number such as"),
    ("5\x00 kg", "mass", "invisible sign", "Type it again by hand"),
    ("\u202e5 kg", "mass", "invisible sign (right-to-left override)", "Type it again by hand"),
    ("\ud8005 kg", "mass", "invisible sign", "Type it again by hand"),
    ("5" * 41, "mass", "more than 40 signs", "and nothing more"),
    ("5" * 13 + " kg", "mass", "more digits than can be meant", "at most 12"),
    ("0.0000000000001 kg", "mass", "more digits than can be meant", "at most 12"),
    ("1 lb 20 oz", "mass", "not whole lb and a rest in oz", "less than 16 oz"),
    ("1.5 lb 4 oz", "mass", "not whole lb and a rest in oz", "Give it in oz alone"),
    ("1 lb 200 g", "mass", "adds lb and g", "Give it in g alone"),
    ("4 oz 1 lb", "mass", "adds oz and lb", "Give it in lb alone"),
    ("1 kg ½ kg", "mass", "adds kg and kg", "Give it in kg alone"),
    ("1 gal 1 dry quart", "volume", "adds US gal and US dry qt", "Give it in US dry qt alone"),
    ("1 °C 2 °C", "temperature", "gives two temperatures", "Type one"),
])
def test_what_cannot_be_meant_is_refused_with_a_way_out(text: str, kind: Kind, what: str, fix: str) -> None:
    """A refusal names the field, what was met, and what to type instead; it can be printed as it is."""
    with pytest.raises(Refused) as refused:
        read_measure(text, kind=kind, where="gross")
    told = problem(refused)
    assert told.where == "gross"
    assert what in told.what
    assert fix in told.fix
    assert str(told).isprintable()


def test_one_sign_inside_a_number_is_always_the_decimal_sign() -> None:
    """A comma and a point mean the same, also before three digits, as a scale that shows grams prints it."""
    assert read_number("1.250", where="gross") == read_number("1,250", where="gross") == Decimal("1.25")


def test_a_number_below_zero_needs_a_field_that_takes_it() -> None:
    """A plain number is refused below zero unless the field allows it, and minus zero is zero."""
    with pytest.raises(Refused, match="below zero"):
        read_number("-3", where="pails")
    assert read_number("-3", where="frost", negative=True) == -3
    assert str(read_number("-0", where="pails")) == "0"


@patient
@given(st.text(max_size=60), st.sampled_from(KINDS), st.sampled_from([None, "kg", "L", "degC", "m"]))
def test_reading_raises_nothing_but_a_refusal(text: str, kind: Kind, default_unit: str | None) -> None:
    """Any text at all is either an amount of the kind that was asked for or a refusal that names the field."""
    try:
        measure = read_measure(text, kind=kind, where="gross", default_unit=default_unit)
    except Refused as refused:
        told = refused.problems
    else:
        told = ()
        assert measure.kind == kind
        assert math.isfinite(measure.si)
    assert {one.where for one in told} <= {"gross"}


@patient
@given(st.text(alphabet="0123456789.,/ ½+-−eklbgozst°CF \u202f", max_size=16))
def test_near_amounts_are_read_or_refused(text: str) -> None:
    """Text made of the signs of amounts is an amount that reads back as itself, or is refused."""
    try:
        measure = read_measure(text, kind="mass", where="gross")
    except Refused:
        return
    again = read_measure(str(measure), kind="mass", where="gross")
    assert (measure.value, measure.unit) == (again.value, again.unit)


def test_every_script_writes_the_same_digits() -> None:
    """The decimal digits of every script that has them are read as 0 to 9."""
    for zero in "٠۰०๐０":
        digits = "".join(chr(ord(zero) + digit) for digit in (4, 2))
        assert unicodedata.decimal(zero) == 0
        assert read_number(digits, where="count") == 42


# --- the value -------------------------------------------------------------------------------------------


def amounts(kind: Kind) -> st.SearchStrategy[Measure]:
    values = st.decimals(min_value=0, max_value=999_999, places=3).map(lambda value: f"{value:f}")
    return st.builds(Measure, values, st.sampled_from(offered(kind)))


@patient
@given(st.sampled_from(KINDS).flatmap(amounts))
def test_an_amount_comes_back_from_its_text_and_its_data(measure: Measure) -> None:
    """What is shown of an amount, with either decimal sign, and what is stored of it, give the amount again."""
    again = Measure.from_json(measure.as_json())
    assert measure == again
    assert hash(measure) == hash(again)
    for decimal in ".,":
        read = read_measure(show_measure(measure, decimal=decimal), kind=measure.kind, where="gross")
        assert (measure.value, measure.unit) == (read.value, read.unit)


@patient
@given(st.decimals(min_value=0, max_value=999_999, places=3), st.sampled_from(offered("mass")))
def test_a_net_mass_goes_through_every_unit_and_back(kg: Decimal, unit: str) -> None:
    """A mass [kg] shown in any unit that is offered and taken back is the same mass, to the last digit but one."""
    mass = float(kg)
    assert to_si(to_unit(mass, unit), unit) == pytest.approx(mass, rel=4e-16, abs=0)


@patient
@given(st.sampled_from(list(UNITS)), st.floats(min_value=0, max_value=1e6))
def test_every_unit_goes_to_si_and_back(unit: str, value: float) -> None:
    """Any value in any unit, a temperature too, survives the way to SI and back [unit]."""
    assert to_unit(to_si(value, unit), unit) == pytest.approx(value, rel=1e-14, abs=1e-11)


@pytest.mark.parametrize(("data", "what"), [
    ({}, "is not an amount"),
    ({"value": "1"}, "is not an amount"),
    ({"value": "1", "unit": "kg", "note": "x"}, "is not an amount"),
    ([], "is not an amount"),
    (None, "is not an amount"),
    ({"value": 1, "unit": "kg"}, "is not a plain decimal number"),
    ({"value": "1e3", "unit": "kg"}, "is not a plain decimal number"),
    ({"value": "01", "unit": "kg"}, "is not a plain decimal number"),
    ({"value": "+1", "unit": "kg"}, "is not a plain decimal number"),
    ({"value": "1.", "unit": "kg"}, "is not a plain decimal number"),
    ({"value": "1,5", "unit": "kg"}, "is not a plain decimal number"),
    ({"value": "1\n", "unit": "kg"}, "is not a plain decimal number"),
    ({"value": "١", "unit": "kg"}, "is not a plain decimal number"),
    ({"value": "NaN", "unit": "kg"}, "is not a plain decimal number"),
    ({"value": "1" * 5000, "unit": "kg"}, "is not a plain decimal number"),
    ({"value": "-1", "unit": "kg"}, "is below zero"),
    ({"value": "-0", "unit": "degC"}, "zero with a minus"),
    ({"value": "-274", "unit": "degC"}, "absolute zero"),
    ({"value": "1", "unit": "firkin"}, "no unit known here"),
    ({"value": "1", "unit": ["kg"]}, "no unit known here"),
    ({"value": "1", "unit": "kg", "typed": "x" * 41}, "is not the text of an amount"),
    ({"value": "1", "unit": "kg", "typed": "a\nb"}, "is not the text of an amount"),
    ({"value": "1", "unit": "kg", "typed": None}, "is not the text of an amount"),
])
def test_junk_is_no_amount(data: object, what: str) -> None:
    """Data that are not exactly an amount are refused, with what they are."""
    with pytest.raises(Refused) as refused:
        Measure.from_json(data)  # type: ignore[arg-type]  # that is the point
    assert what in problem(refused).what


def test_units_are_offered_by_kind() -> None:
    """Every unit is offered under its own kind and no other, and its key and its label are read as it."""
    assert sorted(UNITS) == sorted(key for kind in KINDS for key in offered(kind))
    for key, unit in UNITS.items():
        for name in (key, unit.label, *(unit.spellings if unit.system != "imp" else ())):
            assert read_measure(f"3 {name}", kind=unit.kind, where="pail").unit == key


def test_a_temperature_has_no_factor() -> None:
    """Degrees are never multiplied into one another."""
    with pytest.raises(ValueError, match="offset"):
        factor_si("degF")


def test_the_registry_is_made_only_when_it_is_needed() -> None:
    """Reading and showing amounts on the first screen doesn't wait for the library of units."""
    code = ("import sys; from field_app.core import units; "
            "units.read_measure('14,2 kg', kind='mass', where='gross'); sys.exit('pint' in sys.modules)")
    assert subprocess.run([sys.executable, "-c", code], check=False).returncode == 0


# --- showing ---------------------------------------------------------------------------------------------


@pytest.mark.parametrize(("x", "text"), [
    (13.1, "13.1"), (8.1, "8.1"), (0.84, "0.84"), (120, "120"), (1250, "1250"), (0, "0"), (-0.0, "0"),
    (12.96, "13"), (9.996, "10"), (99.96, "100"), (999.6, "1000"), (1253, "1250"), (0.0421, "0.0421"),
    (0.00004, "0.00004"), (4e-9, "0"), (2.675, "2.68"), (2.665, "2.67"), (-4.25, "−4.25"), (1e6, "1000000"),
])
def test_numbers_have_three_significant_digits_at_most(x: float, text: str) -> None:
    """A number is written as people write it: no exponent, no empty decimals, a true minus."""
    assert text == show_number(x)


@pytest.mark.parametrize("x", [math.nan, math.inf])
def test_only_finite_numbers_are_shown(x: float) -> None:
    """A number that is none is a fault of the program, not a text."""
    with pytest.raises(ValueError, match="finite"):
        show_number(x)


@patient
@given(st.floats(min_value=0.001, max_value=1e9))
def test_what_is_shown_is_near_and_reads_back(x: float) -> None:
    """A shown number is within half a unit of its third digit, and the reader takes it, with either sign."""
    for decimal in ".,":
        assert float(read_number(show_number(x, decimal=decimal), where="x")) == pytest.approx(x, rel=0.00501)


def test_an_si_value_is_shown_in_the_unit_that_was_chosen() -> None:
    """The label follows the number, and the decimal sign is the chosen one."""
    assert show_si(14.2, "kg", decimal=",") == "14,2 kg"
    assert show_si(0.45359237, "lb") == "1 lb"
    assert show_si(10, "degF") == "50 °F"
    assert show_si(3.785411784, "gal-us") == "1 US gal"


@pytest.mark.parametrize(("low", "central", "high", "unit", "text"), [
    (7.01, 8.07, 9.62, "kg", "8.1 kg (7.0–9.6)"),
    (11.2, 13.06, 15.4, "kg", "13.1 kg (11.2–15.4)"),
    (0.7, 0.842, 1.02, "kg", "0.84 kg (0.70–1.02)"),
    (98, 120.4, 150, "kg", "120 kg (98–150)"),
    (11_030, 12_345, 13_970, "kg", "12300 kg (11000–14000)"),
    (14.2, 14.2, 14.2, "kg", "14.2 kg"),
    (14.186, 14.2, 14.214, "kg", "14.20 kg (14.19–14.21)"),
    (0, 0, 0, "kg", "0 kg"),
    (0, 0, 0.5, "kg", "0.00 kg (0.00–0.50)"),
    (0.55, 0.62, 0.75, "1", "0.62 (0.55–0.75)"),
    (180, 210, 240, "nuts", "210 nuts (180–240)"),
])
def test_a_range_has_the_same_decimals_three_times(low: float, central: float, high: float, unit: str,
                                                   text: str) -> None:
    """Central, low and high carry the decimals of the central value, more only to tell low from high."""
    assert text == show_range(Range(low, central, high, unit))


def test_a_range_is_shown_in_another_unit_of_its_kind() -> None:
    """The three numbers are converted before they are rounded; another kind of unit is a fault of the program."""
    mass = Range(0.7, 0.842, 1.02, "kg")
    assert show_range(mass, unit="g") == "842 g (700–1020)"
    assert show_range(mass, unit="lb", decimal=",") == "1,9 lb (1,5–2,2)"
    for unit in ("L", "degC"):
        with pytest.raises(ValueError, match="can't be shown"):
            show_range(mass, unit=unit)
    with pytest.raises(ValueError, match="can't be shown"):
        show_range(Range(1, 2, 3, "nuts"), unit="kg")


@patient
@given(st.lists(st.floats(min_value=0.01, max_value=1e6), min_size=3, max_size=3).map(sorted))
def test_a_shown_range_is_in_order_and_tells_its_ends_apart(numbers: list[float]) -> None:
    """The three numbers shown are in order, have equal decimals, and low and high differ if they do by much."""
    low, central, high = numbers
    text = show_range(Range(low, central, high, "kg"))
    if low == high:
        return
    shown = [text.partition(" kg")[0], *text.partition("(")[2].rstrip(")").split("–")]
    assert len({len(number.partition(".")[2]) for number in shown}) == 1
    assert float(shown[1]) <= float(shown[0]) <= float(shown[2])
    if high - low > 1e-5:
        assert float(shown[1]) < float(shown[2])
