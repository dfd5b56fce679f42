"""Helpers of the bath: by fibre, in grams, each with its cautions, and what is refused."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from field_app.core.cloth_text import read_cloths
from field_app.core.estimate import exact
from field_app.core.fibres import FIBRES
from field_app.core.helpers import HELPERS, LABEL, helper, helpers_for, on_weight, rinsing, vitriol_grams
from field_app.core.problems import Refused


def doses(*texts):
    return {(dose.helper.key, dose.fibre): dose for dose in helpers_for(read_cloths(texts))}


def test_amounts_on_the_weight_of_cloth():
    """Common practice, no source: 2 kg of wool take 200–300 g of alum, 100–140 g of tartar, 20–80 g of iron."""
    found = doses("wool 2 kg")
    for key, grams in (("alum", (200, 240, 300)), ("tartar", (100, 120, 140)), ("iron", (20, 40, 80))):
        dose = found[key, "wool"].grams
        assert (dose.low, dose.central, dose.high) == pytest.approx(grams, rel=0.01)
        assert dose.unit == "g"


def test_cotton_gets_tannin_and_soda_and_wool_does_not():
    """Plant fibres are scoured with soda and based with tannin; animal fibres never meet soda, only neutral soap."""
    assert sorted(key for key, _ in doses("cotton 1 kg")) == ["alum-base", "iron", "soda", "tannin"]
    assert sorted(key for key, _ in doses("silk 1 kg")) == ["alum", "iron", "soap", "tartar"]
    assert {(key, fibre) for key, fibre in doses("wool 1 kg", "linen 1 kg") if key == "soda"} == {("soda", "linen")}
    soap, soda = HELPERS["soap"], HELPERS["soda"]
    assert soap.celsius == (40, 60)
    assert "without soda" in soap.words
    assert (soda.bath.low, soda.bath.central, soda.bath.high, soda.bath.unit) == (1, 3, 5, "g/L")
    assert soda.celsius[0] >= 90


@pytest.mark.parametrize("key", HELPERS)
def test_every_helper_says_its_mark_its_cautions_and_defers_to_the_label(key):
    """Plain data of every helper carries mark, source, cautions and the label's last word."""
    one = HELPERS[key]
    (dose,) = [dose for dose in helpers_for(read_cloths(["wool 1 kg", "cotton 1 kg"]))
               if dose.helper.key == key and dose.fibre in ("wool", "cotton")][:1]
    plain = dose.as_json()
    assert (plain["mark"], plain["label"]) == (one.mark, LABEL)
    assert plain["source"]
    assert [caution["key"] for caution in plain["cautions"]] == list(one.cautions)
    assert one.cautions or key == "soap"
    assert (plain["grams"] is None) == (one.wof is None)


def test_iron_has_its_caution_for_children_and_for_wool():
    """Locked up and labelled, and not in excess."""
    assert {"iron-children", "iron-wool"} <= set(HELPERS["iron"].cautions)


def test_the_order_is_the_order_of_use():
    """Scour, then tannin, alum, tartar, and iron last."""
    assert [one.order for one in HELPERS.values()] == sorted(one.order for one in HELPERS.values())
    assert list(HELPERS)[-1] == "iron"


def test_silk_says_that_the_amounts_are_those_of_wool():
    """The table has alum and tartar for wool alone, and the words say so."""
    assert doses("silk 1 kg")["alum", "silk"].words.endswith("that of wool.")
    assert doses("silk 1 kg")["iron", "silk"].words == HELPERS["iron"].words


@pytest.mark.parametrize("name", ["chrome", "Potassium dichromate", "tin", "stannous  chloride"])
def test_chrome_and_tin_are_refused(name):
    """They are not offered, under any of their names, and the refusal says what to do."""
    with pytest.raises(Refused, match="not offered") as refused:
        helper(name)
    assert "alum and iron do the work" in str(refused.value)


@pytest.mark.parametrize("name", ["copper", "Blue vitriol", "copper-sulphate"])
def test_copper_is_warned_of(name):
    """It gets no amount, and the words say what it harms."""
    with pytest.raises(Refused, match="harm water life"):
        helper(name)


def test_old_names_are_known():
    """Copperas is iron, argol tartar; what is not known is refused with what there is."""
    assert [helper(name).key for name in ("Copperas", "green vitriol", "argol", "cream of tartar", "tannic acid")] == [
        "iron", "iron", "tartar", "tartar", "tannin"]
    with pytest.raises(Refused, match="Choose one of"):
        helper("moon dust")


@given(st.floats(0.1, 50), st.floats(5, 100))
def test_rinsing_water_is_cloth_times_ratio_times_changes(mass, ratio):
    """Two, three or five changes at the liquor ratio, and never into water."""
    found = rinsing(exact(mass, "kg"), ratio)
    assert (found.litres.low, found.litres.central, found.litres.high) == pytest.approx(
        (2 * mass * ratio, 3 * mass * ratio, 5 * mass * ratio))
    assert "never go into a stream" in found.words
    assert "tomatoes" in found.words
    assert "tomatoes" not in rinsing(exact(mass, "kg"), ratio, walnut=False).words
    assert found.as_json()["litres"]["unit"] == "L"


def test_weights_that_can_not_be():
    """Nothing is counted on no cloth; a child twice as heavy stands twice as much."""
    with pytest.raises(ValueError, match="no weight"):
        on_weight(1.0, 0.0)
    assert vitriol_grams(20, 60) == pytest.approx(2 * vitriol_grams(10, 60))


@pytest.mark.parametrize("fibre", FIBRES)
def test_every_fibre_has_a_scour(fibre):
    """For each fibre exactly one helper scours it."""
    assert [key for key, _ in doses(f"{fibre} 1 kg") if HELPERS[key].does == "scours"] in (["soap"], ["soda"])
