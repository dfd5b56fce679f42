"""Sunrise, sunset and length of the day against published tables.

Tolerance 60 s where seconds are published: refraction at the horizon alone varies by more than that.
"""

import datetime as dt
import math

import pytest

from field_app.core.daylight import daylight
from field_app.core.positions import Position

UTC = dt.UTC
MINUTE = dt.timedelta(seconds=60)


def hours(offset):
    return dt.timezone(dt.timedelta(hours=offset))


def test_the_table_of_the_solar_position_algorithm():
    """I. Reda and A. Andreas, NREL/TP-560-34302, table A2.1: 2 January 1994 at 35 N, 0 E, times in UT."""
    light = daylight(Position(35, 0), dt.date(1994, 1, 2), UTC)
    assert abs(light.sunrise - dt.datetime(1994, 1, 2, 7, 8, 12, 800000, UTC)) <= MINUTE
    assert abs(light.sunset - dt.datetime(1994, 1, 2, 16, 59, 55, 900000, UTC)) <= MINUTE


def test_the_example_of_the_solar_position_algorithm():
    """The same report, table A5.1: sunrise 06:12:43 on 17 October 2003 at 39.742476 N, 105.1786 W, UTC-7.

    The sunset of that table, 17:20:19, belongs to the day at Greenwich, which is the evening before: our own
    sunset of the 16th has it, and that of the 17th is earlier.
    """
    zone, place = hours(-7), Position(39.742476, -105.1786)
    light = daylight(place, dt.date(2003, 10, 17), zone)
    assert abs(light.sunrise - dt.datetime(2003, 10, 17, 6, 12, 43, tzinfo=zone)) <= MINUTE
    evening_before = daylight(place, dt.date(2003, 10, 16), zone).sunset
    assert abs(evening_before - dt.datetime(2003, 10, 16, 17, 20, 19, tzinfo=zone)) <= MINUTE
    assert light.sunset.date() == dt.date(2003, 10, 17)
    assert light.sunset.time() < evening_before.time()


@pytest.mark.parametrize(("latitude", "published"), [
    (0, "06:00"), (20, "06:35"), (30, "06:56"), (40, "07:22"), (42, "07:28"), (44, "07:35"), (46, "07:42"),
    (48, "07:50"), (50, "07:59")])
def test_sunrise_by_latitude(latitude, published):
    """Sunrise on 1 January 2002 at the meridian of the zone, by latitude (aa.quae.nl, printed to the minute)."""
    rise = daylight(Position(latitude, 0), dt.date(2002, 1, 1), UTC).sunrise
    printed = dt.datetime.combine(dt.date(2002, 1, 1), dt.time.fromisoformat(published), UTC)
    assert abs(rise - printed - MINUTE / 2) <= MINUTE


def test_the_almanac_for_computers():
    """Sunrise about 5:26 EDT on 25 June 1990 at 40.9 N, 74.3 W (from memory: Almanac for Computers, 1990)."""
    rise = daylight(Position(40.9, -74.3), dt.date(1990, 6, 25), hours(-4)).sunrise
    assert abs(rise - dt.datetime(1990, 6, 25, 5, 26, tzinfo=hours(-4))) <= MINUTE


def test_length_of_the_day_without_refraction():
    """FAO Irrigation and Drainage Paper 56, equation 34: 11.7 h on 3 September at 20 S.

    That is from centre to centre on a bare horizon; the sun's upper edge and the refraction add 50 minutes of arc
    at either end, a few minutes of time. Its declination is a plain sine, which leaves two or three minutes.
    """
    latitude, declination = math.radians(-20), 0.409 * math.sin(2 * math.pi * 246 / 365 - 1.39)
    half = math.acos(-math.tan(latitude) * math.tan(declination))
    assert round(24 / math.pi * half, 1) == 11.7
    light = daylight(Position(-20, 0), dt.date(2026, 9, 3), UTC)
    edges = 2 * math.degrees(math.radians(50 / 60) / (math.cos(latitude) * math.cos(declination) * math.sin(half))) / 15
    assert (light.sunset - light.sunrise).total_seconds() / 3600 == pytest.approx(24 / math.pi * half + edges, abs=0.05)


def test_civil_twilight_at_the_equator_at_the_equinox():
    """At 0 N on an equinox the sun sinks 15° an hour, straight down: from 50′ to 6° below in 20 min 40 s.

    Both zeniths, 90° 50′ and 96°, are those of the Almanac for Computers (edwilliams.org has a copy of the algorithm).
    """
    light = daylight(Position(0, 0), dt.date(2026, 3, 20), UTC)
    assert (light.dusk - light.sunset).total_seconds() == pytest.approx((6 - 50 / 60) / 15 * 3600, abs=20)
