"""Swatches go from device to device like all records."""

import dataclasses

from field_app.core.swatch_deeds import SwatchForm
from field_app.store import correct_swatch, note_swatch, palette_in_force, swatches_of
from tests.sync.test_own_values import meet

DARK = SwatchForm(stuff="5 g", cloth="10 g", time="1 h", result="dark", material="black-walnut", state="air-dry",
                  at="2026-10-08 15:00")


def taught(device):
    row = device.book.in_force()("black-walnut").parameters["wof-medium"]
    return row, palette_in_force(device.book, "black-walnut")


def test_swatches_of_both_count_on_both(devices):
    """Two swatches noted apart teach both devices the same, and one taken back goes everywhere."""
    one, other = devices(), devices()
    first = note_swatch(one.book, DARK)
    note_swatch(other.book, dataclasses.replace(DARK, result="#6e4a2c", mordant="alum"))
    meet(one, other)
    assert taught(one) == taught(other)
    assert taught(one)[1].own == 2
    other.book.withdraw(first)
    meet(one, other)
    assert taught(one) == taught(other)
    assert [swatch.facts.mordant for swatch in swatches_of(one.book.log_book)] == ["alum"]


def test_a_swatch_told_anew_by_two_is_told_as_a_difference(devices):
    """Both devices hold the same one, and know what people say differently of it."""
    one, other = devices(), devices()
    noted = note_swatch(one.book, DARK)
    meet(one, other)
    for device, result in ((one, "medium"), (other, "light")):
        correct_swatch(device.book, noted, dataclasses.replace(DARK, result=result))
    meet(one, other)
    assert taught(one) == taught(other)
    (difference,) = one.book.differences(noted)
    assert (difference.about, {difference.holds.words, *(said.words for said in difference.others)}) == (
        "what came out", {"band medium", "band light"})
