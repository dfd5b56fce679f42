"""A planner's list of draws: strict, told by its rows, and taken once."""

import pytest

from field_app.core.units import UNITS, offered, read_measure
from field_app.handover.draws import read_draws
from field_app.sync import is_list_of_draws, merge_draws

HEAD = "draw_id,lot,amount,unit,purpose\r\n"


@pytest.fixture
def mill(devices):
    device = devices()
    device.site()
    device.lot(gross="14.2 kg")
    return device


def code(device):
    return device.book.lots()[0].code


def draws(device, *rows, head=HEAD):
    return merge_draws(device.book, (head + "".join(f"{row}\r\n" for row in rows)).encode(), "draws.csv")


def test_a_list_is_taken_and_taking_it_again_changes_nothing(mill):
    """Each row is a draw of its lot, by code or id; a second time all are known."""
    lot = mill.book.lots()[0]
    rows = (f"day-1,{lot.code},3.5,kg,shawl", f"day-2,{lot.id},250,g,\"wool, medium\"")
    taken = draws(mill, *rows)
    assert (taken.new, taken.known, taken.problems) == (2, 0, ())
    before = mill.texts()
    taken = draws(mill, *rows)
    assert (taken.new, taken.known, taken.problems) == (0, 2, ())
    assert mill.texts() == before
    life = mill.book.lot(lot.code).life
    assert life.left.central == pytest.approx(13.1 - 3.75)
    assert {draw.facts.purpose for draw in life.draws} == {"shawl", "wool, medium"}


def test_two_devices_that_take_one_list_have_drawn_once(devices, mill):
    """The planner's id is the draw's id on every device, so the draws are one when they meet."""
    from field_app.sync import merge_bytes

    other = devices()
    merge_bytes(other.book, mill.file(), "f.zip")
    row = f"day-1,{code(mill)},3.5,kg,shawl"
    draws(mill, row)
    draws(other, row)
    merge_bytes(mill.book, other.file(), "f.zip")
    assert mill.book.lots()[0].life.left.central == pytest.approx(9.6)


@pytest.mark.parametrize(("row", "place", "words"), [
    ("day-1,{},3.5,kg", "row 2", "has 4 cells, the header has 5"),
    (",{},3.5,kg,x", "row 2, draw_id", "is empty"), ("day 1,{},3.5,kg,x", "row 2, draw_id", "is not an id"),
    ("day-1,,3.5,kg,x", "row 2, lot", "is empty"), ("day-1,ZZZZ,3.5,kg,x", "row 2, lot", "no lot has the code"),
    ('day-1,{},"3,5",kg,x', "row 2, amount", "is not a number"),
    ("day-1,{},3.5 kg,kg,x", "row 2, amount", "not a number"),
    ("day-1,{},-3,kg,x", "row 2, amount", "is not a number"), ("day-1,{},0,kg,x", "row 2, amount", "is nothing"),
    ("day-1,{},1e1,kg,x", "row 2, amount", "is not a number"), ("day-1,{},٣,kg,x", "row 2, amount", "is not a number"),
    ("day-1,{},99,kg,x", "row 2, amount", "more than is left"),
    ("day-1,{},3,pood,x", "row 2, unit", "is not one of kg"),
    ("day-1,{},3,degC,x", "row 2, unit", "is not one of kg"), ("day-1,{},3,L,x", "row 2, amount", "mass is needed"),
    ("day-1,{},3,kg,=1+1", "row 2, purpose", "formula"),
    ("day-1,{},3,kg,\"a\x07b\"", "row 2, purpose", "can't be shown"),
])
def test_a_wrong_row_is_named_and_the_others_are_taken(mill, row, place, words):
    """The message has the row and the column; the good row beside it counts."""
    taken = draws(mill, row.format(code(mill)), f"day-9,{code(mill)},1,kg,good")
    assert taken.new == 1
    (problem,) = taken.problems
    assert problem.where == f"draws.csv {place}"
    assert words in problem.what
    assert problem.fix


@pytest.mark.parametrize(("data", "words"), [
    (b"", "is empty"), (b"\xef\xbb\xbfdraw_id,lot,amount,unit\r\n", "byte-order mark"),
    (b"draw_id;lot\r\n", "semicolons"),
    (b"lot,amount\r\n", "is \"lot,amount\""), (b"draw_id,lot,amount,unit,color\r\n", "is not a column"),
    (b"draw_id,lot,amount,unit,by,by\r\n", "there twice"),
    (b"draw_id,lot,amount,unit\r\n\"a\"b,1,2,3\r\n", "can't be read"),
    (b"draw_id,lot,amount,unit\r\n\xff,1,2,3\r\n", "is not UTF-8")])
def test_a_list_that_is_none_is_refused_with_words(mill, data, words):
    """Nothing is taken from a list whose form is wrong."""
    taken = merge_draws(mill.book, data, "draws.csv")
    assert (taken.new, taken.known) == (0, 0)
    assert words in str(taken.problems[0])


def test_an_id_stands_for_one_draw_for_ever(mill):
    """An id that comes again for another amount or lot is a fault, in the same list or a later one."""
    taken = draws(mill, f"1,{code(mill)},3,kg,x", f"1,{code(mill)},4,kg,x")
    assert (taken.new, taken.problems[0].where) == (1, "draws.csv row 3, draw_id")
    later = draws(mill, f"1,{code(mill)},4,kg,x")
    assert (later.new, later.known) == (0, 0)
    assert "was taken already, as 3 kg" in later.problems[0].what
    assert draws(mill, f"1,{code(mill)},3000,g,x").known == 1


def test_a_withdrawn_draw_is_not_taken_again(mill):
    """What somebody took back stays taken back, however often the list comes."""
    draws(mill, f"1,{code(mill)},3,kg,x")
    mill.book.withdraw(mill.book.lots()[0].life.draws[0].id)
    assert draws(mill, f"1,{code(mill)},3,kg,x").known == 1
    assert mill.book.lots()[0].life.draws == ()


def test_who_and_when_may_be_told(mill):
    """Who (by) and when are optional columns; a time makes the draw the same on every device."""
    head = "draw_id,lot,amount,unit,by,when\r\n"
    draws(mill, f"1,{code(mill)},3,kg,the dye house,2026-10-08T15:24:30-02:00", head=head)
    (draw,) = mill.book.lots()[0].life.draws
    assert (draw.facts.by, draw.facts.at) == ("the dye house", "2026-10-08T15:24:30-02:00")


@pytest.mark.parametrize("unit", [*offered("mass"), *offered("volume")])
def test_every_unit_is_read_as_itself(unit):
    """The key of a unit in the list is the unit of the draw."""
    (draw,), problems = read_draws(f"draw_id,lot,amount,unit\r\n1,4K7Q,2.50,{unit}\r\n".encode())
    assert problems == ()
    measure = read_measure(draw.form.amount, kind=UNITS[unit].kind, where="x")
    assert (measure.value, measure.unit) == ("2.50", unit)


def test_a_list_is_known_by_its_name_or_header():
    """Everything else goes to the reader of group files."""
    assert is_list_of_draws(b"x", "DRAWS.CSV")
    assert is_list_of_draws(b"\xef\xbb\xbfdraw_id,lot", "list")
    assert not is_list_of_draws(b"PK\x03\x04", "harvest-lots.x.zip")
