"""The liquor against published figures, general libraries and brute force."""

import math

import numpy as np
import pytest
import scipy.stats
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import solve_ivp

from field_app.core.extraction import GAS, Bath, arrhenius, between, progress, released, strained_off
from field_app.core.materials import material
from field_app.core.pots import Pot, boiled_off
from field_app.core.sampling import Mean, mean_of, t_quantile
from field_app.core.scales import least_load, permissible_error, rounding_deviation
from field_app.core.units import Measure

WALNUT = material("black-walnut").parameters
#: Fruit-pomace phenolics, Appl. Sci. 2022, 12:4901: the share washed off at once.
WASHED = [(25.0, 0.17), (70.0, 0.33), (90.0, 0.43)]
#: Common practice, no source: half of the rest takes 1-3 days in the cold and 20-45 min at a simmer.
HALF = [(20.0, 2490.0), (90.0, 30.0)]


# ---------------------------------------------------------------- extraction

def test_example_14_juglone_on_keratin():
    """Zi et al. 2018, Nat. Prod. Res. Dev. 30(3):362: 30.09 kJ/mol, from 303 K to 333 K 2.933 times faster."""
    assert arrhenius(30_090, 303, 333) == pytest.approx(2.933, abs=0.0005)
    assert pytest.approx(GAS, rel=1e-12) == scipy.constants.R


@pytest.mark.parametrize(("celsius", "share"), WASHED)
def test_the_washed_share_is_that_of_its_source(celsius, share):
    """At the temperatures that were measured (Appl. Sci. 2022, 12:4901), the washed share is what was measured."""
    assert WALNUT[f"washed-{celsius:.0f}"].central == share
    assert between(WASHED, celsius) == pytest.approx(share)


@settings(max_examples=60, deadline=None)
@given(st.lists(st.tuples(st.floats(0.1, 60), st.floats(5, 99)), min_size=1, max_size=4))
def test_extraction_agrees_with_a_solver_of_differential_equations(baths):
    """dy/dt = k(T) (1 − y) for the slow part, solved step by step by scipy, gives the closed form to a millionth."""
    done, washed = 0.0, 0.0
    for hours, celsius in baths:
        rate = 60 * math.log(2) / between(HALF, celsius)
        found = solve_ivp(lambda _, y, rate=rate: rate * (1 - y), (0, hours), [done], rtol=1e-9, atol=1e-12,
                          method="LSODA")
        done, washed = float(found.y[0, -1]), max(washed, between(WASHED, celsius))
    slow = progress([Bath(hours, celsius) for hours, celsius in baths], HALF)
    assert released(washed, slow) == pytest.approx(washed + (1 - washed) * done, abs=1e-6)


@pytest.mark.parametrize("celsius", [5.0, 25.0, 47.5, 70.0, 90.0, 99.0])
def test_between_the_points_it_goes_by_arrhenius(celsius):
    """Between two temperatures the rate has one activation energy: R ln(k₂/k₁) / (1/T₁ − 1/T₂), worked out here."""
    (cold, slow), (hot, quick) = HALF
    energy = GAS * math.log(slow / quick) / (1 / (cold + 273.15) - 1 / (hot + 273.15))
    expected = slow / math.exp(energy / GAS * (1 / (cold + 273.15) - 1 / (celsius + 273.15)))
    assert between(HALF, celsius) == pytest.approx(expected)


# ---------------------------------------------------------------- straining

def test_well_mixed_washing():
    """Mass balance, 25 L in all for a kg of dry hull, 5 L kept back: 80.0 %, then 96.0 % refilled, 96.7 % with 25 L."""
    once, = strained_off([1], [25], [5])
    assert once == pytest.approx(0.800)
    assert sum(strained_off([1, 1], [25, 25], [5, 5])) == pytest.approx(0.960)
    assert sum(strained_off([1, 1], [25, 30], [5, 5])) == pytest.approx(0.967, abs=0.0005)


def drained_by_the_drop(out, liquid, kept, drops=20_000):
    """The same by brute force: what is dissolved is spread evenly, and runs off drop by drop."""
    dissolved, before, off = 0.0, 0.0, []
    for share, whole, stays in zip(out, liquid, kept, strict=True):
        dissolved, before = dissolved + share - before, share
        there, gone, drop = whole, 0.0, (whole - stays) / drops
        for _ in range(drops):
            taken = dissolved / there * drop
            dissolved, there, gone = dissolved - taken, there - drop, gone + taken
        off.append(gone)
    return off


STAGES = st.lists(st.tuples(st.floats(0.05, 1), st.floats(1, 60), st.floats(0.02, 0.9)), min_size=1, max_size=4)


@settings(max_examples=15, deadline=None)
@given(STAGES)
def test_straining_agrees_with_brute_force(stages):
    """However much is out, in the pot and kept back at each straining, letting it run drop by drop gives the same."""
    out = sorted(share for share, _, _ in stages)
    liquid = [whole for _, whole, _ in stages]
    kept = [whole * part for _, whole, part in stages]
    assert strained_off(out, liquid, kept) == pytest.approx(drained_by_the_drop(out, liquid, kept), rel=1e-6, abs=1e-9)


@given(STAGES)
def test_nothing_is_lost_at_any_straining(stages):
    """What ran off, what is kept back and what is not out yet add up to all there was, after every straining."""
    out = sorted(share for share, _, _ in stages)
    liquid, kept = [whole for _, whole, _ in stages], [whole * part for _, whole, part in stages]
    off = strained_off(out, liquid, kept)
    for turn in range(1, len(out) + 1):
        ran, stays = sum(off[:turn]), off[turn - 1] * kept[turn - 1] / (liquid[turn - 1] - kept[turn - 1])
        assert ran + stays + (1 - out[turn - 1]) == pytest.approx(1)


