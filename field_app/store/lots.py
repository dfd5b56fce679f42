"""Lots as they stand now: of many at once, with as few questions to the database as of one."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence

from pydantic import ValidationError

from field_app.core.lots import LotNow, lot_now
from field_app.core.own import InForce
from field_app.core.problems import Refused
from field_app.core.records import Thing, code_of
from field_app.store.log import CODE_LENGTH, Log

__all__ = ["SHOWN", "Beside", "lots_now"]

#: So many signs of a code are shown, if they are those of one lot only [1].
SHOWN = 4
_BATCH = 500


class Beside:
    """What is read beside some lots to show them: their sites, steps, draws and codes."""

    def __init__(self, log: Log, things: Sequence[Thing], in_force: InForce) -> None:
        ids = [thing.id for thing in things]
        self._in_force = in_force
        self._sites = {site.id: site for site in log.among({str(thing.of) for thing in things})}
        self._steps, self._draws = _by_lot(log, "step", ids), _by_lot(log, "draw", ids)
        self._codes = _codes(log, ids)

    def lot(self, thing: Thing) -> LotNow:
        """One of the lots. Raises Refused or pydantic's ValidationError if this version can't read it."""
        return lot_now(thing, code=self._codes[thing.id], site=self._sites.get(str(thing.of)),
                       steps=self._steps.get(thing.id, ()), draws=self._draws.get(thing.id, ()),
                       in_force=self._in_force)


def lots_now(log: Log, things: Sequence[Thing], in_force: InForce) -> Iterator[LotNow | None]:
    """What there is to know of these lots, in their order; None for one that this version can't read."""
    for start in range(0, len(things), _BATCH):
        part = things[start:start + _BATCH]
        beside = Beside(log, part, in_force)
        for thing in part:
            try:
                yield beside.lot(thing)
            except (Refused, ValidationError):
                yield None


def _by_lot(log: Log, kind: str, lots: Sequence[str]) -> Mapping[str, list[Thing]]:
    found = defaultdict(list)
    for thing in log.things_of_all(kind, lots):
        found[str(thing.of)].append(thing)
    return found


def _codes(log: Log, lots: Sequence[str]) -> Mapping[str, str]:
    """The shortest code of each lot that no other has."""
    whole = {lot: code_of(lot, CODE_LENGTH) for lot in lots}
    found: dict[str, str] = {}
    length, shared = SHOWN, set(lots)
    while shared:
        if length < CODE_LENGTH:
            counts = log.code_counts({whole[lot][:length] for lot in shared}, "lot")
            alone = {lot for lot in shared if counts.get(whole[lot][:length], 0) < 2}
        else:
            alone = set(shared)
        found.update((lot, whole[lot][:length]) for lot in alone)
        shared -= alone
        length += 1
    return found
