"""What fell: a load logged from the scale to its worth, with the real book and the real screens."""

import sqlite3

import flet as ft
import pytest

from field_app.store import DATABASE, open_book
from field_app.ui.glyphs import undrawn
from tests.ui.driver import walk as inside
from tests.ui.fieldwork import DAY, FieldBag, play
from tests.ui.windfall_walk import MILL, weigh, words_below


@pytest.fixture
def bag(tmp_path):
    bag = FieldBag(tmp_path)
    yield bag
    bag.book.close()


def test_a_known_tree_takes_six_taps_at_most_and_the_weight(bag):
    """From Today to saved, with the material of last time: the taps are counted, the keys of the weight are not."""
    mill = bag.tree("Mill lane", **MILL)
    bag.lot(mill, days_ago=3)

    async def walk():
        d = await bag.open("/")
        taps = 0
        for key in ("log", f"site-{mill}"):
            await d.tap(key)
            taps += 1
        await weigh(d, "14.2")
        for key in ("ripe", "ripe-browned", "save"):
            await d.tap(key)
            taps += 1
        d.check_alive()
        assert taps <= 6
        lot = bag.book.lots()[0]
        assert f"Saved as {lot.code}" in d.texts()
        assert (lot.facts.gross.value, lot.facts.tare.value, lot.facts.ripeness) == ("14.2", "1.1", "browned")
        assert lot.site_name == "Mill lane"
    play(walk)


def test_what_is_saved_is_durable_before_it_says_so(bag):
    """When the screen says saved, another connection to the data folder reads the lot."""
    mill = bag.tree("Mill lane", **MILL)
    bag.lot(mill, days_ago=1)

    async def walk():
        d = await bag.open(f"/windfall/{mill}")
        await d.type("gross", "7.5")
        await d.tap("save")
        assert any(text.startswith("Saved as") for text in d.texts())
        other = open_book(bag.book.folder, clock=lambda: DAY, new_id=lambda: "urn:uuid:0")
        assert [lot.facts.gross.value for lot in other.lots()] == ["7.5", "14.2"]
        other.close()
    play(walk)


def test_figures_follow_the_keys(bag):
    """What is left after the pail, the hull in it and the wool change with every key."""
    mill = bag.tree("Mill lane", **MILL)
    bag.lot(mill)

    async def walk():
        d = await bag.open(f"/windfall/{mill}")
        assert [d.said(f"live-{name}") for name in ("net", "hull", "cloth")] == ["–"] * 3
        await weigh(d, "14")
        assert d.said("live-net").startswith("12.9 kg (")
        await weigh(d, ".2")
        assert d.said("live-net").startswith("13.1 kg (")
        assert d.said("live-hull").startswith("8.1 kg (")
        await d.tap("key-back")
        await d.tap("key-back")
        assert d.said("live-net").startswith("12.9 kg (")
        d.check_alive()
    play(walk)


def test_the_keypad_writes_into_the_field_that_was_touched(bag):
    """First the scale; after a touch on the empty pail, that."""
    mill = bag.tree("Mill lane", **MILL)

    async def walk():
        d = await bag.open(f"/windfall/{mill}")
        await weigh(d, "14")
        await d.fire(d.one("tare"), "focus")
        await weigh(d, "1.1")
        assert (d.one("gross").value, d.one("tare").value) == ("14", "1.1")
        assert d.said("live-net").startswith("12.9 kg")
    play(walk)


@pytest.mark.parametrize(("decimal_typed", "stored"), [("14,2", "14.2"), ("14.2", "14.2")])
def test_both_decimal_signs_are_understood(bag, decimal_typed, stored):
    """A comma and a point mean the same."""
    mill = bag.tree("Mill lane", **MILL)

    async def walk():
        d = await bag.open(f"/windfall/{mill}")
        await d.type("gross", decimal_typed)
        await d.tap("save")
        assert bag.book.lots()[0].facts.gross.value == stored
    play(walk)


def test_the_unit_of_the_scale_is_chosen_in_place_and_comes_back(bag):
    """Pounds hold for scale and pail, the figures are shown in them, and the next form begins with them."""
    mill = bag.tree("Mill lane", **MILL)

    async def walk():
        d = await bag.open(f"/windfall/{mill}")
        await d.tap("unit")
        await d.tap("unit-lb")
        await d.type("gross", "10")
        await d.type("tare", "2")
        assert d.said("live-net").startswith("8.0 lb (")
        await d.tap("save")
        await d.tap("another")
        assert (d.one("tare").value, d.one("gross").value) == ("2", "")
        assert "lb" in d.texts()
        d.check_alive()
    play(walk)


