"""A swatch of one's own, noted on the screen."""

import pytest

from field_app.store import swatches_of
from tests.ui.driver import walk
from tests.ui.fieldwork import FieldBag, play
from tests.ui.windfall_walk import weigh


@pytest.fixture
def bag(tmp_path):
    bag = FieldBag(tmp_path)
    yield bag
    bag.book.close()


def colours(d, key):
    return [one.bgcolor for one in walk(d.one(key)) if str(getattr(one, "bgcolor", "")).startswith("#")]


def said(d, key):
    return next(one.semantics_label for one in walk(d.one(key)) if getattr(one, "semantics_label", None))


def test_by_eye_from_the_colours_and_back(bag):
    """Weighed with the keypad, picked from the card, kept: the colours move, its label says so; undone, all is back."""
    async def walks():
        d = await bag.open("/dye-day/colour")
        before = colours(d, "cell-none-2")
        await d.tap("colour-swatch")
        await weigh(d, "5")
        await d.type("cloth", "10")
        await d.tap("mordant-alum")
        assert said(d, "eye-greyer-3").startswith("greyer, deep")
        await d.tap("eye-greyer-3")
        assert said(d, "eye-greyer-3").endswith(", chosen")
        assert d.one("eye-hex").value == colours(d, "eye-greyer-3")[0]
        await d.tap("swatch-save")
        (swatch,) = swatches_of(bag.book.log_book)
        assert (swatch.facts.stuff.si, swatch.facts.cloth.si) == pytest.approx((0.005, 0.010))
        assert (swatch.facts.mordant, swatch.facts.hours) == ("alum", "1")
        assert d.routes()[-1] == "/dye-day/colour"
        assert any(text.startswith("Set by 1 swatch of your own") for text in d.texts())
        assert colours(d, "cell-none-2") != before
        await d.tap("own")
        assert "5 g of Black walnut, air-dry, on 10 g of cloth, alum, 1 h: #" in d.text()
        await d.tap("undo")
        assert swatches_of(bag.book.log_book) == ()
        assert colours(d, "cell-none-2") == before
        d.check_alive()
    play(walks)


def test_a_shade_or_a_measured_lightness(bag):
    """What came out may be told as a shade, or as a lightness that was measured; each is kept as such."""
    async def walks():
        d = await bag.open("/dye-day/colour/swatch")
        await d.type("stuff", "5")
        await d.type("cloth", "10")
        await d.tap("told-shade")
        await d.tap("came-dark")
        await d.tap("swatch-save")
        await d.tap("colour-swatch")
        await d.type("stuff", "5 g")
        await d.type("cloth", "1 oz")
        await d.type("lasted-other", "45 min")
        await d.tap("told-measured")
        await d.type("measured", "38,5")
        await d.tap("swatch-save")
        one, other = (swatch.facts for swatch in swatches_of(bag.book.log_book))
        assert (one.band, other.lightness, other.hours, other.cloth.unit) == ("dark", "38.5", "0.75", "oz")
        d.check_alive()
    play(walks)


def test_a_swatch_of_a_lot(bag):
    """The lots of the stuff are offered, and the one chosen is in the record."""
    async def walks():
        lot = bag.lot(bag.tree("Mill lane"))
        d = await bag.open("/dye-day/colour/swatch")
        await d.type("stuff", "5")
        await d.type("cloth", "10")
        await d.tap("told-shade")
        await d.tap("came-dark")
        await d.tap("state")
        await d.tap(f"lot-{lot.id}")
        assert f"lot {lot.code}, air-dry" in d.texts()
        await d.tap("swatch-save")
        (swatch,) = swatches_of(bag.book.log_book)
        assert (swatch.lot, swatch.site, swatch.state) == (lot.id, lot.facts.site, "air-dry")
        d.check_alive()
    play(walks)


def test_what_is_missing_is_told_and_nothing_typed_is_lost(bag):
    """An empty form says each thing beside its field; what was typed stays over a step back."""
    async def walks():
        d = await bag.open("/dye-day/colour/swatch")
        await d.type("stuff", "5")
        await d.tap("swatch-save")
        assert d.one("not-kept").value == "Not kept yet. To mend: cloth, what came out"
        assert "This is not given. Type what the scale shows, as in 5 g." in d.texts()
        await d.tap("base")
        await d.type("cloth-hex", "bluish")
        await d.type("eye-hex", "3b2a1c")
        await d.type("cloth", "10")
        await d.tap("swatch-save")
        assert d.one("not-kept").value == "Not kept yet. To mend: the cloth"
        await d.type("cloth-hex", "#8b9db4")
        await d.back()
        await d.tap("colour-swatch")
        assert (d.one("stuff").value, d.one("eye-hex").value) == ("5", "3b2a1c")
        await d.tap("swatch-save")
        (swatch,) = swatches_of(bag.book.log_book)
        assert (swatch.facts.base, swatch.facts.colour) == ("#8b9db4", "#3b2a1c")
        d.check_alive()
    play(walks)


def test_it_is_taken_back_from_the_list(bag):
    """The list of one's own swatches takes one back, with a way to undo that."""
    async def walks():
        d = await bag.open("/dye-day/colour/swatch")
        await d.type("stuff", "5")
        await d.type("cloth", "10")
        await d.tap("told-shade")
        await d.tap("came-pale")
        await d.tap("swatch-save")
        await d.tap("own")
        (back,) = [key for key in d.keys() if key.startswith("back-")]  # noqa: SIM118 - keys() is the driver's
        await d.tap(back)
        assert swatches_of(bag.book.log_book) == ()
        assert "An illustration until a swatch of your own is in." in d.texts()
        await d.tap("undo")
        assert len(swatches_of(bag.book.log_book)) == 1
        d.check_alive()
    play(walks)
