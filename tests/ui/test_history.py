"""History of a lot, and settling what people say differently, between two real books."""

import datetime as dt

import pytest

from field_app.core.deeds import DrawForm, StepForm
from field_app.core.gather import WindfallForm
from field_app.sync import group_bytes, merge_bytes
from field_app.ui import Services, screens
from field_app.ui.history_words import Names, plain
from tests.sync.island import Device
from tests.ui.driver import Driver
from tests.ui.fieldwork import on_screen, play

TODAY = dt.date(2026, 10, 8)
WHOLE = {"material": "black-walnut", "part": "whole-fruit", "ripeness": "fallen", "tare": "1.1"}


@pytest.fixture
def pair(tmp_path):
    """Two people's devices that know the same lot."""
    one, other = Device(tmp_path / "one", 0x7F3A), Device(tmp_path / "other", 0x8B21)
    site = one.site()
    lot = one.book.log(WindfallForm(site=site.id, gross="14.2", **WHOLE))
    give(one, other)
    yield one, other, lot
    one.close()
    other.close()


def give(giver, taker):
    """A real group file from the one to the other."""
    merged = merge_bytes(taker.book, group_bytes(giver.book), "file")
    assert not merged.problems


def differ(one, other, lot, gross="13.5", other_gross="12.4"):
    """Both correct the lot without knowing of each other, and then exchange files."""
    for device, text in ((one, gross), (other, other_gross)):
        device.book.correct(lot.id, WindfallForm(site=lot.facts.site, gross=text, gathered=lot.facts.gathered,
                                                 **WHOLE))
    give(one, other)
    give(other, one)


async def opened(device, route):
    return await Driver.open(screens(Services(book=device.book)), route=route)


def test_everything_said_is_told_newest_first(pair):
    """Logged, soaked, drawn, corrected and put back, each in words, with the device and the time."""
    one, _, lot = pair
    one.book.step(lot.id, StepForm("soaked", note="in the big kettle"))
    one.book.draw(lot.id, DrawForm("3.5 kg", by="the dye house", purpose="shawl"))
    one.book.undo()
    one.book.correct(lot.id, WindfallForm(site=lot.facts.site, gross="12.4", gathered=lot.facts.gathered, **WHOLE))

    async def walk():
        d = await opened(one, f"/lots/{lot.code}/history")
        assert d.title() == "Said and done, 5 times"
        told = [text for text in d.texts() if text in (
            "Corrected", "What was taken, put back", "Taken from it", "Put under water", "Logged")]
        assert told == ["Corrected", "What was taken, put back", "Taken from it", "Put under water", "Logged"]
        assert "on the scale 12.4 kg, pail 1.1 kg" in d.texts()
        assert {"shawl", "the dye house"} <= set(d.texts())
        assert "whole black walnuts" in d.texts()
        assert "Mill lane" in d.texts()
        assert any(text.startswith("this device · today, 15:2") for text in d.texts())
        assert not [text for text in d.texts() if "urn:" in text or "basis" in text or "2026-10-08T" in text]
        d.check_alive()
    play(walk)


def test_two_people_say_different_things_and_one_settles_it(pair):
    """The lot, its row and its history say so; a tap settles it, and the other device agrees."""
    one, other, lot = pair
    differ(one, other, lot)

    async def walk():
        d = await opened(other, "/lots")
        assert "People say different things of it." in d.texts()
        await d.go(f"/lots/{lot.code}")
        assert "People say different things of this lot" in d.texts()
        await d.tap("lot-apart")
        assert d.title() == "Something is to be settled"
        assert "Two people say different things about how much" in d.texts()
        assert "on the scale 13.5 kg, pail 1.1 kg" in d.texts()
        assert "on the scale 12.4 kg, pail 1.1 kg" in d.texts()
        said = [text for text in d.texts() if text.startswith("says ")]
        short = Names(other.id, [one.id]).of(one.id)
        assert {text.removeprefix("says ").partition(";")[0] for text in said} == {"this device", f"device {short}"}
        keys = [key for key in on_screen(d) if key.startswith("settle-")]
        mine = next(n for n, text in enumerate(said) if "this device" in text)
        await d.tap(keys[mine])
        assert other.book.differences(lot.id) == ()
        assert other.book.lot(lot.id).facts.gross.value == "12.4"
        assert "Settled" in d.texts()
        await d.go(f"/lots/{lot.code}")
        assert "lot-apart" not in on_screen(d)
        d.check_alive()
    play(walk)
    give(other, one)
    assert one.book.differences(lot.id) == ()
    assert one.book.lot(lot.id).facts.gross.value == "12.4"


