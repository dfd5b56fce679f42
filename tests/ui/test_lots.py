"""The screen of all lots, and the words on a lot."""

import datetime as dt

import pytest

from field_app.core.deeds import DrawForm, StepForm
from field_app.core.facts import LotFacts
from field_app.core.records import Draft
from field_app.ui.lot_words import keeping, keeping_words, stuff_words, wants_using
from field_app.ui.lots_order import HURRY_WORDS, by_hurry, hurry_of
from tests.ui.fieldwork import DAY, FieldBag, on_screen, play


@pytest.fixture
def bag(tmp_path):
    bag = FieldBag(tmp_path)
    yield bag
    bag.book.close()


def test_no_lots(bag):
    """Without a lot the screen says so, and what to do."""
    async def walk():
        d = await bag.open("/lots")
        assert d.title() == "No lots yet"
        assert "Log what fell" in d.texts()
        await d.tap("lots-log")
        assert d.calls("push_route")[-1]["route"] == "/windfall"
        d.check_alive()
    play(walk)


def test_a_row_tells_all_that_one_looks_for(bag):
    """Code, net mass as a range, stuff, place, day, and how long it stays good."""
    async def walk():
        lot = bag.lot(bag.tree("Mill lane"))
        d = await bag.open("/lots")
        told = d.texts()
        for words in (lot.code, "13.1 kg (12.7–13.5)", "Whole black walnuts · Mill lane · today",
                      "Good until 11–18 Oct"):
            assert words in told
        await d.tap(f"lot-{lot.code}")
        assert d.routes() == ["/", f"/lots/{lot.code}"]
    play(walk)


def test_the_title_counts_mass_lots_and_what_wants_using(bag):
    """Mass is the sum of the net masses; what may turn within a week wants using."""
    async def walk():
        site = bag.tree("Mill lane")
        bag.lot(site)
        d = await bag.open("/lots")
        assert d.title() == "13.1 kg in 1 lot, 1 wants using this week"
        bag.lot(site, days_ago=5)
        bag.lot(site, days_ago=30)
        bag.lot(site, condition="air-dry", part="hull", gross="4", tare="")
        d = await bag.open("/lots")
        assert d.title() == "43.3 kg in 4 lots, 2 want using this week"
    play(walk)


def test_120_lots_come_in_pages_by_how_soon_they_spoil(bag):
    """50 at a time; the title speaks of all of them; what spoils first comes first, what has turned after it."""
    async def walk():
        site = bag.tree("Mill lane")
        lots = [bag.lot(site, days_ago=day, gross="2", tare="") for day in range(120)]
        d = await bag.open("/lots")
        assert d.title().startswith("240 kg in 120 lots")

        def shown():
            return [key.removeprefix("lot-") for key in on_screen(d) if key.startswith("lot-")]

        soon = next(at for at, lot in enumerate(lots) if hurry_of(lot, DAY.date()) == "past")
        assert 5 < soon < 15
        lots[:soon] = lots[:soon][::-1]
        assert shown() == [lot.code for lot in lots[:50]]
        heads = [text for text in d.texts() if text in HURRY_WORDS.values()]
        assert heads == ["Use first", "Past its best"]
        assert "Show 50 more of 70" in d.texts()
        await d.tap("lots-more")
        assert shown() == [lot.code for lot in lots[:100]]
        await d.tap("lots-more")
        assert shown() == [lot.code for lot in lots]
        assert "lots-more" not in on_screen(d)
        d.check_alive()
    play(walk)


def test_many_lots_are_read_without_a_standstill(bag):
    """While the later pages are read, the title says how many there are; then it speaks of all."""
    async def walk():
        site = bag.tree("Mill lane")
        for day in range(120):
            bag.lot(site, days_ago=day, gross="2", tare="")
        seen = []
        real = bag.book.lots
        d = await bag.open("/trees")

        def watched(**how):
            seen.append((how.get("limit"), d.title()))
            return real(**how)

        bag.book.lots = watched
        d.page.navigate("/lots")
        await d.settle()
        assert [limit for limit, _ in seen if limit != 1] == [50, 50]
        assert seen[-1][1] == "120 lots"
        assert d.title().startswith("240 kg in 120 lots")
        d.check_alive()
    play(walk)


def test_what_another_program_wrote_shows_when_one_comes_back(bag):
    """Another writer on the same folder is seen the next time the screen opens."""
    async def walk():
        site = bag.tree("Mill lane")
        d = await bag.open("/lots")
        assert d.title() == "No lots yet"
        lot = bag.lot(site)
        await d.go("/trees")
        await d.go("/lots")
        assert lot.code in d.texts()
    play(walk)


def test_stuff_that_this_version_does_not_know(bag):
    """A lot from a newer version is listed by its bare name, and says that its keeping is not known."""
    async def walk():
        site = bag.tree("Mill lane")
        facts = LotFacts.model_validate({
            "site": site, "material": "lichen", "part": "thallus", "basis": "weighed",
            "gathered": DAY.isoformat(), "gross": {"value": "2", "unit": "kg"}})
        thing = "urn:uuid:00000000-0000-7000-8000-0000000000ff"
        bag.book.log_book.append([Draft(thing, "lot", facts.as_json())], now_ms=int(DAY.timestamp() * 1000))
        lot = bag.book.lot(thing)
        d = await bag.open("/lots")
        assert "Lichen, thallus · Mill lane · today" in d.texts()
        assert "How long it keeps is not known here" in d.texts()
        await d.tap(f"lot-{lot.code}")
        assert d.title() == "2 kg of lichen, thallus" or d.title() == "2.0 kg of lichen, thallus"
        assert "What it is worth can't be worked out here" in d.texts()
        d.check_alive()
    play(walk)


