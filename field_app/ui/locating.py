"""Asking the device where it is, so that a person always gets an answer: a fix, or plain words and a way on.

Packaged apps tell first whether the position is switched on and allowed.
A browser asks the person itself when it is asked for a position, and tells in its answer what became of it; whether it
would ask, give or refuse is looked at anew each time, because a person may have changed it in the browser's settings.
"""

from __future__ import annotations

import asyncio
import logging

import flet as ft
from flet_geolocator import (
    Geolocator,
    GeolocatorConfiguration,
    GeolocatorPermissionStatus,
    GeolocatorPosition,
    GeolocatorWebConfiguration,
)

from field_app.core.problems import Refused, refuse
from field_app.words import tr

__all__ = ["Locator", "by_hand"]

log = logging.getLogger(__name__)

#: How long a person may read the question whether it is allowed [s].
_ASK_TIME = 60.0
#: How often it is looked at whether the question was answered [s].
_GLANCE = 0.3
_Status = GeolocatorPermissionStatus


class Locator:
    """Asks one device for its position.

    web: whether the device is a browser; patience: how long a fix may take, once it is allowed [s]; ask_time: how long
    the question whether it is allowed may stand [s].
    """

    def __init__(self, *, web: bool, patience: float, ask_time: float = _ASK_TIME) -> None:
        self._web, self._patience, self._ask_time = web, patience, ask_time
        self._geolocator = Geolocator()

    async def position(self) -> GeolocatorPosition:
        """What the device tells, with a latitude and a longitude.

        Raises Refused (where="position") with plain words and a way on if it was not allowed, is switched off, took
        too long or failed.
        """
        try:
            found = await (self._in_browser() if self._web else self._in_package())
        except TimeoutError:
            raise _too_long() from None
        except RuntimeError as error:
            raise _why_not(str(error), asks_again=self._web and await self._would_ask()) from None
        if found.latitude is None or found.longitude is None:
            raise refuse("position", tr("the device gave no position"), by_hand())
        return found

    async def _in_package(self) -> GeolocatorPosition:
        async with asyncio.timeout(self._ask_time):
            if not await self._geolocator.is_location_service_enabled():
                raise refuse("position", tr("the device's position is switched off"),
                             tr("Switch it on in the device's settings. {by_hand}", by_hand=by_hand()))
            allowed = await self._geolocator.request_permission()
        if allowed is _Status.DENIED_FOREVER:
            raise refuse("position", tr("this app may not ask for the position"), _in_settings())
        if allowed is _Status.DENIED:
            raise _not_allowed()
        # The device is told the limit, but one that never answers must not keep a person waiting either.
        how = GeolocatorConfiguration(time_limit=_duration(self._patience))
        async with asyncio.timeout(1.25 * self._patience):
            return await self._geolocator.get_current_position(how)

    async def _in_browser(self) -> GeolocatorPosition:
        # Asking whether it is allowed would take a first position of its own, without a limit, and call every failure
        # a refusal for ever.  A browser would otherwise give a fix that is minutes old to a person who walks.
        how = GeolocatorWebConfiguration(time_limit=_duration(self._ask_time + self._patience),
                                         maximum_age=ft.Duration())
        asked = asyncio.ensure_future(self._geolocator.get_current_position(how))
        try:
            try:
                async with asyncio.timeout(self._ask_time):
                    while not asked.done() and await self._would_ask():
                        await asyncio.wait([asked], timeout=_GLANCE)
            except TimeoutError:
                raise _not_allowed() from None
            async with asyncio.timeout(1.25 * self._patience):
                return await asked
        finally:
            asked.cancel()

    async def _would_ask(self) -> bool:
        """Whether the question to the person is still open. A browser that can't tell is taken as one that asked."""
        try:
            async with asyncio.timeout(self._patience):
                return await self._geolocator.get_permission_status() is _Status.DENIED
        except (RuntimeError, ValueError, TimeoutError):
            return False


def _duration(seconds: float) -> ft.Duration:
    return ft.Duration(milliseconds=round(1000 * seconds))


def by_hand() -> str:
    """The way on where there is a field for a position, as the end of what to do."""
    return tr("Type or paste the position, or leave it out.")


def _in_settings() -> str:
    return tr("Allow it in the settings of the device or browser. {by_hand}", by_hand=by_hand())


def _not_allowed() -> Refused:
    return refuse("position", tr("the position was not allowed"),
                  tr("Tap again to allow it. {by_hand}", by_hand=by_hand()))


def _too_long() -> Refused:
    return refuse("position", tr("no fix within the time"), tr(
        "Step into the open, away from walls and wet leaves, and tap again. {by_hand}", by_hand=by_hand()))


def _why_not(message: str, *, asks_again: bool) -> Refused:
    words = message.casefold()
    if "secure" in words:
        return refuse("position", tr("the browser gives the position only over a secure address"), by_hand())
    if "timeout" in words or "timed out" in words or "time limit" in words or "did not return a position" in words:
        return _too_long()
    if "denied" in words or "permission" in words:
        return _not_allowed() if asks_again else refuse("position", tr("the position was not allowed"), _in_settings())
    log.warning("no position: %s", message)
    return refuse("position", tr("the device could not tell where it is"),
                  tr("Step into the open and tap again. {by_hand}", by_hand=by_hand()))
