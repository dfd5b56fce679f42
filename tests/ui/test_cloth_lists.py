"""Lists of cloth on the screens: made item by item, changed, taken back and brought back."""

import pytest

from field_app.core.cloth_lists import ClothForm
from field_app.store import add_cloth, cloth_lists
from field_app.ui.cloth_pick import Item, Picked, add_item
from field_app.ui.glyphs import undrawn
from tests.ui.fieldwork import FieldBag, on_screen, play


@pytest.fixture
def bag(tmp_path):
    bag = FieldBag(tmp_path)
    yield bag
    bag.book.close()


def test_a_list_is_made_item_by_item(bag):
    """Weighed, measured, by the piece and typed; the total follows; kept, it is in the book and can be undone."""
    async def walk():
        d = await bag.open("/dye-day")
        await d.tap("to-cloth")
        assert d.title() == "No cloth noted yet"
        await d.tap("cloth-new")
        await d.type("cloth-name", "Autumn shawls")
        await d.type("cloth-amount", "3")
        await d.tap("cloth-add")
        assert d.title() == "3 kg of cloth to dye"
        await d.tap("cloth-more")
        await d.tap("cloth-way-area")
        await d.tap("fibre-silk")
        await d.type("cloth-length", "2 yd")
        await d.type("cloth-width", "45 in")
        await d.type("cloth-weight", "8 momme")
        await d.tap("cloth-add")
        await d.tap("cloth-more")
        await d.tap("cloth-way-pieces")
        await d.tap("fibre-linen")
        await d.type("cloth-count", "2")
        await d.tap("piece-shirt")
        await d.tap("cloth-add")
        await d.tap("cloth-more")
        await d.tap("cloth-way-typed")
        await d.type("cloth-words", "wool 1 lb raw 40 %")
        assert undrawn(d.text()) == ""
        await d.tap("cloth-save")
        (made,) = cloth_lists(bag.book)
        assert made.facts.items == ("wool 3 kg", "silk 2 yd 45 in 8 momme", "linen 2 shirt", "wool 1 lb raw 40 %")
        assert made.words == "wool 3.27 kg, silk 72.6 g, linen 480 g"
        assert d.title() == "1 list, 3.82 kg of cloth"
        await d.tap("undo")
        assert cloth_lists(bag.book) == ()
        d.check_alive()
    play(walk)


def test_what_is_not_understood_stays_and_is_told(bag):
    """A faulty item is told beside it, nothing typed is lost, also over a step back; nothing is kept half."""
    async def walk():
        d = await bag.open("/dye-day/cloth/new")
        await d.tap("cloth-way-typed")
        await d.type("cloth-words", "woll 3 kg")
        await d.tap("cloth-add")
        assert any("Did you mean wool?" in text for text in d.texts())
        await d.tap("cloth-save")
        assert cloth_lists(bag.book) == ()
        await d.back()
        await d.go("/dye-day/cloth/new")
        assert d.one("cloth-words").value == "woll 3 kg"
        await d.type("cloth-words", "wool 3 kg")
        await d.tap("cloth-save")
        assert d.one("not-kept").value == "Not kept yet. To mend: name"
        await d.type("cloth-name", "Shawls")
        await d.tap("cloth-save")
        assert [one.name for one in cloth_lists(bag.book)] == ["Shawls"]
        d.check_alive()
    play(walk)


def test_an_empty_list_is_refused(bag):
    """Without cloth there is nothing to keep, and an empty item is told when it is added."""
    async def walk():
        d = await bag.open("/dye-day/cloth/new")
        await d.tap("cloth-add")
        assert any("Say how much there is." in text for text in d.texts())
        await d.type("cloth-name", "Shawls")
        await d.tap("cloth-save")
        assert "Not kept yet. To mend: the cloth" in d.texts()
        d.check_alive()
    play(walk)


def test_a_list_is_changed_and_taken_back(bag):
    """Opened by a tap; an item is taken out; taken back it is gone, and undoing brings it back."""
    made = add_cloth(bag.book, ClothForm("Shawls", ["wool 3 kg", "silk 1 kg"], "for the fair"))

    async def walk():
        d = await bag.open("/dye-day/cloth")
        await d.tap(f"list-{made.id}")
        assert (d.one("cloth-name").value, d.one("cloth-note").value) == ("Shawls", "for the fair")
        await d.tap("cloth-out-0")
        assert d.title() == "1 kg of cloth to dye"
        await d.tap("cloth-save")
        assert cloth_lists(bag.book)[0].facts.items == ("silk 1 kg",)
        assert "undo" in on_screen(d)
        await d.go(f"/dye-day/cloth/{made.id}")
        await d.tap("cloth-back")
        assert cloth_lists(bag.book) == ()
        await d.tap("undo")
        assert cloth_lists(bag.book)[0].name == "Shawls"
        d.check_alive()
    play(walk)


@pytest.mark.parametrize(("item", "text"), [
    (Item(amount="3,5", unit="lb"), "wool 3,5 lb"), (Item(amount="1 lb 4 oz"), "wool 1 lb 4 oz"), (Item(), ""),
    (Item(way="area", length="3", width="1.5", weight="120", fibre="cotton"), "cotton 3 m 1.5 m 120 g/m2"),
    (Item(way="area", length="2 yd", width="45 in", weave="habotai", fibre="silk"), "silk 2 yd 45 in habotai"),
    (Item(way="area", weight="120"), ""), (Item(way="pieces", count="2", piece="blanket"), "wool 2 blanket"),
    (Item(way="pieces"), ""), (Item(way="typed", words=" 2 shirts linen "), "2 shirts linen"),
])
def test_an_item_reads_as_one_would_type_it(item, text):
    """Whatever way it is told, the text is what the command would take."""
    assert item.text == text
    if text:
        added = add_item(Picked(item=item))
        assert added.items == (text,)
        assert not added.telling
