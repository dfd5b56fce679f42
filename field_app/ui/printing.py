"""Printing: a PDF is made, given to the device to save, and what came of it is said."""

from __future__ import annotations

import asyncio
import logging
from collections.abc import Awaitable, Callable
from dataclasses import dataclass
from typing import Any

import flet as ft

from field_app.core.problems import Refused
from field_app.paper import PAPERS, Paper
from field_app.ui import parts, theme
from field_app.ui.guard import guarded, piece
from field_app.ui.hand_over_choice import size_words
from field_app.ui.refusals import headline
from field_app.ui.services import use_services
from field_app.words import tr

__all__ = ["PaperButton", "PrintButton", "Printed", "print_out", "said", "use_paper"]

log = logging.getLogger(__name__)


@dataclass(frozen=True, slots=True)
class Printed:
    """What came of the last try."""

    kind: parts.Notice
    title: str
    words: str


_NOTHING: Printed | None = None
_A4: Paper = "A4"
#: The name of the setting.
_PAPER = "paper"


async def print_out(device: Any, name: str, make: Callable[[], bytes]) -> Printed:
    """Make a PDF and save it through the device."""
    if device is None:
        return Printed("refused", tr("This device can't save files"), tr("Open the field book on another one."))
    try:
        # The library that makes it takes a moment to start; the screen shows meanwhile that it was tapped.
        await asyncio.sleep(0)
        data = make()
        kept = await device.save_file(name, data)
    except Refused as refused:
        problem = refused.problems[0]
        return Printed("refused", headline(problem), problem.fix)
    except (RuntimeError, OSError, TimeoutError) as error:
        log.warning("%s was not saved: %s", name, error)
        return Printed("refused", tr("It could not be saved"),
                       tr("The device said: {error}. Make room or choose another folder, and try again.", error=error))
    if not kept:
        return Printed("caution", tr("Nothing was written"), tr("The saving was stopped."))
    return Printed("good", f"{name}, {size_words(len(data))}",
                   tr("Print it at 100 %, not fitted to the page. In a browser it lies with the downloads."))


def said(printed: Printed | None, key: str) -> list[ft.Control]:
    """The words for it, or nothing."""
    return [] if printed is None else [parts.notice(printed.kind, printed.title, printed.words, live=True, key=key)]


@piece
def PaperButton(words: str, name: str, make: Callable[[Paper], bytes], key: str, *, folded: bool = False
                ) -> ft.Control:
    """The same for sheets of the paper that this person has, which is remembered on the device.

    folded: whether it is one line at first, that opens at a tap.
    """
    services = use_services()
    opened, set_opened = ft.use_state(False)
    paper, choose = use_paper()
    printed, set_printed = ft.use_state(_NOTHING)

    async def go() -> None:
        set_printed(await print_out(services.device, name, lambda: make(paper)))

    inside: list[ft.Control] = [
        parts.chips([(one, one) for one in PAPERS], paper, choose, f"{key}-paper"),
        ft.Container(ft.Row([parts.outline_button(words, go, key, icon=ft.Icons.PRINT_OUTLINED, expand=True)]),
                     padding=ft.Padding.only(top=2 * theme.GRID)),
        *said(printed, f"{key}-said")]
    if folded:
        return parts.fold(tr("On paper"), paper, opened=opened, on_toggle=lambda: set_opened(not opened),
                          key=f"{key}-fold", controls=inside)
    return parts.card([parts.body(tr("On paper"), bold=True), *inside])


def use_paper() -> tuple[Paper, Callable[[str], Awaitable[None]]]:
    """The size of paper chosen last on this device, and what chooses another one, inside a component."""
    services = use_services()
    paper, set_paper = ft.use_state(_A4)

    async def recall() -> None:
        if services.device is not None:
            kept = await services.device.remembered(_PAPER)
            set_paper(next((one for one in PAPERS if one == kept), _A4))

    async def choose(picked: str) -> None:
        set_paper(next(one for one in PAPERS if one == picked))
        if services.device is not None:
            await services.device.remember(_PAPER, picked)

    ft.use_effect(guarded(recall), [])
    return next(one for one in PAPERS if one == paper), choose


@piece
def PrintButton(words: str, name: str, make: Callable[[], bytes], key: str) -> ft.Control:
    """A button that makes one PDF, and what came of it below."""
    services = use_services()
    printed, set_printed = ft.use_state(_NOTHING)

    async def go() -> None:
        set_printed(await print_out(services.device, name, make))

    return ft.Column([ft.Row([parts.outline_button(words, go, key, icon=ft.Icons.PRINT_OUTLINED, expand=True)]),
                      *said(printed, f"{key}-said")], horizontal_alignment=ft.CrossAxisAlignment.STRETCH)
