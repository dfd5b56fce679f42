"""Finding a tree on the screen: arrow, distance and ring; no heading is said; a better position is kept."""

import asyncio

import flet as ft
import flet.canvas as cv
import pytest

from field_app.core.finding import way_to
from field_app.core.gather import LeaveForm
from field_app.core.positions import Fix, Position, distance_m, from_here
from field_app.ui import find_sights
from field_app.ui.find_dial import dial_shapes
from field_app.ui.glyphs import undrawn
from tests.ui.driver import walk
from tests.ui.fieldwork import DAY, GIVEN, FieldBag, denied, fix_at, play

TREE = Position(44.012345, -28.005678)


@pytest.fixture
def bag(tmp_path):
    bag = FieldBag(tmp_path)
    yield bag
    bag.book.close()


def address(site):
    return f"/trees/{site.removeprefix('urn:uuid:')}/find"


def standing(metres, bearing, accuracy=5.0, **more):
    place = from_here(TREE, bearing, metres)
    replies = fix_at(place.lat, place.lon, accuracy)
    replies["get_current_position"] |= more
    return replies


def test_the_way_is_told_in_the_title(bag):
    """Distance and wind, the bearing, the ring, the note; that there is no heading is said, and north is up.

    The phone's 5 m hold 68 of 100 fixes, the ring of 8 m holds 95.
    """
    site = bag.tree("Mill lane", position="44.012345, -28.005678", leave=GIVEN, note="behind the gate")

    async def steps():
        d = await bag.open(address(site), replies=standing(310, 225))
        assert d.title() == "Where are you?"
        await d.tap("find-ask")
        assert d.title() == "310 m, north-east"
        text = d.text()
        assert "Mill lane · fix ± 5 m" in text
        assert "45°, north-east" in text
        assert "behind the gate" in text
        assert "Up is north: a device knows where it is heading only while you walk." in text
        assert undrawn(text) == ""
        (spoken,) = [one.label for one in walk(d.top()) if isinstance(one, ft.Semantics) and one.label
                     and one.label.startswith("An arrow to the tree")]
        assert "310 m at 45°, north-east, within 8 m" in spoken
        d.check_alive()
    play(steps)


def test_who_walks_is_told_which_way_to_turn(bag):
    """While one walks the device has a heading, and the arrow stands beside it."""
    site = bag.tree("Mill lane", position="44.012345, -28.005678", leave=GIVEN)

    async def steps():
        d = await bag.open(address(site), replies=standing(310, 225, speed=1.2, heading=80.0))
        await d.tap("find-ask")
        assert d.title() == "310 m, half to the left"
        assert "Up is where you are walking." in d.text()
    play(steps)


@pytest.mark.parametrize("more", [{"speed": 0.1, "heading": 90.0}, {"speed": 1.2, "heading": 0.0},
                                  {"speed": float("nan"), "heading": 90.0}, {}])
def test_a_heading_that_means_nothing_is_not_taken(bag, more):
    """Who stands still has no heading, and a bare zero means that it is not known."""
    site = bag.tree("Mill lane", position="44.012345, -28.005678", leave=GIVEN)

    async def steps():
        d = await bag.open(address(site), replies=standing(310, 225, **more))
        await d.tap("find-ask")
        assert d.title() == "310 m, north-east"
    play(steps)


def test_within_the_ring_one_is_there_and_the_fix_can_be_added(bag):
    """Beside the tree the fix corrects the place, which can be undone; the typed position gives way to it."""
    site = bag.tree("Mill lane", position="44.012345, -28.005678", leave=GIVEN)
    readings = [standing(4, bearing, accuracy=6.0)["get_current_position"] for bearing in (90, 90, 91, 91, 89)]
    there = standing(4, 90) | {"get_current_position": lambda _: readings.pop(0)}

    async def steps():
        d = await bag.open(address(site), replies=there)
        await d.tap("find-ask")
        assert d.title() == "You are there: look around"
        await d.tap("find-more")
        assert "1 fix taken here" in d.text(), "a reading that the device kept is not a second one"
        assert "the same fix again" in d.snack()
        await d.tap("find-more")
        assert "2 fixes taken here" in d.text()
        await d.tap("find-keep")
        assert d.snack() == "Where Mill lane is was corrected."
        held = bag.book.site(site)
        assert distance_m(held.position, from_here(TREE, 90.5, 4)) < 0.2
        assert held.facts.fix.source == "device"
        assert float(held.facts.fix.accuracy) == pytest.approx(6 * 2.4477 / 1.5096 / 2**0.5, abs=0.1)
        assert d.find("find-keep") == [], "the same fix must not count twice"
        await d.tap("find-ask")
        assert d.find("find-keep") == [], "nor may one that the device kept"
        await d.tap("find-ask")
        assert d.find("find-keep") != []
        bag.book.undo()
        assert bag.book.site(site).position == TREE
        d.check_alive()
    play(steps)


