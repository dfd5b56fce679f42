"""How finely it was measured, on the screen of what fell: the scale of a weighing, a few weighed of a count."""

import pytest

from field_app.core.units import Measure, show_range
from field_app.ui.windfall_form import from_lot, start, to_form
from tests.ui.fieldwork import FieldBag, on_screen, play
from tests.ui.windfall_walk import MILL, weigh


@pytest.fixture
def bag(tmp_path):
    bag = FieldBag(tmp_path)
    yield bag
    bag.book.close()


async def at_the_tree(bag):
    site = bag.tree("Mill lane", **MILL)
    return await bag.open(f"/windfall/{site}")


def test_the_steps_of_the_scale_are_kept_and_preset(bag):
    """The step of the scale narrows the load, is saved as typed, and is there for the next load."""
    async def walk():
        d = await at_the_tree(bag)
        await weigh(d, "14.2")
        assert "within 3 %, as most" in d.texts()
        await d.tap("scale-fold")
        await d.type("division", "20")
        await d.tap("scale-class-III")
        assert "steps of 20, class III" in d.texts()
        narrow = d.said("live-net")
        await d.tap("save")
        lot = bag.book.last_lot()
        assert (lot.facts.division, lot.facts.scale) == (Measure("20", "g"), "III")
        assert show_range(lot.net) == narrow
        assert start(lot, bag.book.sites()).division == "20"
        await d.go(f"/lots/{lot.code}")
        assert "20 g, class III" in d.texts()
        d.check_alive()
    play(walk)


def test_some_of_the_counted_are_weighed(bag):
    """Of 170 fruits five were weighed: their mean holds, and the lot shows what was weighed."""
    async def walk():
        d = await at_the_tree(bag)
        await d.tap("way")
        await d.tap("way-counted-whole-fruit")
        await weigh(d, "170")
        await d.tap("sample-fold")
        await d.type("sample", "68; 71; 74; 66; 70")
        assert "5 of them" in d.texts()
        await d.tap("save")
        lot = bag.book.last_lot()
        assert lot.net.central == pytest.approx(170 * 0.0698)
        await d.go(f"/lots/{lot.code}")
        assert "68; 71; 74; 66; 70" in d.text() or "68 g; 71 g; 74 g; 66 g; 70 g" in d.text()
        d.check_alive()
    play(walk)


def test_what_can_not_be_is_told_in_its_fold(bag):
    """A sample larger than the count, and a scale too coarse, open their fold and stand at their field."""
    async def walk():
        d = await at_the_tree(bag)
        await weigh(d, "1.2")
        await d.tap("scale-fold")
        await d.type("division", "5 kg")
        await d.tap("scale-fold")
        await d.tap("save")
        assert "division" in on_screen(d)
        assert "can't be told on a scale with steps of 5 kg" in d.text()
        assert bag.book.last_lot() is None
        await d.type("division", "5 g")
        assert "can't be told" not in d.text()
        await d.tap("save")
        assert bag.book.last_lot() is not None
        d.check_alive()
    play(walk)


@pytest.mark.parametrize("load", [
    {"gross": "14.2", "division": "20", "scale": "III"}, {"gross": "9 lb 6 oz", "unit": "lb", "division": "1/2 oz"},
    {"gross": "", "tare": "", "count": "170", "sample": "68 g; 71,5 g"},
    {"gross": "", "tare": "", "count": "170", "sample": "1 lb 8 oz; 24 oz", "sample_each": "10", "unit": "lb"}])
def test_a_lot_that_is_corrected_keeps_what_was_told(bag, load):
    """Opened to be corrected and saved as it is, a lot says the same of scale and sample as before."""
    lot = bag.lot(bag.tree("Mill lane"), **({"tare": ""} | load))
    again = bag.book.correct(lot.id, to_form(from_lot(lot)))
    for name in ("gross", "count", "scale", "sample_each"):
        assert getattr(again.facts, name) == getattr(lot.facts, name)
    assert again.net.central == pytest.approx(lot.net.central)
    assert [one.si for one in again.facts.sample] == [one.si for one in lot.facts.sample]
    assert (again.facts.division and again.facts.division.si) == (lot.facts.division and lot.facts.division.si)
