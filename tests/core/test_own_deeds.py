"""Setting a value and noting a test: read as typed, or refused with every problem and what to do."""

import datetime as dt

import pytest
from hypothesis import given
from hypothesis import strategies as st

from field_app.core.facts import SiteFacts
from field_app.core.forms import Situation
from field_app.core.materials import material
from field_app.core.own import OwnRecords, OwnTest, OwnValue, in_force
from field_app.core.own_deeds import OwnTestForm, ValueForm, decide_own_test, decide_value, parameter_named
from field_app.core.own_facts import OwnTestFacts, ValueFacts, units_for, value_id
from field_app.core.problems import Refused
from field_app.core.records import Thing, Version
from field_app.core.sites import SiteNow
from field_app.core.trust import examine
from tests.core.lots_for_tests import lot as a_lot
from tests.core.own_for_tests import LOT, MILL

NOW = dt.datetime.fromisoformat("2026-10-08T15:24:00-02:00")
MILL_LANE = SiteNow(MILL, SiteFacts(name="Mill lane"), None, None, (), "")
SITUATION = Situation((MILL_LANE,), NOW, lambda: "urn:uuid:0199c3a4-7b1e-7d2f-9a41-5e0c77cc0001")
VALUE = {"material": "black-walnut", "parameter": "dry-fresh", "value": "18 %"}
TEST = {"test": "dry", "before": "212", "after": "52", "dish": "12", "material": "black-walnut", "state": "fresh"}


def value(**more):
    return decide_value(ValueForm(**VALUE | more), SITUATION)


def own_test(of=None, **more):
    return decide_own_test(OwnTestForm(**TEST | more), SITUATION, of)


def problems(decision):
    assert not decision.drafts
    return [(problem.where, problem.what) for problem in decision.problems]


@pytest.mark.parametrize(("typed", "facts"), [
    ({}, ("18", "%")), ({"value": "18"}, ("18", "%")), ({"value": "0,18", "unit": "1"}, ("0.18", "1")),
    ({"value": "18½ percent"}, ("18.5", "%")), ({"parameter": "half time 90", "value": "1½ hours"}, ("1.5", "h")),
    ({"parameter": "Keep water", "value": "3 weeks"}, ("3", "weeks")),
    ({"parameter": "pour-hull", "value": "410 kg/m3"}, ("410", "kg/m³"))])
def test_a_value_is_read_as_people_write_it(typed, facts):
    """Number and unit in one, a bare number in the unit that is offered, words for units."""
    (draft,) = value(**typed).drafts
    read = ValueFacts.model_validate(dict(draft.facts))
    assert (read.value, read.unit) == facts
    assert (draft.kind, read.at) == ("value", "2026-10-08T15:24:00-02:00")


def test_a_value_is_one_thing_for_its_material_figure_and_site():
    """The same figure set twice, on any device, is one thing; a site has its own."""
    one, again, there = value(), value(value="19 %"), value(site=MILL)
    assert one.main == again.main == value_id("black-walnut", "dry-fresh")
    assert there.main == value_id("black-walnut", "dry-fresh", MILL) != one.main
    held = Thing(one.main, "value", {}, None, ("ni:///a", "ni:///b"), "", "", "", deleted=True)
    (draft,) = decide_value(ValueForm(**VALUE), SITUATION, held).drafts
    assert (draft.parents, draft.deleted) == (held.heads, False)


@pytest.mark.parametrize(("typed", "where", "words"), [
    ({"material": "moon-dust"}, "material", "is not known"), ({"parameter": "moon"}, "figure", "is no figure of"),
    ({"value": ""}, "value", "is no number"), ({"value": "much"}, "value", "is no number"),
    ({"value": "18 kg"}, "value", "is no unit for it"), ({"value": "0"}, "value", "is nothing"),
    ({"value": "-3"}, "value", "is below zero"), ({"value": "180 %"}, "value", "more than all there is"),
    ({"low": "20"}, "low", "is not above zero and up to 18"), ({"low": "0"}, "low", "is not above zero"),
    ({"high": "17"}, "high", "is below 18"), ({"high": "120"}, "value", "more than all there is"),
    ({"parameter": "half-time-90", "value": "1 h", "low": "40 min"}, "low", "is in min, the value in h"),
    ({"site": "somewhere"}, "place", "is not known"),
    ({"note": "x" * 2001}, "note", "2000 at most fit"), ({"by": "x" * 200}, "by", "120 at most fit")])
def test_a_value_that_can_not_be_is_refused(typed, where, words):
    """What can't be read, or can't be, is refused at its field."""
    found = problems(value(**typed))
    assert [(place, True) for place, what in found if words in what] == [(where, True)]


_NUMBER = st.one_of(st.decimals(0, 500, places=2).map(str), st.sampled_from(["", "½", "1,5", "12 %", "3 days", "x"]))


