"""What is typed into "What fell", what is preset, and what is worked out from it, without any screen."""

from dataclasses import replace

import pytest

from field_app.core.gather import LeaveForm
from field_app.core.materials import MATERIALS
from field_app.core.positions import Fix, Position
from field_app.core.problems import Problem
from field_app.ui.windfall_form import (
    Typed,
    by_use,
    fold_of,
    from_lot,
    materials_first,
    placed,
    preview,
    start,
    to_form,
    ways,
    with_site,
)
from tests.ui.fieldwork import DAY, FieldBag

WALNUTS = Typed(site="Mill lane", material="black-walnut", part="whole-fruit", ripeness="fallen", gross="14.2",
                tare="1.1")


@pytest.fixture
def bag(tmp_path):
    bag = FieldBag(tmp_path)
    yield bag
    bag.book.close()


def test_what_is_shown_while_typing_is_what_is_saved(bag):
    """The figures under the scale are those of the saved lot, to the last digit."""
    bag.tree("Mill lane")
    shown = preview(WALNUTS, DAY)
    lot = bag.book.log(to_form(WALNUTS))
    saved = bag.book.estimate(lot.id)
    assert (shown.net, shown.fresh_hull, shown.shades) == (saved.net, saved.fresh_hull, saved.shades)


def test_the_worked_chain_of_the_trade_comes_out():
    """14.2 kg with a pail of 1.1 kg are 13.1 kg, of which 62 % is hull (hobby notes: 3 lb of hull in 5 lb)."""
    shown = preview(WALNUTS, DAY)
    assert shown.net.central == pytest.approx(13.1)
    assert shown.fresh_hull.central == pytest.approx(13.1 * 0.62)


@pytest.mark.parametrize("change", [
    {"gross": ""}, {"gross": "abc"}, {"gross": "1"}, {"tare": "1.1.1"}, {"part": "bark"}, {"material": "nothing"}])
def test_what_cannot_be_read_yet_shows_no_figure(change):
    """While the amount makes no sense, nothing is shown in its place."""
    assert preview(replace(WALNUTS, **change), DAY) is None


@pytest.mark.parametrize("change", [
    {"site": ""}, {"adding": True}, {"place": "nowhere"}, {"earlier": True, "day": "2"},
    {"leave": LeaveForm("given", until="soon")}])
def test_what_does_not_change_the_amount_does_not_hide_it(change):
    """A place, a day or leave that can't be read yet leaves the figure in sight."""
    assert preview(replace(WALNUTS, **change), DAY) == preview(WALNUTS, DAY)


def test_every_material_can_be_given_in_every_way_it_offers(bag):
    """Each way of each material, with a plain number, gives a lot that can be saved."""
    site = bag.tree("Mill lane")
    for key, stuff in MATERIALS.items():
        for way in ways(stuff):
            typed = Typed(site=site, material=key, part=way.part, basis=way.basis, gross="9", count="20", pails="2",
                          pail="12", fill="0.5", wood="pruned" if way.part == "bark" else "")
            assert bag.book.log(to_form(typed)).net == preview(typed, DAY).net


def test_ways_that_make_no_sense_are_not_offered():
    """Bark can't be counted, and what has one part needs no name of it."""
    assert [way.words for way in ways(MATERIALS["oak-bark"])] == ["weighed", "in pails"]
    assert [way.words for way in ways(MATERIALS["oak-gall-apple"])] == ["weighed", "counted", "in pails"]


def test_only_the_numbers_of_the_chosen_way_are_sent(bag):
    """A count typed before one chose the scale is kept in the form, and not sent."""
    form = to_form(replace(WALNUTS, count="200", pails="3"))
    assert (form.gross, form.tare, form.count, form.pails) == ("14.2", "1.1", "", "")


def test_ripeness_is_sent_only_where_it_has_a_meaning():
    """Bark has none, so what was chosen for a hull before is left out."""
    assert to_form(replace(WALNUTS, material="oak-bark", part="bark")).ripeness == ""


def test_a_place_presets_all_as_the_last_time_there(bag):
    """Material, part, ripeness, unit and empty pail are those of the last lot at that place; it is fresh again."""
    mill, ride = bag.tree("Mill lane"), bag.tree("Oak ride")
    bag.lot(mill)
    bag.lot(ride, material="acorn-cups", part="cup", ripeness="", condition="air-dry", gross="3 lb 4 oz", tare="7 oz",
            unit="lb")
    typed = start(bag.book.last_lot(), bag.book.sites())
    assert (typed.material, typed.unit) == ("acorn-cups", "lb")
    typed = with_site(typed, bag.book.site(mill), bag.book.last_lot(mill))
    assert (typed.material, typed.part, typed.ripeness, typed.condition) == (
        "black-walnut", "whole-fruit", "fallen", "fresh")
    assert (typed.unit, typed.tare, typed.gross) == ("kg", "1.1", "")
    typed = with_site(typed, bag.book.site(ride), bag.book.last_lot(ride))
    assert (typed.material, typed.part, typed.unit, typed.tare) == ("acorn-cups", "cup", "lb", "7 oz")
    assert typed.condition == "fresh"


