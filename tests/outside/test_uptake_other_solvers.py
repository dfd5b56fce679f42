"""How cloth takes dye, against general solvers and published figures; each test names its source."""

import math

import pytest
from scipy.integrate import solve_ivp
from scipy.optimize import brentq

from field_app.core.bands import band_by_depth, band_by_wof
from field_app.core.bath import Load, Pot, dye_in_turn
from field_app.core.cloth_text import read_cloth
from field_app.core.estimate import Range, exact, product, quotient
from field_app.core.extraction import arrhenius
from field_app.core.materials import material
from field_app.core.uptake import (
    ASSUMED,
    REFERENCE_RATIO,
    REFERENCE_STRENGTH,
    Constants,
    at_rest,
    dip,
    hours_for,
    reference_depth,
    reference_uptake,
    strength_for,
    taken_up,
)

BATHS = [(strength, ratio) for strength in (0.001, 0.3, 3.8, 20.0, 200.0) for ratio in (0.5, 5.0, 30.0, 400.0)]


@pytest.mark.parametrize(("strength", "ratio"), BATHS)
@pytest.mark.parametrize("constants", [ASSUMED, Constants(affinity=5, power=0.25), Constants(affinity=300, power=0.95)])
def test_the_root_is_that_of_a_general_solver(strength, ratio, constants):
    """scipy.optimize.brentq on the balance in C, not in q, finds the same bath at rest."""
    def balance(left):
        return constants.affinity * left ** constants.power + ratio * (left - strength)

    left = brentq(balance, 0.0, strength, xtol=1e-300, rtol=1e-14)
    found = at_rest(strength, ratio, constants)
    assert found == pytest.approx(constants.affinity * left ** constants.power, rel=1e-8)
    assert found + ratio * left == pytest.approx(strength * ratio, rel=1e-8)


@pytest.mark.parametrize("hours", [0.05, 0.25, 1.0, 6.0, 12.0])
@pytest.mark.parametrize(("strength", "ratio", "celsius"), [(3.8, 30, 85), (1.1, 20, 60), (9.0, 40, 95)])
def test_the_time_is_that_of_a_general_solver(strength, ratio, celsius, hours):
    """scipy.integrate.solve_ivp on dq/dt = k (qe − q)², the law of pseudo-second order, arrives at the same uptake."""
    rest, speed = at_rest(strength, ratio), ASSUMED.speed(celsius)
    solved = solve_ivp(lambda _, q: speed * (rest - q) ** 2, (0, hours), [0.0], rtol=1e-10, atol=1e-12)
    assert taken_up(rest, hours, speed) == pytest.approx(solved.y[0, -1], rel=1e-7)
    assert dip(strength, ratio, [hours], celsius).uptake == pytest.approx(solved.y[0, -1], rel=1e-7)
    assert hours_for(rest, solved.y[0, -1], speed) == pytest.approx(hours, rel=1e-6)


@pytest.mark.parametrize("wanted", [0.5, 20.0, 45.0, 90.0])
def test_the_strength_for_a_depth_is_that_of_a_general_solver(wanted):
    """scipy.optimize.brentq over the strength finds the same bath for an uptake wanted."""
    strength = brentq(lambda c: dip(c, 30, [2.0, 2.0], 85).uptake - wanted, 1e-9, 1e4, xtol=1e-12)
    assert strength_for(wanted, 30, [2.0, 2.0], 85) == pytest.approx(strength, rel=1e-6)


def test_example_14_thirty_kelvin_warmer():
    """Zi et al. 2018, Nat. Prod. Res. Dev. 30(3):362: 30.09 kJ/mol, so from 303 K to 333 K the rate is × 2.933."""
    assert arrhenius(30_090, 303, 333) == pytest.approx(2.933, abs=0.0005)
    assert ASSUMED.speed(60) / ASSUMED.speed(30) == pytest.approx(arrhenius(30_090, 303.15, 333.15), rel=1e-9)


def test_the_reference_bath():
    """Common practice, no source: it gives up about 40 % of its dye, and its curve is that of the practice."""
    used = reference_uptake() / (REFERENCE_STRENGTH * REFERENCE_RATIO)
    assert used == pytest.approx(0.40, abs=0.005)
    shares = [taken_up(1.0, hours, ASSUMED.rate) for hours in (0.05, 0.25, 1, 6, 8)]
    assert [round(share, 2) for share in shares] == [0.11, 0.37, 0.70, 0.93, 0.95]
    assert ASSUMED.speed(85) * reference_uptake() == pytest.approx(ASSUMED.rate)