@given(st.sampled_from(sorted(material("black-walnut").parameters)), _NUMBER, _NUMBER, _NUMBER)
def test_whatever_is_set_passes_on_the_other_devices(parameter, number, low, high):
    """A value is refused with words, or it is written so that every other device takes it in and can work with it."""
    decided = value(parameter=parameter, value=number, low=low, high=high)
    assert decided.problems or not problem_of(decided)
    for draft in decided.drafts:
        own = OwnRecords((OwnValue(draft.thing, ValueFacts.model_validate(dict(draft.facts))),))
        row = in_force("black-walnut", "", own).parameters[parameter]
        assert row.mark == "own"
        assert 0 < row.low <= row.central <= row.high


@given(st.sampled_from(["dry", "spent", "reading"]), st.lists(_NUMBER, min_size=5, max_size=5))
def test_whatever_is_noted_passes_on_the_other_devices(test, numbers):
    """A test is refused with words, or every other device takes it in and learns from it."""
    before, after, dish, liquor, brix = numbers
    decided = own_test(test=test, before=before, after=after, dish=dish, liquor=liquor, brix=brix, state="air-dry")
    assert decided.problems or not problem_of(decided)
    for draft in decided.drafts:
        facts = OwnTestFacts.model_validate(dict(draft.facts))
        own = OwnRecords(tests=(OwnTest(draft.thing, facts, "black-walnut", "air-dry"),))
        name = own.tests[0].parameter
        taught, default = in_force("black-walnut", "", own).parameters[name], material("black-walnut").parameters[name]
        assert taught.high / taught.low <= default.high / default.low * (1 + 1e-9)


def problem_of(decided):
    """What the other devices would have against it."""
    device = "a" * 16
    (draft,) = decided.drafts
    return examine(Version(thing=draft.thing, kind=draft.kind, facts=dict(draft.facts),
                           hlc=f"{1_791_900_000_000:013d}-0000-{device}", device=device, seq=1))


def test_an_unknown_figure_offers_close_ones():
    """A figure with a slip of the finger is refused with what may be meant."""
    with pytest.raises(Refused, match="Did you mean dry-fresh"):
        parameter_named(material("black-walnut"), "dry fresch")


def test_all_figures_have_units_to_give_them_in():
    """Every row of the table can be given in the unit of the table, or in one that people use."""
    for key in ("black-walnut", "oak-bark", "oak-gall-apple"):
        assert all(units_for(row) for row in material(key).parameters.values())


def test_a_test_is_read_as_typed():
    """Masses with or without a unit, a reading with its degrees, a day in the past: all are kept as they were typed."""
    (draft,) = own_test(before="7½ oz", at="2026-10-07", by="me").drafts
    read = OwnTestFacts.model_validate(dict(draft.facts))
    assert (read.before.typed, read.after.unit, read.at) == ("7½ oz", "g", "2026-10-07T12:00:00-02:00")
    (draft,) = own_test(test="reading", after="", liquor="3 gal", brix="1,8 °Brix", gallons="imperial").drafts
    read = OwnTestFacts.model_validate(dict(draft.facts))
    assert (read.liquor.unit, read.brix) == ("gal-imp", "1.8")


def test_a_test_of_a_lot_names_the_lot_alone():
    """What a lot is made of follows from the lot; only a condition that has changed since is told."""
    (draft,) = own_test(a_lot(), lot=LOT, material="", state="").drafts
    assert draft.facts["lot"] == LOT
    assert not {"material", "state", "site"} & set(draft.facts)
    (draft,) = own_test(a_lot(), lot=LOT, material="", state="air-dry").drafts
    assert draft.facts["state"] == "air-dry"


@pytest.mark.parametrize(("typed", "where", "words"), [
    ({"test": "taste"}, "test", "is not known"), ({"before": ""}, "before", "is missing"),
    ({"after": ""}, "after", "is missing"), ({"before": "212 L"}, "before", "a mass is needed"),
    ({"after": "212"}, "after", "is not less than"), ({"after": "12"}, "after", "not more than the dish"),
    ({"before": "0", "dish": ""}, "before", "is nothing"), ({"material": "moon-dust"}, "material", "is not known"),
    ({"state": "damp"}, "condition", "is not known"), ({"site": "somewhere"}, "place", "is not known"),
    ({"lot": LOT}, "lot", "is not known"), ({"at": "2027-01-01"}, "at", "still to come"),
    ({"test": "reading"}, "liquor", "is missing"), ({"test": "reading", "liquor": "12"}, "brix", "nothing was typed"),
    ({"test": "reading", "liquor": "12", "brix": "80"}, "brix", "no reading of dye liquor"),
    ({"test": "reading", "liquor": "12", "brix": "0"}, "brix", "no reading of dye liquor")])
def test_a_test_that_can_not_be_is_refused(typed, where, words):
    """A weighing that is missing, a gain in drying, stuff that nobody knows: refused at its field."""
    found = problems(own_test(**typed))
    assert [(place, True) for place, what in found if words in what] == [(where, True)]
