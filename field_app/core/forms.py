"""What a person typed, before it is judged: forms, what a decision knows, and what it comes to.

A form holds text as it was typed, so that the screen and the command line are read by one reader and get
the same words back.
A decision has either drafts of records or problems, never both; every problem is told at once.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from typing import TypeVar

from field_app.core.positions import Fix
from field_app.core.problems import Problem, Refused
from field_app.core.records import Draft
from field_app.core.sites import SiteNow
from field_app.words import tr

__all__ = ["LONGEST_NAME", "LONGEST_NOTE", "Decision", "LeaveForm", "Reader", "SiteForm", "Situation", "WindfallForm"]

_T = TypeVar("_T")
LONGEST_NAME, LONGEST_NOTE = 120, 2000


@dataclass(frozen=True, slots=True)
class LeaveForm:
    """Leave to gather as typed: state, from whom, until which day, how much at most; unit: of a bare number."""

    state: str
    by: str = ""
    until: str = ""
    limit: str = ""
    note: str = ""
    unit: str = "kg"


@dataclass(frozen=True, slots=True)
class SiteForm:
    """A new site as typed; position is text to read, or a fix from the device."""

    name: str
    position: str | Fix = ""
    materials: Sequence[str] = ()
    note: str = ""
    leave: LeaveForm | None = None


@dataclass(frozen=True, slots=True)
class WindfallForm:
    """A load as typed. One of gross (with tare), count or pails says how much; empty means not given.

    site: id or name of a known one, or ``new_site``; unit: of the scale, for a bare number;
    division, scale: the smallest step of the scale, and its class if it was verified;
    sample, sample_each: what counted pieces weighed, set apart by ``;``, and how many were weighed at a time;
    gathered: local date and time, empty for now; gallons: "us" or "imperial", empty for one's own;
    wood: of bark, the wood it came from.
    """

    material: str
    part: str
    site: str = ""
    new_site: SiteForm | None = None
    position: str | Fix = ""
    ripeness: str = ""
    condition: str = "fresh"
    gross: str = ""
    tare: str = ""
    unit: str = "kg"
    count: str = ""
    pails: str = ""
    pail: str = ""
    fill: str = ""
    division: str = ""
    scale: str = ""
    sample: str = ""
    sample_each: str = ""
    gathered: str = ""
    leave: LeaveForm | None = None
    note: str = ""
    gallons: str = ""
    wood: str = ""


@dataclass(frozen=True, slots=True)
class Situation:
    """What a decision has to know: the sites there are, the time, how to make ids and local times.

    now: aware time; new_id: gives ``urn:uuid:...``; localise: gives a naive local time its offset.
    """

    sites: Sequence[SiteNow]
    now: dt.datetime
    new_id: Callable[[], str]
    localise: Callable[[dt.datetime], dt.datetime] | None = None


@dataclass(frozen=True, slots=True)
class Decision:
    """Drafts to append and the id of the main one, or the problems that stand in the way."""

    drafts: tuple[Draft, ...] = ()
    main: str = ""
    problems: tuple[Problem, ...] = ()

    def unless_refused(self) -> Decision:
        """Itself; raises Refused with all problems if there are any."""
        if self.problems:
            raise Refused(self.problems)
        return self


@dataclass(slots=True)
class Reader:
    """Collects the problems of a form, so that all of them are told at once."""

    problems: list[Problem] = field(default_factory=list)

    def read(self, reading: Callable[[], _T]) -> _T | None:
        """What ``reading`` gives, or None with its problems noted."""
        try:
            return reading()
        except Refused as refused:
            self.problems.extend(refused.problems)
            return None

    def wrong(self, where: str, what: str, fix: str) -> None:
        """Note a problem."""
        self.problems.append(Problem(where, what, fix))

    def text(self, where: str, text: str, most: int) -> str:
        """A name (on one line) or a note, trimmed; a problem if it is too long or holds control signs."""
        clean = " ".join(text.split()) if most == LONGEST_NAME else text.strip()
        if len(clean) > most:
            self.wrong(where, tr("has {count} signs, {most} at most fit", count=len(clean), most=most),
                       tr("Shorten it."))
        if any(ord(sign) < 32 and sign not in "\n\t" for sign in clean):
            self.wrong(where, tr("holds signs that can't be shown"), tr("Type it again."))
        return clean
