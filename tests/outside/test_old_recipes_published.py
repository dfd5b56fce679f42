"""Old recipes as printed, turned into today's amounts; each test names its source."""

import pytest

from field_app.core.bands import band_by_wof
from field_app.core.cloth_text import read_cloth
from field_app.core.estimate import exact
from field_app.core.helpers import HELPERS, IRON_IN_VITRIOL, on_weight, vitriol_grams
from field_app.core.kubelka import k_over_s
from field_app.core.materials import material
from field_app.core.old_measures import converted, read_recipe
from field_app.core.units import to_si

POUND = to_si(1, "lb")


def shares(cloth, *taken, **how):
    return [line.share.central for line in converted(read_recipe([read_cloth(cloth)], taken, **how))]


def test_example_6_alum_and_tartar():
    """E. Mairet, Vegetable Dyes, 1938, ch. II: 25 % alum, 6.25 % tartar on 1 lb of wool: 113.398 g, 28.350 g."""
    assert shares("wool 1 lb", "4 oz alum", "1 oz cream of tartar") == pytest.approx([0.25, 0.0625])
    assert pytest.approx(113.398, abs=0.0005) == 0.25 * POUND * 1000
    assert pytest.approx(28.350, abs=0.0005) == 0.0625 * POUND * 1000


def test_example_7_alder_and_copperas():
    """E. Mairet: 1 lb of wool, 1 lb of alder bark, ½ oz of copperas: 100 % and 3.125 % on the weight of the wool."""
    assert shares("wool 1 lb", "1 lb alder bark", "½ oz copperas") == pytest.approx([1.0, 0.03125])


def test_example_8_copperas_by_the_hundred():
    """Worked out on paper: copperas of 5 to 8 % on 2.5 kg is 125 to 200 g."""
    recipe = read_recipe([read_cloth("wool 100 lb")], ["5 lb copperas", "8 lb copperas"])
    grams = [line.today.central * 1000 for line in converted(recipe, [read_cloth("wool 2.5 kg")])]
    assert grams == pytest.approx([125, 200])
    assert HELPERS["iron"].wof.high < 0.05  # today's custom stays below the old book


def test_example_9_madder():
    """E. Mairet: 6 oz of madder for 1 lb of wool is 37.5 %."""
    assert shares("wool 1 lb", "6 oz madder") == pytest.approx([0.375])


def test_example_10_cutch():
    """E. Mairet: 1 oz of cutch for 6 lb of wool is 1.0417 %."""
    assert shares("wool 6 lb", "1 oz cutch") == pytest.approx([0.010417], abs=5e-7)


def test_example_11_tannic_acid_on_cotton():
    """E. Mairet, ch. X: 12 oz of tannic acid for 10 lb of cotton is 7.5 %, within today's custom of 5 to 10 %."""
    found, = shares("cotton 10 lb", "12 oz tannic acid")
    assert found == pytest.approx(0.075)
    assert HELPERS["tannin"].wof.low < found < HELPERS["tannin"].wof.high


@pytest.mark.parametrize(("gallons", "strength"), [("imperial", 9.978), ("us", 11.983)])
def test_example_12_soda_in_ten_gallons(gallons, strength):
    """E. Mairet: 1 lb of soda in 10 gallons, imperial ones: 9.978 g/L; misread as US gallons it would be 11.983."""
    recipe = read_recipe([read_cloth("wool 1 lb")], ["1 lb soda", "10 gallons water"], gallons=gallons)
    assert converted(recipe)[0].strength.central == pytest.approx(strength, abs=0.0005)


def test_example_15_iron_and_a_child():
    """McGuigan 1996, Pediatr. Ann. 25:33: 60 mg of iron per kg is systemic; for 10 kg 2.987 g of green vitriol."""
    assert vitriol_grams(10, 60) == pytest.approx(2.987, abs=0.0005)
    assert round(vitriol_grams(10, 20), 1) == 1.0
    assert pytest.approx(0.2009, abs=0.00005) == IRON_IN_VITRIOL


@pytest.mark.parametrize(("reflectance", "ratio"), [(0.5, 0.25), (0.2, 1.6), (0.1, 4.05), (0.05, 9.025)])
def test_example_19_kubelka_and_munk(reflectance, ratio):
    """Kubelka and Munk 1931, (1 − R)² / 2R, exact; depth is counted in it."""
    assert k_over_s(reflectance) == pytest.approx(ratio)


def test_example_20_a_hobby_record():
    """Hobby notes: 400 g of fresh hull on 55 g of fibre, 727.3 % fresh, 121 % as air-dry at .15 dry matter: dark."""
    assert on_weight(0.400, 0.055) == pytest.approx(7.273, abs=0.0005)
    recipe = read_recipe([read_cloth("wool 55 g")], ["400 g fresh hull"])
    line, = converted(recipe)
    assert line.share.central == pytest.approx(7.273, abs=0.0005)
    assert line.air_dry.central == pytest.approx(1.21, abs=0.005)
    assert line.band.central == "dark"


def test_example_21_two_pails_on_twenty_yards():
    """Common practice, no source: two pails of 12 L on 20 yards of heavy wool cloth, on paper 15.1 % WOF: light."""
    recipe = read_recipe([read_cloth("wool 20 yd 54 in heavy")], ["2 pails fresh hull"], pail=12.0)
    line, = converted(recipe)
    assert line.old.central == pytest.approx(10.8)
    assert line.air_dry.central == pytest.approx(0.151, abs=0.0005)
    assert line.band.central == "light"
    assert band_by_wof(exact(0.151, "1"), material("black-walnut")).central == "light"
