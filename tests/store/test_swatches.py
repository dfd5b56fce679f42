"""Swatches of one's own in the book: what is in force follows them, and goes back with them."""

import dataclasses
import datetime as dt
import itertools

import pytest

from field_app.core.forms import SiteForm, WindfallForm
from field_app.core.problems import Refused
from field_app.core.records import Draft
from field_app.core.swatch_deeds import SwatchForm
from field_app.store import FieldBook, correct_swatch, note_swatch, own_records, palette_in_force, swatches_of

NOW = dt.datetime.fromisoformat("2026-10-08T15:24:00-02:00")
DARK = SwatchForm(stuff="5 g", cloth="10 g", time="1 h", result="dark", material="black-walnut", state="air-dry")


@pytest.fixture
def book(log):
    numbers = itertools.count(1)
    made = FieldBook(log, clock=lambda: NOW, new_id=lambda: f"urn:uuid:0199c3a4-7b1e-7000-8000-{next(numbers):012x}")
    made.add_site(SiteForm("Mill lane"))
    return made


def lot(book, **more):
    return book.log(WindfallForm(**{"material": "black-walnut", "part": "hull", "ripeness": "fallen",
                                    "site": "Mill lane", "gross": "10 kg"} | more))


def medium(book, key):
    return {shade.name: shade.cloth.central for shade in book.estimate(key).shades}["medium"]


def test_a_swatch_holds_in_the_next_estimate_and_until_it_is_taken_back(book):
    """A dark swatch makes a lot dye more cloth at medium; taken back, and undone, it goes and comes again."""
    one = lot(book)
    before = medium(book, one.id)
    noted = note_swatch(book, DARK)
    after = medium(book, one.id)
    assert after > 1.1 * before
    book.withdraw(noted)
    assert medium(book, one.id) == before
    assert swatches_of(book.log_book) == ()
    book.undo()
    assert medium(book, one.id) == after


def test_the_palette_follows(book):
    """A greyer, darker colour moves the palette of that material and of no other."""
    table = palette_in_force(book, "black-walnut")
    note_swatch(book, dataclasses.replace(DARK, result="#2f2a26"))
    told, other = palette_in_force(book, "black-walnut"), palette_in_force(book, "oak-bark")
    assert (table.own, told.own, other.own) == (0, 1, 0)
    assert told.tints["none"].strength.central > table.tints["none"].strength.central
    assert told.tints["none"].fall.central > table.tints["none"].fall.central


def test_a_swatch_of_a_lot_is_of_its_material_state_and_site(book):
    """Named by its lot, it needs no more; once the lot is taken back, it teaches nothing."""
    one = lot(book, condition="air-dry", ripeness="fallen")
    note_swatch(book, dataclasses.replace(DARK, lot=one.id, material="", state=""))
    (swatch,) = swatches_of(book.log_book)
    assert (swatch.material, swatch.state, swatch.site, swatch.lot) == (
        "black-walnut", "air-dry", one.facts.site, one.id)
    book.withdraw(one.id)
    assert swatches_of(book.log_book) == ()


def test_a_swatch_told_anew_replaces_the_old_one(book):
    """Corrected, it counts once, and what was told before stays in its history."""
    noted = note_swatch(book, DARK)
    assert correct_swatch(book, noted, dataclasses.replace(DARK, result="pale")) == noted
    (swatch,) = swatches_of(book.log_book)
    assert swatch.facts.band == "pale"
    assert len(book.history(noted)) == 2


def test_a_swatch_with_a_fault_is_refused_and_nothing_is_written(book):
    """What is wrong is told, and the book is as it was."""
    mark = book.change_mark()
    with pytest.raises(Refused, match="lot"):
        note_swatch(book, dataclasses.replace(DARK, lot="urn:uuid:0199c3a4-7b1e-7000-8000-00000000ffff"))
    assert book.change_mark() == mark


def test_swatches_are_no_tests_of_another_kind_and_the_other_way_round(book):
    """Both are records of one kind, and each is counted as what it is."""
    note_swatch(book, DARK)
    book.log_book.append([Draft("urn:uuid:0199c3a4-7b1e-7000-8000-00000000fff0", "test", {
        "test": "dry", "material": "black-walnut", "state": "fresh", "at": "2026-10-08T15:24:00-02:00",
        "before": {"value": "212", "unit": "g"}, "after": {"value": "52", "unit": "g"}})], now_ms=1_791_900_000_000)
    records = own_records(book.log_book)
    assert (len(records.tests), len(records.swatches)) == (1, 1)
