"""Back at the shed: each step is one tap from its lot, and each draw says what was left after it."""

import pytest

from field_app.core.deeds import DrawForm, StepForm
from field_app.core.life import left_after
from tests.ui.fieldwork import FieldBag, on_screen, play


@pytest.fixture
def bag(tmp_path):
    bag = FieldBag(tmp_path)
    yield bag
    bag.book.close()


@pytest.mark.parametrize(("done", "offered"), [
    ((), ["soaked", "boiled", "dried"]), (("soaked",), ["boiled", "weighed", "dried"]),
    (("dried",), ["weighed", "soaked", "boiled"]), (("soaked", "boiled"), ["strained", "boiled"]),
    (("boiled", "strained"), ["strained", "boiled"]), (("spent",), [])])
def test_the_steps_that_make_sense_now_are_offered(bag, done, offered):
    """The most usual comes first, and of a lot that has ended none is offered."""
    lot = bag.lot(bag.tree("Mill lane"))
    for step in done:
        bag.book.step(lot.id, StepForm(step, volume="30" if step == "strained" else ""))

    async def walk():
        d = await bag.open(f"/lots/{lot.code}")
        assert [key.removeprefix("lot-did-") for key in on_screen(d) if key.startswith("lot-did-")] == offered
        d.check_alive()
    play(walk)


@pytest.mark.parametrize(("liquor", "offered"), [(False, "weighed"), (True, "strained")])
def test_of_a_lot_that_is_used_up_only_measuring_is_offered(bag, liquor, offered):
    """What is not there can't be boiled or dried; it can be measured again, if there is more after all."""
    lot = bag.lot(bag.tree("Mill lane"))
    bag.book.step(lot.id, StepForm("strained", volume="10") if liquor else StepForm("weighed", mass="5 kg"))
    bag.book.draw(lot.id, DrawForm("10 L" if liquor else "5 kg"))

    async def walk():
        d = await bag.open(f"/lots/{lot.code}")
        assert [key for key in on_screen(d) if key.startswith("lot-did-")] == [f"lot-did-{offered}"]
        d.check_alive()
    play(walk)


def test_a_step_is_two_taps_from_the_list(bag):
    """The lot, then the step: its form is there with the step chosen, and saving leads back to the lot."""
    lot = bag.lot(bag.tree("Mill lane"))

    async def walk():
        d = await bag.open("/lots")
        await d.tap(f"lot-{lot.code}")
        await d.tap("lot-did-dried")
        assert d.routes()[-1] == f"/lots/{lot.code}/step"
        await d.tap("step-save")
        assert bag.book.lot(lot.code).life.state == "dried"
        assert d.find("undo")
        d.check_alive()
    play(walk)


def test_each_draw_says_what_was_left_after_it(bag):
    """One after the other, and a weighing in between counts from there on."""
    lot = bag.lot(bag.tree("Mill lane"), days_ago=2)
    for day, (draw, weighed) in enumerate((("3 kg", ""), ("2 kg", "9 kg")), 7):
        if weighed:
            bag.book.step(lot.id, StepForm("weighed", mass=weighed, at=f"2026-10-0{day} 08:00"))
        bag.book.draw(lot.id, DrawForm(draw, at=f"2026-10-0{day} 10:00"))
    lot = bag.book.lot(lot.code)
    left = [left_after(lot.facts, lot.net, lot.life, draw).central for draw in lot.life.draws]
    assert left == pytest.approx([10.1, 7.0])

    async def walk():
        d = await bag.open(f"/lots/{lot.code}")
        told = [text for text in d.texts() if text.startswith("left then: ")]
        assert [text.removeprefix("left then: ").partition(" ")[0] for text in told] == ["7.0", "10.1"]
        d.check_alive()
    play(walk)
