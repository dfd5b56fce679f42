"""Ranges and their products: the closed form against drawn samples and against plain arithmetic."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from field_app.core.estimate import Z90, Range, Reason, exact, product, quotient

DRAWS = 200_000


def lognormal(rng, factor):
    """Draws of a factor whose 10 % and 90 % quantiles are its low and high, made without the code under test."""
    z90 = 1.2815515655446004  # NIST/SEMATECH e-Handbook of Statistical Methods, 1.3.6.7.1
    middle = (math.log(factor.low) + math.log(factor.high)) / 2
    spread = (math.log(factor.high) - math.log(factor.low)) / (2 * z90)
    return rng.lognormal(middle, spread, DRAWS) if spread else np.full(DRAWS, factor.central)


FACTORS = {
    "pail of fruit to hull": ((exact(0.035239, "m³"), Range(400, 560, 670, "kg/m³"), Range(0.55, 0.62, 0.75, "1")), ()),
    "counted fruit to cloth": (
        (exact(170, "1"), Range(0.045, 0.07, 0.1, "kg"), Range(0.55, 0.62, 0.75, "1"), Range(0.12, 0.15, 0.25, "1"),
         Range(0.6, 0.8, 1.0, "1")), (exact(0.9, "1"), Range(0.4, 0.5, 0.75, "1"))),
    "unknown gall": ((exact(50, "1"), Range(0.0005, 0.002, 0.006, "kg")), (Range(0.1, 0.4, 2.0, "1"),)),
}


@pytest.mark.parametrize("name", FACTORS)
def test_the_closed_form_agrees_with_drawn_samples(name):
    """Low and high are within 5 % of the 10 % and 90 % quantiles of 200,000 draws; central is the plain chain."""
    above, below = FACTORS[name]
    rng = np.random.default_rng(20261008)
    drawn = np.prod([lognormal(rng, f) for f in above], axis=0)
    for factor in below:
        drawn = drawn / lognormal(rng, factor)
    low, high = np.quantile(drawn, [0.1, 0.9])
    found = quotient(product(*above, unit="kg"), *below, unit="kg")
    assert found.low == pytest.approx(low, rel=0.05)
    assert found.high == pytest.approx(high, rel=0.05)
    assert found.central == pytest.approx(math.prod(f.central for f in above) / math.prod(f.central for f in below))


amounts = st.floats(0.001, 1000)
widths = st.floats(1, 5)


@st.composite
def factors(draw):
    middle, down, up = draw(amounts), draw(widths), draw(widths)
    return Range(middle / down, middle, middle * up, "1")


@given(st.lists(factors(), min_size=1, max_size=6), st.lists(factors(), max_size=3), st.floats(0.01, 100))
def test_scaling_the_amount_scales_the_result(above, below, k):
    """Any number of times as much gives so many times low, central and high."""
    plain = quotient(product(*above, unit="kg"), *below, unit="kg")
    scaled = quotient(product(exact(k, "1"), *above, unit="kg"), *below, unit="kg")
    assert [scaled.low, scaled.central, scaled.high] == pytest.approx(
        [plain.low * k, plain.central * k, plain.high * k], rel=1e-9)


@given(st.lists(factors(), min_size=1, max_size=6), st.lists(factors(), max_size=3))
def test_order_is_kept(above, below):
    """However factors are combined, low is not above central, nor central above high."""
    found = quotient(product(*above, unit="kg"), *below, unit="kg")
    assert 0 < found.low <= found.central <= found.high


@given(st.permutations([Range(400, 560, 670, "1"), Range(0.55, 0.62, 0.75, "1"), Range(0.12, 0.15, 0.25, "1"),
                        exact(3, "1")]))
def test_the_order_of_factors_does_not_matter(above):
    """A product is the same in whatever order its factors are given.

    By hand: the middles of the logarithms add up, their widths add up in squares.
    """
    found = product(*above, unit="kg")
    assert [found.low, found.central, found.high] == pytest.approx([107.5, 156.24, 277.7], rel=0.001)


@given(factors(), factors())
def test_one_more_factor_never_narrows(one, other):
    """The logarithm's width of a product is that of a right triangle's long side, so it is no less than either.

    Where the spread reaches the chain of central values the width can only grow beyond that.
    """
    def width(r):
        return math.log(r.high / r.low)

    found = width(product(one, other, unit="1"))
    assert found >= math.hypot(width(one), width(other)) - 1e-9


def test_a_chain_in_steps_is_the_chain_at_once():
    """Multiplying step by step gives what multiplying all at once gives."""
    a, b, c = Range(0.045, 0.07, 0.1, "1"), Range(0.55, 0.62, 0.75, "1"), Range(0.12, 0.15, 0.25, "1")
    steps, once = product(product(a, b, unit="1"), c, unit="1"), product(a, b, c, unit="1")
    assert [steps.low, steps.central, steps.high] == pytest.approx([once.low, once.central, once.high], rel=1e-12)


def test_exact_factors_leave_no_spread():
    """A product of exact factors is exact to the last digit."""
    found = product(exact(0.1, "1"), exact(3.0, "1"), unit="1")
    assert found.low == found.central == found.high == 0.1 * 3.0


def test_nothing_stays_nothing():
    """A factor that may be nothing gives a product that may be nothing, and can't be divided by."""
    maybe = Range(0.0, 1.0, 2.0, "kg")
    found = product(maybe, Range(0.5, 0.6, 0.7, "1"), unit="kg")
    assert (found.low, found.central, found.high) == (0.0, 0.6, 1.4)
    with pytest.raises(ValueError, match="can't be divided by"):
        quotient(exact(1.0, "kg"), maybe, unit="1")


@pytest.mark.parametrize("three", [(2, 1, 3), (1, 3, 2), (-1, 0, 1), (math.nan, 1, 2), (1, 2, math.inf)])
def test_a_range_out_of_order_is_no_range(three):
    """Three values out of order, below zero or not finite are refused."""
    with pytest.raises(ValueError, match="must be"):
        Range(*three, "kg")


def test_reasons_go_along():
    """A result carries the reasons of all its factors, the numerator's first, and plain data leaves empty ones out."""
    a, b, c = Reason("a", "1", "said"), Reason("b", "2", "weighed"), Reason("c", "3", "default", "a book", "seen")
    found = quotient(exact(1, "1", a), exact(2, "1", b), unit="1").because(c)
    assert found.reasons == (a, b, c)
    assert [reason.as_json() for reason in found.reasons[1:]] == [
        {"name": "b", "value": "2", "basis": "weighed"},
        {"name": "c", "value": "3", "basis": "default", "source": "a book", "mark": "seen"}]


def test_the_quantile_is_that_of_the_normal_distribution():
    """Z90 is the 90 % quantile of the standard normal distribution, by the error function."""
    assert (1 + math.erf(Z90 / math.sqrt(2))) / 2 == pytest.approx(0.9, abs=1e-12)
