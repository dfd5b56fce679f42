"""An old recipe on the screen."""

import pytest

from tests.ui.fieldwork import FieldBag, play


@pytest.fixture
def bag(tmp_path):
    bag = FieldBag(tmp_path)
    yield bag
    bag.book.close()


def test_two_pails_on_twenty_yards(bag):
    """What is missing is told beside its field; worked out, the title is today's amount; a load is held against it."""
    lot = bag.lot(bag.tree("Mill lane"), part="hull", gross="9", tare="", ripeness="green")

    async def walk():
        d = await bag.open("/dye-day")
        await d.tap("to-old")
        await d.type("old-lines", "2 pails fresh hull\n1 oz cream of tartar")
        await d.tap("old-work")
        assert any("no cloth was given" in text.lower() for text in d.texts())
        assert any("what a pail held" in text for text in d.texts())
        assert not any("--" in text for text in d.texts()), "nothing of the command stands on a screen"
        assert d.one("old-lines").value == "2 pails fresh hull\n1 oz cream of tartar"
        await d.type("old-cloth", "wool 20 yd 54 in heavy")
        await d.type("old-pail", "12 L")
        await d.type("cloth-amount", "3")
        await d.tap("cloth-add")
        await d.tap(f"old-lot-{lot.id}")
        await d.tap("old-work")
        assert d.title().startswith("2.7 kg (")
        for words in ("light (pale–light)", "A pail is taken as 12 L."):
            assert words in d.texts()
        assert any("is enough" in text for text in d.texts())
        assert any(text.endswith("have the last word.") for text in d.texts())
        d.check_alive()
    play(walk)


def test_whose_gallon_has_to_be_said(bag):
    """Untold it is asked for; told, the water is worked out; chrome is refused; without own cloth there are shares."""
    async def walk():
        d = await bag.open("/dye-day/old")
        await d.type("old-cloth", "wool 1 lb")
        await d.type("old-lines", "1 lb soda\n10 gallons water")
        await d.tap("old-work")
        assert any("whose measure it is" in text for text in d.texts())
        await d.tap("gallons-imperial")
        await d.tap("old-work")
        assert "9.98 g/L" in " ".join(d.texts())
        assert "Add your own cloth to see its amounts" in d.texts()
        await d.type("old-lines", "1 oz bichromate of potash")
        await d.tap("old-work")
        assert any("not offered" in text for text in d.texts())
        d.check_alive()
    play(walk)


def test_a_load_of_something_else_is_told(bag):
    """A lot that holds none of the recipe's stuff is refused in words."""
    lot = bag.lot(bag.tree("Mill lane"), part="hull", gross="9", tare="")

    async def walk():
        d = await bag.open("/dye-day/old")
        await d.type("old-cloth", "wool 1 lb")
        await d.type("old-lines", "1 lb alder bark")
        await d.type("cloth-amount", "3")
        await d.tap("cloth-add")
        await d.tap(f"old-lot-{lot.id}")
        await d.tap("old-work")
        assert any("holds no alder bark" in text for text in d.texts())
        d.check_alive()
    play(walk)
