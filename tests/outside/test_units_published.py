"""Units against the values that the standards publish, and against the library of units itself."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

import pytest

from field_app.core.units import UNITS, Measure, factor_si, read_measure, to_si

INCH = Fraction(254, 10_000)  # [m], exactly: the yard and pound agreement of 1959, Federal Register 24 FR 5348
LITRE = Fraction(1, 1000)  # [m3], exactly: CGPM 1964, resolution 6

HB44 = "NIST Handbook 44, Appendix C, General Tables of Units of Measurement, section 4"
SP811 = "from memory: NIST Special Publication 811 (2008), Appendix B"
WMA = "from memory: Weights and Measures Act 1985 (UK), schedule 1"


@pytest.mark.parametrize(("unit", "exact", "source"), [
    ("kg", "1", "the SI unit itself"),
    ("g", "0.001", "from memory: SI Brochure, 9th edition, table 7"),
    ("t", "1000", "from memory: SI Brochure, 9th edition, table 8"),
    ("lb", "0.45359237", HB44),
    ("oz", "0.028349523125", HB44),
    ("st", "6.35029318", SP811),
    ("L", "1", "the unit that volumes are counted in"),
    ("mL", "0.001", "from memory: SI Brochure, 9th edition, table 7"),
    ("gal-us", "3.785411784", HB44),
    ("qt-us", "0.946352946", HB44),
    ("pt-us", "0.473176473", HB44),
    ("fl-oz-us", "0.0295735295625", HB44),
    ("bu-us", "35.23907016688", HB44),
    ("pk-us", "8.80976754172", HB44),
    ("qt-dry", "1.101220942715", HB44),
    ("gal-imp", "4.54609", WMA),
    ("qt-imp", "1.1365225", WMA),
    ("pt-imp", "0.56826125", WMA),
    ("fl-oz-imp", "0.0284130625", WMA),
    ("pk-imp", "9.09218", WMA),
    ("bu-imp", "36.36872", WMA),
    ("m", "1", "the SI unit itself"),
    ("km", "1000", "from memory: SI Brochure, 9th edition, table 7"),
    ("cm", "0.01", "from memory: SI Brochure, 9th edition, table 7"),
    ("in", "0.0254", HB44),
    ("ft", "0.3048", HB44),
    ("yd", "0.9144", HB44),
    ("mi", "1609.344", HB44),
])
def test_factors_are_the_published_ones_to_the_last_digit(unit: str, exact: str, source: str) -> None:
    """Each factor to [kg], [L] or [m] equals the exact published value, not nearly but exactly."""
    assert Decimal(exact) == factor_si(unit), source


def test_no_unit_is_left_unchecked() -> None:
    """The table above has a row for every unit that has a factor."""
    rows = test_factors_are_the_published_ones_to_the_last_digit.pytestmark[0].args[1]  # type: ignore[attr-defined]
    assert {row[0] for row in rows} == {key for key, unit in UNITS.items() if unit.kind != "temperature"}


@pytest.mark.parametrize(("unit", "cubic_inches"), [
    ("gal-us", Fraction(231)),  # NIST Handbook 44, Appendix C: 231 cubic inches, exactly
    ("bu-us", Fraction("2150.42")),  # the same: 2150.42 cubic inches, exactly, struck measure
    ("pk-us", Fraction("2150.42") / 4),  # the same: 4 pecks are a bushel
    ("qt-dry", Fraction("2150.42") / 32),  # the same: 8 dry quarts are a peck
    ("qt-us", Fraction(231, 4)),  # the same: 4 liquid quarts are a gallon
    ("fl-oz-us", Fraction(231, 128)),  # the same: 128 fluid ounces are a gallon
])
def test_american_volumes_are_their_cubic_inches(unit: str, cubic_inches: Fraction) -> None:
    """Recomputed from the inch, in fractions: the definition in cubic inches gives the same factor [L]."""
    assert cubic_inches * INCH**3 / LITRE == Fraction(factor_si(unit))


@pytest.mark.parametrize(("larger", "smaller", "ratio"), [
    ("lb", "oz", 16), ("st", "lb", 14), ("gal-us", "qt-us", 4), ("qt-us", "pt-us", 2), ("pt-us", "fl-oz-us", 16),
    ("bu-us", "pk-us", 4), ("pk-us", "qt-dry", 8), ("mi", "yd", 1760), ("yd", "ft", 3), ("ft", "in", 12),
    ("gal-imp", "qt-imp", 4), ("qt-imp", "pt-imp", 2), ("pt-imp", "fl-oz-imp", 20), ("bu-imp", "gal-imp", 8),
    ("bu-imp", "pk-imp", 4),
])
def test_units_hold_one_another_as_the_tables_say(larger: str, smaller: str, ratio: int) -> None:
    """Whole ratios of NIST Handbook 44, Appendix C, sections 2 (American) and 3 (British) hold exactly."""
    assert Fraction(factor_si(larger)) == ratio * Fraction(factor_si(smaller))


@pytest.mark.parametrize(("fahrenheit", "celsius"), [
    # NIST Handbook 44, Appendix C has no temperatures; t/°C = (t/°F - 32)/1.8 is, from memory, SP 811, B.8.
    ("32", 0), ("212", 100), ("-40", -40), ("98.6", 37), ("50", 10), ("77", 25), ("-459.67", -273.15),
])
def test_fixed_points_of_temperature(fahrenheit: str, celsius: float) -> None:
    """Freezing, boiling, the common point and the absolute zero have the same reading on both scales."""
    assert celsius == Measure(fahrenheit, "degF").si


@pytest.mark.parametrize(("text", "kg"), [
    # One pound avoirdupois is 0.45359237 kg exactly (NIST Handbook 44, Appendix C).
    ("1 lb", 0.45359237), ("1 lb 4 oz", 0.5669904625), ("1 st 3 lb", 7.71107029), ("½ lb", 0.226796185),
])
def test_typed_pounds_are_exact_kilograms(text: str, kg: float) -> None:
    """What is typed in pounds and ounces becomes the float nearest to the exact mass [kg]."""
    assert kg == read_measure(text, kind="mass", where="gross").si


def test_the_library_agrees_by_its_own_floats() -> None:
    """A second registry of pint 0.25 that counts in floats gives every factor within a few units of the last digit."""
    import pint

    floats = pint.UnitRegistry()
    base = {"mass": "kilogram", "volume": "liter", "length": "meter", "temperature": "degC"}
    for key, unit in UNITS.items():
        expected = floats.Quantity(20.0, unit.pint_name).to(base[unit.kind]).magnitude
        assert expected == pytest.approx(to_si(20.0, key), rel=1e-13), key
