"""Old recipes: pails, gallons, bushels, pounds and ounces as today's amounts for one's own cloth."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from field_app.core.cloth_text import read_cloth
from field_app.core.helpers import LABEL
from field_app.core.old_measures import converted, reach, read_recipe, show_amount
from field_app.core.old_text import read_taking
from field_app.core.problems import Refused
from tests.ui.fieldwork import FieldBag

POUND = [read_cloth("wool 1 lb")]


@pytest.mark.parametrize(("text", "kind", "name", "amount", "unit"), [
    ("1 lb alder bark", "stuff", "alder bark, fresh", 0.45359237, "kg"),
    ("2 pails of fresh hull", "stuff", "black walnut, hull, fresh", 24.0, "L"),
    ("Two pails fresh hulls", "stuff", "black walnut, hull, fresh", 24.0, "L"),
    ("walnut husks 1 pail", "stuff", "black walnut, hull, fresh", 12.0, "L"),
    ("english walnut hulls 1 pail", "stuff", "English walnut, hull, fresh", 12.0, "L"),
    ("3 lb dried hulls", "stuff", "black walnut, hull, air-dry", 1.36077711, "kg"),
    ("1 bushel walnuts", "stuff", "black walnut, whole fruit, fresh", 35.23907017, "L"),
    ("½ oz copperas", "helper", "iron (green vitriol, copperas)", 0.0141747616, "kg"),
    ("⅓ oz copperas", "helper", "iron (green vitriol, copperas)", 0.0094498410, "kg"),
    ("1 lb. 2 oz. of madder", "other", "madder", 0.5102914163, "kg"),
    ("1 1/2 oz. argol", "helper", "cream of tartar", 0.0425242847, "kg"),
    ("10 gallons water", "water", "water", 37.85411784, "L"),
    ("10 lb water", "water", "water", 4.5359237, "L"),
    ("3 fl oz vinegar", "other", "vinegar", 0.0887205887, "L"),
    ("half pint vinegar", "other", "vinegar", 0.2365882365, "L"),
])
def test_a_line_is_read(text, kind, name, amount, unit):
    """Amount first or last, whatever it is of; a pail of 12 L, gallons of the United States."""
    taking = read_taking(text, gallons="us", pail=12.0)
    assert (taking.kind, taking.name, taking.amount.unit) == (kind, name, unit)
    assert taking.amount.central == pytest.approx(amount, rel=1e-8)


@pytest.mark.parametrize(("text", "us", "imperial"), [
    ("10 gallons water", 37.85411784, 45.4609), ("1 bushel hulls", 35.23907017, 36.36872),
    ("1 quart vinegar", 0.946352946, 1.1365225), ("1 fl oz vinegar", 0.0295735295625, 0.0284130625)])
def test_whose_gallon_it_is_has_to_be_told(text, us, imperial):
    """The same words are two amounts; untold they are refused; a word beside the unit settles it."""
    assert read_taking(text, gallons="us").amount.central == pytest.approx(us)
    assert read_taking(text, gallons="imperial").amount.central == pytest.approx(imperial)
    with pytest.raises(Refused, match="whose measure it is"):
        read_taking(text)
    assert read_taking("10 imperial gallons water").amount.central == pytest.approx(45.4609)
    assert read_taking("10 US gallons water", gallons="imperial").amount.central == pytest.approx(37.85411784)


def test_an_ounce_of_weight_is_no_fluid_ounce():
    """One is 28.35 g, the other 28.41 or 29.57 mL; the recipe says for what it is taken."""
    ounce, fluid = read_taking("1 oz vinegar"), read_taking("1 fl oz vinegar", gallons="imperial")
    assert (ounce.amount.unit, fluid.amount.unit) == ("kg", "L")
    recipe = read_recipe(POUND, ["1 oz alum", "1 pail hulls"], gallons="imperial", pail=12.0)
    assert recipe.stated == (
        "Gallons, quarts, pints, bushels and fluid ounces are taken as imperial ones: a gallon is 4.55 L.",
        "A pail is taken as 12 L.", "An ounce is one of weight, 28.35 g, unless it says fluid.")


@pytest.mark.parametrize(("text", "words"), [
    ("two pails", "not an amount of something"), ("hull", "not an amount"), ("", "nothing was typed"),
    ("1 pail hulls", "what a pail held"), ("0 oz alum", "is nothing"), ("1 oz chrome", "not offered"),
    ("1 oz blue vitriol", "harm water life"), ("2 furlongs hull", "not an amount"),
])
def test_what_is_not_understood_is_refused(text, words):
    """The refusal says what to type; chrome and tin are refused, copper is warned of."""
    with pytest.raises(Refused) as refused:
        read_taking(text)
    assert words in str(refused.value)


def test_all_lines_are_told_at_once():
    """Every faulty line is named by its place, and a recipe of nothing is refused."""
    with pytest.raises(Refused) as refused:
        read_recipe(POUND, ["1 oz tin", "1 oz alum", "hull"])
    assert [problem.where for problem in refused.value.problems] == ["take 1", "take 3"]
    with pytest.raises(Refused, match="nothing was taken"):
        read_recipe(POUND, [])


_WORDS = ["2", "½", "1/2", "a", "two", "half", "pail", "pails", "oz", "lb.", "gallon", "US", "imperial", "fl oz", "of",
          "and", ",", "hull", "hulls", "dried", "fresh", "walnuts", "alder bark", "copperas", "water", "tin", "1,5",
          "bushel", "kg", "L", "dry quart", "0", "-1", "1e3", "%", "acorns", "leaves"]


@given(st.lists(st.sampled_from(_WORDS), min_size=1, max_size=6), st.sampled_from(["", "us", "imperial"]))
def test_any_mixture_of_words_is_worked_out_or_refused(words, gallons):
    """The words of old books in any order give an amount of something, or a refusal with what to type: nothing else."""
    text, problems, lines = " ".join(words), (), ()
    try:
        lines = converted(read_recipe(POUND, [text], gallons=gallons, pail=12.0))
    except Refused as refused:
        problems = refused.problems
    assert all(problem.what and problem.fix for problem in problems)
    assert len(lines) == (0 if problems else 1)
    assert all(line.old.central > 0 for line in lines)


@given(st.floats(0.05, 50), st.floats(0.05, 50))
def test_the_proportion_is_kept(then, now):
    """Today's amount is to today's cloth what the old one was to the old cloth, for any of them."""
    recipe = read_recipe([read_cloth(f"wool {then:.6f} kg")], ["1 lb alder bark", "2 oz alum", "3 L vinegar"])
    for line in converted(recipe, [read_cloth(f"wool {now:.6f} kg")]):
        assert line.today.central / now == pytest.approx(line.old.central / then, rel=1e-4)
        assert line.today.unit == line.old.unit


def test_a_whole_recipe_for_ones_own_cloth():
    """Two pails on twenty yards: light by custom, and for 3 kg of wool a quarter of it, with the label's word."""
    recipe = read_recipe([read_cloth("wool 20 yd 54 in 475 g/m2")],
                         ["2 pails fresh hull", "4 oz cream of tartar", "60 imperial gallons water"], pail=12.0)
    hull, tartar, water = converted(recipe, [read_cloth("wool 3 kg")])
    assert (hull.old.central, hull.band.central) == (pytest.approx(10.8), "light")
    assert hull.today.central == pytest.approx(2.72, abs=0.005)
    assert hull.strength is None
    assert tartar.words.endswith(LABEL)
    assert tartar.strength.central == pytest.approx(113.398 / 272.77, abs=0.001)
    assert water.share.unit == "L/kg"
    assert water.today.central == pytest.approx(3 * 272.765 / 11.915, rel=1e-3)
    alone = converted(recipe)[0]
    assert alone.today is None
    assert alone.as_json()["today"] is None
    assert hull.as_json()["shade"]["central"] == "light"