def test_held_sideways_the_scale_comes_before_what_is_mostly_right(bag):
    """On a low screen field and result are seen without scrolling as soon as the place is known; upright, below."""
    mill = bag.tree("Mill lane", **MILL)
    bag.lot(mill)

    async def walk():
        d = await bag.open(f"/windfall/{mill}")
        assert d.keys().index("where") < d.keys().index("gross")
        await d.fire(d.page, "resize", {"width": 844.0, "height": 390.0})
        keys = d.keys()
        assert keys.index("gross") < keys.index("live-net") < keys.index("where")
        assert "Mill lane · Black walnut, fresh · fallen, firm · whole fruit" in d.texts()
        await d.fire(d.page, "resize", {"width": 360.0, "height": 640.0})
        assert d.keys().index("key-7") < d.keys().index("where")
        await d.fire(d.page, "resize", {"width": 390.0, "height": 844.0})
        assert d.keys().index("where") < d.keys().index("gross")
        await d.go("/windfall")
        assert d.keys().index("where") < d.keys().index("gross")  # here it is still asked
        d.check_alive()
    play(walk)


@pytest.mark.parametrize(("typed", "field", "says"), [
    ({"gross": ""}, "gross", "How much it was is not given"),
    ({"gross": "1", "tare": "1.1"}, "tare", "is not less than the gross"),
    ({"gross": "14.2 L"}, "gross", "14.2 L"),
    ({"gross": "abc"}, "gross", "abc"),
    ({"gross": "99999"}, "gross", "99999"),
])
def test_a_refusal_stands_beside_its_field_and_nothing_typed_is_lost(bag, typed, field, says):
    """The problem is told below the field that it is about, the save line names the field, all texts stay."""
    mill = bag.tree("Mill lane", **MILL)

    async def walk():
        d = await bag.open(f"/windfall/{mill}")
        for key, text in typed.items():
            await d.type(key, text)
        await d.tap("note-fold")
        await d.type("note", "the third tree")
        await d.tap("save")
        assert bag.book.count("lot") == 0
        below = words_below(d, field)
        assert any(says in text for text in below), below
        assert d.one("not-kept").value.startswith("Not kept yet. To mend: ")
        for key, text in {**typed, "note": "the third tree"}.items():
            assert d.one(key).value == text
        d.check_alive()
    play(walk)


def test_a_mended_field_is_not_blamed_any_more(bag):
    """As soon as it is changed, its problem goes; others stay until they are mended."""
    async def walk():
        d = await bag.open("/windfall")
        await d.tap("material-black-walnut")
        await d.tap("save")
        assert words_below(d, "name")
        assert words_below(d, "gross")
        await d.type("name", "Mill lane")
        assert not words_below(d, "name")
        await weigh(d, "5")
        assert not words_below(d, "gross")
        await d.tap("save")
        assert bag.book.lots()[0].site_name == "Mill lane"
    play(walk)


@pytest.mark.parametrize(("key", "text", "fold"), [
    ("position", "somewhere", None), ("leave-until", "soon", "leave-fold"), ("leave-limit", "60 L", "leave-fold")])
def test_a_problem_in_a_fold_opens_it(bag, key, text, fold):
    """What has to be mended is in sight, even if its fold was closed again."""
    async def walk():
        d = await bag.open("/windfall")
        await d.type("name", "Mill lane")
        await d.tap("material-black-walnut")
        await weigh(d, "5")
        if fold:
            await d.tap(fold)
            await d.tap("leave-given")
        await d.type(key, text)
        if fold:
            await d.tap(fold)
            assert not d.find(key)
        await d.tap("save")
        assert bag.book.count("lot") == 0
        assert d.one(key).value == text
        assert words_below(d, key)
    play(walk)


