"""Photographs on the screens: added, shown small and large, saved without what was noted, taken away and back."""

import hashlib

import flet as ft
import pytest

from field_app.core.pictures import read_picture
from field_app.core.problems import NoRoom, Problem
from field_app.store import PHOTOGRAPHS
from tests.photographs import photograph
from tests.ui.driver import walk
from tests.ui.fieldwork import FieldBag, denied, play

HEAP, PAIL = photograph(way_up=6), photograph("PNG", shade=60)


@pytest.fixture
def bag(tmp_path):
    found = FieldBag(tmp_path)
    yield found
    found.book.close()


def code(data):
    return hashlib.sha256(data).hexdigest()[:8]


def picker(d, key="photograph-add"):
    """The picker that a tap on the button opens on the device, and what it asks for."""
    action = d.one(key).action
    assert (action.with_data, action.allow_multiple, action.file_type) == (True, True, ft.FilePickerFileType.IMAGE)
    return action.file_picker


async def pick(d, *files, key="photograph-add"):
    """Tap the button and pick files, as (name, bytes)."""
    await d.tap(key)
    told = [{"id": number, "name": name, "size": len(data or b""), "path": None, "bytes": data}
            for number, (name, data) in enumerate(files)]
    await d.fire(picker(d, key), "result", {"files": told})
    await d.settle(200)


def pictures(d):
    """The pictures on the screen: what is in them, and what a screen reader says of them."""
    return [(control.src, control.semantics_label) for control in walk(d.top()) if isinstance(control, ft.Image)]


async def lot_screen(bag, lot=None, **how):
    lot = lot or bag.lot(bag.tree("Mill lane"))
    d = await bag.open(f"/lots/{lot.code}", **how)
    await d.settle(200)
    return d, lot


def test_a_photograph_is_added_to_a_lot(bag):
    """Picked, kept beside the records, shown small with words for a screen reader; another joins it."""
    async def walk_():
        d, lot = await lot_screen(bag)
        assert "Add a photograph" in d.texts()
        assert not pictures(d)
        await pick(d, ("heap.jpg", HEAP))
        assert pictures(d) == [(HEAP, f"photograph of lot {lot.code}")]
        assert "Add another" in d.texts()
        await pick(d, ("pail.png", PAIL))
        assert pictures(d) == [(HEAP, f"photograph 1 of 2 of lot {lot.code}"),
                               (PAIL, f"photograph 2 of 2 of lot {lot.code}")]
        assert [one.sha256[:8] for one in bag.book.album.of(lot.id)] == [code(HEAP), code(PAIL)]
        d.check_alive()
    play(walk_)


def test_what_can_t_be_kept_is_said_and_keeps_nothing_else_back(bag):
    """A letter among photographs, or a file that the device did not give, is named with what to do."""
    async def walk_():
        d, lot = await lot_screen(bag)
        await pick(d, ("letter.jpg", b"Dear miller"), ("heap.jpg", HEAP), ("gone.jpg", None))
        assert "2 photographs were not kept" in d.texts()
        assert "letter.jpg: is not a photograph that can be kept. Choose a photograph in JPEG, PNG or WebP." in d.text()
        assert "gone.jpg: was not given by the device" in d.text()
        assert [data for data, _ in pictures(d)] == [HEAP]
        await pick(d, ("pail.png", PAIL))
        assert "2 photographs were not kept" not in d.texts()
        await pick(d)  # the picking was stopped
        assert len(bag.book.album.of(lot.id)) == 2
        d.check_alive()
    play(walk_)


def test_without_room_it_can_be_tried_again(bag, monkeypatch):
    """A photograph that found no room on the disk waits, and is kept once there is room."""
    async def full(name, data):
        raise NoRoom(Problem("photographs", "the disk is full", "Make room, and try again."))

    async def walk_():
        d, lot = await lot_screen(bag)
        monkeypatch.setattr(bag.book.album.shelf, "keep", full)
        await pick(d, ("heap.jpg", HEAP))
        assert "A photograph was not kept" in d.texts()
        assert "the disk is full" in d.text()
        assert not pictures(d)
        monkeypatch.undo()
        await d.tap("photograph-again")
        await d.settle(200)
        assert [data for data, _ in pictures(d)] == [HEAP]
        assert "A photograph was not kept" not in d.texts()
        assert len(bag.book.album.of(lot.id)) == 1
    play(walk_)


