"""Where a person begins: where the device is, the shed, or where one was last; kept on this device alone."""

from __future__ import annotations

import datetime as dt
import json
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any, Literal

import flet as ft

from field_app.core.positions import Fix, Position, read_position
from field_app.core.problems import Problem, Refused
from field_app.ui.guard import guarded
from field_app.ui.life_words import moment_words
from field_app.ui.refusals import NO_PROBLEMS
from field_app.ui.services import Services, use_app, use_services
from field_app.ui.state import AppState
from field_app.words import tr

__all__ = ["Begin", "Standpoint", "keep_shed", "locate_me", "stand_words", "use_begin"]

_LAST, _SHED = "place", "shed"


@dataclass(frozen=True, slots=True)
class Standpoint:
    """A place to begin at, how it is known, and when one was there."""

    position: Position
    how: Literal["here", "shed", "before"]
    at: dt.datetime | None = None

    @property
    def fix(self) -> Fix:
        """As a form takes it."""
        return Fix(self.position, "typed")


@dataclass(frozen=True, slots=True)
class Begin:
    """Where to begin, or None if nobody knows; ask: asks the device; asking, problems: what became of that."""

    where: Standpoint | None
    ask: Callable[[], Any]
    asking: bool
    problems: tuple[Problem, ...]


async def locate_me(services: Services, app: AppState) -> None:
    """Ask the device where it is, and remember it for the next morning. Raises Refused if it doesn't say."""
    if services.device is None:
        return
    fix = await services.device.locate()
    app.found(fix)
    await services.device.remember(_LAST, _kept(fix.position, services.book.now()))


async def keep_shed(services: Services, position: Position | None) -> None:
    """Remember where rounds begin, or with None forget it."""
    if services.device is not None:
        await services.device.remember(_SHED, "" if position is None else _kept(position, services.book.now()))


def _kept(position: Position, at: dt.datetime) -> str:
    return json.dumps({"position": f"{position.lat:.6f}, {position.lon:.6f}", "at": at.isoformat(timespec="seconds")})


def _read(text: str, how: Literal["shed", "before"]) -> Standpoint | None:
    """What was remembered, or None if it can't be read."""
    try:
        told = json.loads(text)
        at = dt.datetime.fromisoformat(told["at"])
        return Standpoint(read_position(told["position"], where="place").position, how, at if at.tzinfo else None)
    except (Refused, ValueError, KeyError, TypeError, AttributeError):
        return None


def stand_words(where: Standpoint, now: dt.datetime) -> str:
    """How it is known where one begins, as it follows "from"."""
    if where.how == "here":
        return tr("from where you are")
    if where.how == "shed":
        return tr("from your shed")
    if where.at is None:
        return tr("from where you were last")
    return tr("from where you were {moment}", moment=moment_words(where.at.astimezone(now.tzinfo), now.date()))


_NOWHERE: Standpoint | None = None


def use_begin() -> Begin:
    """Where one begins: where the device said it is, else the shed, else where one was last."""
    services, app = use_services(), use_app()
    kept, set_kept = ft.use_state(_NOWHERE)
    asking, set_asking = ft.use_state(False)
    problems, set_problems = ft.use_state(NO_PROBLEMS)

    async def remembered() -> None:
        if services.device is not None:
            shed = _read(await services.device.remembered(_SHED), "shed")
            set_kept(shed or _read(await services.device.remembered(_LAST), "before"))

    async def ask() -> None:
        set_asking(True)
        set_problems(NO_PROBLEMS)
        try:
            await locate_me(services, app)
        except Refused as refused:
            set_problems(refused.problems)
        finally:
            set_asking(False)

    ft.use_effect(guarded(remembered), [])
    where = Standpoint(app.here.position, "here") if app.here is not None else kept
    return Begin(where, ask, asking, problems)
