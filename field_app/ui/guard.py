"""Nothing a person does, and nothing that can't be drawn, may kill the app.

Two things would: an exception while a component draws itself ends the session's update loop without a word,
and an exception in a handler is sent to the client as a crash.
So every route is a :func:`screen`, every smaller component a :func:`piece`, and every handler is
:func:`guarded`; all three log the fault and say in plain words what to do.
"""

from __future__ import annotations

import functools
import inspect
import logging
from collections.abc import Callable
from typing import Any, ParamSpec, TypeVar

import flet as ft

from field_app.core.habits import habits
from field_app.core.problems import FolderFault, Refused
from field_app.ui import theme
from field_app.ui.room import in_room
from field_app.ui.services import STATE
from field_app.words import tr

__all__ = ["error_view", "guarded", "in_plain_words", "piece", "say", "screen", "steady_screen"]

log = logging.getLogger(__name__)
P = ParamSpec("P")
R = TypeVar("R")


def in_plain_words(error: BaseException) -> tuple[str, str]:
    """What happened and what to do, as a heading and a text, for any exception."""
    if isinstance(error, Refused) and error.problems:
        first = error.problems[0]
        return f"{first.place}: {first.what}", " ".join(problem.fix for problem in error.problems)
    if isinstance(error, FolderFault):
        return error.problem.what, error.problem.fix
    return (tr("Something went wrong here"),
            tr("What you saved before is safe. Go back and try again; if it happens again, the reason is in the "
               "log ({fault}).", fault=type(error).__name__))


def say(text: str) -> None:
    """A short message at the foot of the screen."""
    ft.context.page.show_dialog(ft.SnackBar(
        ft.Text(text, size=theme.BODY, color=ft.Colors.ON_INVERSE_SURFACE),
        duration=6000, show_close_icon=True))


def _tell(error: Exception, handler: Callable[..., Any]) -> None:
    if not isinstance(error, Refused):
        log.error("a handler failed: %s", getattr(handler, "__qualname__", handler), exc_info=error)
    heading, text = in_plain_words(error)
    say(f"{heading}. {text}")


def guarded(handler: Callable[..., Any]) -> Callable[..., Any]:
    """The same handler, which turns any exception into a message and a line in the log."""
    takes_event = bool(inspect.signature(handler).parameters)

    if inspect.iscoroutinefunction(handler):
        async def later(event: Any = None) -> None:
            try:
                await (handler(event) if takes_event else handler())
            except Exception as error:  # whatever it is, the app stays alive and the log has it
                _tell(error, handler)
        return later

    def now(event: Any = None) -> None:
        try:
            if takes_event:
                handler(event)
            else:
                handler()
        except Exception as error:  # whatever it is, the app stays alive and the log has it
            _tell(error, handler)
    return now


def _panel(error: Exception) -> list[ft.Control]:
    heading, text = in_plain_words(error)
    return [
        ft.Semantics(header=True, live_region=True, content=ft.Text(
            heading, size=theme.TITLE, weight=ft.FontWeight.BOLD, color=theme.HULL)),
        ft.Text(text, size=theme.BODY, color=theme.HULL),
    ]


def error_view(error: Exception, way_on: str = "",
               on_way: Callable[..., Any] | None = None) -> ft.View:
    """A whole screen that says what happened, with one way on: back to Today, if not told otherwise."""
    def home() -> None:
        ft.context.page.navigate("/")

    button = ft.Button(
        ft.Text(way_on or tr("Back to Today"), size=theme.LEAD, weight=ft.FontWeight.BOLD), key="error-home",
        on_click=guarded(on_way or home), elevation=0, bgcolor=theme.ACTION, color=theme.ON_ACTION,
        style=ft.ButtonStyle(padding=theme.button_padding(theme.MAIN_TARGET, theme.LEAD, 24)))
    return ft.View(
        route=ft.use_view_path() or "/", bgcolor=theme.GROUND, padding=theme.MARGIN, spacing=theme.GAP,
        controls=[ft.SafeArea(ft.Column([*_panel(error), button], spacing=theme.GAP))])


def screen(draw: Callable[P, ft.View]) -> Callable[P, Any]:
    """A component for a route, which begins anew for another address, another language or other measures.

    What a screen worked out and keeps is of the thing, and in the words, of before; so nothing of it is kept then.
    """
    inside = steady_screen(draw)

    @functools.wraps(draw)
    def begun(*args: P.args, **kwargs: P.kwargs) -> Any:
        ft.use_context(STATE)  # it is drawn again when the state changes, and with it what the person is used to
        return inside(*args, **{**kwargs, "key": f"{ft.use_view_path()} {habits()}"})

    component: Callable[P, Any] = ft.component(begun)
    return component


def steady_screen(draw: Callable[P, ft.View]) -> Callable[..., Any]:
    """A component for a route: if it can't be drawn, a panel says so and leads back to Today.

    It stays where it is, scrolled as it was, whatever is chosen; so it may keep nothing that is told in words.
    """
    @functools.wraps(draw)
    def drawn(*args: P.args, **kwargs: P.kwargs) -> ft.View:
        try:
            with in_room():
                return draw(*args, **kwargs)
        except Exception as error:  # an exception here would end the update loop for good
            if not isinstance(error, Refused):
                log.error("a screen could not be drawn: %s", draw.__qualname__, exc_info=error)
            return error_view(error)

    component: Callable[..., Any] = ft.component(drawn)
    return component


def piece(draw: Callable[P, Any]) -> Callable[P, Any]:
    """A component inside a screen: if it can't be drawn, the rest of the screen stays."""
    @functools.wraps(draw)
    def drawn(*args: P.args, **kwargs: P.kwargs) -> Any:
        try:
            with in_room():
                return draw(*args, **kwargs)
        except Exception as error:  # an exception here would end the update loop for good
            log.error("a part of a screen could not be drawn: %s", draw.__qualname__, exc_info=error)
            return ft.Column(_panel(error), spacing=theme.GRID)

    component: Callable[P, Any] = ft.component(drawn)
    return component
