"""How spread goes through a chain: against 200,000 draws of the same distributions, and in cases that are known."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from field_app.core.brew import Brew
from field_app.core.estimate import Z90, Range, exact
from field_app.core.extraction import Bath
from field_app.core.fill import even_deviations
from field_app.core.liquor import liquor_of
from field_app.core.liquor_chain import factors_of, fixed
from field_app.core.load import estimate_lot
from field_app.core.materials import material
from field_app.core.pots import Pot
from field_app.core.spread import log_variance, spread
from field_app.core.units import Measure
from tests.core.drawn import brewed, draws_of, ends_of
from tests.core.lots_for_tests import fruit, lot, three

DRAWS = 200_000
POURED = {"basis": "poured", "pails": "2", "pail": Measure("12", "L")}
LOADS = {
    "fruit weighed": fruit(gross=Measure("10", "kg")), "fruit poured": fruit(**POURED, fill="0.8"),
    "fruit counted": fruit(basis="counted", count=300), "hull weighed": lot(gross=Measure("10", "kg")),
    "hull browned": lot(**POURED, ripeness="browned"), "hull dry": lot(condition="air-dry"),
    "bark": lot(material="oak-bark", part="bark", **POURED), "galls": lot(material="oak-gall-unknown", part="gall"),
    "cones": lot(material="alder-cones", part="cone", **POURED)}
BREWS = {
    "as custom has it": Brew(), "strained three times, squeezed": Brew(strainings=3, squeezed=True),
    "little time": Brew(soak=Bath(0, 15), boil=Bath(0.25, 80)), "on the boil": Brew(boil=Bath(1, 100)),
    "in a pot": Brew(pots=(Pot(40, 0.38),)), "cold": Brew(soak=Bath(240, 12), boil=Bath(0, 90))}


def within(found, drawn, share=0.05):
    low, high = ends_of(drawn)
    assert found.low == pytest.approx(low, rel=share)
    assert found.high == pytest.approx(high, rel=share)


@pytest.mark.parametrize("how", BREWS)
@pytest.mark.parametrize("what", LOADS)
def test_the_liquor_agrees_with_draws(what, how):
    """Low and high of volume, extract and strength are the quantiles of 200,000 draws within 5 %."""
    facts, brew, rng = LOADS[what], BREWS[how], np.random.default_rng(20261008)
    stuff = material(facts.material)
    load = estimate_lot(facts)
    factors = factors_of(load, stuff, brew)
    numbers = fixed(factors, stuff, brew)
    # The load from its own inputs, so that its closed form is tried out along with the rest.
    net = [draws_of(load.factors[name], DRAWS, rng) for name in ("net", "hull share") if name in load.factors]
    inputs = [math.prod(net), *(draws_of(one, DRAWS, rng) for name, one in factors.items() if name != "fresh")]
    drawn = brewed(*inputs, water=numbers.first, further=numbers.further, surface=numbers.surface,
                   hours=numbers.hours, gains=numbers.gains)
    found = liquor_of(load, stuff, brew)
    for quantity, values in zip((found.volume, found.extract, found.strength), drawn, strict=True):
        within(quantity, values)


def test_the_cloth_agrees_with_draws():
    """The closed form of hull, dry matter and cloth agrees with 200,000 draws of its inputs within 1 %."""
    rng = np.random.default_rng(7)
    load = estimate_lot(fruit(**POURED, ripeness="browned"))
    drawn = {name: draws_of(one, DRAWS, rng) for name, one in load.factors.items()}
    hull = drawn["net"] * drawn["hull share"]
    within(load.fresh_hull, hull, 0.01)
    within(load.dry_matter, hull * drawn["dry matter"], 0.01)
    within(load.shades[1].cloth, hull * drawn["dry matter"] / 0.9 * drawn["strength"] / drawn["wof"], 0.01)


@pytest.mark.parametrize("water", [25.0, 40.0])
def test_near_the_end_of_the_water_it_is_tried_out(water):
    """Where some draws boil nearly dry the parts don't add up; then points that fill the space do, within 12 %."""
    facts, brew, rng = lot(gross=Measure("10", "kg")), Brew(water=water, boil=Bath(3, 100)), np.random.default_rng(3)
    stuff = material("black-walnut")
    load = estimate_lot(facts)
    factors = factors_of(load, stuff, brew)
    numbers = fixed(factors, stuff, brew)
    drawn = brewed(*(draws_of(one, DRAWS, rng) for one in factors.values()), water=numbers.first,
                   further=numbers.further, surface=numbers.surface, hours=numbers.hours, gains=numbers.gains)
    found = liquor_of(load, stuff, brew)
    for quantity, values in zip((found.volume, found.extract, found.strength), drawn, strict=True):
        within(quantity, values, 0.12)


