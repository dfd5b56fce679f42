"""One tree."""

import pytest

from field_app.store import timings
from field_app.ui.season_words import ready_words
from tests.ui.fieldwork import DAY, GIVEN, FieldBag, fix_at, on_screen, play


@pytest.fixture
def bag(tmp_path):
    bag = FieldBag(tmp_path)
    yield bag
    bag.book.close()


def at(site):
    """The address of a tree."""
    return f"/trees/{site.removeprefix('urn:uuid:')}"


def test_a_tree_tells_leave_position_note_and_lots(bag):
    """The title tells its season, the line above it which tree; the rest is on the cards, newest lot first."""
    async def walk():
        site = bag.tree("Mill lane", materials=("black-walnut",), position="44.01234, -28.00567",
                        note="the third one is the earliest", leave=GIVEN)
        old, new = bag.lot(site, days_ago=20), bag.lot(site)
        elsewhere = bag.lot(bag.tree("Ford bend"))
        d = await bag.open(at(site))
        (one,) = timings(bag.book, sites=(bag.book.site(site),))
        assert d.title() == ready_words(one.forecast, DAY.date())
        told = d.texts()
        assert told[0] == "Mill lane · Black walnut"
        assert "Leave given by the miller, until Sun 15 Nov" in told
        assert "44.01234 N, 28.00567 W" in told
        assert "typed in" in told or "pasted in" in told
        assert "the third one is the earliest" in told
        assert told.index(new.code) < told.index(old.code)
        assert elsewhere.code not in told
        await d.tap(f"lot-{new.code}")
        assert d.routes() == ["/", f"/lots/{new.code}"]
        d.check_alive()
    play(walk)


def test_the_way_is_told_once_the_device_has_said_where_it_is(bag):
    """Distance and direction stand above the title, if both positions are known."""
    async def walk():
        site = bag.tree("Mill lane", position="44.01, -28.0")
        d = await bag.open("/trees", replies=fix_at(44.0, -28.0))
        await d.tap("trees-here")
        await d.go(at(site))
        assert "What stands there is not noted · 1.1 km, north" in d.texts()
    play(walk)


def test_the_position_can_be_copied_as_it_would_be_read_again(bag):
    """What lands on the clipboard names the same place when it is pasted here."""
    async def walk():
        from field_app.core.positions import Position, read_position

        site = bag.tree("Mill lane", position="44.012345, -28.005678")
        d = await bag.open(at(site))
        copied = d.one("position-copy").action.data
        assert read_position(copied).position == Position(44.012345, -28.005678)
        await d.tap("position-copy")
        assert d.snack() == "The position is copied."
    play(walk)


def test_a_tree_without_position_says_what_follows(bag):
    """Nothing is shown as if it were known, and there is nothing to copy."""
    async def walk():
        d = await bag.open(at(bag.tree("Mill lane")))
        assert "Not noted. Distances and a way there can't be shown." in d.texts()
        assert "position-copy" not in on_screen(d)
        assert "Nothing logged here yet." in d.texts()
    play(walk)


def test_leave_is_changed_in_place(bag):
    """The fields begin with what is noted; what is kept holds at once, and the title says it."""
    async def walk():
        site = bag.tree("Old orchard", leave=GIVEN)
        d = await bag.open(at(site))
        await d.tap("leave-change")
        assert d.one("leave-by").value == "the miller"
        assert d.one("leave-until").value == "2026-11-15"
        await d.type("leave-until", "2026-10-31")
        await d.type("leave-limit", "60 kg")
        await d.tap("leave-save")
        assert d.title() == "Old orchard: leave until 31 Oct"
        assert "Leave given by the miller, until Sat 31 Oct, 60 kg at most" in d.texts()
        await d.tap("leave-change")
        await d.tap("leave-refused")
        await d.tap("leave-save")
        assert d.title() == "Old orchard: leave refused"
        assert bag.book.site(site).leave.until is None
        d.check_alive()
    play(walk)


def test_refused_leave_keeps_what_was_typed(bag):
    """A day that can't be read is said beside its field; nothing changes in the book."""
    async def walk():
        site = bag.tree("Old orchard", leave=GIVEN)
        d = await bag.open(at(site))
        await d.tap("leave-change")
        await d.type("leave-until", "31.10.2026")
        await d.tap("leave-save")
        assert "'31.10.2026' is not a day. Type year-month-day, such as 2026-10-08." in d.texts()
        assert "Not kept yet. To mend: until when" in d.texts()
        assert d.one("leave-until").value == "31.10.2026"
        assert bag.book.site(site).leave.until.isoformat() == "2026-11-15"
        await d.tap("back")
        await d.go(at(site))
        await d.tap("leave-change")
        assert d.one("leave-until").value == "31.10.2026"
        await d.tap("leave-stop")
        await d.tap("leave-change")
        assert d.one("leave-until").value == "2026-11-15"
        d.check_alive()
    play(walk)


def test_leave_that_ends_today_is_said_twice(bag):
    """It still holds today, and one is told to ask again."""
    async def walk():
        from field_app.core.gather import LeaveForm

        d = await bag.open(at(bag.tree("Ford bend", leave=LeaveForm("given", until="2026-10-08"))))
        assert d.title() == "Ford bend: leave until today"
        assert "It ends today: ask again before the next walk." in d.texts()
    play(walk)


def test_the_main_action_logs_a_windfall_here(bag):
    """It leads to the logging screen with this tree in the address."""
    async def walk():
        site = bag.tree("Mill lane")
        d = await bag.open(at(site))
        await d.tap("tree-log")
        assert d.calls("push_route")[-1]["route"] == f"/windfall/{site.removeprefix('urn:uuid:')}"
        assert "Mill lane" in d.text()
    play(walk)


def test_many_lots_of_one_tree_come_ten_at_a_time(bag):
    """Of 12 lots ten are shown, the rest on request."""
    async def walk():
        site = bag.tree("Mill lane")
        lots = [bag.lot(site, days_ago=day) for day in range(12)]
        d = await bag.open(at(site))
        assert [lot.code in d.texts() for lot in lots] == [True] * 10 + [False] * 2
        await d.tap("tree-more")
        assert all(lot.code in d.texts() for lot in lots)
        assert "tree-more" not in on_screen(d)
    play(walk)


def test_an_address_of_no_tree(bag):
    """It is said that there is none, with a way on; the app stays alive."""
    async def walk():
        d = await bag.open("/trees/00000000-0000-7000-8000-00000000ffff")
        assert "tree: it is not in this book" in d.texts()
        await d.tap("error-home")
        assert d.routes() == ["/"]
        d.check_alive()
    play(walk)
