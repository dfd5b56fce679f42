"""Noting a test, of a lot or of a material: what the sample comes to, and what it teaches, while one types."""

import pytest

from field_app.core.own_deeds import OwnTestForm, ValueForm
from field_app.core.units import show_range
from field_app.store import note_test, own_records, set_value
from tests.ui.fieldwork import FieldBag, play


@pytest.fixture
def bag(tmp_path):
    bag = FieldBag(tmp_path)
    yield bag
    bag.book.close()


@pytest.fixture
def lot(bag):
    return bag.lot(bag.tree("Mill lane", materials=("black-walnut",)), part="hull")


def test_a_dry_test_of_a_lot(bag, lot):
    """The sample's dry matter shows above the keypad, both hills below it; kept, the lot is worth something else."""
    before = bag.book.estimate(lot.id).dry_matter

    async def walk():
        d = await bag.open(f"/lots/{lot.code}")
        assert show_range(before) in d.texts()
        await d.tap("lot-test")
        assert d.title() == "How dry is it?"
        assert d.said("test-result") == "–"
        for key in ("2", "1", "2"):
            await d.tap(f"key-{key}")
        await d.type("after", "52")
        await d.type("dish", "12")
        assert d.said("test-result") == "20 % dry matter"
        assert f"dry matter, fresh, of lot {lot.code}" in d.texts()
        assert {"in the table (light)", "with this test (dark)"} <= set(d.texts())
        await d.tap("test-save")
        assert d.routes()[-1] == f"/lots/{lot.code}"
        after = bag.book.estimate(lot.id).dry_matter
        assert after.high / after.low < before.high / before.low
        assert show_range(after) in d.texts()
        await d.tap("undo")
        assert bag.book.estimate(lot.id).dry_matter == before
        d.check_alive()
    play(walk)


def test_a_reading_of_the_liquor(bag, lot):
    """The refractometer asks for what was put in, the liquor on it and the degrees; kilograms may be chosen."""
    async def walk():
        d = await bag.open(f"/lots/{lot.code}/test")
        await d.type("dish", "999")
        await d.tap("test-reading")
        assert d.title() == "How strong is the liquor?"
        await d.tap("state-air-dry")
        await d.tap("unit")
        await d.tap("unit-kg")
        for name, text in (("before", "1"), ("liquor", "12"), ("brix", "1,8")):
            await d.type(name, text)
        assert d.said("test-result") == "24 % went into the liquor"
        await d.tap("test-save")
        (test,) = own_records(bag.book.log_book).tests
        assert (test.facts.test, test.state, test.facts.before.unit, test.lot) == ("reading", "air-dry", "kg", lot.id)
        assert test.facts.dish is None  # its field is not on this form
        d.check_alive()
    play(walk)


def test_a_spent_test_of_a_material_at_a_place(bag):
    """Without a lot: the place is chosen, the scale's steps are told, and the figure it teaches comes next."""
    mill = bag.tree("Mill lane", materials=("black-walnut",))

    async def walk():
        d = await bag.open("/materials/black-walnut")
        await d.tap("note-test")
        await d.tap("test-spent")
        await d.tap(f"place-{mill}")
        await d.type("before", "100")
        await d.type("after", "72")
        assert d.said("test-result") == "28 % went into the liquor"
        await d.tap("division-fold")
        await d.type("division", "1")
        await d.tap("note-fold")
        await d.type("note", "three days on the stove rail")
        await d.tap("test-save")
        assert d.title().startswith("Share that hot water takes out in the end: 2")
        assert "Spent test, today · Mill lane · air-dry · 28 % went into the liquor" in d.texts()
        (test,) = own_records(bag.book.log_book).tests
        assert (test.site, test.facts.division.value, test.facts.note) == (mill, "1", "three days on the stove rail")
        d.check_alive()
    play(walk)


def test_a_slip_is_told_and_nothing_typed_is_lost(bag, lot):
    """A gain in drying is refused at its field; what was typed stays, also after looking elsewhere."""
    async def walk():
        d = await bag.open(f"/lots/{lot.code}/test")
        await d.type("before", "52")
        await d.type("after", "212")
        await d.tap("test-save")
        assert d.one("not-kept").value == "Not kept yet. To mend: the second weighing"
        assert any("is not less than" in text for text in d.texts())
        await d.go("/lots")
        await d.go(f"/lots/{lot.code}/test")
        assert (d.one("before").value, d.one("after").value) == ("52", "212")
        assert own_records(bag.book.log_book).tests == ()
        d.check_alive()
    play(walk)


def test_a_value_of_ones_own_is_not_moved_by_a_test_elsewhere(bag):
    """Where a value is set, the screen says that a test of the material doesn't move it."""
    set_value(bag.book, ValueForm("black-walnut", "dry-fresh", "18 %"))

    async def walk():
        d = await bag.open("/materials/black-walnut/test")
        await d.type("before", "200")
        await d.type("after", "40")
        assert "A value of your own is set; a test of another lot doesn't move it." in d.texts()
        d.check_alive()
    play(walk)


def test_the_history_of_a_lot_tells_its_tests(bag, lot):
    """A test stands in the history of its lot, in words, with what was weighed."""
    note_test(bag.book, OwnTestForm("dry", before="212 g", after="52 g", dish="12 g", lot=lot.id))

    async def walk():
        d = await bag.open(f"/lots/{lot.code}/history")
        assert {"Test noted", "Dry test", "dish 12 g, before 212 g, after 52 g"} <= set(d.texts())
        d.check_alive()
    play(walk)


def test_a_tree_leads_to_the_figures_that_hold_there(bag, lot):
    """From a tree one gets to the figures of what stands there, as they hold at it."""
    async def walk():
        d = await bag.open(f"/trees/{lot.facts.site}")
        await d.tap("figures-black-walnut")
        assert d.routes()[-1] == "/materials/black-walnut"
        await d.tap("figure-extract")
        assert "Black walnut · Mill lane" in d.texts()
        d.check_alive()
    play(walk)


def test_the_lot_leads_to_its_figures(bag, lot):
    """From a lot one gets to the figures behind it, as they hold at its place."""
    async def walk():
        d = await bag.open(f"/lots/{lot.code}")
        await d.tap("lot-figures")
        assert d.title().startswith("Black walnut: ")
        await d.tap("figure-dry-fresh")
        assert "Black walnut · Mill lane" in d.texts()
        d.check_alive()
    play(walk)