FACTOR = st.tuples(st.floats(0.1, 10), st.floats(1.01, 3), st.floats(1.01, 3)).map(
    lambda shape: Range(shape[0] / shape[1], shape[0], shape[0] * shape[2], "1"))


@given(st.lists(FACTOR, min_size=1, max_size=5), FACTOR)
def test_for_a_product_it_is_the_closed_form(factors, divisor):
    """A product and a quotient come out as the closed form has them, and the shares as the logarithms' variances."""
    found, = spread([*factors, divisor], lambda values: [math.prod(values[:-1]) / values[-1]])
    # Not by one product and then one quotient: a range between the two would widen to its central value.
    whole = sum(map(log_variance, (*factors, divisor)))
    middle = sum(math.log(one.low * one.high) / 2 for one in factors) - math.log(divisor.low * divisor.high) / 2
    central = math.prod(one.central for one in factors) / divisor.central
    away = Z90 * math.sqrt(whole)
    closed = [min(math.exp(middle - away), central), central, max(math.exp(middle + away), central)]
    assert three(found) == pytest.approx(closed, rel=1e-9)
    assert found.shares == pytest.approx([log_variance(one) / whole for one in (*factors, divisor)])


@given(st.lists(st.tuples(st.floats(0.1, 10), st.floats(1.01, 3)), min_size=2, max_size=4))
def test_a_sum_agrees_with_draws(shapes):
    """The quantiles of a sum of log-normal terms, whose centrals are their medians, are those of draws within 8 %."""
    terms = [Range(middle / off, middle, middle * off, "1") for middle, off in shapes]
    found, = spread(terms, lambda values: [sum(values)])
    rng = np.random.default_rng(1)
    within(found, sum(draws_of(one, 40_000, rng) for one in terms), 0.08)
    assert found.central == pytest.approx(sum(one.central for one in terms))


def test_without_spread_there_is_none():
    """Exact inputs give an exact result, to the last digit, and no shares."""
    found, = spread([exact(0.1, "1"), exact(0.2, "1")], lambda values: [values[0] + values[1]])
    assert (found.low, found.central, found.high) == (0.1 + 0.2,) * 3
    assert found.shares == (0.0, 0.0)


def test_an_input_that_may_be_nothing_gives_a_result_that_may_be():
    """Where low is nothing the result's low is nothing, and nothing falls below it."""
    found, = spread([Range(0, 2, 5, "kg"), Range(0.1, 0.2, 0.3, "1")], lambda values: [values[0] * values[1]])
    assert 0 <= found.low < 0.05
    assert found.central == pytest.approx(0.4)
    assert found.high > 0.8


@given(st.lists(FACTOR, min_size=2, max_size=4), st.floats(0.1, 100))
def test_it_scales(terms, scale):
    """So many times the result is so many times its low, central and high."""
    one, = spread(terms, lambda values: [sum(values)])
    many, = spread(terms, lambda values: [scale * sum(values)])
    assert three(many) == pytest.approx([scale * end for end in three(one)], rel=1e-6)


def test_the_same_twice():
    """Nothing is drawn by lot: the same inputs give the same digits."""
    load, stuff = estimate_lot(LOADS["fruit poured"]), material("black-walnut")
    assert liquor_of(load, stuff) == liquor_of(load, stuff)


@pytest.mark.parametrize("dimensions", [1, 3, 7])
def test_the_points_fill_the_space_evenly(dimensions):
    """1,024 points have means near 0, deviations near 1, and hardly any two dimensions that go together."""
    points = np.array(even_deviations(dimensions, 1024))
    assert points.shape == (1024, dimensions)
    assert np.abs(points.mean(axis=0)).max() < 0.03
    assert np.abs(points.std(axis=0) - 1).max() < 0.02
    together = np.corrcoef(points.T) if dimensions > 1 else np.eye(1)
    assert np.abs(together - np.eye(dimensions)).max() < 0.08


def test_a_logarithm_of_nothing_is_refused():
    """A range that reaches zero has no variance of its logarithm."""
    with pytest.raises(ValueError, match="reaches zero"):
        log_variance(Range(0, 1, 2, "kg"))
