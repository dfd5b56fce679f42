"""The table of columns: complete, described, and the one source of schema and docs."""

import re

import pytest

from field_app.handover.columns import DIFFERENCES, LOTS, NAMES, RANGES, SITES, TABLES, columns_text, field_of

ALL = [column for table in TABLES for column in table.columns]
# The terms of Darwin Core that this file uses, from the list of terms of 2023-09-18 (https://dwc.tdwg.org/list/).
DARWIN_CORE = {
    "materialEntityID", "locationID", "scientificName", "eventDate", "decimalLatitude", "decimalLongitude",
    "geodeticDatum", "coordinateUncertaintyInMeters", "dataGeneralizations", "informationWithheld"}


def test_names_are_unique_within_a_table():
    """No table has two columns of one name."""
    for table in TABLES:
        names = [column.name for column in table.columns]
        assert sorted(set(names)) == sorted(names)


def test_camel_case_is_darwin_core_and_nothing_else_is():
    """A name in camelCase is a term of Darwin Core; all other names are ours."""
    assert {column.name for column in ALL if column.term} == DARWIN_CORE


@pytest.mark.parametrize("column", ALL, ids=lambda column: column.name)
def test_a_column_is_described_with_its_unit(column):
    """Every column has a sentence, and every number says its unit twice."""
    assert re.match(r"[A-Z].*\.\Z", column.description)
    if column.type in ("number", "integer") and column.name != "bbch":
        assert column.unit
        shown = "the unit in" if column.unit.startswith("as in") else f"[{column.unit}]"
        assert shown in column.description


def test_an_estimate_is_three_columns_side_by_side():
    """Low, central and high follow each other."""
    names = [column.name for column in LOTS.columns]
    for name in RANGES:
        at = names.index(f"{name}_low")
        assert names[at:at + 3] == [f"{name}_low", name, f"{name}_high"]


def test_the_estimates_are_the_ones_a_planner_needs():
    """Net mass, what holds the dye, dry matter, air-dry mass, cloth in three shades, and what is left."""
    assert RANGES == ("net_mass_kg", "dye_part_mass_kg", "dry_matter_kg", "air_dry_kg",
                      "cloth_light_kg", "cloth_medium_kg", "cloth_dark_kg", "left_kg", "left_L")


def test_keys_are_required_columns():
    """The key of a table, and what points at another table, are never empty."""
    for table in TABLES:
        required = {column.name for column in table.columns if column.required}
        assert table.key in required
        assert table.points_at is None or table.points_at[0] in required


def test_a_field_adds_values_that_only_a_newer_program_knows():
    """A material that this program doesn't know is declared, a wrong basis is not."""
    material = next(column for column in LOTS.columns if column.name == "material")
    basis = next(column for column in LOTS.columns if column.name == "basis")
    assert field_of(material, ["new-stuff"])["constraints"]["enum"][-1] == "new-stuff"
    assert field_of(basis, ["guessed"])["constraints"]["enum"] == ["weighed", "counted", "poured"]


def test_the_text_for_the_docs_has_a_row_for_every_column():
    """Each column stands in its table, in order, and no cell is broken in two."""
    tables = columns_text().split("\n\n")
    for text, table in zip(tables, (LOTS, SITES, DIFFERENCES, NAMES), strict=True):
        lines = text.strip().splitlines()
        assert [line.split("|")[1].strip() for line in lines[2:]] == [f"`{c.name}`" for c in table.columns]
        assert {line.count("|") for line in lines} == {5}
