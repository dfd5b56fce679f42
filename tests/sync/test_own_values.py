"""Values and tests of one's own go from device to device like all records, and can be settled."""

import csv
import dataclasses
import io
import zipfile

import pytest

from field_app.core.own_deeds import OwnTestForm, ValueForm
from field_app.core.vessels import VesselForm
from field_app.handover import planner_file
from field_app.store import add_vessel, change_vessel, note_test, set_value, take_back_value, value_held, vessels
from field_app.sync import merge_bytes
from tests.sync.island import START

DRY = OwnTestForm("dry", before="212 g", after="52 g", dish="12 g")


def meet(*devices):
    files = [device.file() for device in devices]
    for device in devices:
        for file in files:
            report = merge_bytes(device.book, file, "f.zip")
            assert report.problems == ()


def dry_row(device, lot=None):
    site = device.book.site("Mill lane").id
    return device.book.in_force()("black-walnut", site, lot or "").parameters["dry-fresh"]


@pytest.fixture
def two(devices):
    one, other = devices(), devices()
    one.site()
    meet(one, other)
    return one, other


def test_what_one_taught_the_other_knows(two):
    """A test noted on one device narrows the figure on the other, for the lot, too."""
    one, other = two
    lot = one.lot()
    note_test(one.book, dataclasses.replace(DRY, lot=lot.id))
    meet(one, other)
    assert dry_row(other, lot.id) == dry_row(one, lot.id)
    assert dry_row(other, lot.id).mark == "own"
    assert other.sequence() == one.sequence()
    assert one.book.estimate(lot.id) == other.book.estimate(lot.id)


def test_tests_of_both_count_on_both(two):
    """Two tests made apart both count, and the same comes out on both devices."""
    one, other = two
    for device, after in ((one, "52 g"), (other, "60 g")):
        note_test(device.book, dataclasses.replace(DRY, material="black-walnut", state="fresh", after=after))
    meet(one, other)
    assert dry_row(one) == dry_row(other)
    assert dry_row(one).source.startswith("your own 2 tests")


def test_two_values_set_apart_are_two_sayings_of_one_thing(two):
    """Both devices hold the same one, know that people differ, and setting it anew settles it."""
    one, other = two
    for device, text in ((one, "18 %"), (other, "21 %")):
        set_value(device.book, ValueForm("black-walnut", "dry-fresh", text))
    meet(one, other)
    assert dry_row(one) == dry_row(other)
    held = value_held(one.book, "black-walnut", "dry-fresh")
    assert held is not None
    (difference,) = one.book.differences(held.id)
    assert (difference.about, {difference.holds.words, *(other.words for other in difference.others)}) == (
        "the value", {"18 %", "21 %"})
    (value,) = one.book.in_force().records.values
    assert value.disputed
    set_value(one.book, ValueForm("black-walnut", "dry-fresh", "20 %"))
    meet(one, other)
    assert one.book.differences(held.id) == other.book.differences(held.id) == ()
    assert dry_row(other).central == pytest.approx(0.2)


def test_the_planner_gets_what_is_in_force(two):
    """A value of one's own is in the planner's file, and the file of the other device is the same after they met."""
    one, other = two
    one.lot(part="hull")
    plain = rows(one)["dry_matter_kg"]
    set_value(one.book, ValueForm("black-walnut", "dry-fresh", "30 %", low="29", high="31"))
    meet(one, other)
    assert float(rows(one)["dry_matter_kg"]) == pytest.approx(2 * float(plain))
    assert rows(one) == rows(other)


def rows(device):
    made = planner_file(device.book.lots(), device.book.sites(), made=START)
    with zipfile.ZipFile(io.BytesIO(made)) as file:
        (row,) = csv.DictReader(io.StringIO(file.read("lots.csv").decode()))
    return row


def test_a_value_taken_back_goes_everywhere(two):
    """Once it is taken back on one device, the other has the table's figure again."""
    one, other = two
    set_value(one.book, ValueForm("black-walnut", "dry-fresh", "18 %"))
    meet(one, other)
    take_back_value(other.book, "black-walnut", "dry-fresh")
    meet(one, other)
    assert dry_row(one).mark == dry_row(other).mark == "memory"


def test_a_pot_of_one_is_a_pot_of_all(two):
    """A pot noted on one device is on the other, and what both change is told as two sayings."""
    one, other = two
    add_vessel(one.book, VesselForm("big enamel", volume="40 L"))
    meet(one, other)
    change_vessel(one.book, "big enamel", VesselForm("big enamel", volume="41 L"))
    change_vessel(other.book, "big enamel", VesselForm("big enamel", volume="38 L"))
    meet(one, other)
    (pot,), (same,) = vessels(one.book), vessels(other.book)
    assert pot == same
    assert [difference.about for difference in one.book.differences(pot.id)] == ["size"]
