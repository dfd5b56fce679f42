"""Orders of stops against the shortest tours that TSPLIB publishes."""

import pytest

from field_app.core.tours import exact_path, length, matrix, short_path
from tests.outside.tsplib import BERLIN52, BERLIN52_TOUR, BURMA14, ULYSSES16, ULYSSES16_TOUR, ULYSSES22, euclid, geo


@pytest.mark.parametrize(("points", "between", "tour", "published"), [
    (ULYSSES16, geo, ULYSSES16_TOUR, 6859), (BERLIN52, euclid, BERLIN52_TOUR, 7542)])
def test_published_tours_have_their_published_lengths(points, between, tour, published):
    """The coordinates and the rules of distance are those of the library: its tours come out at its lengths."""
    assert sum(between(points[a - 1], points[b - 1])
               for a, b in zip(tour, tour[1:] + tour[:1], strict=True)) == published


@pytest.mark.parametrize(("points", "optimum"), [(BURMA14, 3323), (ULYSSES16, 6859)])
def test_the_exact_order_is_the_published_optimum(points, optimum):
    """burma14 and ulysses16: the exact order has the published length of the shortest tour."""
    legs = matrix(points, geo)
    path = exact_path(legs)
    assert sorted(path) == list(range(len(points) + 1))
    assert length(path, legs) == optimum


@pytest.mark.parametrize(("points", "between", "optimum"), [
    (BURMA14, geo, 3323), (ULYSSES16, geo, 6859), (ULYSSES22, geo, 7013), (BERLIN52, euclid, 7542)])
def test_the_order_of_many_stops_is_within_one_percent(points, between, optimum):
    """Also where not every order is weighed, the tour is at most 1 % above the published optimum, from any start."""
    for start in (0, 5, len(points) // 2):
        legs = matrix(points[start:] + points[:start], between)
        path = short_path(legs)
        assert sorted(path) == list(range(len(points) + 1))
        assert optimum <= length(path, legs) <= 1.01 * optimum
