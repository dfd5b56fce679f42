"""From what a person typed to records, or to every reason why not."""

import datetime as dt
import itertools

import pytest
from hypothesis import given
from hypothesis import strategies as st

from field_app.core.facts import LotFacts
from field_app.core.forms import LeaveForm, SiteForm, Situation, WindfallForm
from field_app.core.gather import decide_leave, decide_site, decide_windfall
from field_app.core.load import net_mass
from field_app.core.measures import offered, to_unit
from field_app.core.positions import Fix, Position
from field_app.core.records import Version, settle
from field_app.core.sites import leave_on, site_now

NOW = dt.datetime.fromisoformat("2026-10-08T15:24:00-02:00")


def situation(*sites):
    numbers = itertools.count(1)
    return Situation(sites, NOW, lambda: f"urn:uuid:00000000-0000-7000-8000-{next(numbers):012x}")


def settled(drafts):
    """The things that drafts make, as a store would hold them."""
    stamp = "0000000000010-0000-00000000000000aa"
    return [settle([Version(thing=d.thing, kind=d.kind, facts=d.facts, hlc=stamp, device=stamp[-16:], seq=n,
                            position=d.position, parents=d.parents)]) for n, d in enumerate(drafts, 1)]


def a_site(name="Mill lane", **more):
    things = {t.kind: t for t in settled(decide_site(SiteForm(name, **more), situation()).unless_refused().drafts)}
    return site_now(things["site"], things.get("leave"))


def form(**more):
    facts = {"site": "mill lane", "material": "black-walnut", "part": "whole-fruit", "ripeness": "fallen"}
    if not {"gross", "count", "pails"} & set(more):
        facts |= {"gross": "14,2 kg", "tare": "1.1"}
    return WindfallForm(**facts | more)


def places(decision):
    return [problem.where for problem in decision.problems]


def test_what_was_typed_is_kept():
    """The lot keeps the amounts as typed, with a point, and its time with the offset that the person saw."""
    site = a_site()
    decision = decide_windfall(form(note=" by the gate "), situation(site)).unless_refused()
    lot = decision.drafts[-1]
    assert lot.facts["gross"] == {"value": "14.2", "unit": "kg", "typed": "14,2 kg"}
    assert lot.facts["tare"] == {"value": "1.1", "unit": "kg"}
    assert lot.facts["gathered"] == "2026-10-08T15:24:00-02:00"
    assert lot.facts["site"] == site.id
    assert lot.facts["note"] == "by the gate"
    assert net_mass(LotFacts.model_validate(lot.facts)).central == pytest.approx(13.1)


@pytest.mark.parametrize(("change", "where", "words"), [
    ({"gross": "-3"}, "gross", "-3"),
    ({"gross": "1501 kg"}, "gross", "more than one lot"),
    ({"gross": "2,5 t"}, "gross", "more than one lot"),
    ({"gross": "12 F"}, "gross", "12 F"),
    ({"gross": "0"}, "gross", "nothing"),
    ({"gross": "2", "tare": "3"}, "tare", "not less than the gross"),
    ({"gross": "2", "tare": "2"}, "tare", "not less than the gross"),
    ({"gross": "", "tare": "1"}, "gross", "not given"),
    ({"gross": "2", "count": "5"}, "count", "both gross and count"),
    ({"count": "0"}, "count", "whole number"),
    ({"count": "2.5"}, "count", "whole number"),
    ({"count": "many"}, "count", "many"),
    ({"count": "100001"}, "count", "whole number"),
    ({"pails": "2"}, "pail", "missing"),
    ({"pails": "2", "pail": "2 kg"}, "pail", "2 kg"),
    ({"pails": "501", "pail": "12 L"}, "pails", "more than one lot"),
    ({"pails": "2", "pail": "12 L", "fill": "140 %"}, "fill", "share"),
    ({"pails": "0", "pail": "12 L"}, "pails", "nothing"),
    ({"gathered": "2026-10-08 15:40"}, "gathered", "still to come"),
    ({"gathered": "1899-12-31"}, "gathered", "before 1900"),
    ({"gathered": "2026-02-30"}, "gathered", "exists"),
    ({"gathered": "yesterday"}, "gathered", "yesterday"),
    ({"position": "95, 10"}, "position", "95"),
    ({"position": "here"}, "position", "here"),
    ({"site": "Weir"}, "site", "Weir"),
    ({"site": ""}, "site", "not given"),
    ({"material": "walnut"}, "material", "walnut"),
    ({"part": "bark"}, "part", "bark"),
    ({"ripeness": "purple"}, "ripeness", "purple"),
    ({"material": "alder-bark", "part": "bark", "wood": "felled"}, "ripeness", "no ripeness"),
    ({"material": "alder-bark", "part": "bark", "ripeness": "", "count": "3", "wood": "pruned"}, "count",
     "can't be counted"),
    ({"material": "alder-bark", "part": "bark", "ripeness": ""}, "wood", "is not told"),
    ({"material": "alder-bark", "part": "bark", "ripeness": "", "wood": "standing"}, "wood", "kills the tree"),
    ({"material": "alder-bark", "part": "bark", "ripeness": "", "wood": "drift"}, "wood", "not known"),
    ({"wood": "felled"}, "wood", "of bark alone"),
    ({"condition": "wet"}, "condition", "wet"),
    ({"note": "x" * 2001}, "note", "2001"),
    ({"note": "a\x00b"}, "note", "can't be shown"),
    ({"leave": LeaveForm("maybe")}, "leave", "maybe"),
    ({"leave": LeaveForm("given", until="soon")}, "leave until", "soon"),
    ({"leave": LeaveForm("given", limit="20 L")}, "leave limit", "20 L"),
])
def test_each_fault_is_named_with_what_was_met(change, where, words):
    """A form with one fault is refused for that fault alone, by its field, with what was met; nothing is made."""
    decision = decide_windfall(form(**change), situation(a_site()))
    assert places(decision) == [where]
    assert words in str(decision.problems[0])
    assert decision.problems[0].fix
    assert decision.drafts == ()


