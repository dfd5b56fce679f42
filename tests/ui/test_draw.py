"""Take from it: how much, for what, by whom."""

import pytest

from field_app.core.deeds import DrawForm, StepForm
from field_app.ui.lot_draw import after_draw
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


def test_taking_changes_what_is_left_while_one_types(bag, lot):
    """The keypad writes the amount, what is left follows; kept, it is in the book with its purpose and person."""
    async def walk():
        d = await bag.open(f"/lots/{lot.code}")
        await d.tap("lot-take")
        assert d.said("left-then") == "–"
        assert "13.1 kg at most can be taken." in d.texts()
        await weigh(d, "3.5")
        assert d.said("left-then").startswith("9.6 kg (")
        await d.type("purpose", "shawl, medium brown")
        await d.type("by", "the dye house")
        await d.tap("draw-save")
        (draw,) = bag.book.lot(lot.id).life.draws
        assert (draw.facts.purpose, draw.facts.by, draw.facts.amount.si) == (
            "shawl, medium brown", "the dye house", pytest.approx(3.5))
        assert d.title() == "9.6 kg of whole black walnuts left"
        await d.tap("lot-take")
        assert (d.one("amount").value, d.one("by").value) == ("", "the dye house")
        await d.back()
        await d.tap("undo")
        assert bag.book.lot(lot.id).life.draws == ()
        assert d.snack().startswith("Undone: 3.5 kg taken from")
        d.check_alive()
    play(walk)


def test_more_than_there_is_is_refused_beside_the_amount(bag, lot):
    """What was typed stays, and after mending it is kept."""
    async def walk():
        d = await bag.open(f"/lots/{lot.code}/draw")
        await d.type("amount", "14")
        await d.type("purpose", "shawl")
        await d.tap("draw-save")
        assert "14 kg is more than is left, 13.1 kg. Take less, or weigh the lot again if there is more." in d.texts()
        assert d.one("not-kept").value == "Not kept yet. To mend: how much"
        assert (d.one("amount").value, d.one("purpose").value) == ("14", "shawl")
        await d.back()
        await d.go(f"/lots/{lot.code}/draw")
        assert d.one("amount").value == "14"
        await d.tap("key-back")
        await d.tap("draw-save")
        assert bag.book.lot(lot.id).life.draws[0].facts.amount.si == 1
        d.check_alive()
    play(walk)


def test_nothing_typed_is_told(bag, lot):
    """An empty amount is refused with what to type."""
    async def walk():
        d = await bag.open(f"/lots/{lot.code}/draw")
        await d.tap("draw-save")
        assert any(text.startswith("This is not given. Type how much you take") for text in d.texts())
        d.check_alive()
    play(walk)


def test_liquor_is_taken_in_litres(bag, lot):
    """Its units are volumes, also gallons."""
    bag.book.step(lot.id, StepForm("strained", volume="28"))

    async def walk():
        d = await bag.open(f"/lots/{lot.code}/draw")
        await d.tap("unit")
        assert "unit-kg" not in on_screen(d)
        await d.tap("unit-gal-imp")
        await weigh(d, "2")
        await d.tap("draw-save")
        assert bag.book.lot(lot.id).life.left.central == pytest.approx(28 - 2 * 4.54609)
        d.check_alive()
    play(walk)


def test_it_was_taken_earlier(bag, lot):
    """Day and time as typed, with the offset of this place."""
    async def walk():
        d = await bag.open(f"/lots/{lot.code}/draw")
        await d.type("amount", "1 lb 4 oz")
        await d.tap("when")
        await d.tap("when-earlier")
        await d.type("time", "15:00")
        await d.tap("draw-save")
        assert bag.book.lot(lot.id).life.draws[0].facts.at == "2026-10-08T15:00:00-02:00"
        d.check_alive()
    play(walk)


def test_what_would_be_left_is_what_will_be(bag, lot):
    """The figure shown is that of the book; more than there is has none."""
    form = DrawForm("9 lb", purpose="wool")
    would = after_draw(lot, form, DAY)
    assert would.left == bag.book.draw(lot.id, form).life.left
    assert after_draw(lot, DrawForm("99 kg"), DAY) is None
