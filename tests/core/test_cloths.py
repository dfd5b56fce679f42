"""Cloth as typed, item by item and fibre by fibre, as the air-dry, scoured weight on which WOF is counted."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from field_app.core.cloth_text import CLOTH_EXAMPLES, read_cloth, read_cloths
from field_app.core.cloths import air_dry_of_damp, by_area, by_fibre, by_pieces, cloth_words, mass_of, weighed
from field_app.core.fibres import FIBRES, PIECES, WEAVES
from field_app.core.problems import Refused


def three(mass):
    return [mass.low, mass.central, mass.high]


@pytest.mark.parametrize(("text", "fibre", "kg"), [
    ("wool 3 kg", "wool", [2.97, 3.0, 3.03]),
    ("3,5 kg of wool", "wool", [3.465, 3.5, 3.535]),
    ("merino 1 lb 4 oz", "wool", [0.56132, 0.56699, 0.57266]),
    ("½ kg silk", "silk", [0.495, 0.5, 0.505]), ("⅔ kg silk", "silk", [0.66, 2 / 3, 0.67333]),
    ("1 1/2 kg silk", "silk", [1.485, 1.5, 1.515]),
    ("cotton 3 m2 120 g/m2", "cotton", [0.306, 0.36, 0.414]),
    ("cotton 3 m² 120 gsm", "cotton", [0.306, 0.36, 0.414]),
    ("linen 2 yd2 5 oz/yd2", "linen", [0.24097, 0.28350, 0.32602]),
    ("cotton sheeting 2 m x 1.5 m", "cotton", [0.3, 0.375, 0.45]),
    ("2 shirts linen", "linen", [0.36, 0.48, 0.6]),
    ("a blanket of wool", "wool", [1.0, 1.4, 1.8]),
    ("3 skeins wool 100 g each", "wool", [0.297, 0.3, 0.303]),
])
def test_cloth_is_read_in_every_way_of_saying_it(text, fibre, kg):
    """By weight, by area with a weight per area or a kind of cloth, by pieces, in any order of the words."""
    item = read_cloth(text)
    assert item.fibre == fibre
    assert three(item.mass) == pytest.approx(kg, rel=1e-4)
    assert item.text == text


@pytest.mark.parametrize(("text", "what"), [
    ("", "nothing was typed"), ("wool", "does not say how much"), ("3 kg", "does not say which fibre"),
    ("wool 3", "a number without a unit"), ("woll 3 kg", "Did you mean wool"), ("wool 3 kgg", "not known here"),
    ("wool cotton 3 kg", "names wool and cotton"), ("wool 3 kg 2 m2", "in two ways"),
    ("wool 0 kg", "Check the unit"), ("wool -3 kg", "not understood"), ("wool 5000 kg", "Check the unit"),
    ("cotton 3 m 120 g/m2", "no width"), ("cotton 3 m2", "what a square metre weighs"),
    ("cotton 3 m 2 m 1 m 90 g/m2", "more than once"), ("cotton 3 m2 2 m 1 m 90 g/m2", "more than once"),
    ("cotton 3 m2 90 g/m2 100 g/m2", "twice"), ("cotton 3 m2 1 g/m2", "Check the unit"),
    ("cotton 9000 m2 100 g/m2", "Check the unit"), ("cotton 20 m 20 m 100 g/m2", "width of 20 m"),
    ("silk flannel 2 m2", "of wool alone"), ("cotton denim canvas 2 m2", "names denim and canvas"),
    ("cotton 3 m2 120 g/m2 damp", "no meaning here"), ("3 skeins wool 100 g", "Say each"),
    ("3 skeins wool each", "each without a mass"), ("1.5 shirts linen", "whole number"), ("0 shirts linen", "whole"),
    ("2 3 shirts linen", "counts twice"), ("2 shirts linen 20 %", "no meaning"), ("wool 3 kg each", "does not say how"),
    ("wool 3 kg damp", "not by how much"), ("wool 3 kg 25 %", "no meaning"), ("wool 3 kg damp 120 %", "can't be"),
    ("wool 3 kg damp raw 20 %", "names damp and raw"), ("silk 3 kg raw", "of wool alone"),
    ("wool 3 kg !", "not understood"), ("wool 1 250 g", "Say each"),
    ("wool " + "3 kg " * 40, "more than 120 signs"),
])
def test_what_is_not_understood_is_refused_with_the_way_out(text, what):
    """No word and no figure is passed over; the message names it and says what to type."""
    with pytest.raises(Refused) as refused:
        read_cloth(text)
    (problem,) = refused.value.problems
    assert what in str(problem)
    assert problem.fix.endswith((".", "?"))


def test_all_faults_of_a_list_are_told_at_once():
    """Each faulty item is named by its place; a list of nothing is refused."""
    with pytest.raises(Refused) as refused:
        read_cloths(["wool 3 kg", "woll 2 kg; cotton 3 m2"], where="--cloth")
    assert [problem.where for problem in refused.value.problems] == ["--cloth 2", "--cloth 3"]
    with pytest.raises(Refused, match="no cloth"):
        read_cloths(["  ", ";"])


def test_items_add_up_fibre_by_fibre():
    """The total and the total of each fibre are sums of the items, end by end."""
    items = read_cloths(["wool 2 kg", "cotton 3 m2 120 g/m2", "wool 1 kg"])
    assert three(mass_of(items)) == pytest.approx([3.276, 3.36, 3.444])
    assert {fibre: mass.central for fibre, mass in by_fibre(items).items()} == {"wool": 3.0, "cotton": 0.36}
    assert cloth_words(items) == "wool 3 kg, cotton 360 g"


def test_regain_plays_no_part_in_air_dry_cloth():
    """Three kilograms of any air-dry fibre are three kilograms for WOF, however much water they hold."""
    assert {weighed(fibre, 3.0, "").mass.central for fibre in FIBRES} == {3.0}


def test_damp_and_bone_dry_become_air_dry():
    """4 kg of wool of which 25 % is water hold 3 kg dry, which takes up 13.6 % in air; so does bone-dry wool."""
    assert read_cloth("wool 4 kg damp 25 %").mass.central == pytest.approx(3 * 1.136)
    assert read_cloth("wool 3 kg bone-dry").mass.central == pytest.approx(3 * 1.136)
    assert read_cloth("cotton 3 kg bone dry").mass.central == pytest.approx(3 * 1.07)
    assert read_cloth("wool 3 kg air-dry").mass.central == 3.0
    with pytest.raises(ValueError, match="share of water"):
        weighed("wool", 3.0, "", "damp")


@given(st.sampled_from(list(FIBRES)), st.floats(0.01, 500))
def test_cloth_as_damp_as_in_air_weighs_what_it_weighs(fibre, mass):
    """Taking an air-dry weighing for a damp one of that very moisture content changes nothing."""
    regain = FIBRES[fibre].regain
    assert air_dry_of_damp(mass, regain / (1 + regain), regain) == pytest.approx(mass)


def test_raw_wool_counts_with_what_scouring_leaves():
    """By the table 45 to 75 % is left, by the person's own loss exactly the rest."""
    assert three(read_cloth("wool 3 kg raw").mass) == pytest.approx([1.35, 1.8, 2.25], rel=0.002)
    assert three(read_cloth("wool 3 kg raw 40 %").mass) == pytest.approx([1.782, 1.8, 1.818])


