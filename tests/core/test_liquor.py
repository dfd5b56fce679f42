"""From the load to the liquor: the chain by hand, what is lost on the way, what is wanted, and what is refused."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from field_app.core.brew import Brew
from field_app.core.estimate import exact
from field_app.core.extraction import Bath
from field_app.core.liquor import liquor_of, strength_of_reading
from field_app.core.load import estimate_lot
from field_app.core.materials import MATERIALS, material
from field_app.core.pots import Pot
from field_app.core.problems import Refused
from field_app.core.units import Measure
from tests.core.lots_for_tests import fruit, lot, three

WALNUT = material("black-walnut")
PARTS = [(key, part.key) for key, stuff in MATERIALS.items() for part in stuff.parts]


def made(facts, **brew):
    return liquor_of(estimate_lot(facts), material(facts.material), Brew(**brew))


def log_width(found):
    return math.log(found.high / found.low)


def test_the_chain_by_hand():
    """10 kg of fresh hull, 30 L of water, an hour at 90 °C: water, liquor, extract and strength by hand."""
    found = made(lot(gross=Measure("10", "kg")), water=30.0, soak=Bath(0, 15), boil=Bath(1, 90))
    dry = 10 * 0.15
    steam = math.pi * 0.15**2 / 16 * (30 + 8.5) * 5.5 * 1
    in_pot = 30 + (10 - dry) - steam
    out = 0.43 + 0.57 * (1 - 0.25)  # an hour is two half-times of 30 minutes
    volume = in_pot - 5 * dry
    extract = 0.30 * dry * out * volume / in_pot
    assert found.volume.central == pytest.approx(volume)
    assert found.extract.central == pytest.approx(extract)
    assert found.strength.central == pytest.approx(1000 * extract / volume)
    assert found.boiled_off.central == pytest.approx(steam)
    assert found.kept_back.central == pytest.approx(5 * dry)


def test_custom_fills_up_to_25_litres_a_kilogram():
    """Where no water is told, what is in the pot comes to 25 L for each kilogram of dry hull, with the hull's."""
    found = made(lot(gross=Measure("10", "kg")))
    assert found.water.central + 10 * 0.85 == pytest.approx(25 * 1.5)


@pytest.mark.parametrize("pots", [(), (Pot(40, 0.4),), (Pot(15, 0.3), Pot(10, 0.25))])
@pytest.mark.parametrize("strainings", [1, 3])
def test_the_water_for_a_liquor_gives_that_liquor(pots, strainings):
    """Put in the water that is told for 60 L of liquor, and 60 L run off at the central values."""
    wanted = made(lot(gross=Measure("10", "kg")), liquor=60.0, pots=pots, strainings=strainings)
    assert wanted.volume.central == pytest.approx(60, rel=1e-6)
    put_in = made(lot(gross=Measure("10", "kg")), water=wanted.water.central, pots=pots, strainings=strainings)
    assert put_in.volume.central == pytest.approx(60, rel=1e-6)
    assert wanted.water.low < wanted.water.central < wanted.water.high


def test_a_reading_replaces_the_default():
    """With 1.2 °Brix in a measured 20 L, strength and extract come from these two alone."""
    found = made(lot(gross=Measure("10", "kg")), brix=1.2, strained=exact(20.0, "L"))
    assert three(found.strength) == three(strength_of_reading(1.2))
    assert found.extract.central == pytest.approx(20 * found.strength.central / 1000)
    assert found.volume.low == found.volume.high == 20
    assert [part.key for part in found.surer["strength"]] == ["reading"]


@given(st.floats(0.5, 40), st.integers(1, 4), st.floats(30, 400), st.sampled_from(["fresh", "soaked", "air-dry"]),
       st.booleans(), st.floats(0, 3))
def test_water_in_is_water_out(kilograms, strainings, water, state, squeezed, hours):
    """Water put in, at first and later, and that of the stuff are the liquor, what steams off and what stays in it."""
    facts = lot(gross=Measure(f"{kilograms:.3f}", "kg"), condition=state)
    load = estimate_lot(facts)
    brew = {"water": water + 6 * load.dry_matter.central, "strainings": strainings, "squeezed": squeezed,
            "boil": Bath(hours, 95), "further": water + 2}
    found = made(facts, **brew)
    brought = load.fresh_hull.central - load.dry_matter.central
    into = brew["water"] + (strainings - 1) * brew["further"] + brought
    assert into == pytest.approx(found.volume.central + found.boiled_off.central + found.kept_back.central)


