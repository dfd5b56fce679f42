"""Opening a lot by its label: the short code is typed, or the code on the label photographed."""

from __future__ import annotations

import asyncio
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any

import flet as ft

from field_app.core.label_text import label_key
from field_app.core.lots import LotNow
from field_app.core.problems import Problem, Refused
from field_app.store import lots_like
from field_app.ui import parts, theme
from field_app.ui.guard import guarded, screen
from field_app.ui.lot_rows import lot_route, lot_row
from field_app.ui.services import Services, use_app, use_services
from field_app.words import begun, later, tr

__all__ = ["LotFind"]

_NO_LABEL = later("The code on it is of something else")
_NO_CODE = later("No code is to be read on it")


@dataclass(frozen=True, slots=True)
class _Seen:
    """What came of the last photograph: the lots on it, or what is said of it; busy: while it is being read."""

    busy: bool = False
    lots: tuple[LotNow, ...] = ()
    problems: tuple[Problem, ...] = ()


_NOTHING = _Seen()
_NO_PROBLEMS: tuple[Problem, ...] = ()


@screen
def LotFind() -> ft.View:
    """A field for the code, the lots that it may be of, and a button for the camera where codes can be read."""
    services, app, path = use_services(), use_app(), ft.use_view_path()
    typed, set_typed = ft.use_state("")
    wrong, set_wrong = ft.use_state(_NO_PROBLEMS)
    seen, set_seen = ft.use_state(_NOTHING)
    page, device, reader = ft.context.page, services.device, services.codes
    like = ft.use_memo(lambda: lots_like(services.book, typed), [typed, services.book.change_mark()])

    def change(text: str) -> None:
        set_typed(text)
        set_wrong(())

    def open_typed() -> None:
        try:
            lot = services.book.lot(typed)
        except Refused as refused:
            set_wrong(refused.problems if typed.strip() else (_nothing_typed(),))
            return
        page.navigate(lot_route(lot))

    async def picked(event: Any) -> None:
        files = [file for file in event.files if file.bytes]
        if not files:
            return
        set_seen(_Seen(busy=True))
        await asyncio.sleep(0)
        found = await _looked_at(services, files[0].bytes)
        set_seen(found)
        if len(found.lots) == 1:
            page.navigate(lot_route(found.lots[0]))

    if device is not None:
        device.on_picked = guarded(picked)
    can_scan = reader is not None and device is not None
    body: list[ft.Control] = [*_came(seen, app.today(), services.decimal)] if can_scan else []
    body.append(parts.card([
        parts.field(tr("Code on the label"), typed, change, "find-code", wrong, hint="904D", on_submit=open_typed,
                    helper=tr("The large signs. O and 0, I and 1 are the same, and so are small and capital letters.")),
        *([ft.Container(parts.outline_button(tr("Open this lot"), open_typed, "find-open"),
                        padding=ft.Padding.only(top=2 * theme.GRID))] if can_scan else [])]))
    if typed.strip():
        body += [lot_row(lot, app.today(), services.decimal) for lot in like]
    if not can_scan:
        body.append(parts.notice("advice", tr("Photographs of codes can't be read here"), tr(
            "The code in large signs does the same. To read photographs on a computer too, install the program "
            "as field-app[scan].")))
    return parts.page_view(path, tr("Which pail is it?"), tr("Open a lot by its label"), body, back="/lots",
                           dock=_dock(services, seen, can_scan, open_typed))


def _dock(services: Services, seen: _Seen, can_scan: bool, open_typed: Callable[[], None]) -> ft.Control:
    if not can_scan or services.device is None:
        return parts.main_button(tr("Open this lot"), open_typed, "find-open")
    # The camera's own app lies over the page for a while; that must not count as a change of mind.
    pick = ft.PickFiles(services.device.picker, with_data=True, file_type=ft.FilePickerFileType.IMAGE,
                        cancel_upload_on_window_blur=False)
    words = tr("Choose a photograph of it") if services.device.has_folders else tr("Photograph the label")
    return parts.main_button(words, _nothing, "find-scan", icon=ft.Icons.PHOTO_CAMERA_OUTLINED,
                             disabled=seen.busy, action=pick)


def _nothing() -> None:
    """The tap itself opens the camera on the device; the photograph arrives by itself."""


def _nothing_typed() -> Problem:
    return Problem("lot", tr("no code is typed yet"), tr("Type the large signs that stand on the label."))


async def _looked_at(services: Services, picture: bytes) -> _Seen:
    """What a photograph shows."""
    if services.codes is None:
        return _NOTHING
    try:
        texts = await services.codes.texts(picture)
    except Refused as refused:
        return _Seen(problems=refused.problems)
    if not texts:
        return _Seen(problems=(Problem("", tr(_NO_CODE), tr(
            "Go nearer, wipe the label, hold the device still and out of its own shadow; or type the code.")),))
    return _of(services, texts)


def _of(services: Services, texts: Sequence[str]) -> _Seen:
    lots, problems = [], []
    for text in texts:
        if not label_key(text).startswith("urn:"):
            problems.append(Problem("", tr(_NO_LABEL), tr(
                "It says “{text}”, which no label of a lot says. Photograph the label of the pail.",
                text=text if len(text) <= 60 else f"{text[:60]}…")))
            continue
        try:
            lots.append(services.book.lot(text))
        except Refused as refused:
            problems += refused.problems
    return _Seen(lots=tuple(lots), problems=tuple(problems))


def _came(seen: _Seen, today: Any, decimal: str) -> list[ft.Control]:
    if seen.busy:
        return [parts.busy_card(tr("Looking for a code"), "find-busy")]
    found: list[ft.Control] = []
    if len(seen.lots) > 1:
        found.append(parts.heading(tr("Several are on it")))
        found += [lot_row(lot, today, decimal) for lot in seen.lots]
    found += [parts.notice("refused", begun(one.what), one.fix, live=True, key="find-said")
              for one in seen.problems]
    return found
