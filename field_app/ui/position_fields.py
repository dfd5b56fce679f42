"""A position: from the device, typed, or pasted from elsewhere."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any

import flet as ft

from field_app.core.positions import Fix, show_position
from field_app.core.problems import Problem, Refused
from field_app.core.units import show_si
from field_app.ui import parts, theme
from field_app.ui.device import POOR_M
from field_app.ui.guard import piece
from field_app.ui.refusals import NO_PROBLEMS
from field_app.ui.services import use_services
from field_app.words import tr

__all__ = ["PositionFields"]


@piece
def PositionFields(text: str, fix: Fix | None, on_text: Callable[[str], Any], on_fix: Callable[[Fix | None], Any],
                   problems: Sequence[Problem]) -> ft.Control:
    """One button for the device and one field for the hand; a fix from the device stands until it is dropped.

    What was typed stays in its field while the device is asked, and if the device refuses.
    """
    services = use_services()
    asking, set_asking = ft.use_state(False)
    refused, set_refused = ft.use_state(NO_PROBLEMS)

    async def ask() -> None:
        if services.device is None:
            return
        set_asking(True)
        set_refused(NO_PROBLEMS)
        try:
            on_fix(await services.device.locate())
        except Refused as no:
            set_refused(no.problems)
        finally:
            set_asking(False)

    if fix is not None:
        return _taken(fix, on_fix, ask, asking, services.decimal)
    rows: list[ft.Control] = [
        ft.Row([parts.outline_button(tr("Asking the device …") if asking else tr("I stand beside it now"), ask,
                                     "position-here",
                                     icon=ft.Icons.MY_LOCATION, disabled=asking, expand=True)]),
        *parts.problem_text(refused),
        parts.field(tr("or type or paste the position"), text, on_text, "position", problems,
                    hint="44.01234, -28.00567", helper=tr("As a map or a message gives it; can stay empty.")),
    ]
    return ft.Column(rows, spacing=2 * theme.GRID, horizontal_alignment=ft.CrossAxisAlignment.STRETCH)


def _taken(fix: Fix, on_fix: Callable[[Fix | None], Any], ask: Callable[[], Any], asking: bool,
           decimal: str) -> ft.Control:
    radius = fix.accuracy_m
    sure = tr("The device did not say how closely.") if radius is None else (
        tr("± {metres}, as the device says.", metres=show_si(radius, "m", decimal=decimal)))
    rows: list[ft.Control] = [parts.body(show_position(fix.position), bold=True), parts.second(sure)]
    if radius is not None and radius > POOR_M:
        rows.append(parts.notice("caution", tr("Too rough to tell one tree from the next"),
                                 tr("Wait a moment in the open and ask again, or type the position.")))
    rows.append(ft.Row([
        parts.outline_button(tr("Asking …") if asking else tr("Ask again"), ask, "position-here", disabled=asking),
        parts.quiet_button(tr("Type it instead"), lambda: on_fix(None), "position-drop"),
    ], wrap=True, spacing=theme.GAP))
    return parts.card(rows, "sky", key="position-fix")
