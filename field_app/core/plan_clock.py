"""The clock of a dye day: what is done when, from the soak days before to the last piece on the line.

Times are local, as a clock on the wall shows them, and good to about a quarter of an hour.
What each thing takes beside soaking, boiling and dyeing is common practice, no source; it stands in one table.
Alum is done while the hulls boil, in a pot of its own; rinsing is done beside the next bath.
"""

from __future__ import annotations

import datetime as dt
import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from field_app.core.day_text import clock_time
from field_app.core.plans import PlanFacts, read_clock
from field_app.words import tr, tr_n

__all__ = ["TAKES", "BathTime", "ClockRow", "Firing", "clock_of", "day_words"]

#: How long each thing takes [h] (common practice, no source).
TAKES = {"scour": 1.5, "heat": 1.0, "strain": 0.5, "alum": 2.0, "iron": 0.25, "rinse": 0.5}
#: The cloth is scoured at this hour of the evening before, so that it is still wet in the morning.
_EVENING = dt.time(18, 0)
_ROUND = 5  # minutes: nobody dyes by the second


@dataclass(frozen=True, slots=True)
class Firing:
    """How the stuff of one material is brought to liquor: name, hours of soak and of each boil [h], how many potfuls
    one after another, and how often it is strained [1]."""

    name: str
    soak: float
    boil: float
    potfuls: int = 1
    strainings: int = 1


@dataclass(frozen=True, slots=True)
class BathTime:
    """One load of cloth: what it is, whose liquor it goes into, hours in the bath [h], dips [1], and its mordant."""

    cloth: str
    firing: str
    hours: float
    dips: int = 1
    alum: bool = False
    iron: bool = False


@dataclass(frozen=True, slots=True)
class ClockRow:
    """One thing to do: from when to when (local, without offset), and what, in words."""

    start: dt.datetime
    end: dt.datetime
    words: str

    @property
    def hours_words(self) -> str:
        """From when to when, or from when alone where it ends at once or on another day."""
        if self.end.date() != self.start.date() or self.start == self.end:
            return clock_time(self.start)
        return f"{clock_time(self.start)}–{clock_time(self.end)}"

    @property
    def minutes(self) -> int:
        """How long it takes [min]."""
        return round((self.end - self.start).total_seconds() / 60)


def _row(start: dt.datetime, hours: float, words: str) -> ClockRow:
    minutes = max(_ROUND, _ROUND * math.ceil(hours * 60 / _ROUND - 1e-9)) if hours > 0 else 0
    return ClockRow(start, start + dt.timedelta(minutes=minutes), words)


def clock_of(facts: PlanFacts, firings: Sequence[Firing], baths: Sequence[BathTime],
             pots: int = 1) -> tuple[ClockRow, ...]:
    """What is done when, in the order of the clock.

    Each liquor is made after the other on one fire; baths go side by side in so many pots [1], each pot with one
    after another.
    Raises Refused if the time of the fire can't be read.

    >>> facts = PlanFacts(name="A day", day="2026-10-10", fire="08:00")
    >>> rows = clock_of(facts, [Firing("walnut", 12, 2)], [BathTime("wool 1 kg", "walnut", 1)])
    >>> [f"{row.start:%d %H:%M} {row.words}" for row in rows][:2]
    ['09 18:00 Scour the cloth and leave it in water overnight.', '09 20:00 Put walnut under water to soak.']
    """
    fire = dt.datetime.combine(facts.day, read_clock(facts.fire, where="fire"))
    rows = list(_before(fire, firings, baths))
    rows += [_row(fire, TAKES["alum"], tr("Alum for {cloth}, in a pot of its own; let it cool in it.",
                                          cloth=bath.cloth))
             for bath in baths if bath.alum]
    ready, now = {}, fire
    for firing in firings:
        now, made = _fire(now, firing)
        rows += made
        ready[firing.name] = now
    ends, free = [], [fire] * max(1, pots)
    for bath in baths:
        pot = free.index(min(free))
        start = max(free[pot], ready.get(bath.firing, fire))
        if bath.alum:
            start = max(start, fire + dt.timedelta(hours=TAKES["alum"]))
        done = _dye(start, bath)
        rows += done
        # The pot is free as soon as the cloth is lifted; rinsing goes on beside the next bath.
        free[pot] = done[0].end
        ends.append(done[-1].end)
    if ends:
        rows.append(_row(max(ends), 0.0, tr("Hang it up in the shade. Keep the liquor cool, or freeze it.")))
    return tuple(sorted(rows, key=lambda row: (row.start, row.end)))