def facts(**how):
    """Facts of a lot of 8 October 2026."""
    plain = {"site": "urn:uuid:0", "material": "black-walnut", "part": "hull", "basis": "weighed",
             "gathered": DAY.isoformat(), "ripeness": "fallen", **how}
    return LotFacts.model_validate(plain)


@pytest.mark.parametrize(("how", "day", "words"), [
    ({}, "2026-10-08", "good until 11–18 Oct"),
    ({}, "2026-10-10", "good until 11–18 Oct"),
    ({}, "2026-10-11", "use it by Sun 18 Oct, it may be turning"),
    ({}, "2026-10-18", "use it today, it may be turning"),
    ({}, "2026-10-19", "past its best since Sun 18 Oct"),
    ({}, "2027-01-02", "past its best since Sun 18 Oct 2026"),
    ({"condition": "air-dry"}, "2027-01-02", "keeps while dry"),
    ({"material": "oak-bark", "part": "bark", "ripeness": None}, "2026-10-09",
     "use or dry it soon: how long it keeps is not known"),
    ({"gathered": "2026-10-28T15:00:00-02:00"}, "2026-10-28", "good until 31 Oct – 7 Nov"),
    ({"material": "lichen"}, "2026-10-08", "how long it keeps is not known here"),
])
def test_how_long_it_stays_good_in_words(how, day, words):
    """Good, to be used, past, or keeping: each has its words, with the days that matter."""
    assert keeping_words(keeping(facts(**how)), dt.date.fromisoformat(day)) == words


@pytest.mark.parametrize(("how", "day", "wants"), [
    ({}, "2026-10-08", True),
    ({}, "2026-10-15", True),
    ({}, "2026-10-19", False),
    ({"condition": "air-dry"}, "2026-10-08", False),
    ({"condition": "soaked"}, "2026-10-08", False),
    ({"condition": "soaked"}, "2026-10-09", True),
    ({"material": "oak-bark", "part": "bark", "ripeness": None}, "2026-12-08", True),
    ({"material": "lichen"}, "2026-10-08", False),
])
def test_what_wants_using_this_week(how, day, wants):
    """What may turn in less than seven days, or of which nobody knows how long it keeps."""
    assert wants_using(keeping(facts(**how)), dt.date.fromisoformat(day)) is wants


@pytest.mark.parametrize(("material", "part", "words"), [
    ("black-walnut", "whole-fruit", "whole black walnuts"),
    ("english-walnut", "whole-fruit", "whole English walnuts"),
    ("butternut", "hull", "butternut hull"),
    ("oak-bark", "bark", "English oak bark"),
    ("oak-gall-turkey", "gall", "oak gall, Turkey gall"),
    ("lichen", "thallus", "lichen, thallus"),
])
def test_what_a_lot_is_called(material, part, words):
    """As a dyer would say it, in the middle of a sentence."""
    assert stuff_words(facts(material=material, part=part, ripeness=None)) == words


def test_a_lot_that_was_taken_back_is_brought_back(bag):
    """Under the lots stands how many were taken back; a tap lists them, and one comes back and can be undone."""
    async def walk():
        site = bag.tree("Mill lane")
        lot, other = bag.lot(site), bag.lot(site, days_ago=2)
        d = await bag.open("/lots")
        assert d.find("lots-back") == []
        bag.book.withdraw(lot.id)
        bag.book.withdraw(other.id)
        d = await bag.open("/lots")
        assert d.title() == "No lots yet"
        await d.tap("lots-back")
        assert f"13.1 kg (12.7–13.5) · Whole black walnuts · Mill lane · {'today'}".lower() in d.text().lower()
        assert "Taken back today on this device." in d.texts()
        await d.tap(f"lots-back-{lot.code}")
        assert d.find(f"lot-{lot.code}")
        assert d.find(f"lots-back-{lot.code}") == []
        assert d.find(f"lots-back-{other.code}")
        assert f"{lot.code} brought back" in d.texts()
        await d.tap("undo")
        assert d.find(f"lot-{lot.code}") == []
        d.check_alive()
    play(walk)


def test_many_that_were_taken_back_come_a_page_at_a_time(bag, monkeypatch):
    """No more are read than are shown, and the rest on a tap."""
    monkeypatch.setattr("field_app.ui.lots_back._PAGE", 2)

    async def walk():
        site = bag.tree("Mill lane")
        for _ in range(3):
            bag.book.withdraw(bag.lot(site).id)
        d = await bag.open("/lots")
        await d.tap("lots-back")
        rows = [key for key in on_screen(d) if key.startswith("lots-back-") and key != "lots-back-more"]
        assert len(rows) == 2
        await d.tap("lots-back-more")
        rows = [key for key in on_screen(d) if key.startswith("lots-back-")]
        assert (len(rows), "lots-back-more" in rows) == (3, False)
        d.check_alive()
    play(walk)


def test_the_order_is_that_of_the_hurry(bag):
    """What wants using first, then what is past its best, good for longer, what keeps, and what is used up."""
    site = bag.tree("Mill lane")
    used, dry, wet, old, soon, sooner = (
        bag.lot(site), bag.lot(site, condition="air-dry", part="hull", gross="4", tare=""), bag.lot(site, days_ago=9),
        bag.lot(site, days_ago=40), bag.lot(site, days_ago=1), bag.lot(site, days_ago=6))
    bag.book.draw(used.id, DrawForm("13.1 kg"))
    bag.book.step(wet.id, StepForm("soaked"))
    found = by_hurry(bag.book.lots(limit=-1), DAY.date())
    assert [(hurry, [lot.id for lot in lots]) for hurry, lots in found] == [
        ("soon", [sooner.id, soon.id]), ("past", [old.id]), ("good", [wet.id]), ("keeps", [dry.id]),
        ("gone", [used.id])]
