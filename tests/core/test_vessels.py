"""Pots and pails: read as typed, reckoned with as pots, with the caution of what they are made of."""

import datetime as dt
import math

import pytest

from field_app.core.forms import Situation
from field_app.core.records import Thing
from field_app.core.vessels import MADE_OF, VesselFacts, VesselForm, decide_vessel, vessel_fault, vessel_now

NEW = "urn:uuid:0199c3a4-7b1e-7d2f-9a41-5e0c77cc0001"
SITUATION = Situation((), dt.datetime.fromisoformat("2026-10-08T15:24:00-02:00"), lambda: NEW)
FORM = {"name": "big enamel", "volume": "40 L", "diameter": "38 cm", "tare": "2.4 kg", "made_of": "enamel"}


def decided(owned=(), corrects=None, **more):
    return decide_vessel(VesselForm(**FORM | more), SITUATION, owned, corrects)


def made(**more):
    (draft,) = decided(**more).drafts
    return vessel_now(Thing(draft.thing, "vessel", draft.facts, None, ("ni:///a",), "", "", "", deleted=False))


def test_a_pot_is_kept_as_it_was_typed():
    """Amounts keep their units; sizes are worked out from them."""
    pot = made(volume="10 gal", diameter="15 in", gallons="imperial")
    assert (pot.facts.volume.unit, pot.facts.diameter.unit) == ("gal-imp", "in")
    assert (pot.litres, pot.diameter) == pytest.approx((45.4609, 0.381))
    assert (made(volume="12", diameter="30", tare="1,1").diameter, made(tare="1,1").facts.tare.si) == (0.30, 1.1)


def test_a_pot_is_reckoned_with_by_volume_and_surface():
    """A round pot has the surface of its width; one told by its surface is taken as a round one of that surface."""
    assert made().as_pot().surface == pytest.approx(math.pi * 0.19**2)
    assert made(diameter="", surface="0.12 m²").as_pot().surface == pytest.approx(0.12)
    assert made(diameter="", surface="1200 cm2").facts.surface == "0.12"
    # As deep as it is wide, 40 L are 37 cm wide.
    assert made(diameter="").as_pot().diameter == pytest.approx(0.3706, abs=1e-4)
    assert made().as_pot().name == "big enamel"


def test_cautions_go_with_what_it_is_made_of():
    """Iron, copper and aluminium each say what they do; no pot goes back to food."""
    assert [bool(make.caution) for key, make in MADE_OF.items() if key in ("iron", "copper", "aluminium")] == [True] * 3
    assert made(made_of="copper").cautions[0].startswith("Copper changes the colour")
    assert "never used for food again" in made().cautions[-1]
    assert made(vessel="pail", made_of="stainless").cautions == ()


def test_a_name_is_taken_once():
    """Two vessels can't be called the same; one may keep its own name when it is told anew."""
    pot = made()
    (problem,) = decided((pot,), name="Big  Enamel").problems
    assert (problem.where, problem.what) == ("name", "there is one named 'Big Enamel' already")
    (draft,) = decided((pot,), pot, volume="41 L").drafts
    assert (draft.thing, draft.parents) == (pot.id, pot.heads)


@pytest.mark.parametrize(("typed", "where"), [
    ({"name": " "}, "name"), ({"vessel": "tub"}, "kind"), ({"made_of": "gold"}, "made of"), ({"volume": ""}, "volume"),
    ({"volume": "0"}, "volume"), ({"volume": "9000 L"}, "volume"), ({"volume": "40 kg"}, "volume"),
    ({"diameter": "380 cm"}, "diameter"), ({"diameter": "much"}, "diameter"), ({"tare": "900 kg"}, "tare"),
    ({"surface": "0.1"}, "surface"), ({"diameter": "", "surface": "m²"}, "surface"),
    ({"diameter": "", "surface": "70 m²"}, "surface"), ({"note": "x" * 2001}, "note")])
def test_what_no_pot_is_like_is_refused(typed, where):
    """A size that no vessel has, a unit of another kind, a missing name: told at its field."""
    found = decided(**typed)
    assert not found.drafts
    assert where in [problem.where for problem in found.problems]


def test_facts_from_elsewhere_are_looked_at_too():
    """A vessel of another device must have a name on one line, and the size of a vessel."""
    facts = VesselFacts.model_validate(dict(decided().drafts[0].facts))
    assert vessel_fault(facts) is None
    for change in ({"name": "a\nb"}, {"surface": "wide"}, {"surface": "80"}):
        assert vessel_fault(facts.model_copy(update=change)) is not None
