"""Handing lots over for a dye day."""

import asyncio
import io
import zipfile

import pytest

from field_app.core.units import show_range
from field_app.handover import check
from field_app.ui.hand_over_choice import size_words, together
from tests.ui.fieldwork import FieldBag, made, make, on_screen, play, rows, three


@pytest.fixture
def bag(tmp_path):
    bag = FieldBag(tmp_path)
    yield bag
    bag.book.close()


async def tick(d, key, on):
    """Tick or clear a box."""
    box = d.one(key)
    d.session.apply_patch(box._i, {"value": on})
    await d.fire(box, "change", on)


def test_nothing_to_hand_over(bag):
    """Without lots the screen says so and leads to logging one."""
    async def walk():
        d = await bag.open("/dye-day/hand-over")
        assert d.title() == "Nothing to hand over yet"
        await d.tap("hand-log")
        assert d.calls("push_route")[-1]["route"] == "/windfall"
        d.check_alive()
    play(walk)


def test_the_good_ones_are_chosen_to_begin_with(bag):
    """What is past its best is on offer, but not chosen; the sums are those of what is chosen."""
    async def walk():
        good, past, dry = three(bag)
        d = await bag.open("/dye-day/hand-over")
        assert d.title() == "2 lots, 26.2 kg, to hand over"
        assert [d.one(f"pick-{lot.code}").value for lot in (good, past, dry)] == [True, False, True]
        assert "Past their best" in d.texts()
        net, air_dry, cloth = together((good, dry), lambda lot: bag.book.estimate(lot.code))
        assert show_range(net) in d.texts()
        assert show_range(air_dry) in d.texts()
        assert show_range(cloth).partition(" (")[0] in d.texts()
        for worth in (bag.book.estimate(good.code), bag.book.estimate(dry.code)):
            assert worth.shades[1].cloth.low < cloth.low
        d.check_alive()
    play(walk)


def test_the_file_holds_what_was_chosen_and_passes_the_check(bag):
    """The bytes are a lot file without a fault, with the chosen lots and only the trees they came from."""
    async def walk():
        good, _, dry = three(bag)
        d = await bag.open("/dye-day/hand-over", replies={"save_file": "/home/lots.zip"})
        data = await made(d)
        report = check(data)
        assert report.problems == ()
        assert {row["code"] for row in rows(data, "lots.csv")} == {good.code, dry.code}
        assert len(rows(data, "sites.csv")) == 2
        told = d.text()
        assert f"lots-2026-10-08-1500.zip, {size_words(len(data))}" in told
        assert "Made and read back without a fault: 2 lots from 2 trees" in told
        (call,) = d.calls("save_file")
        assert call["file_name"] == "lots-2026-10-08-1500.zip"
        d.check_alive()
    play(walk)


def test_places_are_rounded_and_nothing_is_named_unless_asked(bag):
    """As it comes, the file holds two decimals of a degree, no name, no note, nobody who gave leave."""
    async def walk():
        three(bag)
        d = await bag.open("/dye-day/hand-over", replies={"save_file": "/home/lots.zip"})
        assert "Where 2 trees stand, rounded to about 1 km, and whether leave is given." in d.texts()
        assert "Kept back: the names of the trees, your notes, who gave leave." in d.texts()
        data = await made(d)
        with zipfile.ZipFile(io.BytesIO(data)) as packed:
            text = "".join(packed.read(name).decode() for name in packed.namelist())
        for secret in ("Mill lane", "Oak ride", "Schoolyard", "behind the gate", "the early one", "miller",
                       "44.0123", "28.0056", "44.004"):
            assert secret not in text
        assert "44.01" in text
    play(walk)


def test_what_is_switched_on_goes_along(bag):
    """Names, notes and exact places are told if one says so, and the screen says that they will be."""
    async def walk():
        three(bag)
        d = await bag.open("/dye-day/hand-over", replies={"save_file": "/home/lots.zip"})
        await tick(d, "hand-names", True)
        await tick(d, "hand-notes", True)
        await d.tap("places-exact")
        assert "Where 2 trees stand, exactly, and whether leave is given." in d.texts()
        assert "Also their names and your notes." in d.texts()
        assert "Kept back: who gave leave." in d.texts()
        data = await made(d)
        assert check(data).problems == ()
        with zipfile.ZipFile(io.BytesIO(data)) as packed:
            text = "".join(packed.read(name).decode() for name in packed.namelist())
        for told in ("Mill lane", "behind the gate", "the early one", "44.012345"):
            assert told in text
        assert "miller" not in text
        assert "Schoolyard" not in text
    play(walk)


def test_lots_are_ticked_and_cleared(bag):
    """A box or the words beside it turn a lot; all good ones and none are one tap each."""
    async def walk():
        good, past, dry = three(bag)
        d = await bag.open("/dye-day/hand-over", replies={"save_file": "/home/lots.zip"})
        await tick(d, f"pick-{dry.code}", False)
        await tick(d, f"pick-{past.code}", True)
        assert d.title() == "2 lots, 26.2 kg, to hand over"
        await d.tap("hand-none")
        assert d.title() == "Choose what goes to the dye day"
        await d.tap("hand-all")
        assert d.one(f"pick-{past.code}").value is False
        await tick(d, f"pick-{good.code}", False)
        assert d.title() == "1 lot, 13.1 kg, to hand over"
        data = await made(d)
        assert [row["code"] for row in rows(data, "lots.csv")] == [dry.code]
        d.check_alive()
    play(walk)


