"""Days and their numbers in a season, north and south, with and without a leap day."""

import datetime as dt

import pytest
from hypothesis import given
from hypothesis import strategies as st

from field_app.core.materials import MATERIALS
from field_app.core.positions import Position
from field_app.core.season import Season, calendar_row, is_south, season_of

DAYS = st.dates(dt.date(1950, 1, 1), dt.date(2100, 12, 31))


@given(DAYS, st.booleans())
def test_a_day_comes_back_from_its_number(day, south):
    """Every day but the leap day is the day of its own number, and that lies within its season's year."""
    season = season_of(day, south)
    assert 0 <= season.day_of(day) <= 364
    if (day.month, day.day) != (2, 29):
        assert season.date_of(season.day_of(day)) == day


@given(st.integers(1950, 2100), st.integers(0, 364), st.booleans())
def test_a_number_is_the_same_calendar_day_every_year(year, number, south):
    """A leap day moves no day of the calendar."""
    day, first = Season(year, south).date_of(number), Season(2001, south).date_of(number)
    assert (day.month, day.day) == (first.month, first.day)


@given(DAYS, st.booleans())
def test_later_days_have_later_numbers(day, south):
    """Numbers never go back within a season; only the leap day shares one with the day before it."""
    season, after = season_of(day, south), day + dt.timedelta(days=1)
    step = season.day_of(after) - season.day_of(day)
    assert step == (0 if (after.month, after.day) == (2, 29) else 1)


def test_the_southern_calendar_is_half_a_year_later():
    """A hull that ripens on 26 September in the north ripens on 29 March in the south, in leap years too."""
    row = calendar_row("black-walnut")
    assert Season(2027).date_of(row.day) == dt.date(2027, 9, 26)
    assert [Season(year, south=True).date_of(row.day) for year in (2026, 2027)] == [dt.date(2027, 3, 29),
                                                                                    dt.date(2028, 3, 29)]
    assert (is_south(Position(-36.8, 174.7)), is_south(Position(44.0, -28.0)), is_south(None)) == (True, False, False)


def test_every_material_but_wood_has_a_calendar_with_its_source():
    """Rows have a source and a mark; hulls say nothing of how long, since that follows from the fall."""
    for key, stuff in MATERIALS.items():
        row = calendar_row(key)
        if row is None:
            assert stuff.group == "wood"
            continue
        assert row.source
        assert row.kind == ("sap" if stuff.group == "bark" else "ripe")
        assert (row.lasts is None) == (stuff.group == "walnut hull")
        assert row.spread > 0


@pytest.mark.parametrize(("day", "north", "south"), [
    (dt.date(2026, 2, 28), 2025, 2025), (dt.date(2026, 3, 1), 2026, 2025), (dt.date(2026, 8, 31), 2026, 2025),
    (dt.date(2026, 9, 1), 2026, 2026), (dt.date(2028, 2, 29), 2027, 2027)])
def test_seasons_turn_in_march_and_in_september(day, north, south):
    """The season of a day by the half of the earth."""
    assert (season_of(day).year, season_of(day, south=True).year) == (north, south)
