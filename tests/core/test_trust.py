"""Which versions from elsewhere may enter: all of our own making, and none that could not be shown."""

import datetime as dt

import pytest
from hypothesis import given
from hypothesis import strategies as st

from field_app.core.cloth_lists import cloth_now
from field_app.core.facts import DrawFacts, LotFacts, SiteFacts, StepFacts
from field_app.core.intake import Reader
from field_app.core.life import Draw, Step, live
from field_app.core.look_words import look_words
from field_app.core.looks import LookFacts
from field_app.core.lots import lot_now
from field_app.core.own import OwnRecords, OwnTest, OwnValue, in_force
from field_app.core.own_facts import OwnTestFacts, ValueFacts
from field_app.core.problems import Refused
from field_app.core.records import Version, settle
from field_app.core.trust import LIMITS, Limits, examine, read_trusted

SITE = "urn:uuid:0199c3a4-7b1e-7d2f-9a41-5e0c77aa0001"
LOT = "urn:uuid:0199c3a4-7b1e-7d2f-9a41-5e0c77bb0001"
ME = "a" * 16
WHEN = "2026-10-08T15:24:00-02:00"
KG = {"value": "14.2", "unit": "kg"}
GOOD = {
    "site": {"name": "Mill lane", "materials": ["black-walnut"], "fix": {"source": "device", "accuracy": "8.5"}},
    "leave": {"site": SITE, "state": "given", "by": "the miller", "until": "2026-11-30", "limit": KG},
    "lot": {"site": SITE, "material": "black-walnut", "part": "whole-fruit", "basis": "weighed", "gathered": WHEN,
            "gross": KG, "ripeness": "fallen"},
    "step": {"lot": LOT, "step": "strained", "at": WHEN, "volume": {"value": "12", "unit": "L"}},
    "cloth": {"name": "Autumn shawls", "items": ["wool 3 kg", "silk 2 yd 45 in 8 momme"], "note": "for the fair"},
    "draw": {"lot": LOT, "amount": KG, "at": WHEN, "purpose": "shawl"},
    "value": {"material": "black-walnut", "parameter": "dry-fresh", "value": "18", "unit": "%", "low": "17",
              "at": WHEN},
    "vessel": {"name": "big enamel", "vessel": "pot", "volume": {"value": "40", "unit": "L"}, "made_of": "enamel"},
    "test": {"test": "dry", "lot": LOT, "before": {"value": "212", "unit": "g"},
             "after": {"value": "52", "unit": "g"}, "at": WHEN},
    "look": {"site": SITE, "material": "black-walnut", "at": WHEN, "stage": "dented", "dented": 7, "pressed": 10,
             "ground_words": "a-handful", "bbch": 87, "phenophases": ["Ripe fruits"], "dropped": "3-10"},
}


def version(kind, facts, *, hlc=None, device=ME, **more):
    return Version(thing=LOT, kind=kind, facts=facts, hlc=hlc or f"{1_791_900_000_000:013d}-0000-{device}",
                   device=device, seq=1, **more)


def read(one):
    return read_trusted(one.text, one.name, where="record 3", reader=Reader())


@pytest.mark.parametrize("kind", GOOD)
def test_good_facts_of_every_kind_may_enter(kind):
    """What a form would have written passes, also marked as withdrawn, also with facts of a newer program."""
    assert examine(version(kind, GOOD[kind])) is None
    assert examine(version(kind, GOOD[kind], deleted=True)) is None
    assert examine(version(kind, {**GOOD[kind], "moon": {"phase": "new"}})) is None
    assert read(version(kind, GOOD[kind])).facts == GOOD[kind]


def test_a_kind_that_is_not_known_may_enter():
    """A newer program's kinds are kept, whatever they hold."""
    assert examine(version("sundial", {"shade": {"at": ["noon", 3, None, True]}})) is None


