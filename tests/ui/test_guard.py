"""Nothing that fails in a screen or a handler ends the app, and each failure is said in plain words."""

import asyncio
import logging

import flet as ft
import pytest

from field_app.core.problems import NoRoom, Problem, refuse
from field_app.ui import parts
from field_app.ui.guard import guarded, in_plain_words, piece, screen
from tests.ui.driver import Driver
from tests.ui.fieldwork import play


def full_disk() -> NoRoom:
    return NoRoom(Problem("data folder", "there is no room left", "Make room on this device and save again."))


@pytest.mark.parametrize(("error", "heading", "advice"), [
    (refuse("lot", "no lot has the code 'ZZZZ'", "List the lots."), "lot: no lot has the code 'ZZZZ'",
     "List the lots."),
    (full_disk(), "there is no room left", "Make room on this device and save again."),
    (ZeroDivisionError("division by zero"), "Something went wrong here", "What you saved before is safe."),
])
def test_any_exception_has_plain_words_and_a_way_on(error, heading, advice):
    """What is refused, a folder at fault and a fault of ours each say what happened and what to do."""
    said, todo = in_plain_words(error)
    assert said == heading
    assert todo.startswith(advice)


def test_a_fault_of_ours_shows_no_inner_words():
    """A fault of ours is not explained by the words of the language it is written in."""
    assert "division by zero" not in " ".join(in_plain_words(ZeroDivisionError("division by zero")))


def test_a_screen_that_cannot_be_drawn_shows_a_panel_and_leads_back(caplog):
    """It says so, is logged, leads back to Today, and draws again as soon as it can."""
    @screen
    def Fragile():
        broken, set_broken = ft.use_state(False)
        if broken:
            raise KeyError("walnut")
        return parts.page_view("/", "now", "Whole", [
            parts.quiet_button("break", lambda: set_broken(True), "break")], place="today")

    async def walk():
        d = await Driver.show(Fragile)
        await d.tap("break")
        d.check_alive()
        assert "Something went wrong here" in d.texts()
        await d.tap("error-home")
        assert [call["route"] for call in d.calls("push_route")] == ["/"]
        d.check_alive()

    with caplog.at_level(logging.ERROR):
        play(walk)
    assert any("Fragile" in record.getMessage() and record.exc_info for record in caplog.records)


def test_without_the_guard_the_same_fault_ends_the_app():
    """The guard is needed: a bare component that raises stops every later drawing."""
    @ft.component
    def Bare():
        broken, set_broken = ft.use_state(False)
        if broken:
            raise KeyError("walnut")
        return ft.View(route="/", controls=[ft.Button("x", key="break", on_click=lambda: set_broken(True))])

    async def walk():
        d = await Driver.show(Bare)
        await d.tap("break")
        with pytest.raises(AssertionError):
            d.check_alive()
    play(walk)


def test_a_piece_that_cannot_be_drawn_leaves_the_rest_of_its_screen(caplog):
    """The screen around it stays, and can be used."""
    @piece
    def Part():
        raise ValueError("no part")

    @screen
    def Whole():
        return parts.page_view("/", "now", "Still here", [Part(), parts.body("the rest")], place="today")

    async def walk():
        d = await Driver.show(Whole)
        assert d.title() == "Still here"
        assert {"Something went wrong here", "the rest"} <= set(d.texts())
        d.check_alive()
    play(walk)
    assert any("Part" in record.getMessage() for record in caplog.records)


def with_handler(handler):
    @screen
    def Screen():
        return parts.page_view("/", "now", "One button", [parts.outline_button("do", handler, "do")], place="today")
    return Screen


def raising(error):
    def handler():
        raise error
    return handler


def raising_later(error):
    async def handler():
        await asyncio.sleep(0)
        raise error
    return handler


@pytest.mark.parametrize("make", [raising, raising_later], ids=["at once", "later"])
def test_a_handler_that_fails_says_so_and_the_app_lives(make, caplog):
    """A fault of ours in a handler is told at the foot of the screen, logged, and ends nothing."""
    async def walk():
        d = await Driver.show(with_handler(make(RuntimeError("inner words"))))
        await d.tap("do")
        d.check_alive()
        assert "Something went wrong here" in d.snack()
        assert "inner words" not in d.snack()
        assert d.title() == "One button"
    with caplog.at_level(logging.ERROR):
        play(walk)
    assert [record.exc_info[0] for record in caplog.records if record.exc_info] == [RuntimeError]


def test_a_handler_that_is_refused_says_what_to_mend_and_logs_no_fault(caplog):
    """What a person can mend is no fault of the program."""
    async def walk():
        d = await Driver.show(with_handler(raising(refuse("tare", "is more than the gross", "Swap them."))))
        await d.tap("do")
        assert d.snack() == "tare: is more than the gross. Swap them."
        d.check_alive()
    with caplog.at_level(logging.ERROR):
        play(walk)
    assert not caplog.records


def test_a_guarded_handler_gets_the_event_if_it_takes_one():
    """A handler may take the event or not, and is called with what it takes."""
    got = []
    guarded(got.append)("tap")
    guarded(lambda: got.append("nothing"))("tap")
    assert got == ["tap", "nothing"]
