"""What a dyer asks of a bath: how long, how often, how much to add."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from field_app.core.bands import depth_of
from field_app.core.bath import Load, Pot, dye_in_turn
from field_app.core.bath_asks import MOST_DIPS, TIMES, Wait, dips_for, enough_for, top_up, wait_for, way_to_dark
from field_app.core.estimate import Range, exact
from field_app.core.problems import Refused
from field_app.core.uptake import ASSUMED, at_rest, dip, hours_for, reference_uptake

REFERENCE = Pot(exact(0.114, "kg"), exact(30.0, "L"))
KILO = Load(exact(1.0, "kg"), "wool 1 kg", 6.0)


@settings(max_examples=20)
@given(st.floats(0.12, 0.9))
def test_the_time_read_off_the_curve_is_that_of_the_law(depth):
    """What is read off between the points of the curve lands within 0.1 % of the time worked out in closed form."""
    found = wait_for(REFERENCE, KILO, depth)
    law = hours_for(at_rest(3.8, 30), depth * reference_uptake(), ASSUMED.speed(85))
    assert found.central == pytest.approx(law, rel=0.001)
    assert found.early <= found.central
    assert found.late is None or found.late >= found.central


def test_what_a_bath_does_not_give_is_told_as_never():
    """Beyond what is there at rest there is no time; an end that gets there is told."""
    assert wait_for(REFERENCE, KILO, 3.0) == Wait(None, None, None)
    assert wait_for(REFERENCE, KILO, 3.0).words == "never in one dip"
    unsure = Pot(Range(0.08, 0.114, 0.16, "kg"), exact(30.0, "L"))
    half = wait_for(unsure, KILO, 1.05)
    assert half.early is not None
    assert (half.central, half.late) == (None, None)
    assert half.words.startswith("never (")
    assert half.words.endswith("–never)")
    assert wait_for(REFERENCE, KILO, 1e-6).central == TIMES[0]
    assert half.as_json()["high"] is None


def test_repeated_dips_reach_what_one_does_not():
    """The number of dips is the least that gets there, and none is named where eight don't."""
    wanted = 1.5
    dips = dips_for(REFERENCE, KILO, wanted)
    depth = [dip(3.8, 30, [6.0] * count, 85).uptake / reference_uptake() for count in range(dips + 1)]
    assert depth[dips - 1] < wanted <= depth[dips]
    assert dips_for(REFERENCE, KILO, 50.0) is None


def test_dark_is_told_in_figures():
    """The stronger bath that is named gives dark in one dip; in a bath that is rich enough one dip is said to do."""
    way = way_to_dark(REFERENCE, KILO)
    assert way.dips == dips_for(REFERENCE, KILO, depth_of("dark"))
    strong = Pot(exact(0.114 * way.times_stronger, "kg"), exact(30.0, "L"))
    turn, = dye_in_turn(strong, [KILO])
    assert turn.depth.central == pytest.approx(depth_of("dark"), rel=1e-6)
    assert turn.band.central == "dark"
    for word in ("dips", "times as strong", "iron"):
        assert word in way.words
    assert way_to_dark(strong, KILO).words.startswith("One dip of 6 h")
    weak = Pot(exact(0.002, "kg"), exact(30.0, "L"))
    assert f"more than {MOST_DIPS} dips" in way_to_dark(weak, KILO).words
    assert "a new bath" in way_to_dark(Pot(exact(0.0, "kg"), exact(30.0, "L")), KILO).words


def test_topped_up_the_next_load_gets_the_shade():
    """With the litres that are named in it, the bath gives the next load the depth of the shade."""
    first, = dye_in_turn(REFERENCE, [KILO])
    found = top_up(first.left, REFERENCE, KILO, "medium", exact(20.0, "g/L"))
    litres = found.litres.central
    volume = 30.0 + litres
    strength = (first.left.central * 30.0 + 20.0 * litres) / volume
    again = dip(strength, 30.0, [6.0], 85).uptake / reference_uptake()
    assert again == pytest.approx(depth_of("medium"), rel=1e-6)
    assert found.litres.low < litres < found.litres.high
    assert "of concentrate before it, for medium" in found.words


def test_topping_up_where_it_is_no_use():
    """A bath that is strong enough needs nothing, a thin concentrate does not help, and none at all is refused."""
    first, = dye_in_turn(REFERENCE, [KILO])
    assert top_up(first.left, REFERENCE, KILO, "pale", exact(20.0, "g/L")).litres.central == 0
    thin = top_up(first.left, REFERENCE, KILO, "dark", exact(3.0, "g/L"))
    assert thin.litres is None
    assert thin.as_json()["litres"] is None
    assert "fresh bath" in thin.words
    with pytest.raises(Refused, match="holds nothing"):
        top_up(first.left, REFERENCE, KILO, "medium", exact(0.0, "g/L"))


def test_when_to_top_up_is_told():
    """The first load that comes out paler than wanted is named."""
    turns = dye_in_turn(REFERENCE, [KILO] * 3)
    assert enough_for(turns, "medium").startswith("From load 2 on it comes out light")
    assert enough_for(turns, "pale") == "All loads come out pale or darker."
    assert enough_for(turns, "dark").startswith("Even the first load comes out medium: make the bath stronger")
    short = dye_in_turn(REFERENCE, [Load(exact(1.0, "kg"), "wool 1 kg", 0.1)])
    assert "longer" in enough_for(short, "medium")
