"""Values and tests of one's own in the book: what is in force follows them, and goes back with them."""

import dataclasses
import datetime as dt
import itertools

import pytest

from field_app.core.forms import SiteForm, WindfallForm
from field_app.core.own_deeds import OwnTestForm, ValueForm
from field_app.core.problems import Refused
from field_app.core.records import Draft
from field_app.store import (
    FieldBook,
    correct_test,
    note_test,
    own_records,
    set_value,
    take_back_value,
    value_held,
)

NOW = dt.datetime.fromisoformat("2026-10-08T15:24:00-02:00")
DRY = OwnTestForm("dry", before="212 g", after="52 g", dish="12 g")


@pytest.fixture
def book(log):
    numbers = itertools.count(1)
    made = FieldBook(log, clock=lambda: NOW, new_id=lambda: f"urn:uuid:0199c3a4-7b1e-7000-8000-{next(numbers):012x}")
    made.add_site(SiteForm("Mill lane"))
    made.add_site(SiteForm("Ford bend"))
    return made


def lot(book, site="Mill lane", **more):
    return book.log(WindfallForm(**{"material": "black-walnut", "part": "hull", "ripeness": "fallen", "site": site,
                                    "gross": "10 kg"} | more))


def dry_mass(book, key):
    return book.estimate(key).dry_matter.central


def test_a_value_holds_in_the_next_estimate_and_until_it_is_taken_back(book):
    """Setting a value changes what a lot is worth; taking it back brings the table's figure again."""
    one = lot(book)
    assert dry_mass(book, one.id) == pytest.approx(1.5)
    set_value(book, ValueForm("black-walnut", "dry-fresh", "18 %"))
    assert dry_mass(book, one.id) == pytest.approx(1.8)
    take_back_value(book, "black-walnut", "dry-fresh")
    assert dry_mass(book, one.id) == pytest.approx(1.5)
    assert book.lot(one.id).stuff is book.in_force()("black-walnut")


def test_a_value_set_anew_replaces_the_old_one_and_keeps_it_in_the_history(book):
    """One thing carries all that was said of a value, also after it was taken back."""
    for text in ("18 %", "19 %"):
        set_value(book, ValueForm("black-walnut", "dry-fresh", text))
    take_back_value(book, "black-walnut", "dry-fresh")
    thing = set_value(book, ValueForm("black-walnut", "dry-fresh", "20 %"))
    held = value_held(book, "black-walnut", "dry-fresh")
    assert held is not None
    assert (held.id, held.facts["value"], len(held.heads)) == (thing, "20", 1)
    assert [version.facts["value"] for version in book.history(thing)] == ["18", "19", "19", "20"]
    assert len(own_records(book.log_book).values) == 1


def test_what_was_never_set_can_not_be_taken_back(book):
    """Taking back a value that nobody set, or twice, is refused."""
    with pytest.raises(Refused, match="no value of your own is set"):
        take_back_value(book, "black-walnut", "dry-fresh")
    set_value(book, ValueForm("black-walnut", "dry-fresh", "18 %"))
    take_back_value(book, "black-walnut", "dry-fresh")
    with pytest.raises(Refused, match="no value of your own is set"):
        take_back_value(book, "black-walnut", "dry-fresh")


def test_a_value_for_a_site_holds_there_alone(book):
    """A lot of that site follows the value, one of another site does not; undoing undoes it."""
    here, there = lot(book), lot(book, "Ford bend")
    set_value(book, ValueForm("black-walnut", "dry-fresh", "22 %", site=book.site("Mill lane").id))
    assert dry_mass(book, here.id) == pytest.approx(2.2)
    assert dry_mass(book, there.id) == pytest.approx(1.5)
    book.undo()
    assert dry_mass(book, here.id) == pytest.approx(1.5)


