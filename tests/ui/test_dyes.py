"""What this dyes, on the screen: a lot or several, cloth, a time; both routes, the curve, load after load."""

import pytest

from field_app.core.bands import SHADES
from field_app.core.deeds import StepForm
from field_app.ui.glyphs import undrawn
from tests.ui.fieldwork import FieldBag, on_screen, play


@pytest.fixture
def bag(tmp_path):
    bag = FieldBag(tmp_path)
    yield bag
    bag.book.close()


@pytest.fixture
def lot(bag):
    return bag.lot(bag.tree("Mill lane"), gross="15", tare="")


async def add(d, kilograms):
    if "cloth-more" in on_screen(d):
        await d.tap("cloth-more")
    await d.type("cloth-amount", kilograms)
    await d.tap("cloth-add")


async def tick(d, lot):
    box = d.one(f"dyes-lot-{lot.code}")
    d.session.apply_patch(box._i, {"value": True})
    await d.fire(box, "change", True)


def test_from_the_lot_to_its_cloth(bag, lot):
    """The title says the shade and the time; custom stands beside the bath; every state is told in words."""
    async def walk():
        d = await bag.open(f"/lots/{lot.code}")
        await d.tap("lot-on-cloth")
        assert d.title() == "What does it dye?"
        await add(d, "3")
        assert d.title() == "Medium after 1 h"
        assert d.one("dyes-custom").value.startswith("medium")
        assert d.one("dyes-bath").value.startswith("medium")
        for at in range(5):
            assert d.one(f"dyes-at-{at}").value.split()[0] in SHADES
        assert d.one("dyes-wait").value.endswith(")")
        assert any(text.startswith("Little is gained after") for text in d.texts())
        assert any(text.startswith("Dark takes") for text in d.texts())
        assert any("assumed until a swatch" in text for text in d.texts())
        assert undrawn(d.text()) == ""
        await d.tap("dyes-back")
        d.check_alive()
    play(walk)


def test_time_and_dips_change_the_answer(bag, lot):
    """Short is pale, and the routes disagree in words; dips deepen; a time that is none is told and keeps the rest."""
    async def walk():
        d = await bag.open(f"/lots/{lot.code}/dyes")
        await add(d, "3")
        await d.tap("dyes-for-3 min")
        assert d.title() == "Pale after 3 min"
        assert any("this is shorter" in text for text in d.texts())
        await d.type("dyes-time", "6 h 30 min")
        assert d.title().startswith("Medium after 6.5 h")
        await d.tap("dips-4")
        assert d.title() == "Dark after 6.5 h, 4 dips"
        assert any(text.startswith("Dark takes repeated dips") for text in d.texts())
        await d.type("dyes-time", "soon")
        assert any("soon" in text for text in d.texts())
        assert d.one("dyes-time").value == "soon"
        await d.type("dyes-time", "1 h")
        assert "dyes-routes" in on_screen(d)
        d.check_alive()
    play(walk)


def test_each_load_is_paler(bag, lot):
    """Equal loads in one liquor, told one after another, and from which on it is too pale."""
    async def walk():
        d = await bag.open(f"/lots/{lot.code}/dyes")
        for _ in range(3):
            await add(d, "1.5")
        words = [d.one(f"dyes-load-{place}").value.split()[0] for place in (1, 2, 3)]
        assert [SHADES.index(word) for word in words] == sorted((SHADES.index(word) for word in words), reverse=True)
        assert any("boiled down to 1/4" in text for text in d.texts())
        await d.tap("dyes-wanted")
        await d.tap("wanted-dark")
        assert any("dark" not in text and "comes out" in text for text in d.texts())
        d.check_alive()
    play(walk)


def test_several_lots_from_the_dye_day(bag, lot):
    """Lots are ticked; two of them dye deeper than one; what gives no liquor is told."""
    other = bag.lot(bag.tree("Weir"), gross="29", tare="")
    dry = bag.lot(bag.tree("Old orchard"), gross="5", tare="")
    bag.book.step(dry.id, StepForm("spent"))

    async def walk():
        d = await bag.open("/dye-day")
        await d.tap("to-dyes")
        assert any("Choose the lots" in text for text in d.texts())
        assert f"dyes-lot-{dry.code}" not in on_screen(d)
        await add(d, "4")
        await tick(d, lot)
        one = d.one("dyes-bath-volume").value
        await d.tap("dyes-lots")
        await tick(d, other)
        assert d.one("dyes-bath-volume").value != one
        d.check_alive()
    play(walk)
