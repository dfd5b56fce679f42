"""Why a figure is as it is: each input with its value, and how it came to be known."""

import flet as ft
import pytest

from field_app.core.estimate import Reason
from field_app.ui.parts.unbroken import apart
from field_app.ui.reason_words import reason_rows
from tests.ui.driver import walk


def told(*reasons: Reason) -> list[str]:
    """All words of the rows, in order."""
    return [apart(c.value) for row in reason_rows(reasons) for c in walk(row) if isinstance(c, ft.Text)]


def test_an_input_is_told_with_its_value_and_how_it_came_to_be_known():
    """What was measured says so; a default says from where it is and how good that is."""
    assert told(Reason("on the scale", "14.2 kg", "weighed"),
                Reason("hull share", "62 %", "default", "hobby notes", "weak")) == [
        "on the scale", "14.2 kg", "weighed", "hull share", "62 %", "default, rule of thumb: hobby notes"]


@pytest.mark.parametrize("basis", ["default", "derived"])
def test_that_there_is_no_source_is_said_once(basis):
    """A source that only repeats its mark is left out."""
    line = told(Reason("the calendar was seen elsewhere", "± 14 days", basis, "common practice, no source",
                       "practice"))[-1]
    assert line.count("common practice") == 1
