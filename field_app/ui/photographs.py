"""The photographs of a lot or a look: small ones in a row, and a way to add more, which is never in the way."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from types import MappingProxyType
from typing import Any

import flet as ft

from field_app.core.pictures import read_picture
from field_app.core.problems import FolderFault, Problem, Refused, refuse
from field_app.store import Photograph
from field_app.ui import drafts, parts, theme
from field_app.ui.guard import guarded, piece
from field_app.ui.services import Services, use_app, use_services
from field_app.ui.state import AppState
from field_app.words import tr, tr_n

__all__ = ["Chosen", "PhotographRow", "add_button", "choose", "photograph_said", "take_pictures", "wait_for"]


@dataclass(frozen=True, slots=True)
class Chosen:
    """A photograph as a person picked it, not kept yet."""

    name: str
    data: bytes


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


def choose(files: Sequence[Any]) -> tuple[tuple[Chosen, ...], tuple[Problem, ...]]:
    """Those of the files that a person picked that can be kept, and what is wrong with the others."""
    good: list[Chosen] = []
    wrong: list[Problem] = []
    for file in files:
        try:
            if file.bytes is None:
                raise refuse(file.name, tr("was not given by the device"), tr("Pick it again."))
            read_picture(file.bytes, file.name)
            good.append(Chosen(file.name, file.bytes))
        except Refused as refused:
            wrong += refused.problems
    return tuple(good), tuple(wrong)


def add_button(services: Services, on_picked: Callable[[Any], Any], key: str, *, more: bool) -> ft.Control:
    """The button that opens the camera or the pictures; on_picked: gets the event of the picker."""
    device = services.device

    def listen() -> None:
        if device is not None:
            device.on_picked = guarded(on_picked)

    # The picker is one for the page's life. What it hands over belongs to the button that was tapped last; a test and
    # an old client pick without a tap.
    listen()
    words = tr("Add another") if more else tr("Add a photograph")
    return parts.outline_button(words, listen, key, icon=ft.Icons.ADD_A_PHOTO_OUTLINED, disabled=device is None,
                                action=take_pictures(services))


def take_pictures(services: Services) -> Any:
    """What a tap does on the device: it offers the pictures there are and, on a phone, the camera."""
    if services.device is None:
        return None
    return ft.PickFiles(services.device.picker, with_data=True, file_type=ft.FilePickerFileType.IMAGE,
                        allow_multiple=True)


def _waiting(thing: str) -> str:
    return f"photographs of {thing}"


def wait_for(app: AppState, thing: str, chosen: Sequence[Chosen]) -> None:
    """Let these be kept as soon as the photographs of this thing are drawn."""
    if chosen:
        drafts.keep(app, _waiting(thing), (*(drafts.kept(app, _waiting(thing)) or ()), *chosen))


@dataclass(frozen=True)
class _Desk:
    """The verbs of one row, for one drawing of it."""

    thing: str
    services: Services
    app: AppState
    seen: _Seen
    show: Callable[[Any], None]

    @property
    def waiting(self) -> tuple[Chosen, ...]:
        """Those that are picked and not kept yet."""
        return drafts.kept(self.app, _waiting(self.thing)) or ()

    async def read(self) -> None:
        """Fetch the bytes of those that are shown."""
        album = self.services.book.album
        for one in album.of(self.thing):
            if one.name in self.seen.data:
                continue
            try:
                self._told(data={one.name: await album.read(one)})
            except Refused as refused:
                self._told(wrong={one.name: refused.problems[0].what})

    def _told(self, *, data: Mapping[str, bytes] = MappingProxyType({}),
              wrong: Mapping[str, str] = MappingProxyType({})) -> None:
        def more(before: _Seen) -> _Seen:
            return replace(before, data={**before.data, **data}, wrong={**before.wrong, **wrong})

        self.show(more)

    async def keep_waiting(self) -> None:
        """Keep those that are picked; what can't be kept for want of room waits on."""
        chosen = self.waiting
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
            drafts.keep(self.app, _waiting(self.thing), tuple(other for other in self.waiting if other is not one))
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
    rows += _refused(seen.refused, bool(desk.waiting) and not seen.busy, desk.again, key)
    rows += _gone(gone, desk, key)
    if can_add:
        rows.append(ft.Row([add_button(services, desk.picked, f"{key}-add", more=bool(shown))], wrap=True))
    return ft.Column(rows, spacing=2 * theme.GRID, horizontal_alignment=ft.CrossAxisAlignment.STRETCH)


def _refused(problems: Sequence[Problem], can_try: bool, again: Callable[..., Any], key: str) -> list[ft.Control]:
    if not problems:
        return []
    more: list[ft.Control] = []
    if can_try:
        more.append(ft.Row([parts.outline_button(tr("Try again"), again, f"{key}-again")]))
    title = tr_n("A photograph was not kept", "{n} photographs were not kept", len(problems))
    return [parts.notice("refused", title, " ".join(str(problem) for problem in problems), live=True,
                         key=f"{key}-refused", controls=more)]


def _gone(gone: Sequence[Photograph], desk: _Desk, key: str) -> list[ft.Control]:
    if not gone:
        return []
    return [ft.Row([parts.second(tr_n("{n} taken away. For a day it can be brought back.",
                                      "{n} taken away. For a day they can be brought back.", len(gone)), expand=True),
                    parts.quiet_button(tr("Bring back"), lambda: desk.bring_back(gone), f"{key}-back")],
                   spacing=theme.GRID)]
