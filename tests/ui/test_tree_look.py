"""A look at a tree, noted on the screen."""

import pytest

from field_app.store import looks_at
from field_app.ui.site_words import site_route
from tests.ui.fieldwork import FieldBag, play


@pytest.fixture
def bag(tmp_path):
    bag = FieldBag(tmp_path)
    yield bag
    bag.book.close()


def test_a_stage_and_what_lies_there_in_three_taps(bag):
    """Stage, ground, keep: the look is in the book, the tree tells it, and it can be undone."""
    site = bag.tree("Mill lane", materials=("black-walnut",))

    async def walk():
        d = await bag.open(site_route(site))
        await d.tap("tree-look")
        assert d.title() == "How it stands"
        await d.tap("stage-dented")
        await d.tap("ground-a-handful")
        await d.tap("look-save")
        assert d.routes()[-1] == site_route(site)
        (look,) = looks_at(bag.book, site)
        assert (look.facts.stage, look.facts.ground_words) == ("dented", "a-handful")
        assert "takes a dent, a handful on the ground" in d.texts()
        await d.tap("undo")
        assert looks_at(bag.book, site) == ()
        d.check_alive()
    play(walk)


def test_the_thumb_test_on_the_keypad(bag):
    """Seven of thirty: typed on the keypad, beside a number on the ground."""
    site = bag.tree("Mill lane", materials=("black-walnut",))

    async def walk():
        d = await bag.open(f"{site_route(site)}/look")
        await d.tap("dents-fold")
        await d.tap("key-7")
        await d.type("pressed", "30")
        await d.type("ground-count", "42")
        await d.tap("look-save")
        (look,) = looks_at(bag.book, site)
        assert (look.facts.dented, look.facts.pressed, look.facts.ground, look.facts.bbch) == (7, 30, 42, 85)
        d.check_alive()
    play(walk)


def test_a_refusal_stays_beside_its_field_and_nothing_is_lost(bag):
    """Too few pressed, and words that are no number: both are told, and what was typed stays."""
    site = bag.tree("Mill lane", materials=("black-walnut",))

    async def walk():
        d = await bag.open(f"{site_route(site)}/look")
        await d.tap("look-save")
        assert "What you saw is not told" in d.text()
        await d.tap("dents-fold")
        await d.type("dented", "3")
        await d.type("pressed", "5")
        await d.type("ground-count", "heaps")
        await d.tap("look-save")
        assert looks_at(bag.book) == ()
        assert d.one("not-kept").value == "Not kept yet. To mend: the thumb test, on the ground"
        assert d.one("ground-count").value == "heaps"
        await d.type("pressed", "10")
        await d.type("ground-count", "3")
        await d.tap("look-save")
        assert looks_at(bag.book, site)[0].facts.dented == 3
        d.check_alive()
    play(walk)


def test_of_cones_one_is_asked_no_thumb(bag):
    """Stuff without a ripeness to see has three plain stages, and where several stand one chooses."""
    site = bag.tree("Marsh", materials=("alder-cones", "alder-bark"))

    async def walk():
        d = await bag.open(f"{site_route(site)}/look")
        assert not d.find("dents-fold")
        await d.tap("look-material-alder-bark")
        await d.tap("stage-not-yet")
        await d.tap("look-save")
        (look,) = looks_at(bag.book, site)
        assert (look.facts.material, look.facts.stage) == ("alder-bark", "not-yet")
        d.check_alive()
    play(walk)
