"""The screen of all trees."""

import pytest

from field_app.core.gather import LeaveForm
from field_app.core.looks import LookForm
from field_app.store import add_look
from tests.ui.fieldwork import GIVEN, FieldBag, denied, fix_at, on_screen, play


@pytest.fixture
def bag(tmp_path):
    bag = FieldBag(tmp_path)
    yield bag
    bag.book.close()


def names(d):
    """The names on the cards, in their order."""
    return [text for text in d.texts() if text in {"Mill lane", "Old orchard", "Ford bend", "Oak ride"}]


def test_an_empty_book_says_what_to_do(bag):
    """With no tree at all, the screen says so, says what to do, and leads there."""
    async def walk():
        d = await bag.open("/trees")
        assert d.title() == "No trees yet"
        assert "Put down where you gather" in d.texts()
        assert "trees-here" not in on_screen(d)
        await d.tap("tree-add")
        assert d.routes() == ["/", "/trees/new"]
        d.check_alive()
    play(walk)


def test_the_title_is_the_answer(bag):
    """How many trees there are, and at how many one may not gather."""
    async def walk():
        bag.tree("Mill lane", leave=GIVEN)
        d = await bag.open("/trees")
        assert d.title() == "1 tree, leave for it"
        bag.tree("Old orchard")
        bag.tree("Schoolyard", leave=LeaveForm("refused"))
        d = await bag.open("/trees")
        assert d.title() == "3 trees, 2 without leave"
    play(walk)


@pytest.mark.parametrize(("leave", "words"), [
    (None, "Leave not asked yet"),
    (LeaveForm("not-asked", by="the parish"), "Leave not asked yet: ask the parish"),
    (LeaveForm("refused", by="the school"), "Leave refused by the school: don't gather here"),
    (LeaveForm("given"), "Leave given"),
    (LeaveForm("given", by="the miller", until="2026-11-15", limit="60 kg"),
     "Leave given by the miller, until Sun 15 Nov, 60 kg at most"),
    (LeaveForm("given", until="2027-03-01"), "Leave given, until Mon 1 Mar 2027"),
    (LeaveForm("given", until="2026-10-08"), "Leave given, until today"),
    (LeaveForm("given", by="the sawyer", until="2026-10-07"), "Leave by the sawyer ended Wed 7 Oct: ask again"),
])
def test_leave_is_told_in_words(bag, leave, words):
    """Each state of leave has its words, with whom, until when and how much; the last day counts."""
    async def walk():
        bag.tree("Mill lane", leave=leave)
        d = await bag.open("/trees")
        assert words in d.texts()
    play(walk)


def test_what_stands_there_and_what_fell_last(bag):
    """A card tells the materials, and the newest load from there with its range."""
    async def walk():
        site = bag.tree("Oak ride", materials=("oak-gall-apple", "acorn-cups", "english-walnut"))
        bag.tree("Mill lane")
        bag.lot(site, days_ago=9)
        bag.lot(site, days_ago=1, gross="3", tare="1")
        d = await bag.open("/trees")
        assert "Oak gall, soft gall-apple, acorn cups, English walnut" in d.texts()
        assert "Last windfall yesterday: 2.0 kg (1.9–2.1)" in d.texts()
        assert "Nothing logged here yet" in d.texts()
        assert "What stands there is not noted" in d.texts()
    play(walk)


def test_the_nearest_come_first_when_the_device_says_where_it_is(bag):
    """Before, they stand by name without distances; after, nearest first with distance and direction."""
    async def walk():
        bag.tree("Mill lane", position="44.02, -28.0")
        bag.tree("Old orchard", position="44.001, -28.0")
        bag.tree("Ford bend")
        d = await bag.open("/trees", replies=fix_at(44.0, -28.0))
        assert names(d) == ["Ford bend", "Mill lane", "Old orchard"]
        assert not [text for text in d.texts() if "north" in text]
        await d.tap("trees-here")
        assert names(d) == ["Old orchard", "Mill lane", "Ford bend"]
        assert "110 m, north" in d.texts()
        assert "2.2 km, north" in d.texts()
        assert "position not noted" in d.texts()
        assert "Where you gather, nearest first · fix ± 5 m" in d.texts()
        d.check_alive()
    play(walk)


@pytest.mark.parametrize(("replies", "words"), [
    ({"is_location_service_enabled": True, "request_permission": "denied"}, "was not allowed"),
    ({"is_location_service_enabled": True, "request_permission": "deniedForever"}, "may not ask"),
    ({"is_location_service_enabled": False}, "is switched off"),
    ({**fix_at(0, 0), "get_current_position": denied}, "was not allowed"),
])
def test_a_device_that_refuses(bag, replies, words):
    """It is said in plain words what stands in the way; the list stays, by name, and one can ask again."""
    async def walk():
        bag.tree("Mill lane", position="44.02, -28.0")
        d = await bag.open("/trees", replies=replies)
        await d.tap("trees-here")
        assert words in d.text()
        assert "Until then the trees stand by name." in d.text()
        assert "Type or paste" not in d.text()  # there is no field for it here
        assert names(d) == ["Mill lane"]
        d.client.replies.update(fix_at(44.0, -28.0))
        await d.tap("trees-here")
        assert words not in d.text()
        assert "2.2 km, north" in d.texts()
        d.check_alive()
    play(walk)


def test_a_tap_on_a_card_opens_the_tree(bag):
    """The whole card leads to its tree, and back leads to the list."""
    async def walk():
        site = bag.tree("Mill lane").removeprefix("urn:uuid:")
        d = await bag.open("/trees")
        await d.tap(f"tree-{site}")
        assert d.routes() == ["/", f"/trees/{site}"]
        await d.back()
        assert d.routes() == ["/"]
        assert d.title() == "1 tree, without leave"
    play(walk)


def test_a_very_long_name_is_shown_whole(bag):
    """A name of 120 signs is neither cut off nor replaced by dots."""
    async def walk():
        name = "Long hedge above the pond " * 4 + "and past a gate."
        assert len(name) == 120
        bag.tree(name)
        d = await bag.open("/trees")
        assert name in d.texts()
    play(walk)


def test_many_trees_come_fifty_at_a_time(bag):
    """Of 60 trees, 50 are shown, and the rest on request."""
    async def walk():
        for number in range(60):
            bag.tree(f"Tree {number:02}")
        d = await bag.open("/trees")
        assert d.title() == "60 trees, 60 without leave"
        assert "Tree 49" in d.texts()
        assert "Tree 50" not in d.texts()
        await d.tap("trees-more")
        assert "Tree 59" in d.texts()
        assert "trees-more" not in on_screen(d)
    play(walk)


def test_a_row_tells_how_its_tree_stands(bag):
    """Ready with the day to go by, past its best, or coming; not where leave was refused."""
    how = {"materials": ("black-walnut",), "position": "44.0151, -28.0042"}
    for name, leave, stage in (("Mill lane", GIVEN, "fallen"), ("Ford", GIVEN, "green"),
                               ("School", LeaveForm("refused"), "fallen")):
        bag.tree(name, leave=leave, **how)
        add_look(bag.book, name, LookForm(stage=stage))

    async def walk():
        d = await bag.open("/trees")
        assert "Ready now; go by Sun 11 Oct" in d.texts()
        assert sum(text.startswith("Ready around ") for text in d.texts()) == 1
        assert sum("go by" in text for text in d.texts()) == 1
        d.check_alive()
    play(walk)
