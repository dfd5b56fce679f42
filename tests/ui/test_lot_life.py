"""What became of a lot, on its own screen and in the lists."""

import datetime as dt

import pytest

from field_app.core.deeds import DrawForm, StepForm
from field_app.core.facts import DrawFacts
from field_app.core.keeping import use_by_now
from field_app.core.records import Draft
from field_app.core.units import Measure, show_range
from field_app.ui.life_words import gone, title_now, title_of_all
from field_app.ui.today import use_first
from tests.ui.fieldwork import DAY, FieldBag, on_screen, play


@pytest.fixture
def bag(tmp_path):
    bag = FieldBag(tmp_path)
    yield bag
    bag.book.close()


@pytest.fixture
def lot(bag):
    return bag.lot(bag.tree("Mill lane"))


TODAY = DAY.date()


def over(bag, lot, amount="9", unit="kg"):
    """A draw that came from elsewhere, where nobody knew of the others."""
    facts = DrawFacts(lot=lot.id, amount=Measure(amount, unit), at=DAY.isoformat(timespec="seconds"), by="the parish")
    draft = Draft(bag.book._new_id(), "draw", facts.as_json())
    bag.book.log_book.append([draft], now_ms=int(DAY.timestamp() * 1000))
    return bag.book.lot(lot.id)


def test_what_is_left_is_shown_as_a_range_with_what_was_taken(bag, lot):
    """The title, the card and the row say what is left; each draw says how much, for what, by whom and when."""
    left = bag.book.draw(lot.id, DrawForm("3,5 kg", by="the dye house", purpose="shawl, medium brown"))

    async def walk():
        d = await bag.open(f"/lots/{lot.code}")
        assert d.title() == "9.6 kg of whole black walnuts left"
        assert "as gathered; left".capitalize() in d.texts()
        assert "3,5 kg" in d.texts()
        assert "for shawl, medium brown · by the dye house · today, 15:00" in d.texts()
        await d.go("/lots")
        assert f"{show_range(left.life.left)} left" in d.texts()
        assert d.title().startswith("9.6 kg in 1 lot")
        d.check_alive()
    play(walk)


def test_liquor_is_told_in_litres(bag, lot):
    """Once strained, what is left is liquor, and it keeps as liquor does."""
    bag.book.step(lot.id, StepForm("strained", volume="28", nuts="4.1 kg", note="in the grey bucket"))

    async def walk():
        d = await bag.open(f"/lots/{lot.code}")
        assert d.title() == "28.0 L of liquor from whole black walnuts"
        assert "Strained today" in d.texts()
        assert "4.1 kg" in d.texts()
        assert "in the grey bucket" in d.texts()
        assert "Good until 15–29 Oct" in d.texts()
        d.check_alive()
    play(walk)


def test_an_overdraft_is_said_with_what_to_do(bag, lot):
    """It stands on the lot's screen and in its row; taking one draw back mends it."""
    over(bag, lot)
    after = over(bag, lot)

    async def walk():
        d = await bag.open(f"/lots/{lot.code}")
        assert "4.9 kg more was taken than there was" in d.texts()
        await d.tap("lot-weigh-again")
        assert d.routes()[-1] == f"/lots/{lot.code}/step"
        await d.go("/lots")
        assert "4.9 kg more was taken than there was." in d.texts()
        await d.go(f"/lots/{lot.code}")
        await d.tap(f"draw-back-{after.life.draws[0].id[-8:]}")
        assert "lot-overdraft" not in on_screen(d)
        assert d.title() == "4.1 kg of whole black walnuts left"
        await d.tap("undo")
        assert "lot-overdraft" in on_screen(d)
        assert d.snack() == f"Undone: 9 kg put back to {lot.code}."
        d.check_alive()
    play(walk)


def test_a_draw_in_another_measure_is_told(bag, lot):
    """A mass can't be taken off litres: it is said, and what is left doesn't pretend otherwise."""
    bag.book.step(lot.id, StepForm("strained", volume="28"))
    after = over(bag, lot, amount="2")
    assert after.life.misfits

    async def walk():
        d = await bag.open(f"/lots/{lot.code}")
        assert "Not taken off yet: 2 kg" in d.texts()
        assert "litres of liquor" in d.text()
        d.check_alive()
    play(walk)


@pytest.mark.parametrize(("step", "title", "keeps"), [
    ("spent", "Spent: 13.1 kg of whole black walnuts", "Spent today"),
    ("spoiled", "Spoiled: 13.1 kg of whole black walnuts", "Spoiled today")])
