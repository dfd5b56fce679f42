"""What a planner's file keeps back: exact places, names, notes and people."""

import json
import math
import random
import re

import pytest

from field_app.core.facts import FixFacts
from field_app.core.positions import Position, coarse, coarse_uncertainty_m, distance_m
from field_app.core.units import Measure
from field_app.handover import PlannerOptions, planner_file
from tests.handover.scene import MADE, MILL, SECRETS, good, lot, lots, opened, rows_of, site, sites


def table(data: bytes, path: str = "lots.csv") -> list[dict[str, str]]:
    header, *rows = rows_of(opened(data)[path])
    return [dict(zip(header, row, strict=True)) for row in rows]


def test_no_byte_of_the_default_file_holds_an_exact_place_a_name_a_note_or_a_person():
    """The whole file is searched, in the encodings in which a text could stand."""
    data = good()
    for secret in SECRETS:
        for encoding in ("utf-8", "utf-16-le"):
            assert secret.encode(encoding) not in data
        assert secret.lower() not in data.decode("latin-1").lower()
    for place in [held.position for held in (*lots(), *sites()) if held.position]:
        for value in (place.lat, place.lon):
            for places in range(3, 7):
                assert f"{abs(value):.{places}f}".encode() not in data
                assert f"{math.floor(abs(value) * 10**places) / 10**places}".encode() not in data


def test_no_number_of_the_default_file_has_more_places_than_promised():
    """Each coordinate, in the table and on the map, has two places at most."""
    files = opened(good())
    for path in ("lots.csv", "sites.csv"):
        for row in table(good(), path):
            for name in ("decimalLatitude", "decimalLongitude"):
                assert re.fullmatch(r"(-?\d+\.\d{2})?", row[name])
    for feature in json.loads(files["lots.geojson"])["features"]:
        for number in (feature["geometry"] or {"coordinates": []})["coordinates"]:
            assert number == round(number, 2)


@pytest.mark.parametrize("places", [0, 1, 2, 3])
def test_a_position_is_rounded_by_the_rule_of_the_core_and_says_so(places):
    """The rounded position, what rounding adds to the radius, and the words are there."""
    rows = {row["locationID"]: row for row in table(good(PlannerOptions(places=places)), "sites.csv")}
    exact = sites()[0].position
    rounded = coarse(exact, places)
    row = rows[MILL]
    assert (float(row["decimalLatitude"]), float(row["decimalLongitude"])) == (rounded.lat, rounded.lon)
    # 8.5 m that hold 68 % of a round normal scatter are 13.8 m that hold 95 %.
    due = coarse_uncertainty_m(rounded, places) + 8.5 * math.sqrt(math.log(20) / -math.log(0.32))
    assert int(row["coordinateUncertaintyInMeters"]) == math.ceil(due)
    assert row["dataGeneralizations"] == f"Position rounded to {10 ** -places:g} degree."
    assert "exact position" in row["informationWithheld"]
    assert row["geodeticDatum"] == "EPSG:4326"


def test_the_true_place_lies_within_the_stated_radius():
    """For each lot with a position, the exact fix is no further from the rounded one than the file says."""
    for held, row in zip(lots(), table(good()), strict=True):
        if held.position is not None:
            stated = Position(float(row["decimalLatitude"]), float(row["decimalLongitude"]))
            assert distance_m(held.position, stated) <= float(row["coordinateUncertaintyInMeters"])


def test_many_fixes_around_a_tree_at_the_edge_of_a_cell_do_not_tell_where_it_stands():
    """Lots with fixes of their own all stand at the rounded place of their site."""
    scatter = random.Random(11)
    tree = Position(44.015, -28.005)
    around = [lot(1, MILL, Position(round(tree.lat + scatter.gauss(0, 1e-4), 6),
                                    round(tree.lon + scatter.gauss(0, 1e-4), 6)), gross=Measure("3", "kg"))
              for _ in range(30)]
    cells = set()
    for held in around:
        row = table(planner_file([held], [site("Mill lane", MILL, tree)], made=MADE))[0]
        cells.add((row["decimalLatitude"], row["decimalLongitude"]))
    assert len(cells) == 1


def test_the_radius_does_not_tell_the_latitude():
    """Two sites of one cell have the same radius, wherever in the cell they stand."""
    radii = set()
    for offset in (-0.0049, -0.002, 0.0, 0.002, 0.0049):
        place = Position(round(44.01 + offset, 6), -28.01)
        radii.add(table(planner_file([], [site("x", MILL, place)], made=MADE), "sites.csv")[0]
                  ["coordinateUncertaintyInMeters"])
    assert len(radii) == 1


def test_an_exact_file_says_what_it_tells_and_keeps_the_rest():
    """Asked for exact places, a lot stands where it was fixed, with its own radius, and names are still kept."""
    rows = table(good(PlannerOptions(places=None)))
    assert (rows[0]["decimalLatitude"], rows[0]["decimalLongitude"]) == ("44.012398", "-28.005544")
    assert rows[0]["coordinateUncertaintyInMeters"] == "6"
    assert rows[0]["dataGeneralizations"] == ""
    assert rows[0]["informationWithheld"] == "name of the site, notes, who gave leave: ask whoever made the file"
    assert rows[1]["dataGeneralizations"] == "Position of the site."
    # Old orchard was typed: how far off that may be is not known, and 0 would be a lie (Chapman & Wieczorek 2020).
    assert rows[2]["coordinateUncertaintyInMeters"] == ""


def test_who_gave_leave_never_leaves():
    """No option brings the person from whom leave was had."""
    assert b"the miller" not in good(PlannerOptions(places=None, names=True, notes=True))


def test_a_fix_without_radius_is_never_sure_to_the_metre():
    """A radius of nothing is stated as one metre, for 0 is not a valid uncertainty."""
    place = site("x", MILL, Position(44.0, -28.0), FixFacts(source="device", accuracy="0"))
    row = table(planner_file([], [place], made=MADE, options=PlannerOptions(places=None)), "sites.csv")[0]
    assert row["coordinateUncertaintyInMeters"] == "1"


@pytest.mark.parametrize(("value", "text"), [(-0.004, "0.00"), (0.004, "0.00"), (-0.006, "-0.01")])
def test_a_place_at_the_equator_has_no_sign_that_tells_the_side(value, text):
    """A rounded zero is written without a minus sign."""
    row = table(planner_file([], [site("x", MILL, Position(value, value))], made=MADE), "sites.csv")[0]
    assert (row["decimalLatitude"], row["decimalLongitude"]) == (text, text)


@pytest.mark.parametrize("accuracy", ["about 5", "nan", "inf", "-3", ""])
def test_a_radius_that_is_none_is_left_out(accuracy):
    """What another device wrote as a radius and is none does not stop the file, and is not passed on."""
    place = site("x", MILL, Position(44.0, -28.0), FixFacts(source="device", accuracy=accuracy))
    row = table(planner_file([], [place], made=MADE, options=PlannerOptions(places=None)), "sites.csv")[0]
    assert row["coordinateUncertaintyInMeters"] == ""
