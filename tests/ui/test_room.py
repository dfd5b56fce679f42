"""How screens use the room they have: low ones, large text, and when it changes."""

from __future__ import annotations

import flet as ft
import pytest

from field_app.core.habits import used_to
from field_app.ui import parts
from field_app.ui.guard import screen
from field_app.ui.room import ROOM, Room
from tests.ui.driver import Driver, walk
from tests.ui.fieldwork import play


def noop():
    """Does nothing."""


def shown(room):
    """A component that shows a screen with two actions in this room."""
    @screen
    def Screen():
        return parts.page_view(
            "/", "k", "t", [parts.with_way(parts.body("words"), parts.quiet_button("Undo", noop, "way"))],
            dock=[parts.outline_button("Other", noop, "other", main=True, expand=True),
                  parts.main_button("Main", noop, "main")], place="lots")

    @ft.component
    def Whole():
        return ROOM(room, Screen)
    return Whole


@pytest.mark.parametrize(("width", "height", "beside"), [
    (390, 844, False), (844, 390, True), (667, 375, True), (820, 1180, False), (1280, 720, False),
    (390, 350, False), (None, None, False)])
def test_only_a_wide_and_low_screen_has_its_actions_beside(width, height, beside):
    """A telephone held sideways is wide and low; one whose keyboard is open is only low."""
    assert Room(width, height).beside is beside


def test_a_screen_is_not_short_because_its_keyboard_is_open():
    """A small telephone is short; a larger one stays as it is while one types, and when it is turned and back."""
    assert Room(360, 640).short
    room = Room(390, 844)
    for size, short in (((390, 844), False), ((390, 520), False), ((844, 390), False), ((390, 844), False),
                        ((360, 640), True), ((360, 380), True), ((None, None), False)):
        room.fits(*size)
        assert room.short is short, size


@pytest.mark.parametrize("hand", ["right", "left"])
def test_on_a_low_screen_actions_and_places_stand_at_the_thumb(hand):
    """Sideways, what scrolls has the whole height; the main action is the lowest, and on the side of the hand."""
    async def sideways():
        d = await Driver.show(shown(Room(844, 390)))
        (row,) = [c for c in walk(d.top()) if isinstance(c, ft.Row) and c.vertical_alignment
                  == ft.CrossAxisAlignment.STRETCH]
        keys = [[c.key for c in walk(side) if isinstance(c.key, str)] for side in row.controls]
        side = keys[1] if hand == "right" else keys[0]
        assert side == ["other", "main", "place-today", "place-trees", "place-lots", "place-dye-day"]
        d.check_alive()
    with used_to(hand=hand):
        play(sideways)


def test_on_a_low_screen_the_keypad_stands_beside_what_it_writes():
    """Sideways, the keys are above the main action, not below the field, where one would have to scroll."""
    @screen
    def Screen():
        return parts.page_view("/", "k", "t", [parts.keypad(noop), parts.body("words")],
                               dock=parts.main_button("Main", noop, "main"))

    async def weighing():
        for size, place in (((844, 390), 1), ((390, 844), 0)):
            d = await Driver.show(ft.component(lambda size=size: ROOM(Room(*size), Screen)))
            keys = d.keys()
            assert keys.index("key-7") < keys.index("main")
            row = [c for c in walk(d.top()) if isinstance(c, ft.Row) and c.vertical_alignment
                   == ft.CrossAxisAlignment.STRETCH]
            assert len(row) == place
            assert not row or "key-7" in [c.key for c in walk(row[0].controls[1])]
    play(weighing)


def test_a_screen_is_drawn_again_when_it_is_turned():
    """Turned upright again, actions and places are below what scrolls."""
    async def turned():
        room = Room(844, 390)
        d = await Driver.show(shown(room))
        assert [c for c in walk(d.top()) if isinstance(c, ft.Container) and c.width == 248]
        room.fits(390, 844)
        await d.settle()
        assert not [c for c in walk(d.top()) if isinstance(c, ft.Container) and c.width == 248]
        keys = d.keys()
        assert [k for k in keys if k.startswith(("other", "main", "place"))] == [
            "other", "main", "place-today", "place-trees", "place-lots", "place-dye-day"]
    play(turned)


def test_two_actions_are_equally_high():
    """Where the words of one take two lines, the other is as high: both are buttons of one dock."""
    async def upright():
        d = await Driver.show(shown(Room(390, 844)))
        (dock,) = [c for c in walk(d.top()) if isinstance(c, ft.Row)
                   and [one.key for one in c.controls] == ["other", "main"]]
        assert (dock.intrinsic_height, dock.vertical_alignment) == (True, ft.CrossAxisAlignment.STRETCH)
        d.check_alive()
    play(upright)


def test_large_text_puts_actions_below_each_other():
    """As soon as the text is measured to be large, nothing shares its line with a button."""
    async def grown():
        d = await Driver.show(shown(Room(390, 844)))
        assert isinstance(d.one("main").expand, bool)
        (letter,) = [c for c in d.controls() if isinstance(c, ft.Text) and c.on_size_change]
        await d.fire(letter, "size_change", {"w": 18.0, "h": 32.0})
        await d.settle()
        for key in ("main", "other"):
            assert d.one(key).expand is None
        for row in (c for c in walk(d.top()) if isinstance(c, ft.Row)):
            held = {c.key for c in row.controls}
            assert not held & {"main", "other", "way"} or len(row.controls) == 1
        d.check_alive()
    play(grown)
