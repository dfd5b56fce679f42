"""A better position for a site: fixes taken beside it and the noted one, put together or one instead of the other."""

import pytest

from field_app.core.facts import FixFacts, SiteFacts
from field_app.core.positions import Fix, Position, distance_m, from_here
from field_app.core.records import Thing
from field_app.core.site_fix import decide_fix, disagree, noted_fix, together

TREE = Position(44.01234, -28.00567)


def near(metres, bearing=0, radius=5.0, meaning="95 %"):
    return Fix(from_here(TREE, bearing, metres), "device", radius, meaning)


def site(position=(44.01234, -28.00567), **facts):
    told = SiteFacts.model_validate({"name": "Mill lane", "note": "behind the gate", **facts}).as_json()
    return Thing("urn:uuid:0", "site", told, position, ("head",), "", "", "0" * 16, False)


def test_a_measured_position_is_bettered():
    """Two fixes of the same sureness meet half way, and the ring narrows by the root of two, down to the floor."""
    noted = Fix(TREE, "device", 8.0, "95 %")
    found = together(noted, [near(6, 90, 8.0)])
    assert distance_m(found.fix.position, TREE) == pytest.approx(3, abs=0.1)
    assert found.fix.accuracy_m == pytest.approx(8 / 2**0.5, abs=1e-3)


def test_a_typed_position_gives_way_to_a_fix():
    """Without a radius nobody knows what it is worth."""
    fix = near(6)
    assert together(Fix(TREE, "typed"), [fix]).fix.position == fix.position
    assert together(None, [fix]).fix.position == fix.position


def test_what_is_wrong_is_left_out_when_told():
    """Taken instead, the noted position has no part in it."""
    noted, fix = Fix(TREE, "device", 5.0, "95 %"), near(300)
    assert together(noted, [fix], instead=True).fix.position == fix.position


def test_fixes_far_apart_are_told():
    """Some metres apart is what fixes are; three hundred are two places."""
    noted = Fix(TREE, "device", 5.0, "95 %")
    assert not disagree(noted, near(12))
    assert disagree(noted, near(300))
    assert not disagree(noted, near(300, radius=400.0))
    assert not disagree(None, near(300))
    assert disagree(Fix(TREE, "typed"), near(300))


def test_the_site_keeps_all_else():
    """Name, note and what stands there stay as they were; members of a newer program too."""
    before = site(materials=("black-walnut",), newer="kept")
    (draft,) = decide_fix(before, [near(4, radius=6.0)]).drafts
    assert draft.parents == ("head",)
    assert {key: draft.facts[key] for key in ("name", "note", "materials", "newer")} == {
        "name": "Mill lane", "note": "behind the gate", "materials": ["black-walnut"], "newer": "kept"}
    assert draft.facts["fix"] == {"source": "device", "accuracy": "6", "meaning": "95 %"}
    assert draft.position == (near(4).position.lat, near(4).position.lon)


def test_without_a_fix_nothing_is_decided():
    """It is a problem with words."""
    assert decide_fix(site(), []).problems[0].where == "position"


def test_what_is_noted_is_read_as_a_fix():
    """With its radius and its meaning if they were told; none without a position."""
    facts = SiteFacts(name="x", fix=FixFacts(source="device", accuracy="7.5", meaning="68 %"))
    assert noted_fix(facts, TREE) == Fix(TREE, "device", 7.5, "68 %")
    assert noted_fix(SiteFacts(name="x"), TREE) == Fix(TREE, "typed")
    assert noted_fix(facts, None) is None
