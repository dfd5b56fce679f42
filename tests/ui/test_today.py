"""Today: its title is the answer, and on empty data it says what to do first."""

import datetime as dt

import pytest

from field_app.core.deeds import DrawForm, StepForm
from field_app.core.gather import LeaveForm
from field_app.ui.glyphs import undrawn
from field_app.ui.today import answer, leave_to_see_to, use_first
from tests.ui.fieldwork import DAY, GIVEN, FieldBag, play


@pytest.fixture
def bag(tmp_path):
    bag = FieldBag(tmp_path)
    yield bag
    bag.book.close()


TODAY = DAY.date()


def test_an_empty_book_says_what_to_do_first(bag):
    """The first start shows three steps and one main action, and the action leads to logging."""
    async def walk():
        d = await bag.open("/")
        assert d.title() == "Begin with what fell"
        steps = [text for text in d.texts() if text in ("1", "2", "3")]
        assert steps == ["1", "2", "3"]
        await d.tap("log")
        assert d.routes() == ["/", "/windfall"]
        d.check_alive()
    play(walk)


def test_the_title_counts_what_wants_using(bag):
    """What may turn within a week is counted, what keeps or is past is not."""
    site = bag.tree("Mill lane", leave=GIVEN)
    bag.lot(site, days_ago=8)
    bag.lot(site, days_ago=1)
    bag.lot(site, days_ago=3, condition="air-dry")
    bag.lot(site, days_ago=40)

    async def walk():
        d = await bag.open("/")
        assert d.title() == "2 lots want using this week"
    play(walk)


def test_what_spoils_soonest_stands_first(bag):
    """Lots are in the order in which they will have turned; those of unknown keeping come last."""
    site = bag.tree("Mill lane")
    fresh = bag.lot(site, days_ago=1)
    unknown = bag.lot(site, material="oak-bark", part="bark", ripeness="")
    old = bag.lot(site, days_ago=9)
    dry = bag.lot(site, condition="air-dry")
    assert [lot.id for lot in use_first([fresh, unknown, old, dry], TODAY)] == [old.id, fresh.id, unknown.id]


@pytest.mark.parametrize(("step", "presses"), [
    (StepForm("weighed", mass="12.8"), True), (StepForm("dried", mass="1.4"), False), (StepForm("boiled"), False),
    (StepForm("spent"), False), (StepForm("spoiled"), False)])
def test_a_lot_that_was_worked_on_presses_no_more(bag, step, presses):
    """Weighing again changes nothing; dried stuff keeps, and what is in the kettle or gone can't spoil."""
    lot = bag.lot(bag.tree("Mill lane"), days_ago=5)
    lot = bag.book.step(lot.id, step)
    assert (use_first([lot], TODAY) == (lot,)) is presses


def test_hull_put_under_water_presses_when_its_weeks_end(bag):
    """Soaked hull is good for a week at least from the day it was put under, whenever it fell."""
    fallen = bag.lot(bag.tree("Mill lane"), days_ago=20)
    soaked = bag.book.step(fallen.id, StepForm("soaked"))
    assert use_first([soaked], TODAY) == ()
    assert use_first([soaked], TODAY + dt.timedelta(days=8)) == (soaked,)


def test_a_lot_of_which_nothing_is_left_presses_no_more(bag):
    """What was drawn to the last is not told of."""
    lot = bag.lot(bag.tree("Mill lane"), days_ago=5)
    assert use_first([lot], TODAY) == (lot,)
    assert use_first([bag.book.draw(lot.id, DrawForm("13.1 kg"))], TODAY) == ()


def test_leave_that_ends_or_was_never_asked_is_told_in_time(bag):
    """Leave ending within a week comes first, then ended, then never asked; refused and settled leave do not show."""
    bag.tree("Asked never")
    bag.tree("Ended", leave=LeaveForm("given", until="2026-10-01"))
    bag.tree("Ends today", leave=LeaveForm("given", until="2026-10-08"))
    bag.tree("Ends in a week", leave=LeaveForm("given", until="2026-10-15"))
    bag.tree("Ends later", leave=LeaveForm("given", until="2026-10-16"))
    bag.tree("For good", leave=LeaveForm("given"))
    bag.tree("Refused", leave=LeaveForm("refused"))
    assert [site.name for site in leave_to_see_to(bag.book.sites(), TODAY)] == [
        "Ends today", "Ends in a week", "Ended", "Asked never"]


