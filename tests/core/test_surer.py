"""What would make an estimate surer: worked out again by another route, the most helpful first."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from field_app.core.estimate import Range, exact
from field_app.core.load import estimate_lot
from field_app.core.surer import Check, worthwhile_checks
from field_app.core.units import Measure
from tests.core.lots_for_tests import fruit, lot

FRUIT = {"net": Range(14, 19.7, 24, "kg"), "hull share": Range(0.55, 0.62, 0.75, "1"),
         "dry matter": Range(0.12, 0.15, 0.25, "1"), "strength": Range(0.6, 0.8, 1.0, "1"),
         "wof": Range(0.4, 0.5, 0.75, "1")}
# What a check settles, and the log half-width that it leaves: a scale of 3 %, a swatch of 25 %.
SETTLES = {"weigh": ({"net"}, math.log(1.03)), "hull": ({"net", "hull share"}, math.log(1.03)),
           "dry": ({"dry matter"}, math.log(1.03)), "swatch": ({"strength", "wof"}, math.log(1.25))}


def half(found):
    return math.log(found.high / found.low) / 2


def shrinks_by_hand(factors, key):
    """The part of its width that the range of cloth loses: 2·m·sinh(w), w from squares of half-widths."""
    settled, left = SETTLES[key]
    before = math.sqrt(sum(half(factor)**2 for factor in factors.values()))
    after = math.sqrt(sum(half(factor)**2 for name, factor in factors.items() if name not in settled) + left**2)
    return 1 - math.sinh(after) / math.sinh(before)


def test_the_shrinking_is_that_of_the_closed_form():
    """Each check brings what the hyperbolic sine of the half-widths gives, and the best comes first."""
    found = worthwhile_checks(FRUIT, weighed=False, part="hull")
    assert {check.key for check in found} == set(SETTLES)
    for check in found:
        assert check.shrinks == pytest.approx(shrinks_by_hand(FRUIT, check.key), rel=1e-6)
    assert [check.shrinks for check in found] == sorted((check.shrinks for check in found), reverse=True)


@st.composite
def spreads(draw):
    def factor(unit):
        middle, wide = draw(st.floats(0.1, 10)), draw(st.floats(1.0, 3.0))
        return Range(middle / wide, middle, middle * wide, unit)
    return {name: factor("1") for name in FRUIT}


@given(spreads())
def test_most_helpful_is_what_takes_away_most_variance(factors):
    """The order of the checks is that of the log-variance they take away, and none is offered that brings little."""
    found = worthwhile_checks(factors, weighed=False, part="hull")

    def taken(check):
        settled, left = SETTLES[check.key]
        return sum(half(factors[name])**2 for name in settled) - left**2

    assert [round(taken(check), 9) for check in found] == sorted((round(taken(c), 9) for c in found), reverse=True)
    assert all(0.05 <= check.shrinks < 1 for check in found)


def test_what_is_known_is_not_asked_for():
    """A weighed load is not to be weighed, hulls are not to be hulled, and air-dry hull not to be dried."""
    whole = " ".join(estimate_lot(fruit(gross=Measure("10", "kg"))).surer)
    assert "Weigh the load" not in whole
    assert "Take the hulls off" in whole
    hulls = " ".join(estimate_lot(lot()).surer)
    assert "Take the hulls off" not in hulls
    assert "Dry 200 g of the hull" in hulls
    assert "Dry 200 g" not in " ".join(estimate_lot(lot(condition="air-dry")).surer)
    poured = estimate_lot(lot(basis="poured", pails="1", pail=Measure("12", "L"), condition="air-dry"))
    assert any(line.startswith("Weigh the load:") for line in poured.surer)


def test_bark_is_spoken_of_as_bark():
    """The texts name what the person has in hand."""
    lines = " ".join(estimate_lot(lot(material="oak-bark", part="bark")).surer)
    assert "with the bark" in lines
    assert "hull" not in lines


@pytest.mark.parametrize(("shrinks", "said"), [
    (0.06, "a twentieth"), (0.09, "a tenth"), (0.22, "a fifth"), (0.26, "a quarter"), (0.31, "a third"), (0.48, "half"),
    (0.69, "two thirds"), (0.97, "nine tenths")])
def test_the_part_is_told_in_words(shrinks, said):
    """A check says in words, not decimals, by what part the range of cloth would shrink."""
    assert str(Check("weigh", "Weigh the load", shrinks)) == (
        f"Weigh the load: the range of cloth would shrink by about {said}.")


def test_a_sure_thing_needs_no_check():
    """Where nothing has any spread, nothing is offered."""
    sure = {"net": exact(1.0, "kg"), "dry matter": exact(0.15, "1"), "wof": exact(0.5, "1")}
    assert worthwhile_checks(sure, weighed=True, part="hull") == ()
