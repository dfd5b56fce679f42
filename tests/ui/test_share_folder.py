"""The folder that all share: brought up to date through the screen, by real books."""

import asyncio

import pytest

from field_app.sync import group_name
from tests.ui.fieldwork import play
from tests.ui.sharing_walk import done, opened, words_of


def test_a_folder_is_brought_up_to_date_and_remembered(devices, shared):
    """What others put there comes in, the own file is put there, and the path is kept on this device."""
    async def walk():
        one, two = devices(), devices()
        one.site()
        lot = one.lot()
        one.sync(shared)
        d = await opened(two)
        await d.type("share-folder", f"  {shared} ")
        await d.tap("share-sync")
        await done(d)
        told = words_of(d, "share-said")
        assert told.startswith("1 new lot and 1 new tree\n")
        assert "Your own file is written there for the others." in told
        assert (shared / group_name(two.id)).exists()
        assert two.book.lot(lot.code).code == lot.code
        kept = [call for call in d.calls("set") if call["key"] == "field-app.shared-folder"]
        assert [call["value"] for call in kept] == [str(shared)]
        await d.tap("share-sync")
        await done(d)
        assert "Your own file there was up to date." in words_of(d, "share-said")
        d = await opened(two, folder=str(shared))
        assert d.one("share-folder").value == str(shared)
        d.check_alive()
    play(walk)


@pytest.mark.parametrize(("path", "words"), [
    ("", "No folder is named yet"), ("shared", "This is not a whole path (shared)"), ("{}/nowhere", "is not there"),
    ("{}/data-1", "data folder of this program"), ("~nobody-here/x", "whole path"), ("/\0", "is not there")])
def test_a_folder_that_is_none_is_refused_beside_its_field(devices, tmp_path, path, words):
    """It is said below the field what is wrong; what was typed stays, and nothing is remembered."""
    async def walk():
        d = await opened(devices())
        typed = path.format(tmp_path)
        await d.type("share-folder", typed)
        await d.tap("share-sync")
        await done(d)
        assert words in d.text()
        assert d.one("share-folder").value == typed
        assert d.find("share-said") == []
        assert d.find("share-problems") == []
        assert [call for call in d.calls("set") if call["key"] == "field-app.shared-folder"] == []
        d.check_alive()
    play(walk)


@pytest.mark.parametrize(("platform", "there"), [("linux", True), ("win32", True), ("android", False),
                                                 ("emscripten", False)])
def test_a_folder_is_offered_where_the_program_runs_on_the_persons_computer(devices, monkeypatch, platform, there):
    """A phone or a page in a browser has no folders to name."""
    from types import SimpleNamespace

    async def walk():
        monkeypatch.setattr("field_app.ui.device.sys", SimpleNamespace(platform=platform))
        d = await opened(devices())
        assert bool(d.find("share-folder")) is there
    play(walk)


def test_the_screen_asks_nothing_of_the_book_while_it_is_worked_on(devices, shared, monkeypatch):
    """With the book held by the work, the screen is still drawn, says what is under way, and offers no second work."""
    import threading

    async def walk():
        one, two = devices(), devices()
        one.site()
        held, go = threading.Event(), threading.Event()
        from field_app.ui import sharing
        real = sharing.merge_bytes

        def slow(book, data, name):
            with book.log_book.reading():
                held.set()
                assert go.wait(20)
            return real(book, data, name)

        monkeypatch.setattr(sharing, "merge_bytes", slow)
        d = await opened(two)
        picker = d.one("share-take").action.file_picker
        work = asyncio.create_task(d.fire(picker, "result", {"files": [
            {"id": 0, "name": "a.zip", "size": 1, "path": None, "bytes": one.file()}]}))
        while not held.is_set():
            await asyncio.sleep(0.01)
        await d.settle()
        assert "Taking in 1 file" in words_of(d, "share-busy")
        assert d.one("share-take").disabled
        assert d.one("share-write").disabled
        await d.type("share-folder", str(shared))
        go.set()
        await work
        await done(d)
        assert "1 new tree" in words_of(d, "share-said")
        assert not d.one("share-take").disabled
        d.check_alive()
    play(walk)
