"""How long a lot keeps as it stands now, after what was done with it."""

import datetime as dt

import pytest

from field_app.core.facts import DrawFacts, StepFacts
from field_app.core.keeping import use_by, use_by_now
from field_app.core.life import Draw, Step, live
from field_app.core.load import net_mass
from field_app.core.problems import Refused
from field_app.core.units import Measure
from tests.core.lots_for_tests import lot

GATHERED = dt.date(2026, 10, 8)


def now(facts, *steps, drawn=""):
    """The rule for a lot with these steps, each as (day of October, step, amount or nothing)."""
    done = []
    for number, (day, step, *amount) in enumerate(steps):
        told = {"mass": Measure(amount[0], "kg")} if amount else {}
        done.append(Step(f"urn:uuid:{number}", StepFacts(lot="urn:uuid:1", step=step,
                                                         at=f"2026-10-{day:02d}T15:00:00-02:00", **told), str(number)))
    draws = [Draw("urn:uuid:d", DrawFacts(lot="urn:uuid:1", amount=Measure(drawn, "kg"),
                                          at="2026-10-30T15:00:00-02:00"), "x")] if drawn else []
    return use_by_now(facts, live(facts, net_mass(facts), done, draws))


def days(found):
    return [(day - GATHERED).days for day in (found.earliest, found.latest)]


def test_untouched_it_keeps_as_it_was_gathered():
    """Nothing done, or only weighed: the rule of the tree holds, from the day it was gathered."""
    facts = lot(ripeness="fallen")
    assert now(facts) == use_by(facts)
    assert now(facts, (10, "weighed", "2.5")) == use_by(facts)


def test_under_water_it_is_weeks_from_the_soaking():
    """One to four weeks (common practice, no source), counted from the soaking and not from the tree."""
    found = now(lot(ripeness="fallen"), (12, "soaked"))
    assert days(found) == [4 + 7, 4 + 28]
    assert found.reason.mark == "practice"


def test_dried_it_keeps():
    """Dried hull keeps while it is dry, also if it was under water before, and weighed after."""
    found = now(lot(ripeness="fallen"), (9, "soaked"), (14, "dried", "0.5"), (20, "weighed", "0.5"))
    assert found.keeps
    assert (found.earliest, found.latest) == (None, None)


@pytest.mark.parametrize("step", ["boiled", "strained"])
def test_liquor_is_good_for_one_to_three_weeks(step):
    """Cool, one to three weeks; warm, three to seven days; frozen, a year (common practice, no source)."""
    found = now(lot(ripeness="fallen"), (12, step))
    assert days(found) == [4 + 7, 4 + 21]
    assert "three to seven days" in found.words
    assert "a year" in found.advice
    assert found.reason.source == "common practice, no source"


def test_liquor_is_counted_from_when_it_first_was_one():
    """Boiled on one day and strained on another: the older day counts; water that was topped up counts as soaked
    from the first day; but what is soaked anew after drying starts anew."""
    facts = lot(ripeness="fallen")
    assert days(now(facts, (12, "boiled"), (14, "strained"))) == [4 + 7, 4 + 21]
    assert days(now(facts, (9, "soaked"), (15, "soaked"))) == [1 + 7, 1 + 28]
    assert days(now(facts, (9, "soaked"), (12, "dried"), (20, "soaked"))) == [12 + 7, 12 + 28]


def test_bark_under_water_has_no_figure_but_its_liquor_has():
    """Nobody has told how long soaked bark keeps, so none is made up; liquor is liquor."""
    bark = lot(material="oak-bark", part="bark")
    found = now(bark, (12, "soaked"))
    assert (found.earliest, found.keeps) == (None, False)
    assert days(now(bark, (12, "strained"))) == [4 + 7, 4 + 21]


def test_of_nothing_there_is_nothing_to_keep():
    """Spent, spoiled and used up lots have no day."""
    facts = lot(ripeness="fallen")
    assert now(facts, (12, "spent")) is None
    assert now(facts, (12, "spoiled")) is None
    assert now(facts, drawn="3") is None
    assert now(facts, drawn="2.9") is not None


def test_a_guess_that_may_leave_something_keeps_its_day():
    """Counted fruit of which the likely amount was drawn may still be there, so it isn't forgotten."""
    counted = lot(part="whole-fruit", basis="counted", count=100, ripeness="fallen")
    net = net_mass(counted)
    found = now(counted, drawn=f"{net.central:.3f}")
    assert found == use_by(counted)


def test_stuff_that_is_not_known_is_refused():
    """As for the lot at the tree, the rule names what it doesn't know."""
    facts = lot(ripeness="fallen")
    life = live(facts, net_mass(facts))
    with pytest.raises(Refused):
        use_by_now(facts.model_copy(update={"material": "moon-bark"}), life)