def test_whole_fruit_counts_with_its_hull():
    """A bushel of fruit is its hull for the dye, and dried stuff has its own density and water."""
    fruit, = converted(read_recipe(POUND, ["10 lb walnuts"]))
    assert fruit.air_dry.central == pytest.approx(10 * 0.62 * 0.15 / 0.9)
    assert fruit.share.central == pytest.approx(10)
    dry, = converted(read_recipe(POUND, ["1 lb dried hull"]))
    assert dry.air_dry.central == pytest.approx(1.0)
    assert dry.words == dry.band.dark_words != ""


def test_how_far_a_load_reaches(tmp_path):
    """A lot of the recipe's stuff is held against what the cloth takes; a lot of something else is refused."""
    bag = FieldBag(tmp_path)
    tree = bag.tree("Mill lane")
    lot = bag.lot(tree, part="hull", gross="9", tare="", ripeness="green")
    recipe = converted(read_recipe(POUND, ["½ lb dried hull"]), [read_cloth("wool 6 kg")])
    found = reach(recipe, [lot], [read_cloth("wool 6 kg")])
    assert found.there.central == pytest.approx(1.5)
    assert found.times.central == pytest.approx(0.5)
    assert found.words.startswith("Your load is not enough")
    assert reach(recipe, [lot], [read_cloth("wool 1 kg")]).words.startswith("Your load is enough")
    assert reach(recipe, [], [read_cloth("wool 1 kg")]) is None
    with pytest.raises(Refused, match="holds no alder bark"):
        reach(converted(read_recipe(POUND, ["1 lb alder bark"]), POUND), [lot], POUND)
    bag.book.close()


def test_small_amounts_are_shown_small():
    """Below a kilogram in grams, below a litre in millilitres."""
    assert show_amount(read_taking("½ oz copperas").amount) == "14.2 g"
    assert show_amount(read_taking("1 fl oz vinegar", gallons="us").amount) == "29.6 mL"
    assert show_amount(read_taking("30 lb madder").amount) == "13.6 kg"
