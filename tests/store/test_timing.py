"""Forecasts from a book: looks and lots of the right tree, in the right order."""

import datetime as dt

import pytest

from field_app.core.forms import LeaveForm, SiteForm, WindfallForm
from field_app.core.looks import LookForm
from field_app.core.materials import MATERIALS
from field_app.core.problems import Refused
from field_app.store import add_look, ground_at, timing_of, timings
from tests.sync.island import Device

NOW = dt.datetime.fromisoformat("2026-10-08T15:00:00-02:00")


@pytest.fixture
def book(tmp_path):
    device = Device(tmp_path / "data", 1, now=NOW)
    yield device.book
    device.close()


def site(book, name="Weir", materials=("black-walnut",), position="44.0151, -28.0042"):
    return book.add_site(SiteForm(name, position=position, materials=materials,
                                  leave=LeaveForm("given", by="the miller"))).id


def lot(book, where, day, kg="12 kg", **how):
    return book.log(WindfallForm(**{"material": "black-walnut", "part": "whole-fruit", "site": where, "gross": kg,
                                    "ripeness": "fallen", "gathered": day, **how}))


def test_looks_and_lots_of_one_tree_narrow_its_date(book):
    """What was seen at one tree moves its date alone; the other keeps the calendar's."""
    here, there = site(book), site(book, "Ford")
    add_look(book, here, LookForm(stage="green", at="2026-09-28"))
    lot(book, here, "2026-10-04")
    found = {one.site.name: one.forecast for one in timings(book)}
    assert dt.date(2026, 9, 28) < found["Weir"].p10 <= found["Weir"].p90 <= dt.date(2026, 10, 4)
    assert found["Ford"].p50 == dt.date(2026, 9, 26)
    assert timing_of(book, there).forecast == found["Ford"]


def test_the_most_ready_comes_first(book):
    """By the probability that it is ready today, then by date."""
    early, late = site(book, "Early"), site(book, "Late")
    add_look(book, early, LookForm(stage="fallen"))
    add_look(book, late, LookForm(stage="green"))
    assert [one.site.name for one in timings(book)] == ["Early", "Late"]


def test_own_seasons_give_the_crop(book):
    """Two earlier seasons of 30 and 50 kg, hulls reckoned back to fruit, make a crop of 40 kg."""
    here = site(book)
    lot(book, here, "2024-10-04", "30 kg")
    lot(book, here, "2025-09-30", "19 kg")
    lot(book, here, "2025-10-06", "19.22 kg", part="hull")
    one = timing_of(book, here)
    assert one.crop.central == pytest.approx(40)
    assert [year for year, _ in one.forecast.years] == [2024, 2025]


def test_gathering_and_looking_set_what_lies_there(book):
    """After a load the ground is clear; a later count of fruits says what lies there now."""
    here = site(book)
    add_look(book, here, LookForm(stage="green", at="2026-09-20"))
    before = ground_at(book, here, NOW.date())
    lot(book, here, "2026-10-08 10:00")
    after = ground_at(book, here, NOW.date())
    assert after.kg.central < 0.05 * before.kg.central
    other = site(book, "Ford")
    add_look(book, other, LookForm(stage="fallen", ground="300"))
    assert ground_at(book, other, NOW.date()).kg.central == pytest.approx(21, rel=0.01)


def test_what_has_no_fall_has_no_ground(book):
    """Cones have dates, but nothing that lies there and rots; wood has neither."""
    cones, wood = site(book, "Marsh", ("alder-cones",)), site(book, "Yard", ("walnut-wood",))
    assert timing_of(book, cones).visits == ()
    assert ground_at(book, cones, NOW.date()) is None
    assert timing_of(book, wood) is None
    with pytest.raises(Refused):
        timing_of(book, "nowhere")


def test_each_material_of_a_site_is_told_and_the_first_is_asked_first(book):
    """Two materials at one place are two trees to know; without a name the first counts."""
    here = site(book, "Ride", ("acorn-cups", "oak-gall-apple", "walnut-wood", "moon-dust")[:3])
    assert {one.stuff.key for one in timings(book)} == {"acorn-cups", "oak-gall-apple"}
    assert timing_of(book, here).stuff.key == "acorn-cups"
    assert timing_of(book, here, "oak-gall-apple").stuff.key == "oak-gall-apple"
    assert timing_of(book, here, "black-walnut") is None


def test_visits_are_planned_and_worth_their_way(book):
    """One visit more only where it saves a good deal more; all in the days to come."""
    here = site(book)
    one = timing_of(book, here, today=dt.date(2026, 9, 1))
    assert len(one.plans) == 4
    assert 2 <= len(one.visits) <= 4
    assert all(visit.date >= dt.date(2026, 9, 1) for visit in one.visits)
    assert 0.5 < sum(visit.saves for visit in one.visits) < 1


def test_parameters_in_force_are_those_that_count(book):
    """A tree whose hulls are said to keep for a month loses less by the next day."""
    here = book.site(site(book))
    stuff = MATERIALS["black-walnut"]
    row = stuff.parameters["keep-fallen"].model_copy(update={"low": 20.0, "central": 25.0, "high": 30.0})
    firm = stuff.parameters["stay-sound"].model_copy(update={"low": 18.0, "central": 20.0, "high": 25.0})
    kept = stuff.model_copy(update={"parameters": {**stuff.parameters, "keep-fallen": row, "stay-sound": firm}})
    (usual,), (own,) = timings(book, sites=(here,)), timings(book, sites=(here,), in_force=lambda *_: kept)
    assert own.ground(NOW.date()).lost_by_next_day < usual.ground(NOW.date()).lost_by_next_day
