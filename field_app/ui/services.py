"""What the screens need from outside, handed down once, so that no component reaches for it by itself."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

import flet as ft

from field_app.core.habits import habits
from field_app.store import FieldBook
from field_app.ui.code_reader import CodeReader
from field_app.ui.device import Device, Sheet
from field_app.ui.home import Home
from field_app.ui.room import Room
from field_app.ui.state import AppState

__all__ = ["SERVICES", "STATE", "Services", "use_app", "use_services"]


@dataclass(frozen=True, slots=True)
class Services:
    """The book and the device.

    home: where the records are kept; a data folder, if left out;
    said: what was said at this start of how things are shown, which holds over what was kept;
    device: None until a page is there to ask it through.
    sheet: the browser's way to hand a file to another app, where it has one.
    room: how much of it the page has; None until there is a page.
    codes: reads the codes of labels from photographs; None where nothing can.
    """

    book: FieldBook
    device: Device | None = None
    home: Home | None = None
    codes: CodeReader | None = None
    sheet: Sheet | None = None
    room: Room | None = None
    said: Mapping[str, str] = field(default_factory=dict)

    @property
    def decimal(self) -> str:
        """The sign on the keypad and in what is shown; both signs are understood everywhere."""
        return habits().decimal


_NO_SERVICES: Services | None = None
_NO_STATE: AppState | None = None
SERVICES = ft.create_context(_NO_SERVICES)
STATE = ft.create_context(_NO_STATE)


def use_services() -> Services:
    """The services, inside a component."""
    found = ft.use_context(SERVICES)
    if found is None:
        raise RuntimeError("a screen was drawn without services")
    return found


def use_app() -> AppState:
    """The state of the app, inside a component, which is drawn again when the state changes."""
    found = ft.use_context(STATE)
    if found is None:
        raise RuntimeError("a screen was drawn without the state of the app")
    return found
