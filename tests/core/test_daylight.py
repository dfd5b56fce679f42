"""The light of a day at a place: the right local day, far north and south, and what is said of a round."""

import datetime as dt

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from field_app.core.daylight import daylight
from field_app.core.positions import Position

ISLAND, ZONE = Position(44.0, -28.0), dt.timezone(dt.timedelta(hours=-2))
DAY = dt.date(2026, 10, 8)


def zone(hours):
    return dt.timezone(dt.timedelta(hours=hours))


@settings(max_examples=60, deadline=None)
@given(lat=st.floats(-60, 60), lon=st.floats(-180, 180), off=st.floats(-3, 3), day=st.dates(
    dt.date(2000, 1, 1), dt.date(2060, 1, 1)))
def test_the_day_is_that_of_the_zone(lat, lon, off, day):
    """In a zone that fits the place, sunrise, noon and sunset are of the day asked for, in this order.

    Also at the date line, and where the zone is up to three hours beside the sun.
    """
    here = zone(max(-12.0, min(14.0, round(lon / 15 + off, 1))))
    light = daylight(Position(lat, lon), day, here)
    assert light.sunrise < light.noon < light.sunset < light.dusk
    assert light.noon.date() == day
    assert light.sunset - light.sunrise < dt.timedelta(hours=19)


@settings(max_examples=30, deadline=None)
@given(lat=st.floats(-60, 60), lon=st.floats(-179, 179), hours=st.integers(-12, 14))
def test_the_zone_only_names_the_moment(lat, lon, hours):
    """The sun sets at one moment, whatever zone it is told in, give or take the days that a zone may shift it."""
    place = Position(lat, lon)
    there = daylight(place, DAY, zone(round(lon / 15)))
    seen = [daylight(place, DAY + dt.timedelta(days), zone(hours)).sunset for days in (-1, 0, 1)]
    assert min(abs(one - there.sunset) for one in seen) < dt.timedelta(seconds=1)


def test_either_side_of_the_date_line_has_its_own_day():
    """Two places a few kilometres apart have the same sunset, a calendar day apart by the zones they keep."""
    west = daylight(Position(-17, 179.99), DAY, zone(12))
    east = daylight(Position(-17, -179.99), DAY - dt.timedelta(days=1), zone(-12))
    assert abs(west.sunset - east.sunset) < dt.timedelta(minutes=1)
    assert (west.sunset.date(), east.sunset.date()) == (DAY, DAY - dt.timedelta(days=1))


def test_where_the_sun_does_not_set_there_is_no_hurry():
    """At 69.65 N in June there is no sunset, no out-by time, and nothing to be warned of."""
    light = daylight(Position(69.65, 18.95), dt.date(2026, 6, 21), zone(2))
    assert (light.sunrise, light.sunset, light.dusk, light.up) == (None, None, None, True)
    assert light.out_by() is None
    late = dt.datetime(2026, 6, 21, 23, 50, tzinfo=zone(2))
    assert light.cautions(late - dt.timedelta(hours=20), late) == ()


def test_where_the_sun_does_not_rise_one_is_told():
    """At the same place in December the sun stays below; the dusk of noon is told, and a light is asked for."""
    light = daylight(Position(69.65, 18.95), dt.date(2026, 12, 21), zone(1))
    assert (light.sunrise, light.sunset, light.up) == (None, None, False)
    assert light.dusk is not None
    assert light.out_by() is None
    noon = dt.datetime(2026, 12, 21, 12, 0, tzinfo=zone(1))
    (words,) = light.cautions(noon, noon)
    assert words.startswith("The sun does not rise")


@pytest.mark.parametrize("lat", [90, -90])
def test_the_poles_have_a_day_too(lat):
    """Half a year of light, half a year of dark, and no error."""
    light = daylight(Position(lat, 0), dt.date(2026, 6, 21), dt.UTC)
    assert light.up is (lat > 0)
    assert light.sunset is None


@pytest.mark.parametrize(("back", "words"), [
    ("16:40", None), ("17:00", "close to sunset"), ("17:30", "after sunset"), ("18:00", "after dark")])
def test_a_round_that_runs_late_is_warned_of(back, words):
    """From half an hour before sunset on there is a word, and it grows with the dark."""
    light = daylight(ISLAND, DAY, ZONE)
    said = light.cautions(dt.datetime.combine(DAY, dt.time(12), ZONE),
                          dt.datetime.combine(DAY, dt.time.fromisoformat(back), ZONE))
    assert len(said) == (words is not None)
    assert all(words in line for line in said)


def test_a_round_that_begins_before_sunrise_needs_a_light():
    """Who starts at five is told when the sun rises, at two minutes to six."""
    begins = dt.datetime.combine(DAY, dt.time(5), ZONE)
    (words,) = daylight(ISLAND, DAY, ZONE).cautions(begins, begins + dt.timedelta(hours=3))
    assert words == "The sun rises at 05:58: until then take a light."


def test_the_place_counts_as_flat():
    """Sunset is that of height 0: the position alone decides."""
    assert daylight(ISLAND, DAY, ZONE).out_by() == daylight(ISLAND, DAY, ZONE).sunset - dt.timedelta(minutes=30)