@pytest.mark.parametrize(("kind", "change", "place"), [
    ("site", {"name": " "}, "name"), ("site", {"name": None}, "name"), ("site", {"name": "a\nb"}, "name"),
    ("site", {"materials": ["moon-dust"]}, "material"), ("site", {"materials": "black-walnut"}, "materials"),
    ("site", {"fix": {"source": "device", "accuracy": "wide"}}, "fix.accuracy"),
    ("site", {"fix": {"source": "dream"}}, "fix.source"),
    ("site", {"note": "\x1b[2J"}, "note"), ("site", {"\x07": 1}, "facts"),
    ("cloth", {"name": " "}, "name"), ("cloth", {"items": []}, "items"), ("cloth", {"items": ["moon 3 kg"]}, "items"),
    ("cloth", {"items": "wool 3 kg"}, "items"), ("cloth", {"items": ["wool 3 kg"] * 99}, "items"),
    ("leave", {"site": "Mill lane"}, "site"), ("leave", {"state": "maybe"}, "state"),
    ("leave", {"until": "soon"}, "until"), ("leave", {"limit": {"value": "3", "unit": "L"}}, "limit"),
    ("lot", {"site": 7}, "site"), ("lot", {"material": "moon-dust"}, "material"), ("lot", {"part": "root"}, "part"),
    ("lot", {"ripeness": "glowing"}, "ripeness"), ("lot", {"condition": "wet"}, "condition"),
    ("lot", {"basis": "guessed"}, "basis"), ("lot", {"gross": None}, "gross"),
    ("lot", {"gross": {"value": "0", "unit": "kg"}}, "gross"),
    ("lot", {"gross": {"value": "-3", "unit": "kg"}}, "amount"),
    ("lot", {"gross": {"value": "3", "unit": "L"}}, "gross"),
    ("lot", {"gross": {"value": "3", "unit": "pood"}}, "amount"),
    ("lot", {"gross": {"value": "1e3", "unit": "kg"}}, "amount"), ("lot", {"gross": "14.2 kg"}, "gross"),
    ("lot", {"tare": {"value": "20", "unit": "kg"}}, "tare"), ("lot", {"pail": KG}, "pail"),
    ("lot", {"basis": "counted"}, "count"), ("lot", {"basis": "counted", "count": "12"}, "count"),
    ("lot", {"basis": "counted", "count": True}, "count"), ("lot", {"basis": "counted", "count": 0}, "count"),
    ("lot", {"basis": "counted", "count": -5}, "count"), ("lot", {"count": -5}, "count"),
    ("lot", {"division": {"value": "0", "unit": "kg"}}, "division"),
    ("lot", {"division": {"value": "3", "unit": "L"}}, "division"), ("lot", {"scale": "V"}, "scale"),
    ("lot", {"division": {"value": "90", "unit": "kg"}}, "scale division"), ("lot", {"sample": "68 g"}, "sample"),
    ("lot", {"basis": "counted", "count": 9, "sample": [{"value": "0", "unit": "g"}]}, "sample"),
    ("lot", {"basis": "counted", "count": 9, "sample": [KG], "sample_each": 10}, "sample"),
    ("lot", {"basis": "counted", "count": 9, "sample": [KG], "sample_each": -1}, "sample"),
    ("lot", {"basis": "poured"}, "pails"),
    ("lot", {"basis": "poured", "pails": "2", "pail": {"value": "12", "unit": "L"}, "fill": "7"}, "fill"),
    ("lot", {"gathered": "yesterday"}, "gathered"), ("lot", {"gathered": "1777620600"}, "gathered"),
    ("lot", {"gathered": "2026-10-08 15:24:00-02:00"}, "gathered"),
    ("lot", {"gathered": "0001-01-01T00:00:00+14:00"}, "gathered"),
    ("lot", {"gathered": "9999-12-31T23:59:59-12:00"}, "gathered"),
    ("lot", {"gathered": "٢٠٢٦-10-08T15:24:00-02:00"}, "gathered"),
    ("step", {"lot": None}, "lot"), ("step", {"step": "blessed"}, "step"), ("step", {"at": None}, "at"),
    ("step", {"volume": KG}, "volume"), ("step", {"mass": {"value": "0", "unit": "kg"}}, "mass"),
    ("step", {"nuts": {"value": "20", "unit": "degC"}}, "nuts"),
    ("look", {"site": "Mill lane"}, "site"), ("look", {"material": "moon-dust"}, "material"),
    ("look", {"stage": "glowing"}, "stage"), ("look", {"at": "yesterday"}, "at"), ("look", {"dented": "7"}, "dented"),
    ("look", {"dented": True}, "dented"), ("look", {"dented": 11}, "dented"), ("look", {"dented": -1}, "dented"),
    ("look", {"pressed": None}, "pressed"), ("look", {"ground": -3}, "ground"),
    ("look", {"ground_words": "heaps"}, "ground_words"),
    ("value", {"material": "moon-dust"}, "material"), ("value", {"parameter": "moon"}, "parameter"),
    ("value", {"unit": "kg"}, "unit"), ("value", {"value": "much"}, "value"), ("value", {"value": "0"}, "value"),
    ("value", {"value": "120"}, "value"), ("value", {"low": "19"}, "low"), ("value", {"high": "17"}, "high"),
    ("value", {"site": "Mill lane"}, "site"), ("value", {"at": "today"}, "at"),
    ("vessel", {"name": " "}, "name"), ("vessel", {"vessel": "tub"}, "vessel"), ("vessel", {"volume": KG}, "volume"),
    ("vessel", {"volume": {"value": "0", "unit": "L"}}, "volume"), ("vessel", {"made_of": "gold"}, "made_of"),
    ("vessel", {"diameter": KG}, "diameter"), ("vessel", {"tare": {"value": "1", "unit": "L"}}, "tare"),
    ("vessel", {"surface": "wide"}, "surface"), ("test", {"test": "taste"}, "test"),
    ("test", {"lot": "K7QF"}, "lot"), ("test", {"lot": None}, "material"),
    ("test", {"lot": None, "material": "moon-dust", "state": "fresh"}, "material"),
    ("test", {"state": "damp"}, "state"),
    ("test", {"site": "Mill lane"}, "site"), ("test", {"before": KG | {"unit": "L"}}, "before"),
    ("test", {"after": None}, "after"), ("test", {"after": KG}, "after"), ("test", {"at": "today"}, "at"),
    ("test", {"test": "reading"}, "liquor"), ("test", {"test": "reading", "liquor": KG}, "liquor"),
    ("draw", {"amount": {"value": "0.0", "unit": "kg"}}, "amount"),
    ("draw", {"amount": {"value": "3", "unit": "m"}}, "amount"), ("draw", {"lot": LOT.upper()}, "lot"),
])
def test_a_fault_in_the_facts_is_named(kind, change, place):
    """Each fact that could not be shown or added up is named, with the record it is in and what to do."""
    facts = {key: value for key, value in {**GOOD[kind], **change}.items() if value is not None}
    problem = examine(version(kind, facts), where="versions.geojsons record 17")
    assert problem is not None
    assert problem.where.startswith(f"versions.geojsons record 17, {place}")
    assert problem.fix.startswith("It is set aside. ")
    assert problem.record == LOT