def test_counted_fruit_and_filled_pails(bag):
    """A count, or pails with how full they are, are given in place of a weight, each with its own fields."""
    mill = bag.tree("Mill lane", **MILL)

    async def walk():
        d = await bag.open(f"/windfall/{mill}")
        await d.tap("way")
        await d.tap("way-counted-whole-fruit")
        assert not d.find("gross")
        await weigh(d, "212")
        assert "kg (" in d.said("live-net")
        await d.tap("save")
        assert bag.book.last_lot().facts.count == 212
        await d.tap("another")
        await d.tap("way")
        await d.tap("way-poured-hull")
        await weigh(d, "2")
        await d.tap("save")
        assert words_below(d, "pail")
        await d.fire(d.one("pail"), "focus")
        await weigh(d, "12")
        await d.tap("fill-0.75")
        await d.tap("save")
        facts = bag.book.last_lot().facts
        assert (facts.part, facts.pails, facts.pail.value, facts.pail.unit, facts.fill) == (
            "hull", "2", "12", "L", "0.75")
        d.check_alive()
    play(walk)


def test_ripeness_is_asked_only_where_it_has_a_meaning(bag):
    """Bark has none; a second tap on the chosen one takes it back."""
    mill = bag.tree("Mill lane", **MILL)

    async def walk():
        d = await bag.open(f"/windfall/{mill}")
        await d.tap("ripe-black")
        await d.tap("ripe")
        await d.tap("ripe-black")
        await weigh(d, "5")
        await d.tap("what")
        await d.tap("material-walnut-bark")
        assert not d.find("ripe")
        await d.tap("what")
        await d.tap("material-black-walnut")
        await d.tap("save")
        assert bag.book.lots()[0].facts.ripeness is None
    play(walk)


def test_of_bark_the_wood_is_asked_and_a_standing_tree_is_refused(bag):
    """Without an answer it is not saved; a standing tree is refused in words; felled wood is kept in the lot."""
    yard = bag.tree("Yard", materials=("alder-bark",))

    async def walk():
        d = await bag.open(f"/windfall/{yard}")
        await weigh(d, "5")
        await d.tap("save")
        assert d.one("not-kept").value == "Not kept yet. To mend: what wood"
        await d.tap("wood-standing")
        assert "Not from a standing tree" in d.texts()
        await d.tap("save")
        assert bag.book.count("lot") == 0
        await d.tap("wood-felled")
        assert "a felled tree" in d.texts()
        await d.tap("save")
        assert bag.book.lots()[0].facts.wood == "felled"
        d.check_alive()
    play(walk)


def test_a_material_is_found_by_a_word(bag):
    """All materials can be shown and searched; a word that finds none says so."""
    async def walk():
        d = await bag.open("/windfall")
        await d.tap("material-all")
        await d.type("material-search", "gall turkey")
        keys = d.keys()
        assert [key for key in keys if key.startswith("material-oak")] == ["material-oak-gall-turkey"]
        await d.type("material-search", "seaweed")
        assert any("Nothing here is called" in text for text in d.texts())
        await d.type("material-search", "gall turkey")
        await d.tap("material-oak-gall-turkey")
        assert "Oak gall, Turkey gall, fresh" in d.texts()
        d.check_alive()
    play(walk)


def test_it_may_have_been_earlier_but_not_later(bag):
    """Day and time are now, can be changed, and a time to come is refused beside them."""
    mill = bag.tree("Mill lane", **MILL)

    async def walk():
        d = await bag.open(f"/windfall/{mill}")
        await weigh(d, "5")
        await d.tap("when")
        await d.tap("when-earlier")
        assert (d.one("day").value, d.one("time").value) == ("2026-10-08", "15:00")
        await d.type("day", "2026-10-09")
        await d.tap("save")
        assert any("still to come" in text for text in d.texts())
        await d.type("day", "2026-10-07")
        await d.type("time", "09:40")
        await d.tap("save")
        assert bag.book.lots()[0].facts.gathered == "2026-10-07T09:40:00-02:00"
        d.check_alive()
    play(walk)


def test_what_was_typed_is_there_again_after_a_look_elsewhere(bag):
    """Back, to another place and here again: the texts stand as they were left."""
    mill = bag.tree("Mill lane", **MILL)

    async def walk():
        d = await bag.open("/")
        await d.tap("log")
        await d.tap(f"site-{mill}")
        await weigh(d, "14.2")
        await d.back()
        await d.tap("place-trees")
        await d.go("/windfall")
        assert d.one("gross").value == "14.2"
        assert "Mill lane" in d.texts()
        await d.tap("save")
        await d.go("/")
        await d.tap("log")
        assert not d.find("gross") or d.one("gross").value == ""
        d.check_alive()
    play(walk)


