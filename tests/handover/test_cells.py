"""Cells: numbers without exponents, texts that no spreadsheet runs, and the way back."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from field_app.handover.cells import decimal_of, escaped, is_risky, number_text, read_text, shown, written

# OWASP ASVS 5.0, 1.2.10 names = + - @ tab NUL; the OWASP page "CSV Injection" adds carriage return, line feed
# and the full-width forms.
ASVS = ["=", "+", "-", "@", "\t", "\0", "\r", "\n", "＝", "＋", "－", "＠"]


@pytest.mark.parametrize("sign", ASVS)
def test_a_text_that_starts_with_a_sign_of_the_standard_gets_an_apostrophe(sign):
    """Each sign that OWASP names is written behind a single quote."""
    assert written(f"{sign}1+1") == f"'{sign}1+1"


@pytest.mark.parametrize("text", ["green", "2 - 3", "a=b", "'tis ripe", "", "1,5", "½ = ?"])
def test_a_harmless_text_is_written_as_it_is(text):
    """Only what may be run is touched."""
    assert written(text) == text


def test_numbers_are_never_escaped():
    """A longitude west of Greenwich keeps its minus sign."""
    assert written(Decimal("-28.01")) == "-28.01"


@given(st.text(alphabet=st.sampled_from("'=+-@\t\r\n\0 ＝ab1"), max_size=8) | st.text(max_size=20))
def test_every_text_comes_back_from_its_cell(text):
    """Reading undoes escaping, for any text, and what is written can't be run."""
    cell = escaped(text)
    assert read_text(cell) == text
    assert not is_risky(cell) or cell.startswith("'")


@given(st.floats(min_value=0, max_value=1e12, allow_nan=False))
def test_an_estimate_is_short_plain_and_near(value):
    """Six significant digits are kept, no exponent is written, and the value moves by half a unit at most."""
    text = number_text(decimal_of(value))
    assert "e" not in text.lower()
    assert len(text.replace(".", "").strip("0")) <= 6
    assert abs(float(text) - value) <= 5e-6 * value


@given(st.lists(st.floats(min_value=0, max_value=1e9, allow_nan=False), min_size=3, max_size=3))
def test_rounding_keeps_the_order_of_a_range(values):
    """Low, central and high are still in order once they are rounded."""
    low, central, high = sorted(values)
    assert decimal_of(low) <= decimal_of(central) <= decimal_of(high)


def test_a_value_is_shown_without_control_characters():
    """What a stranger wrote can't move the cursor of a terminal."""
    assert shown("\x1b[2Ja\n") == '"\\x1b[2Ja\\x0a"'
