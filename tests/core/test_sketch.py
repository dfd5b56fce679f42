"""The sketch of a round: true directions and distances, everything on the sheet, labels that don't meet."""

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from field_app.core.habits import used_to
from field_app.core.position_text import show_distance
from field_app.core.positions import Position, distance_m, from_here
from field_app.core.sketch import Box, Spot, bar_length, nice_length, sketch

HOME = Position(44.01, -28.005)
WIDE, HIGH = 326.0, 230.0


def spots(*ways, home=HOME):
    return [Spot("you", home), *(Spot(f"tree {at}", from_here(home, bearing, metres))
                                 for at, (bearing, metres) in enumerate(ways))]


@settings(max_examples=60, deadline=None)
@given(ways=st.lists(st.tuples(st.floats(0, 359), st.floats(0, 5000)), max_size=12), home=st.sampled_from(
    [HOME, Position(-17, 179.99), Position(66, 0)]))
def test_everything_is_on_the_sheet_and_to_scale(ways, home):
    """Spots and labels stay inside, labels meet neither each other nor a spot, and the scale bar tells the truth."""
    drawn = sketch(spots(*ways, home=home), WIDE, HIGH)
    labels = [one.label for one in drawn.spots if one.label]
    for one in drawn.spots:
        assert 0 <= one.x <= WIDE
        assert 0 <= one.y <= HIGH
        assert (one.label is None) == (not one.text)
    for at, label in enumerate(labels):
        assert label.within(Box(0, 0, WIDE, HIGH))
        assert not any(label.meets(other) for other in labels[at + 1:])
        assert not any(label.left < one.x < label.right and label.top < one.y < label.bottom for one in drawn.spots)
    assert drawn.bar_px == pytest.approx(drawn.bar_m * drawn.scale)
    assert 0.1 * WIDE <= drawn.bar_px <= 0.31 * WIDE
    first = drawn.spots[0]
    for one in drawn.spots[1:]:
        apart = math.hypot(one.x - first.x, one.y - first.y) / drawn.scale
        assert apart == pytest.approx(distance_m(home, one.spot.position), rel=0.005, abs=0.5)


def test_north_is_up_and_east_is_right():
    """A tree to the north stands above, one to the east to the right, also across the date line."""
    for home in (HOME, Position(-17, 179.999)):
        you, north, east = sketch(spots((0, 400), (90, 400), home=home), WIDE, HIGH).spots
        assert north.y < you.y
        assert north.x == pytest.approx(you.x, abs=0.5)
        assert east.x > you.x
        assert east.y == pytest.approx(you.y, abs=0.5)


def test_a_label_keeps_off_what_is_taken():
    """The corner with the arrow stays free."""
    arrow = Box(0, 0, WIDE, HIGH)
    assert all(one.label is None for one in sketch(spots((90, 300)), WIDE, HIGH, taken=[arrow]).spots)


def test_a_long_name_is_cut_and_a_spot_may_go_without():
    """Names are cut to what fits beside a spot; a spot that is not to be named is not."""
    long = Spot("Long hedge above the pond where the two cart tracks meet", HOME)
    bare = Spot("left out", from_here(HOME, 45, 500), named=False)
    drawn = sketch([long, bare], WIDE, HIGH).spots
    assert drawn[0].text == "Long hedge above…"
    assert drawn[1].label is None


def test_one_place_alone_is_in_the_middle():
    """Without another there is still a scale, of some ten metres."""
    (only,) = sketch([Spot("you", HOME)], WIDE, HIGH).spots
    assert (only.x, only.y) == (WIDE / 2, HIGH / 2)
    with pytest.raises(ValueError, match="no place"):
        sketch([], WIDE, HIGH)


@pytest.mark.parametrize(("most", "nice"), [(1, 1), (1.99, 1), (2, 2), (4.9, 2), (5, 5), (99, 50), (100, 100),
                                            (0.3, 0.2)])
def test_the_scale_bar_is_a_round_number(most, nice):
    """1, 2 or 5 and zeros, the greatest that fits."""
    assert nice_length(most) == pytest.approx(nice)


@pytest.mark.parametrize(("most", "metric", "pounds"), [
    (30, "20 m", "20 yd"), (640, "500 m", "500 yd"), (1050, "1.0 km", "0.5 mi"), (2500, "2.0 km", "1.0 mi")])
def test_the_scale_bar_is_round_in_the_measures_of_the_person(most, metric, pounds):
    """A bar of 500 metres would be one of 550 yards, which nobody reckons with."""
    assert show_distance(bar_length(most)) == metric
    for measures in ("us", "imperial"):
        with used_to(measures=measures):
            assert show_distance(bar_length(most)) == pounds
            assert bar_length(most) <= most
