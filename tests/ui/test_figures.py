"""The materials, their figures, and making one's own of one of them."""

import pytest

from field_app.core.materials import MATERIALS
from field_app.core.own_deeds import OwnTestForm, ValueForm
from field_app.store import note_test, own_records, set_value
from tests.ui.fieldwork import FieldBag, on_screen, play


@pytest.fixture
def bag(tmp_path):
    bag = FieldBag(tmp_path)
    yield bag
    bag.book.close()


def keys(d, start):
    """The keys on the screen that start so, in their order."""
    return [key for key in on_screen(d) if key.startswith(start)]


def test_the_materials_are_found_and_say_what_is_ones_own(bag):
    """All materials are listed, a search narrows them, and one with a value of one's own says so."""
    set_value(bag.book, ValueForm("oak-bark", "dry-fresh", "50 %"))

    async def walk():
        d = await bag.open("/materials")
        assert d.title() == "20 materials, 1 with figures of your own"
        assert keys(d, "material-")[1:] == [f"material-{key}" for key in MATERIALS]
        await d.type("material-search", "oak bark")
        assert keys(d, "material-")[1:] == [
            "material-oak-bark", "material-white-oak-bark", "material-red-oak-bark"]
        assert "1 figure of your own" in d.texts()
        await d.type("material-search", "zzz")
        assert "Nothing here is called 'zzz'. Try a shorter word." in d.texts()
        await d.type("material-search", "")
        await d.tap("material-oak-bark")
        assert d.title() == f"English oak bark: {len(MATERIALS['oak-bark'].parameters)} figures, 1 of them your own"
        d.check_alive()
    play(walk)


def test_every_figure_is_there_with_range_source_and_mark(bag):
    """With all sections opened, each figure of the table has its range and where it comes from; ripeness too."""
    async def walk():
        d = await bag.open("/materials/black-walnut")
        for key in [key for key in keys(d, "section-") if key != "section-dry-fresh"]:
            await d.tap(key)
        stuff = MATERIALS["black-walnut"]
        assert set(keys(d, "shown-")) == {f"shown-{name}" for name in stuff.parameters}
        assert d.said("shown-hull-share") == "62.0 % (55.0–75.0)"
        text = d.text()
        assert "Rule of thumb; 5 lb of whole fruit gave 3 lb of hull (hobby notes)" in text
        assert "Common practice, no source" in text
        assert "The sources disagree." in text
        assert "ommon practice: common practice" not in text, "how far it is to be trusted is said once"
        assert "General BBCH code 79." in text
        assert "worth 0.6–1" in text
        d.check_alive()
    play(walk)


def test_a_value_is_set_on_the_keypad_and_taken_back(bag):
    """From the figure to one's own value and back: the table's stays beside it, and undoing works."""
    mill = bag.tree("Mill lane", materials=("black-walnut",))
    lot = bag.lot(mill, part="hull", gross="11.1")
    before = bag.book.estimate(lot.id).dry_matter.central

    async def walk():
        d = await bag.open("/materials/black-walnut")
        await d.tap("figure-dry-fresh")
        assert d.title() == "Dry matter, fresh: 15.0 % (12.0–25.0)"
        await d.tap("figure-set")
        for key in ("1", "8"):
            await d.tap(f"key-{key}")
        await d.type("low", "17")
        await d.tap("value-save")
        assert d.title() == "Dry matter, fresh: 18.0 % (17.0–19.8)"
        assert {"in the table (light)", "15.0 % (12.0–25.0)", "your own value (dark)", "18.0 % (17.0–19.8)",
                "Your own value; the table has 15 % (12–25)."} <= set(d.texts())
        assert bag.book.estimate(lot.id).dry_matter.central == pytest.approx(before * 18 / 15)
        await d.tap("value-back")
        assert d.title() == "Dry matter, fresh: 15.0 % (12.0–25.0)"
        await d.tap("undo")
        assert d.title() == "Dry matter, fresh: 18.0 % (17.0–19.8)"
        d.check_alive()
    play(walk)