def test_far_away_nothing_is_added_by_accident(bag):
    """From afar one must say that one stands beside it; then it is taken instead of the noted one, with a caution."""
    site = bag.tree("Mill lane", position="44.012345, -28.005678", leave=GIVEN)

    async def steps():
        d = await bag.open(address(site), replies=standing(400, 90))
        await d.tap("find-ask")
        assert d.find("find-keep") == []
        await d.tap("find-beside")
        assert "Far from where it is noted" in d.text()
        await d.tap("find-keep")
        assert bag.book.site(site).position == from_here(TREE, 90, 400)
        assert d.title() == "You are there: look around"
    play(steps)


def test_a_place_without_position_gets_one(bag):
    """Where nothing was noted, the first fix notes it."""
    site = bag.tree("Mill lane", leave=GIVEN)

    async def steps():
        d = await bag.open(address(site), replies=standing(0, 0))
        assert d.title() == "Where it is was not noted"
        await d.tap("find-ask")
        await d.tap("find-keep")
        assert bag.book.site(site).position == TREE
    play(steps)


def test_leave_is_told_on_the_way(bag):
    """Before one gets there one reads that one may not gather."""
    site = bag.tree("Schoolyard", position="44.012345, -28.005678", leave=LeaveForm("refused", by="the school"))

    async def steps():
        d = await bag.open(address(site), replies=standing(100, 0))
        assert "Leave refused by the school: don't gather here" in d.text()
    play(steps)


def test_a_rough_fix_and_a_refusal_are_said(bag):
    """A wide ring is warned of; what the device refuses is said with what to do."""
    site = bag.tree("Mill lane", position="44.012345, -28.005678", leave=GIVEN)

    async def steps():
        d = await bag.open(address(site), replies=standing(400, 0, accuracy=120.0))
        await d.tap("find-ask")
        assert "Too rough to tell one tree from the next" in d.text()
        refused = await bag.open(address(site), replies={**standing(9, 0), "get_current_position": denied})
        await refused.tap("find-ask")
        assert "The position was not allowed" in refused.text()
        refused.check_alive()
    play(steps)


def test_led_one_is_asked_again_until_one_stops(bag, monkeypatch):
    """While one is led the device is asked again and again; a tap, or leaving the screen, ends it."""
    monkeypatch.setattr(find_sights, "EVERY", 0.01)
    site = bag.tree("Mill lane", position="44.012345, -28.005678", leave=GIVEN)

    async def steps():
        d = await bag.open(address(site), replies=standing(310, 225))
        led = asyncio.ensure_future(d.tap("find-lead"))
        await asyncio.sleep(0.3)
        await d.settle()
        assert "Stop" in d.text()
        asked = len(d.calls("get_current_position"))
        assert asked > 2
        await d.tap("find-lead")
        await asyncio.sleep(0.2)
        await d.settle()
        assert "Lead me" in d.text()
        asked = len(d.calls("get_current_position"))
        await asyncio.sleep(0.2)
        assert len(d.calls("get_current_position")) == asked
        again = asyncio.ensure_future(d.tap("find-lead"))
        await asyncio.sleep(0.1)
        await d.go("/trees")
        await asyncio.sleep(0.2)
        asked = len(d.calls("get_current_position"))
        await asyncio.sleep(0.2)
        assert len(d.calls("get_current_position")) == asked
        await asyncio.wait_for(asyncio.gather(led, again), 5)
        d.check_alive()
    play(steps)


def shape(shapes, kind, at):
    return [one for one in shapes if isinstance(one, kind)][at]


@pytest.mark.parametrize(("bearing", "heading", "right", "up"), [
    (90, None, 1, 0), (180, None, 0, -1), (90, 90, 0, 1), (90, 0, 1, 0), (0, 90, -1, 0)])
