"""Positions: every usual spelling is read right, everything else is refused, and what is shown is read back."""

from __future__ import annotations

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from field_app.core.positions import (
    Fix,
    Position,
    bearing_deg,
    coarse,
    coarse_uncertainty_m,
    compass_word,
    distance_m,
    line,
    read_position,
    show_distance,
    show_position,
)
from field_app.core.problems import Problem, Refused

latitudes = st.floats(min_value=-90, max_value=90)
longitudes = st.floats(min_value=-180, max_value=180)
positions = st.builds(Position, latitudes, longitudes)
patient = settings(deadline=None)

MILL_LANE = Position(44.01234, -28.00567)


def problem(refused: pytest.ExceptionInfo[Refused]) -> Problem:
    (only,) = refused.value.problems
    return only


# --- reading ---------------------------------------------------------------------------------------------


@pytest.mark.parametrize("text", [
    "44.01234, -28.00567",
    "44.01234,-28.00567",
    "44.01234 -28.00567",
    "  44.01234\n-28.00567 ",
    "44.01234; -28.00567",
    "44.01234/-28.00567",
    "+44.01234 −28.00567",
    "44,01234 -28,00567",
    "44,01234; -28,00567",
    "44,01234, -28,00567",
    "44.01234 N, 28.00567 W",
    "44.01234N28.00567W",
    "44.01234n 28.00567w",
    "44,01234 N 28,00567 W",
    "N 44.01234 W 28.00567",
    "N44.01234, W28.00567",
    "28.00567 W, 44.01234 N",
    "44.01234 north, 28.00567 West",
    "44.01234° N 28.00567° W",
    "44.01234°, -28.00567°",
    "44° 0.7404' N 28° 0.3402' W",
    "44°0.7404′N 28°0.3402′W",
    "44° 0.7404', -28° 0.3402'",
    "44 0.7404 N 28 0.3402 W",
    "44 0,7404 N 28 0,3402 W",
    "44 deg 0.7404 min N, 28 deg 0.3402 min W",
    "44°0′44.424″N 28°0′20.412″W",
    "44° 0’ 44.424” N, 28° 0’ 20.412” W",
    "44º0´44.424´´ N 28º0´20.412´´ W",
    "44° 0' 44.424'' N 28° 0' 20.412'' W",
    "44d 0m 44.424s N 28d 0m 20.412s W",
    "44 0 44.424 N 28 0 20.412 W",
    "44° 0' 44,424\" N 28° 0' 20,412\" W",
    "44° 0' 44.424\" -28° 0' 20.412\"",
    "lat 44.01234 lon -28.00567",
    "Latitude: 44.01234, Longitude: -28.00567",
    "lng=-28.00567; lat=44.01234",
    "lon 28.00567 W lat 44.01234 N",
    "longitude -28,00567 latitude 44,01234",
    "geo:44.01234,-28.00567",
    "GEO:44.01234,-28.00567,12.5;crs=WGS84;u=12;name=x",
    "+44.01234-028.00567/",
    "+44.01234-028.00567+012.5CRSWGS_84/",
    "+4400.7404-02800.3402/",
    "+440044.424-0280020.412/",
    "+44,01234-028,00567/",
    "\u200e44.01234, -28.00567",
    "٤٤٫٠١٢٣٤, -٢٨٫٠٠٥٦٧",
])
def test_one_place_in_every_spelling(text: str) -> None:
    """Every usual way to write the same place is read as that place."""
    assert read_position(text).position == MILL_LANE


@pytest.mark.parametrize(("text", "lat", "lon"), [
    # Each of these is read by geopy 2.5.0 as another place, without a word.
    ("48,2010 16,3695", 48.201, 16.3695),
    ("48,2 16,3", 48.2, 16.3),
    ("3 26 22N 2 27 30E", 3.439444, 2.458333),
    ("41 30 0 N, 81 0 0 W", 41.5, -81.0),
    ("N 41 30 W 81 0", 41.5, -81.0),
    # The others tell apart what differs by a sign, a letter or a mark.
    ("-0° 30' 0°15'", -0.5, 0.25),
    ("0.5 S 0.25 W", -0.5, -0.25),
    ("10s 20w", -10.0, -20.0),
    ("12 26m 22s 13 27m 30s", 12.439444, 13.458333),
    ("12° 26' 22S 13° 27' 30E", -12.439444, 13.458333),
    ("41° 30 81° 20", 41.5, 81.333333),
    ("41° 30,20° 15", 41.5, 20.25),
    ("44, 28", 44.0, 28.0),
    ("44,-28", 44.0, -28.0),
    ("5, -180", 5.0, 180.0),
    ("90, 77", 90.0, 0.0),
    ("-90, 12", -90.0, 0.0),
])
def test_places_that_are_easily_misread(text: str, lat: float, lon: float) -> None:
    """Commas, letters and marks decide as they do for a careful reader."""
    assert Position(lat, lon) == read_position(text).position


