"""Positions against published examples: RFC 5870, ISO 6709, and lines of known length and bearing."""

from __future__ import annotations

import math

import pytest

from field_app.core.positions import (
    Fix,
    Position,
    bearing_deg,
    coarse_uncertainty_m,
    distance_m,
    line,
    read_position,
)
from field_app.core.problems import Refused

# --- RFC 5870, A Uniform Resource Identifier for Geographic Locations ('geo' URI), June 2010 ----------------


@pytest.mark.parametrize(("uri", "fix"), [
    ("geo:13.4125,103.8667", Fix(Position(13.4125, 103.8667), "pasted")),  # section 1
    ("geo:48.2010,16.3695,183", Fix(Position(48.201, 16.3695), "pasted")),  # section 6.1
    ("geo:48.198634,16.371648;crs=wgs84;u=40", Fix(Position(48.198634, 16.371648), "pasted", 40.0)),  # section 6.2
])
def test_examples_of_rfc_5870(uri: str, fix: Fix) -> None:
    """The standard's own examples are read as it explains them."""
    assert fix == read_position(uri)


@pytest.mark.parametrize(("one", "other"), [
    ("geo:90,-22.43;crs=WGS84", "geo:90,46"),
    ("geo:66,30;u=6.500;FOo=this%2dthat", "geo:66.0,30;u=6.5;foo=this-that"),
    ("geo:47,11;foo=blue;bar=white", "geo:47,11;bar=white;foo=blue"),
    ("geo:22,-180", "geo:22,180"),  # in words there: 180 degrees east and west are the same
])
def test_equivalences_of_rfc_5870(one: str, other: str) -> None:
    """Two URIs that section 6.4 calls equivalent are the same fix."""
    assert read_position(one) == read_position(other)


@pytest.mark.parametrize("uri", [
    "geo:94,0",  # section 6.4: invalid, no latitude beyond 90
    "geo:22.300;-118.44",  # printed so in section 6.4, against the grammar of section 3.3
])
def test_invalid_uris_of_rfc_5870(uri: str) -> None:
    """What the standard calls invalid, or prints against its own grammar, is refused."""
    with pytest.raises(Refused):
        read_position(uri)


# --- ISO 6709:2008, Standard representation of geographic point location by coordinates, annex H -----------


@pytest.mark.parametrize(("text", "lat", "lon"), [
    # Examples of annex H as they are quoted in public descriptions of the standard.
    ("+27.5916+086.5640+8850CRSWGS_84/", 27.5916, 86.564),
    ("+48.8577+002.295/", 48.8577, 2.295),
    ("+40.6894-074.0447/", 40.6894, -74.0447),
    ("-90+000+2800CRSWGS_84/", -90.0, 0.0),
    ("+90+000/", 90.0, 0.0),
    ("+00-025/", 0.0, -25.0),
    ("+4852+00220/", 48 + 52 / 60, 2 + 20 / 60),
    # One place in the three forms that the digits tell apart.
    ("+40.20361-075.00417/", 40.20361, -75.00417),
    ("+4012.22-07500.25/", 40 + 12.22 / 60, -(75 + 0.25 / 60)),
    ("+401213.1-0750015.1/", 40 + 12 / 60 + 13.1 / 3600, -(75 + 15.1 / 3600)),
])
def test_examples_of_iso_6709(text: str, lat: float, lon: float) -> None:
    """The digits before the decimal sign decide between degrees, minutes and seconds; heights are left out."""
    assert Fix(Position(lat, lon), "pasted") == read_position(text)


# --- other published spellings -----------------------------------------------------------------------------


@pytest.mark.parametrize(("text", "lat", "lon"), [
    # Documentation of geopy 2.5.0, geopy.point.Point.
    ("23 26m 22s N 23 27m 30s E", 23.439444, 23.458333),
    ("3 26' 22\" N 23 27' 30\" E", 3.439444, 23.458333),
    ("+41.5 -81.0", 41.5, -81.0),
    # A place in three spellings that are in wide use: degrees and decimals, minutes, seconds.
    ("40° 26′ 46″ N 79° 58′ 56″ W", 40.446111, -79.982222),
    ("40° 26.767′ N 79° 58.933′ W", 40.446117, -79.982217),
    ("40.446° N 79.982° W", 40.446, -79.982),
])
def test_spellings_in_documentation(text: str, lat: float, lon: float) -> None:
    """Spellings that documentation gives as examples are read as it says."""
    assert Position(lat, lon) == read_position(text).position


@pytest.mark.parametrize("text", ["41.5 N -81.0 W", "-41.5 S, 81.0 E, 2.5km"])
def test_documented_contradictions_are_refused(text: str) -> None:
    """Documentation of geopy 2.5.0 has these as examples; a sign with a letter says two things at once."""
    with pytest.raises(Refused):
        read_position(text)


# --- lengths and bearings ----------------------------------------------------------------------------------