def _before(fire: dt.datetime, firings: Sequence[Firing], baths: Sequence[BathTime]) -> Iterator[ClockRow]:
    if baths:
        evening = dt.datetime.combine(fire.date() - dt.timedelta(days=1), _EVENING)
        yield _row(evening, TAKES["scour"], tr("Scour the cloth and leave it in water overnight."))
    for firing in firings:
        if firing.soak > 0:
            start = fire - dt.timedelta(hours=firing.soak)
            yield ClockRow(start, fire, tr("Put {name} under water to soak.", name=firing.name))


def _fire(now: dt.datetime, firing: Firing) -> tuple[dt.datetime, list[ClockRow]]:
    rows = []
    for potful in range(firing.potfuls):
        for turn in range(firing.strainings):
            heat, keep, strain = _firing_words(firing, potful + 1, turn + 1)
            rows.append(_row(now, TAKES["heat"], heat))
            rows.append(_row(rows[-1].end, firing.boil, keep))
            rows.append(_row(rows[-1].end, TAKES["strain"], strain))
            now = rows[-1].end
    return now, [row for row in rows if row.minutes]


def _firing_words(firing: Firing, potful: int, turn: int) -> tuple[str, str, str]:
    """To heat it, to keep it hot and to strain it, with which potful and which time it is where there are several."""
    counts = []
    if firing.potfuls > 1:
        counts.append(tr("potful {potful} of {potfuls}", potful=potful, potfuls=firing.potfuls))
    if firing.strainings > 1:
        counts.append(tr("time {turn} of {strainings}", turn=turn, strainings=firing.strainings))
    if not counts:
        return (tr("Bring {name} to a simmer.", name=firing.name), tr("Keep {name} at a simmer.", name=firing.name),
                tr("Strain it off."))
    count = ", ".join(counts)
    return (tr("Bring {name} to a simmer, {count}.", name=firing.name, count=count),
            tr("Keep {name} at a simmer, {count}.", name=firing.name, count=count),
            tr("Strain it off, {count}.", count=count))


def _dye(start: dt.datetime, bath: BathTime) -> list[ClockRow]:
    words = tr("{cloth} into the bath of {stuff}.", cloth=bath.cloth, stuff=bath.firing)
    if bath.dips > 1:
        words = " ".join((words, tr("Lift, rinse and air it, {dips} times in all.", dips=bath.dips)))
    rows = [_row(start, bath.hours * bath.dips, words)]
    if bath.iron:
        rows.append(_row(rows[-1].end, TAKES["iron"], tr("{cloth} into the iron, moved all the time.",
                                                         cloth=bath.cloth)))
    rows.append(_row(rows[-1].end, TAKES["rinse"], tr("Rinse {cloth} until the water runs clear.", cloth=bath.cloth)))
    return rows


def day_words(row: ClockRow, day: dt.date) -> str:
    """On which day a row is, beside the dye day: "", "the day before", "3 days before", "the day after".

    >>> row = ClockRow(dt.datetime(2026, 10, 7, 9), dt.datetime(2026, 10, 7, 10), "")
    >>> day_words(row, dt.date(2026, 10, 10))
    '3 days before'
    """
    days = (row.start.date() - day).days
    if not days:
        return ""
    return (tr_n("the day before", "{n} days before", -days) if days < 0
            else tr_n("the day after", "{n} days after", days))
