"""Adding a tree."""

import pytest

from field_app.core.positions import Position
from tests.ui.fieldwork import FieldBag, fix_at, on_screen, play


@pytest.fixture
def bag(tmp_path):
    bag = FieldBag(tmp_path)
    yield bag
    bag.book.close()


def test_a_whole_tree_is_kept_as_it_was_typed(bag):
    """Name, materials, position, leave and note are in the book, and the tree's screen opens."""
    async def walk():
        d = await bag.open("/trees/new")
        await d.type("tree-name", "  Mill   lane ")
        await d.tap("material-black-walnut")
        await d.type("material-search", "walnut bark")
        await d.tap("material-walnut-bark")
        await d.type("position", "44° 0.740′ N, 28° 0.340′ W")
        await d.tap("leave-given")
        await d.type("leave-by", "the miller")
        await d.type("leave-until", "2026-11-15")
        await d.type("leave-limit", "5,5 kg")
        await d.type("leave-note", "close the gate")
        await d.type("tree-note", "the third one is the earliest")
        await d.tap("tree-save")
        site = bag.book.site("Mill lane")
        assert d.routes() == ["/", f"/trees/{site.id.removeprefix('urn:uuid:')}"]
        assert d.title() == "Black walnut: probably past its best since about Sat 3 Oct"
        assert "15 Nov" in d.text()
        assert site.facts.materials == ("black-walnut", "walnut-bark")
        assert site.facts.note == "the third one is the earliest"
        assert site.position == Position(44.012333, -28.005667)
        assert site.leave.by == "the miller"
        assert site.leave.limit.si == 5.5
        assert site.leave.note == "close the gate"
        d.check_alive()
    play(walk)


def test_a_name_is_enough(bag):
    """Everything else can be told later; leave is then not asked yet."""
    async def walk():
        d = await bag.open("/trees/new")
        await d.type("tree-name", "Ford bend")
        await d.tap("tree-save")
        site = bag.book.site("Ford bend")
        assert site.position is None
        assert site.leave_on(bag.now.date()) == "not-asked"
    play(walk)


def test_what_is_wrong_is_said_and_what_was_typed_stays(bag):
    """All problems at once, each beside its field; no field is emptied; nothing is written."""
    async def walk():
        d = await bag.open("/trees/new")
        await d.type("tree-name", "")
        await d.type("position", "north of the ford")
        await d.tap("leave-given")
        await d.type("leave-until", "next autumn")
        await d.type("leave-limit", "twelve pails")
        await d.type("tree-note", "wet after rain")
        await d.tap("tree-save")
        assert d.routes() == ["/", "/trees/new"]
        told = d.text()
        assert "empty. Give the place a name that you will know again." in told
        assert "'next autumn' is not a day" in told
        assert "Not kept yet. To mend: name, where it is, until when, how much" in told
        for key, text in (("position", "north of the ford"), ("leave-until", "next autumn"),
                          ("leave-limit", "twelve pails"), ("tree-note", "wet after rain")):
            assert d.one(key).value == text
        assert bag.book.count("site") == 0
        await d.type("tree-name", "Ford bend")
        await d.type("position", "")
        await d.type("leave-until", "")
        await d.type("leave-limit", "12 kg")
        await d.tap("tree-save")
        assert bag.book.site("Ford bend").facts.note == "wet after rain"
        d.check_alive()
    play(walk)


def test_a_name_that_is_taken(bag):
    """Two trees of one name are refused, for a pail with it could be from either."""
    async def walk():
        bag.tree("Mill lane")
        d = await bag.open("/trees/new")
        await d.type("tree-name", "mill  LANE")
        await d.tap("tree-save")
        assert "There is a site named 'mill LANE' already" in d.text()
        assert bag.book.count("site") == 1
    play(walk)


def test_a_name_that_is_too_long(bag):
    """121 signs are one too many; the message says how many fit, and the name stays typed."""
    async def walk():
        d = await bag.open("/trees/new")
        await d.type("tree-name", "x" * 121)
        await d.tap("tree-save")
        assert "has 121 signs, 120 at most fit" in d.text()
        assert d.one("tree-name").value == "x" * 121
    play(walk)