def test_all_faults_at_once():
    """Five faults are told in one go, so that a person mends them in one go."""
    decision = decide_windfall(form(site="Weir", part="bark", gross="2", tare="3", gathered="2027-01-01",
                                    position="95, 10"), situation(a_site()))
    assert sorted(places(decision)) == ["gathered", "part", "position", "site", "tare"]


def test_a_new_site_in_place():
    """A new place, its leave and the lot are made together, the lot last."""
    new = SiteForm("Weir", position=Fix(Position(44.0, -28.0), "device", 5.04, "95 %"))
    decision = decide_windfall(form(site="", new_site=new, leave=LeaveForm("given", by="the miller")),
                               situation(a_site())).unless_refused()
    assert [draft.kind for draft in decision.drafts] == ["site", "leave", "lot"]
    site, leave, lot = decision.drafts
    assert site.position == (44.0, -28.0)
    assert site.facts["fix"] == {"source": "device", "accuracy": "5", "meaning": "95 %"}
    assert leave.facts["site"] == lot.facts["site"] == site.thing


def test_a_name_twice_is_refused_however_it_is_written():
    """A name that differs in case or spaces alone is the same name."""
    assert places(decide_site(SiteForm("  MILL  lane"), situation(a_site()))) == ["name"]
    assert places(decide_site(SiteForm("  "), situation())) == ["name"]


def test_leave_told_again_follows_what_was_told():
    """Leave at one site is one thing: what is told later replaces what was told before."""
    site = a_site(leave=LeaveForm("not-asked"))
    (draft,) = decide_leave(LeaveForm("given", by="the miller", until="2026-10-31", limit="20"), site,
                            situation(site)).unless_refused().drafts
    assert draft.thing == site.leave_id
    assert draft.parents == site.leave_heads
    assert draft.facts["limit"] == {"value": "20", "unit": "kg"}


@pytest.mark.parametrize(("day", "state"), [("2026-10-31", "given"), ("2026-11-01", "expired")])
def test_leave_holds_through_its_last_day(day, state):
    """A date that was agreed includes that day itself."""
    site = a_site(leave=LeaveForm("given", until="2026-10-31"))
    assert leave_on(site.leave, dt.date.fromisoformat(day)) == state


@given(st.decimals("0.01", "1000", places=3), st.sampled_from(offered("mass")))
def test_a_net_mass_round_trips_through_every_unit(kilograms, unit):
    """Any net mass, typed in any unit offered, is the same mass in kilograms again."""
    typed = format(to_unit(float(kilograms), unit), ".12f")
    decision = decide_windfall(form(gross=typed[:38], tare="", unit=unit), situation(a_site())).unless_refused()
    net = net_mass(LotFacts.model_validate(decision.drafts[-1].facts))
    assert net.central == pytest.approx(float(kilograms), rel=1e-9, abs=1e-9)


@given(st.text(max_size=30), st.text(max_size=12))
def test_no_text_breaks_a_form(text, amount):
    """Whatever is typed, a form gives records or problems, never both and never anything else."""
    decision = decide_windfall(form(gross=amount, note=text, gathered=text, position=text, pail=text),
                               situation(a_site()))
    assert bool(decision.drafts) != bool(decision.problems)