@pytest.mark.parametrize(("pressing", "asking", "lots", "title"), [
    (1, 0, 1, "1 lot wants using this week"), (3, 2, 9, "3 lots want using this week"),
    (0, 1, 5, "See about leave at Mill lane"), (0, 2, 5, "See about leave at 2 places"),
    (0, 0, 5, "Nothing spoils this week"), (0, 0, 0, "Nothing gathered yet")])
def test_the_answer_says_what_wants_doing_first(bag, pressing, asking, lots, title):
    """Spoiling comes before leave, and leave before peace."""
    site = bag.book.site(bag.tree("Mill lane"))
    lot = bag.lot(site.id)
    assert answer([lot] * pressing, [site] * asking, lots) == title


def test_a_lot_is_shown_once(bag):
    """What wants using is not listed a second time among the last windfalls."""
    site = bag.tree("Mill lane", leave=GIVEN)
    codes = [bag.lot(site, days_ago=days).code for days in (0, 5, 6)]

    async def walk():
        d = await bag.open("/")
        assert sorted(text for text in d.texts() if text in codes) == sorted(codes)
    play(walk)


def test_each_card_leads_to_what_it_shows(bag):
    """A lot's card opens the lot, a place's card opens the place, and back leads to Today's place."""
    site = bag.tree("Heron marsh")
    lot = bag.lot(site)

    async def walk():
        d = await bag.open("/")
        await d.tap("leave-Heron marsh")
        assert d.routes()[-1] == f"/trees/{site.removeprefix('urn:uuid:')}"
        await d.go("/")
        await d.tap(f"lot-{lot.code}")
        assert d.routes()[-1] == f"/lots/{lot.code}"
        d.check_alive()
    play(walk)


def test_what_another_program_wrote_shows_when_one_comes_back(bag):
    """Today reads the book again when it is opened, if anything was written meanwhile."""
    async def walk():
        d = await bag.open("/")
        await d.go("/lots")
        site = bag.tree("Mill lane", leave=GIVEN)
        bag.lot(site, days_ago=5)
        await d.go("/")
        assert d.title() == "1 lot wants using this week"
        d.check_alive()
    play(walk)


def test_every_sign_of_ours_is_in_the_font(bag):
    """No word on Today would show as a box."""
    site = bag.tree("Mill lane", leave=LeaveForm("given", by="the miller", until="2026-10-09"))
    bag.lot(site, days_ago=5)

    async def walk():
        d = await bag.open("/")
        assert "Leave given by the miller, until tomorrow" in d.texts()
        assert undrawn(d.text()) == ""
    play(walk)


def test_an_address_that_leads_nowhere_says_so(bag):
    """It says that nothing is there and that what was saved is safe, and the four places lead on."""
    async def walk():
        d = await bag.open("/nowhere/at/all")
        assert d.title() == "There is nothing here"
        await d.tap("place-today")
        assert d.title() == "Begin with what fell"
        d.check_alive()
    play(walk)


def test_the_four_places_lead_to_each_other(bag):
    """From every place every other is one tap away, without a stack to go back through."""
    bag.lot(bag.tree("Mill lane"))

    async def walk():
        d = await bag.open("/")
        for place in ("trees", "lots", "dye-day", "today"):
            await d.tap(f"place-{place}")
            assert d.routes() == ["/"], place
        d.check_alive()
    play(walk)


def test_the_day_is_that_of_the_clock_of_the_book(bag):
    """The line above the title says day and time here."""
    bag.now = dt.datetime.fromisoformat("2027-01-03T08:05:00-02:00")

    async def walk():
        d = await bag.open("/")
        assert d.texts()[0] == "Sun 3 Jan · 08:05"
    play(walk)
