"""Photographs that are picked before there is anything to keep them of: as one logs a load, or notes a look."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any

import flet as ft

from field_app.core.pictures import read_picture
from field_app.core.problems import Problem, Refused, refuse
from field_app.ui import drafts, parts, theme
from field_app.ui.guard import guarded, piece
from field_app.ui.services import Services, use_services
from field_app.ui.state import AppState
from field_app.words import tr, tr_n

__all__ = ["Chosen", "ChosenPictures", "add_button", "choose", "chosen_words", "not_kept_notice", "wait_for", "waiting"]


@dataclass(frozen=True, slots=True)
class Chosen:
    """A photograph as a person picked it, not kept yet."""

    name: str
    data: bytes


_NO_PROBLEMS: tuple[Problem, ...] = ()


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

    # The picker is one for the page's life; what it hands over belongs to the button that was tapped last.
    listen()
    pick = None
    if device is not None:
        # The camera's own app lies over the page for a while; that must not count as a change of mind.
        pick = ft.PickFiles(device.picker, with_data=True, file_type=ft.FilePickerFileType.IMAGE, allow_multiple=True,
                            cancel_upload_on_window_blur=False)
    return parts.outline_button(tr("Add another") if more else tr("Add a photograph"), listen, key,
                                icon=ft.Icons.ADD_A_PHOTO_OUTLINED, disabled=device is None, action=pick)


def not_kept_notice(problems: Sequence[Problem], key: str, more: Sequence[ft.Control] = ()) -> list[ft.Control]:
    """What was picked and can't be kept, and why; nothing, if there is no problem."""
    if not problems:
        return []
    title = tr_n("A photograph was not kept", "{n} photographs were not kept", len(problems))
    return [parts.notice("refused", title, " ".join(str(problem) for problem in problems), live=True,
                         key=f"{key}-refused", controls=list(more))]


def _name(thing: str) -> str:
    return f"photographs of {thing}"


def waiting(app: AppState, thing: str) -> tuple[Chosen, ...]:
    """Those that are picked for a thing and not kept yet."""
    return drafts.kept(app, _name(thing)) or ()


def wait_for(app: AppState, thing: str, chosen: Sequence[Chosen], *, done: Chosen | None = None) -> None:
    """Let these be kept as soon as the photographs of this thing are drawn; done: one that need not wait any more."""
    left = [one for one in (*waiting(app, thing), *chosen) if one is not done]
    if left:
        drafts.keep(app, _name(thing), tuple(left))
    else:
        drafts.drop(app, _name(thing))


def chosen_words(chosen: Sequence[Chosen]) -> str:
    """How many are picked, for the line of a fold."""
    return tr_n("{n} picked", "{n} picked", len(chosen)) if chosen else tr("none")


@piece
def ChosenPictures(chosen: tuple[Chosen, ...], change: Callable[[Callable[[Any], Any]], Any], key: str) -> ft.Control:
    """What is picked so far, each with a way to leave it out, and the button for more.

    change: takes what makes the pictures of then from those of before.
    """
    services = use_services()
    wrong, set_wrong = ft.use_state(_NO_PROBLEMS)

    def picked(event: Any) -> None:
        good, problems = choose(event.files)
        set_wrong(problems)
        if good:
            change(lambda before: (*before, *good))

    async def later(event: Any) -> None:
        picked(event)

    def leave_out(one: Chosen) -> Callable[[], None]:
        return lambda: change(lambda before: tuple(other for other in before if other is not one))

    rows: list[ft.Control] = []
    if chosen:
        rows.append(parts.picture_row([
            ft.Column([parts.small_picture(one.data, tr("photograph {n}", n=number)),
                       parts.icon_button(ft.Icons.CLOSE, tr("leave out photograph {n}", n=number), leave_out(one),
                                         f"{key}-out-{number}")],
                      spacing=0, tight=True, horizontal_alignment=ft.CrossAxisAlignment.CENTER)
            for number, one in enumerate(chosen, 1)]))
    rows += [*not_kept_notice(wrong, key),
             ft.Row([add_button(services, later, f"{key}-add", more=bool(chosen))], wrap=True),
             parts.small(tr("They stay on this device, and are kept when you save."))]
    return ft.Column(rows, spacing=2 * theme.GRID, horizontal_alignment=ft.CrossAxisAlignment.STRETCH)
