"""Pots and pails on the screen, and where they help: at the scale, and where pails are counted."""

import pytest

from field_app.core.vessels import VesselForm
from field_app.store import add_vessel, vessels
from tests.ui.fieldwork import FieldBag, on_screen, play


@pytest.fixture
def bag(tmp_path):
    bag = FieldBag(tmp_path)
    yield bag
    bag.book.close()


def test_a_pot_is_added_changed_and_taken_back(bag):
    """From Today: a first pot with its caution, then another width, then it is gone, and undone."""
    async def walk():
        d = await bag.open("/")
        await d.tap("to-pots")
        assert d.title() == "Your pots and pails"
        await d.tap("vessel-add")
        await d.type("name", "iron kettle")
        await d.type("volume", "40")
        await d.type("diameter", "38")
        await d.tap("made-iron")
        assert d.find("vessel-caution")
        await d.tap("vessel-save")
        assert d.title() == "1 pot and no pails"
        assert "Pot: 40 L, 38 cm wide, iron" in d.texts()
        await d.tap("vessel-iron kettle")
        assert d.title() == "iron kettle"
        await d.tap("shape-other")
        await d.type("surface", "1200 cm²")
        await d.tap("vessel-save")
        (pot,) = vessels(bag.book)
        assert (pot.facts.surface, pot.facts.diameter) == ("0.12", None)
        await d.tap("vessel-iron kettle")
        await d.tap("vessel-back")
        assert d.title() == "Your pots and pails"
        await d.tap("undo")
        assert d.title() == "1 pot and no pails"
        d.check_alive()
    play(walk)


def test_a_slip_is_told_at_its_field(bag):
    """A pot without a name and of no size is refused with every field, and stays typed."""
    async def walk():
        d = await bag.open("/pots/new")
        await d.type("volume", "40 kg")
        await d.tap("vessel-save")
        assert d.one("not-kept").value == "Not kept yet. To mend: name, what it holds"
        assert any("a volume is needed" in text for text in d.texts())
        assert d.one("volume").value == "40 kg"
        assert vessels(bag.book) == ()
        d.check_alive()
    play(walk)


def test_a_pail_of_ones_own_is_offered_at_the_scale_and_by_the_pail(bag):
    """Its empty weight goes into the pail's field, in its own unit if the scale has another; its size likewise."""
    bag.tree("Mill lane", materials=("black-walnut",))
    pail = add_vessel(bag.book, VesselForm("grey pail", "pail", volume="12", tare="1.1"))
    add_vessel(bag.book, VesselForm("big pot", "pot", volume="40"))

    async def walk():
        d = await bag.open("/windfall")
        await d.tap("material-black-walnut")
        assert [key for key in on_screen(d) if key.startswith("own-")] == [f"own-tare-{pail.id}"]
        await d.type("gross", "14.2")
        await d.tap(f"own-tare-{pail.id}")
        assert d.one("tare").value == "1.1"
        assert d.said("live-net").startswith("13.1 kg")
        await d.tap("unit")
        await d.tap("unit-lb")
        await d.tap(f"own-tare-{pail.id}")
        assert d.one("tare").value == "1.1 kg"
        await d.tap("way")
        await d.tap("way-poured-whole-fruit")
        await d.tap(f"own-pail-{pail.id}")
        assert d.one("pail").value == "12"
        d.check_alive()
    play(walk)


def test_without_pails_nothing_is_offered(bag):
    """A person who noted no pail sees the form as it was."""
    bag.tree("Mill lane", materials=("black-walnut",))

    async def walk():
        d = await bag.open("/windfall")
        await d.tap("material-black-walnut")
        assert [key for key in on_screen(d) if key.startswith("own-")] == []
        d.check_alive()
    play(walk)
