"""The book: what screens and commands read and write, on a real folder."""

import datetime as dt
import itertools

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from field_app.core.deeds import DrawForm, StepForm
from field_app.core.facts import LeaveFacts, LotFacts
from field_app.core.forms import LeaveForm, SiteForm, WindfallForm
from field_app.core.materials import MATERIALS, RIPENESS
from field_app.core.positions import Position
from field_app.core.problems import Refused
from field_app.core.records import Draft
from field_app.store import fill_demo, open_book

START = dt.datetime.fromisoformat("2026-10-08T15:24:00-02:00")


class Clock:
    """A clock that the test turns."""

    def __init__(self):
        self.now = START

    def __call__(self):
        self.now += dt.timedelta(seconds=1)
        return self.now


def names(start=1):
    numbers = itertools.count(start)
    return lambda: f"urn:uuid:01890000-0000-7000-8000-{next(numbers):012x}"


@pytest.fixture
def book(tmp_path):
    book = open_book(tmp_path / "data", clock=Clock(), new_id=names())
    yield book
    book.close()


def windfall(**more):
    facts = {"site": "Mill lane", "material": "black-walnut", "part": "whole-fruit", "ripeness": "fallen",
             "gross": "14,2 kg", "tare": "1.1"}
    return WindfallForm(**facts | more)


def with_site(book, **more):
    return book.add_site(SiteForm("Mill lane", position="44.01234, -28.00567", materials=("black-walnut",), **more))


def test_what_is_logged_is_there_after_reopening(tmp_path):
    """A lot is the same, to the letter, when the folder is opened again."""
    book = open_book(tmp_path, clock=Clock(), new_id=names())
    with_site(book, leave=LeaveForm("given", by="the miller", until="2026-11-15"))
    lot, site = book.log(windfall()), book.site("mill lane")
    book.close()
    again = open_book(tmp_path, clock=Clock(), new_id=names(1000))
    try:
        assert again.lot(lot.code) == lot
        assert again.site(site.id) == site
        assert again.site(site.id).leave == LeaveFacts(site=site.id, state="given", by="the miller",
                                                       until=dt.date(2026, 11, 15))
    finally:
        again.close()


def test_a_refusal_changes_nothing(book):
    """What is refused leaves the folder as it was."""
    with_site(book)
    before = book.change_mark(), book.count("lot")
    with pytest.raises(Refused):
        book.log(windfall(tare="20"))
    assert (book.change_mark(), book.count("lot")) == before


def test_lots_come_newest_first_and_in_pages(book):
    """Pages of lots follow each other without gap or repetition, the newest gathered first."""
    with_site(book)
    days = [5, 1, 8, 3, 3, 7, 2]
    for day in days:
        book.log(windfall(gathered=f"2026-10-{day:02d} 09:00"))
    first = book.lots(limit=3)
    second = book.lots(limit=3, after=first[-1])
    third = book.lots(limit=3, after=second[-1])
    assert [lot.gathered.day for lot in (*first, *second, *third)] == sorted(days, reverse=True)
    assert len({lot.id for lot in (*first, *second, *third)}) == len(days)


def test_sites_come_nearest_first(book):
    """With a position, the nearest site comes first and one without a position last."""
    with_site(book)
    book.add_site(SiteForm("Nowhere yet"))
    book.add_site(SiteForm("Ford bend", position="44.01689, -27.99644"))
    near = book.sites(Position(44.0168, -27.9966))
    assert [site.name for site in near] == ["Ford bend", "Mill lane", "Nowhere yet"]


def test_a_lot_is_found_by_its_code_however_it_is_read(book):
    """A code is found in small letters, with O for 0 and I or L for 1, and by any beginning that is its own."""
    with_site(book)
    lot = book.log(windfall())
    spoken = lot.code.lower().replace("0", "o").replace("1", "l")
    assert book.lot(spoken).id == lot.id
    with pytest.raises(Refused, match="no lot has the code"):
        book.lot("%")


def test_codes_that_start_alike_are_told_apart(book):
    """When a beginning fits several lots, the refusal lists codes that are long enough."""
    with_site(book)
    lots = [book.log(windfall()) for _ in range(80)]
    firsts = [lot.code[0] for lot in lots]
    common = next(sign for sign in firsts if firsts.count(sign) > 1)
    with pytest.raises(Refused) as refused:
        book.lot(common)
    assert str(firsts.count(common)) in refused.value.problems[0].what
    assert len({lot.code for lot in lots}) == len(lots)


def test_a_correction_keeps_the_history(book):
    """A corrected lot shows the new amounts, under the same code, and the first ones stay in its history."""
    with_site(book)
    lot = book.log(windfall())
    fixed = book.correct(lot.code, windfall(gross="12,4 kg"))
    assert (fixed.id, fixed.code) == (lot.id, lot.code)
    assert fixed.net.central == pytest.approx(11.3)
    assert [version.facts["gross"]["value"] for version in book.history(lot.id)] == ["14.2", "12.4"]
    assert book.count("lot") == 1


def test_undo_walks_back_and_forth(book):
    """Undoing takes back the last thing done; undoing that brings it back."""
    with_site(book)
    lot = book.log(windfall())
    book.correct(lot.code, windfall(gross="12,4 kg"))
    book.undo()
    assert book.lot(lot.id).net.central == pytest.approx(13.1)
    book.undo()
    assert book.lot(lot.id).net.central == pytest.approx(11.3)


