"""The clock that never runs backwards."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from field_app.core.hlc import LEAP_MS, Stamp, after_receiving, after_sending, read_stamp

ME = "00000000000000aa"
YOU = "00000000000000bb"
times = st.integers(0, 4_102_444_800_000)


def test_the_worked_walk():
    """The counter orders what the device's clock can't; expected values follow the rules of Kulkarni and others."""
    clock = Stamp(0, 0, ME)
    clock = after_sending(clock, 10)
    assert clock[:2] == (10, 0)
    clock = after_sending(clock, 10)
    assert clock[:2] == (10, 1)
    clock = after_sending(clock, 9)
    assert clock[:2] == (10, 2)
    clock = after_receiving(clock, Stamp(12, 3, YOU), 11)
    assert clock[:2] == (12, 4)
    clock = after_receiving(clock, Stamp(5, 0, YOU), 11)
    assert clock[:2] == (12, 5)
    clock = after_receiving(clock, Stamp(13, 2, YOU), 15)
    assert clock[:2] == (15, 0)


@given(times, st.integers(0, 0xFFFF), times)
def test_later_is_later_in_text(ms, count, now):
    """Whatever the device's clock says, the next stamp sorts after the last one, also as text."""
    last = Stamp(ms, count, ME)
    after = after_sending(last, now)
    assert after > last
    assert str(after) > str(last)
    assert read_stamp(str(after)) == after


def test_a_full_counter_borrows_a_millisecond():
    """The counter's four digits never overflow into a text that sorts wrongly."""
    assert after_sending(Stamp(10, 0xFFFF, ME), 9) == Stamp(11, 0, ME)


def test_a_leap_is_not_followed():
    """A stamp years ahead comes from a wrong clock and doesn't drag this one along."""
    last = Stamp(1000, 0, ME)
    assert after_receiving(last, Stamp(1000 + LEAP_MS + 1, 0, YOU), 1000) == last


@pytest.mark.parametrize("text", ["", "1-0-aa", "0000000000010-0002-00000000000000AA", "0000000000010-0002-00aa",
                                  "٠٠٠٠٠٠٠٠٠٠٠١٠-0002-00000000000000aa"])
def test_other_text_is_no_stamp(text):
    """A text of another form is no stamp."""
    with pytest.raises(ValueError, match="not a stamp"):
        read_stamp(text)
