"""Pots and kettle loads: nothing is lost, nothing boils over, and no boil too many."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from field_app.core.brew_text import BrewForm, read_brew, read_pot
from field_app.core.pots import FULL, Pot, boiled_off, kettles
from field_app.core.problems import Refused

POTS = st.lists(st.builds(Pot, st.floats(3, 200), st.floats(0.15, 0.8)), min_size=1, max_size=4)
LOADS = st.floats(0.1, 80), st.floats(0.1, 300)


@given(*LOADS, POTS)
def test_all_of_it_goes_in_and_nothing_boils_over(stuff, water, pots):
    """Times × what goes into each pot is the load and its water, and no pot is filled above its head room."""
    plan = kettles(stuff, water, pots)
    assert plan.times * sum(one.stuff for one in plan.fillings) == pytest.approx(stuff)
    assert plan.times * sum(one.water for one in plan.fillings) == pytest.approx(water)
    for one in plan.fillings:
        assert one.stuff + one.water <= one.pot.volume * FULL * (1 + 1e-6)


@given(*LOADS, POTS)
def test_no_boil_and_no_pot_too_many(stuff, water, pots):
    """One boil less would not hold it; and where one boil does it, one pot less would not."""
    plan = kettles(stuff, water, pots)
    room = sum(one.pot.useful for one in plan.fillings)
    assert plan.times == 1 or (plan.times - 1) * room < (stuff + water) * (1 + 1e-6)
    if plan.times == 1 and len(plan.fillings) > 1:
        smallest = min(one.pot.useful for one in plan.fillings)
        assert room - smallest < stuff + water


@given(*LOADS, POTS)
def test_the_surface_is_that_of_all_pots_over_all_times(stuff, water, pots):
    """What can steam off is the surface of each pot, as often as it is filled."""
    plan = kettles(stuff, water, pots)
    assert plan.surface == pytest.approx(plan.times * sum(one.pot.surface for one in plan.fillings))


@given(st.floats(0.01, 2), st.floats(0, 10), st.floats(0, 50), st.floats(0, 5))
def test_boil_off_follows_surface_and_time(surface, hours, rate, more):
    """Twice the surface or the time is twice the loss, whatever the volume."""
    assert boiled_off(2 * surface, hours, rate) == pytest.approx(2 * boiled_off(surface, hours, rate))
    assert boiled_off(surface, hours + more, rate) >= boiled_off(surface, hours, rate)


@pytest.mark.parametrize("text", ["40 L, 38 cm", "40 l; 38 cm", "40 L x 38 cm", "40, 38"])
def test_pots_as_people_type_them(text):
    """What it holds and how wide it is, parted in any of the usual ways."""
    pot = read_pot(text)
    assert (pot.volume, pot.diameter) == (40, 0.38)


def test_own_pots_stand_by_name():
    """A pot of one's own is named, in any letters; an unknown name is refused with those there are."""
    own = {"Big copper": Pot(40, 0.4, "Big copper")}
    assert read_brew(BrewForm(pots=("big  copper",)), own).pots == (own["Big copper"],)
    with pytest.raises(Refused, match="Or name one of yours: Big copper"):
        read_brew(BrewForm(pots=("copper",)), own)


def test_a_plan_says_itself_as_plain_data():
    """Times and fillings, each with its pot."""
    plan = kettles(12, 36, [Pot(40, 0.4, "copper")])
    assert plan.as_json() == {"times": 2, "fillings": [
        {"pot": "copper", "volume": 40, "diameter": 0.4, "stuff": 6.0, "water": 18.0}]}
    with pytest.raises(Refused, match="none is given"):
        kettles(1, 1, [])
