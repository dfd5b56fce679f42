"""Next step: what was done with a lot."""

import pytest

from field_app.core.deeds import STEPS, StepForm
from field_app.core.units import show_range
from field_app.ui.life_words import MEANS, STEP_WORDS
from field_app.ui.lot_step import StepTyped, after_step
from tests.ui.fieldwork import DAY, FieldBag, on_screen, play
from tests.ui.windfall_walk import weigh


@pytest.fixture
def bag(tmp_path):
    bag = FieldBag(tmp_path)
    yield bag
    bag.book.close()


@pytest.fixture
def lot(bag):
    return bag.lot(bag.tree("Mill lane"))


def test_every_step_has_its_words():
    """Each step that the book knows can be chosen, and says in one line what it means."""
    assert set(STEP_WORDS) == set(MEANS) == set(STEPS)


def test_dried_and_weighed_on_the_keypad(bag, lot):
    """What is left then changes while one types; kept, the lot is dried and weighs what was typed."""
    async def walk():
        d = await bag.open(f"/lots/{lot.code}/step")
        await d.tap("step-dried")
        assert MEANS["dried"] in d.texts()
        assert d.said("left-then") == show_range(lot.life.left)
        await weigh(d, "2.1")
        assert d.said("left-then").startswith("2.1 kg (")
        await d.tap("step-save")
        assert d.routes()[-1] == f"/lots/{lot.code}"
        assert d.title() == "2.1 kg of dried whole black walnuts"
        life = bag.book.lot(lot.id).life
        assert (life.state, life.left.central) == ("dried", pytest.approx(2.1))
        await d.tap("undo")
        assert bag.book.lot(lot.id).life.state == "gathered"
        d.check_alive()
    play(walk)


def test_strained_asks_for_litres_and_boiled_for_either(bag, lot):
    """The unit goes with the step; gallons become litres by the book's own reading."""
    async def walk():
        d = await bag.open(f"/lots/{lot.code}/step")
        await d.tap("step-strained")
        await d.tap("unit")
        assert "unit-kg" not in on_screen(d)
        await d.tap("unit-gal-us")
        await weigh(d, "3")
        await d.tap("step-boiled")
        await d.tap("unit")
        assert {"unit-kg", "unit-L"} <= set(d.keys())
        await d.tap("unit-gal-us")
        await d.tap("step-save")
        life = bag.book.lot(lot.id).life
        assert life.steps[-1].facts.volume.typed in ("", "3 US gal")
        assert (life.state, life.left.unit, round(life.left.central, 2)) == ("boiled", "L", 11.36)
        d.check_alive()
    play(walk)


def test_nuts_are_kept_beside(bag, lot):
    """Of whole fruit the nuts kept for food are asked for, by the keypad too; of bark they are not."""
    bark = bag.lot(lot.facts.site, material="oak-bark", part="bark", ripeness="")

    async def walk():
        d = await bag.open(f"/lots/{lot.code}/step")
        await d.tap("step-weighed")
        await weigh(d, "8")
        await d.fire(d.one("nuts"), "focus")
        await weigh(d, "4,2")
        assert d.one("amount").value == "8"
        await d.tap("step-save")
        assert bag.book.lot(lot.id).life.nuts_kg == pytest.approx(4.2)
        await d.go(f"/lots/{bark.code}/step")
        assert "nuts" not in on_screen(d)
        d.check_alive()
    play(walk)


def test_a_refusal_stays_beside_its_field_and_nothing_typed_is_lost(bag, lot):
    """Weighed again without a weight, at a time to come: both are told, all texts stay, also over a step back."""
    async def walk():
        d = await bag.open(f"/lots/{lot.code}/step")
        await d.tap("step-weighed")
        await d.tap("when")
        await d.tap("when-earlier")
        await d.type("day", "2027-01-01")
        await d.tap("note-fold")
        await d.type("note", "in the loft")
        await d.tap("step-save")
        assert bag.book.lot(lot.id).life.steps == ()
        assert d.one("not-kept").value == "Not kept yet. To mend: when" or "what it weighs" in d.one("not-kept").value
        await d.type("day", "2026-10-08")
        await d.type("time", "14:00")
        await d.tap("step-save")
        assert "What it weighs now is not given. Type what the scale shows, less the pail." in d.texts()
        await d.back()
        await d.go(f"/lots/{lot.code}/step")
        assert "in the loft" in d.texts()
        await d.type("amount", "9.6")
        await d.tap("step-save")
        (step,) = bag.book.lot(lot.id).life.steps
        assert (step.facts.note, step.facts.at) == ("in the loft", "2026-10-08T14:00:00-02:00")
        d.check_alive()
    play(walk)


def test_spent_asks_for_nothing(bag, lot):
    """Spent and spoiled have no amount to give, and end the lot."""
    async def walk():
        d = await bag.open(f"/lots/{lot.code}/step")
        await d.tap("step-spent")
        assert "amount" not in on_screen(d)
        assert MEANS["spent"] in d.texts()
        await d.tap("step-save")
        assert bag.book.lot(lot.id).life.ended
        await d.go(f"/lots/{lot.code}/step")
        await d.tap("step-dried")
        await d.tap("step-save")
        assert "The lot is spent already" in d.text()
        d.check_alive()
    play(walk)


def test_what_would_be_is_what_will_be(bag, lot):
    """The figure shown while one types is that of the book once it is kept."""
    form = StepTyped("soaked", "12.5", "lb").form()
    would = after_step(lot, form, DAY)
    assert would.left == bag.book.step(lot.id, form).life.left
    assert after_step(lot, StepForm("dried", mass="abc"), DAY) is None
