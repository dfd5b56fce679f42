"""Where the records are kept, when they last left this device, and a full copy out and in."""

import asyncio
import datetime as dt
import json

import pytest

from field_app.core.habits import used_to
from field_app.store import FieldBook
from field_app.ui import Room, Services, screens
from field_app.ui.hand_over_choice import size_words
from field_app.ui.handed import Handed, Limits, due, handed_words
from field_app.ui.this_device import room_words
from tests.ui.driver import Driver
from tests.ui.fieldwork import DAY, FieldBag, play

HERE = "/this-device"


class Browser:
    """A browser's storage that tells what the test says."""

    in_browser = True

    def __init__(self, *rooms: Room) -> None:
        self.rooms, self.asked = list(rooms), 0

    async def room(self) -> Room:
        return self.rooms.pop(0) if len(self.rooms) > 1 else self.rooms[0]

    async def ask_to_keep(self) -> None:
        self.asked += 1

    async def copy_out(self, book, name):  # noqa: ARG002 - what would be written
        return None


class Kept(dict):
    """Small settings of a device."""

    def replies(self, **more):
        return {"get": lambda call: self.get(call["key"], ""), "save_file": "/home/copy.zip",
                "set": lambda call: self.update({call["key"]: call["value"]}) or True, **more}


@pytest.fixture
def bag(tmp_path):
    found = FieldBag(tmp_path)
    yield found
    found.book.close()


async def opened(book: FieldBook, kept: Kept, *, home=None, sheet=None, route=HERE, replies=None, **how) -> Driver:
    d = await Driver.open(screens(Services(book=book, home=home, sheet=sheet)), route=route,
                          replies=kept.replies(**(replies or {})), **how)
    await d.settle(200)
    return d


async def until(d, key):
    for _ in range(400):
        await d.settle()
        if d.find(key):
            return
        await asyncio.sleep(0.01)
    raise AssertionError(f"{key} did not come; there are {d.texts()}")


def test_on_a_computer_it_names_the_folder(bag):
    """On a computer it says in which folder the records are, and speaks of no browser and no home screen."""
    async def walk():
        bag.lot(bag.tree("Mill lane"))
        d = await opened(bag.book, Kept(), platform="linux")
        assert "1 lot on this computer" in d.texts()
        assert f"In {bag.book.folder}" in d.texts()
        assert d.find("device-used")
        assert not {"device-kept", "device-not-kept", "device-home"} & set(d.keys())
        assert d.one("remind-lots").value == "0"
    play(walk)


@pytest.mark.parametrize(("size", "room", "file"), [
    (81_800_000_000, "81,8 GB", "81800 MB"), (1_540_000_000, "1,5 GB", "1540 MB"), (3_440_000, "3 MB", "3,4 MB"),
    (12_345, "12 kB", "12 kB")])
def test_sizes_follow_the_decimal_sign(size, room, file):
    """The room on a disk and the size of a file are written with the comma of whoever chose it."""
    with used_to(decimal=","):
        assert (room_words(size), size_words(size)) == (room, file)


@pytest.mark.parametrize(("platform", "word"), [("ios", "Add to Home Screen"), ("android", "Install")])
def test_on_a_phone_it_tells_how_to_stay(bag, platform, word):
    """In a phone's browser it says how to put it on the home screen, and what room there is."""
    async def walk():
        home = Browser(Room(2_000_000, 5_400_000_000, True))
        d = await opened(bag.book, Kept(), home=home, platform=platform, web=True)
        assert d.find("device-kept")
        assert [text for text in d.texts() if word in text]
        assert {"2 MB", "5.4 GB"} <= set(d.texts())
        assert d.one("remind-lots").value == "10"
        assert d.one("remind-days").value == "7"
    play(walk)


def test_a_promise_that_was_not_given_can_be_asked_for(bag):
    """Without the browser's promise that is said, and asking again shows what it answers."""
    async def walk():
        browser = Browser(Room(1, 1, False), Room(1, 1, True))
        d = await opened(bag.book, Kept(), home=browser, web=True)
        assert d.find("device-not-kept")
        await d.tap("device-ask")
        await until(d, "device-kept")
        assert browser.asked == 1
    play(walk)


def test_a_full_copy_goes_to_another_device_and_back(bag, tmp_path):
    """What one book writes, another takes in: the same versions; and the copy counts as handed over."""
    async def walk():
        bag.lot(bag.tree("Mill lane"))
        kept, copies = Kept(), []
        d = await opened(bag.book, kept, replies={"save_file": lambda call: copies.append(call) or "/a.zip"})
        assert "Never yet" in d.texts()
        await d.tap("device-copy")
        await until(d, "device-said")
        assert copies[0]["file_name"] == "field-book-2026-10-08-1500.zip"
        assert "today, 15:00; no lot since" in d.texts()
        assert json.loads(kept["field-app.handed-over"]) == {"at": "2026-10-08T15:00:00-02:00", "lots": 1}
        other = FieldBag(tmp_path / "other")
        d = await opened(other.book, Kept())
        await pick(d, copies[0]["src_bytes"])
        assert "2 records put back" in d.texts()
        assert "1 lot and 1 tree more than before. Nothing that was here was taken away." in d.texts()
        assert list(other.book.log_book.texts()) == list(bag.book.log_book.texts())
        await pick(d, copies[0]["src_bytes"])
        assert "All of it was here already" in d.texts()
        other.book.close()
    play(walk)


async def pick(d, data):
    """What the client tells when a person has picked a file."""
    picked = {"id": 1, "name": "copy.zip", "size": len(data or b""), "path": None, "bytes": data}
    await d.fire(d.one("device-back").action.file_picker, "result", {"files": [picked]})
    await until(d, "device-said")


