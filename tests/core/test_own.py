"""The values in force: what a person set or measured holds in place of the table's, nearest first."""

import datetime as dt
import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from field_app.core.estimate import Z90
from field_app.core.facts import LotFacts
from field_app.core.keeping import use_by
from field_app.core.load import estimate_lot
from field_app.core.materials import material
from field_app.core.own import InForce, OwnRecords, in_force, learnt, observed, state_of, table
from field_app.core.problems import Refused
from field_app.core.units import Measure
from tests.core.own_for_tests import (
    FORD,
    LOT,
    MILL,
    OTHER_LOT,
    WHEN,
    dry_test,
    grams,
    reading,
    records,
    spent_test,
    value,
)

WALNUT = material("black-walnut")


def dry(own, site="", lot="", name="dry-fresh"):
    return in_force("black-walnut", site, records(*own), lot=lot).parameters[name]


def three(row):
    return row.low, row.central, row.high


def test_without_anything_of_ones_own_it_is_the_table():
    """Nothing own, or something own of another material, leaves the very table."""
    assert in_force("black-walnut") is WALNUT
    assert in_force("black-walnut", MILL, records(value(material="butternut"), dry_test(material="butternut")),
                    lot=LOT) is WALNUT
    assert table("black-walnut", MILL, LOT) is WALNUT


def test_an_unknown_material_is_refused():
    """A material that nobody knows is refused as by the table."""
    with pytest.raises(Refused, match="is not known"):
        in_force("moon-dust")
    assert InForce().for_lot(lot_facts(material="moon-dust")) is None


def lot_facts(**more):
    return LotFacts.model_validate({"site": MILL, "material": "black-walnut", "part": "hull", "basis": "weighed",
                                    "gathered": WHEN, "gross": Measure("10", "kg"), "ripeness": "fallen", **more})


# Values set


def test_a_value_holds_and_says_so():
    """A value that was set holds for all sites, with ends 10 % off, and names itself and what it replaces."""
    row = dry([value("18")])
    assert three(row) == pytest.approx((0.18 / 1.1, 0.18, 0.18 * 1.1))
    assert (row.mark, row.unit) == ("own", "1")
    assert row.source == "your own value; the table has 15 % (12–25)"
    (reason,) = row.range("dry matter").reasons
    assert (reason.basis, reason.mark, reason.value) == ("own", "", "18 % (16.4–19.8)")


def test_a_value_may_have_ends_of_its_own():
    """Ends that were given hold as they are, in the unit that was used."""
    assert three(dry([value("18", low="17", high="20")])) == pytest.approx((0.17, 0.18, 0.20))
    row = dry([value("0.18", "1", low="0.17")])
    assert three(row) == pytest.approx((0.17, 0.18, 0.18 * 1.1))


def test_the_site_beats_the_material():
    """A value for a site holds there, the one for the material everywhere else."""
    own = [value("18"), value("22", site=MILL, key="v2", by="the dye house")]
    assert dry(own, MILL).central == pytest.approx(0.22)
    assert dry(own, FORD).central == pytest.approx(0.18)
    assert dry(own).central == pytest.approx(0.18)
    assert dry(own, MILL).source == "your own value for this place, set by the dye house; the table has 15 % (12–25)"


@pytest.mark.parametrize(("name", "text", "unit", "central"), [
    ("half-time-90", "1.5", "h", 90), ("half-time-20", "2", "days", 2880), ("keep-water", "3", "weeks", 21),
    ("piece-whole-fruit", "2.5", "oz", 0.0708738), ("pour-hull", "0.4", "kg/L", 400),
    ("kept-drained", "4.5", "kg/kg", 4.5),
    ("boil-off", "22", "L/(h·m²)", 22), ("wof-dark", "130", "%", 1.3)])
def test_values_in_the_units_of_people(name, text, unit, central):
    """Times, masses, densities and shares may be given in the units that people use."""
    assert dry([value(text, unit, name)], name=name).central == pytest.approx(central, rel=1e-6)


def test_a_value_is_no_wider_than_a_narrow_row():
    """Where the table itself is nearly certain, a bare value is taken as that certain."""
    row = dry([value("91", parameter="dry-air-dry")], name="dry-air-dry")
    assert row.high / row.low == pytest.approx(0.92 / 0.88)
    assert dry([value("99", parameter="dry-air-dry")], name="dry-air-dry").high <= 1


# Tests


