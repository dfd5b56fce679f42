"""Photographs picked while one logs a load or notes a look: optional, kept when that is saved, shown with it."""

import pytest

from field_app.core.problems import NoRoom, Problem
from field_app.store import looks_at
from field_app.ui.site_words import site_route
from tests.ui.fieldwork import FieldBag, play
from tests.ui.test_photographs import HEAP, PAIL, code, pick, pictures
from tests.ui.windfall_walk import MILL, weigh


@pytest.fixture
def bag(tmp_path):
    found = FieldBag(tmp_path)
    yield found
    found.book.close()


async def weighing(bag):
    site = bag.tree("Mill lane", **MILL)
    d = await bag.open(f"/windfall/{site.rpartition(':')[2]}")
    await d.tap("gross")
    await weigh(d, "9.1")
    return d


def test_a_load_is_logged_with_its_photographs(bag):
    """Picked in the fold, one left out again; kept when the load is saved, shown there and on the lot."""
    async def walk():
        d = await weighing(bag)
        assert "none" in d.texts()
        await d.tap("photographs-fold")
        await pick(d, ("heap.jpg", HEAP), ("pail.png", PAIL), ("letter.jpg", b"Dear miller"), key="photographs-add")
        assert "A photograph was not kept" in d.texts()
        assert [said for _, said in pictures(d)] == ["photograph 1", "photograph 2"]
        assert bag.book.album.all() == ()
        await d.tap("photographs-out-2")
        assert "1 picked" in d.texts()
        await d.tap("save")
        await d.settle(200)
        (lot,) = bag.book.lots()
        assert f"Saved as {lot.code}" in d.texts()
        assert pictures(d) == [(HEAP, f"photograph of lot {lot.code}")]
        assert [one.sha256[:8] for one in bag.book.album.of(lot.id)] == [code(HEAP)]
        await pick(d, ("pail.png", PAIL))
        assert len(bag.book.album.of(lot.id)) == 2
        await d.tap("another")
        assert "1 picked" not in d.texts()
        d.check_alive()
    play(walk)


def test_looking_elsewhere_keeps_what_was_picked(bag):
    """What is picked and not saved yet is there when one comes back to the form."""
    async def walk():
        d = await weighing(bag)
        await d.tap("photographs-fold")
        await pick(d, ("heap.jpg", HEAP), key="photographs-add")
        await d.go("/trees")
        await d.go("/windfall")
        assert "1 picked" in d.texts()
    play(walk)


def test_a_load_is_saved_though_its_photograph_finds_no_room(bag, monkeypatch):
    """The load counts; that the photograph was not kept is said beside it, with a way to try again."""
    async def full(name, data):
        raise NoRoom(Problem("photographs", "the disk is full", "Make room, and try again."))

    async def walk():
        d = await weighing(bag)
        await d.tap("photographs-fold")
        await pick(d, ("heap.jpg", HEAP), key="photographs-add")
        monkeypatch.setattr(bag.book.album.shelf, "keep", full)
        await d.tap("save")
        await d.settle(200)
        (lot,) = bag.book.lots()
        assert {f"Saved as {lot.code}", "A photograph was not kept"} <= set(d.texts())
        monkeypatch.undo()
        await d.tap("photograph-again")
        await d.settle(200)
        assert len(bag.book.album.of(lot.id)) == 1
        d.check_alive()
    play(walk)


def test_without_a_photograph_nothing_is_asked(bag):
    """The fold stays closed, and saving takes the same taps as without it."""
    async def walk():
        d = await weighing(bag)
        await d.tap("save")
        await d.settle(200)
        assert len(bag.book.lots()) == 1
        assert bag.book.album.all() == ()
        d.check_alive()
    play(walk)


def test_a_correction_has_no_fold_for_it(bag):
    """A lot that is there already has its photographs on its own screen."""
    async def walk():
        lot = bag.lot(bag.tree("Mill lane"))
        d = await bag.open(f"/lots/{lot.code}/correct")
        assert not d.find("photographs-fold")
    play(walk)


def test_a_look_shows_its_photographs_on_the_tree(bag):
    """Picked with the look, shown small with it on the tree; large after a tap, and taken away from there."""
    async def walk():
        site = bag.tree("Mill lane", materials=("black-walnut",))
        d = await bag.open(f"{site_route(site)}/look")
        await d.tap("stage-dented")
        await d.tap("photographs-fold")
        await pick(d, ("heap.jpg", HEAP), key="photographs-add")
        await pick(d, ("pail.png", PAIL), key="photographs-add")
        assert "2 picked" in d.texts()
        await d.tap("look-save")
        await d.settle(200)
        assert d.routes()[-1] == site_route(site)
        (look,) = looks_at(bag.book, site)
        key = f"look-{look.id[-6:]}"
        assert [said for _, said in pictures(d)] == [f"photograph {n} of 2 of a look at Mill lane" for n in (1, 2)]
        await d.tap(f"{key}-{code(HEAP)}")
        await d.settle(200)
        assert d.title() == "Photograph 1 of 2 of a look at Mill lane"
        await d.tap("photograph-take")
        await d.tap("photograph-yes")
        await d.settle(200)
        assert d.routes()[-1] == site_route(site)
        assert [data for data, _ in pictures(d)] == [PAIL]
        await d.tap(f"{key}-back")
        await d.settle(200)
        assert len(pictures(d)) == 2
        d.check_alive()
    play(walk)