def test_the_curve_of_the_practice():
    """Common practice, no source: a tan within 3 minutes, 90 % by 6 h, no more than 2 % more from 8 h to 12 h."""
    def depth(hours):
        return dip(REFERENCE_STRENGTH, REFERENCE_RATIO, [hours], 85).uptake / reference_uptake()

    three_minutes = depth(0.05)
    assert three_minutes >= 0.1
    # A tan is a colour that custom calls pale: more than what a twentieth of the amount for medium leaves.
    assert three_minutes > reference_depth(0.025)
    assert band_by_depth(exact(three_minutes, "1")).central == "pale"
    assert depth(6) >= 0.90
    assert depth(12) / depth(8) - 1 <= 0.02
    assert band_by_depth(exact(depth(6), "1")).central == "medium"


def two_pails_on_twenty_yards():
    """The old measure: air-dry hull [kg] as worked out on paper, and the cloth as it is typed."""
    fresh = product(exact(2 * 12 / 1000, "m³"), exact(450.0, "kg/m³"), unit="kg")
    air_dry = quotient(product(fresh, exact(0.15, "1"), unit="kg"), exact(0.90, "1"), unit="kg")
    return fresh, air_dry, read_cloth("wool 20 yd 54 in 475 g/m2")


def test_example_21_is_light_by_custom():
    """Common practice, no source; on paper 10.8 kg fresh, 1.80 kg air-dry, 11.91 kg cloth: 15.1 % WOF, light."""
    fresh, air_dry, cloth = two_pails_on_twenty_yards()
    wof = air_dry.central / cloth.mass.central
    assert fresh.central == pytest.approx(10.8)
    assert air_dry.central == pytest.approx(1.80)
    assert wof == pytest.approx(0.151, abs=0.0005)
    assert band_by_wof(exact(wof, "1"), material("black-walnut")).central == "light"


@pytest.mark.parametrize(("hours", "dips"), [(8.0, 1), (12.0, 1), (3.0, 2), (2.0, 3), (1.0, 5)])
def test_example_21_is_light_by_the_bath(hours, dips):
    """The same, as the old measure says dipped a few times, or left for long, in 20 to 30 L to the kilogram: light."""
    _, air_dry, cloth = two_pails_on_twenty_yards()
    dye = exact(air_dry.central * REFERENCE_STRENGTH * REFERENCE_RATIO / 1000 / 0.5, "kg")
    for ratio in (20.0, 30.0):
        pot = Pot(dye, exact(ratio * cloth.mass.central, "L"))
        turn, = dye_in_turn(pot, [Load(exact(cloth.mass.central, "kg"), cloth.text, hours, dips)])
        assert turn.band.central == "light", (ratio, turn.depth)


def test_ranges_are_those_of_many_draws():
    """20,000 draws of every unsure input give the 10 % and 90 % quantiles of the depth within 6 %."""
    import numpy as np

    from field_app.core.bath import AFFINITY, RATE

    dice = np.random.default_rng(7)
    dye, volume = Range(0.07, 0.114, 0.17, "kg"), Range(27.0, 30.0, 32.0, "L")
    cloth = Range(0.85, 1.0, 1.15, "kg")
    first, second = dye_in_turn(Pot(dye, volume), [Load(cloth, "a", 1.0), Load(cloth, "b", 1.0)])

    def drawn(one):
        low, high = math.log(one.low), math.log(one.high)
        return np.exp((low + high) / 2 + (high - low) / 2 / 1.2815515655446004 * dice.standard_normal(20_000))

    depths = []
    draws = [drawn(each) for each in (dye, volume, AFFINITY, RATE, cloth, cloth)]
    for d, v, k, r, one, two in zip(*draws, strict=True):
        constants = Constants(affinity=k, rate=r)
        before = dip(1000 * d / v, v / one, [1.0], 85, constants)
        after = dip(before.left, v / two, [1.0], 85, constants)
        depths.append((before.uptake / reference_uptake(constants), after.uptake / reference_uptake(constants)))
    for turn, values in zip((first, second), np.array(depths).T, strict=True):
        assert [turn.depth.low, turn.depth.high] == pytest.approx(list(np.quantile(values, [0.1, 0.9])), rel=0.06)
