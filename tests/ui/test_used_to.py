"""What follows the choice beside what is shown: what is typed, and on which side it is tapped; and what does not."""

import flet as ft
import pytest

from field_app.core.habits import PLAIN, Habits, go_by
from field_app.handover import PlannerOptions, export_files, planner_file
from field_app.store import keep_habits
from field_app.sync import group_bytes
from field_app.ui import parts
from tests.ui.driver import walk
from tests.ui.everywhere import SEASON, full_book
from tests.ui.fieldwork import FieldBag, play

US = Habits("us", decimal=",", dates="iso", clock="12", hand="left")


@pytest.fixture
def bag(tmp_path):
    bag = FieldBag(tmp_path)
    yield bag
    bag.book.close()


def test_files_for_programs_are_the_same_to_the_byte(tmp_path):
    """A lot file, a group file and the exports don't tell how the person who wrote them reads."""
    book = full_book(tmp_path / "demo")

    def files():
        lots, sites = book.lots(limit=-1), book.sites()
        return {"planner": planner_file(lots, sites, made=SEASON, options=PlannerOptions()),
                "group": group_bytes(book), **export_files(lots, sites, made=SEASON, decimal=".",
                                                           options=PlannerOptions())}

    go_by(PLAIN)
    plain = files()
    go_by(US)
    assert files() == plain
    book.close()


def test_a_bare_number_is_meant_in_the_unit_beside_it(bag):
    """In pounds and gallons the fields say so, and what is typed into them is kept as pounds and gallons."""
    site = bag.tree("Mill lane")
    lot = bag.lot(site)
    keep_habits(bag.book.log_book, US)

    async def step():
        d = await bag.open(f"/lots/{lot.code}/step")
        await d.tap("step-weighed")
        assert d.one("unit").content.controls[0].value == "lb"
        for key in ("2", "8", "decimal", "5"):
            await d.tap(f"key-{key}")
        assert "12,9 kg" not in d.text()
        await d.tap("step-save")
        d.check_alive()
    play(step)
    mass = bag.book.lot(lot.id).life.steps[-1].facts.mass
    assert (mass.value, mass.unit) == ("28.5", "lb")

    async def pot():
        d = await bag.open("/pots/new")
        assert "A number without a unit is gal, lb or in" in d.text()
        await d.type("name", "big enamel")
        await d.type("volume", "12,5")
        await d.type("diameter", "15")
        await d.tap("vessel-save")
        d.check_alive()
    play(pot)
    from field_app.store import vessels

    (one,) = vessels(bag.book)
    assert (one.facts.volume.unit, one.facts.diameter.unit) == ("gal-us", "in")
    assert one.litres == pytest.approx(12.5 * 3.785411784)  # NIST Handbook 44, Appendix C


def test_an_untouched_correction_changes_nothing(bag):
    """A load that was typed in kilograms and litres is told anew in pounds without a change."""
    site = bag.tree("Mill lane")
    lot = bag.lot(site, part="hull", gross="", tare="", pails="2", pail="12", fill="0.8")
    keep_habits(bag.book.log_book, US)

    async def walk_through():
        d = await bag.open(f"/lots/{lot.code}/correct")
        await d.tap("correct-save")
        d.check_alive()
    play(walk_through)
    assert bag.book.lot(lot.id).facts == lot.facts


@pytest.mark.parametrize(("hand", "beside"), [("right", ["1", "2", "3", "back"]), ("left", ["back", "1", "2", "3"])])
def test_keys_lie_at_the_thumb(hand, beside):
    """For the left hand the key that takes back, the sign and zero are on the left; the digits stay in their rows."""
    go_by(Habits(hand=hand))
    rows = [control for control in walk(parts.keypad(lambda _: None)) if hasattr(control, "controls")
            and str(getattr(control.controls[0], "key", "")).startswith("key-")]
    assert [key.key.removeprefix("key-") for key in rows[0].controls] == beside


@pytest.mark.parametrize(("hand", "order"), [("right", ["other", "main"]), ("left", ["main", "other"])])
def test_the_main_action_lies_at_the_thumb(hand, order):
    """Of two actions in the dock the main one is on the side of the thumb."""
    go_by(Habits(hand=hand))
    view = parts.page_view("/x", "here", "An answer", [], dock=[
        parts.outline_button("Other", lambda: None, "other", main=True),
        parts.main_button("Main", lambda: None, "main")])
    assert [control.key for control in walk(view) if control.key in ("other", "main")] == order


@pytest.mark.parametrize(("hand", "order"), [("right", ["low", "high", "unit"]), ("left", ["unit", "low", "high"])])
def test_fields_keep_their_order_and_only_a_button_moves_to_the_thumb(hand, order):
    """A range is read from low to high with either hand."""
    go_by(Habits(hand=hand))
    fields = [ft.Container(key="low", expand=1), ft.Container(key="high", expand=2), ft.Container(key="unit")]
    assert [one.key for one in parts.fields_at_thumb(fields)] == order


def test_a_time_of_the_12_hour_clock_is_read_as_it_is_pre_filled(bag):
    """Who says "earlier" with the 12-hour clock gets the time of it in the field, and may keep it as it stands."""
    site = bag.tree("Mill lane")
    before = bag.lot(site, days_ago=1)
    keep_habits(bag.book.log_book, US)

    async def walk_there():
        d = await bag.open(f"/windfall/{site.removeprefix('urn:uuid:')}")
        await d.tap("when")
        await d.tap("when-earlier")
        assert d.one("time").value == "3:00 pm"
        for key in ("2", "8"):
            await d.tap(f"key-{key}")
        await d.tap("save")
        d.check_alive()
    play(walk_there)
    (lot,) = (one for one in bag.book.lots() if one.id != before.id)
    assert lot.facts.gathered == "2026-10-08T15:00:00-02:00"