@pytest.mark.parametrize(("text", "what", "fix"), [
    ("", "nothing was typed", "44.01234, -28.00567"),
    ("41.5 N -81.0 W", "a sign and a letter", "Leave out the sign"),
    ("-41.5 S, 81.0 E", "a sign and a letter", "Leave out the sign"),
    ("+41.5 N, 81.0 E", "a sign and a letter", "Leave out the sign"),
    ("41.5 N, -81.0", "for one angle only", "a letter, or none"),
    ("41.5, 81.0 W", "for one angle only", "a letter, or none"),
    ("12 26m 22s, 13 0m 0w", "for one angle only", "a letter, or none"),
    ("44 N 28 N", "the same kind of angle twice", "one latitude and one longitude"),
    ("lat 44 lat 28", "the same kind of angle twice", "one latitude and one longitude"),
    ("lat 44 E lon 28 N", "a letter that doesn't fit the word", "Leave out the letters"),
    ("lat 44 N lon 28", "for one angle only", "a letter, or none"),
    ("lat N 44 N lon 28 E", "is not two angles", "Type it as in"),
    ("N 44 28 W", "is not two angles with a letter each", "Type it as in"),
    ("N 44 N 28 W", "is not two angles with a letter each", "Type it as in"),
    ("48,2010° N 16,3695° O", "the letter O", "Type E or W"),
    ("48,2010", "one number with a decimal comma, or two whole degrees", "a space after the comma"),
    ("48,2010,16,3695", "is not two angles", "Type it as in"),
    ("41,5 30", "a decimal comma in one angle only", "Give both angles decimals"),
    ("41,5 20 10", "is not two angles", "Type it as in"),
    ("1 2 3 4", "nothing that tells degrees from minutes", "Add marks or letters"),
    ("44 0, 28 0", "nothing that tells degrees from minutes", "Add marks or letters"),
    ("44.01234 -28.00567 183", "is not two angles", "Type it as in"),
    ("44.01234,-28.00567,183", "is not two angles", "Type it as in"),
    ("41.5 -81.5 12km", "is not two angles", "Type it as in"),
    ("x 41.5, 3", "is not two angles", "Type it as in"),
    ("44.0.1, 28", "is not two angles", "Type it as in"),
    ("41.5-81.5", "is not two angles", "Type it as in"),
    ("41.5 - 81.5", "is not two angles", "Type it as in"),
    ("44°60′N 28°0′W", "sixty or more minutes", "Check the numbers"),
    ("44°0′60″N 28°0′0″W", "sixty or more minutes", "Check the numbers"),
    ("44 01234 N 28 00567 W", "sixty or more minutes", "Check the numbers"),
    ("44.5° 30' N 28° 0' W", "a smaller part follows", "on the last only"),
    ("44° 30.5' 10\" N 28° 0' 0\" W", "a smaller part follows", "on the last only"),
    ("44' 30\" N 28° W", "is not two angles with a letter each", "Type it as in"),
    ("44° 10° N 28° W", "is not two angles with a letter each", "Type it as in"),
    ("44-00-44N 28-00-20W", "is not two angles with a letter each", "Type it as in"),
    ("nan, nan", "is not two angles", "Type it as in"),
    ("1e1, 2", "for one angle only", "a letter, or none"),
    ("91, 0", "91.0 is not a latitude", "latitude comes first"),
    ("0, 180.5", "180.5 is not a longitude", "latitude comes first"),
    ("4400.74N 02800.34W", "4400.74 is not a latitude", "latitude comes first"),
    ("44.01, -28.0\u202e", "invisible sign", "Type it again by hand"),
    ("4" * 161, "more than 160 signs", "and nothing more"),
    ("+41.5-81.0", "not the digits of ISO 6709", "Set a comma"),
    ("+441-0281/", "not the digits of ISO 6709", "Set a comma"),
    ("+4412-028/", "not the digits of ISO 6709", "Set a comma"),
    ("+4460-02800/", "sixty or more minutes", "Check the numbers"),
    ("+44-028CRSNAD27/", "not in coordinates of WGS 84", "Convert it"),
    ("+44-028CRS/", "not in coordinates of WGS 84", "Convert it"),
    ("+91+000/", "91.0 is not a latitude", "latitude comes first"),
    ("geo:44.01234", "not a geo URI", "Paste it as in geo:"),
    ("geo:44.01234 -28.00567", "not a geo URI", "Paste it as in geo:"),
    ("geo:0,0?q=44.01234,-28.00567", "not a geo URI", "without a question mark"),
    ("geo:+44,28", "not a geo URI", "Paste it as in geo:"),
    ("geo:44.,28", "not a geo URI", "Paste it as in geo:"),
    ("geo:44,28;crs=nad27", "not in coordinates of WGS 84", "Convert it"),
    ("geo:44,28;crs", "not in coordinates of WGS 84", "Convert it"),
    ("geo:44,28;u=-3", "an uncertainty u that is not metres", "u=12"),
    ("geo:44,28;u=x", "an uncertainty u that is not metres", "u=12"),
    ("geo:44,28;u", "an uncertainty u that is not metres", "u=12"),
    ("geo:44,28;u=3;crs=wgs84", "out of order", "Put crs first"),
    ("geo:44,28;x=1;u=3", "out of order", "Put crs first"),
    ("geo:44,28;u=3;u=4", "repeats a parameter", "each once"),
    ("geo:44,28;;", "a parameter that can't be read", "Leave out"),
    ("geo:44,28;x=%zz", "a parameter that can't be read", "Leave out"),
])
def test_what_can_be_read_in_two_ways_is_refused(text: str, what: str, fix: str) -> None:
    """A refusal names the field, what was met, and what to type instead; it can be printed as it is."""
    with pytest.raises(Refused) as refused:
        read_position(text, where="Old orchard")
    told = problem(refused)
    assert told.where == "Old orchard"
    assert what in told.what
    assert fix in told.fix
    assert str(told).isprintable()


