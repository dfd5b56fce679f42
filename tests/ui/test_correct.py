"""Correcting a lot: the form of the windfall, preset with what was said."""

import pytest

from field_app.core.gather import WindfallForm
from field_app.core.positions import Fix, Position
from field_app.ui.windfall_form import from_lot, to_form
from tests.ui.fieldwork import FieldBag, play


@pytest.fixture
def bag(tmp_path):
    bag = FieldBag(tmp_path)
    yield bag
    bag.book.close()


HOWS = {
    "weighed": {}, "pounds": {"gross": "9 lb 6 oz", "tare": "12 oz", "unit": "lb"},
    "counted": {"gross": "", "tare": "", "count": "212"},
    "poured": {"gross": "", "tare": "", "pails": "2.5", "pail": "12 L", "fill": "90 %"},
    "dry": {"material": "acorn-cups", "part": "cup", "ripeness": "", "condition": "air-dry"},
    "fixed": {"position": Fix(Position(44.0, -28.0), "device", 5.0, "95 %"), "note": "by the gate"},
    "seconds": {"gathered": "2026-10-07T09:30:41+02:00"}}


@pytest.mark.parametrize("how", HOWS)
def test_keeping_it_as_it_stands_changes_no_fact(bag, how):
    """Everything a lot says is in the form, and comes back from it unchanged: amounts, fix, seconds and offset."""
    lot = bag.lot(bag.tree("Mill lane"), **HOWS[how])
    again = bag.book.correct(lot.id, to_form(from_lot(lot)))
    assert again.facts.as_json() == lot.facts.as_json()
    assert (again.position, again.net) == (lot.position, lot.net)


def test_a_slip_of_the_scale_is_mended(bag):
    """The new weight holds, the old one stays in the history, and undoing brings it back."""
    lot = bag.lot(bag.tree("Mill lane"), note="the early one")

    async def walk():
        d = await bag.open(f"/lots/{lot.code}")
        await d.tap("lot-correct")
        assert d.title() == "Correct what was put down"
        assert (d.one("gross").value, d.one("tare").value) == ("14.2", "1.1")
        await d.type("gross", "12.4")
        await d.tap("correct-save")
        assert d.routes()[-1] == f"/lots/{lot.code}"
        assert d.title() == "11.3 kg of whole black walnuts"
        assert f"{lot.code} corrected" in d.texts()
        after = bag.book.lot(lot.id)
        assert (after.facts.note, after.facts.gathered) == ("the early one", lot.facts.gathered)
        assert len(bag.book.history(lot.id)) == 2
        await d.tap("undo")
        assert d.title() == "13.1 kg of whole black walnuts"
        d.check_alive()
    play(walk)


def test_a_refused_correction_keeps_what_was_typed(bag):
    """It is told beside the field, nothing is written, and what was typed is there after a look elsewhere."""
    lot = bag.lot(bag.tree("Mill lane"))

    async def walk():
        d = await bag.open(f"/lots/{lot.code}/correct")
        await d.type("gross", "0.5")
        await d.tap("correct-save")
        assert len(bag.book.history(lot.id)) == 1
        assert d.one("not-kept").value.startswith("Not kept yet. To mend: ")
        await d.go("/lots")
        await d.go(f"/lots/{lot.code}/correct")
        assert d.one("gross").value == "0.5"
        d.check_alive()
    play(walk)


def test_a_correction_and_a_new_windfall_don_t_mix(bag):
    """What is typed for the one is not in the other."""
    site = bag.tree("Mill lane", materials=("black-walnut",))
    lot = bag.lot(site)

    async def walk():
        d = await bag.open(f"/lots/{lot.code}/correct")
        await d.type("gross", "12.4")
        await d.go(f"/windfall/{site}")
        assert d.one("gross").value == ""
        d.check_alive()
    play(walk)
    assert isinstance(to_form(from_lot(lot)), WindfallForm)