def test_a_new_lot_undone_leaves_its_place(book):
    """Undoing a lot that was logged with a new place takes back the lot alone."""
    lot = book.log(windfall(site="", new_site=SiteForm("Weir")))
    book.undo()
    assert book.count("lot") == 0
    assert book.site("Weir").id == lot.facts.site
    book.undo()
    assert book.lot(lot.id).id == lot.id


def test_nothing_to_undo_is_said(book):
    """On a new folder there is nothing to undo, and the message says so."""
    with pytest.raises(Refused, match="nothing was done"):
        book.undo()


def test_steps_and_draws_are_seen_on_the_lot(book):
    """Drying and drawing change what is left and the state, not the mass that was gathered."""
    with_site(book)
    lot = book.log(windfall(part="hull"))
    book.step(lot.code, StepForm("dried", mass="2,1 kg"))
    now = book.draw(lot.code, DrawForm("600 g", by="the dyer", purpose="first pot"))
    assert now.life.state == "dried"
    assert now.life.left.central == pytest.approx(1.5)
    assert now.net.central == pytest.approx(13.1)
    with pytest.raises(Refused, match="more than is left"):
        book.draw(lot.code, DrawForm("1,6 kg"))


def test_what_a_newer_program_wrote_is_kept_and_told(book):
    """A lot of a material that is not known here is left out of the list and told of, and the pages go on."""
    with_site(book)
    lots = [book.log(windfall(gathered=f"2026-10-0{day} 09:00")) for day in range(1, 6)]
    facts = {**lots[3].facts.as_json(), "material": "moon-walnut", "basis": "counted", "count": 9}
    book.log_book.append([Draft("urn:uuid:01890000-0000-7000-8000-00000000ffff", "lot", facts)], now_ms=1)
    first = book.lots(limit=3)
    assert [lot.id for lot in (*first, *book.lots(limit=3, after=first[-1]))] == [lot.id for lot in reversed(lots)]
    assert [problem.record for problem in book.unreadable()] == ["urn:uuid:01890000-0000-7000-8000-00000000ffff"]
    assert book.last_lot().id == lots[-1].id


def test_a_planners_draw_is_taken_once(book):
    """The same draw id, taken again, changes nothing."""
    with_site(book)
    lot = book.log(windfall(part="hull"))
    for _ in range(3):
        now = book.draw(lot.code, DrawForm("1 kg", ref="plan-7"))
    assert len(now.life.draws) == 1


def test_leave_told_again_keeps_its_history(book):
    """Leave is one thing with a history: given, then refused."""
    site = with_site(book, leave=LeaveForm("given", by="the miller"))
    now = book.set_leave(site.name, LeaveForm("refused", by="the miller's son"))
    assert now.leave_on(START.date()) == "refused"
    assert [version.facts["state"] for version in book.history(site.leave_id)] == ["given", "refused"]


def test_the_demo_has_the_same_codes_everywhere(tmp_path):
    """The demo scenario fills a folder through the same forms, with codes that don't change."""
    codes = []
    for number in (1, 2):
        book = fill_demo(tmp_path / str(number), new_id=names(number * 1000))
        codes.append([lot.code for lot in book.lots(limit=-1)])
        assert book.count("site") == 9
        book.close()
    assert codes[0] == codes[1]
    with pytest.raises(Refused, match="not empty"):
        fill_demo(tmp_path / "1", new_id=names())


stuffs = st.sampled_from([(m.key, p.key, p.shows_ripeness) for m in MATERIALS.values() for p in m.parts])
words = st.text(st.characters(min_codepoint=32, exclude_categories=["Cs", "Cc"]), max_size=40)


@settings(max_examples=60)
@given(stuff=stuffs, ripe=st.sampled_from(list(RIPENESS)), gross=st.decimals("0.1", "900", places=2), note=words,
       lat=st.integers(-90_000_000, 90_000_000), lon=st.integers(-179_999_999, 180_000_000), name=words)
def test_any_record_round_trips_through_the_store(tmp_path_factory, stuff, ripe, gross, note, lat, lon, name):
    """Any lot and site come back from the folder as they went in."""
    material, part, shows = stuff
    folder = tmp_path_factory.mktemp("book")
    book = open_book(folder, clock=Clock(), new_id=names())
    try:
        lot = book.log(WindfallForm(
            new_site=SiteForm(f"x{name}", position=f"{lat / 1e6:.6f}, {lon / 1e6:.6f}", note=note),
            material=material, part=part, ripeness=ripe if shows else "", gross=str(gross), note=note,
            wood="felled" if part == "bark" else ""))
    finally:
        book.close()
    again = open_book(folder, clock=Clock(), new_id=names(500))
    try:
        read = again.lot(lot.id)
        assert read == lot
        assert read.facts == LotFacts.model_validate(lot.facts.as_json())
        assert read.facts.note == note.strip()
        position = again.site(lot.facts.site).position
        assert (position.lat, abs(position.lon)) == (lat / 1e6, 0 if abs(lat) == 90_000_000 else abs(lon) / 1e6)
    finally:
        again.close()
