"""Long work on the screens: it shows how far it is, and ends where the person stops it."""

import asyncio
import io
import threading

import flet as ft
import pytest

from field_app.core.course import step
from field_app.store import FolderShelf, write_backup
from field_app.sync import group_bytes
from field_app.ui import Room, Services, hand_over, screens, sharing, this_device
from field_app.ui.parts import busy_card
from field_app.ui.parts.unbroken import apart
from tests.photographs import photograph
from tests.sync.island import Device
from tests.ui.driver import Driver
from tests.ui.driver import walk as controls_of
from tests.ui.fieldwork import GIVEN, FieldBag, play

HULLS = {"materials": ("black-walnut",), "position": "44.0151, -28.0042", "leave": GIVEN}


class Held:
    """Work that waits in the middle until it is let go."""

    def __init__(self):
        self.middle, self.go = threading.Event(), threading.Event()

    def wait(self):
        step(0.4)
        self.middle.set()
        assert self.go.wait(60)
        step(0.5)


@pytest.fixture
def bag(tmp_path):
    bag = FieldBag(tmp_path)
    yield bag
    bag.book.close()


async def until(d, holds, otherwise):
    """Until that holds; otherwise: what is told if it never does."""
    for _ in range(1000):
        await d.settle()
        if holds():
            return
        await asyncio.sleep(0.02)
    raise AssertionError(f"{otherwise}:\n{d.text()}")


async def there(d, key):
    await until(d, lambda: d.find(key), f"{key} never came")


async def handed_out(d):
    """Until the device was given a file, once."""
    await until(d, lambda: d.calls("save_file"), "no file was handed out")
    assert len(d.calls("save_file")) == 1


async def shown(d, key, share):
    """Until the bar of a card shows that much."""
    await until(d, lambda: any(one.value >= share for card in d.find(key) for one in controls_of(card)
                               if isinstance(one, ft.ProgressBar)), "the bar never moved")


async def in_the_middle(held):
    assert await asyncio.to_thread(held.middle.wait, 60)


def words_of(d, key):
    return "\n".join(apart(one.value) for one in controls_of(d.one(key)) if isinstance(one, ft.Text))


def test_a_card_without_a_way_to_stop_has_no_button():
    """What can't be stopped does not offer it."""
    buttons = [one for one in controls_of(busy_card("Looking", "busy", 0.5)) if isinstance(one, ft.Button)]
    assert buttons == []


def test_the_making_of_a_lot_file_is_stopped(bag, monkeypatch):
    """Half-way the bar stands where the work is; stopped, nothing is saved, and it can be made again."""
    held, real = Held(), hand_over.planner_file

    def slow(*given, **more):
        held.wait()
        return real(*given, **more)

    async def walk():
        bag.lot(bag.tree("Mill lane", **HULLS))
        monkeypatch.setattr(hand_over, "planner_file", slow)
        d = await bag.open("/dye-day/hand-over", replies={"save_file": "/home/lots.zip"})
        work = asyncio.create_task(d.tap("hand-make"))
        await in_the_middle(held)
        await shown(d, "hand-busy", 0.2)
        await d.tap("hand-busy-stop")
        held.go.set()
        await work
        await there(d, "hand-said")
        assert words_of(d, "hand-said") == "Nothing was written\nYou stopped it. Your choice is still here."
        assert d.calls("save_file") == []
        assert not d.one("hand-make").disabled
        await d.tap("hand-make")
        await handed_out(d)
        d.check_alive()
    play(walk)