def test_a_fix_knows_whether_it_was_typed_or_pasted() -> None:
    """The standards' spellings are pasted, the others typed; only a geo URI can tell the accuracy [m]."""
    assert read_position("44.01234 -28.00567") == Fix(MILL_LANE, "typed")
    assert read_position("+44.01234-028.00567/") == Fix(MILL_LANE, "pasted")
    assert read_position("geo:44.01234,-28.00567;u=12.5") == Fix(MILL_LANE, "pasted", 12.5)


@patient
@given(positions, st.integers(min_value=0, max_value=6))
def test_a_position_that_is_shown_is_read_back(p: Position, places: int) -> None:
    """What is shown with so many decimals is read as the position with so many decimals."""
    assert coarse(p, places) == read_position(show_position(p, places)).position


@patient
@given(positions)
def test_a_position_is_read_from_every_standard_spelling(p: Position) -> None:
    """A position written as decimals, as a geo URI and as an ISO 6709 string comes back as itself."""
    decimals = f"{p.lat:.6f},{p.lon:.6f}"
    iso = f"{p.lat:+010.6f}{p.lon:+011.6f}/"
    for text in (decimals, decimals.replace(",", " "), f"geo:{decimals}", iso, iso.replace(".", ",")):
        assert p == read_position(text).position
    comma = f"{p.lat:.6f} {p.lon:.6f}".replace(".", ",")
    assert p == read_position(comma).position


@patient
@given(positions)
def test_a_position_is_read_from_minutes_and_seconds(p: Position) -> None:
    """Degrees and minutes, and degrees, minutes and seconds, with marks, come back to the last decimal kept."""
    def parts(angle: float) -> tuple[int, int, float]:
        millionths = round(abs(angle) * 3_600_000_000)
        return millionths // 3_600_000_000, millionths // 60_000_000 % 60, millionths % 60_000_000 / 1e6

    (d1, m1, s1), (d2, m2, s2) = parts(p.lat), parts(p.lon)
    n, e = "S" if p.lat < 0 else "N", "W" if p.lon < 0 else "E"
    seconds = f"{d1}°{m1}′{s1:.6f}″ {n} {d2}°{m2}′{s2:.6f}″ {e}"
    minutes = f"{n} {d1} {m1 + s1 / 60:.8f}, {e} {d2} {m2 + s2 / 60:.8f}"
    for text in (seconds, minutes) if max(m1 + s1 / 60, m2 + s2 / 60) < 59.999999 else (seconds,):
        read = read_position(text).position
        assert abs(read.lat - p.lat) < 2e-6
        assert abs(read.lon - p.lon) < 2e-6


