"""What was brought in and what it is worth: each way to measure, the chain, and what is refused."""

import itertools
import json
import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from field_app.core.load import amount_problems, estimate_lot, net_mass, strength_of
from field_app.core.materials import MATERIALS, RIPENESS
from field_app.core.problems import Refused
from field_app.core.units import Measure
from tests.core.lots_for_tests import fruit, lot, three

BUSHEL = {"basis": "poured", "pails": "1", "pail": Measure("1", "bu-us")}
KEYS = [(key, part.key) for key, stuff in MATERIALS.items() for part in stuff.parts]


def log_width(found):
    return math.log(found.high / found.low)


# ---------------------------------------------------------------- net mass

def test_a_weighing_is_gross_less_tare_within_the_scale():
    """Without a pail, net is what the scale showed, 3 % either way."""
    assert three(net_mass(lot(gross=Measure("14.2", "kg")))) == pytest.approx([13.774, 14.2, 14.626], rel=0.001)


def test_the_pail_is_taken_off_and_its_weighing_counts():
    """Net is gross less tare; both weighings are off by 3 % of their own, in squares."""
    found = net_mass(lot(gross=Measure("14.2", "kg"), tare=Measure("1.1", "kg")))
    off = 0.03 * math.hypot(14.2, 1.1)
    assert found.central == pytest.approx(13.1)
    assert [found.central - found.low, found.high - found.central] == pytest.approx([off, off], rel=0.04)
    assert [reason.basis for reason in found.reasons] == ["weighed", "weighed", "default"]
    assert [reason.value for reason in found.reasons] == ["14.2 kg", "1.1 kg", "± 3 % at each weighing"]


def test_a_heavy_pail_makes_a_light_load_unsure():
    """The same kilogram is less sure in a stone crock than in a paper bag, and never below nothing."""
    bag = net_mass(lot(gross=Measure("1.02", "kg"), tare=Measure("0.02", "kg")))
    crock = net_mass(lot(gross=Measure("13", "kg"), tare=Measure("12", "kg")))
    assert bag.central == pytest.approx(crock.central)
    assert log_width(crock) == pytest.approx(2 * math.log(1 + 0.03 * math.hypot(13, 12)))
    assert log_width(crock) > 5 * log_width(bag)
    assert crock.low > 0


def test_units_do_not_change_a_mass():
    """555 lb and the same in kilograms are one mass, as are a pail in litres and in gallons."""
    pounds, kilos = net_mass(lot(gross=Measure("555", "lb"))), net_mass(lot(gross=Measure("251.74376535", "kg")))
    assert three(pounds) == pytest.approx(three(kilos), rel=1e-12)
    gallons = net_mass(lot(basis="poured", pails="2", pail=Measure("5", "gal-us")))
    litres = net_mass(lot(basis="poured", pails="2", pail=Measure("18.92705892", "L")))
    assert three(gallons) == pytest.approx(three(litres), rel=1e-12)


def test_a_count_is_so_many_times_one():
    """A count has the spread of one piece, in its proportion, and says that it was counted."""
    found = net_mass(fruit(basis="counted", count=170))
    assert three(found) == pytest.approx([170 * 0.045, 170 * 0.070, 170 * 0.100])
    assert [(reason.basis, reason.value) for reason in found.reasons] == [
        ("counted", "170"), ("default", "70 g (45–100)")]


def test_pails_are_volume_times_fill_times_density():
    """Pails poured: number × size × share that was full × density as poured, with the spread of the last two."""
    found = net_mass(fruit(basis="poured", pails="2.5", pail=Measure("12", "L"), fill="0.8"))
    assert found.central == pytest.approx(2.5 * 0.012 * 0.8 * 560)
    half_width = math.hypot(math.log(1.1), math.log(670 / 400) / 2)
    assert log_width(found) == pytest.approx(2 * half_width)
    assert [(reason.basis, reason.value) for reason in found.reasons] == [
        ("poured", "2.5 × 12 L"), ("said", "80 % full, ± 10 % by eye"), ("default", "560 kg/m³ (400–670)")]


def test_a_pail_without_a_fill_is_level():
    """Where no fill is told, the pail is taken as level with the rim, and the reason says that nobody said so."""
    untold, told = net_mass(lot(**BUSHEL)), net_mass(lot(**BUSHEL, fill="1"))
    assert three(untold) == three(told)
    assert [net.reasons[1].basis for net in (untold, told)] == ["default", "said"]
    assert untold.reasons[1].value.startswith("level with the rim")


