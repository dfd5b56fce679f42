"""How much must be gathered: the way back of the estimate, less what is in store."""

import datetime as dt

import pytest
from hypothesis import given
from hypothesis import strategies as st

from field_app.core.bands import SHADES, depth_of, extract_share
from field_app.core.bath import Load, dye_in_turn, pot_of
from field_app.core.cloth import DARK_WORDS
from field_app.core.deeds import DrawForm, StepForm
from field_app.core.estimate import Range, exact
from field_app.core.forms import SiteForm, WindfallForm
from field_app.core.load import estimate_lot, ripe_strength
from field_app.core.materials import MATERIALS, RIPENESS, Material, material
from field_app.core.need import lacking, need_for, read_shade
from field_app.core.problems import Refused
from field_app.core.stock import air_dry_left, in_store
from field_app.core.units import Measure
from tests.core.lots_for_tests import lot as lot_of
from tests.ui.fieldwork import FieldBag

WALNUT = material("black-walnut")


@pytest.fixture
def bag(tmp_path):
    bag = FieldBag(tmp_path)
    yield bag
    bag.book.close()


def kilograms(mass):
    return Measure(f"{mass:.9f}", "kg")


@given(st.floats(0.05, 100), st.sampled_from(["light", "medium", "dark"]), st.sampled_from(["", *RIPENESS]))
def test_what_is_needed_is_what_the_estimate_says_is_enough(cloth, shade, ripe):
    """Gathering what `need` asks for, as whole fruit or as hull, gives the cloth that was asked for, and back."""
    found = need_for(exact(cloth, "kg"), shade, WALNUT, ripe=ripe)
    for part, amount in (("whole-fruit", found.whole_fruit), ("hull", found.hull_fresh)):
        facts = lot_of(part=part, gross=kilograms(amount.central), ripeness=ripe or None)
        worth = estimate_lot(facts)
        enough = next(one.cloth for one in worth.shades if one.name == shade)
        assert enough.central == pytest.approx(cloth, rel=1e-5)
        assert worth.air_dry.central == pytest.approx(found.air_dry.central, rel=1e-5)
        again = need_for(enough, shade, WALNUT, ripe=ripe)
        assert again.hull_fresh.central == pytest.approx(found.hull_fresh.central, rel=1e-5)


@pytest.mark.parametrize("key", MATERIALS)
@pytest.mark.parametrize("shade", SHADES)
def test_every_material_can_be_asked_for(key, shade):
    """For every material and shade there are air-dry and fresh amounts, and whole fruit where there is one."""
    found = need_for(exact(1.0, "kg"), shade, MATERIALS[key])
    assert 0 < found.air_dry.low <= found.air_dry.central < found.hull_fresh.central
    assert (found.whole_fruit is None) == (not any(part.key == "whole-fruit" for part in MATERIALS[key].parts))
    assert (DARK_WORDS in found.words) == (shade == "dark")
    assert found.as_json()["still_to_gather"] == found.still_to_gather.as_json()


@pytest.mark.parametrize("shade", SHADES)
def test_the_bath_gives_what_it_was_asked_for(shade):
    """The amount that the bath asks for, made into liquor, gives the depth that was aimed at."""
    found = need_for(exact(2.0, "kg"), shade, WALNUT, hours=6.0)
    pot = pot_of(exact(found.by_bath.central * extract_share(WALNUT), "kg"), exact(60.0, "L"), WALNUT)
    turn, = dye_in_turn(pot, [Load(exact(2.0, "kg"), "wool 2 kg", 6.0)])
    assert turn.depth.central == pytest.approx(depth_of(shade), rel=1e-6)
    assert turn.band.central == shade


@given(st.floats(0.1, 10), st.floats(1, 3))
def test_more_cloth_and_darker_take_more(cloth, more):
    """Needs rise with the cloth and with the shade, at every end."""
    plain = need_for(exact(cloth, "kg"), "light", WALNUT)
    for other in (need_for(exact(cloth * more, "kg"), "light", WALNUT), need_for(exact(cloth, "kg"), "medium", WALNUT)):
        assert other.air_dry.low >= plain.air_dry.low * (1 - 1e-9)
        assert other.air_dry.central >= plain.air_dry.central * (1 - 1e-9)
        assert other.by_bath.central >= plain.by_bath.central * (1 - 1e-9)


def test_weak_stuff_is_needed_in_larger_amounts():
    """Browned hull is worth less, so more of it must be gathered; what bark is worth has no ripeness."""
    firm, browned = (need_for(exact(3.0, "kg"), "medium", WALNUT, ripe=ripe) for ripe in ("", "browned"))
    assert browned.air_dry.central == pytest.approx(firm.air_dry.central / ripe_strength("browned").central)
    oak = material("oak-bark")
    assert need_for(exact(1.0, "kg"), "medium", oak, ripe="black").air_dry == need_for(
        exact(1.0, "kg"), "medium", oak).air_dry


