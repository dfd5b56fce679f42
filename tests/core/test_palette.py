"""The table of colours: complete, sourced, marked, and refused where it is not."""

from importlib import resources

import pytest

from field_app.core.materials import MATERIALS, Parameter
from field_app.core.palette import GROUNDS, palette_of, read_palettes, rows_of

TEXT = resources.files("field_app.core").joinpath("colours.toml").read_text(encoding="utf-8")
NO_SOURCE = "common practice, no source"
ROWS = [(key, name, row) for key, rows in read_palettes(TEXT).items() for name, row in rows.items()]


def test_every_material_has_its_rows():
    """Each material finds the rows of its group or its own, and gives a tint on every ground."""
    for stuff in MATERIALS.values():
        assert list(rows_of(stuff)) == ["strength", "fall", "alum-strength", "alum-fall", "iron-strength", "iron-fall"]
        assert list(palette_of(stuff).tints) == list(GROUNDS)
        assert palette_of(stuff).own == 0


@pytest.mark.parametrize(("key", "name", "row"), ROWS, ids=[f"{key} {name}" for key, name, _ in ROWS])
def test_every_row_is_sourced_and_wide(key, name, row):
    """Each row says what it is, where it is from and how far it is to be trusted; what has no source is wide."""
    (reason,) = row.reasons
    assert reason.name
    assert reason.source
    assert reason.basis == "default"
    assert (reason.mark == "practice") or not reason.source.startswith(NO_SOURCE)
    assert reason.mark in ("practice", "derived")
    assert row.high / row.low >= 1.3


def test_iron_beside_alum_is_that_of_its_source():
    """Raja & Thilagavathi 2008, Color. Technol.: K/S 30.5 with iron against 8.24 with alum, tannin leaf dyes on wool.

    Central for bark, leaves, cones and cups, which hold such tannin; the high end for walnut hull and wood.
    """
    table = read_palettes(TEXT)
    for group in ("bark", "leaf", "cone", "cup"):
        assert table[group]["iron-strength"].central == pytest.approx(30.5 / 8.24, abs=0.01)
        assert table[group]["iron-strength"].reasons[0].mark == "derived"
    for group in ("walnut hull", "wood"):
        assert table[group]["iron-strength"].high == pytest.approx(30.5 / 8.24, abs=0.01)
        assert table[group]["iron-strength"].reasons[0].mark == "practice"


def test_a_material_may_differ_from_its_group():
    """A row of a material's own goes on top of those of its group."""
    more = """
    [materials.oak-bark]
    group = "bark"
    fall = { low = 50, central = 60, high = 70, unit = "nm", source = "practice", mark = "practice" }
    """
    table = read_palettes(TEXT + more)
    assert table["oak-bark"]["fall"].central == 60
    assert table["oak-bark"]["strength"] == table["bark"]["strength"]


@pytest.mark.parametrize(("old", "new"), [
    ('unit = "nm"', 'unit = "1"'), ("low = 2.2", "low = 0"), ("central = 4.0", "central = 400"),
    ('mark = "practice" }', "}"), ('mark = "practice" }', 'mark = "guess" }'),
    ('source = "practice", mark', 'source = "hearsay", mark'), ("fall          =", "falls         ="),
    ('mark = "practice" }', 'mark = "practice", moon = 1 }')])
def test_a_row_that_is_amiss_is_refused(old, new):
    """Wrong unit, nothing, out of order, no source, no mark, a row missing or a member that nobody reads."""
    with pytest.raises((ValueError, KeyError)):
        read_palettes(TEXT.replace(old, new, 1))


def test_the_reference_of_depth_is_that_of_the_materials():
    """A material without custom for medium could have no depth, so each one has it."""
    assert all(isinstance(stuff.parameter("wof-medium"), Parameter) for stuff in MATERIALS.values())