def test_a_tap_opens_it_large_and_a_copy_has_no_place(bag):
    """Large with its words and when it was taken; what is saved is the same picture without place, time and maker."""
    async def walk_():
        d, lot = await lot_screen(bag, replies={"save_file": "/home/copy.jpg"})
        await pick(d, ("heap.jpg", HEAP))
        await d.tap(f"photograph-{code(HEAP)}")
        await d.settle(200)
        assert d.title() == f"Photograph of lot {lot.code}"
        assert pictures(d) == [(HEAP, f"photograph of lot {lot.code}")]
        assert "Taken today, 14:02 · on this device only" in d.texts()
        assert "The camera wrote into it where it was taken. A full copy of your data keeps that." in d.texts()
        await d.tap("photograph-copy")
        await d.settle(200)
        (call,) = d.calls("save_file")
        assert call["file_name"] == f"lot-{lot.code}-1.jpg"
        copy = bytes(call["src_bytes"])
        assert b"Pinhole" not in copy
        found = read_picture(copy, "copy")
        assert (found.width, found.noted.way_up, found.noted.placed, found.noted.taken) == (320, 6, False, "")
        assert d.find("photograph-said")
        d.check_alive()
    play(walk_)


@pytest.mark.parametrize(("reply", "words"), [
    (None, "Nothing was written"), (denied, "It could not be saved"),
])
def test_a_copy_that_is_not_saved_is_said(bag, reply, words):
    """Stopped by the person, or refused by the device: both are said, and the photograph stays."""
    async def walk_():
        d, lot = await lot_screen(bag, replies={"save_file": reply}, platform="linux")
        await pick(d, ("heap.jpg", HEAP))
        await d.tap(f"photograph-{code(HEAP)}")
        await d.settle(200)
        await d.tap("photograph-copy")
        await d.settle(200)
        assert words in d.texts()
        assert len(bag.book.album.of(lot.id)) == 1
    play(walk_)


def test_taking_away_asks_and_can_be_brought_back(bag):
    """A question first; then it is off the lot, with a way to bring it back, as it was, for a day."""
    async def walk_():
        d, lot = await lot_screen(bag)
        await pick(d, ("heap.jpg", HEAP), ("pail.png", PAIL))
        await d.tap(f"photograph-{code(HEAP)}")
        await d.settle(200)
        await d.tap("photograph-take")
        assert "Take this photograph away?" in d.texts()
        await d.tap("photograph-no")
        assert "Take this photograph away?" not in d.texts()
        await d.tap("photograph-take")
        await d.tap("photograph-yes")
        await d.settle(200)
        assert d.routes()[-1] == f"/lots/{lot.code}"
        assert [data for data, _ in pictures(d)] == [PAIL]
        assert "1 taken away. For a day it can be brought back." in d.texts()
        await d.tap("photograph-back")
        await d.settle(200)
        assert {data for data, _ in pictures(d)} == {HEAP, PAIL}
        assert not d.find("photograph-back")
        d.check_alive()
    play(walk_)


def test_a_missing_or_damaged_file_says_so(bag):
    """In place of the small picture stands what is wrong; the large one says what to do, and offers no copy."""
    async def walk_():
        lot = bag.lot(bag.tree("Mill lane"))
        one = await bag.book.album.add(lot.id, HEAP, "heap.jpg")
        two = await bag.book.album.add(lot.id, PAIL, "pail.png")
        shelf = bag.book.folder / PHOTOGRAPHS
        (shelf / one.name).unlink()
        (shelf / two.name).write_bytes(b"ink")
        d, _ = await lot_screen(bag, lot)
        assert not pictures(d)
        assert {"its file is missing on this device", "its file is damaged"} <= set(d.texts())
        await d.tap(f"photograph-{code(HEAP)}")
        await d.settle(200)
        assert "This photograph can't be shown" in d.texts()
        assert "Its file is missing on this device. Put it back from a full copy, if you have one." in d.texts()
        assert d.one("photograph-copy").disabled
        d.check_alive()
    play(walk_)


def test_an_address_of_no_photograph_leads_back(bag):
    """One that is not there any more, or of another lot, is said in plain words."""
    async def walk_():
        lot = bag.lot(bag.tree("Mill lane"))
        d, _ = await lot_screen(bag, lot)
        await d.go(f"/lots/{lot.code}/photograph/0123456789abcdef")
        assert "it is not on this device" in d.text()
        d.check_alive()
    play(walk_)


def test_no_photograph_is_in_a_file_for_others(bag):
    """Neither its bytes nor its name are in a group file, though exact places are."""
    async def walk_():
        from field_app.sync import group_bytes

        d, _ = await lot_screen(bag)
        await pick(d, ("heap.jpg", HEAP))
        group = group_bytes(bag.book)
        assert code(HEAP).encode() not in group
        assert HEAP[200:260] not in group
    play(walk_)
