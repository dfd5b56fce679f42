"""The only place that builds services of the device: position, files, small settings.

Each is built once per page and held for the page's life, because a service that is built per tap is never
let go of.
"""

from __future__ import annotations

import asyncio
import logging
import math
import sys
from collections.abc import Awaitable, Callable
from dataclasses import dataclass
from typing import Literal, Protocol

import flet as ft
from flet_geolocator import GeolocatorPosition

from field_app.core.positions import Fix, Position
from field_app.ui.locating import Locator

__all__ = ["POOR_M", "Device", "Sheet", "Sight"]

log = logging.getLogger(__name__)

#: A fix with a larger radius than this can't tell one tree from the next [m].
POOR_M = 50.0
#: How long a person with wet hands waits for a fix [s].
_PATIENCE = 20.0
#: Slower than this one stands, and the direction of the drift of the fixes means nothing [m/s].
_WALKING = 0.4


@dataclass(frozen=True, slots=True)
class Sight:
    """A fix, and the direction in which the device is carried [deg from north], or None where it can't be told."""

    fix: Fix
    heading_deg: float | None = None


class Sheet(Protocol):
    """A browser's way to hand a file to another app."""

    async def send(self, name: str, data: bytes, words: str) -> bool:
        """Let the person choose an app. False if they changed their mind; raises RuntimeError if it can't be."""


class Device:
    """The services of one page. Build it inside the running page.

    picker: for choosing and saving files; on_picked: what is told of files that were picked, set by the screen
    that asks for them; patience: how long a fix may take [s]; sheet: the browser's own, where it has one.
    """

    def __init__(self, page: ft.Page, *, patience: float = _PATIENCE, sheet: Sheet | None = None) -> None:
        self._page, self._own_sheet = page, sheet
        self._locator = Locator(web=page.web, patience=patience)
        self._settings = ft.SharedPreferences()
        self._sheet = ft.Share()
        self.on_picked: Callable[[ft.FilePickerResultEvent], Awaitable[None]] | None = None
        # The client tells what was picked only to a picker that wanted to know when it was sent.
        self.picker = ft.FilePicker(on_result=self._picked)

    async def _picked(self, event: ft.FilePickerResultEvent) -> None:
        if self.on_picked is not None:
            await self.on_picked(event)

    async def locate(self) -> Fix:
        """Where the device is now; see :meth:`sight`."""
        return (await self.sight()).fix

    async def sight(self) -> Sight:
        """Where the device is now, and where it is heading, if it knows.

        Asks for permission, so call it only when a person taps for it.

        Raises Refused (where="position") with plain words and a way on if it was not allowed, is switched
        off, took too long or failed.
        """
        found = await self._locator.position()
        assert found.latitude is not None
        assert found.longitude is not None
        # The client gives 0.0 for an accuracy that it does not know.
        accuracy = float(found.accuracy) if found.accuracy else None
        position = Position(round(float(found.latitude), 6), round(float(found.longitude), 6))
        return Sight(Fix(position, "device", accuracy, self._meaning()), _heading(found))

    def _meaning(self) -> Literal["95 %", "68 %", "unknown"]:
        # W3C Geolocation, "accuracy attribute": 95 % confidence. Android, Location.getAccuracy: 68 %.
        if self._page.web:
            return "95 %"
        return "68 %" if self._page.platform is ft.PagePlatform.ANDROID else "unknown"

    @property
    def has_folders(self) -> bool:
        """Whether this program runs on the person's own computer, so that a path they type is a folder there."""
        # Screens are served to this machine alone, so the browser is on it; a packed page has no folders.
        return sys.platform not in ("emscripten", "android", "ios")

    async def save_file(self, name: str, data: bytes) -> bool:
        """Let the person save a file. False if they changed their mind.

        In a browser the file goes to the downloads, and whether it arrived can't be known: True.
        """
        place = await self.picker.save_file(file_name=name, src_bytes=data)
        return bool(place) or self._page.web

    @property
    def has_share_sheet(self) -> bool:
        """Whether a file can be handed to other apps of this device, as in a message, without saving it first."""
        if self._page.web:
            return self._own_sheet is not None
        return self._page.platform in (ft.PagePlatform.ANDROID, ft.PagePlatform.IOS)

    async def send_file(self, name: str, data: bytes, words: str) -> bool:
        """Let the person hand a file to another app. False if they changed their mind.

        words: what is said with the file. Not every device tells what became of it: then True.
        Raises RuntimeError or TimeoutError if the device has no such sheet after all.
        """
        if self._own_sheet is not None:
            return await self._own_sheet.send(name, data, words)
        file = ft.ShareFile.from_bytes(data, mime_type="application/zip", name=name)
        result = await self._sheet.share_files([file], title=name, subject=name, text=words,
                                               download_fallback_enabled=False, mail_to_fallback_enabled=False)
        return result.status is not ft.ShareResultStatus.DISMISSED

    async def remember(self, name: str, value: str) -> None:
        """Keep a small setting on this device; if it can't be kept, the default returns next time."""
        try:
            await self._settings.set(f"field-app.{name}", value)
        except (RuntimeError, TimeoutError) as error:
            log.warning("the setting %s was not kept: %s", name, error)

    async def remembered(self, name: str) -> str:
        """A small setting kept before, or empty."""
        try:
            async with asyncio.timeout(5):
                return str(await self._settings.get(f"field-app.{name}") or "")
        except (RuntimeError, TimeoutError) as error:
            log.warning("the setting %s was not read: %s", name, error)
            return ""


def _heading(found: GeolocatorPosition) -> float | None:
    """The direction of walking [deg]: there is none for who stands, and a bare 0.0 means that it is not known."""
    speed, heading = float(found.speed or 0.0), float(found.heading or 0.0)
    if not (math.isfinite(speed) and math.isfinite(heading)) or speed < _WALKING or heading == 0.0:
        return None
    return heading % 360