@pytest.mark.parametrize("change", [{"material": "moon-dust"}, {"part": "root"}, {"ripeness": "glowing"},
                                    {"condition": "wet"}, {"gross": {"value": "3", "unit": "pood"}}])
def test_what_only_a_newer_program_knows_waits_for_it(change):
    """A key that is not in this program's tables may be in those of the next."""
    assert "Update this program" in examine(version("lot", {**GOOD["lot"], **change})).fix


def test_cloth_in_words_of_a_newer_program_waits_for_it():
    """An item that is not understood here may be understood by the next program."""
    assert "Update this program" in examine(version("cloth", {**GOOD["cloth"], "items": ["nettle 3 kg"]})).fix


@pytest.mark.parametrize("hlc", [f"{1_791_900_000_000:013d}-0000-{'b' * 16}", f"١{791_900_000_000:012d}-0000-{ME}"])
def test_a_stamp_of_another_device_is_a_fault(hlc):
    """A stamp names the device that the version names, in plain digits."""
    assert "hlc" in examine(version("lot", GOOD["lot"], hlc=hlc)).where


@pytest.mark.parametrize("ms", [0, 1_476_000_000_000, 2_107_000_000_000, 9_999_999_999_999])
def test_a_clock_that_is_years_off_is_no_reason(ms):
    """A record is kept whatever the clock of its device showed."""
    assert examine(version("lot", GOOD["lot"], hlc=f"{ms:013d}-ffff-{ME}")) is None


