"""Cloth against figures of published sources and of plain arithmetic; each test names its source."""

import pytest

from field_app.core.cloth import regain_of
from field_app.core.cloth_text import read_cloth
from field_app.core.cloths import air_dry_of_bone_dry, air_dry_of_damp
from field_app.core.fibres import FIBRES, MOMME, OZ_PER_YD2, WEAVES


@pytest.mark.parametrize(("text", "grams"), [
    ("cotton 1 yd 45 in 120 g/m2", 125.4), ("wool 1 yd 60 in 400 g/m2", 557.4)])
def test_example_18_a_yard_of_cloth(text, grams):
    """A yard of 45 in at 120 g/m² and one of 60 in at 400 g/m², worked out on paper with the exact yard and inch."""
    assert read_cloth(text).mass.central * 1000 == pytest.approx(grams, abs=0.05)


def test_an_ounce_to_the_square_yard():
    """1 oz/yd² is 33.9057 g/m²: the international pound and yard of 1959 are exact."""
    assert pytest.approx(33.9057, abs=0.00005) == OZ_PER_YD2


def test_a_momme():
    """Silk habotai of 8 momme weighs 35 g/m² (common practice, no source), which the definition rounds to."""
    assert round(8 * MOMME) == WEAVES["habotai"].central == 35


@pytest.mark.parametrize(("fibre", "percent"), [("wool", 13.6), ("silk", 11.0), ("hemp", 12.0), ("jute", 13.75)])
def test_commercial_regains(fibre, percent):
    """Bioresour. Bioprocess. 2020, s40643-020-00339-1, Table 10 (ASTM D1909 values)."""
    assert FIBRES[fibre].regain * 100 == pytest.approx(percent)


@pytest.mark.parametrize(("fibre", "percent"), [("cotton", 7.0), ("linen", 8.75)])
def test_commercial_regains_of_yarn(fibre, percent):
    """From memory: ASTM D1909, natural cotton yarn 7.0 %, linen 8.75 %."""
    assert FIBRES[fibre].regain * 100 == pytest.approx(percent)


def test_scoured_wool_of_12_percent_moisture_is_air_dry():
    """ASTM D2118 (abstract): 12.0 % moisture content is 13.636 % regain, which rounds to D1909's 13.6 %."""
    assert regain_of(0.12) * 100 == pytest.approx(13.636, abs=0.0005)
    assert air_dry_of_damp(1.0, 0.12, FIBRES["wool"].regain) == pytest.approx(1.0, abs=0.0005)
    assert air_dry_of_bone_dry(0.88, regain_of(0.12)) == pytest.approx(1.0)


def test_example_21_the_cloth_of_the_old_measure():
    """20 yards of heavy wool cloth, 54 in wide, at 475 g/m² (common practice, no source): 11.91 kg, on paper."""
    assert read_cloth("wool 20 yd 54 in 475 g/m2").mass.central == pytest.approx(11.91, abs=0.005)
