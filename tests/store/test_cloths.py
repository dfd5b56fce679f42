"""Lists of cloth in the book: kept, changed, taken back, and between two books that meet."""

import pytest

from field_app.core.cloth_lists import MOST_ITEMS, ClothForm
from field_app.core.problems import Refused
from field_app.store import add_cloth, change_cloth, cloth_list, cloth_lists
from tests.sync.island import START, Device


@pytest.fixture
def two(tmp_path):
    made = [Device(tmp_path / f"data-{number}", number, now=START) for number in (1, 2)]
    yield made
    for device in made:
        device.close()


def test_a_list_is_kept_as_it_was_typed(two):
    """Its items stay as typed, and are read as cloth; lists are sorted by name and found by it in any case."""
    book = two[0].book
    add_cloth(book, ClothForm("Winter", ["cotton 3 m2 120 g/m2"]))
    made = add_cloth(book, ClothForm("Autumn  shawls", ["wool 1 lb 4 oz; silk 2 yd 45 in 8 momme"], "for the fair"))
    assert made.facts.items == ("wool 1 lb 4 oz", "silk 2 yd 45 in 8 momme")
    assert made.mass.central == pytest.approx(0.567 + 0.0726, abs=0.001)
    assert [one.name for one in cloth_lists(book)] == ["Autumn shawls", "Winter"]
    assert cloth_list(book, "autumn shawls").id == cloth_list(book, made.id).id == made.id
    assert cloth_list(book, made.id).facts.note == "for the fair"
    assert made.words == "wool 567 g, silk 72.6 g"


def test_a_list_is_changed_and_taken_back_and_brought_back(two):
    """A change replaces what was said, undoing brings it back, taking back empties the list of lists."""
    book = two[0].book
    made = add_cloth(book, ClothForm("Shawls", ["wool 3 kg"]))
    changed = change_cloth(book, "shawls", ClothForm("Shawls", ["wool 2 kg"]))
    assert (changed.id, cloth_list(book, "Shawls").mass.central) == (made.id, 2.0)
    assert len(book.history(made.id)) == 2
    book.undo()
    assert cloth_list(book, "Shawls").mass.central == 3.0
    book.withdraw(made.id)
    assert cloth_lists(book) == ()
    book.undo()
    assert [one.id for one in cloth_lists(book)] == [made.id]


@pytest.mark.parametrize(("form", "what"), [
    (ClothForm("", ["wool 3 kg"]), "name: is empty"), (ClothForm("Shawls", []), "no cloth"),
    (ClothForm("Shawls", ["woll 3 kg"]), "Did you mean wool"), (ClothForm("Kept", ["wool 1 kg"]), "already"),
    (ClothForm("Shawls", ["wool 1 kg"] * (MOST_ITEMS + 1)), "at most fit"),
    (ClothForm("n" * 200, ["wool 1 kg"]), "signs"),
])
def test_a_list_that_can_not_be_is_refused(two, form, what):
    """Nothing is written, and the refusal names what to mend."""
    book = two[0].book
    add_cloth(book, ClothForm("Kept", ["wool 3 kg"]))
    with pytest.raises(Refused) as refused:
        add_cloth(book, form)
    assert what in str(refused.value)
    assert [one.name for one in cloth_lists(book)] == ["Kept"]
    with pytest.raises(Refused, match="There are: Kept"):
        cloth_list(book, "Lost")


def test_two_books_that_meet_have_the_same_lists(two):
    """What each listed is known to both; two of one name are told apart by their ids."""
    one, other = two
    add_cloth(one.book, ClothForm("Shawls", ["wool 3 kg"]))
    add_cloth(other.book, ClothForm("Shawls", ["silk 1 kg"]))
    told = one.texts(), other.texts()
    other.book.log_book.take_in_texts(told[0], now_ms=0)
    one.book.log_book.take_in_texts(told[1], now_ms=0)
    seen = [[(made.id, made.words) for made in cloth_lists(device.book)] for device in two]
    assert len(seen[0]) == 2
    assert seen[0] == seen[1]
    with pytest.raises(Refused, match="2 are named"):
        cloth_list(one.book, "Shawls")


def test_two_who_change_one_list_are_told_apart(two):
    """The later word holds on both devices, and the difference is told as what cloth it is."""
    one, other = two
    made = add_cloth(one.book, ClothForm("Shawls", ["wool 3 kg"]))
    other.book.log_book.take_in_texts(one.texts(), now_ms=0)
    change_cloth(one.book, made.id, ClothForm("Shawls", ["wool 2 kg"]))
    change_cloth(other.book, made.id, ClothForm("Shawls", ["wool 1 kg"]))
    told = one.texts(), other.texts()
    other.book.log_book.take_in_texts(told[0], now_ms=0)
    one.book.log_book.take_in_texts(told[1], now_ms=0)
    assert cloth_list(one.book, made.id).words == cloth_list(other.book, made.id).words
    assert [difference.about for difference in one.book.differences(made.id)] == ["what cloth"]