def test_another_load_begins_at_the_same_place(bag):
    """After saving, the next form has the place, the material and the pail, and no weight."""
    mill = bag.tree("Mill lane", **MILL)

    async def walk():
        d = await bag.open(f"/windfall/{mill}")
        await weigh(d, "14.2")
        await d.fire(d.one("tare"), "focus")
        await weigh(d, "1.1")
        await d.tap("save")
        await d.tap("another")
        assert (d.title(), d.one("gross").value, d.one("tare").value) == ("What fell", "", "1.1")
        assert "Mill lane" in d.texts()
        await weigh(d, "9")
        await d.tap("save")
        assert bag.book.count("lot") == 2
        await d.tap("done")
        assert d.routes() == ["/"]
        d.check_alive()
    play(walk)


def test_saved_shows_the_code_and_what_the_lot_is_worth(bag):
    """The code for the pail, wool at medium as a range, hull, air-dry mass, keeping, and what makes it surer."""
    mill = bag.tree("Mill lane", **MILL)

    async def walk():
        d = await bag.open(f"/windfall/{mill}")
        await d.type("gross", "14.2")
        await d.type("tare", "1.1")
        await d.tap("ripe-fallen")
        await d.tap("save")
        lot = bag.book.lots()[0]
        worth = bag.book.estimate(lot.id)
        assert d.title() == "13.1 kg of whole black walnuts"
        text = d.text()
        for words in (f"Saved as {lot.code}", "dyes, at medium", "hull", "air-dry", worth.surer[0], "11–18 Oct"):
            assert words in text, words
        await d.tap("see-lot")
        assert d.routes()[-1] == f"/lots/{lot.code}"
        d.check_alive()
    play(walk)


def test_a_book_that_cannot_be_written_says_so_and_keeps_what_was_typed(tmp_path, monkeypatch):
    """While another program writes, nothing is lost: it is said, and saving works as soon as the other is done."""
    monkeypatch.setattr("field_app.store.folder.PATIENCE", 0.05)
    bag = FieldBag(tmp_path)
    mill = bag.tree("Mill lane", **MILL)
    other = sqlite3.connect(bag.book.folder / DATABASE, isolation_level=None)

    async def walk():
        d = await bag.open(f"/windfall/{mill}")
        await weigh(d, "14.2")
        other.execute("begin immediate")
        await d.tap("save")
        assert any("being written by another program" in text for text in d.texts())
        assert d.one("gross").value == "14.2"
        other.execute("rollback")
        await d.tap("save")
        assert bag.book.count("lot") == 1
        d.check_alive()
    play(walk)
    other.close()
    bag.book.close()


def test_gloves_are_told_where_the_hand_is(bag):
    """The caution of the material stands under the save button, and all of them in a fold."""
    mill = bag.tree("Mill lane", **MILL)

    async def walk():
        d = await bag.open(f"/windfall/{mill}")
        assert any("Gloves" in text for text in d.texts())
        await d.tap("cautions")
        assert "Wear gloves and old clothes, and wash at once." in d.text()
    play(walk)


def test_figures_stand_below_each_other_where_text_is_large(bag):
    """At double text size the two weights are no longer side by side, where they would be cut off."""
    mill = bag.tree("Mill lane", **MILL)

    def side_by_side(d):
        return any(isinstance(c, ft.Row) and {"gross", "tare"} <= {k.key for k in inside(c)} for c in inside(d.top()))

    async def walk():
        d = await bag.open(f"/windfall/{mill}")
        assert side_by_side(d)
        # Each part that turns with the size of the text has a sample of its own.
        for probe in [c for c in d.controls() if isinstance(c, ft.Text) and c.on_size_change]:
            await d.fire(probe, "size_change", {"w": 18.0, "h": 32.0})
        assert not side_by_side(d)
        await weigh(d, "14.2")
        assert d.one("gross").value == "14.2"
        d.check_alive()
    play(walk)


def test_every_sign_of_ours_is_in_the_font(bag):
    """No word of the form or of the saved lot would show as a box."""
    mill = bag.tree("Mill lane", **MILL)

    async def walk():
        d = await bag.open(f"/windfall/{mill}")
        for fold in ("what", "way", "when", "position-fold", "leave-fold", "note-fold", "cautions"):
            await d.tap(fold)
        assert undrawn(d.text()) == ""
        await weigh(d, "5")
        await d.tap("save")
        assert undrawn(d.text()) == ""
    play(walk)
