"""The app as a whole: it opens on any address, and on a book that can't be read it says so."""

import sqlite3

import pytest

from field_app.store import DATABASE
from tests.ui.fieldwork import GIVEN, FieldBag, play


@pytest.fixture
def bag(tmp_path):
    bag = FieldBag(tmp_path)
    yield bag
    bag.book.close()


@pytest.mark.parametrize(("route", "stack"), [
    ("/", ["/"]), ("/trees", ["/"]), ("/lots", ["/"]), ("/dye-day", ["/"]),
    ("/windfall", ["/", "/windfall"]), ("/trees/new", ["/", "/trees/new"]), ("/lots/{lot}", ["/", "/lots/{lot}"]),
    ("/trees/{site}", ["/", "/trees/{site}"]), ("/windfall/{site}", ["/", "/windfall/{site}"])])
def test_every_address_opens_with_its_way_back_below_it(bag, route, stack):
    """A link into the app opens its screen, with the place it belongs to under it, and back leads there."""
    site = bag.tree("Mill lane", leave=GIVEN)
    names = {"site": site.removeprefix("urn:uuid:"), "lot": bag.lot(site).code}

    async def walk():
        d = await bag.open(route.format(**names))
        assert d.routes() == [one.format(**names) for one in stack]
        if len(stack) > 1:
            await d.back()
            assert d.routes() == ["/"]
        d.check_alive()
    play(walk)


def test_a_book_that_cannot_be_read_says_so_and_can_be_tried_again(bag, caplog):
    """The page opens on what is wrong, in plain words, and goes on as soon as the book can be read."""
    other = sqlite3.connect(bag.book.folder / DATABASE, isolation_level=None)
    other.execute("alter table thing rename to aside")

    async def walk():
        d = await bag.open("/")
        assert d.keys() == ["error-home"]
        d.check_alive()
        other.execute("alter table aside rename to thing")
        await d.tap("error-home")
        assert d.title() == "Begin with what fell"
        d.check_alive()
    play(walk)
    other.close()
