"""Several lots together."""

import random

import pytest
from hypothesis import given
from hypothesis import strategies as st

from field_app.core.estimate import Z90, Range, exact
from field_app.core.totals import total

parts = st.lists(st.tuples(*[st.floats(0, 1e6)] * 3).map(sorted), max_size=8)


@given(parts)
def test_lows_centrals_and_highs_are_added(triples):
    """The total is a range whose three values are the sums of those of its parts."""
    found = total((Range(*triple, "kg") for triple in triples), unit="kg")
    for at, value in enumerate((found.low, found.central, found.high)):
        assert value == pytest.approx(sum(triple[at] for triple in triples))


def test_no_parts_are_nothing():
    """Nothing chosen weighs nothing."""
    assert total([], unit="kg") == exact(0.0, "kg")


def test_units_are_not_mixed():
    """Litres are not added to kilograms."""
    with pytest.raises(ValueError, match="a part in L can't be added"):
        total([exact(1.0, "L")], unit="kg")


def test_drawn_samples_of_a_shared_default_agree():
    """If two lots share the factor that is not known, the sums of drawn values lie as the total says."""
    draw = random.Random(7)
    share = Range(0.12, 0.15, 0.25, "1")
    masses = (8.0, 3.0)
    one_by_one = [Range(mass * share.low, mass * share.central, mass * share.high, "kg") for mass in masses]
    found = total(one_by_one, unit="kg")
    middle, spread = (share.low * share.high) ** 0.5, (share.high / share.low) ** (1 / (2 * Z90))
    sums = sorted(sum(masses) * middle * spread ** draw.gauss(0, 1) for _ in range(40_000))
    assert sums[4_000] == pytest.approx(found.low, rel=0.02)
    assert sums[36_000] == pytest.approx(found.high, rel=0.02)
