"""Forecasts that are kept: the same as those worked out anew, and only what changed is worked out again."""

import datetime as dt
from itertools import zip_longest

import pytest

from field_app.core.forms import LeaveForm
from field_app.core.looks import LookForm
from field_app.core.weather import WeatherForm
from field_app.store import Forecasts, add_look, forecasts, take_weather, timings
from field_app.store.timing import timings_of
from tests.ui.fieldwork import DAY, GIVEN, FieldBag

TODAY = DAY.date()
HULLS = {"materials": ("black-walnut",), "position": "44.0151, -28.0042", "leave": GIVEN}


@pytest.fixture
def bag(tmp_path):
    bag = FieldBag(tmp_path)
    yield bag
    bag.book.close()


@pytest.fixture
def kept(bag):
    for number in range(20):
        site = bag.tree(f"Tree {number}", **HULLS)
        add_look(bag.book, site, LookForm(stage="green", at=f"2026-09-{10 + number}"))
    bag.lot(site, days_ago=2)
    return Forecasts(bag.book)


def names(sites):
    return [site.name for site in sites]


def test_they_are_those_of_the_book(bag, kept):
    """Worked out in steps, they are the same and in the same order as all at once."""
    sites = bag.book.sites()
    assert kept.known(sites) == ()
    steps = list(kept.work(sites, TODAY))
    assert steps == [8, 16, 20]
    assert kept.known(sites) == timings(bag.book)
    assert kept.missing(sites, TODAY) == ()


def test_a_change_asks_for_its_tree_alone(bag, kept):
    """A look, a lot, leave, or a tree told anew: that tree is worked out again and no other."""
    kept.at_once(bag.book.sites(), TODAY)
    add_look(bag.book, "Tree 3", LookForm(dents="3 of 10"))
    assert names(kept.missing(bag.book.sites(), TODAY)) == ["Tree 3"]
    bag.lot(bag.book.site("Tree 5").id)
    bag.book.set_leave("Tree 7", LeaveForm("refused"))
    bag.tree("Another", **HULLS)
    assert set(names(kept.missing(bag.book.sites(), TODAY))) == {"Tree 3", "Tree 5", "Tree 7", "Another"}
    assert kept.at_once(bag.book.sites(), TODAY) == timings(bag.book)
    bag.book.undo()
    assert kept.at_once(bag.book.sites(), TODAY) == timings(bag.book)


def test_what_all_stand_on_asks_for_all(bag, kept):
    """Another day and new temperatures change every forecast."""
    sites = bag.book.sites()
    kept.at_once(sites, TODAY)
    tomorrow = TODAY + dt.timedelta(days=1)
    assert len(kept.missing(sites, tomorrow)) == 20
    kept.at_once(sites, TODAY)
    take_weather(bag.book, WeatherForm("date,min,max\n2026-05-01,8,20\n2026-05-02,9,22\n", "C", "shed", ""))
    assert len(kept.missing(sites, TODAY)) == 20
    assert kept.at_once(sites, TODAY) == timings(bag.book)


def test_what_another_screen_did_is_not_done_twice(bag, kept, monkeypatch):
    """Two that work on the same trees in turns work each of them out once."""
    worked = []

    def counted(book, sites, *rest):
        worked.extend(names(sites))
        return timings_of(book, sites, *rest)

    monkeypatch.setattr(forecasts, "timings_of", counted)
    sites = bag.book.sites()
    for _ in zip_longest(kept.work(sites, TODAY), kept.work(sites, TODAY)):
        pass
    assert sorted(worked) == sorted(names(sites))
    assert kept.known(sites) == timings(bag.book)


def test_one_tree_is_known_by_itself(bag, kept):
    """One tree needs no other."""
    site = bag.book.site("Tree 4")
    assert kept.at_once((site,), TODAY) == timings(bag.book, sites=(site,))
    assert len(kept.missing(bag.book.sites(), TODAY)) == 19
