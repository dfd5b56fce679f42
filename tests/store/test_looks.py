"""Looks in the book, and between two books."""

import datetime as dt

import pytest

from field_app.core.forms import SiteForm
from field_app.core.looks import LookForm
from field_app.core.problems import Refused
from field_app.store import add_look, look_of, looks_at
from tests.sync.island import START, Device


@pytest.fixture
def two(tmp_path):
    made = [Device(tmp_path / f"data-{number}", number, now=START) for number in (1, 2)]
    yield made
    for device in made:
        device.close()


def test_looks_are_listed_by_the_time_of_looking(two):
    """One told later for an earlier day comes first; both are of the site that was named."""
    book = two[0].book
    site = book.add_site(SiteForm("Weir", materials=("black-walnut",)))
    now = add_look(book, "weir", LookForm(stage="dented"))
    before = add_look(book, site.id, LookForm(stage="green", at=f"{START.date() - dt.timedelta(days=9)}"))
    assert [look.id for look in looks_at(book, site.id)] == [before.id, now.id]
    assert look_of(book, now.id).facts.stage == "dented"
    with pytest.raises(Refused):
        add_look(book, "nowhere", LookForm(stage="green"))


def test_two_books_that_meet_have_the_same_looks(two):
    """What each saw is known to both, in one order, whoever takes in whose records."""
    one, other = two
    site = one.book.add_site(SiteForm("Weir", materials=("black-walnut",)))
    other.book.log_book.take_in_texts(one.texts(), now_ms=0)
    add_look(one.book, site.id, LookForm(dents="7 of 10"))
    add_look(other.book, site.id, LookForm(ground="a-pail"))
    told = one.texts(), other.texts()
    other.book.log_book.take_in_texts(told[0], now_ms=0)
    one.book.log_book.take_in_texts(told[1], now_ms=0)
    seen = [[look.facts for look in looks_at(device.book)] for device in two]
    assert len(seen[0]) == 2
    assert seen[0] == seen[1]


def test_a_look_that_was_undone_is_gone_from_the_list(two):
    """Undoing takes a look back, and it stays in the history."""
    book = two[0].book
    site = book.add_site(SiteForm("Weir", materials=("black-walnut",)))
    look = add_look(book, site.id, LookForm(stage="green"))
    assert book.undo() == look.id
    assert looks_at(book) == ()
    assert len(book.history(look.id)) == 2
