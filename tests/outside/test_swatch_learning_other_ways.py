"""What swatches teach together, by other ways to the same answer: numpy, and draws by the hundred thousand."""

import math

import numpy as np
import pytest

from field_app.core.bath import Load, Pot, dye_in_turn
from field_app.core.estimate import exact
from field_app.core.linear import Observation, joint, solved
from field_app.core.materials import material
from field_app.core.palette import Tint
from field_app.core.preview import UNDYED, expected
from field_app.core.swatch_learning import taught
from tests.core.swatches_for_tests import swatch


def test_linear_equations_are_solved_as_numpy_solves_them():
    """Sixty systems of random size have numpy's solution."""
    rng = np.random.default_rng(5)
    for _ in range(60):
        size = int(rng.integers(1, 12))
        matrix, right = rng.normal(size=(size, size)), rng.normal(size=size)
        assert solved(matrix.tolist(), right.tolist()) == pytest.approx(np.linalg.solve(matrix, right), rel=1e-6)


def test_several_unknowns_are_learnt_as_the_joint_normal_distribution_says():
    """Mean and spread of any sum are those of conditioning the joint covariance matrix, which is another formula."""
    rng = np.random.default_rng(7)
    for _ in range(20):
        spreads, weights = rng.uniform(0.1, 2, 4), rng.normal(size=(3, 4))
        values, sds, asked = rng.normal(size=3), rng.uniform(0.1, 1, 3), rng.normal(size=4)
        names = "abcd"
        after = joint(dict(zip(names, spreads, strict=True)), [
            Observation(dict(zip(names, map(float, row), strict=True)), float(value), float(sd))
            for row, value, sd in zip(weights, values, sds, strict=True)])
        prior = np.diag(spreads ** 2)
        gain = prior @ weights.T @ np.linalg.inv(weights @ prior @ weights.T + np.diag(sds ** 2))
        mean, covariance = gain @ values, prior - gain @ weights @ prior
        told = after.told(dict(zip(names, map(float, asked), strict=True)))
        assert told == pytest.approx((asked @ mean, math.sqrt(asked @ covariance @ asked)), rel=1e-7)


def test_a_measured_lightness_teaches_what_weighed_draws_teach():
    """200,000 draws of amount, strength and fall, weighed by how well each fits the lightness seen, agree on strength.

    The draws take the whole bath and colour as they are; the program takes them as straight in the logarithm.
    """
    walnut, seen = material("black-walnut"), 38.0
    rng, count = np.random.default_rng(11), 200_000

    def drawn(row):
        low, high = math.log(row.low), math.log(row.high)
        return rng.normal((low + high) / 2, (high - low) / 2 / 1.2815515655446004, count)

    before = taught(walnut, []).palette.tints["none"]
    amount, strength, fall = (drawn(row) for row in (walnut.parameters["wof-medium"], before.strength, before.fall))
    # Depth by amount from the bath itself, lightness from the colours themselves, each on a grid between which is read.
    shares = np.linspace(0.2, 4, 40)
    depths = [dye_in_turn(Pot(exact(0.114 * share, "kg"), exact(30.0, "L")),
                          [Load(exact(1.0, "kg"), "cloth", 1.0)])[0].depth.central for share in shares]
    depth = np.interp(0.5 / np.exp(amount), shares, depths)
    falls, adds = np.geomspace(50, 180, 16), np.geomspace(0.2, 40, 40)
    light = np.array([[expected(UNDYED, exact(add, "1"), Tint(exact(1.0, "1"), exact(one, "nm")))
                       .central.lab.lightness for add in adds] for one in falls])
    wanted = np.array([np.interp(-seen, -row, np.log(adds)) for row in light])  # strength that gives the lightness
    slope = np.array([np.interp(-seen - 1.5, -row, np.log(adds)) - np.interp(-seen + 1.5, -row, np.log(adds))
                      for row in light]) / 2
    off = np.log(depth) + strength - np.interp(fall, np.log(falls), wanted)
    spread = np.hypot(abs(np.interp(fall, np.log(falls), slope)), math.log(1.2)) / 1.2815515655446004
    weight = np.exp(-0.5 * (off / spread) ** 2) / spread
    mean = np.average(strength, weights=weight)
    sd = math.sqrt(np.average((strength - mean) ** 2, weights=weight))
    after = taught(walnut, [swatch(lightness="38")]).palette.tints["none"].strength
    assert math.log(after.low * after.high) / 2 == pytest.approx(mean, abs=0.06)
    assert math.log(after.high / after.low) / 2 / 1.2815515655446004 == pytest.approx(sd, rel=0.12)
