"""The chain against figures worked out on paper from published sources; each test names its source."""

import pytest

from field_app.core.cloth import regain_of
from field_app.core.load import estimate_lot, net_mass
from field_app.core.materials import MATERIALS
from field_app.core.units import Measure
from tests.core.lots_for_tests import fruit

# Society of Ontario Nut Growers, Eastern Chapter, essay on black walnut processing:
# 3,600 fruits weighed 555 lb and filled 33 five-gallon pails.
FRUITS, LOAD, PAILS, PAIL = 3600, Measure("555", "lb"), 33, Measure("5", "gal-us")
WALNUT = MATERIALS["black-walnut"].parameters


def test_example_1_the_mass_of_one_fruit():
    """The Ontario essay's 3,600 fruits of 555 lb are 69.929 g each, which the table's 70 g rounds."""
    one = net_mass(fruit(gross=LOAD)).central / FRUITS
    assert one * 1000 == pytest.approx(69.929, abs=0.001)
    assert WALNUT["piece-whole-fruit"].central * 1000 == pytest.approx(one * 1000, abs=0.1)
    counted = net_mass(fruit(basis="counted", count=FRUITS))
    assert counted.low < LOAD.si < counted.high


def test_example_2_the_mass_of_a_pail():
    """The Ontario essay's 555 lb in 33 pails of 5 US gallons are 7.6286 kg a pail and 403.05 kg/m³."""
    pail = net_mass(fruit(gross=LOAD)).central / PAILS
    density = pail / PAIL.si * 1000
    assert pail == pytest.approx(7.6286, abs=0.0001)
    assert density == pytest.approx(403.05, abs=0.01)
    assert WALNUT["pour-whole-fruit"].low == pytest.approx(density, rel=0.01)
    poured = net_mass(fruit(basis="poured", pails=str(PAILS), pail=PAIL))
    assert poured.low < LOAD.si < poured.high


def test_example_2_contradicts_itself_on_the_cubic_yard():
    """The Ontario essay also calls the load one cubic yard, which the 33 pails are not: the table follows the pails.

    A cubic yard would make it 329.27 kg/m³; 33 level pails of 5 US gallons are 0.82 of a cubic yard.
    """
    cubic_yard = Measure("1", "yd").si ** 3
    assert LOAD.si / cubic_yard == pytest.approx(329.27, abs=0.01)
    assert PAILS * PAIL.si / 1000 / cubic_yard == pytest.approx(0.817, abs=0.001)
    assert WALNUT["pour-whole-fruit"].low > 1.2 * LOAD.si / cubic_yard


def test_example_3_the_share_of_hull():
    """Hobby notes: 5 lb of whole fruit gave 3 lb of hull, 60.0 %, which the table's range holds."""
    whole, hull = (net_mass(fruit(gross=Measure(pounds, "lb"))).central for pounds in ("5", "3"))
    assert hull / whole == pytest.approx(0.600)
    estimated = estimate_lot(fruit(gross=Measure("5", "lb"))).fresh_hull
    assert estimated.low < hull < estimated.high
    assert estimated.central == pytest.approx(hull, rel=0.05)


def test_example_4_a_bushel_of_fruit():
    """One struck US bushel (2150.42 in³) of fruit at the table's central values, worked out on paper."""
    found = estimate_lot(fruit(basis="poured", pails="1", pail=Measure("1", "bu-us")))
    assert found.net.central == pytest.approx(19.73, abs=0.005)
    assert found.fresh_hull.central == pytest.approx(12.24, abs=0.006)
    assert found.dry_matter.central == pytest.approx(1.835, abs=0.0005)
    assert found.air_dry.central == pytest.approx(2.039, abs=0.0005)
    light, _, dark = found.shades
    assert dark.cloth.central == pytest.approx(2.04, abs=0.005)
    assert light.cloth.central == pytest.approx(10.2, abs=0.05)


@pytest.mark.parametrize(("end", "air_dry"), [("low", 1.03), ("central", 2.04), ("high", 4.92)])
def test_example_5_all_lows_and_all_highs(end, air_dry):
    """The same bushel with every factor low, or every factor high, as worked out on paper: 1.03 and 4.92 kg.

    The range that is shown lies inside these, as factors are seldom all low or all high at once.
    """
    density, share, dry = (getattr(WALNUT[name], end) for name in ("pour-whole-fruit", "hull-share", "dry-fresh"))
    plain = Measure("1", "bu-us").si / 1000 * density * share * dry / WALNUT["dry-air-dry"].central
    assert plain == pytest.approx(air_dry, abs=0.005)
    shown = estimate_lot(fruit(basis="poured", pails="1", pail=Measure("1", "bu-us"))).air_dry
    assert (shown.low <= plain) == (end != "low")
    assert (plain <= shown.high) == (end != "high")


def test_example_13_regain_of_scoured_wool():
    """ASTM D2118 (abstract): scoured wool of 12.0 % moisture content has a regain of 13.636 %.

    Bioresour. Bioprocess. 2020, s40643-020-00339-1, Table 10 has 13.6 % (ASTM D1909).
    """
    assert regain_of(0.12) * 100 == pytest.approx(13.636, abs=0.0005)
    assert round(regain_of(0.12) * 100, 1) == 13.6


def test_example_17_a_pail_of_170_fruits():
    """170 fruits of 70 g in a pail of 18.927 L, worked out on paper: 11.9 kg and 628.7 kg/m³, near packed spheres."""
    counted = net_mass(fruit(basis="counted", count=170))
    density = counted.central / PAIL.si * 1000
    assert counted.central == pytest.approx(11.9)
    assert density == pytest.approx(628.7, abs=0.05)
    assert WALNUT["pour-whole-fruit"].low < density < WALNUT["pour-whole-fruit"].high
    poured = net_mass(fruit(basis="poured", pails="1", pail=PAIL))
    assert poured.low < counted.central < poured.high