@pytest.mark.parametrize(("lat1", "lon1", "bearing", "lat2", "lon2", "metres"), [
    # The test set of GeographicLib (C. F. F. Karney, doi 10.5281/zenodo.32156), as shipped with its Python package.
    (35.60777, -139.44815, 111.098748429560326, -11.17491, -69.95921, 8935244.5604818305),
    (55.52454, 106.05087, 22.020059880982801, 77.03196, 197.18234, 4105086.1713924406),
    (-21.97856, 142.59065, -32.44456876433189, 41.84138, 98.56635, 8394328.894657671),
    (-66.99028, 112.2363, 173.73491240878403, -12.70631, 285.90344, 11150344.2312080241),
    (-17.42761, 173.34268, -159.033557661192928, -15.84784, 5.93557, 16076603.1631180673),
    (32.84994, 48.28919, 150.492927788121982, -56.28556, 202.29132, 16727068.9438164461),
    (-87.85331, 85.66836, -65.120313040242748, 66.48646, 16.09921, 17286615.3147144645),
    # C. F. F. Karney, Algorithms for geodesics, J. Geodesy 87 (2013), tables 3 and 4.
    (-30.12345, 0, 77.04353354237, -30.12344, 0.00005, 4.944208),
    (-30, 0, 161.890524736, 29.9, 179.8, 19989832.827610),
])
def test_lines_of_known_length_and_bearing(lat1: float, lon1: float, bearing: float, lat2: float, lon2: float,
                                           metres: float) -> None:
    """Length [m] and first bearing [deg] of published lines on WGS 84 come out to the last digit but one."""
    a, b = Position(lat1, lon1), Position(lat2, lon2 if lon2 <= 180 else lon2 - 360)
    assert distance_m(a, b) == pytest.approx(metres, abs=1e-6)
    assert bearing_deg(a, b) == pytest.approx(bearing % 360, abs=2e-9)


def sexagesimal(degrees: int, minutes: int, seconds: float) -> float:
    return degrees + minutes / 60 + seconds / 3600


BESSEL = (6377397.155, 1 / 299.1528128)
INTERNATIONAL = (6378388.0, 1 / 297)


@pytest.mark.parametrize(("ellipsoid", "lat1", "lat2", "lon", "metres", "bearing"), [
    # T. Vincenty, Direct and inverse solutions of geodesics, Survey Review 23 (1975), table II, lines (a) to (e);
    # the lines are of H. F. Rainsford, Bulletin Géodésique 37 (1955). The bearing of (a) is from memory of that
    # table; those of (d) and (e) are left out, for the ends are nearly opposite and the bearing ill defined.
    (BESSEL, sexagesimal(55, 45, 0), -sexagesimal(33, 26, 0), sexagesimal(108, 13, 0), 14110526.170,
     sexagesimal(96, 36, 8.79960)),
    (INTERNATIONAL, sexagesimal(37, 19, 54.95367), sexagesimal(26, 7, 42.83946), sexagesimal(41, 28, 35.50729),
     4085966.703, sexagesimal(95, 27, 59.63089)),
    (INTERNATIONAL, sexagesimal(35, 16, 11.24862), sexagesimal(67, 22, 14.77638), sexagesimal(137, 47, 28.31435),
     8084823.839, sexagesimal(15, 44, 23.74850)),
    (INTERNATIONAL, 1.0, -sexagesimal(0, 59, 53.83076), sexagesimal(179, 17, 48.02997), 19960000.000, None),
    (INTERNATIONAL, 1.0, sexagesimal(1, 1, 15.18952), sexagesimal(179, 46, 17.84244), 19780006.558, None),
])
def test_lines_on_other_ellipsoids(ellipsoid: tuple[float, float], lat1: float, lat2: float, lon: float,
                                   metres: float, bearing: float | None) -> None:
    """The five classic lines come out to the millimetre on the ellipsoids for which they were computed."""
    axis, flattening = ellipsoid
    found, first = line(lat1, 0, lat2, lon, axis=axis, flattening=flattening)
    assert found == pytest.approx(metres, abs=1e-3)
    if bearing is not None:
        assert first == pytest.approx(bearing, abs=0.0001 / 3600)


# --- coarse positions --------------------------------------------------------------------------------------


@pytest.mark.parametrize(("places", "equator", "at_30", "at_60", "at_85"), [
    # A. D. Chapman and J. R. Wieczorek, Georeferencing Best Practices (2020), doi 10.15468/doc-gg7h-s853,
    # Uncertainty Related to Coordinate Precision, the table of metric uncertainty, WGS 84.
    # It says that all values are rounded up, but a few are rounded down (1246.05 m is printed as 1,246 m).
    (0, 156_904, 146_962, 124_605, 112_109),
    (1, 15_691, 14_697, 12_461, 11_211),
    (2, 1_570, 1_470, 1_246, 1_121),
    (3, 157, 147, 125, 112),
    (4, 16, 15, 13, 12),
    (5, 2, 2, 2, 2),
])
def test_uncertainty_of_coarse_positions(places: int, equator: int, at_30: int, at_60: int, at_85: int) -> None:
    """The published uncertainty [m] is ours, rounded up or down to a metre, at every latitude of the table."""
    for lat, printed in ((0, equator), (30, at_30), (60, at_60), (85, at_85)):
        found = coarse_uncertainty_m(Position(lat, 0), places)
        assert printed in (math.floor(found), math.ceil(found)), (lat, found)


def test_worked_example_of_a_coarse_position() -> None:
    """Two decimals at 10.27, -123.6 are 1.5568 km (Chapman and Wieczorek 2020, the example below the table)."""
    assert round(coarse_uncertainty_m(Position(10.27, -123.6), 2) / 1000, 4) == 1.5568
