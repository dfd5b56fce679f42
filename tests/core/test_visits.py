"""What a visit may bring where no fall is forecast."""

import pytest

from field_app.core.estimate import exact
from field_app.core.facts import LotFacts
from field_app.core.load import estimate_lot
from field_app.core.materials import MATERIALS
from field_app.core.units import Measure
from field_app.core.visits import UNKNOWN, left_of, visit_mass, worth_of


def test_without_earlier_visits_it_is_wide_open():
    """One who was never there is told a wide default, and that it is one."""
    found = visit_mass([])
    assert (found.low, found.central, found.high) == (UNKNOWN.low, UNKNOWN.central, UNKNOWN.high)
    assert [(reason.basis, reason.value) for reason in found.reasons] == [("default", "1.5 kg (0.3–6)")]


def test_after_a_visit_less_is_expected():
    """In the same season a quarter, and perhaps nothing."""
    first, again = visit_mass([2.0, 4.0]), visit_mass([2.0, 4.0], gathered=True)
    assert (first.low, first.central, first.high) == (1.5, 3.0, 6.0)
    assert (again.low, again.central, again.high) == (0.0, 0.75, 3.0)


@pytest.mark.parametrize("key", sorted(MATERIALS))
def test_the_worth_is_that_of_a_lot(key):
    """The cloth of a mass is the cloth that a lot of that mass, fresh and of its first part, is said to dye."""
    stuff = MATERIALS[key]
    lot = LotFacts(site="urn:uuid:0", material=key, part=stuff.parts[0].key, basis="weighed",
                   gathered="2026-10-08T15:24:00-02:00", gross=Measure("3", "kg"))
    expected = estimate_lot(lot).shades
    medium = next(shade for shade in expected if shade.name == "medium").cloth
    assert worth_of(stuff, exact(3.0, "kg")).central == pytest.approx(medium.central)


def test_nothing_is_worth_nothing():
    """No mass dyes no cloth."""
    assert worth_of(MATERIALS["black-walnut"], exact(0.0, "kg")).high == 0


def test_what_is_lost_each_day_adds_up():
    """A tenth a day leaves nine tenths tomorrow; shares beyond sense are held to it."""
    assert left_of(0.1, 1) == pytest.approx(0.9)
    assert left_of(0.0, 30) == 1.0
    assert (left_of(1.5, 1), left_of(-0.2, 1)) == (0.0, 1.0)
