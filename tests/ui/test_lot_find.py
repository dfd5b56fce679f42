"""A lot is opened by its label: typed, or photographed where codes can be read."""

import asyncio
import io

import flet as ft
import pypdfium2
import pytest
import segno
from PIL import Image

from field_app.paper import labels_pdf, lot_label
from field_app.ui import Services, screens
from field_app.ui.code_reader import LARGEST, LibraryReader, installed_reader
from tests.ui.driver import Driver
from tests.ui.fieldwork import DAY, FieldBag, play, three

FIND = "/lots/find"


@pytest.fixture
def bag(tmp_path):
    bag = FieldBag(tmp_path)
    yield bag
    bag.book.close()


async def scanning(bag):
    """The screen on a device that reads codes."""
    return await Driver.open(screens(Services(book=bag.book, codes=LibraryReader())), route=FIND)


def written(picture, kind="JPEG"):
    """A picture as a camera writes it."""
    out = io.BytesIO()
    picture.save(out, kind)
    return out.getvalue()


def photograph(*lots):
    """Labels, each askew, on one large picture."""
    table = Image.new("L", (3000, 1600 * len(lots)), 90)
    for at, lot in enumerate(lots):
        page = pypdfium2.PdfDocument(labels_pdf([lot_label(lot)], made=DAY))[0]
        table.paste(page.render(scale=3).to_pil().convert("L").rotate(9, expand=True, fillcolor=90),
                    (700, 300 + 1600 * at))
    return written(table)


def code_of_something(text):
    """A code that says this."""
    out = io.BytesIO()
    segno.make(text).save(out, kind="png", scale=8)
    return out.getvalue()


async def take(d, data):
    """Photograph, and wait until it was looked at."""
    picker = d.one("find-scan").action.file_picker
    files = [] if data is None else [{"id": 0, "name": "image.jpg", "size": len(data), "path": None, "bytes": data}]
    await d.session.dispatch_event(picker._i, "result", {"files": files})
    for _ in range(500):
        await d.settle()
        if not d.find("find-busy"):
            return
        await asyncio.sleep(0.02)
    raise AssertionError("the looking did not end")


def test_the_code_is_typed_as_it_stands_there(bag):
    """From Lots one tap; while it is typed the lot shows; look-alikes, capitals and spaces play no part."""
    good, _, _ = three(bag)

    async def walk():
        d = await bag.open("/lots")
        await d.tap("lots-scan")
        assert d.title() == "Open a lot by its label"
        await d.type("find-code", good.code[:3].lower())
        assert d.find(f"lot-{good.code}")
        await d.type("find-code", f" {good.code.lower().replace('0', 'o')} ")
        await d.tap("find-open")
        assert d.routes()[-1] == f"/lots/{good.code}"
        await d.back()
        await d.go(FIND)
        await d.type("find-code", good.id.upper())
        assert d.find(f"lot-{good.code}")
        await d.fire(d.one("find-code"), "submit")
        assert d.routes()[-1] == f"/lots/{good.code}"
        d.check_alive()
    play(walk)


def test_what_can_not_be_opened_is_said(bag):
    """Nothing typed, an unknown code, an id from elsewhere, a lot taken back: what is wrong, and what to do."""
    good, past, _ = three(bag)
    bag.book.withdraw(past.id)

    async def walk():
        d = await bag.open(FIND)
        for typed, words in (("", "No code is typed yet"), ("ZZZZ", "No lot has the code 'ZZZZ'"),
                             ("urn:uuid:0199c3a4-7b1e-7d2f-9a41-5e0c77bb0009", "is not on this device"),
                             ("0199c3a4-7b1e-7d2f-9a41-5e0c77bb0009", "Take in the group file"),
                             (past.code, f"{past.code} was taken back"), (past.id, "Bring it back"),
                             (bag.book.sites()[0].id, "No lot has the code")):
            await d.type("find-code", typed)
            await d.tap("find-open")
            assert words in d.text()
            assert d.routes()[-1] == FIND
        await d.type("find-code", good.code)
        assert "No lot has" not in d.text()
        d.check_alive()
    play(walk)


def test_where_no_code_can_be_read_typing_is_the_way(bag):
    """No button for a camera that would lead nowhere; the screen says what does the same."""
    three(bag)

    async def walk():
        d = await bag.open(FIND)
        assert d.find("find-scan") == []
        assert "Photographs of codes can't be read here" in d.texts()
        d.check_alive()
    play(walk)


def test_a_photograph_opens_its_lot(bag):
    """The label of a lot, askew on a large picture, leads to that lot; nothing chosen changes nothing."""
    good, _, dry = three(bag)

    async def walk():
        d = await scanning(bag)
        pick = d.one("find-scan").action
        assert (pick.file_type, pick.with_data) == (ft.FilePickerFileType.IMAGE, True)
        await take(d, None)
        assert d.routes()[-1] == FIND
        await take(d, photograph(dry))
        assert d.routes()[-1] == f"/lots/{dry.code}"
        await d.go(FIND)
        await take(d, photograph(good, dry))
        assert "Several are on it" in d.texts()
        await d.tap(f"lot-{good.code}")
        assert d.routes()[-1] == f"/lots/{good.code}"
        d.check_alive()
    play(walk)


@pytest.mark.parametrize(("data", "words"), [
    (written(Image.effect_noise((800, 600), 60)), "No code is to be read on it"),
    (code_of_something("https://example.org/pail"), "It says “https://example.org/pail”"),
    (code_of_something("JB07"), "The code on it is of something else"),
    (code_of_something("urn:uuid:0199c3a4-7b1e-7d2f-9a41-5e0c77bb0009"), "is not on this device"),
    (b"this is no picture", "It can't be opened as a picture"),
    (bytes(LARGEST + 1), "It can't be opened as a picture"),
    (written(Image.new("L", (900, 900)))[:200], "It can't be opened as a picture")])
def test_a_photograph_that_leads_nowhere_is_told(bag, data, words):
    """No code, a code of something else, a lot of another device, and no picture at all each have their words."""
    three(bag)

    async def walk():
        d = await scanning(bag)
        await take(d, data)
        assert words in d.text()
        assert d.routes()[-1] == FIND
        assert d.find("find-code")
        d.check_alive()
    play(walk)


def test_the_reader_is_there_where_its_libraries_are(monkeypatch):
    """Without the extra libraries there is no reader, and no screen offers one."""
    assert isinstance(installed_reader(), LibraryReader)
    monkeypatch.setattr("field_app.ui.code_reader.find_spec", lambda _: None)
    assert installed_reader() is None
