"""What is known of the trees, for screens: never waited for, and kept from one screen to the next."""

from __future__ import annotations

import asyncio
from dataclasses import dataclass

import flet as ft

from field_app.core.ripeness import Hopkins
from field_app.store import Timing, timings
from field_app.ui import parts, theme
from field_app.ui.guard import guarded
from field_app.ui.services import use_app, use_services
from field_app.words import tr

__all__ = ["Looked", "looking_line", "use_looked", "use_timings"]

#: When so few trees have changed, they are worked out on the spot, and nothing flickers [1].
_ON_THE_SPOT = 4
#: The line that tells how far it is moves so many times at most [1].
_MOVES = 8


@dataclass(frozen=True, slots=True)
class Looked:
    """What is known of all trees, the most ready first; share: how much is done while they are being looked at [1].

    While they are looked at for the first time, nothing is known; later it is what was known before.
    """

    known: tuple[Timing, ...]
    share: float | None = None

    @property
    def done(self) -> bool:
        """Whether all trees have been looked at."""
        return self.share is None


def use_looked() -> Looked:
    """All trees as far as they were looked at; the rest is worked out after the screen was drawn, in small steps."""
    services, app = use_services(), use_app()
    (turn, share), set_turn = ft.use_state((0, 0.0))
    sites, today, forecasts = app.sites, app.today(), app.forecasts
    missing = forecasts.missing(sites, today)
    if missing and len(missing) <= _ON_THE_SPOT and forecasts.begun:
        forecasts.at_once(missing, today)
        missing = ()

    async def work() -> None:
        if not missing:
            return
        await asyncio.sleep(0)  # what was drawn goes out first
        told = 0
        for done in forecasts.work(sites, today):
            if done * _MOVES >= (told + 1) * len(missing) and done < len(missing):
                told = done * _MOVES // len(missing)
                set_turn((turn, done / len(missing)))
            await asyncio.sleep(0)
        set_turn((turn + 1, 0.0))

    ft.use_effect(guarded(work), [sites, today, services.book.change_mark()])
    if missing:
        return Looked(tuple(one for one in forecasts.last if one.today == today), share)
    forecasts.last = forecasts.known(sites)
    return Looked(forecasts.last)


def looking_line(looked: Looked) -> list[ft.Control]:
    """A quiet line while the trees are being looked at, with how far it is; nothing once that is done."""
    if looked.done:
        return []
    bar = ft.ProgressBar(value=looked.share, color=theme.BARK, bgcolor=theme.TRACK, semantics_label=tr("how far"))
    line = ft.Column([parts.second(tr("Looking at the trees…")), bar], spacing=theme.GRID, key="looking",
                     horizontal_alignment=ft.CrossAxisAlignment.STRETCH)
    return [ft.Semantics(content=line, live_region=True)]


def use_timings(site: str, hopkins: Hopkins = "none") -> tuple[Timing, ...]:
    """What is known of one tree, worked out now if it has to be; hopkins: the law a person chose."""
    services, app = use_services(), use_app()
    book, today = services.book, app.today()
    held = tuple(one for one in app.sites if one.id == site)
    plain = hopkins == "none"
    by_law: tuple[Timing, ...] = ft.use_memo(
        lambda: () if plain else timings(book, sites=held, today=today, hopkins=hopkins),
        [site, hopkins, today, book.change_mark()])
    return app.forecasts.at_once(held, today) if plain else by_law