def test_none_chosen_is_refused_in_words(bag):
    """Nothing is written, and it is said what to do."""
    async def walk():
        three(bag)
        d = await bag.open("/dye-day/hand-over", replies={"save_file": "/home/lots.zip"})
        await d.tap("hand-none")
        await make(d)
        assert "No lot is chosen" in d.texts()
        assert d.calls("save_file") == []
        await d.tap("hand-all")
        assert "No lot is chosen" not in d.texts()
    play(walk)


def test_one_lot_comes_from_its_own_screen(bag):
    """From a lot's screen that lot alone is chosen, also if it is past its best."""
    async def walk():
        good, past, _ = three(bag)
        d = await bag.open(f"/dye-day/hand-over?lot={past.code}")
        assert d.title() == "1 lot, 13.1 kg, to hand over"
        assert d.one(f"pick-{past.code}").value is True
        assert d.one(f"pick-{good.code}").value is False
        d = await bag.open("/dye-day/hand-over?lot=ZZZZ")
        assert d.title() == "2 lots, 26.2 kg, to hand over"
    play(walk)


def test_a_person_who_changes_their_mind(bag):
    """Who closes the dialog is told that nothing was written, and finds the choice as it was."""
    async def walk():
        good, _, dry = three(bag)
        d = await bag.open("/dye-day/hand-over", replies={"save_file": None})
        await tick(d, f"pick-{dry.code}", False)
        await made(d)
        assert "Nothing was written" in d.texts()
        assert d.one(f"pick-{good.code}").value is True
        assert d.one(f"pick-{dry.code}").value is False
        d.check_alive()
    play(walk)


def test_a_device_that_refuses(bag):
    """What the device said is told, with what to do; the choice stays, and one can try again."""
    async def walk():
        three(bag)

        def full(_):
            raise RuntimeError("No space left on device")

        d = await bag.open("/dye-day/hand-over", replies={"save_file": full})
        await make(d)
        assert "The file could not be saved" in d.texts()
        assert "No space left on device" in d.text()
        d.client.replies["save_file"] = "/home/lots.zip"
        await make(d)
        assert "Made and read back without a fault" in d.text()
        d.check_alive()
    play(walk)


def test_in_a_browser_it_goes_to_the_downloads(bag):
    """There no path comes back, and that is no cancelling."""
    async def walk():
        three(bag)
        d = await bag.open("/dye-day/hand-over", web=True, replies={"save_file": None})
        data = await made(d)
        assert check(data).ok
        assert "In a browser it lies with the downloads." in d.text()
    play(walk)


def test_120_lots_can_be_chosen_though_50_are_shown(bag):
    """All good ones go along, also those further down; the rest of the list is shown on request."""
    async def walk():
        site = bag.tree("Mill lane", position="44, -28")
        for day in range(120):
            bag.lot(site, days_ago=day, condition="air-dry", part="hull", gross="2", tare="")
        d = await bag.open("/dye-day/hand-over", replies={"save_file": "/home/lots.zip"})
        picks = [key for key in on_screen(d) if key.startswith("pick-")]
        assert len(picks) == 50
        assert "Show 50 more of 70" in d.texts()
        data = await made(d)
        assert len(rows(data, "lots.csv")) == 120
        await d.tap("hand-more")
        await d.tap("hand-more")
        assert len([key for key in on_screen(d) if key.startswith("pick-")]) == 120
        assert "hand-more" not in on_screen(d)
        d.check_alive()
    play(walk)


def test_the_screen_lives_while_the_file_is_made(bag, monkeypatch):
    """It is said that the file is being made, the button rests meanwhile, and what came of it follows."""
    import threading

    from field_app.ui import hand_over
    go, real = threading.Event(), hand_over.planner_file

    def slow(*given, **more):
        assert go.wait(20)
        return real(*given, **more)

    async def walk():
        three(bag)
        monkeypatch.setattr(hand_over, "planner_file", slow)
        d = await bag.open("/dye-day/hand-over", replies={"save_file": "/home/lots.zip"})
        work = asyncio.create_task(d.tap("hand-make"))
        await d.settle()
        assert "Making the file of 2 lots" in d.texts()
        assert d.one("hand-make").disabled
        go.set()
        await work
        await made_is_told(d)
        assert not d.one("hand-make").disabled
        d.check_alive()
    play(walk)


async def made_is_told(d):
    for _ in range(500):
        await d.settle()
        if "Made and read back without a fault" in d.text():
            return
        await asyncio.sleep(0.01)
    raise AssertionError("nothing was told")


def test_a_fault_of_ours_ends_the_waiting(bag, monkeypatch):
    """When the file can't be made, the button can be tapped again."""
    def breaks(*_, **__):
        raise RuntimeError("a fault of ours")

    async def walk():
        three(bag)
        monkeypatch.setattr("field_app.ui.hand_over.planner_file", breaks)
        d = await bag.open("/dye-day/hand-over")
        await make(d)
        assert not d.one("hand-make").disabled
        d.check_alive()
    play(walk)
