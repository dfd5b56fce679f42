"""When the data were last handed over, and whether it is time to do so again.

What lies on one device alone is gone with it, so the field book reminds; how soon, the person says.
"""

from __future__ import annotations

import datetime as dt
import json
from dataclasses import dataclass

from field_app.core.problems import Problem
from field_app.ui.day_words import clock_time, day
from field_app.ui.device import Device
from field_app.ui.services import Services
from field_app.ui.state import AppState
from field_app.words import tr, tr_n

__all__ = ["NO_LIMITS", "Handed", "Limits", "due", "handed_words", "limit_problem", "note_handed", "read_handed",
           "read_limits", "remember_limit", "reminder"]

#: Names under which the device remembers.
_HANDED, _LOTS, _DAYS = "handed-over", "remind-after-lots", "remind-after-days"
#: A browser may clear what it keeps after a week without a visit, so that is when it reminds at first [1], [day].
_AT_FIRST = ("10", "7")
_MOST = 999


@dataclass(frozen=True, slots=True)
class Handed:
    """The last time that the data left this device, and how many lots there were then [1]."""

    at: dt.datetime
    lots: int


@dataclass(frozen=True, slots=True)
class Limits:
    """After how many lots [1] or days [day] to remind, as typed; 0 or empty is never."""

    lots: str = ""
    days: str = ""


NO_LIMITS = Limits()


async def note_handed(services: Services, state: AppState) -> None:
    """The data have just left this device, whole or in part."""
    if services.device is not None:
        await services.device.remember(_HANDED, json.dumps(
            {"at": services.book.now().isoformat(timespec="seconds"), "lots": state.lot_count}))


async def read_handed(device: Device) -> Handed | None:
    """The last time, or None if there was none."""
    try:
        found = json.loads(await device.remembered(_HANDED))
        at = dt.datetime.fromisoformat(found["at"])
        return Handed(at, int(found["lots"])) if at.tzinfo is not None else None
    except (ValueError, KeyError, TypeError):
        return None


async def read_limits(device: Device, *, in_browser: bool) -> Limits:
    """The person's limits; at first a browser reminds, and a person's own disk does not."""
    lots, days = await device.remembered(_LOTS), await device.remembered(_DAYS)
    first = _AT_FIRST if in_browser else ("0", "0")
    return Limits(lots or first[0], days or first[1])


async def remember_limit(device: Device, limits: Limits) -> None:
    """Keep the limits that are right; the others stay what they were."""
    for name, text in ((_LOTS, limits.lots), (_DAYS, limits.days)):
        if limit_problem(name, text) is None:
            await device.remember(name, text.strip() or "0")


def limit_problem(where: str, text: str) -> Problem | None:
    """What is wrong with a limit as typed, or None.

    >>> limit_problem("lots", "12") is None, limit_problem("lots", "a week").what
    (True, "'a week' is not a whole number from 0 to 999")
    """
    body = text.strip()
    if not body or (body.isascii() and body.isdigit() and int(body) <= _MOST):
        return None
    return Problem(where, tr("{body!r} is not a whole number from 0 to {most}", body=body, most=_MOST),
                   tr("Write 10, or 0 for never."))


def _number(text: str) -> int:
    return int(text) if text.strip() and limit_problem("", text) is None else 0


def due(handed: Handed | None, lots: int, first: dt.datetime | None, limits: Limits, now: dt.datetime) -> bool:
    """Whether it is time to hand over.

    lots: how many there are [1]; first: when the oldest that was not handed over was gathered, or None.
    """
    new = lots - (handed.lots if handed else 0)
    if new <= 0:
        return False
    most, longest = _number(limits.lots), _number(limits.days)
    if most and new >= most:
        return True
    since = handed.at if handed else first
    return bool(longest and since is not None and now - since >= dt.timedelta(days=longest))


async def reminder(services: Services, state: AppState) -> int:
    """How many lots were logged since the last time, if that is worth a reminder; else 0 [1]."""
    if services.device is None:
        return 0
    limits = await read_limits(services.device, in_browser=services.home is not None and services.home.in_browser)
    handed = await read_handed(services.device)
    first = min((lot.gathered for lot in state.lots), default=None)
    if not due(handed, state.lot_count, first, limits, services.book.now()):
        return 0
    return state.lot_count - (handed.lots if handed else 0)


def handed_words(handed: Handed | None, lots: int, now: dt.datetime) -> str:
    """When it was, and how many lots were logged since."""
    if handed is None:
        return tr("Never yet") if lots else tr("Nothing to hand over yet")
    at = handed.at.astimezone(now.tzinfo)
    new = max(0, lots - handed.lots)
    since = tr("no lot since") if not new else tr_n("1 lot since", "{n} lots since", new)
    return f"{day(at.date(), now.date())}, {clock_time(at)}; {since}"
