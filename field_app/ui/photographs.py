"""The photographs of a lot or a look: small ones in a row, and a way to add more, which is never in the way."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from types import MappingProxyType
from typing import Any

import flet as ft

from field_app.core.problems import FolderFault, Problem, Refused
from field_app.store import Photograph
from field_app.ui import parts, theme
from field_app.ui.chosen import add_button, choose, not_kept_notice, wait_for, waiting
from field_app.ui.guard import guarded, piece
from field_app.ui.services import Services, use_app, use_services
from field_app.ui.state import AppState
from field_app.words import tr, tr_n

__all__ = ["PhotographRow", "photograph_said"]


@dataclass(frozen=True, slots=True)
class _Seen:
    """What is shown beside what the book says: bytes by name on the shelf, faults by name, what was refused.

    busy: how many are being kept [1]; turn: grows when the book says something else.
    """

    data: Mapping[str, bytes] = field(default_factory=dict)
    wrong: Mapping[str, str] = field(default_factory=dict)
    refused: tuple[Problem, ...] = ()
    busy: int = 0
    turn: int = 0


def photograph_said(number: int, count: int, of: str) -> str:
    """What a screen reader says of a photograph; of: what it shows."""
    if count == 1:
        return tr("photograph of {thing}", thing=of)
    return tr("photograph {n} of {count} of {thing}", n=number, count=count, thing=of)


@dataclass(frozen=True)
class _Desk:
    """The verbs of one row, for one drawing of it."""

    thing: str
    services: Services
    app: AppState
    seen: _Seen
    show: Callable[[Any], None]

    async def read(self) -> None:
        """Fetch the bytes of those that are shown."""
        album = self.services.book.album
        for one in album.of(self.thing):
            if one.name in self.seen.data:
                continue
            try:
                self._told(data={one.name: await album.small(one)})
            except Refused as refused:
                self._told(wrong={one.name: refused.problems[0].what})

    def _told(self, *, data: Mapping[str, bytes] = MappingProxyType({}),
              wrong: Mapping[str, str] = MappingProxyType({})) -> None:
        def more(before: _Seen) -> _Seen:
            return replace(before, data={**before.data, **data}, wrong={**before.wrong, **wrong})

        self.show(more)

    async def keep_waiting(self) -> None:
        """Keep those that are picked; what can't be kept for want of room waits on."""
        chosen = waiting(self.app, self.thing)
        if not chosen or self.seen.busy:
            return
        self.show(lambda before: replace(before, busy=len(chosen)))
        refused: list[Problem] = []
        for one in chosen:
            try:
                await self.services.book.album.add(self.thing, one.data, one.name)
            except Refused as fault:
                refused += fault.problems
            except FolderFault as fault:
                refused.append(fault.problem)
                break  # nor can the others be kept; they wait, and can be tried again
            wait_for(self.app, self.thing, (), done=one)
        self.show(lambda before: replace(before, busy=0, refused=(*before.refused, *refused)))
        self.app.refresh()

    async def picked(self, event: Any) -> None:
        """Keep what was picked."""
        good, wrong = choose(event.files)
        self.show(lambda before: replace(before, refused=wrong))
        wait_for(self.app, self.thing, good)
        await self.keep_waiting()

    def bring_back(self, gone: Sequence[Photograph]) -> None:
        """Bring back those that were taken away."""
        for one in gone:
            self.services.book.album.bring_back(one)
        self.show(lambda before: replace(before, turn=before.turn + 1))
        self.app.refresh()

    async def again(self) -> None:
        """Try once more."""
        self.show(lambda before: replace(before, refused=()))
        await self.keep_waiting()


@piece
def PhotographRow(thing: str, called: str, route: str, key: str, *, can_add: bool = True) -> ft.Control:
    """The photographs of one thing.

    thing: its id; called: what it is called, as "lot ABCD"; route: of the screen above that of one photograph;
    key: the beginning of all keys here.
    """
    services, app = use_services(), use_app()
    seen, set_seen = ft.use_state(_Seen())
    desk, album = _Desk(thing, services, app, seen, set_seen), services.book.album
    shown, gone = album.of(thing), album.taken_away(thing)
    ft.use_effect(guarded(desk.read), [tuple(one.name for one in shown)])
    ft.use_effect(guarded(desk.keep_waiting), [thing])
    rows: list[ft.Control] = []
    if shown:
        rows.append(parts.picture_row([
            parts.picture_button(seen.data.get(one.name), photograph_said(number, len(shown), called),
                                 parts.going(f"{route}/photograph/{one.sha256[:16]}"), f"{key}-{one.sha256[:8]}",
                                 wrong=seen.wrong.get(one.name, ""))
            for number, one in enumerate(shown, 1)]))
    if seen.busy:
        rows.append(parts.second(tr_n("Keeping {n} photograph …", "Keeping {n} photographs …", seen.busy)))
    rows += not_kept_notice(seen.refused, key, [ft.Row([parts.outline_button(
        tr("Try again"), desk.again, f"{key}-again")])] if waiting(app, thing) and not seen.busy else ())
    rows += _gone(gone, desk, key)
    if can_add:
        rows.append(ft.Row([add_button(services, desk.picked, f"{key}-add", more=bool(shown))], wrap=True))
    return ft.Column(rows, spacing=2 * theme.GRID, horizontal_alignment=ft.CrossAxisAlignment.STRETCH)


def _gone(gone: Sequence[Photograph], desk: _Desk, key: str) -> list[ft.Control]:
    if not gone:
        return []
    return [parts.with_way(parts.second(tr_n("{n} taken away. For a day it can be brought back.",
                                             "{n} taken away. For a day they can be brought back.", len(gone))),
                           parts.quiet_button(tr("Bring back"), lambda: desk.bring_back(gone), f"{key}-back"))]
