"""Times in a bath, as people type and read them."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from field_app.core.durations import read_hours, show_hours
from field_app.core.problems import Refused


@pytest.mark.parametrize(("text", "hours"), [
    ("90 s", 0.025), ("3 min", 0.05), ("20min.", 1 / 3), ("1,5 h", 1.5), ("1½ h", 1.5), ("1 h 30 min", 1.5),
    ("6 hours", 6), ("2 Days", 48), ("1 week", 168), ("1 1/2 h", 1.5)])
def test_times_are_read_as_typed(text, hours):
    """Seconds, minutes, hours, days and weeks, with fractions and both decimal signs."""
    assert read_hours(text) == pytest.approx(hours)


@pytest.mark.parametrize(("text", "what"), [
    ("", "nothing was typed"), ("20", "has no unit"), ("h", "has no unit"), ("2 moons", "is no unit of time"),
    ("0 min", "is no time at all"), ("-5 min", "below zero"), ("1 h 20", "is no time"), ("1.2.3 h", "1.2.3")])
def test_what_is_no_time_is_refused(text, what):
    """A refusal names the field, what was met and how to type it."""
    with pytest.raises(Refused, match=what) as refused:
        read_hours(text, where="bath")
    assert refused.value.problems[0].where == "bath"
    assert refused.value.problems[0].fix


@given(st.floats(0.02, 1000))
def test_what_is_shown_reads_back(hours):
    """A time shown for people reads back as itself, to the three digits that are shown."""
    assert read_hours(show_hours(hours)) == pytest.approx(hours, rel=0.006)