def test_the_taking_in_of_files_is_stopped(tmp_path, monkeypatch):
    """The file under way leaves nothing behind, the one before it stays, and the same files can be taken in again."""
    one, two, three = (Device(tmp_path / str(number), number) for number in (1, 2, 3))
    held, real = Held(), sharing.merge_bytes
    one.site()
    one.lot()
    two.site("Ford bend")
    files = [("one.zip", group_bytes(one.book)), ("two.zip", group_bytes(two.book))]

    def slow(book, data, name):
        if name == "two.zip" and not held.go.is_set():
            held.wait()
        return real(book, data, name)

    async def pick(d):
        picked = [{"id": n, "name": name, "size": len(data), "path": None, "bytes": data}
                  for n, (name, data) in enumerate(files)]
        await d.fire(d.one("share-take").action.file_picker, "result", {"files": picked})

    async def walk():
        monkeypatch.setattr(sharing, "merge_bytes", slow)
        kept = {"field-app.told-exact-places": "yes"}
        d = await Driver.open(screens(Services(book=three.book)), route="/dye-day/share",
                              replies={"get": lambda call: kept.get(call["key"], ""), "set": True})
        work = asyncio.create_task(pick(d))
        await in_the_middle(held)
        await shown(d, "share-busy", 0.6)
        await d.tap("share-busy-stop")
        held.go.set()
        await work
        await there(d, "share-said")
        said = words_of(d, "share-said")
        assert said.startswith("The taking in was stopped\n1 new lot and 1 new tree\n")
        assert "no file is half taken in" in said
        assert three.texts() == one.texts()
        await pick(d)
        await there(d, "share-said")
        assert set(three.texts()) == {*one.texts(), *two.texts()}
        d.check_alive()
    play(walk)
    for device in (one, two, three):
        device.close()


def test_a_full_copy_is_stopped_on_a_computer(bag, monkeypatch):
    """Stopped half-way nothing is saved, and it does not count as handed over; the next one is whole."""
    held, real = Held(), this_device.backup_bytes

    def slow(*given):
        if not held.go.is_set():
            held.wait()
        return real(*given)

    async def walk():
        bag.lot(bag.tree("Mill lane", **HULLS))
        monkeypatch.setattr(this_device, "backup_bytes", slow)
        kept = {}
        d = await bag.open("/this-device", replies={
            "save_file": "/home/copy.zip", "get": lambda call: kept.get(call["key"], ""),
            "set": lambda call: kept.update({call["key"]: call["value"]}) or True})
        work = asyncio.create_task(d.tap("device-copy"))
        await in_the_middle(held)
        await shown(d, "device-busy", 0.4)
        await d.tap("device-busy-stop")
        held.go.set()
        await work
        await there(d, "device-said")
        assert words_of(d, "device-said") == "Nothing was written\nYou stopped it. No part of it is left."
        assert (d.calls("save_file"), kept) == ([], {})
        await d.tap("device-copy")
        await handed_out(d)
        d.check_alive()
    play(walk)


class OneThread:
    """The home of a browser, where the work is done between the taps."""

    in_browser = True

    async def room(self):
        return Room()

    async def copy_out(self, book, name):
        with io.BytesIO() as file:
            return await write_backup(book.log_book, file, book.album.shelf, name)


class SlowShelf(FolderShelf):
    """A shelf that gives one photograph, and the next when it is let go."""

    def __init__(self, folder):
        super().__init__(folder)
        self.given, self.go = 0, asyncio.Event()

    async def read(self, name):
        self.given += 1
        if self.given > 1:
            await self.go.wait()
        return await super().read(name)


@pytest.mark.parametrize(("button", "heading"), [("device-copy", "Nothing was written"),
                                                 ("device-send", "Nothing was sent")])
def test_a_full_copy_is_stopped_where_there_is_one_thread(bag, button, heading):
    """In a browser a tap on Stop comes through between two photographs, whether it is saved or sent."""
    sent = []

    class Sheet:
        async def send(self, *given):
            sent.append(given)
            return True

    async def walk():
        lot = bag.lot(bag.tree("Mill lane", **HULLS))
        for shade in (0, 30, 60):
            await bag.book.album.add(lot.id, photograph(shade=shade), "heap.jpg")
        shelf = bag.book.album.shelf = SlowShelf(bag.book.folder / "photographs")
        d = await Driver.open(screens(Services(book=bag.book, home=OneThread(), sheet=Sheet())), route="/this-device",
                              web=True, replies={"get": "", "set": True})
        await d.settle(100)
        work = asyncio.create_task(d.tap(button))
        await shown(d, "device-busy", 0.1)
        assert shelf.given == 2
        await d.tap("device-busy-stop")
        shelf.go.set()
        await work
        await there(d, "device-said")
        assert words_of(d, "device-said") == f"{heading}\nYou stopped it. No part of it is left."
        assert (shelf.given, sent, d.calls("save_file")) == (2, [], [])
        await d.tap(button)
        await there(d, "device-said")
        assert "3 photographs are in it" in words_of(d, "device-said")
        assert len(sent) == (button == "device-send")
        d.check_alive()
    play(walk)