def test_a_value_counts_for_counted_and_poured_loads_too(book):
    """The mass of one fruit and the density of a pail are in the net mass of a lot."""
    counted = lot(book, part="whole-fruit", gross="", count="100")
    poured = lot(book, part="whole-fruit", gross="", pails="1", pail="10 L")
    assert (counted.net.central, poured.net.central) == pytest.approx((7.0, 5.6))
    set_value(book, ValueForm("black-walnut", "piece-whole-fruit", "80 g"))
    set_value(book, ValueForm("black-walnut", "pour-whole-fruit", "500"))
    assert (book.lot(counted.id).net.central, book.lot(poured.id).net.central) == pytest.approx((8.0, 5.0))


def test_a_dry_test_teaches_its_lot_its_site_and_the_rest(book):
    """The tested lot comes near to what was measured, others are drawn to it, and taking the test back undoes all."""
    tested, near, far = lot(book), lot(book), lot(book, "Ford bend")
    before = [dry_mass(book, one.id) for one in (tested, near, far)]
    test = note_test(book, dataclasses.replace(DRY, lot=tested.id))
    after = [dry_mass(book, one.id) for one in (tested, near, far)]
    assert after[0] > after[1] > after[2] > before[0]
    assert after[0] == pytest.approx(2.0, rel=0.02)
    book.withdraw(test)
    assert [dry_mass(book, one.id) for one in (tested, near, far)] == before


def test_a_test_follows_its_lot(book):
    """Where a lot turns out to be browned, its test teaches browned hull; where the lot is taken back, nothing."""
    tested = lot(book)
    test = note_test(book, dataclasses.replace(DRY, lot=tested.id))
    (one,) = own_records(book.log_book).tests
    assert (one.parameter, one.site) == ("dry-fresh", book.site("Mill lane").id)
    book.correct(tested.id, WindfallForm("black-walnut", "hull", site="Mill lane", ripeness="browned", gross="10 kg"))
    (one,) = own_records(book.log_book).tests
    assert one.parameter == "dry-browned"
    correct_test(book, test, dataclasses.replace(DRY, lot=tested.id, after="62 g"))
    (one,) = own_records(book.log_book).tests
    assert (one.id, one.facts.after.value) == (test, "62")
    book.withdraw(tested.id)
    assert own_records(book.log_book).tests == ()


def test_a_test_of_stuff_without_a_lot(book):
    """A test may be of a material alone, or of a material at a site."""
    note_test(book, dataclasses.replace(DRY, material="oak-bark", state="fresh", after="132 g"))
    note_test(book, dataclasses.replace(DRY, material="oak-bark", state="fresh", site=book.site("Ford bend").id))
    found = own_records(book.log_book).tests
    assert [(test.material, bool(test.site), test.lot) for test in found] == [
        ("oak-bark", False, ""), ("oak-bark", True, "")]
    assert book.in_force()("oak-bark").parameters["dry-fresh"].mark == "own"


def test_the_lookup_is_kept_while_nothing_of_ones_own_is_written(book):
    """Logging a lot doesn't throw away what was worked out; a value of one's own does."""
    set_value(book, ValueForm("black-walnut", "dry-fresh", "18 %"))
    before = book.in_force()
    lot(book)
    assert book.in_force() is before
    set_value(book, ValueForm("black-walnut", "dry-fresh", "19 %"))
    assert book.in_force() is not before


def test_records_that_this_program_can_not_read_are_left_out(book):
    """A value or a test of a newer program is kept in the book, and changes nothing here."""
    new = "urn:uuid:0199c3a4-7b1e-7000-8000-00000000aa0{}".format
    drafts = [Draft(new(1), "value", {"material": "black-walnut", "parameter": "moon-share", "value": "1", "unit": "%",
                                      "at": "2026-10-08T15:24:00-02:00"}),
              Draft(new(2), "value", {"material": "black-walnut"}), Draft(new(3), "test", {"test": "taste"}),
              Draft(new(4), "test", {"test": "dry", "at": "2026-10-08T15:24:00-02:00"})]
    book.log_book.append(drafts, now_ms=int(NOW.timestamp() * 1000))
    assert own_records(book.log_book).values == own_records(book.log_book).tests == ()
    assert book.in_force()("black-walnut").parameters["dry-fresh"].mark == "memory"