def test_a_dry_test_is_what_is_left_over_what_there_was():
    """212 g with a dish of 12 g, dried to 52 g: 40 of 200 g, 20 % dry matter."""
    seen = observed(dry_test("212", "52", dish=grams("12")), WALNUT)
    assert math.exp(seen.value) == pytest.approx(0.2)
    # Two weighings of 3 % each and a sample that is 6 % off the lot, as 10 % and 90 %.
    parts = (math.log(1.03), math.log(1.03), math.log(1.06))
    assert seen.sd == pytest.approx(math.sqrt(sum(part**2 for part in parts)) / Z90)


def test_a_fine_scale_leaves_less_open():
    """With a division of 1 g the weighings of 200 and 40 g are good to 1 g each."""
    seen = observed(dry_test(division=grams("1")), WALNUT)
    parts = (1 / 200, 1 / 40, math.log(1.06))
    assert seen.sd == pytest.approx(math.sqrt(sum(part**2 for part in parts)) / Z90)


def test_a_spent_test_is_what_went_into_the_liquor():
    """100 g of air-dry hull that come back as 72 g gave 28 %; its spread counts on what is gone."""
    seen = observed(spent_test(), WALNUT)
    assert math.exp(seen.value) == pytest.approx(0.28)
    weighings = math.hypot(math.log(1.03), math.log(1.03)) * 72 / 28
    assert seen.sd == pytest.approx(math.hypot(weighings, math.log(1.06)) / Z90)


def test_a_spent_test_that_lost_next_to_nothing():
    """A loss that no scale can see is taken as next to nothing, and teaches next to nothing."""
    own = [spent_test("100000", "99999.999999999")]
    taught, before = dry(own, name="extract"), WALNUT.parameters["extract"]
    assert three(taught) == pytest.approx(three(before), rel=0.01)


def test_a_reading_is_extract_over_dry_mass():
    """12 L at 1.8 °Brix over 1 kg of air-dry hull, 90 % dry: 216 g of 900 g, 24 %."""
    assert math.exp(observed(reading(), WALNUT).value) == pytest.approx(0.24)
    wet = reading("6000", state="fresh")
    assert math.exp(observed(wet, WALNUT).value) == pytest.approx(0.24)
    assert observed(wet, WALNUT).sd > observed(reading(), WALNUT).sd


def test_a_reading_rests_on_the_dry_matter_that_was_tested():
    """A dry test of the lot changes what a reading of fresh hull says of its extract."""
    own = [dry_test("200", "40", lot=LOT), reading("6000", state="fresh", lot=LOT)]
    with_test = in_force("black-walnut", MILL, records(*own), lot=LOT).parameters["extract"]
    without = in_force("black-walnut", MILL, records(own[1]), lot=LOT).parameters["extract"]
    assert with_test.central < without.central  # more dry matter, so less of it is extract
    assert with_test.high / with_test.low < without.high / without.low


def test_a_test_narrows_its_lot_most_then_its_site_then_the_rest():
    """Dry matter of the tested lot is nearly what was measured; of its site and elsewhere it is drawn to it."""
    own = [dry_test("200", "48", lot=LOT)]
    widths = [row.high / row.low for row in (dry(own, MILL, LOT), dry(own, MILL), dry(own, FORD), WALNUT.parameters[
        "dry-fresh"])]
    assert widths == sorted(widths)
    assert len(set(widths)) == 4
    assert dry(own, MILL, LOT).central == pytest.approx(0.24, rel=0.06)
    assert dry(own, MILL).source == (
        "your own test of this place; it narrows the table's band: 15 % (12–25)")
    two = [*own, dry_test("200", "44", site=FORD, key="t2")]
    assert dry(two, MILL, LOT).source == (
        "your own 2 tests (1 of this lot, 1 elsewhere); they narrow the table's band: 15 % (12–25)")


def test_a_test_teaches_the_condition_it_was_made_in():
    """A dry test of browned hull teaches browned hull alone."""
    own = [dry_test(state="browned")]
    assert set(learnt(WALNUT, records(*own))) == {"dry-browned"}
    assert dry(own) is WALNUT.parameters["dry-fresh"]


def test_a_value_holds_over_tests_but_not_over_one_of_the_very_lot():
    """Tests elsewhere don't move a value that was set; a test of the lot itself goes on top of it, and says so."""
    own = [value("18"), dry_test("200", "48", lot=LOT), dry_test("200", "30", lot=OTHER_LOT, key="t2")]
    assert dry(own, MILL).central == pytest.approx(0.18)
    assert dry(own, MILL).source == dry(own[:1], MILL).source
    tested = dry(own, MILL, LOT)
    assert 0.18 < tested.central < 0.24
    assert tested.high / tested.low < 1.1**2
    assert tested.source == ("your own test of this lot on top of your own value; the table has 15 % (12–25)")


