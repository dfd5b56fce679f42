"""Where it fell: places, the device's position with all its refusals, and leave to gather."""

import asyncio

import pytest

from field_app.core.gather import LeaveForm
from tests.ui.driver import Silent
from tests.ui.fieldwork import FieldBag, denied, fix_at, play
from tests.ui.windfall_walk import MILL, weigh


@pytest.fixture
def bag(tmp_path):
    bag = FieldBag(tmp_path)
    yield bag
    bag.book.close()


def test_the_first_load_of_all_adds_its_place(bag):
    """On an empty book: a name, a pasted position, the material and the weight; place and lot are both kept."""
    async def walk():
        d = await bag.open("/windfall")
        await d.type("name", "Mill lane")
        await d.type("position", "geo:44.01234,-28.00567")
        await d.tap("material-black-walnut")
        await d.tap("ripe-fallen")
        await weigh(d, "14.2")
        await d.tap("leave-fold")
        await d.tap("leave-given")
        await d.type("leave-by", "the miller")
        await d.type("leave-until", "2026-11-15")
        await d.type("leave-limit", "60 kg")
        await d.tap("save")
        d.check_alive()
        site, lot = bag.book.site("Mill lane"), bag.book.lots()[0]
        assert (site.position.lat, site.position.lon) == (44.01234, -28.00567)
        assert (site.leave.by, site.leave.limit.value) == ("the miller", "60")
        assert site.facts.materials == ("black-walnut",)
        assert (lot.facts.site, lot.facts.part) == (site.id, "whole-fruit")
    play(walk)


def test_places_come_nearest_first_once_the_device_was_asked(bag):
    """The permission is asked by the tap and not before; then distances are told and the nearest is first."""
    bag.tree("Old orchard", position="44.01502, -28.00113")
    bag.tree("Mill lane", position="44.01234, -28.00567")

    async def walk():
        d = await bag.open("/windfall", replies=fix_at(44.0123, -28.0057))
        assert not d.calls("request_permission")
        await d.tap("locate")
        assert len(d.calls("request_permission")) == 1
        chips = [text for text in d.texts() if text.startswith(("Mill lane", "Old orchard"))]
        assert [chip.split(" · ")[0] for chip in chips] == ["Mill lane", "Old orchard"]
        assert chips[0].endswith(" m")
        d.check_alive()
    play(walk)


@pytest.mark.parametrize(("replies", "says"), [
    ({"is_location_service_enabled": True, "request_permission": "denied"}, "The position was not allowed"),
    ({"is_location_service_enabled": False}, "The device's position is switched off"),
    ({**fix_at(0, 0), "get_current_position": denied}, "The position was not allowed"),
])
def test_a_device_that_refuses_is_no_dead_end(bag, replies, says):
    """It is said in plain words with a way on, and the load is saved without a position."""
    mill = bag.tree("Mill lane")

    async def walk():
        d = await bag.open("/windfall", replies=replies)
        await d.tap("locate")
        assert any(text.startswith(says) and "leave it out" in text for text in d.texts())
        await d.tap(f"site-{mill}")
        await d.tap("material-black-walnut")
        await weigh(d, "5")
        await d.tap("save")
        assert bag.book.lots()[0].position is None
        d.check_alive()
    play(walk)


def test_while_the_device_is_asked_the_screen_can_be_used(bag):
    """A device that does not answer shows that it is being asked, and everything else works meanwhile."""
    mill = bag.tree("Mill lane", **MILL)

    async def walk():
        d = await bag.open("/windfall", replies={**fix_at(0, 0), "get_current_position": Silent()})
        task = asyncio.create_task(d.session.dispatch_event(d.one("locate")._i, "click", None))
        await d.settle()
        assert any(text.startswith("Looking for where you are") for text in d.texts())
        await d.tap(f"site-{mill}")
        await weigh(d, "5")
        await d.tap("save")
        assert bag.book.count("lot") == 1
        task.cancel()
        d.check_alive()
    play(walk)


def test_a_rough_fix_is_told_and_can_be_kept(bag):
    """Its radius is named, it is said to be too rough, and it is saved with its radius if one keeps it."""
    async def walk():
        d = await bag.open("/windfall", replies=fix_at(44.0123, -28.0057, 120.0))
        await d.tap("position-here")
        assert any("Too rough" in text for text in d.texts())
        assert any("± 120 m" in text for text in d.texts())
        await d.type("name", "Mill lane")
        await d.tap("material-black-walnut")
        await weigh(d, "5")
        await d.tap("save")
        fix = bag.book.lots()[0].facts.fix
        assert (fix.source, fix.accuracy, fix.meaning) == ("device", "120", "68 %")
        d.check_alive()
    play(walk)


def test_a_place_far_from_where_one_stands_is_asked_about(bag):
    """The distance is told, in case the wrong place was tapped; it can still be saved."""
    marsh = bag.tree("Heron marsh", position="44.02140, -28.01388")

    async def walk():
        d = await bag.open("/windfall", replies=fix_at(44.0123, -28.0057))
        await d.tap("locate")
        await d.tap(f"site-{marsh}")
        assert "You are 1.2 km from Heron marsh" in d.texts()
        d.check_alive()
    play(walk)


@pytest.mark.parametrize(("leave", "says"), [
    (None, "Leave not asked yet"),
    (LeaveForm("refused", by="the school"), "Leave refused by the school: don't gather here"),
    (LeaveForm("given", by="the sawyer", until="2026-10-07"), "Leave by the sawyer ended Wed 7 Oct: ask again"),
])
def test_missing_leave_is_told_before_one_gathers(bag, leave, says):
    """It stands in sight as soon as the place is chosen, and goes when leave is noted in place."""
    site = bag.tree("Schoolyard", materials=("black-walnut",), leave=leave)

    async def walk():
        d = await bag.open(f"/windfall/{site}")
        assert d.find("leave-notice")
        assert says in d.texts()
        await d.tap("leave-fold")
        await d.tap("leave-given")
        assert not d.find("leave-notice")
        await weigh(d, "5")
        await d.tap("save")
        assert bag.book.site(site).leave.state == "given"
        d.check_alive()
    play(walk)


def test_leave_that_is_left_alone_is_not_noted_again(bag):
    """Saving a load does not touch the leave of its place."""
    mill = bag.tree("Mill lane", **MILL)
    before = bag.book.site(mill).leave_heads

    async def walk():
        d = await bag.open(f"/windfall/{mill}")
        await weigh(d, "5")
        await d.tap("save")
        assert bag.book.site(mill).leave_heads == before
    play(walk)


def test_an_address_with_an_unknown_place_begins_without_one(bag):
    """A link to a place that is not here asks where it was, and does not fail."""
    bag.tree("Mill lane", **MILL)

    async def walk():
        d = await bag.open("/windfall/nowhere")
        assert d.title() == "What fell"
        assert "choose" in d.texts()
        d.check_alive()
    play(walk)
