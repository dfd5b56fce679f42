"""Topping up a spent bath: mass balance, how often it goes, and what is refused."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from field_app.core.estimate import Range, exact
from field_app.core.problems import Refused
from field_app.core.topping import read_strength, topping
from tests.core.lots_for_tests import three


def strength(value):
    return exact(value, "g/L")


BATHS = st.tuples(st.floats(1, 200), st.floats(0, 0.95), st.floats(2, 40), st.floats(1.2, 10))


@given(BATHS, st.booleans())
def test_what_is_added_brings_it_back(bath, level):
    """Extract before and extract added make the wanted strength in what is then in the pot."""
    litres, rest, wanted, times_as_strong = bath
    now, strong = rest * wanted, times_as_strong * wanted
    add = topping(litres, strength(now), strength(wanted), strength(strong), level=level).add.central
    kept = litres - add if level else litres
    assert (kept * now + add * strong) / (kept + add) == pytest.approx(wanted)


@given(BATHS, st.floats(0.1, 300), st.booleans())
def test_it_is_as_often_as_one_can_do_it(bath, store, level):
    """Done step by step until the concentrate is short, it is as often as was told."""
    litres, rest, wanted, times_as_strong = bath
    now, strong = rest * wanted, times_as_strong * wanted
    found = topping(litres, strength(now), strength(wanted), strength(strong), exact(store, "L"), level=level)
    times = found.times[1]
    done, pot, left = 0, litres, store
    while done <= times + 1:
        add = pot * (wanted - now) / (strong - (now if level else wanted))
        if add > left * (1 + 1e-9):
            break
        done, left, pot = done + 1, left - add, pot if level else pot + add
    assert done == times


@given(BATHS, st.floats(0.1, 100), st.floats(1, 3))
def test_more_concentrate_never_lasts_shorter(bath, store, more):
    """A larger store never allows fewer turns."""
    litres, rest, wanted, times_as_strong = bath
    both = [topping(litres, strength(rest * wanted), strength(wanted), strength(times_as_strong * wanted),
                    exact(size, "L")).times[1] for size in (store, store * more)]
    assert both[0] <= both[1]


def test_unsure_strengths_give_a_range():
    """What is read within 10 % is added within a range, and lasts for a range of times."""
    found = topping(30, Range(5, 6, 7, "g/L"), Range(11, 12, 13, "g/L"), Range(50, 60, 72, "g/L"), exact(20.0, "L"))
    assert found.add.low < 3.75 < found.add.high
    assert found.add.central == pytest.approx(3.75)
    few, usual, many = found.times
    assert few < usual == 4 < many
    assert found.words.startswith("Add 3.8 L (")
    assert found.words.endswith(f"It lasts for 4 times ({few}–{many}).")
    assert found.as_json()["times"] == {"low": few, "central": 4, "high": many}


def test_a_strong_bath_needs_nothing_and_a_small_store_is_told():
    """As strong as wanted, nothing is added; too little concentrate for once is said."""
    assert "nothing to add" in topping(30, strength(14), strength(12), strength(60)).words
    assert "not enough" in topping(30, strength(6), strength(12), strength(60), exact(1.0, "L")).words
    assert topping(30, strength(6), strength(12), strength(60)).times is None


@pytest.mark.parametrize(("text", "central"), [
    ("12 g/L", 12), ("12g/l", 12), ("1,2 °Brix", 12.058), ("1.2 brix", 12.058), ("1.2 %", 12.058), ("½ Bx", 5.01)])
def test_strengths_as_people_type_them(text, central):
    """Grams in a litre, or a reading of a refractometer under any of its names."""
    assert read_strength(text).central == pytest.approx(central, rel=1e-3)


def test_grams_are_exact_and_a_reading_is_not():
    """What is told in grams stands; a reading is as sure as a refractometer of the field."""
    assert three(read_strength("12 g/L")) == [12, 12, 12]
    assert read_strength("1.2 brix").low < 10


@pytest.mark.parametrize(("call", "said"), [
    (lambda: topping(0, strength(6), strength(12), strength(60)), "0 L is no bath"),
    (lambda: topping(30, strength(6), strength(12), strength(12)), "may be no stronger"),
    (lambda: topping(30, strength(6), strength(12), Range(10, 60, 80, "g/L")), "Boil it down"),
    (lambda: read_strength("12"), "has no unit"), (lambda: read_strength("0 g/L"), "is nothing"),
    (lambda: read_strength("much g/L"), "strength: "), (lambda: read_strength(""), "nothing was typed")])
def test_what_can_not_be_is_refused(call, said):
    """No bath, a concentrate that is none, and strengths that can't be read are refused with what to do."""
    with pytest.raises(Refused, match=said):
        call()
