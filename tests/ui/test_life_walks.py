"""What becomes of a lot, in the corners: loads of every kind corrected, a full disk, a guess drawn to its end."""

import pytest

from field_app.core.deeds import DrawForm, StepForm
from field_app.core.positions import Fix, Position
from field_app.ui.lot_draw import DrawTyped, after_draw
from field_app.ui.lot_step import StepTyped, after_step
from field_app.ui.windfall_form import from_lot, to_form
from tests.ui.fieldwork import DAY, FieldBag, play

#: Words of the workshop that no screen may say.
_OURS = ("conflict", "merge", "entity", "version", "sync", "basis", "rival", "urn:uuid", "ni:///")


@pytest.fixture
def bag(tmp_path):
    bag = FieldBag(tmp_path)
    yield bag
    bag.book.close()


@pytest.fixture
def lot(bag):
    return bag.lot(bag.tree("Mill lane"), days_ago=2)


@pytest.mark.parametrize("load", [
    {"gross": "9 lb 6 oz", "tare": "12 oz", "unit": "lb", "material": "english-walnut", "part": "hull"},
    {"gross": "14,2", "tare": "850 g", "note": "the third tree, by the gate"},
    {"gross": "", "tare": "", "count": "212"},
    {"gross": "", "tare": "", "pails": "2.5", "pail": "3 gal-us", "fill": "0.9"},
    {"material": "acorn-cups", "part": "cup", "ripeness": "", "condition": "air-dry"},
    {"condition": "soaked", "ripeness": "browned", "gathered": "2026-10-05T17:05:33-02:00"},
    {"position": Fix(Position(44.01234, -28.00567), "device", 5.0, "95 %")},
    {"position": Fix(Position(44.01234, -28.00567), "typed")}])
def test_correcting_nothing_changes_nothing(bag, load):
    """A load of any kind, opened to be corrected and kept as it is, says the same, to the second and the ounce."""
    before = bag.lot(bag.tree("Mill lane", position="44.0, -28.0"), **load)
    after = bag.book.correct(before.id, to_form(from_lot(before)))
    assert after.facts == before.facts
    assert (after.position, after.position_is_site) == (before.position, before.position_is_site)


@pytest.mark.parametrize("typed", [
    StepTyped("weighed", "9.4"), StepTyped("weighed", "9 lb 6 oz", "lb", nuts="2"), StepTyped("strained", "12", "L"),
    StepTyped("strained", "3", "gal-us"), StepTyped("dried"), StepTyped("spent", "4"),
    StepTyped("soaked", earlier=True, day="2026-10-07", time="09:00")])
def test_a_step_is_shown_as_it_will_be(bag, lot, typed):
    """The figure below the field is the one that the book works out once the step is kept."""
    shown = after_step(lot, typed.form(), DAY)
    kept = bag.book.step(lot.id, typed.form()).life
    assert (shown.state, shown.left, shown.nuts_kg) == (kept.state, kept.left, kept.nuts_kg)


@pytest.mark.parametrize("typed", [
    DrawTyped("3.5"), DrawTyped("1 lb 4 oz", "lb"), DrawTyped("13,1", by="the dye house"),
    DrawTyped("500", "g", earlier=True, day="2026-10-07", time="09:00")])
def test_a_draw_is_shown_as_it_will_be(bag, lot, typed):
    """So is what is left after a draw."""
    shown = after_draw(lot, typed.form(), DAY)
    assert shown.left == bag.book.draw(lot.id, typed.form()).life.left


def test_of_a_guess_as_much_may_be_taken_as_it_may_be(bag):
    """What was only counted may be more than is likely: up to its high end it can be taken, and is no overdraft."""
    counted = bag.lot(bag.tree("Mill lane"), gross="", tare="", count="212")

    async def walk():
        d = await bag.open(f"/lots/{counted.code}/draw")
        await d.type("amount", f"{(counted.net.central + counted.net.high) / 2:.2f}")
        await d.tap("draw-save")
        life = bag.book.lot(counted.id).life
        assert (life.left.central, life.overdraft) == (0.0, 0.0)
        assert life.left.high > 0
        d.check_alive()
    play(walk)


def test_a_full_disk_loses_nothing_that_was_typed(bag, lot):
    """It is said that there is no room, the form stays, and the same tap works once there is."""
    async def walk():
        d = await bag.open(f"/lots/{lot.code}/step")
        kept = 0
        bag.room(False)
        for _ in range(12):  # what is free inside the file may still take a few
            await d.tap("step-weighed")
            await d.type("amount", "9")
            await d.tap("note-fold")
            await d.type("note", "x" * 1999)
            await d.tap("step-save")
            if d.find("elsewhere"):
                break
            kept += 1
            await d.go(f"/lots/{lot.code}/step")
        assert d.find("elsewhere")
        assert (d.one("amount").value, len(d.one("note").value)) == ("9", 1999)
        assert len(bag.book.lot(lot.id).life.steps) == kept
        bag.room(True)
        await d.tap("step-save")
        assert len(bag.book.lot(lot.id).life.steps) == kept + 1
        d.check_alive()
    play(walk)


def test_no_word_of_the_workshop_is_on_the_screens(bag, lot):
    """The lot, its history, the step, the draw and the correction speak as a dyer does."""
    bag.book.step(lot.id, StepForm("strained", volume="28"))
    bag.book.draw(lot.id, DrawForm("3 L", by="the dye house"))
    bag.book.undo()
    bag.book.withdraw(lot.id)
    bag.book.undo()

    async def walk():
        d = await bag.open("/lots")
        for route in ("", "/history", "/step", "/draw", "/correct"):
            await d.go(f"/lots/{lot.code}{route}")
            said = d.text().casefold()
            assert not [word for word in _OURS if word in said], route
        d.check_alive()
    play(walk)