def test_what_is_in_store_is_taken_off():
    """Never below nothing; with a store as unsure as the need, the rest is unsure both ways."""
    store = Range(0.5, 1.0, 1.5, "kg")
    found = need_for(exact(3.0, "kg"), "medium", WALNUT, store)
    assert found.still_to_gather.central == pytest.approx(0.5)
    assert found.still_hull.central == pytest.approx(found.hull_fresh.central / 3)
    assert found.still_fruit.central == pytest.approx(found.whole_fruit.central / 3)
    assert found.still_to_gather.low == 0
    rich = need_for(exact(3.0, "kg"), "medium", WALNUT, Range(80.0, 90.0, 100.0, "kg"))
    assert (rich.still_to_gather.central, rich.still_to_gather.high) == (0, 0)
    assert lacking(Range(1.0, 2.0, 3.0, "kg"), exact(0.0, "kg")) == Range(1.0, 2.0, 3.0, "kg")


def test_lacking_is_that_of_many_draws():
    """The difference of two unsure amounts has the quantiles of 200,000 draws within 5 % of the larger."""
    import numpy as np

    need, store = Range(8.0, 10.0, 12.5, "kg"), Range(4.0, 5.0, 6.0, "kg")
    dice = np.random.default_rng(3)

    def drawn(one):
        low, high = np.log(one.low), np.log(one.high)
        return np.exp((low + high) / 2 + (high - low) / 2.563103 * dice.standard_normal(200_000))

    quantiles = np.quantile(drawn(need) - drawn(store), [0.1, 0.9])
    found = lacking(need, store)
    assert [found.low, found.high] == pytest.approx(list(quantiles), abs=0.5)


def test_a_lot_counts_with_what_is_left_of_it(bag):
    """Draws, steps and the end of a lot change what is in store, ripeness counts, and other stuff does not."""
    tree = bag.tree("Mill lane")
    lot = bag.lot(tree, ripeness="fallen")
    worth = estimate_lot(lot.facts)
    full = worth.air_dry.central * 0.95
    assert air_dry_left(lot).central == pytest.approx(full)
    bag.book.draw(lot.id, DrawForm("6.55 kg"))
    assert air_dry_left(bag.book.lot(lot.id)).central == pytest.approx(full / 2)
    bag.now += dt.timedelta(hours=1)
    bag.book.step(lot.id, StepForm("dried", mass="2 kg", nuts="1 kg"))
    assert air_dry_left(bag.book.lot(lot.id)).central == pytest.approx(2 * 0.95)
    bag.book.step(lot.id, StepForm("strained", volume="40 L"))
    bag.book.draw(lot.id, DrawForm("10 L"))
    assert air_dry_left(bag.book.lot(lot.id)).central == pytest.approx(0.75 * 2 * 0.95)
    bag.book.log(WindfallForm("oak-bark", "bark", new_site=SiteForm("Weir"), gross="3 kg", wood="felled"))
    assert in_store(bag.book.lots(), "black-walnut").central == pytest.approx(0.75 * 2 * 0.95)
    assert in_store(bag.book.lots(), "oak-bark").central > 1
    bag.book.step(lot.id, StepForm("spent"))
    assert in_store(bag.book.lots(), "black-walnut").high == 0


def test_a_lot_weighed_again_counts_in_its_state(bag):
    """Soaked hull is weighed with its water, dried hull is air-dry, whole dried fruit has its nuts in it."""
    tree = bag.tree("Mill lane")
    soaked = bag.lot(tree, part="hull", gross="10", tare="", ripeness="green")
    bag.book.step(soaked.id, StepForm("soaked", mass="12 kg"))
    assert air_dry_left(bag.book.lot(soaked.id)).central == pytest.approx(12 * 0.13 / 0.9)
    bag.now += dt.timedelta(hours=1)
    bag.book.step(soaked.id, StepForm("dried"))
    bag.book.step(soaked.id, StepForm("weighed", mass="1.5 kg"))
    assert air_dry_left(bag.book.lot(soaked.id)).central == pytest.approx(1.5)
    whole = bag.lot(tree, gross="10", tare="", ripeness="green")
    bag.book.step(whole.id, StepForm("dried", mass="4 kg"))
    assert air_dry_left(bag.book.lot(whole.id)).central == pytest.approx(4 * 0.365, rel=0.01)


def test_a_shade_is_one_of_four():
    """Any case is read; another word is refused with the four."""
    assert [read_shade(word) for word in ("Pale", " light ", "MEDIUM", "dark")] == list(SHADES)
    with pytest.raises(Refused, match="pale, light, medium, dark"):
        read_shade("tan")


def test_without_figures_there_is_no_need():
    """A material without an amount for medium is refused, with the way out: a swatch."""
    bare = Material(key="x", name="X", botanical="X", group="bark", parts=WALNUT.parts, parameters={})
    with pytest.raises(Refused, match="swatch"):
        need_for(exact(1.0, "kg"), "medium", bare)
