"""What comes out in water: at the given points, from one bath to the next, and never less for more."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from field_app.core.extraction import Bath, arrhenius, between, progress, released, strained_off

WASHED, HALF = [(25, 0.17), (70, 0.33), (90, 0.43)], [(20, 2490), (90, 30)]
HEAT, TIME = st.floats(0, 100), st.floats(0, 200)


@pytest.mark.parametrize("points", [WASHED, HALF])
def test_at_its_points_it_is_what_was_given(points):
    """At each given temperature the value is the given one."""
    for celsius, value in points:
        assert between(points, celsius) == pytest.approx(value)


@given(HEAT, HEAT)
def test_hotter_is_never_slower_and_never_washes_less(one, other):
    """A hotter bath has at least the washed share and at most the half-time of a colder one."""
    cold, hot = sorted((one, other))
    assert between(WASHED, cold) <= between(WASHED, hot) * (1 + 1e-12)
    assert between(HALF, cold) >= between(HALF, hot) * (1 - 1e-12)


@given(st.lists(st.tuples(TIME, HEAT), min_size=1, max_size=5))
def test_times_add_up(baths):
    """Baths one after the other do what each does, and cutting one in two changes nothing."""
    whole = progress([Bath(hours, celsius) for hours, celsius in baths], HALF)
    assert whole == pytest.approx(sum(progress([Bath(hours, celsius)], HALF) for hours, celsius in baths))
    halves = [Bath(hours / 2, celsius) for hours, celsius in baths for _ in range(2)]
    assert progress(halves, HALF) == pytest.approx(whole)


@given(st.floats(0, 1), st.floats(0, 50), st.floats(0, 50))
def test_more_time_is_never_less_extract(washed, slow, more):
    """What is out grows with the progress of the slow part, from the washed share to all of it."""
    first, later = released(washed, slow), released(washed, slow + more)
    assert washed <= first <= later <= 1


def test_half_of_the_rest_takes_a_half_time():
    """After one half-time half of what was not washed off is out, after two three quarters."""
    for turns, share in ((1, 0.5), (2, 0.75), (3, 0.875)):
        out = released(0.43, progress([Bath(turns * 0.5, 90)], HALF))
        assert out == pytest.approx(0.43 + 0.57 * share)


def test_a_bath_without_time_does_nothing():
    """No hours, no progress, at whatever heat."""
    assert progress([Bath(0, 95)], HALF) == 0
    assert released(0.3, 0) == 0.3


@given(st.floats(1000, 200_000), st.floats(250, 400), st.floats(250, 400), st.floats(250, 400))
def test_arrhenius_goes_by_steps(energy, one, two, three):
    """From the first temperature to the third is as from the first to the second and on to the third."""
    both = arrhenius(energy, one, two) * arrhenius(energy, two, three)
    assert both == pytest.approx(arrhenius(energy, one, three), rel=1e-9)


@given(st.floats(0.1, 1), st.floats(1, 100), st.floats(0.01, 0.9), st.integers(1, 6))
def test_each_straining_leaves_the_same_share_of_what_is_out(out, whole, part, turns):
    """Filled up to the same each time, with all out at once, what stays falls by the share kept back: r to the n."""
    off = strained_off([out] * turns, [whole] * turns, [whole * part] * turns)
    assert sum(off) == pytest.approx(out * (1 - part**turns))


def test_squeezed_dry_and_never_strained():
    """With nothing kept back one straining takes all that is out; with no straining nothing runs off."""
    assert strained_off([0.7], [10], [0]) == [0.7]
    assert strained_off([], [], []) == []
    assert math.isclose(sum(strained_off([0.2, 0.9], [10, 10], [0, 0])), 0.9)
