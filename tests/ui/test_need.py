"""How much must be gathered, on the screen."""

import pytest

from field_app.core.cloth_lists import ClothForm
from field_app.store import add_cloth
from tests.ui.fieldwork import FieldBag, on_screen, play


@pytest.fixture
def bag(tmp_path):
    bag = FieldBag(tmp_path)
    yield bag
    bag.book.close()


def test_cloth_and_a_shade_say_what_to_gather(bag):
    """The title is the answer; darker takes more; another stuff and its ripeness are in folds."""
    async def walk():
        d = await bag.open("/dye-day")
        await d.tap("to-need")
        assert d.title() == "How much must be gathered?"
        await d.type("cloth-amount", "3")
        await d.tap("cloth-add")
        assert d.title() == "Gather 14.5 kg of whole walnuts"
        assert d.said("need-dry") == "1.5 kg (1.2–2.3)"
        assert d.said("need-hull").startswith("9.0 kg (")
        await d.tap("shade-dark")
        assert d.title() == "Gather 29 kg of whole walnuts"
        assert any(text.startswith("Dark takes") for text in d.texts())
        await d.tap("ripe")
        await d.tap("ripe-of-browned")
        # Half as dark again would be firm hull; browned hull is worth less, but holds less water.
        assert d.title() == "Gather 24.7 kg of whole walnuts"
        await d.tap("stuff")
        await d.tap("stuff-of-oak-bark")
        assert d.title().endswith("of fresh bark")
        assert "need-hull" not in on_screen(d)
        d.check_alive()
    play(walk)


def test_what_is_in_store_is_taken_off(bag):
    """A lot in store shortens the walk, a large one saves it."""
    add_cloth(bag.book, ClothForm("Shawls", ["wool 3 kg", "2 shirts linen"]))
    tree = bag.tree("Mill lane")
    bag.lot(tree, part="hull", gross="4.5", tare="", ripeness="green")

    async def walk():
        d = await bag.open("/dye-day/need")
        made = next(key for key in on_screen(d) if key.startswith("cloth-list-"))
        await d.tap(made)
        assert d.said("need-store").startswith("0.75 kg")
        assert d.title() == "Gather 9.58 kg of whole walnuts"
        assert any("base of tannin or alum" in text for text in d.texts())
        bag.lot(tree, part="hull", gross="60", tare="", ripeness="green")
        await d.go("/dye-day")
        await d.go("/dye-day/need")
        assert d.title() == "There is enough in store"
        assert "need-still" not in on_screen(d)
        await d.tap("need-back")
        d.check_alive()
    play(walk)


def test_what_is_missing_leads_to_the_trees(bag):
    """The main action adds the cloth; once the answer stands, it leads to a round that brings as much."""
    async def walk():
        d = await bag.open("/dye-day/need")
        await d.type("cloth-amount", "3")
        await d.tap("cloth-add")
        await d.tap("need-round")
        assert d.routes()[-1] == "/round"
        await d.tap("round-limits")
        assert d.one("need").value == "14.5 kg"
        d.check_alive()
    play(walk)