_TESTS = st.lists(st.builds(
    lambda before, share, site, lot, key: dry_test(str(before), f"{before * share / 100:.2f}", site=site,
                                                   lot=f"{lot}" if site == MILL else "", key=f"t{key}"),
    st.integers(50, 500), st.integers(3, 95), st.sampled_from([MILL, FORD, ""]), st.sampled_from(["", LOT]),
    st.integers(0, 9)), max_size=6)


@given(_TESTS, st.sampled_from([("", ""), (MILL, ""), (MILL, LOT), (FORD, "")]))
def test_the_band_in_force_is_never_wider_than_the_table(tests, asked):
    """However odd the tests, the band from low to high spans no larger factor than the table's, and is in order."""
    row, prior = dry(tests, *asked), WALNUT.parameters["dry-fresh"]
    assert row.high / row.low <= prior.high / prior.low * (1 + 1e-9)
    assert 0 < row.low <= row.central <= row.high <= 1


@given(_TESTS, st.randoms())
def test_the_order_of_tests_plays_no_part(tests, chance):
    """The same tests in another order put the same in force."""
    other = list(tests)
    chance.shuffle(other)
    assert three(dry(other, MILL, LOT)) == pytest.approx(three(dry(tests, MILL, LOT)), rel=1e-12)


@given(_TESTS, st.integers(0, 5))
def test_a_withdrawn_test_is_as_if_it_had_never_been(tests, which):
    """With one test taken away, what is in force is what the others alone put in force."""
    more = [*tests[:which], dry_test("100", "90", key="gone"), *tests[which:]]
    left = [test for test in more if test.id != "gone"]
    assert dry(left, MILL) == dry(tests, MILL)


# What follows


def test_an_estimate_follows_what_is_in_force():
    """A lot of 10 kg at a value of 18 % dry matter has 1.8 kg of it, and tells why."""
    stuff = in_force("black-walnut", MILL, records(value("18")))
    worth = estimate_lot(lot_facts(), stuff)
    assert worth.dry_matter.central == pytest.approx(1.8)
    assert "your own value; the table has 15 % (12–25)" in [reason.source for reason in worth.reasons()]


@pytest.mark.parametrize(("facts", "parameter", "days", "span"), [
    ({}, "keep-fallen", (2, 5), "2 to 5 days"), ({"ripeness": None}, "keep-fallen", (0, 5), "2 to 5 days"),
    ({"ripeness": "browned"}, "keep-fallen", (0, 3), "part of the way"),
    ({"condition": "soaked"}, "keep-water", (2, 5), "2 to 5 days")])
def test_how_long_it_keeps_follows_what_is_in_force(facts, parameter, days, span):
    """A figure of one's own for keeping moves the days and the words of a lot, and is named as the reason."""
    stuff = in_force("black-walnut", MILL, records(value("3", "days", parameter, low="2", high="5")))
    by, gathered = use_by(lot_facts(**facts), stuff), dt.date(2026, 10, 8)
    assert ((by.earliest - gathered).days, (by.latest - gathered).days) == days
    assert span in by.words
    assert (by.reason.basis, by.reason.value) == ("own", "3 days (2–5)")
    assert by != use_by(lot_facts(**facts))


def test_what_is_in_force_is_worked_out_once():
    """The lookup gives the same object for the same place, and for all places of which nothing is told."""
    lookup = InForce(records(value("18"), dry_test(site=MILL)))
    assert lookup("black-walnut", MILL) is lookup("black-walnut", MILL, "another lot")
    assert lookup("black-walnut", FORD) is lookup("black-walnut", "somewhere else")
    assert lookup("black-walnut", MILL) is not lookup("black-walnut", FORD)
    assert lookup("oak-bark") is material("oak-bark")


@pytest.mark.parametrize(("facts", "state"), [
    ({}, "fresh"), ({"ripeness": "browned"}, "browned"), ({"ripeness": "black"}, "browned"),
    ({"ripeness": "browned", "condition": "soaked"}, "soaked"), ({"condition": "air-dry"}, "air-dry"),
    ({"material": "oak-bark", "part": "bark", "ripeness": None}, "fresh"),
    ({"material": "moon-dust", "ripeness": "browned"}, "fresh")])
def test_the_state_of_a_lot(facts, state):
    """Browned hull is a state of its own, as its dry matter is; soaked and air-dry stuff is what it is."""
    assert state_of(lot_facts(**facts)) == state


def test_what_a_newer_program_knows_is_left_alone():
    """A value for a figure that this program has not is no value here."""
    own = OwnRecords((value(parameter="moon-share"),), ())
    assert in_force("black-walnut", "", own).parameters == WALNUT.parameters