@pytest.mark.parametrize("key", WEAVES)
def test_every_kind_of_cloth_can_be_used(key):
    """One square metre of it weighs what the table says, of the fibre that it is known of."""
    row = WEAVES[key]
    item = read_cloth(f"{row.fibre or 'cotton'} {key} 1 m2")
    assert three(item.mass) == pytest.approx([row.low / 1000, row.central / 1000, row.high / 1000])
    assert item.density.central == row.central
    assert any(reason.source for reason in item.mass.reasons)


@pytest.mark.parametrize("key", PIECES)
def test_every_piece_can_be_counted(key):
    """Two of a piece weigh twice the table's mass, by each of its spellings."""
    row = PIECES[key]
    for spelling in row.spellings:
        assert read_cloth(f"wool 2 {spelling}").mass.central == pytest.approx(2 * row.central)
    assert by_pieces("wool", 2, "", key).mass.reasons[-1].mark == row.mark


def test_an_area_needs_a_weight():
    """Without a weight per area or a kind of cloth there is no mass."""
    with pytest.raises(ValueError, match="weight per area"):
        by_area("wool", 1.0, "")


def test_an_item_is_plain_data_too():
    """As plain data it has the text, the fibre, how it is known, the mass, and the weight per area if it has one."""
    assert read_cloth("wool 3 kg").as_json() == {
        "cloth": "wool 3 kg", "fibre": "wool", "known": "weighed",
        "mass": {"low": pytest.approx(2.97), "central": 3.0, "high": pytest.approx(3.03), "unit": "kg"}}
    assert read_cloth("cotton 3 m2 120 g/m2").as_json()["density"]["central"] == 120
    assert read_cloth("wool 3 kg").words == "wool, 3.00 kg (2.97–3.03)"


def read_or_told(text):
    """The mass [kg], or the refusal's problems."""
    try:
        return read_cloth(text).mass.central, ()
    except Refused as refused:
        return None, refused.problems


@given(st.text(max_size=60))
def test_any_text_is_read_or_refused(text):
    """Whatever is typed gives cloth of some mass, or a refusal with words: nothing else."""
    mass, problems = read_or_told(text)
    assert (mass is None) == bool(problems)
    assert all(problem.what and problem.fix for problem in problems)


@given(st.lists(st.sampled_from([*FIBRES, *PIECES, *WEAVES, "3", "2 kg", "45 in", "2 yd", "120 g/m2", "8 momme", "25 %",
                                 "damp", "raw", "each", "x", "bone-dry", "½ lb"]), min_size=1, max_size=6))
def test_any_mixture_of_known_words_is_read_or_refused(words):
    """The words of the trade in any order never break the reading."""
    mass, problems = read_or_told(" ".join(words))
    assert problems or 0 < mass <= 1000


def test_the_examples_of_the_help_are_read():
    """What the messages tell one to type is understood."""
    assert [item.fibre for item in read_cloths(CLOTH_EXAMPLES)] == ["wool", "cotton", "silk", "linen"]
