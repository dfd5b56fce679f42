"""What a lot can dye: light, medium and dark, by the amounts of custom."""

import math

import pytest

from field_app.core.cloth import DARK_WORDS, regain_of, shades
from field_app.core.estimate import Range, exact
from field_app.core.load import estimate_lot
from field_app.core.materials import MATERIALS, Material, material
from field_app.core.problems import Refused
from tests.core.lots_for_tests import lot, three


def test_cloth_is_air_dry_stuff_over_wof():
    """Two kilograms of air-dry hull are enough for 10 kg light, 4 kg medium and 2 kg dark, by custom."""
    found = shades(exact(2.0, "kg"), material("black-walnut"))
    assert [(shade.name, shade.cloth.central) for shade in found] == [
        ("light", pytest.approx(10)), ("medium", pytest.approx(4)), ("dark", pytest.approx(2))]
    assert [three(shade.wof) for shade in found] == [[0.1, 0.2, 0.4], [0.4, 0.5, 0.75], [0.75, 1.0, 1.5]]


def test_little_wof_is_much_cloth():
    """The high end of the cloth comes from the low end of the amount, and the low end from the high one."""
    light = shades(exact(2.0, "kg"), material("black-walnut"))[0]
    assert three(light.cloth) == pytest.approx([2 / 0.4, 2 / 0.2, 2 / 0.1])


@pytest.mark.parametrize("key", MATERIALS)
def test_darker_is_less_cloth(key):
    """For every material a lot is enough for less cloth, the darker it is to be, at every end of the range."""
    light, medium, dark = (three(shade.cloth) for shade in shades(Range(1, 2, 3, "kg"), MATERIALS[key]))
    assert all(a > b > c for a, b, c in zip(light, medium, dark, strict=True))


def test_dark_says_what_it_takes():
    """Dark, and dark alone, says that it takes repeated dips, a second bath or iron."""
    assert [shade.words for shade in estimate_lot(lot()).shades] == ["", "", DARK_WORDS]
    for word in ("repeated dips", "second bath", "iron"):
        assert word in DARK_WORDS


def test_weak_stuff_is_enough_for_less():
    """Strength multiplies the cloth at its central value and widens it; the amount on the cloth stays."""
    full = shades(exact(2.0, "kg"), material("black-walnut"))[1]
    weak = shades(exact(2.0, "kg"), material("black-walnut"), Range(0.3, 0.55, 0.8, "1"))[1]
    assert weak.cloth.central == pytest.approx(0.55 * full.cloth.central)
    assert math.log(weak.cloth.high / weak.cloth.low) == pytest.approx(math.hypot(
        math.log(0.8 / 0.3), math.log(0.75 / 0.4)))
    assert weak.wof == full.wof


def test_bark_is_customary_at_its_own_weight():
    """Medium on bark is 100 % on the weight of the cloth (E. Mairet), half to twice."""
    for key in ("alder-bark", "oak-bark", "willow-bark"):
        assert three(shades(exact(1.0, "kg"), material(key))[1].cloth) == pytest.approx([0.5, 1, 2])


def test_a_shade_is_plain_data_too():
    """As plain data a shade has its name, the amount on the cloth, the cloth, and its words."""
    plain = shades(exact(2.0, "kg"), material("black-walnut"))[2].as_json()
    assert plain == {"name": "dark", "wof": {"low": 0.75, "central": 1.0, "high": 1.5, "unit": "1"},
                     "cloth": {"low": pytest.approx(4 / 3), "central": 2.0, "high": pytest.approx(8 / 3), "unit": "kg"},
                     "words": DARK_WORDS}


def test_without_custom_there_is_no_cloth():
    """A material without amounts on the cloth is refused, with the way out: a swatch."""
    bare = MATERIALS["oak-bark"]
    unknown = Material(key="x", name="X", botanical="X", group="bark", parts=bare.parts,
                       parameters={"dry-fresh": bare.parameters["dry-fresh"]})
    with pytest.raises(Refused, match="Dye a swatch"):
        shades(exact(1.0, "kg"), unknown)


def test_regain_and_moisture_content_are_two_ways_to_say_it():
    """Regain is on dry mass: 20 g of water with 80 g of wool are 20 % content and 25 % regain."""
    assert regain_of(0.20) == pytest.approx(20 / 80)
    assert regain_of(0) == 0
    for impossible in (-0.01, 1.0, 1.2):
        with pytest.raises(ValueError, match="moisture content"):
            regain_of(impossible)