@given(st.sampled_from(PARTS), st.integers(1, 5), st.booleans())
def test_no_more_comes_out_than_is_in_it(key, strainings, squeezed):
    """Extract in the liquor is at most what the dry matter can give, and each straining adds to it."""
    name, part = key
    facts = lot(material=name, part=part)
    most = estimate_lot(facts).dry_matter.central * material(name).parameters["extract"].central
    found = [made(facts, strainings=turn, squeezed=squeezed, boil=Bath(2, 90)).extract.central
             for turn in (strainings, strainings + 1)]
    assert 0 < found[0] < found[1] < most


@pytest.mark.parametrize(("key", "part"), PARTS)
@pytest.mark.parametrize("state", ["fresh", "soaked", "air-dry"])
def test_every_material_gives_liquor(key, part, state):
    """Whatever is weighed, in whatever condition, gives liquor within what it can: shares of its parts add up to 1."""
    found = made(lot(material=key, part=part, condition=state))
    for name, quantity in (("extract", found.extract), ("volume", found.volume), ("strength", found.strength)):
        assert 0 < quantity.low < quantity.central < quantity.high
        assert sum(part.share for part in found.surer[name]) == pytest.approx(1)
    assert found.out.high <= 1


@given(st.integers(1, 400), st.integers(2, 50))
def test_k_times_the_load_is_k_times_the_liquor(count, k):
    """So many times as many fruits give so many times as much liquor and extract, as strong as before."""
    one, many = (made(fruit(basis="counted", count=n)) for n in (count, count * k))
    for name in ("extract", "volume", "water", "boiled_off", "kept_back"):
        assert three(getattr(many, name)) == pytest.approx([k * v for v in three(getattr(one, name))], rel=1e-6)
    assert three(many.strength) == pytest.approx(three(one.strength), rel=1e-6)


@given(st.sampled_from(PARTS), st.integers(1, 3000))
def test_a_guess_is_never_narrower_than_a_weighing(key, count):
    """Extract of a counted or poured load is less sure than that of the same load weighed."""
    name, part = key
    stuff = MATERIALS[name].part(part)
    same = {"material": name, "part": part}
    guesses = [lot(**same, basis="poured", pails=str(count), pail=Measure("1", "L"))]
    if stuff.countable:
        guesses.append(lot(**same, basis="counted", count=count))
    for guess in guesses:
        mass = estimate_lot(guess).net.central
        weighed = lot(**same, gross=Measure(f"{mass:.12f}", "kg"))
        assert log_width(made(guess).extract) > log_width(made(weighed).extract)


@given(st.floats(0, 60), st.floats(0, 60), st.floats(0, 12), st.floats(0, 12), st.floats(10, 100), st.floats(10, 100))
def test_more_time_is_never_less_extract(soak, longer_soak, boil, longer_boil, cold, hot):
    """A longer soak or boil never gives less out of the stuff, where nothing steams away."""
    first = made(lot(), soak=Bath(soak + 0.01, cold), boil=Bath(boil, min(hot, 59.0)))
    later = made(lot(), soak=Bath(soak + 0.01 + longer_soak, cold), boil=Bath(boil + longer_boil, min(hot, 59.0)))
    assert later.extract.central >= first.extract.central * (1 - 1e-12)


@pytest.mark.parametrize(("brew", "said"), [
    ({"water": 40.0, "state": "air-dry"}, "so nothing runs off"), ({"liquor": 0.5}, "the stuff alone brings"),
    ({"water": 10.0, "liquor": 10.0}, "both the water"), ({"strainings": 9}, "9 times"),
    ({"brix": 90.0}, "not a reading"), ({"water": -1.0}, "not an amount"),
    ({"soak": Bath(0, 15), "boil": Bath(0, 95)}, "never in the water"),
    ({"boil": Bath(47, 100)}, "boil")])
def test_what_gives_no_liquor_is_refused(brew, said):
    """A brew that can't be, or from which nothing runs off, is refused with what to do."""
    brew = dict(brew)
    state = brew.pop("state", "fresh")
    with pytest.raises(Refused, match=said):
        made(lot(gross=Measure("10", "kg"), condition=state), **brew)


@pytest.mark.parametrize(("make", "said"), [
    (lambda: Bath(-1, 20), "is no time"), (lambda: Bath(1, 130), "open pot"), (lambda: Pot(0, 0.3), "size of a pot"),
    (lambda: Pot(40, 38), "width of a pot")])
def test_what_is_no_bath_and_no_pot_is_refused(make, said):
    """Times below zero, steam and pots without room are refused."""
    with pytest.raises(Refused, match=said):
        make()