def test_a_settlement_can_be_undone(pair):
    """It is a saying like any other."""
    one, other, lot = pair
    differ(one, other, lot)
    held = one.book.lot(lot.id).facts.gross.value

    async def walk():
        d = await opened(one, f"/lots/{lot.code}/history")
        await d.tap(next(key for key in on_screen(d) if key.startswith("settle-2")))
        assert one.book.lot(lot.id).facts.gross.value != held
        await d.tap("undo")
        assert d.snack().startswith("Undone: settled: on the scale")
        d.check_alive()
    play(walk)


def test_what_changes_nothing_is_told_less_loudly(pair):
    """Two notes are a matter to settle, but no row is marked for it."""
    one, other, lot = pair
    for device, note in ((one, "by the gate"), (other, "by the wall")):
        device.book.correct(lot.id, WindfallForm(site=lot.facts.site, gross="14.2", gathered=lot.facts.gathered,
                                                 note=note, **WHOLE))
    give(other, one)

    async def walk():
        d = await opened(one, "/lots")
        assert "People say different things of it." not in d.texts()
        await d.go(f"/lots/{lot.code}")
        assert "It changes nothing in what the lot is worth." in d.texts()
        d.check_alive()
    play(walk)


def test_one_takes_it_back_while_the_other_corrects_it(pair):
    """It stays, and somebody has to say whether it should."""
    one, other, lot = pair
    one.book.withdraw(lot.id)
    other.book.correct(lot.id, WindfallForm(site=lot.facts.site, gross="12.4", gathered=lot.facts.gathered, **WHOLE))
    give(other, one)

    async def walk():
        d = await opened(one, f"/lots/{lot.code}/history")
        assert "it should be taken back" in d.texts()
        await d.tap(next(key for key in on_screen(d) if key.startswith("settle-2")))
        assert one.book.count("lot") == 0
        d.check_alive()
    play(walk)


def test_a_lot_that_was_taken_back_still_has_its_history(pair):
    """By its id, as the sharing screen leads there."""
    one, _, lot = pair
    one.book.withdraw(lot.id)

    async def walk():
        d = await opened(one, f"/lots/{lot.id}/history")
        assert "Taken back" in d.texts()
        d.check_alive()
    play(walk)


@pytest.mark.parametrize(("about", "words", "told"), [
    ("how much", "basis counted, count 212", "counted 212"),
    ("how much", "basis poured, pails 2.5, pail 12 L, fill 0.9", "pails 2.5, one holds 12 L, full to 0.9"),
    ("how much", "mass 2.1 kg, nuts 4 kg", "2.1 kg, nuts kept 4 kg"), ("how much", "3,5 kg", "3,5 kg"),
    ("what", "material oak-bark, part bark", "English oak bark"), ("what", "material moon, part dust", "moon, dust"),
    ("how ripe", "dented", "takes a dent"), ("condition", "air-dry", "air-dry"),
    ("what was done", "soaked", "put under water"), ("note", "by the gate, part of it", "by the gate, part of it"),
    ("for what", "purpose scarf, by the parish", "for scarf, by the parish"),
    ("leave to gather", "state not-asked, by the miller", "not asked yet, by the miller"),
    ("position", "44.01234, -28.00567", "44.01234 N, 28.00567 W"), ("position", "nowhere", "nowhere"),
    ("when", "soon", "soon"), ("when", "2026-10-07T09:05:00-02:00", "yesterday, 09:05")])
def test_matters_in_words(about, words, told):
    """What the record names in its own way is told as a person says it; what is not known stays as it is."""
    assert plain(about, words, TODAY) == told


def test_devices_have_short_names():
    """Four signs, or as many as tell two apart; this one is this one, also inside a sentence."""
    names = Names("8b21" + "0" * 12, ["7f3a" + "1" * 12, "7f3a" + "2" * 12, "9000" + "3" * 12])
    assert names.of("8b21" + "0" * 12) == "this device"
    assert names.of("9000" + "3" * 12) == "9000"
    assert names.of("7f3a" + "1" * 12) == "7f3a1"
    assert names.within(f"the clock of device {'9000' + '3' * 12} is ahead") == "the clock of device 9000 is ahead"
