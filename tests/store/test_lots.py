"""Lots read many at once are the lots read one by one."""

import pytest

from field_app.core.deeds import DrawForm, StepForm
from field_app.core.records import code_of
from field_app.store import lots as lots_module
from field_app.store import open_book
from field_app.store.lots import lots_now
from tests.store.making import NOW_MS, Devices, feature_of, text_of, urn
from tests.store.test_book import Clock, names, windfall, with_site


@pytest.fixture
def season(tmp_path, monkeypatch):
    """A book of seven lots with steps and draws, which are read three at a time."""
    monkeypatch.setattr(lots_module, "_BATCH", 3)
    book = open_book(tmp_path / "data", clock=Clock(), new_id=names())
    with_site(book)
    for number in range(7):
        lot = book.log(windfall(gross=f"{number + 10} kg"))
        if number % 2:
            book.step(lot.id, StepForm("soaked"))
            book.draw(lot.id, DrawForm("2 kg", by="the parish"))
    yield book
    book.close()


def test_many_are_read_as_one_is(season):
    """Sites, steps, draws and codes are those of the same lot, whichever part it is read in."""
    page = season.lots(limit=-1)
    assert page == tuple(season.lot(lot.id) for lot in page)
    assert [len(lot.life.draws) for lot in page].count(1) == 3


def test_what_can_not_be_read_has_its_place(season):
    """Of a lot of a newer program there is nothing to show, and those beside it are shown."""
    rng = Devices(1).rng
    odd = urn(rng)
    season.log_book.take_in_texts([text_of(feature_of(odd, "lot", {"site": "x", "gathered": 7}))], now_ms=NOW_MS)
    things = season.log_book.things("lot")
    found = [*lots_now(season.log_book, things, season.in_force())]
    assert [lot is None for lot in found] == [thing.id == odd for thing in things]


def test_codes_grow_until_they_are_of_one_lot(season, monkeypatch):
    """Two lots whose first four signs are the same are told apart by a fifth; the others keep four."""
    lots = season.lots(limit=-1)
    rng = Devices(1, seed=4).rng
    twin = next(one for one in iter(lambda: urn(rng), None) if code_of(one, 2) == lots[0].code[:2])
    assert season.log_book.code_counts({lots[0].code[:2], "~"}, "lot") == {
        lots[0].code[:2]: sum(lot.code.startswith(lots[0].code[:2]) for lot in lots)}
    found = lots_module._codes(season.log_book, [lot.id for lot in lots])
    assert found == {lot.id: lot.code for lot in lots}
    monkeypatch.setattr(lots_module, "SHOWN", 2)  # signs from two on, so that a twin is found soon
    season.log_book.take_in_texts([text_of(feature_of(twin, "lot", {"site": "x"}))], now_ms=NOW_MS)
    again = lots_module._codes(season.log_book, [lots[0].id, twin])
    assert min(map(len, again.values())) > 2
    assert len(set(again.values())) == 2