def test_what_was_typed_is_what_the_reason_shows():
    """A reason repeats an amount as the person typed it."""
    assert net_mass(lot(gross=Measure("20", "oz", "1 lb 4 oz"))).reasons[0].value == "1 lb 4 oz"


def test_soaked_and_dry_loads_pour_differently():
    """The same pail of hull is heaviest soaked and lightest air-dry."""
    masses = [net_mass(lot(**BUSHEL, condition=state)).central for state in ("soaked", "fresh", "air-dry")]
    assert masses == sorted(masses, reverse=True)
    assert len(set(masses)) == 3


def test_a_weighing_is_read_even_for_an_unknown_material():
    """What a newer program knows and this one doesn't still has the mass that the scale showed."""
    unknown = lot(material="moon-bark", part="bark", gross=Measure("2", "kg"))
    assert net_mass(unknown).central == 2
    with pytest.raises(Refused, match="'moon-bark' is not known"):
        estimate_lot(unknown)


@given(st.integers(1, 10_000), st.integers(1, 50))
def test_k_times_the_count_is_k_times_the_mass(count, k):
    """Any number of times as many fruits weigh so many times as much, low, central and high, down to the cloth."""
    one, many = (estimate_lot(fruit(basis="counted", count=n, ripeness="browned")) for n in (count, count * k))
    for name in ("net", "fresh_hull", "dry_matter", "air_dry", "nuts"):
        assert three(getattr(many, name)) == pytest.approx([k * v for v in three(getattr(one, name))])
    for single, multiple in zip(one.shades, many.shades, strict=True):
        assert three(multiple.cloth) == pytest.approx([k * value for value in three(single.cloth)])


@given(st.sampled_from(KEYS), st.sampled_from(["fresh", "soaked", "air-dry"]), st.sampled_from([None, *RIPENESS]),
       st.integers(1, 5000))
def test_a_guess_is_never_narrower_than_a_weighing(key, condition, ripe, grams):
    """Counted or poured, a load is less sure than the same load weighed, in every quantity that is shown."""
    material, part = key
    stuff = MATERIALS[material].part(part)
    same = {"material": material, "part": part, "condition": condition,
            "ripeness": ripe if stuff.shows_ripeness else None}
    weighed = estimate_lot(lot(**same, gross=Measure(str(grams), "g")))
    guesses = [lot(**same, basis="poured", pails="1", pail=Measure("12", "L"))]
    if stuff.countable:
        guesses.append(lot(**same, basis="counted", count=grams))
    for guess in map(estimate_lot, guesses):
        for name in ("net", "fresh_hull", "dry_matter", "air_dry"):
            assert log_width(getattr(guess, name)) > log_width(getattr(weighed, name))
        for guessed, known in zip(guess.shades, weighed.shades, strict=True):
            assert log_width(guessed.cloth) > log_width(known.cloth)


# ---------------------------------------------------------------- the chain

def test_the_chain_of_whole_fruit_by_hand():
    """13.1 kg of whole black walnuts: × .62 hull, × .15 dry, / .90 air-dry, / .50 for medium."""
    found = estimate_lot(fruit(gross=Measure("14.2", "kg"), tare=Measure("1.1", "kg"), ripeness="green"))
    hull = 13.1 * 0.62
    assert found.net.central == pytest.approx(13.1)
    assert found.fresh_hull.central == pytest.approx(hull)
    assert found.dry_matter.central == pytest.approx(hull * 0.15)
    assert found.air_dry.central == pytest.approx(hull * 0.15 / 0.90)
    assert [shade.cloth.central for shade in found.shades] == pytest.approx(
        [hull * 0.15 / 0.90 / wof for wof in (0.2, 0.5, 1.0)])


def test_the_width_of_the_chain_by_hand():
    """The log widths of scale, hull share, dry matter and WOF add up in squares."""
    found = estimate_lot(fruit(gross=Measure("10", "kg")))
    parts = [2 * math.log(1.03), math.log(0.75 / 0.55), math.log(0.25 / 0.12), math.log(0.75 / 0.40)]
    assert log_width(found.fresh_hull) == pytest.approx(math.hypot(*parts[:2]))
    assert log_width(found.dry_matter) == log_width(found.air_dry) == pytest.approx(math.hypot(*parts[:3]))
    assert log_width(found.shades[1].cloth) == pytest.approx(math.hypot(*parts))


