"""What a field holds already stands there with the decimal sign that the person is used to."""

import flet as ft
import pytest

from field_app.core.habits import go_by, habits, habits_from
from field_app.ui.parts import field
from tests.ui.driver import walk as controls_of


@pytest.mark.parametrize(("held", "expected"), [
    ("24.2", "24,2"), ("24.2 kg", "24,2 kg"), ("24,2", "24,2"), ("24", "24"), ("", ""), ("2026-10-08", "2026-10-08"),
    ("44.0151, -28.0042", "44.0151, -28.0042"), ("St. 4.2.1", "St. 4.2.1")])
def test_a_number_that_is_filled_in_has_the_own_sign(held, expected):
    """Numbers with or without a unit change their sign; positions, days and words stay."""
    before = habits()
    go_by(habits_from({"decimal": "comma"}))
    try:
        (box,) = (one for one in controls_of(field("Mass", held, print, "mass")) if isinstance(one, ft.TextField))
    finally:
        go_by(before)
    assert box.value == expected