def test_the_arrow_points_to_the_tree(bearing, heading, right, up):
    """Without a heading north is up; with one, the way one walks is up, and N moves to its side."""
    here = Fix(from_here(TREE, bearing + 180, 300), "device", 5, "95 %")
    shapes = dial_shapes(way_to(here, TREE, heading_deg=heading), 326, 300)
    line = shape(shapes, cv.Line, 0)
    reach = max(abs(line.x2 - line.x1), abs(line.y2 - line.y1))
    assert ((line.x2 - line.x1) / reach, (line.y1 - line.y2) / reach) == pytest.approx((right, up), abs=0.02)
    letter = shape(shapes, cv.Text, 0)
    assert (letter.x > 163 + 50) is (heading is not None and heading > 180)
    assert (letter.x < 163 - 50) is (heading == 90)


def test_the_ring_grows_with_what_is_not_known():
    """A rough fix has a wide ring around the tip; within it there is no arrow any more."""
    here = from_here(TREE, 180, 300)
    sure = dial_shapes(way_to(Fix(here, "device", 5, "95 %"), TREE), 326, 300)
    rough = dial_shapes(way_to(Fix(here, "device", 150, "95 %"), TREE), 326, 300)
    there = dial_shapes(way_to(Fix(here, "device", 400, "95 %"), TREE), 326, 300)
    ring = [one.radius for one in (shape(sure, cv.Circle, 3), shape(rough, cv.Circle, 3))]
    assert ring[0] < ring[1]
    assert not [one for one in there if isinstance(one, cv.Line)]


def test_the_letter_of_north_grows_as_far_as_its_ring():
    """Twice the text of the device, the letter still fits into the ring it stands in."""
    def north(grown):
        shapes = dial_shapes(way_to(Fix(from_here(TREE, 180, 300), "device", 5, "95 %"), TREE), 326, 300, grown)
        return shape(shapes, cv.Text, 0).style.size

    assert [north(grown) for grown in (0.8, 1.0, 1.2, 2.0)] == [15, 15, 18, 21]


def test_at_the_tree_the_thumb_finds_what_one_does_there(bag):
    """Far away the main action asks for the way; there it logs, a look stands beside it, and asking is still there."""
    site = bag.tree("Mill lane", position="44.012345, -28.005678", leave=GIVEN)

    async def steps():
        d = await bag.open(address(site), replies=standing(310, 225))
        await d.tap("find-ask")
        assert not d.find("find-log")
        d.client.replies |= standing(2, 225)
        await d.tap("find-ask")
        assert d.title() == "You are there: look around"
        assert d.find("find-ask")
        assert d.find("find-lead")
        await d.tap("find-look")
        assert d.routes()[-1].endswith("/look")
        await d.go(address(site))
        await d.tap("find-log")
        assert d.routes()[-1].startswith("/windfall/")
        d.check_alive()
    play(steps)


def test_where_it_stands_can_be_typed_later(bag):
    """A tree that was noted without a position gets one by hand, which can be undone; nonsense is told."""
    site = bag.tree("Mill lane", leave=GIVEN)

    async def steps():
        d = await bag.open(address(site), replies={**standing(9, 0), "get_current_position": denied})
        await d.tap("find-ask")
        assert "Type or paste the position, or leave it out." in d.text()
        await d.tap("find-place")
        assert "This is empty. Type or paste it as a map or a message gives it." in d.text()
        await d.type("find-position", "44 north or so")
        await d.tap("find-place")
        assert bag.book.site(site).position is None
        await d.type("find-position", "44.0123, -28.0057")
        await d.tap("find-place")
        now = bag.book.site(site)
        assert (now.position, now.facts.fix.source) == (Position(44.0123, -28.0057), "typed")
        assert (now.name, now.leave_on(DAY.date())) == ("Mill lane", "given")
        await d.tap("back")
        await d.tap("undo")
        assert bag.book.site(site).position is None
        d.check_alive()
    play(steps)


def test_a_wrong_place_can_be_typed_anew(bag):
    """Where a position is noted the field opens by a tap; without a fix what is noted of the place leads on."""
    site = bag.tree("Mill lane", position="44.012345, -28.005678", leave=GIVEN, note="behind the gate")

    async def steps():
        d = await bag.open(address(site), replies={**standing(9, 0), "get_current_position": denied})
        await d.tap("find-ask")
        assert "Until then go by what is noted of the place." in d.text()
        assert "Type or paste the position, or leave it out." not in d.text()
        assert d.find("find-position") == []
        await d.tap("find-by-hand")
        await d.type("find-position", "geo:44.02,-28.01;u=12")
        await d.tap("find-place")
        now = bag.book.site(site)
        assert (now.position, now.facts.fix.source, now.facts.fix.accuracy) == (Position(44.02, -28.01), "pasted", "12")
        assert d.find("find-position") == []
        d.check_alive()
    play(steps)
