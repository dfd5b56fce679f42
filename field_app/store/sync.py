"""The store's side of agreeing with other devices: what is known, what came in, and what to tell of it.

The law of this file:

1. Versions come in by union and are never written anew; what can't come in is set aside, and stays.
2. What is told is worked out from all that is known, so it is told again until somebody has seen to it.
"""

from __future__ import annotations

import json
from collections import Counter
from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, field
from types import MappingProxyType

from field_app.core.differences import Difference, differences
from field_app.core.hlc import LEAP_MS, Stamp, read_stamp
from field_app.core.intake import Row
from field_app.core.problems import Problem
from field_app.core.records import Thing, Version
from field_app.store.folder import DATABASE, unchanged
from field_app.store.log import Log
from field_app.store.quarantine import SetAside, keep, listing
from field_app.words import tr, tr_n

__all__ = ["Apart", "Merged", "SetAside", "apart", "clock_notes", "copy_notes", "drawn_from", "known_names", "merge",
           "set_aside", "things_of", "withdrawn_lots"]

#: Records of this form were first written in this year; a stamp from before is a clock's fault [ms since 1970].
FIRST_MS = 1_767_225_600_000
_DAY_MS = 24 * 3600 * 1000


@dataclass(frozen=True, slots=True)
class Merged:
    """What came of taking in versions.

    new, known: how many were added, were here already [1]; set_aside: how many more are set aside now [1];
    problems: all that is wrong with them; cloned: whether this folder turned out to be a copy, and goes on
    under another device id; devices: of which device how many of the new ones are [1].
    """

    new: int = 0
    known: int = 0
    set_aside: int = 0
    problems: tuple[Problem, ...] = ()
    cloned: bool = False
    devices: Mapping[str, int] = field(default_factory=lambda: MappingProxyType({}))


@dataclass(frozen=True, slots=True)
class Apart:
    """A thing of which people say different things: its unreplaced versions, the holding one first."""

    thing: Thing
    heads: tuple[Version, ...]
    differences: tuple[Difference, ...]


def known_names(log: Log, names: Collection[str]) -> frozenset[str]:
    """Those of the names whose versions are here."""
    with log.reading() as connection:
        return frozenset(name for (name,) in connection.execute(
            "select name from version where name in (select value from json_each(?))", (json.dumps([*names]),)))


def merge(log: Log, versions: Sequence[Row], aside: Sequence[tuple[bytes, Problem]] = (), *, name: str,
          now_ms: int) -> Merged:
    """Take in versions, and set aside what could not be one; both are lasting when this returns.

    name: of the file they came from; now_ms: this device's clock [ms since 1970].
    Raises NoRoom, or another fault of the folder; taking the same again then completes it.
    """
    device = log.device
    kept = 0
    if aside:
        with log.writing() as connection:
            kept = keep(connection, aside, file=name, now_ms=now_ms)
    if not versions:
        return Merged(set_aside=kept, problems=tuple(problem for _, problem in aside))
    taken = log.take_in_read(versions, now_ms=now_ms)
    return Merged(
        new=taken.new, known=taken.known, set_aside=kept,
        problems=(*(problem for _, problem in aside), *taken.left_out), cloned=log.device != device,
        devices=MappingProxyType(dict(sorted(Counter(version.device for version in versions).items()))))


def set_aside(log: Log) -> tuple[SetAside, ...]:
    """What was set aside and has not been taken in since, in the order in which it came."""
    with log.reading() as connection:
        return listing(connection)


def apart(log: Log, *, of: str | None = None) -> tuple[Apart, ...]:
    """All things of which people say different things, or those among a thing and what belongs to it."""
    where, values = ("and (id = ? or of = ?)", (of, of)) if of else ("", ())
    with log.reading() as connection:
        ids = [thing for (thing,) in connection.execute(
            f"select id from thing where heads like '% %' {where} order by kind, id", values)]
    found = []
    for one in ids:
        thing = log.thing(one)
        if thing is None:
            continue
        said = {version.name: version for version in log.versions(one)}
        with unchanged(DATABASE):
            heads = tuple(said[name] for name in thing.heads)
        # Heads that say the same, as when two people settle alike, leave nothing to settle.
        if unlike := differences(heads):
            found.append(Apart(thing, heads, unlike))
    return tuple(found)