def test_example_16_boil_off_by_the_surface():
    """Rule of thumb: a 14-inch pot loses 1 US gallon an hour, 38.12 L/(h m²); a 40 cm pot, 2 h at 20: 5.03 L."""
    pot = Pot(20, Measure("14", "in").si)
    assert Measure("1", "gal-us").si / pot.surface == pytest.approx(38.12, abs=0.005)
    assert boiled_off(Pot(40, 0.40).surface, 2, 20) == pytest.approx(5.03, abs=0.005)
    assert WALNUT["boil-off"].low < 38.12 < WALNUT["boil-off"].high


# ---------------------------------------------------------------- samples

def test_six_values_of_a_textbook():
    """A worked textbook sample: 5, 8, 4, 6, 10, 3 have mean 6, deviation 2.60768 and the interval 3.263407-8.736593."""
    found = mean_of([5, 8, 4, 6, 10, 3])
    assert (found.mean, found.deviation) == pytest.approx((6, 2.60768), abs=5e-6)
    assert found.interval() == pytest.approx((3.263407, 8.736593), abs=5e-7)


def test_the_zarr13_data_of_nist():
    """NIST/SEMATECH e-Handbook 1.3.5.2, ZARR13: n 195, mean 9.261460, deviation 0.02278881 → 9.258242-9.264679."""
    assert Mean(9.261460, 0.02278881, 195).interval() == pytest.approx((9.258242, 9.264679), abs=1e-6)


def test_mercury_in_three_samples():
    """Boost documentation, from Miller & Miller: n 3, mean 37.8, deviation 0.964365 → 35.40438-40.19562."""
    assert Mean(37.8, 0.964365, 3).interval() == pytest.approx((35.40438, 40.19562), abs=5e-6)


@pytest.mark.parametrize(("population", "low", "high"), [(None, 0.8462, 0.8668), (465, 0.8474, 0.8656)])
def test_a_hundred_sweets_of_a_pack(population, low, high):
    """Triola's set-up: 100 sweets, mean .8565 g, deviation .0518 g, of very many or of a pack of 465 (worked out)."""
    # Published with four decimals, from a mean and a deviation that were rounded to four themselves.
    assert Mean(0.8565, 0.0518, 100, population).interval() == pytest.approx((low, high), abs=0.0001)


@pytest.mark.parametrize(("freedom", "quantile"), [
    (1, 12.706), (2, 4.303), (3, 3.182), (4, 2.776), (5, 2.571), (9, 2.262), (29, 2.045), (99, 1.984)])
def test_quantiles_of_the_tables(freedom, quantile):
    """The two-sided 95 % points of Student's t (from memory: Abramowitz & Stegun, table 26.10)."""
    assert t_quantile(0.975, freedom) == pytest.approx(quantile, abs=0.0005)


@given(st.floats(0.001, 0.999), st.integers(1, 3000))
def test_quantiles_agree_with_scipy(probability, freedom):
    """At any probability and any whole degrees of freedom, the quantile is that of scipy.stats."""
    expected = scipy.stats.t.ppf(probability, freedom)
    assert t_quantile(probability, freedom) == pytest.approx(expected, rel=1e-6, abs=1e-8)


@settings(deadline=None)
@given(st.lists(st.floats(10, 200), min_size=2, max_size=40), st.floats(0.5, 0.999))
def test_intervals_agree_with_scipy(values, level):
    """The interval of a mean is that of scipy.stats, from the same values."""
    error = scipy.stats.sem(values)
    if error == 0:
        return
    expected = scipy.stats.t.interval(level, len(values) - 1, loc=np.mean(values), scale=error)
    assert mean_of(values).interval(level) == pytest.approx(expected, rel=1e-6)


# ---------------------------------------------------------------- scales

@pytest.mark.parametrize(("load", "grams"), [(8, 10), (30, 20), (45, 30)])
def test_a_scale_of_class_iii(load, grams):
    """OIML R 76-1, Table 6, worked out for steps of 20 g: ± 10 g at 8 kg, 20 at 30, 30 at 45; least load 400 g."""
    assert 1000 * permissible_error(load, 0.020, "III") == pytest.approx(grams)
    assert least_load(0.020, "III") == pytest.approx(0.4)


@pytest.mark.parametrize(("scale_class", "steps"), [
    ("III", [(500, 0.5), (501, 1), (2000, 1), (2001, 1.5), (10_000, 1.5)]),
    ("IIII", [(50, 0.5), (51, 1), (200, 1), (201, 1.5), (1000, 1.5)])])
def test_the_table_of_permissible_errors(scale_class, steps):
    """OIML R 76-1, Table 6 (also UK SI 1995/1907, schedule 2): the error in divisions, twice as much in service."""
    for divisions, error in steps:
        assert permissible_error(divisions * 0.5, 0.5, scale_class) == pytest.approx(error * 0.5)
        assert permissible_error(divisions * 0.5, 0.5, scale_class, in_service=True) == pytest.approx(error)


def test_rounding_by_the_division():
    """Even within half a division, rounding deviates by d/√12, gross less tare by d/√6: 5.77 g and 8.16 g at 20 g."""
    assert [1000 * rounding_deviation(0.020, readings) for readings in (1, 2)] == pytest.approx([5.77, 8.16], abs=0.005)
    draws = np.random.default_rng(20261008).uniform(0, 50, (2, 400_000))
    shown = np.round(draws / 0.02) * 0.02
    assert np.std(shown[0] - draws[0]) == pytest.approx(rounding_deviation(0.02), rel=0.01)
    assert np.std(shown[0] - shown[1] - draws[0] + draws[1]) == pytest.approx(rounding_deviation(0.02, 2), rel=0.01)
