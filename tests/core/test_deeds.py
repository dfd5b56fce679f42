"""The life of a lot after it was gathered."""

import datetime as dt
import itertools

import pytest
from hypothesis import given
from hypothesis import strategies as st

from field_app.core.deeds import DrawForm, StepForm, decide_draw, decide_step, draw_id
from field_app.core.estimate import Range
from field_app.core.facts import DrawFacts, LotFacts, StepFacts
from field_app.core.forms import Situation
from field_app.core.life import Draw, Step, live
from field_app.core.load import net_mass
from field_app.core.measures import Measure

NOW = dt.datetime.fromisoformat("2026-10-08T15:24:00-02:00")
LOT = "urn:uuid:00000000-0000-7000-8000-00000000000a"
FACTS = LotFacts(site="urn:uuid:00000000-0000-7000-8000-000000000001", material="black-walnut", part="whole-fruit",
                 basis="weighed", gross=Measure("14.2", "kg"), tare=Measure("1.1", "kg"),
                 gathered="2026-10-01T10:00:00-02:00")
COUNTED = FACTS.model_copy(update={"basis": "counted", "gross": None, "tare": None, "count": 100})


def step(kind, day, mass=None, volume=None, nuts=None):
    facts = StepFacts(lot=LOT, step=kind, at=f"2026-10-{day:02d}T12:00:00-02:00",
                      mass=mass and Measure(str(mass), "kg"), volume=volume and Measure(str(volume), "L"),
                      nuts=nuts and Measure(str(nuts), "kg"))
    return Step(f"s{kind}{day}", facts, f"{day:013d}-0000-00000000000000aa")


def draw(amount, day, unit="kg", key=None):
    facts = DrawFacts(lot=LOT, amount=Measure(str(amount), unit), at=f"2026-10-{day:02d}T13:00:00-02:00")
    return Draw(key or f"d{amount}{day}", facts, f"{day:013d}-0000-00000000000000aa")


def life(steps=(), draws=(), facts=FACTS):
    return live(facts, net_mass(facts), steps, draws)


def situation():
    numbers = itertools.count(1)
    return Situation((), NOW, lambda: f"urn:uuid:00000000-0000-7000-8000-{next(numbers):012x}")


def test_what_is_left_is_net_less_draws():
    """Of 13.1 kg, after draws of 3 and 4 kg, 6.1 kg are left."""
    now = life(draws=[draw(3, 2), draw(4, 3)])
    assert now.left.central == pytest.approx(6.1)
    assert now.overdraft == 0
    assert now.state == "gathered"


def test_a_weighing_starts_anew():
    """What is weighed later holds from then on, with the draws before it in it already."""
    now = life([step("dried", 5, mass=2.2)], [draw(3, 2), draw(0.5, 6)])
    assert now.state == "dried"
    assert now.left.central == pytest.approx(1.7)


def test_liquor_is_measured_in_litres():
    """After straining, what is left is a volume, and a draw of kilograms is shown as a misfit, not taken off."""
    now = life([step("strained", 5, volume=28)], [draw(10, 6, "L"), draw(1, 6)])
    assert (now.left.unit, now.left.central) == ("L", pytest.approx(18))
    assert [misfit.facts.amount.unit for misfit in now.misfits] == ["kg"]


def test_draws_of_two_people_may_come_to_an_overdraft():
    """Draws made apart add up; what goes beyond is shown, and nothing is left."""
    now = life(draws=[draw(8, 2), draw(7, 3)])
    assert now.left.high == 0
    assert now.overdraft == pytest.approx(15 - 13.1)


@pytest.mark.parametrize("end", ["spent", "spoiled"])
def test_an_ended_lot_has_nothing_left(end):
    """Spent or spoiled, a lot gives nothing more, and says so."""
    now = life([step(end, 6)])
    assert now.ended
    assert now.left.high == 0
    decision = decide_draw(DrawForm("1"), LOT, now, situation())
    assert [problem.where for problem in decision.problems] == ["lot"]


