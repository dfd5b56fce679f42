"""Loads and cloth together: what several liquors give, and custom beside the bath."""

import pytest

from field_app.core.bands import begins_at, depth_of, extract_share
from field_app.core.bath import CUSTOM_HOURS, LEAST_RATIO
from field_app.core.cloth import shades
from field_app.core.cloth_text import read_cloth, read_cloths
from field_app.core.dyeing import BOILED_DOWN, Source, cloth_areas, dye
from field_app.core.estimate import Range, exact
from field_app.core.helpers import CELLULOSE_WORDS
from field_app.core.materials import material
from field_app.core.problems import Refused
from field_app.core.uptake import dip, reference_uptake

WALNUT, ALDER = material("black-walnut"), material("alder-bark")


def source(air_dry, litres, stuff=WALNUT, strength=None):
    extract = exact(air_dry * extract_share(stuff), "kg")
    return Source(stuff, extract, exact(litres, "L"), exact(air_dry, "kg"), strength)


def test_two_loads_in_one_bath_are_one_load_of_both():
    """Half here and half there is the same bath, the same depth and the same custom as all in one."""
    items = read_cloths(["wool 1 kg", "wool 1 kg"])
    both = dye([source(0.5, 20.0), source(0.5, 20.0)], items, 6.0)
    one = dye([source(1.0, 40.0)], items, 6.0)
    assert [turn.depth.central for turn in both.turns] == pytest.approx([turn.depth.central for turn in one.turns])
    assert both.wof.central == pytest.approx(one.wof.central) == pytest.approx(0.5)
    assert both.first.wof.central == pytest.approx(1.0)


def test_other_stuff_counts_at_its_own_custom():
    """A kilogram of alder bark beside half a kilogram of walnut hull is custom's medium for 2 kg."""
    found = dye([source(0.5, 30.0), source(1.0, 30.0, ALDER)], read_cloths(["wool 2 kg"]), 8.0)
    assert found.wof.central == pytest.approx(0.5)
    assert (found.together.central, found.turns[0].band.central) == ("medium", "medium")
    assert found.first.agree


def test_water_is_added_so_that_cloth_can_move():
    """A large load in little liquor gets water, and the words say how much."""
    found = dye([source(2.0, 10.0)], read_cloths(["wool 4 kg"]), CUSTOM_HOURS)
    assert found.pot.volume.central == pytest.approx(4 * LEAST_RATIO)
    assert found.words[0] == "Add 70 L of water, so that the cloth can move."
    assert found.as_json()["water_added"] == pytest.approx(70)


def test_plant_fibres_are_told_of_their_base():
    """Cotton and linen get the words on tannin and alum, wool does not."""
    assert CELLULOSE_WORDS in dye([source(1.0, 40.0)], read_cloths(["wool 1 kg", "linen 1 kg"]), 1.0).words
    assert CELLULOSE_WORDS not in dye([source(1.0, 40.0)], read_cloths(["wool 1 kg"]), 1.0).words


def test_ripeness_counts_in_both_routes():
    """Weak hull is paler by the bath and less by custom."""
    firm = dye([source(1.0, 40.0)], read_cloths(["wool 1 kg"]), 6.0)
    weak = dye([source(1.0, 40.0, strength=Range(0.3, 0.55, 0.8, "1"))], read_cloths(["wool 1 kg"]), 6.0)
    assert weak.wof.central == pytest.approx(0.55 * firm.wof.central)
    assert weak.turns[0].depth.central < firm.turns[0].depth.central
    assert len(weak.reasons()) == len(set(weak.reasons()))


def test_how_long_and_how_much_to_top_up():
    """The wait ends where the band begins; topped up with what is named, the load that was too pale gets the shade."""
    items = read_cloths(["wool 1 kg", "wool 1 kg"])
    found = dye([source(0.5, 30.0)], items, 8.0)
    assert [turn.band.central for turn in found.turns] == ["medium", "light"]
    at_that_time, = dye([source(0.5, 30.0)], items[:1], found.wait.central).turns
    assert at_that_time.depth.central == pytest.approx(begins_at("medium"), rel=1e-3)
    litres = found.top.litres.central
    volume = 30.0 + litres
    strength = (found.turns[0].left.central * 30.0 + found.pot.strength * BOILED_DOWN * litres) / volume
    topped = dip(strength, 30.0, [8.0], 85).uptake / reference_uptake()
    assert topped == pytest.approx(depth_of("medium"), rel=1e-6)
    assert found.top.words.startswith("Before load 2, add ")
    assert dye([source(3.0, 60.0)], items, 8.0).top is None
    weak = dye([source(0.05, 30.0)], items, 8.0, shade="dark")
    assert weak.top.litres is None
    assert weak.wait.central is None
    assert dye([source(0.3, 30.0)], items, 8.0).top.words.startswith("Before the first load, add")


def test_nothing_to_dye_or_to_dye_with_is_refused():
    """No load and no cloth are each refused with what to choose."""
    with pytest.raises(Refused, match="no load"):
        dye([], read_cloths(["wool 1 kg"]), 1.0)
    with pytest.raises(Refused, match="no cloth"):
        dye([source(1.0, 40.0)], [], 1.0)


def test_areas_are_of_cloth_known_by_its_weight_per_area():
    """Twice as heavy cloth is half the area; cloth that was weighed has none."""
    medium = shades(exact(1.0, "kg"), WALNUT)[1]
    items = [read_cloth(text) for text in ("wool 1 kg", "cotton 1 m2 100 g/m2", "linen 1 m2 200 g/m2")]
    (_, thin), (_, heavy) = cloth_areas(medium, items)
    assert thin.central == pytest.approx(2.0 / 0.1)
    assert heavy.central == pytest.approx(thin.central / 2)