def test_an_ended_lot_promises_nothing(bag, lot, step, title, keeps):
    """No cloth, no days, no handing over; the row says what became of it."""
    bag.book.step(lot.id, StepForm(step))

    async def walk():
        d = await bag.open(f"/lots/{lot.code}")
        assert d.title() == title
        assert not {"lot-dyes", "lot-use-by", "lot-hand-over", "lot-take", "lot-step"} & set(d.keys())
        await d.go("/lots")
        assert {"nothing left", keeps} <= set(d.texts())
        assert d.title() == "Nothing is left of your lot"
        await d.go("/dye-day/hand-over")
        assert d.title() == "Nothing to hand over yet"
        d.check_alive()
    play(walk)


def test_used_up_is_told(bag, lot):
    """When all was taken, the lot says so and can't be taken from, nor is it waiting to be used."""
    after = bag.book.draw(lot.id, DrawForm("13.1 kg"))
    assert gone(after)
    assert title_now(after) == "Used up: 13.1 kg of whole black walnuts"
    assert use_first([after], TODAY) == ()

    async def walk():
        d = await bag.open(f"/lots/{lot.code}/draw")
        assert d.title() == "Nothing is left to take"
        await d.tap("draw-back")
        assert d.routes()[-1] == f"/lots/{lot.code}"
        d.check_alive()
    play(walk)


def test_the_lists_go_by_how_it_keeps_now(bag):
    """Soaked hull has its weeks from the soaking, dried keeps, on the row as on Today."""
    site = bag.tree("Mill lane")
    soaked, dried = bag.lot(site, days_ago=6), bag.lot(site, days_ago=6)
    bag.book.step(soaked.id, StepForm("soaked"))
    bag.book.step(dried.id, StepForm("dried", mass="2.1 kg"))
    soaked, dried = bag.book.lot(soaked.id), bag.book.lot(dried.id)
    assert use_by_now(soaked.facts, soaked.life).earliest == TODAY + dt.timedelta(days=7)

    async def walk():
        d = await bag.open("/lots")
        assert "Good until 15 Oct – 5 Nov" in d.texts()
        assert "Keeps while dry" in d.texts()
        assert any("under water since today" in text for text in d.texts())
        assert "want using" not in d.title()
        await d.go("/")
        assert "want" not in d.title()
        await d.go("/dye-day/hand-over")
        assert any("good until 15 Oct – 5 Nov" in text for text in d.texts())
        d.check_alive()
    play(walk)


def test_the_sum_counts_what_is_left(bag):
    """Mass and liquor apart; of what is gone nothing is counted."""
    site = bag.tree("Mill lane")
    lots = [bag.lot(site) for _ in range(3)]
    bag.book.step(lots[0].id, StepForm("strained", volume="28"))
    bag.book.step(lots[1].id, StepForm("spent"))
    assert title_of_all(bag.book.lots(), TODAY) == "13.1 kg and 28.0 L of liquor in 2 lots, 1 wants using this week"


def test_taking_a_lot_back_is_asked_once_and_undone_in_the_list(bag, lot):
    """The question says that the history stays; afterwards the list has a way back."""
    async def walk():
        d = await bag.open(f"/lots/{lot.code}")
        await d.tap("lot-withdraw")
        assert "stays in its history" in d.text()
        await d.tap("lot-withdraw-no")
        assert bag.book.count("lot") == 1
        await d.tap("lot-withdraw")
        await d.tap("lot-withdraw-yes")
        assert bag.book.count("lot") == 0
        assert d.title() == "No lots yet"
        assert f"{lot.code} taken back" in d.texts()
        await d.tap("undo")
        assert bag.book.count("lot") == 1
        assert d.snack() == f"Undone: {lot.code} taken back."
        assert d.title().startswith("13.1 kg in 1 lot")
        d.check_alive()
    play(walk)


def test_undoing_undoes_nothing_else(bag, lot):
    """If something was done meanwhile elsewhere, the button says so and changes nothing."""
    async def walk():
        d = await bag.open(f"/lots/{lot.code}")
        await d.tap("lot-take")
        await d.type("amount", "1")
        await d.tap("draw-save")
        bag.book.step(lot.id, StepForm("soaked"))
        await d.tap("undo")
        assert "something else was done meanwhile" in d.snack()
        after = bag.book.lot(lot.id).life
        assert (len(after.draws), after.state) == (1, "soaked")
        d.check_alive()
    play(walk)


def test_a_saved_windfall_can_be_undone(bag):
    """Right where it is saved."""
    site = bag.tree("Mill lane", materials=("black-walnut",))

    async def walk():
        d = await bag.open(f"/windfall/{site}")
        await d.type("gross", "5")
        await d.tap("save")
        assert bag.book.count("lot") == 1
        await d.tap("undo")
        assert bag.book.count("lot") == 0
        assert d.title() == "Taken back"
        d.check_alive()
    play(walk)