def test_nuts_are_a_mass_of_their_own():
    """Nuts kept for food are added up beside the lot and change nothing of what is left."""
    now = life([step("weighed", 3, mass=8, nuts=3), step("dried", 6, nuts=0.5)])
    assert now.nuts_kg == pytest.approx(3.5)
    assert now.left.central == pytest.approx(8)


@given(st.permutations([step("weighed", 3, mass=10), step("soaked", 4), step("boiled", 5, volume=30)]),
       st.permutations([draw(1, 2), draw(2, 4), draw(5, 6, "L")]))
def test_order_of_arrival_plays_no_part(steps, draws):
    """Steps and draws give the same life in whatever order they arrive."""
    assert life(steps, draws) == life(sorted(steps, key=lambda s: s.at), sorted(draws, key=lambda d: d.at))


def test_more_than_is_left_is_refused_with_what_is_left():
    """A weighed lot gives no more than was weighed; all of it may be drawn."""
    now = life(draws=[draw(8, 2)])
    refused = decide_draw(DrawForm("5,2 kg"), LOT, now, situation())
    assert [problem.where for problem in refused.problems] == ["amount"]
    assert "5.1 kg" in refused.problems[0].what
    allowed = decide_draw(DrawForm("5,1 kg", by="the dyer", purpose="test pot"), LOT, now, situation())
    assert allowed.drafts[0].facts["amount"] == {"value": "5.1", "unit": "kg", "typed": "5,1 kg"}


def test_a_guess_may_be_drawn_to_its_high_end():
    """A counted lot may hold more than its central value, so a draw up to its high end is believed."""
    net = net_mass(COUNTED)
    now = life(facts=COUNTED)
    assert not decide_draw(DrawForm(f"{net.high - 0.01:.2f}"), LOT, now, situation()).problems
    assert decide_draw(DrawForm(f"{net.high + 0.01:.2f}"), LOT, now, situation()).problems


@pytest.mark.parametrize(("typed", "where"), [("", "amount"), ("2 L", "amount"), ("-1", "amount"), ("0", "amount")])
def test_draws_that_make_no_sense(typed, where):
    """A draw of nothing, of less, or in litres from what is weighed is refused."""
    decision = decide_draw(DrawForm(typed), LOT, life(), situation())
    assert {problem.where for problem in decision.problems} == {where}


@pytest.mark.parametrize(("form", "where"), [
    (StepForm("cooked"), "step"), (StepForm("weighed"), "mass"), (StepForm("weighed", mass="-1"), "mass"),
    (StepForm("boiled", mass="1", volume="2"), "volume"), (StepForm("strained", volume="3 kg"), "volume"),
    (StepForm("dried", mass="1", at="2027-01-01"), "at")])
def test_steps_that_make_no_sense(form, where):
    """A step is refused for its one fault."""
    decision = decide_step(form, LOT, life(), situation())
    assert [problem.where for problem in decision.problems] == [where]


def test_a_planners_draw_has_one_name():
    """A planner's own id gives the same draw on every device, and another one another."""
    assert draw_id("7") == draw_id("7") != draw_id("8")


@given(st.lists(st.integers(1, 40), max_size=6))
def test_mass_in_is_mass_out(tenths):
    """Left and drawn make what there was, less what went beyond it."""
    now = life(draws=[draw(t / 10, 2, key=f"k{n}") for n, t in enumerate(tenths)])
    drawn = sum(tenths) / 10
    assert now.left.central + drawn - now.overdraft == pytest.approx(13.1)


def test_a_range_less_a_draw_stays_a_range():
    """Low, central and high all lose the draw, and none falls below nothing."""
    now = live(FACTS, Range(1, 2, 4, "kg"), (), [draw(1.5, 2)])
    assert (now.left.low, now.left.central, now.left.high) == (0, 0.5, 2.5)
