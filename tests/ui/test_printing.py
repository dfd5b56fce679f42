"""Labels and the sheet of a dye day, made on the screens and given to the device."""

import io

import pypdfium2
import pytest
import zxingcpp

from field_app.core.plan_deeds import BathForm, LotForm, PlanForm
from field_app.store import add_plan
from tests.ui.fieldwork import FieldBag, play, three


@pytest.fixture
def bag(tmp_path):
    bag = FieldBag(tmp_path)
    yield bag
    bag.book.close()


SAVES = {"save_file": "/home/labels.pdf"}


def saved(d):
    """The last file that the screen gave to the device: its name, and its pages."""
    call = d.calls("save_file")[-1]
    return call["file_name"], pypdfium2.PdfDocument(io.BytesIO(bytes(call["src_bytes"])))


def codes(page):
    """What another program reads from the codes of a page."""
    return {found.text for found in zxingcpp.read_barcodes(page.render(scale=2).to_pil())}


async def tick(d, key, on):
    """Turn a box, as the client does."""
    box = d.one(key)
    d.session.apply_patch(box._i, {"value": on})
    await d.fire(box, "change", on)


def test_labels_of_the_chosen_lots_are_made(bag):
    """All lots are ticked at first; one is left out, and the sheet has the codes of the others."""
    good, past, dry = three(bag)

    async def walk():
        d = await bag.open("/lots", replies=SAVES)
        await d.tap("lots-labels")
        assert d.title() == "3 labels for the pails"
        await tick(d, f"label-{past.code}", False)
        await d.tap("labels-make")
        name, pages = saved(d)
        assert name == "labels-2026-10-08.pdf"
        assert codes(pages[0]) == {good.id, dry.id}
        assert "Print it at 100 %" in d.text()
        await d.tap("labels-paper-single")
        await d.tap("labels-make")
        assert len(saved(d)[1]) == 2
        d.check_alive()
    play(walk)


def test_a_wrong_number_of_places_is_told(bag):
    """Nothing is written, and the message says what to count."""
    three(bag)

    async def walk():
        d = await bag.open("/lots/labels", replies=SAVES)
        await d.type("labels-skip", "2.5")
        await d.tap("labels-make")
        assert d.calls("save_file") == []
        assert "is not a number of places" in d.text()
        await d.type("labels-skip", "30")
        await d.tap("labels-make")
        assert "10 places" in d.text()
        d.check_alive()
    play(walk)


def test_a_lots_own_label_and_a_days_own_sheet(bag):
    """One tap on the lot, one on the plan."""
    good, _, _ = three(bag)
    plan = add_plan(bag.book, PlanForm("Harvest dyeing", "2026-10-10", lots=[LotForm(good)], baths=[
        BathForm("wool 1 kg")]))

    async def walk():
        d = await bag.open(f"/lots/{good.code}", replies=SAVES)
        await d.tap("lot-label")
        assert codes(saved(d)[1][0]) == {good.id}
        await d.go(f"/dye-day/plan/{plan.id[-36:]}")
        await d.tap("plan-sheet")
        name, pages = saved(d)
        assert name == "dye-day-2026-10-10.pdf"
        assert "Harvest dyeing" in pages[0].get_textpage().get_text_range()
        d.check_alive()
    play(walk)


def test_a_device_that_refuses_is_told_of(bag):
    """The words of the device, and what to do."""
    good, _, _ = three(bag)

    def full(_):
        raise RuntimeError("No space left on device")

    async def walk():
        d = await bag.open(f"/lots/{good.code}", replies={"save_file": full})
        await d.tap("lot-label")
        assert "No space left on device" in d.text()
        d.check_alive()
    play(walk)
