"""Which warnings go with what: each where it belongs, with what to do, and never above local rules."""

import pytest

from field_app.core.cautions import CAUTIONS, MOMENTS, cautions_for
from field_app.core.load import estimate_lot
from field_app.core.materials import MATERIALS
from field_app.core.problems import Refused
from tests.core.lots_for_tests import lot

WALNUTS = {"black-walnut", "english-walnut", "butternut", "walnut-bark", "walnut-leaves", "walnut-wood"}
HULLS = {"black-walnut", "english-walnut", "butternut"}
BARKS = {key for key, stuff in MATERIALS.items() if stuff.group == "bark"}
EVERY = set(MATERIALS)

# What must be shown, when, and for which materials.
SHOWN = [
    ("stain", {"gather", "keep", "dye"}, HULLS),
    ("purgative", set(MOMENTS), {"alder-buckthorn-bark"}),
    ("butternut", {"gather"}, {"butternut"}),
    ("bark-source", {"gather"}, BARKS),
    ("hemlock", {"gather", "hand over"}, {"hemlock-tree-bark"}),
    ("yew", {"gather"}, {"hemlock-tree-bark"}),
    ("horse-chestnut", {"gather"}, {"sweet-chestnut-bark"}),
    ("not-walnut", {"gather"}, WALNUTS),
    ("poison-ivy", {"gather"}, EVERY),
    ("falling", {"gather"}, HULLS | {"alder-cones", "acorn-cups"}),
    ("leave", {"gather"}, EVERY),
    ("sprayed", {"gather"}, EVERY),
    ("nut-allergy", {"gather", "keep", "hand over"}, HULLS),
    ("dogs", {"gather", "keep", "hand over"}, HULLS),
    ("horses", {"keep", "hand over"}, WALNUTS),
    ("fermenting", {"keep"}, HULLS),
    ("juglone", {"keep", "dye"}, WALNUTS),
    ("iron-children", {"dye", "hand over"}, EVERY),
    ("soda-lye", {"dye"}, EVERY),
    ("chrome-tin", {"dye"}, EVERY),
    ("copper", {"dye"}, EVERY),
    ("iron-wool", {"dye"}, EVERY),
    ("scald", {"dye"}, EVERY),
    ("own-pots", {"dye"}, EVERY),
    ("air", {"dye"}, EVERY),
    ("move-wood", {"gather", "hand over"}, {"walnut-bark", "walnut-wood"}),
    ("move-hulls", {"hand over"}, HULLS),
]
BY_KEY = {caution.key: caution for caution in CAUTIONS}


def test_every_caution_has_its_line_here():
    """The table and this list name the same cautions in the same order, each once."""
    assert [caution.key for caution in CAUTIONS] == [key for key, _, _ in SHOWN]


@pytest.mark.parametrize(("key", "moments", "materials"), SHOWN, ids=[key for key, _, _ in SHOWN])
def test_a_caution_is_shown_where_it_belongs_and_nowhere_else(key, moments, materials):
    """A caution is shown at its moments for its materials, and at no other moment or material."""
    for material, stuff in MATERIALS.items():
        for part in stuff.parts:
            for moment in MOMENTS:
                shown = key in [caution.key for caution in cautions_for(material, part.key, moment)]
                assert shown == (moment in moments and material in materials), (material, moment)


@pytest.mark.parametrize("caution", CAUTIONS, ids=BY_KEY)
def test_a_caution_is_complete(caution):
    """A caution says what can happen and what to do in whole sentences, has a source and a mark that agree, and a
    short form that fits beside a button.
    """
    assert caution.title
    assert caution.text.endswith(".")
    assert caution.advice.endswith(".")
    assert 0 < len(caution.short) <= 55
    assert caution.short[-1] in ".?"
    assert (caution.source == "common practice, no source") == (caution.mark == "practice")
    assert caution.source.startswith("from memory:") == (caution.mark == "memory")


@pytest.mark.parametrize(("key", "said"), [
    ("butternut", "local rules"), ("leave", "local rules"), ("move-wood", "local authority"),
    ("move-hulls", "local authority"), ("juglone", "local rules"), ("copper", "the label and the local rules"),
    ("chrome-tin", "local hazardous waste"), ("soda-lye", "the label has the last word"), ("dogs", "vet"),
    ("horses", "vet"), ("iron-children", "poison centre"), ("purgative", "doctor"), ("nut-allergy", "doctor")])
def test_a_caution_defers_to_those_who_decide(key, said):
    """Law, labels and health are left to local rules, the label, and doctor, vet or poison centre."""
    assert said in BY_KEY[key].advice


@pytest.mark.parametrize(("key", "figures", "source"), [
    ("iron-children", ["20 mg", "60 mg", "20.09 %", "1.0 g", "3.0 g"], "McGuigan 1996, Pediatr. Ann. 25:33"),
    ("dogs", ["65 dogs", "48 %", "23 %"], "Coleman & Merola 2016, JAVMA 248(2):195"),
    ("horses", ["20 %", "12–18 hours"], "Purdue"),
    ("juglone", ["stuns fish"], "Northern Nut Growers Association, 34th Report 1943"),
    ("move-hulls", ["Arizona"], "California plant quarantine manual 317")])
def test_figures_stand_with_their_source(key, figures, source):
    """A caution with figures has those of its source."""
    assert all(figure in BY_KEY[key].text for figure in figures)
    assert source in BY_KEY[key].source


def test_the_grams_of_green_vitriol_are_right():
    """For a child of 10 kg, 20 and 60 mg of iron per kg are 1.0 and 3.0 g of FeSO4·7H2O, by atomic weights."""
    iron, vitriol = 55.845, 55.845 + 32.06 + 4 * 15.999 + 7 * (2 * 1.008 + 15.999)
    assert f"{100 * iron / vitriol:.2f} %" in BY_KEY["iron-children"].text
    grams = [10 * mg / 1000 * vitriol / iron for mg in (20, 60)]
    assert " and ".join(f"{gram:.1f} g" for gram in grams) in BY_KEY["iron-children"].text


def test_gloves_come_first_at_the_tree():
    """What stands beside the button when walnuts are logged is the stain."""
    assert cautions_for("black-walnut", "whole-fruit")[0].short == "Gloves: the juice stains for a week."


def test_several_moments_give_each_caution_once():
    """Asked for several moments, each caution comes once, in the table's order."""
    both = cautions_for("black-walnut", "hull", ("dye", "keep"))
    assert [caution.key for caution in both] == [
        caution.key for caution in CAUTIONS if caution in cautions_for("black-walnut", "hull", "keep")
        or caution in cautions_for("black-walnut", "hull", "dye")]
    assert estimate_lot(lot()).cautions == both


def test_a_caution_is_plain_data_too():
    """As plain data a caution has its words, its source and when it is shown."""
    plain = BY_KEY["stain"].as_json()
    assert list(plain) == ["key", "title", "text", "advice", "short", "source", "mark", "moments"]
    assert plain["moments"] == ["gather", "keep", "dye"]


@pytest.mark.parametrize(("asked", "where"), [
    (("walnut", "hull", "gather"), "material"), (("black-walnut", "bark", "gather"), "part"),
    (("black-walnut", "hull", "eat"), "moment")])
def test_what_is_unknown_is_refused(asked, where):
    """An unknown material, part or moment is refused by name."""
    with pytest.raises(Refused) as caught:
        cautions_for(*asked)
    assert [problem.where for problem in caught.value.problems] == [where]
