"""A corrected position is kept, can be undone, meets other devices, and narrows with every visit."""

import pytest

from field_app.core.positions import Fix, Position, distance_m, from_here
from field_app.core.trust import examine
from field_app.store import add_fix
from field_app.sync import group_bytes, merge_bytes
from tests.ui.fieldwork import GIVEN, FieldBag

TREE = Position(44.012345, -28.005678)


@pytest.fixture
def bag(tmp_path):
    bag = FieldBag(tmp_path)
    yield bag
    bag.book.close()


def fix(metres, bearing, radius=8.0):
    return Fix(from_here(TREE, bearing, metres), "device", radius, "95 %")


def test_every_visit_makes_it_surer(bag):
    """From fix to fix the ring narrows, never below the floor, and the place stays within it."""
    site = bag.tree("Mill lane", position=fix(5, 0), leave=GIVEN, note="behind the gate")
    radius = 8.0
    for bearing in (90, 180, 270, 45, 135, 225, 315, 0, 90, 180):
        changed = add_fix(bag.book, site, [fix(4, bearing)])
        now = float(changed.facts.fix.accuracy)
        assert 3.0 <= now <= radius
        assert distance_m(changed.position, TREE) < 8
        radius = now
    assert radius == 3.0
    assert (changed.name, changed.facts.note, changed.leave_on(bag.now.date())) == (
        "Mill lane", "behind the gate", "given")


def test_a_correction_can_be_undone(bag):
    """Undone, the place is where it was; the history tells both."""
    site = bag.tree("Mill lane", position="44.012345, -28.005678")
    add_fix(bag.book, "Mill lane", [fix(20, 90)])
    assert distance_m(bag.book.site(site).position, TREE) > 10
    bag.book.undo()
    assert bag.book.site(site).position == TREE
    assert len(bag.book.history(site)) == 3


def test_two_devices_that_correct_one_place_meet(bag, tmp_path):
    """Both corrections are trusted and known on both devices, one holds, and the difference in position is told."""
    site = bag.tree("Mill lane", position="44.012345, -28.005678")
    (tmp_path / "other").mkdir()
    other = FieldBag(tmp_path / "other")
    merge_bytes(other.book, group_bytes(bag.book), "one")
    add_fix(bag.book, site, [fix(5, 90)])
    add_fix(other.book, site, [fix(5, 270)])
    merge_bytes(other.book, group_bytes(bag.book), "one")
    merge_bytes(bag.book, group_bytes(other.book), "other")
    assert bag.book.site(site).position == other.book.site(site).position
    assert "position" in {one.about for one in bag.book.differences(site)}
    assert all(examine(version) is None for version in bag.book.history(site))
    other.book.close()