def test_a_version_that_is_too_large_is_refused():
    """One too long, with too long a text, or nested too deep is named with its size."""
    deep = {"moon": {"a": {"b": {"c": {"d": {"e": {"f": {"g": "h"}}}}}}}}
    for facts, words in (({"note": "a" * 4001}, "4,001 characters"), (deep, "more than 8 deep"),
                         ({"moon": ["a" * 3000] * 22}, "bytes long")):
        with pytest.raises(Refused) as refused:
            read(version("sundial", facts))
        assert words in str(refused.value)
    assert read(version("sundial", {"note": "a" * 4000})).facts["note"] == "a" * 4000


def test_limits_are_those_of_the_format():
    """64 KiB a record, 4,000 signs a text, 8 deep, a million records a file."""
    assert Limits(65_536, 4_000, 8, 1_000_000) == LIMITS


_MEMBERS = st.recursive(
    st.none() | st.booleans() | st.integers(-2**53 + 1, 2**53 - 1) | st.text(max_size=8)
    | st.sampled_from(["kg", "L", "14.2", "0", "-1", "weighed", "counted", "poured", WHEN, LOT, "hull"]),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.sampled_from(["value", "unit", "a"]), inner),
    max_leaves=6)


@st.composite
def _almost_good(draw):
    kind = draw(st.sampled_from(sorted(GOOD)))
    names = [*GOOD[kind], "note", "count", "pails", "pail", "fill", "tare", "mass", "nuts", "fix", "condition", "by",
             "parameter", "value", "unit", "low", "high", "before", "after", "dish", "liquor", "brix", "state", "test"]
    return version(kind, {**GOOD[kind], **draw(st.dictionaries(st.sampled_from(names), _MEMBERS, max_size=3))})


@given(_almost_good())
def test_what_passes_can_be_shown_and_added_up(one):
    """Whatever was changed in good facts, a version either is set aside with words or harms nothing that reads it."""
    problem = examine(one)
    if problem is not None:
        assert problem.what
        assert problem.fix
        return
    facts = dict(one.facts)
    thing = settle([one])
    if one.kind == "value":
        own = OwnRecords((OwnValue(thing.id, ValueFacts.model_validate(facts)),))
        assert own.values[0].facts.parameter in in_force(facts["material"], facts.get("site") or "", own).parameters
    if one.kind == "test":
        told = OwnTestFacts.model_validate(facts)
        own = OwnRecords(tests=(OwnTest(thing.id, told, "black-walnut", told.state or "fresh", SITE, told.lot or ""),))
        in_force("black-walnut", SITE, own, lot=LOT)
    if one.kind == "lot":
        lot = lot_now(thing, code="4K7Q", site=None)
        assert lot.net.low <= lot.net.high
        lot.gathered.astimezone(dt.UTC)
    elif one.kind in ("step", "draw"):
        steps = [Step("s", StepFacts.model_validate(facts), one.hlc)] if one.kind == "step" else []
        draws = [Draw("d", DrawFacts.model_validate(facts), one.hlc)] if one.kind == "draw" else []
        held = LotFacts.model_validate(GOOD["lot"])
        lot = lot_now(settle([version("lot", GOOD["lot"])]), code="4K7Q", site=None)
        assert live(held, lot.net, steps, draws).left.low >= 0
    elif one.kind == "look":
        assert look_words(LookFacts.model_validate(facts))
    elif one.kind == "cloth":
        assert cloth_now(thing).mass.central > 0
    elif one.kind == "site":
        assert SiteFacts.model_validate(facts).name.strip()