def things_of(log: Log, thing: str) -> tuple[str, ...]:
    """The ids of a thing and of all that belongs to it, withdrawn or not, in the order in which they were told."""
    with log.reading() as connection:
        return (thing, *(one for (one,) in connection.execute(
            "select id from thing where of = ? order by first_hlc, id", (thing,))))


def withdrawn_lots(log: Log, code: str) -> tuple[str, ...]:
    """The ids of the lots that were taken back and whose code starts so."""
    start = code.strip().upper().translate(str.maketrans("OIL", "011"))
    if not (start.isascii() and start.isalnum()):
        return ()
    with log.reading() as connection:
        return tuple(lot for (lot,) in connection.execute(
            "select id from thing where code >= ? and code < ? and kind = 'lot' and deleted = 1 order by id",
            (start, start + "~")))


def drawn_from(log: Log) -> tuple[str, ...]:
    """The ids of the lots from which something was drawn."""
    with log.reading() as connection:
        return tuple(lot for (lot,) in connection.execute(
            "select distinct d.of from thing d join thing lot on lot.id = d.of "
            "where d.kind = 'draw' and d.deleted = 0 and lot.kind = 'lot' and lot.deleted = 0 order by d.of"))


def clock_notes(log: Log, *, now_ms: int) -> tuple[Problem, ...]:
    """Which devices' clocks are wrong by more than a day, as far as their records show it.

    now_ms: this device's clock [ms since 1970].
    """
    ahead = str(Stamp(max(now_ms, 0) + LEAP_MS, 0xFFFF, "f" * 16))
    behind = f"{FIRST_MS - LEAP_MS:013d}"
    with log.reading() as connection:
        leaps = dict(connection.execute("select device, max(hlc) from version where hlc > ? group by device", (ahead,)))
        old = dict(connection.execute("select device, max(hlc) from version where hlc < ? group by device", (behind,)))
        others = connection.execute("select count(distinct device) from version").fetchone()[0]
    own = leaps.pop(log.device, None)
    notes = []
    if own is not None:
        notes.append(Problem("clock", tr("this device's own records are {days} ahead of its clock",
                                         days=_days(own, now_ms)),
                             tr("Its clock went back, or was ahead before. Set it right; all records are kept.")))
    for device, hlc in leaps.items():
        ours = len(leaps) > 1 and len(leaps) >= others - 1
        told = {"device": device, "days": _days(hlc, now_ms)}
        notes.append(Problem("clock", tr("the clock of device {device} is {days} ahead; this device's clock is behind, "
                                         "or theirs are ahead", **told) if ours
                             else tr("the clock of device {device} is {days} ahead; its records are kept", **told),
                             tr("Compare the clocks of the two devices.")))
    notes.extend(
        Problem("clock", tr("the clock of device {device} was {days} behind, or more; its records are kept",
                            device=device, days=_days(hlc, FIRST_MS)), tr("Set the clock of that device."))
        for device, hlc in old.items())
    return tuple(notes)


def _days(hlc: str, now_ms: int) -> str:
    days = max(1, round(abs(read_stamp(hlc).ms - now_ms) / _DAY_MS))
    return tr_n("{n:,} day", "{n:,} days", days)


def copy_notes(log: Log) -> tuple[Problem, ...]:
    """Which devices wrote two records under one number, as a copied or restored data folder does."""
    with log.reading() as connection:
        twice = connection.execute(
            "select device, count(*) from (select device, seq from version group by device, seq having count(*) > 1) "
            "group by device order by device").fetchall()
    return tuple(
        Problem("device", tr_n("the data folder of device {device} was copied or restored: a record of it has a "
                               "namesake",
                               "the data folder of device {device} was copied or restored: {n:,} records of it have "
                               "a namesake", count, device=device),
                tr("All are kept, and nothing needs doing; each copy goes on under an id of its own."))
        for device, count in twice)
