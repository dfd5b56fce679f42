"""What colour a bath may give, on the screen."""

import flet as ft
import pytest

from field_app.core.colour import lab_of
from field_app.core.preview import UNDYED
from field_app.ui.glyphs import undrawn
from tests.ui.driver import walk
from tests.ui.fieldwork import FieldBag, on_screen, play


@pytest.fixture
def bag(tmp_path):
    bag = FieldBag(tmp_path)
    yield bag
    bag.book.close()


def strips_of(d, key):
    """The three colours of a cell, from the lightest to the darkest."""
    return [one.bgcolor for one in walk(d.one(key)) if str(getattr(one, "bgcolor", "")).startswith("#")]


def test_the_whole_way(bag):
    """From dye day: title, label, a cell for each ground and time, each said in words; the way back."""
    async def walks():
        bag.lot(bag.tree("Mill lane"))
        d = await bag.open("/dye-day")
        await d.tap("to-colour")
        assert d.title() == "After 1 h: mid and warm; with iron, deep and greyish"
        assert "An illustration until a swatch of your own is in." in d.texts()
        cells = [key for key in on_screen(d) if key.startswith("cell-")]
        assert cells == [f"cell-{ground}-{at}" for ground in ("none", "alum", "iron") for at in range(4)]
        for key in cells:
            light, middle, dark = (lab_of(colour).lightness for colour in strips_of(d, key))
            assert light > middle > dark
            said = [one.semantics_label for one in walk(d.one(key)) if getattr(one, "semantics_label", None)]
            assert ", lightness " in said[0]
        assert undrawn(d.text()) == ""
        await d.back()
        assert d.routes()[-1] != "/dye-day/colour"
        d.check_alive()
    play(walks)


def test_a_cell_is_told_in_full(bag):
    """A tap tells the figures of a cell, and a word, not only a frame, says which one is chosen."""
    async def walks():
        d = await bag.open("/dye-day/colour")
        await d.tap("cell-iron-3")
        assert "Iron, 6 h: very deep, greyish" in d.texts()
        assert any(text.startswith("27 (20–") for text in d.texts())
        said = [one.semantics_label for one in walk(d.one("cell-iron-3")) if getattr(one, "semantics_label", None)]
        assert said[0].endswith(", chosen")
        d.check_alive()
    play(walks)


def test_cloth_is_chosen_or_typed(bag):
    """A patch or a colour of one's own is the cloth; what is no colour is said, and the last good one stays shown."""
    async def walks():
        d = await bag.open("/dye-day/colour")
        await d.tap("cloth")
        plain = strips_of(d, "cell-none-0")
        await d.tap("cloth-faded-blue")
        assert strips_of(d, "cell-none-0") != plain
        blue = strips_of(d, "cell-none-0")
        await d.type("cloth-hex", "mauvish")
        assert any("is not a colour. Type six digits" in text for text in d.texts())
        assert strips_of(d, "cell-none-0") == blue
        await d.type("cloth-hex", UNDYED)
        assert strips_of(d, "cell-none-0") == plain
        d.check_alive()
    play(walks)


def test_stuff_shade_and_way_change_the_strips(bag):
    """More is darker, galls with iron greyer than walnut, loads get paler, dips deeper; it is kept on leaving."""
    async def walks():
        d = await bag.open("/dye-day/colour")
        middle = strips_of(d, "cell-none-2")[1]
        await d.tap("shade")
        await d.tap("shade-dark")
        assert lab_of(strips_of(d, "cell-none-2")[1]).lightness < lab_of(middle).lightness
        walnut = lab_of(strips_of(d, "cell-iron-2")[1])
        await d.tap("stuff")
        await d.tap("stuff-oak-gall-apple")
        assert lab_of(strips_of(d, "cell-iron-2")[1]).chroma < walnut.chroma
        await d.tap("way-loads")
        told = [lab_of(strips_of(d, f"cell-none-{at}")[1]).lightness for at in range(4)]
        assert told == sorted(told)
        await d.tap("way-dips")
        told = [lab_of(strips_of(d, f"cell-none-{at}")[1]).lightness for at in range(4)]
        assert told == sorted(told, reverse=True)
        await d.back()
        await d.go("/dye-day/colour")
        assert "4 dips" in d.texts()
        d.check_alive()
    play(walks)


def test_a_lot_shows_its_colours_and_learns_from_its_own_swatch(bag):
    """On the screen of a lot is a strip of them, the way to all, and to a swatch of it, which moves them."""
    async def walks():
        lot = bag.lot(bag.tree("Mill lane"))
        d = await bag.open(f"/lots/{lot.code}")
        strip = strips_of(d, "lot-colours")
        assert len(strip) == 4 * 3
        assert "6 h and iron: very deep, greyish" in [
            c.label for c in walk(d.one("lot-colours")) if isinstance(c, ft.Semantics)]
        assert {"6 h and iron", "very deep, greyish"} <= set(d.texts())
        await d.tap("lot-colour")
        assert strips_of(d, "cell-none-0") == strip[:3]
        assert "stuff" not in on_screen(d)
        await d.tap("colour-swatch")
        await d.type("stuff", "5")
        await d.type("cloth", "10")
        await d.tap("told-shade")
        await d.tap("came-pale")
        await d.tap("swatch-save")
        assert d.routes()[-1] == f"/lots/{lot.code}/colour"
        assert any(text.startswith("Set by 1 swatch of your own") for text in d.texts())
        (swatch,) = bag.book.in_force().records.swatches
        assert swatch.lot == lot.id
        d.check_alive()
    play(walks)


def test_large_text_has_room(bag):
    """Where the device's text is large, two cells stand side by side instead of four."""
    async def walks():
        d = await bag.open("/dye-day/colour")

        def rows():
            return [sum(str(getattr(getattr(one, "content", one), "key", "")).startswith("cell-")
                        for one in row.controls) for row in walk(d.top()) if type(row).__name__ == "Row"]

        assert [count for count in rows() if count] == [4, 4, 4]
        (probe,) = [one for one in walk(d.one("colour-chart")) if getattr(one, "on_size_change", None)]
        await d.fire(probe, "size_change", {"w": 18.0, "h": 32.0})
        assert set(rows()) - {0} == {2}
        d.check_alive()
    play(walks)