@pytest.mark.parametrize("data", [b"", b"PK", b"no zip at all" * 50, None])
def test_what_is_no_copy_changes_nothing(bag, data):
    """Another file is refused with what to do, and everything stays."""
    async def walk():
        bag.lot(bag.tree("Mill lane"))
        before = list(bag.book.log_book.texts())
        d = await opened(bag.book, Kept())
        await pick(d, data)
        assert "Nothing was put back" in d.texts()
        assert list(bag.book.log_book.texts()) == before
    play(walk)


def test_a_limit_is_kept_and_a_wrong_one_told(bag):
    """What is typed for the reminder holds at the next start; nonsense is told and does not."""
    async def walk():
        kept = Kept()
        d = await opened(bag.book, kept)
        await d.type("remind-lots", "3")
        await d.settle(100)
        assert kept["field-app.remind-after-lots"] == "3"
        await d.type("remind-lots", "soon")
        await d.settle(100)
        assert kept["field-app.remind-after-lots"] == "3"
        assert [text for text in d.texts() if "is not a whole number from 0 to 999" in text]
    play(walk)


def test_today_reminds_in_time(bag):
    """With more lots than the limit Today reminds, and not after a handing over."""
    async def walk():
        site = bag.tree("Mill lane")
        for _ in range(3):
            bag.lot(site)
        kept = Kept({"field-app.remind-after-lots": "3"})
        d = await opened(bag.book, kept, route="/")
        assert d.find("alone")
        assert [text for text in d.texts() if text.startswith("3 lots were logged since you last did")]
        kept["field-app.handed-over"] = json.dumps({"at": "2026-10-08T14:00:00-02:00", "lots": 3})
        d = await opened(bag.book, kept, route="/")
        assert not d.find("alone")
    play(walk)


@pytest.mark.parametrize(("handed", "lots", "days_ago", "limits", "expected"), [
    (None, 0, 0, Limits("1", "1"), False),
    (None, 9, 0, Limits("10", "7"), False),
    (None, 10, 0, Limits("10", "7"), True),
    (None, 1, 7, Limits("10", "7"), True),
    (None, 1, 7, Limits("0", "0"), False),
    (None, 1, 7, Limits("a", "b"), False),
    (Handed(DAY - dt.timedelta(days=8), 5), 5, 30, Limits("1", "7"), False),
    (Handed(DAY - dt.timedelta(days=8), 5), 6, 30, Limits("9", "7"), True),
    (Handed(DAY - dt.timedelta(days=2), 5), 6, 30, Limits("9", "7"), False),
])
def test_when_it_is_time(handed, lots, days_ago, limits, expected):
    """It is time after so many new lots, or so many days with a new one; never with nothing new."""
    assert due(handed, lots, DAY - dt.timedelta(days=days_ago), limits, DAY) is expected


def test_when_it_was_is_told_in_words():
    """The day, the time and the lots since."""
    assert handed_words(Handed(DAY - dt.timedelta(days=1, hours=2), 3), 5, DAY) == "yesterday, 13:00; 2 lots since"
    assert handed_words(None, 2, DAY) == "Never yet"


class OneSheet:
    """A browser's sheet that does as the test says."""

    def __init__(self, answer):
        self.answer, self.got = answer, []

    async def send(self, name, data, words):
        self.got.append((name, data, words))
        if isinstance(self.answer, str):
            raise RuntimeError(self.answer)
        return self.answer


@pytest.mark.parametrize(("answer", "heading", "words"), [
    (True, "field-book-2026-10-08-1500.zip", "It is with the app you chose."),
    (False, "Nothing was sent", "The sending was stopped."),
    ("NotAllowedError", "field-book-2026-10-08-1500.zip", "In a browser it lies with the downloads."),
])
def test_a_browser_with_a_sheet_hands_the_copy_to_another_app(bag, tmp_path, answer, heading, words):
    """Where the browser hands over files, the full copy goes that way; if it fails after all, it is saved."""
    async def walk():
        bag.lot(bag.tree("Mill lane"))
        kept, sheet = Kept(), OneSheet(answer)
        d = await opened(bag.book, kept, home=Browser(Room(1, 1, True)), sheet=sheet, web=True, platform="ios")
        await d.tap("device-send")
        await until(d, "device-said")
        ((_, data, said),) = sheet.got
        assert "exact places" in said
        assert [text for text in d.texts() if text.startswith(heading)]
        assert [text for text in d.texts() if words in text]
        saved = d.calls("save_file")
        assert len(saved) == (answer == "NotAllowedError")
        assert ("field-app.handed-over" in kept) == (answer is not False)
        other = FieldBag(tmp_path / "other")
        d = await opened(other.book, Kept())
        await pick(d, data)
        assert list(other.book.log_book.texts()) == list(bag.book.log_book.texts())
        other.book.close()
    play(walk)


def test_a_packaged_phone_hands_the_copy_over_and_can_save_it(bag):
    """A packaged app has the device's own sheet; saving as a file is offered beside it."""
    async def walk():
        bag.lot(bag.tree("Mill lane"))
        d = await opened(bag.book, Kept(), platform="android", web=False,
                         replies={"share_files": {"status": "success", "raw": ""}})
        await d.tap("device-send")
        await until(d, "device-said")
        assert d.calls("share_files")[0]["files"][0].name == "field-book-2026-10-08-1500.zip"
        await d.tap("device-copy")
        await d.settle(300)
        assert len(d.calls("save_file")) == 1
    play(walk)
