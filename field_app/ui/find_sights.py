"""The fixes of a screen that leads to a tree: asked for by a tap, or again and again while one is led."""

from __future__ import annotations

import asyncio
from collections.abc import Callable, Coroutine
from dataclasses import dataclass
from typing import Any

import flet as ft

from field_app.core.problems import Problem, Refused
from field_app.ui.device import Sight
from field_app.ui.refusals import NO_PROBLEMS
from field_app.ui.services import use_app, use_services

__all__ = ["EVERY", "Sights", "use_sights"]

#: So long between two fixes while one is led [s].
EVERY = 2.0
_NO_SIGHT: Sight | None = None


@dataclass(frozen=True, slots=True)
class Sights:
    """The last sight, whether the device is being asked, whether one is led, and what stands in the way.

    ask: asks once and gives the sight, or None; lead: begins to ask again and again, or stops.
    """

    sight: Sight | None
    asking: bool
    led: bool
    problems: tuple[Problem, ...]
    ask: Callable[[], Coroutine[Any, Any, Sight | None]]
    lead: Callable[[], Coroutine[Any, Any, None]]


class _Leading:
    """Whether the screen still wants fixes; it outlives a drawing, and ends with the screen."""

    on = False


def use_sights() -> Sights:
    """The fixes of this screen, inside its component."""
    services, state = use_services(), use_app()
    sight, set_sight = ft.use_state(_NO_SIGHT)
    asking, set_asking = ft.use_state(False)
    led, set_led = ft.use_state(False)
    problems, set_problems = ft.use_state(NO_PROBLEMS)
    leading: _Leading = ft.use_memo(_Leading, [])

    async def ask() -> Sight | None:
        if services.device is None:
            return None
        set_asking(True)
        set_problems(NO_PROBLEMS)
        try:
            found = await services.device.sight()
        except Refused as refused:
            set_problems(refused.problems)
            return None
        finally:
            set_asking(False)
        set_sight(found)
        state.found(found.fix)
        return found

    async def lead() -> None:
        if leading.on:
            leading.on = False
            return
        leading.on = True
        set_led(True)
        while leading.on and await ask() is not None:
            await asyncio.sleep(EVERY)
        leading.on = False
        set_led(False)

    def stop() -> None:
        leading.on = False

    ft.use_effect(lambda: None, [], stop)
    return Sights(sight, asking, led, problems, ask, lead)
