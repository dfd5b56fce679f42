"""Forecasts from a book: looks and lots of the right tree, in the right order."""

import datetime as dt
import math

import pytest

from field_app.core.forms import LeaveForm, SiteForm, WindfallForm
from field_app.core.looks import LookForm
from field_app.core.own_deeds import ValueForm
from field_app.core.positions import Position
from field_app.core.problems import Refused
from field_app.core.weather import WeatherForm
from field_app.store import add_look, ground_at, set_value, take_weather, timing_of, timings, warmth_series
from field_app.store.warmth import series_for
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


def test_values_of_ones_own_count(book):
    """A tree whose hulls are said to stay sound for weeks loses less by the next day."""
    here = site(book)
    usual = ground_at(book, here, NOW.date())
    set_value(book, ValueForm("black-walnut", "stay-sound", "20 days", low="18 days", high="25 days", site=here))
    set_value(book, ValueForm("black-walnut", "keep-fallen", "30 days", low="25 days", high="35 days", site=here))
    assert ground_at(book, here, NOW.date()).lost_by_next_day < usual.lost_by_next_day


def _summer(year, warmer=0.0, until="10-07"):
    """A made-up season from March on, as another program would write it."""
    days, day = [], dt.date(year, 3, 1)
    while day <= dt.date.fromisoformat(f"{year}-{until}"):
        mean = 17 + warmer - 8 * math.cos(2 * math.pi * (day.timetuple().tm_yday - 15) / 365)
        days.append(f"{day},{mean - 5:.1f},{mean + 6:.1f}")
        day += dt.timedelta(days=1)
    return "date,min (°C),max (°C)\n" + "\n".join(days) + "\n"


def test_warmth_gives_a_date_once_two_seasons_have_both(book):
    """One own year with its temperatures is not enough; with two, a warm year moves the date forward and says why."""
    here = site(book)
    for year in (2024, 2025):
        add_look(book, here, LookForm(stage="green", at=f"{year}-09-26"))
        add_look(book, here, LookForm(stage="dented", at=f"{year}-09-30"))
    take_weather(book, WeatherForm(_summer(2026, 1.5)))
    take_weather(book, WeatherForm(_summer(2025)))
    before = timing_of(book, here, today=dt.date(2026, 9, 10)).forecast
    assert "warmth of this year" not in [reason.name for reason in before.reasons]
    take_weather(book, WeatherForm(_summer(2024)))
    assert timing_of(book, here, today=dt.date(2026, 12, 20)).forecast.season.year == 2027
    warm = timing_of(book, here, today=dt.date(2026, 10, 7)).forecast
    (reason,) = [reason for reason in warm.reasons if reason.name == "warmth of this year"]
    assert "by 2 years" in reason.value
    assert warm.belief.mean < before.belief.mean - 2


def test_hulls_rot_sooner_in_the_warm(book):
    """With ten warm days behind it what lies there loses more by the next day."""
    here = site(book)
    cool = timing_of(book, here, today=dt.date(2026, 10, 7)).rot
    take_weather(book, WeatherForm(_summer(2026, 12)))
    assert timing_of(book, here, today=dt.date(2026, 10, 7)).rot.sound[1] < cool.sound[1]


def test_the_nearest_temperatures_count(book):
    """Of two places the nearer one; taken in twice nothing changes, and each year is one small record."""
    near, far = "44.0151, -28.0042", "44.4, -28.6"
    take_weather(book, WeatherForm(_summer(2026), name="mill", position=near))
    take_weather(book, WeatherForm(_summer(2026, 5), name="hill", position=far))
    mark = book.change_mark()
    table = take_weather(book, WeatherForm(_summer(2026), name="mill", position=near))
    assert book.change_mark() == mark
    assert len(table.days) == 221
    assert all(len(text) < 8_000 for text in book.log_book.texts())
    known = warmth_series(book)
    assert series_for(Position(44.0, -28.0), known).name == "mill"
    assert series_for(Position(44.39, -28.6), known).name == "hill"
    assert series_for(None, ()) is None
