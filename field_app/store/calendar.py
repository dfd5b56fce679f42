"""The come-back days of the book's trees, in words, ready to be written as a calendar."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from field_app.core.comeback import COME_BACKS, CalendarDay, ComeBack, come_backs
from field_app.core.fall import Visit
from field_app.core.season import short_day
from field_app.core.sites import SiteNow
from field_app.core.units import show_told
from field_app.store.timing import Timing
from field_app.words import later, mid, tr

__all__ = ["Due", "calendar_days", "days_of", "due_days", "left_out"]

_WHAT = {"look": later("look how ripe"), "gather": later("gather"), "begins": later("ready to gather"),
         "ends": later("last days to gather")}
#: A visit that saves less of the dye than this is hardly worth the way [1].
_HARDLY = 0.05
_BARK = {**_WHAT, "begins": later("the sap is up"), "ends": later("the sap goes down")}


@dataclass(frozen=True, slots=True)
class Due:
    """One come-back day of a tree, with its number among them, and what to say of it."""

    timing: Timing
    number: int
    day: ComeBack

    @property
    def key(self) -> str:
        """What it is a day of, for ever."""
        one = self.timing
        return f"{one.site.id} {one.stuff.key} {one.forecast.season.year} {self.number}"

    @property
    def summary(self) -> str:
        """Its title."""
        words = _BARK if self.timing.forecast.kind == "sap" else _WHAT
        return f"{self.timing.site.name}: {mid(self.timing.stuff.said)}, {tr(words[self.day.what])}"

    @property
    def hardly(self) -> bool:
        """Whether so little is saved that the day is told only so that it keeps its place in the calendar."""
        return self.day.saves is not None and self.day.saves < _HARDLY

    @property
    def words(self) -> str:
        """What stands under it: the range, what a visit saves, and leave."""
        told, one = self.timing.forecast, self.timing
        days = {"first": short_day(told.p10), "last": short_day(told.p90), "likely": short_day(told.p50)}
        lines = [tr("The sap is up between {first} and {last}, most likely by {likely} (8 years in 10).", **days)
                 if told.kind == "sap"
                 else tr("Ready between {first} and {last}, most likely by {likely} (8 years in 10).", **days)]
        if self.day.saves is not None:
            saves = tr("Going on this day saves about {share:.0f} % of the crop's dye.", share=100 * self.day.saves)
            lines.append(" ".join((saves, *([tr("It is hardly worth the way.")] if self.hardly else []))))
        if told.kind == "sap":
            lines.append(tr("Take bark from felled, pruned or wind-thrown wood only."))
        state = one.site.leave_on(self.day.date)
        if state != "given":
            lines.append(tr("Leave has ended by then: ask again.") if state == "expired"
                         else tr("Leave was not asked yet."))
        elif one.site.leave is not None and one.site.leave.limit is not None:
            limit = one.site.leave.limit
            lines.append(tr("Leave for {amount} at most.", amount=show_told(limit)))
        return "\n".join(lines)


def days_of(one: Timing) -> tuple[Due, ...]:
    """The come-back days of one tree, none where leave was refused."""
    if one.site.leave_on(one.today) == "refused":
        return ()
    plan: Sequence[Visit] = one.plans[COME_BACKS - 1] if len(one.plans) >= COME_BACKS else ()
    return tuple(Due(one, number, day) for number, day in enumerate(come_backs(one.forecast, plan, one.today), 1))


def due_days(known: Iterable[Timing]) -> tuple[Due, ...]:
    """The come-back days of all trees, soonest first."""
    return tuple(sorted((due for one in known for due in days_of(one)),
                        key=lambda due: (due.day.date, due.timing.site.name, due.number)))


def calendar_days(dues: Iterable[Due], *, exact: bool = False) -> tuple[CalendarDay, ...]:
    """The days as a calendar takes them; exact: with the name of the place and its position."""
    return tuple(CalendarDay(due.key, due.day, due.summary, due.words, due.timing.site.name if exact else "",
                             due.timing.site.position if exact else None) for due in dues)


def left_out(known: Iterable[Timing]) -> tuple[SiteNow, ...]:
    """The sites of which no day is told, since leave was refused."""
    return tuple({one.site.id: one.site for one in known if one.site.leave_on(one.today) == "refused"}.values())