@patient
@given(st.text(max_size=80))
def test_reading_raises_nothing_but_a_refusal(text: str) -> None:
    """Any text at all is either a position or a refusal that names the field."""
    try:
        told: tuple[Problem, ...] = ()
        assert abs(read_position(text, where="Ford bend").position.lat) <= 90
    except Refused as refused:
        told = refused.problems
    assert {one.where for one in told} <= {"Ford bend"}


@settings(max_examples=400, deadline=None)
@given(st.text(alphabet="0123456789.,;+-°′″'\"NSEWnsewdmolatg: /", max_size=24))
def test_near_positions_are_read_or_refused(text: str) -> None:
    """Text made of the signs of positions is a position that reads back as itself, or is refused."""
    try:
        p = read_position(text).position
    except Refused:
        return
    assert p == read_position(show_position(p, 6)).position


# --- the value -------------------------------------------------------------------------------------------


@pytest.mark.parametrize(("lat", "lon", "what"), [
    (90.1, 0, "latitude"), (-91, 0, "latitude"), (0, 180.1, "longitude"), (math.nan, 0, "latitude"),
    (0, math.inf, "longitude"), ("44", 0, "latitude"), (None, 0, "latitude"), (True, 0, "latitude"),
])
def test_no_position_is_off_the_earth(lat: float, lon: float, what: str) -> None:
    """A coordinate that is not a number in its range makes no position."""
    with pytest.raises(Refused) as refused:
        Position(lat, lon)
    assert f"is not a {what}" in problem(refused).what


@patient
@given(latitudes, longitudes)
def test_a_position_is_one_value_for_one_place(lat: float, lon: float) -> None:
    """Six decimals are kept; the pole has no longitude, the date line has one, and zero has no sign."""
    p = Position(lat, lon)
    assert p == Position(p.lat, p.lon)
    assert abs(p.lat - lat) <= 5.1e-7
    assert -180 < p.lon <= 180
    assert p.lon == 0 or abs(p.lat) != 90
    assert "-0.0)" not in repr(p)
    assert "=-0.0," not in repr(p)


@pytest.mark.parametrize("accuracy", [-1, math.nan, math.inf])
def test_an_accuracy_is_a_radius(accuracy: float) -> None:
    """A radius is a finite number of zero or more [m]."""
    with pytest.raises(Refused, match="means nothing"):
        Fix(MILL_LANE, "device", accuracy)


# --- measuring -------------------------------------------------------------------------------------------


def earth_centred(p: Position) -> tuple[float, float, float]:
    """Cartesian coordinates on the WGS 84 ellipsoid [m], as in any textbook of geodesy."""
    axis, flattening = 6378137.0, 1 / 298.257223563
    squared = flattening * (2 - flattening)
    lat, lon = math.radians(p.lat), math.radians(p.lon)
    bend = axis / math.sqrt(1 - squared * math.sin(lat) ** 2)
    return (bend * math.cos(lat) * math.cos(lon), bend * math.cos(lat) * math.sin(lon),
            bend * (1 - squared) * math.sin(lat))


@patient
@given(st.floats(min_value=-80, max_value=80), st.floats(min_value=-170, max_value=170),
       st.floats(min_value=-0.1, max_value=0.1), st.floats(min_value=-0.1, max_value=0.1))
def test_short_distances_are_those_of_the_straight_line(lat: float, lon: float, north: float, east: float) -> None:
    """By a second route: within some kilometres the way over the ground is the chord through it [m]."""
    a, b = Position(lat, lon), Position(lat + north, lon + east)
    chord = math.dist(earth_centred(a), earth_centred(b))
    # An arc s of radius R is longer than its chord by s³/24R²: 7 mm at 20 km.
    assert chord - 1e-6 <= distance_m(a, b) <= chord * (1 + chord**2 / (24 * 6.3e6**2)) + 1e-6


@patient
@given(positions, positions)
def test_distance_is_that_of_geopy_and_has_no_direction(a: Position, b: Position) -> None:
    """The distance [m] is the same both ways, and the same as geopy's."""
    from geopy.distance import geodesic

    distance = distance_m(a, b)
    assert distance == pytest.approx(distance_m(b, a), abs=1e-6)
    assert distance == pytest.approx(geodesic((a.lat, a.lon), (b.lat, b.lon)).meters, abs=1e-6)


@patient
@given(st.floats(min_value=-80, max_value=80), longitudes, st.floats(min_value=0, max_value=359.9),
       st.floats(min_value=20, max_value=50_000))
