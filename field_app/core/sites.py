"""A place where one gathers, as it stands now, and whether one may take from it."""

from __future__ import annotations

import datetime as dt
import unicodedata
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Literal

from field_app.core.facts import LeaveFacts, SiteFacts
from field_app.core.positions import Position, distance_m
from field_app.core.records import Thing

__all__ = ["LeaveState", "SiteNow", "leave_now", "leave_on", "name_key", "nearest_first", "site_now"]

LeaveState = Literal["given", "refused", "not-asked", "expired"]


@dataclass(frozen=True, slots=True)
class SiteNow:
    """A site: its facts, where it is, the leave that holds, and the unreplaced versions of both."""

    id: str
    facts: SiteFacts
    position: Position | None
    leave: LeaveFacts | None
    heads: tuple[str, ...]
    changed: str
    leave_id: str = ""
    leave_heads: tuple[str, ...] = ()

    @property
    def name(self) -> str:
        """Its name, as the person wrote it."""
        return self.facts.name

    def leave_on(self, day: dt.date) -> LeaveState:
        """Whether one may gather here on that day."""
        return leave_on(self.leave, day)


def leave_on(leave: LeaveFacts | None, day: dt.date) -> LeaveState:
    """Whether leave holds on a day: a date that was agreed includes that day itself."""
    if leave is None:
        return "not-asked"
    if leave.state == "given" and leave.until is not None and leave.until < day:
        return "expired"
    return leave.state


def leave_now(thing: Thing) -> LeaveFacts:
    """The leave that a record tells of."""
    return LeaveFacts.model_validate(dict(thing.facts))


def site_now(thing: Thing, leave: Thing | None) -> SiteNow:
    """A site from what holds about it and about the leave to gather there."""
    return SiteNow(
        id=thing.id,
        facts=SiteFacts.model_validate(dict(thing.facts)),
        position=None if thing.position is None else Position(*thing.position),
        leave=None if leave is None else leave_now(leave),
        heads=thing.heads,
        changed=thing.last_hlc,
        leave_id="" if leave is None else leave.id,
        leave_heads=() if leave is None else leave.heads,
    )


def name_key(name: str) -> str:
    """What two names have in common if a person would call them the same.

    >>> name_key("  Mill   Lane ") == name_key("mill lane")
    True
    """
    return " ".join(unicodedata.normalize("NFKC", name).casefold().split())


def nearest_first(sites: Iterable[SiteNow], here: Position) -> tuple[tuple[SiteNow, float | None], ...]:
    """The sites with their distance [m] from here, nearest first; those without a position last, by name."""
    found = [(site, None if site.position is None else distance_m(here, site.position)) for site in sites]
    found.sort(key=lambda pair: (pair[1] is None, pair[1] or 0.0, name_key(pair[0].name)))
    return tuple(found)