def test_nuts_are_what_the_hull_leaves():
    """Hull and nuts make up the whole fruit at the central values; hull alone leaves no nuts."""
    found = estimate_lot(fruit(gross=Measure("10", "kg")))
    assert found.nuts.central + found.fresh_hull.central == pytest.approx(found.net.central)
    assert three(found.nuts) == pytest.approx([10 * 0.25, 10 * 0.38, 10 * 0.45], rel=0.01)
    assert estimate_lot(lot()).nuts is None


@pytest.mark.parametrize(("ripe", "condition", "dry"), [
    (None, "fresh", 0.15), ("green", "fresh", 0.15), ("fallen", "fresh", 0.15), ("browned", "fresh", 0.22),
    ("black", "fresh", 0.22), ("browned", "soaked", 0.13), ("black", "air-dry", 0.90), (None, "air-dry", 0.90)])
def test_dry_matter_follows_condition_then_ripeness(ripe, condition, dry):
    """Browned and black hull has the dry matter of browned hull; soaked and air-dry hull have their own."""
    found = estimate_lot(lot(ripeness=ripe, condition=condition))
    assert found.dry_matter.central == pytest.approx(3 * dry)
    assert found.air_dry.central == pytest.approx(3 * dry / 0.90)


def test_air_dry_hull_is_worth_its_weight():
    """A lot that is air-dry already comes out as its own mass, with the spread of its moisture."""
    found = estimate_lot(lot(condition="air-dry"))
    assert three(found.air_dry) == pytest.approx([2.89, 3.0, 3.11], abs=0.01)


@pytest.mark.parametrize(("ripe", "low", "high"), [
    ("yellowing", 0.9, 1.0), ("dented", 0.9, 1.0), ("fallen", 0.9, 1.0), ("browned", 0.6, 1.0), ("black", 0.3, 0.8)])
def test_strength_touches_the_cloth_alone(ripe, low, high):
    """Ripeness past green lowers the cloth by a factor between two ends, and no mass; central is their middle."""
    ripe_lot, plain_lot = (lot(ripeness=name, condition="air-dry") for name in (ripe, None))
    found, plain = estimate_lot(ripe_lot), estimate_lot(plain_lot)
    assert three(found.strength) == pytest.approx([low, (low + high) / 2, high])
    for name in ("net", "fresh_hull", "dry_matter", "air_dry"):
        assert three(getattr(found, name)) == three(getattr(plain, name))
    for weaker, full in zip(found.shades, plain.shades, strict=True):
        assert weaker.cloth.central == pytest.approx(full.cloth.central * (low + high) / 2)
        assert log_width(weaker.cloth) > log_width(full.cloth)


def test_strength_says_that_the_sources_disagree():
    """The reason for a strength is worked out, from practice, and names the two opinions."""
    (reason,) = strength_of(lot(ripeness="browned"), MATERIALS["black-walnut"].part("hull")).reasons
    assert (reason.name, reason.value, reason.basis, reason.mark) == (
        "strength, browned, soft", "0.8 (0.6–1)", "worked out", "practice")
    assert "the sources disagree" in reason.source
    assert "central is their middle" in reason.source


@pytest.mark.parametrize("ripe", [None, "green"])
def test_full_strength_is_exact(ripe):
    """Firm green hull, and hull of which no ripeness was told, count at exactly 1."""
    assert three(estimate_lot(lot(ripeness=ripe)).strength) == [1.0, 1.0, 1.0]


def test_bark_has_no_ripeness():
    """Bark has no strength by ripeness, and its estimate is not touched by one."""
    bark = {"material": "oak-bark", "part": "bark"}
    assert estimate_lot(lot(**bark)).strength is None
    assert three(estimate_lot(lot(**bark, ripeness="black")).shades[0].cloth) == three(
        estimate_lot(lot(**bark)).shades[0].cloth)


@pytest.mark.parametrize("condition", ["fresh", "soaked", "air-dry"])
@pytest.mark.parametrize(("material", "part"), KEYS)
def test_every_stuff_comes_to_cloth(material, part, condition):
    """Every part of every material, in every condition, has an estimate whose every reason is complete."""
    found = estimate_lot(lot(material=material, part=part, condition=condition))
    assert found.net.central >= found.fresh_hull.central > found.dry_matter.central > 0
    assert [shade.name for shade in found.shades] == ["light", "medium", "dark"]
    for reason in found.reasons():
        assert reason.name
        assert reason.value
        assert (reason.basis in ("weighed", "counted", "poured")) == (not reason.source) == (not reason.mark)