def test_what_falls_is_fresh_whatever_was_brought_in_before(bag):
    """An air-dry or soaked lot before it presets no condition: nobody would notice, and the hull would be wrong."""
    mill = bag.tree("Mill lane")
    for condition in ("air-dry", "soaked"):
        bag.lot(mill, condition=condition)
        assert start(bag.book.last_lot(), bag.book.sites()).condition == "fresh"
        assert with_site(start(None, ()), bag.book.site(mill), bag.book.last_lot(mill)).condition == "fresh"


def test_a_preset_pail_of_another_unit_keeps_its_unit(bag):
    """A pail that was weighed in grams is preset with its unit where the scale shows kilograms."""
    bag.lot(bag.tree("Mill lane"), gross="14.2", tare="850 g")
    assert start(bag.book.last_lot(), bag.book.sites()).tare == "850 g"


def test_a_preset_pail_stays_as_heavy_when_the_scale_shows_another_unit(bag):
    """1.1 kg of last time are not taken for 1.1 lb; a pail typed by hand, and one told anew, go with the scale."""
    lot = bag.lot(bag.tree("Mill lane"), gross="14.2", tare="1.1")
    typed = start(bag.book.last_lot(), bag.book.sites()).weighed_in("lb")
    assert (typed.unit, typed.tare) == ("lb", "1.1 kg")
    assert typed.weighed_in("kg").tare == "1.1 kg"
    by_hand = start(bag.book.last_lot(), bag.book.sites()).by_hand(tare="2.4").weighed_in("lb")
    assert (by_hand.unit, by_hand.tare) == ("lb", "2.4")
    assert from_lot(bag.book.lot(lot.id)).weighed_in("lb").tare == "1.1"


def test_pails_are_preset_with_their_size(bag):
    """The size of the pail comes back, how many there were does not."""
    bag.lot(bag.tree("Mill lane"), gross="", tare="", pails="2.5", pail="12 L", fill="0.75")
    typed = start(bag.book.last_lot(), bag.book.sites())
    assert (typed.basis, typed.pail, typed.pails) == ("poured", "12", "")


def test_a_place_without_lots_presets_what_stands_there(bag):
    """The first material noted for the place, weighed; nothing is taken over that has no meaning for it."""
    bag.lot(bag.tree("Mill lane"))
    marsh = bag.tree("Heron marsh", materials=("alder-cones",))
    typed = with_site(start(bag.book.last_lot(), bag.book.sites()), bag.book.site(marsh), None)
    assert (typed.material, typed.part, typed.basis, typed.ripeness) == ("alder-cones", "cone", "weighed", "")


def test_nothing_set_by_hand_is_changed_by_a_preset(bag):
    """What a person typed or chose before choosing the place stands."""
    mill = bag.tree("Mill lane")
    bag.lot(mill)
    typed = Typed().by_hand(ripeness="browned", tare="0.9")
    typed = with_site(typed, bag.book.site(mill), bag.book.last_lot(mill))
    assert (typed.ripeness, typed.tare, typed.part) == ("browned", "0.9", "whole-fruit")


def test_the_first_form_of_all_adds_a_place():
    """Without any place there is none to choose."""
    assert start(None, ()).adding


def test_places_come_nearest_first_or_last_used_first(bag):
    """With a position the nearest first and those without one last; without, the last used first."""
    far = bag.tree("Far", position="44.1, -28.0")
    near = bag.tree("Near", position="44.0001, -28.0")
    nowhere = bag.tree("Nowhere")
    bag.lot(nowhere, days_ago=2)
    bag.lot(far, days_ago=1)
    here = Fix(Position(44.0, -28.0), "device", 5.0)
    sites, lots = bag.book.sites(), bag.book.lots()
    assert [site.id for site in by_use(sites, lots, here)] == [near, far, nowhere]
    assert [site.id for site in by_use(sites, lots, None)] == [far, nowhere, near]


def test_likely_materials_come_first_and_once(bag):
    """Those of the place, then those gathered before, each once."""
    site = bag.book.site(bag.tree("Oak ride", materials=("acorn-cups", "oak-gall-apple")))
    bag.lot(site.id)
    bag.lot(site.id, material="acorn-cups", part="cup", ripeness="")
    assert materials_first(site, bag.book.lots()) == ("acorn-cups", "oak-gall-apple", "black-walnut")


@pytest.mark.parametrize(("basis", "first"), [("weighed", "gross"), ("counted", "count"), ("poured", "pails")])
def test_a_missing_amount_is_told_where_it_is_typed(basis, first):
    """Whatever field the refusal names, an amount that was not typed is asked for at the first field shown."""
    typed = replace(WALNUTS, basis=basis, gross="")
    for where in ("gross", "tare"):
        (problem,) = placed([Problem(where, "how much it was is not given", "Weigh it.")], typed)
        assert problem.where == first


def test_a_wrong_tare_stays_at_the_tare():
    """With an amount typed, a problem stays at the field that it names."""
    (problem,) = placed([Problem("tare", "2 kg is not less", "Swap them.")], WALNUTS)
    assert problem.where == "tare"


@pytest.mark.parametrize(("where", "fold"), [("leave until", "leave"), ("gathered", "when"), ("note", "note"),
                                             ("name", "where"), ("position", "position"), ("gross", "")])
def test_a_problem_knows_its_fold(where, fold):
    """A fold with a problem inside can be opened; what lies in none has none."""
    assert fold_of(Problem(where, "x", "y")) == fold