def test_the_device_gives_the_position(bag):
    """Beside the tree one tap is enough; the fix and its radius are kept with the tree."""
    async def walk():
        d = await bag.open("/trees/new", replies=fix_at(44.0123456789, -28.0, 6.4), web=True)
        await d.type("tree-name", "Old orchard")
        await d.tap("position-here")
        assert "44.01235 N, 28.00000 W" in d.texts()
        assert "± 6.4 m, as the device says." in d.texts()
        await d.tap("tree-save")
        site = bag.book.site("Old orchard")
        assert site.position == Position(44.012346, -28.0)
        assert (site.facts.fix.source, site.facts.fix.accuracy, site.facts.fix.meaning) == ("device", "6.4", "95 %")
    play(walk)


def test_a_rough_fix_is_called_rough(bag):
    """A radius of 400 m is taken, but it is said that it can't tell one tree from the next."""
    async def walk():
        d = await bag.open("/trees/new", replies=fix_at(44.0, -28.0, 400))
        await d.tap("position-here")
        assert "Too rough to tell one tree from the next" in d.texts()
        await d.tap("position-drop")
        assert d.one("position").value == ""
    play(walk)


def test_a_device_that_refuses_leaves_everything_as_it_was(bag):
    """The reason is said beside the button, what was typed stays, and the typed position is used."""
    async def walk():
        d = await bag.open("/trees/new", replies={"is_location_service_enabled": True,
                                                  "request_permission": "deniedForever"})
        await d.type("tree-name", "Heron marsh")
        await d.type("position", "44.0214, -28.01388")
        await d.tap("position-here")
        assert "may not ask for the position" in d.text()
        assert d.one("tree-name").value == "Heron marsh"
        assert d.one("position").value == "44.0214, -28.01388"
        await d.tap("tree-save")
        assert bag.book.site("Heron marsh").facts.fix.source == "typed"
        d.check_alive()
    play(walk)


def test_a_step_back_loses_nothing(bag):
    """Who leaves the form and comes back finds it as it was, and can begin anew."""
    async def walk():
        d = await bag.open("/trees/new")
        await d.type("tree-name", "Chapel green")
        await d.tap("material-butternut")
        await d.tap("back")
        assert d.routes() == ["/"]
        await d.go("/trees/new")
        assert d.one("tree-name").value == "Chapel green"
        assert "What you typed before is still here" in d.texts()
        await d.tap("tree-anew")
        assert d.one("tree-name").value == ""
        await d.type("tree-name", "Oak ride")
        await d.tap("tree-save")
        assert bag.book.site("Oak ride").facts.materials == ()
        await d.go("/trees/new")
        assert d.one("tree-name").value == ""
        d.check_alive()
    play(walk)


def test_materials_can_be_searched(bag):
    """A word of the name, the botanical name or the group finds them; a chosen one stays in sight."""
    async def walk():
        d = await bag.open("/trees/new")
        assert "material-oak-gall-turkey" not in on_screen(d)
        await d.tap("material-black-walnut")
        await d.type("material-search", "quercus gall")
        chips = [key for key in on_screen(d) if key.startswith("material-") and key != "material-search"]
        assert chips == ["material-black-walnut", "material-oak-gall-apple", "material-oak-gall-turkey",
                         "material-oak-gall-unknown"]
        await d.type("material-search", "madder")
        assert "Nothing here is called 'madder'" in d.text()
        await d.type("material-search", "")
        await d.tap("material-all")
        assert "material-acorn-cups" in on_screen(d)
        await d.tap("material-acorn-cups")
        await d.tap("material-black-walnut")
        await d.type("tree-name", "Oak ride")
        await d.tap("tree-save")
        assert bag.book.site("Oak ride").facts.materials == ("acorn-cups",)
    play(walk)


def test_a_full_disk_is_told_and_nothing_is_lost(bag):
    """Without room the tree is not kept, what was typed stays, and with room again one tap keeps it."""
    async def walk():
        d = await bag.open("/trees/new")
        await d.type("tree-name", "Mill lane")
        await d.type("tree-note", "wet after rain " * 120)
        bag.room(False)
        for number in range(40):  # what room is left in the file is used up
            await d.type("tree-name", f"Mill lane {number}")
            await d.tap("tree-save")
            if "elsewhere" in on_screen(d):
                break
            await d.go("/trees/new")
            await d.type("tree-note", "wet after rain " * 120)
        assert "could not be written" in d.text()
        assert d.one("tree-note").value == "wet after rain " * 120
        kept = bag.book.count("site")
        bag.room(True)
        await d.tap("tree-save")
        assert bag.book.count("site") == kept + 1
        d.check_alive()
    play(walk)
