"""Swatches of one's own: what may be noted, what may enter from elsewhere, and what is refused."""

import datetime as dt

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from field_app.core.differences import GROUPS
from field_app.core.forms import Situation
from field_app.core.materials import material
from field_app.core.own import OwnRecords, in_force
from field_app.core.records import Version
from field_app.core.swatch_deeds import SwatchForm, decide_swatch
from field_app.core.swatch_learning import taught
from field_app.core.swatches import RESULTS, Swatch, SwatchFacts, fault_of_swatch
from field_app.core.trust import examine
from tests.core.swatches_for_tests import GOOD, LOT, facts_of

NOW = dt.datetime.fromisoformat("2026-10-08T15:24:00-02:00")
SITUATION = Situation((), NOW, lambda: "urn:uuid:0199c3a4-7b1e-7000-8000-000000000001")
FORM = {"stuff": "5 g", "cloth": "10 g", "time": "1 h", "result": "medium", "material": "black-walnut",
        "state": "air-dry"}


def decided(**more):
    return decide_swatch(SwatchForm(**{**FORM, **more}), SITUATION)


def version(facts, device="a" * 16):
    return Version(thing=LOT, kind="test", facts=facts, hlc=f"{1_791_900_000_000:013d}-0000-{device}", device=device,
                   seq=1)


@pytest.mark.parametrize(("result", "name", "told"), [
    ("Dark", "band", "dark"), ("42", "lightness", "42"), ("L* 42,5", "lightness", "42.5"),
    ("#7F5A38", "colour", "#7f5a38"),
])
def test_what_came_out_is_told_in_one_of_three_ways(result, name, told):
    """A shade, a measured lightness or a colour, each kept as one fact and the others left out."""
    (draft,) = decided(result=result).drafts
    assert draft.kind == "test"
    assert {member: draft.facts[member] for member in RESULTS if member in draft.facts} == {name: told}


def test_amounts_are_kept_as_typed():
    """Masses, bath and heat keep their unit; the time is kept in hours."""
    (draft,) = decided(stuff="1 oz", cloth="10", bath="0,5 L", heat="180 °F", time="45 min", mordant="alum",
                       base="#8B9DB4").drafts
    facts = SwatchFacts.model_validate(dict(draft.facts))
    assert (facts.stuff.unit, str(facts.stuff.value), facts.cloth.unit) == ("oz", "1", "g")
    assert (facts.bath.si, facts.hours, facts.mordant, facts.base) == (0.5, "0.75", "alum", "#8b9db4")
    assert facts.heat.si == pytest.approx(82.22, abs=0.01)
    assert examine(version(draft.facts)) is None


@pytest.mark.parametrize(("more", "where", "what"), [
    ({"stuff": ""}, "stuff", "is not given"), ({"stuff": "2 L"}, "stuff", "mass"),
    ({"cloth": "0 g"}, "cloth", "above nothing"), ({"cloth": "10 kg"}, "stuff", "can't be meant"),
    ({"time": "60"}, "time", "has no unit"), ({"time": "3 weeks"}, "time", "no time in a bath"),
    ({"time": "2 s"}, "time", "no time in a bath"), ({"mordant": "chrome"}, "mordant", "is not known"),
    ({"result": ""}, "result", "is not told"), ({"result": "brownish"}, "result", "neither a shade"),
    ({"result": "#12"}, "result", "is not a colour"), ({"result": "L 120"}, "result", "is no lightness"),
    ({"result": "#f6f5f0"}, "result", "not darker than the cloth before"),
    ({"base": "blue"}, "base", "is not a colour"), ({"material": "moon-dust"}, "material", "is not known"),
    ({"state": "wet"}, "condition", "is not known"), ({"heat": "300 °C"}, "heat", "is no heat"),
    ({"bath": "1 mL"}, "bath", "can't be meant"), ({"lot": LOT}, "lot", "is not known"),
    ({"site": LOT}, "place", "is not known"), ({"note": "x" * 5000}, "note", "signs"),
    ({"at": "last moon"}, "at", "last moon")])
def test_what_is_wrong_is_told_with_what_to_do(more, where, what):
    """Each fault names its field, what was met and how to mend it, and nothing is written."""
    decision = decided(**more)
    assert decision.drafts == ()
    (problem,) = decision.problems
    assert problem.where == where
    assert what in problem.what
    assert problem.fix


def test_all_faults_of_a_form_are_told_at_once():
    """Nothing has to be mended one by one."""
    decision = decided(stuff="", cloth="x", time="", result="")
    assert [problem.where for problem in decision.problems] == ["stuff", "cloth", "time", "result"]


def test_every_fact_of_a_swatch_belongs_to_a_group_that_is_settled_together():
    """Whatever two people may say differently of a swatch is told under a name."""
    grouped = {member for members in GROUPS["test"].values() for member in members}
    assert set(SwatchFacts.model_fields) - {"by"} <= grouped


@pytest.mark.parametrize("change", [{"hours": "a while"}, {"stuff": None}, {"mordant": "tin"}, {"base": "red"},
                                    {"lightness": "42"}, {"band": None}, {"site": "the mill"}, {"heat": "85"},
                                    {"at": "2300-10-08T15:24:00-02:00"}, {"stuff": {"value": "5", "unit": "L"}}])
def test_a_swatch_from_elsewhere_with_a_fault_is_set_aside(change):
    """What could not be read or counted does not enter."""
    facts = {**GOOD, **change}
    assert examine(version({name: member for name, member in facts.items() if member is not None})) is not None


_TEXT = st.sampled_from(["", "0", "1", "1e9", "0.0027", "336", "-1", "42", "99.9", "#000000", "#fff", "dark",
                         "½", "nan"])
_AMOUNT = st.builds(lambda value, unit: {"value": value, "unit": unit},
                    st.sampled_from(["0", "0.001", "5", "1000", "99999999"]), st.sampled_from(["g", "kg", "L", "degC"]))
_CHANGES = st.fixed_dictionaries({}, optional={
    "hours": _TEXT, "base": _TEXT, "colour": _TEXT, "lightness": _TEXT, "stuff": _AMOUNT, "cloth": _AMOUNT,
    "bath": _AMOUNT, "heat": _AMOUNT, "band": st.sampled_from([None, "pale", "dark", "black"]),
    "mordant": st.sampled_from(["none", "alum", "iron"]), "state": st.sampled_from([None, "fresh", "browned"])})


@given(_CHANGES)
@settings(max_examples=150, deadline=None)
def test_what_passes_can_be_learnt_from(change):
    """Whatever may enter from elsewhere can be learnt from, and leaves figures that are in order."""
    facts = {name: member for name, member in {**GOOD, **change}.items() if member is not None}
    if examine(version(facts)) is not None:
        return
    read = SwatchFacts.model_validate(facts)
    assert fault_of_swatch(read) is None
    one = Swatch("s1", read, read.material, read.state)
    row = in_force("black-walnut", "", OwnRecords(swatches=(one,))).parameters["wof-medium"]
    assert 0 < row.low <= row.central <= row.high
    tints = taught(material("black-walnut"), [one]).palette.tints
    assert all(tint.strength.low > 0 and tint.fall.low > 0 for tint in tints.values())


def test_what_a_form_writes_passes():
    """A colour, a lightness and a band written by the form each may enter again."""
    for result in ("pale", "L* 30", "#3b2a1c"):
        (draft,) = decided(result=result).drafts
        assert examine(version(draft.facts)) is None
    assert examine(version(facts_of(moon="new"))) is None