def test_each_result_carries_the_reasons_before_it():
    """Cloth carries the reasons of air-dry mass, that those of dry matter, that those of hull, that those of net."""
    found = estimate_lot(fruit(gross=Measure("10", "kg"), ripeness="fallen"))
    chain = [found.net, found.fresh_hull, found.dry_matter, found.air_dry, found.shades[1].cloth]
    for before, after in itertools.pairwise(chain):
        assert after.reasons[:len(before.reasons)] == before.reasons
    assert [reason.name for reason in found.shades[1].cloth.reasons] == [
        "on the scale", "scale", "hull share of the fruit", "dry matter of the hull", "air-dry is counted at",
        "strength, fallen, firm", "dry hull for medium, on the weight of cloth"]
    assert len(set(found.reasons())) == len(found.reasons())


def test_an_estimate_is_plain_data_too():
    """As plain data an estimate goes through JSON unchanged and has its masses as low, central, high and unit."""
    plain = estimate_lot(fruit(gross=Measure("10", "kg"), ripeness="fallen")).as_json()
    assert json.loads(json.dumps(plain)) == plain
    assert plain["fresh_hull"].keys() == {"low", "central", "high", "unit"}
    assert [shade["name"] for shade in plain["shades"]] == ["light", "medium", "dark"]
    assert plain["use_by"]["earliest"] == "2026-10-11"
    assert plain["reasons"][0] == {"name": "on the scale", "value": "10 kg", "basis": "weighed"}


# ---------------------------------------------------------------- what is refused

@pytest.mark.parametrize(("facts", "where", "said"), [
    ({"gross": None}, ["gross"], "missing"),
    ({"gross": Measure("0", "kg")}, ["gross"], "0 kg is nothing"),
    ({"gross": Measure("3", "L")}, ["gross"], "3 L is not a mass"),
    ({"gross": Measure("3", "kg"), "tare": Measure("3", "kg")}, ["tare"], "not less than the gross of 3 kg"),
    ({"gross": Measure("3", "kg"), "tare": Measure("7", "lb")}, ["tare"], "7 lb is not less than"),
    ({"gross": Measure("3", "m"), "tare": Measure("1", "L")}, ["gross", "tare"], "3 m is not a mass"),
    ({"basis": "counted"}, ["count"], "missing"),
    ({"basis": "counted", "count": 0}, ["count"], "0 is nothing"),
    ({"basis": "counted", "count": -3}, ["count"], "-3 is nothing"),
    ({"basis": "poured"}, ["pails", "pail"], "missing"),
    ({"basis": "poured", "pails": "0", "pail": Measure("12", "L")}, ["pails"], "0 is nothing"),
    ({"basis": "poured", "pails": "many", "pail": Measure("12", "L")}, ["pails"], "many"),
    ({"basis": "poured", "pails": "1", "pail": Measure("12", "kg")}, ["pail"], "12 kg is not the size of a pail"),
    ({"basis": "poured", "pails": "1", "pail": Measure("0", "L")}, ["pail"], "0 L is not the size of a pail"),
    ({**BUSHEL, "fill": "0"}, ["fill"], "0 is not a share of a pail"),
    ({**BUSHEL, "fill": "80"}, ["fill"], "80 is not a share of a pail"),
    ({"basis": "poured", "pails": "x", "pail": Measure("1", "g"), "fill": "full"}, ["pails", "pail", "fill"], "x"),
])
def test_an_amount_that_is_none_is_refused(facts, where, said):
    """A missing, empty or impossible amount is refused, all at once, each with its field, its value and a remedy."""
    facts = fruit(**facts)
    problems = amount_problems(facts)
    assert [problem.where for problem in problems] == where
    assert said in problems[0].what
    assert all(problem.fix.endswith(".") for problem in problems)
    with pytest.raises(Refused) as caught:
        net_mass(facts)
    assert caught.value.problems == problems


def test_what_cannot_be_counted_is_refused():
    """Hull and bark can't be counted."""
    for stuff in ({"part": "hull"}, {"material": "oak-bark", "part": "bark"}):
        with pytest.raises(Refused, match="can't be counted"):
            net_mass(lot(**stuff, basis="counted", count=3))


@pytest.mark.parametrize(("facts", "where"), [
    ({"material": "walnut"}, "material"), ({"part": "bark"}, "part"), ({"ripeness": "rotten"}, "ripeness")])
def test_a_word_that_is_not_in_the_table_is_refused(facts, where):
    """An unknown material, part or ripeness is refused by its field."""
    with pytest.raises(Refused) as caught:
        estimate_lot(lot(**facts))
    assert [problem.where for problem in caught.value.problems] == [where]