def test_a_value_of_one_place_is_shown_there_alone(bag):
    """The place is chosen before it is kept; the figure then says where it holds."""
    mill = bag.tree("Mill lane", materials=("black-walnut",))

    async def walk():
        d = await bag.open("/materials/black-walnut/piece-whole-fruit/set")
        await d.type("value", "2.5")
        await d.tap("unit-oz")
        await d.tap(f"place-{mill}")
        assert "It holds at Mill lane." in d.texts()
        await d.tap("value-save")
        assert d.title() == "One whole fruit: 70.9 g (64.4–78.0)"
        await d.tap("place-")
        assert d.title() == "One whole fruit: 70.0 g (45.0–100.0)"
        assert not d.find("value-back")
        d.check_alive()
    play(walk)


def test_what_can_not_be_is_told_at_its_field_and_kept(bag):
    """A share above all there is stays in the field, and nothing is written."""
    async def walk():
        d = await bag.open("/materials/black-walnut/dry-fresh/set")
        await d.type("value", "180")
        await d.tap("value-save")
        assert d.one("not-kept").value == "Not kept yet. To mend: the value"
        assert "180 % is more than all there is. Give a share up to 100 %." in d.texts()
        assert d.one("value").value == "180"
        await d.go("/materials")
        await d.go("/materials/black-walnut/dry-fresh/set")
        assert d.one("value").value == "180"
        assert own_records(bag.book.log_book).values == ()
        d.check_alive()
    play(walk)


def test_tests_are_listed_with_their_figure_and_taken_back(bag):
    """Prior and posterior are shown with words for a screen reader; a test taken back brings the table's again."""
    mill = bag.tree("Mill lane", materials=("black-walnut",))
    lot = bag.lot(mill)
    note_test(bag.book, OwnTestForm("dry", before="212 g", after="52 g", dish="12 g", lot=lot.id))

    async def walk():
        d = await bag.open("/materials/black-walnut/dry-fresh")
        assert "with your tests (dark)" in d.texts()
        labels = [control.label for control in d.controls() if type(control).__name__ == "Semantics"]
        assert any(label and label.startswith("dry matter, fresh. in the table: 15.0 % (12.0–25.0). with your tests: 1")
                   for label in labels)
        assert f"Dry test, today · Mill lane · lot {lot.code} · fresh · 20 % dry matter" in d.texts()
        (back,) = keys(d, "test-back-")
        await d.tap(back)
        assert d.title() == "Dry matter, fresh: 15.0 % (12.0–25.0)"
        assert not d.find("figure-tests")
        await d.tap("undo")
        assert d.find("figure-tests")
        d.check_alive()
    play(walk)


def test_people_who_differ_are_told(bag, tmp_path):
    """Where two devices set different values, the figure says so, and setting it anew settles it."""
    from field_app.sync import group_bytes, merge_bytes

    other = FieldBag(tmp_path / "other")
    for book, text in ((bag.book, "18 %"), (other.book, "21 %")):
        set_value(book, ValueForm("black-walnut", "dry-fresh", text))
    merge_bytes(bag.book, group_bytes(other.book), "f.zip")

    async def walk():
        d = await bag.open("/dye-day/share")
        assert "Two different things are said about the value of black walnut, dry matter, fresh" in d.texts()
        assert {"18 %", "21 %"} <= set(d.texts())
        await d.go("/materials/black-walnut/dry-fresh")
        assert d.find("figure-apart")
        await d.tap("figure-set")
        await d.type("value", "20")
        await d.tap("value-save")
        assert not d.find("figure-apart")
        assert d.title().startswith("Dry matter, fresh: 20.0 %")
        d.check_alive()
    play(walk)
    other.book.close()


@pytest.mark.parametrize("route", ["/materials/moon-dust", "/materials/black-walnut/moon", "/materials/moon-dust/test",
                                   "/materials/black-walnut/moon/set", "/pots/urn:uuid:nothing"])
def test_an_address_of_nothing_says_so(bag, route):
    """A material, a figure or a pot that is not there is told in plain words, and the app goes on."""
    async def walk():
        d = await bag.open(route)
        assert "Something went wrong" not in d.text()
        assert "not known" in d.text() or "is no figure" in d.text() or "not in this book" in d.text()
        await d.go("/materials")
        assert d.title() == "20 dye materials"
        d.check_alive()
    play(walk)
