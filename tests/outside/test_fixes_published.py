"""Radii of fixes, weighted means and lines over the ground against published laws and examples."""

import math

import pytest

from field_app.core.finding import FLOOR_M, combine, radius_95, sigma_m, weighted_mean
from field_app.core.positions import Fix, Position, distance_m, from_here


@pytest.mark.parametrize(("meaning", "share", "ratio"), [("95 %", 0.95, 2.4477), ("68 %", 0.68, 1.5096)])
def test_a_radius_holds_the_share_that_its_maker_says(meaning, share, ratio):
    """W3C Geolocation means 95 %, Android 68 %: by the Rayleigh law the radius is 2.4477 and 1.5096 sigma.

    The law: J. R. Taylor or any text on the bivariate normal; P(r) = 1 - exp(-r²/2σ²).
    """
    sigma = sigma_m(10.0, meaning)
    assert 10.0 / sigma == pytest.approx(ratio, abs=5e-5)
    assert 1 - math.exp(-(10.0**2) / (2 * sigma**2)) == pytest.approx(share, abs=1e-12)


def test_apples_radius_is_the_root_of_both_variances():
    """Apple's horizontal accuracy is sqrt(σE² + σN²), as told in its developers' forum: σ is r over the root of 2."""
    sigma = sigma_m(10.0, "unknown")
    assert math.hypot(sigma, sigma) == pytest.approx(10.0)


def test_the_radius_of_95_percent_by_counting():
    """Of normal scatter drawn on a regular grid of quantiles, 95 % lie within the radius we give."""
    from statistics import NormalDist

    steps = 400
    normal = [NormalDist(0, 2.0).inv_cdf((k + 0.5) / steps) for k in range(steps)]
    inside = sum(math.hypot(x, y) <= radius_95(2.0) for x in normal for y in normal)
    assert inside / steps**2 == pytest.approx(0.95, abs=0.002)


@pytest.mark.parametrize(("values", "sigmas", "mean", "sigma"), [
    # From memory: J. R. Taylor, An Introduction to Error Analysis (1997), section 7.3: 11 ± 1, 12 ± 1, 10 ± 3 ohms.
    ([11, 12, 10], [1, 1, 3], 11.42, 0.69),
])
def test_weighted_means_of_a_textbook(values, sigmas, mean, sigma):
    """The printed mean and its uncertainty come out to the printed digit."""
    found = weighted_mean(values, sigmas)
    assert (round(found[0], 2), round(found[1], 2)) == (mean, sigma)


def test_three_fixes_by_hand():
    """Worked by hand with weights 1/r²: the middle, and 2.981 m before the floor, which is 3 m."""
    fixes = [Fix(Position(48.2, 16.3), "device", 5, "95 %"), Fix(Position(48.20003, 16.30004), "device", 10, "95 %"),
             Fix(Position(48.19998, 16.29997), "device", 4, "95 %")]
    found = combine(fixes)
    assert distance_m(found.fix.position, Position(48.1999916, 16.2999869)) < 0.1
    assert radius_95(found.sigma_m) == pytest.approx(2.981, abs=5e-4)
    assert found.fix.accuracy_m == FLOOR_M
    assert found.used == tuple(fixes)


def test_the_direct_line_of_karney():
    """C. F. F. Karney, J. Geodesy 87 (2013), table 2: from 40 N at 30°, 10 000 km come to 41.79331 N 137.84490 E."""
    there = from_here(Position(40, 0), 30, 10_000_000)
    assert (there.lat, there.lon) == (41.793310, 137.844900)


def test_a_row_of_geographiclibs_test_set():
    """The direct line of the first row in its own tests leads to where that row ends, to our six decimals."""
    there = from_here(Position(35.60777, -139.44815), 111.098748429560326, 8935244.5604818305)
    assert distance_m(there, Position(-11.17491, -69.95921)) < 0.2
