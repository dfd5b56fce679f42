"""How often ranges held: the count, what chance explains, and when there are too few to tell."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from field_app.core.coverage import EXPECTED, Coverage, binomial_quantile, coverage_of, place_of

COUNTS = st.builds(Coverage, st.integers(0, 60), st.integers(0, 120), st.integers(0, 60))


def test_the_ends_of_a_range_belong_to_it():
    """On an end is inside, beyond it is not."""
    assert [place_of(value, 2, 5) for value in (1.9, 2, 3, 5, 5.1)] == ["below", "inside", "inside", "inside", "above"]


@given(st.lists(st.tuples(st.floats(0, 10), st.floats(0, 10), st.floats(0, 10)), max_size=40))
def test_the_counts_are_those_of_counting_by_hand(drawn):
    """Below, inside and above are each counted once, and nothing is lost."""
    told = coverage_of(place_of(value, min(a, b), max(a, b)) for value, a, b in drawn)
    assert told.n == len(drawn)
    assert told.below == sum(value < min(a, b) for value, a, b in drawn)
    assert told.above == sum(value > max(a, b) for value, a, b in drawn)


@pytest.mark.parametrize(("n", "band"), [(1, (0, 1)), (5, (2, 5)), (10, (6, 10)), (20, (13, 19))])
def test_what_chance_explains_is_the_binomial_worked_out_by_hand(n, band):
    """The ends are the 5 % and 95 % quantiles: of 20, at most 12 has 3.2 % and at most 19 has 98.8 %."""
    assert Coverage(0, n, 0).by_chance == band


@given(st.integers(1, 80), st.floats(0.01, 0.99), st.floats(0.001, 0.999))
def test_a_quantile_is_the_least_number_that_reaches_its_level(n, share, level):
    """Summed up in another way, the number reaches the level and the one before does not."""
    def below(number):
        return math.fsum(math.comb(n, k) * share**k * (1 - share)**(n - k) for k in range(number + 1))

    found = binomial_quantile(n, share, level)
    assert below(found) >= level - 1e-9
    assert found == 0 or below(found - 1) <= level + 1e-9


@pytest.mark.parametrize(("told", "says"), [
    (Coverage(), "none"), (Coverage(0, 1, 0), "few"), (Coverage(0, 1, 1), "few"), (Coverage(2, 8, 1), "few"),
    (Coverage(3, 1, 1), "narrow"), (Coverage(2, 24, 4), "fits"), (Coverage(0, 30, 0), "wide"),
    (Coverage(10, 20, 10), "narrow")])
def test_what_a_count_says(told, says):
    """Few say only that they are few, unless so many lie outside that chance can't explain it."""
    assert told.verdict == says


def test_so_many_are_needed_before_a_count_tells_anything():
    """Of fewer than 17, ranges that hold every second time pass for good ones more often than one time in five."""
    enough = next(n for n in range(1, 100) if Coverage(0, n, 0).tells)
    low = Coverage(0, enough, 0).by_chance[0]
    fooled = sum(math.comb(enough, k) for k in range(low, enough + 1)) / 2**enough
    assert fooled <= 0.2
    assert enough == 17


@given(COUNTS)
def test_a_verdict_follows_from_the_band(told):
    """Too narrow is below what chance explains, too wide above it, and all else lies within."""
    low, high = told.by_chance
    assert low <= math.ceil(EXPECTED * told.n)
    assert high >= math.floor(EXPECTED * told.n)
    assert (told.verdict == "narrow") == (told.n > 0 and told.inside < low)
    assert (told.verdict == "wide") == (told.inside > high)
