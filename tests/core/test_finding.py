"""Finding a tree: better fixes out of several, and the way to it."""

import math
import random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from field_app.core.finding import FLOOR_M, combine, sigma_m, turn_words, way_to
from field_app.core.positions import Fix, Position, distance_m, from_here

TREE = Position(44.01234, -28.00567)


def around(place, metres, bearing, radius, meaning="95 %"):
    return Fix(from_here(place, bearing, metres), "device", radius, meaning)


@settings(max_examples=40, deadline=None)
@given(seed=st.integers(0, 10**6), count=st.integers(2, 12), place=st.sampled_from(
    [TREE, Position(0, 180), Position(0, -179.99999), Position(89.9999, 10), Position(-90, 0)]))
def test_several_fixes_are_never_less_sure_than_the_best_of_them(seed, count, place):
    """More fixes narrow the ring, down to the floor; the middle is among them, also at 180° and at the poles."""
    rng = random.Random(seed)
    fixes = [around(place, rng.uniform(0, 6), rng.uniform(0, 360), rng.uniform(6, 9)) for _ in range(count)]
    found = combine(fixes)
    assert FLOOR_M <= found.fix.accuracy_m <= min(fix.accuracy_m for fix in found.used)
    assert distance_m(found.fix.position, place) <= 6.5
    assert len(found.used) + len(found.dropped) == count


def test_one_fix_stays_where_it_is():
    """A single fix keeps its place; its radius is told for 95 of 100."""
    found = combine([Fix(TREE, "device", 10, "68 %")])
    assert found.fix.position == TREE
    assert found.fix.accuracy_m == pytest.approx(10 * 2.4477 / 1.5096, abs=1e-3)


def test_the_meaning_of_the_radius_counts():
    """Of two fixes with the same figure, the one whose figure holds 95 of 100 is the surer, and pulls harder."""
    web, phone = around(TREE, 0, 0, 8.0, "95 %"), around(TREE, 10, 90, 8.0, "68 %")
    found = combine([web, phone]).fix.position
    assert distance_m(found, web.position) < distance_m(found, phone.position)
    ratio = sigma_m(8, "95 %") ** 2 / sigma_m(8, "68 %") ** 2
    assert distance_m(found, web.position) == pytest.approx(10 * ratio / (1 + ratio), abs=0.2)


def test_a_rough_fix_is_dropped():
    """One of more than three times the best radius is left out, and it says why."""
    rough = around(TREE, 20, 90, 40)
    found = combine([around(TREE, 1, 0, 5), around(TREE, 1, 180, 6), rough])
    assert [(one.fix, one.why) for one in found.dropped] == [(rough, "rough")]
    assert distance_m(found.fix.position, TREE) < 1


def test_a_far_fix_is_dropped_though_it_claims_to_be_sure():
    """One that lies far from the others is left out, even if it says it is the best of all."""
    far = around(TREE, 60, 45, 4)
    fixes = [around(TREE, 2, bearing, 6) for bearing in (0, 120, 240)]
    found = combine([*fixes, far])
    assert [(one.fix, one.why) for one in found.dropped] == [(far, "far")]
    assert found.used == tuple(fixes)


def test_of_two_that_disagree_neither_is_dropped():
    """Nobody can tell which of two is wrong."""
    found = combine([around(TREE, 0, 0, 4), around(TREE, 80, 90, 4)])
    assert found.dropped == ()


def test_a_fix_without_a_radius_counts_little():
    """It is taken for one of 50 m, so beside a good one it is dropped as rough; alone it is used."""
    untold = Fix(TREE, "typed")
    assert combine([untold]).used == (untold,)
    assert combine([untold, around(TREE, 3, 0, 5)]).dropped[0].fix == untold


def test_without_a_fix_there_is_nothing_to_combine():
    """It says so, rather than making one up."""
    with pytest.raises(ValueError, match="no fix"):
        combine([])


@settings(max_examples=40, deadline=None)
@given(bearing=st.floats(0, 359.9), heading=st.floats(0, 359.9))
def test_turning_by_what_is_said_one_looks_at_the_tree(bearing, heading):
    """Heading plus turn is the bearing, and the turn is never more than half way round."""
    here = Fix(from_here(TREE, bearing + 180, 400), "device", 5, "95 %")
    way = way_to(here, TREE, heading_deg=heading)
    assert -180 <= way.turn_deg <= 180
    assert math.cos(math.radians(heading + way.turn_deg - way.bearing_deg)) == pytest.approx(1)


def test_without_a_heading_no_turn_is_told():
    """Then the bearing and its wind stand alone."""
    way = way_to(Fix(from_here(TREE, 180, 300), "device", 5, "95 %"), TREE)
    assert way.turn_deg is None
    assert (way.compass, round(way.distance_m)) == ("north", 300)
    assert not way.there


def test_within_the_ring_one_is_there():
    """The ring grows with the unsureness of the tree's own position, and inside it one looks around."""
    here = Fix(from_here(TREE, 90, 9), "device", 8, "95 %")
    rough = Fix(TREE, "device", 30, "95 %")
    assert not way_to(here, TREE).there
    assert way_to(here, TREE, tree_fix=rough).there
    assert way_to(here, TREE, tree_fix=rough).ring_m == pytest.approx(math.hypot(8, 30))


@pytest.mark.parametrize(("turn", "words"), [
    (0, "straight on"), (-20, "straight on"), (30, "half to the right"), (-45, "half to the left"),
    (90, "to the right"), (-115, "to the left"), (130, "sharp to the right"), (-160, "sharp to the left"),
    (170, "behind you"), (-180, "behind you")])
def test_turns_in_words(turn, words):
    """Each direction has words, so that the arrow is not needed."""
    assert turn_words(turn) == words