def test_a_bearing_leads_there(lat: float, lon: float, bearing: float, distance: float) -> None:
    """Going so far [m] in a direction [deg] with geopy arrives where that distance and bearing are found again."""
    from geopy.distance import geodesic

    start = Position(lat, lon)
    end = geodesic(meters=distance).destination((start.lat, start.lon), bearing)
    there = Position(end.latitude, end.longitude)
    assert distance_m(start, there) == pytest.approx(distance, abs=0.2)
    off = (bearing_deg(start, there) - bearing + 180) % 360 - 180
    assert abs(math.radians(off)) * distance < 0.2


@patient
@given(positions, positions)
def test_a_bearing_is_below_a_full_turn(a: Position, b: Position) -> None:
    """A bearing is from 0 to below 360 degrees, and 0 to the place itself."""
    assert 0 <= bearing_deg(a, b) < 360
    assert bearing_deg(a, a) == 0


def test_a_hair_west_of_north_is_not_a_full_turn() -> None:
    """A bearing that is too little below zero for its digits is north, not 360 degrees."""
    assert line(0, 0, 10, -1e-20)[1] == 0


@pytest.mark.parametrize(("deg", "word"), [
    (0, "north"), (22.4, "north"), (22.6, "north-east"), (90, "east"), (135, "south-east"), (180, "south"),
    (225, "south-west"), (270, "west"), (315, "north-west"), (337.4, "north-west"), (337.6, "north"), (360, "north"),
])
def test_a_direction_is_the_nearest_of_eight_winds(deg: float, word: str) -> None:
    """Each wind holds the 45 degrees around it."""
    assert word == compass_word(deg)


# --- handing on ------------------------------------------------------------------------------------------


@patient
@given(positions, st.integers(min_value=0, max_value=6))
def test_a_coarse_position_has_its_decimals_and_lies_within_its_uncertainty(p: Position, places: int) -> None:
    """A coarse position is near enough, stays the same when made coarse again, and shows no more decimals."""
    rough = coarse(p, places)
    assert rough == coarse(rough, places)
    assert distance_m(p, rough) <= coarse_uncertainty_m(p, places) or abs(rough.lat) == 90
    assert len(f"{rough.lat!r}".partition(".")[2].rstrip("0")) <= places or "e" in f"{rough.lat!r}"


@patient
@given(st.floats(min_value=-80, max_value=80), longitudes)
def test_the_uncertainty_is_the_diagonal_of_one_unit(lat: float, lon: float) -> None:
    """By a second route: the way to the point one unit of the last decimal north and east of it [m]."""
    lon = min(lon, 179)
    diagonal = line(lat - 0.0005, lon, lat + 0.0005, lon + 0.001)[0]
    assert coarse_uncertainty_m(Position(lat, lon), 3) == pytest.approx(diagonal, rel=1e-4)


@pytest.mark.parametrize("places", [-1, 7])
def test_a_number_of_decimals_has_its_bounds(places: int) -> None:
    """Fewer than no decimals, or more than are kept, is a fault of the program."""
    for function in (coarse, coarse_uncertainty_m, show_position):
        with pytest.raises(ValueError, match="0 to 6 decimals"):
            function(MILL_LANE, places)


def test_positions_are_shown_with_letters() -> None:
    """South and west have letters, never signs, and a place on the line has no doubtful zero."""
    assert show_position(Position(-44.01234, 28.00567), 3) == "44.012 S, 28.006 E"
    assert show_position(Position(-0.000001, -0.000001)) == "0.00000 N, 0.00000 E"
    assert show_position(MILL_LANE, 0) == "44 N, 28 W"


@pytest.mark.parametrize(("m", "text"), [
    (0, "0 m"), (7.4, "7 m"), (99.4, "99 m"), (99.6, "100 m"), (314, "310 m"), (994, "990 m"), (996, "1.0 km"),
    (1234, "1.2 km"), (9949, "9.9 km"), (9951, "10 km"), (15_800, "16 km"),
])
def test_distances_are_as_one_would_say_them(m: float, text: str) -> None:
    """Metres up to a hundred, tens up to a kilometre, then tenths, then whole kilometres."""
    assert text == show_distance(m)


def test_a_distance_has_the_chosen_decimal_sign() -> None:
    """The decimal sign is a comma where one was chosen; what is no distance is a fault of the program."""
    assert show_distance(1234, decimal=",") == "1,2 km"
    for m in (-1, math.nan, math.inf):
        with pytest.raises(ValueError, match="not a distance"):
            show_distance(m)
