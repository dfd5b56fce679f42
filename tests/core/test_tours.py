"""In which order: exact for few stops, short for many, never longer by a step."""

import itertools
import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from field_app.core.tours import (
    EXACT,
    exact_costs,
    exact_path,
    improvements,
    length,
    matrix,
    nearest_path,
    short_path,
)

ENDS = ("start", "open", "other")
points = st.lists(st.tuples(st.integers(0, 60), st.integers(0, 60)), min_size=3, max_size=9)
many = st.lists(st.tuples(st.floats(0, 100), st.floats(0, 100)), min_size=3, max_size=25)


def flat(a, b):
    return math.hypot(a[0] - b[0], a[1] - b[1])


def by_hand(legs):
    stops = range(1, len(legs) - 1)
    return min(length((0, *order, len(legs) - 1), legs) for order in itertools.permutations(stops))


@settings(max_examples=60, deadline=None)
@given(places=points.filter(lambda places: len(places) <= 8), end=st.sampled_from(ENDS))
def test_the_exact_order_is_the_best_of_all(places, end):
    """Beside every order tried by hand none is shorter."""
    legs = matrix(places, flat, end=end)
    assert length(exact_path(legs), legs) == pytest.approx(by_hand(legs))


@settings(max_examples=60, deadline=None)
@given(places=many, end=st.sampled_from(ENDS))
def test_no_step_makes_the_way_longer(places, end):
    """Each step gains what it says it gains, keeps the ends, and loses no stop."""
    legs = matrix(places, flat, end=end)
    path = nearest_path(legs, 1 + len(legs) // 3) if len(legs) > 3 else [0, 1, 2]
    before = length(path, legs)
    for gain in improvements(path, legs):
        now = length(path, legs)
        assert gain > 0
        assert now == pytest.approx(before - gain, abs=1e-6)
        assert (path[0], path[-1]) == (0, len(legs) - 1)
        assert sorted(path) == list(range(len(legs)))
        before = now


@settings(max_examples=40, deadline=None)
@given(places=points, end=st.sampled_from(ENDS))
def test_exact_is_never_longer_than_by_steps(places, end):
    """The exact way is at most as long as any that was found by steps."""
    legs = matrix(places, flat, end=end)
    exact = length(exact_path(legs), legs)
    for first in range(1, len(legs) - 1):
        path = nearest_path(legs, first)
        assert exact <= length(path, legs) + 1e-9
        for _ in improvements(path, legs):
            pass
        assert exact <= length(path, legs) + 1e-9


@settings(max_examples=30, deadline=None)
@given(places=points)
def test_the_cost_of_every_set_of_stops_is_that_of_its_shortest_way(places):
    """What the exact way tells of a set of stops is the length of the path it gives for that set."""
    legs = matrix(places, flat)
    costs = exact_costs(legs)
    for group in range(1 << (len(legs) - 2)):
        path = exact_path(legs, group, costs)
        assert sum(1 << node - 1 for node in path[1:-1]) == group
        assert length(path, legs) == pytest.approx(costs[1][group])


@pytest.mark.parametrize("end", ENDS)
@pytest.mark.parametrize("stops", [EXACT, EXACT + 1, 40])
def test_a_short_path_visits_every_stop_once(stops, end):
    """From the start to the end over all stops, the same one every time it is asked for."""
    places = [(37 * k % 101, 59 * k % 89) for k in range(stops + (2 if end == "other" else 1))]
    legs = matrix(places, flat, end=end)
    path = short_path(legs)
    assert sorted(path) == list(range(stops + 2))
    assert (path[0], path[-1]) == (0, stops + 1)
    assert path == short_path(legs)


def test_stops_in_one_place_are_no_trouble():
    """Where nothing can be gained, because all is at one place, every stop is still visited."""
    legs = matrix([(1, 1)] * 20, flat)
    assert sorted(short_path(legs)) == list(range(21))


def test_nothing_to_visit_is_a_way_from_start_to_end():
    """Without stops there is the start and the end."""
    assert short_path(matrix([(0, 0)], flat)) == [0, 1]


def test_a_way_that_may_end_anywhere_ends_at_the_far_end_of_a_row():
    """Along a straight lane, one walks it once if one need not come back."""
    legs = matrix([(0, 0), (30, 0), (10, 0), (20, 0)], flat, end="open")
    assert exact_path(legs) == [0, 2, 3, 1, 4]
    assert length(exact_path(legs), legs) == 30
