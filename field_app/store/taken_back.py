"""Lots that were taken back, on whichever device, and the way to bring one back."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass

from field_app.core.deeds import decide_return
from field_app.core.hlc import read_stamp
from field_app.core.lots import LotNow
from field_app.core.problems import refuse
from field_app.core.records import Thing, code_of
from field_app.store.book import FieldBook
from field_app.store.lots import SHOWN, lots_now
from field_app.store.sync import withdrawn_lots
from field_app.words import tr

__all__ = ["TakenBack", "bring_back", "count_taken_back", "taken_back"]


@dataclass(frozen=True, slots=True)
class TakenBack:
    """A lot that was taken back: its id and code, when by the clock of its device, and on which.

    lot: what it was, or None if this version can't read it.
    """

    id: str
    code: str
    at: dt.datetime
    device: str
    lot: LotNow | None


def count_taken_back(book: FieldBook) -> int:
    """How many lots are taken back [1]."""
    return book.log_book.count_deleted("lot")


def taken_back(book: FieldBook, *, limit: int = -1) -> tuple[TakenBack, ...]:
    """The lots that are taken back, the latest first; limit: how many at most, -1 for all [1]."""
    return _told(book, book.log_book.deleted("lot", limit=limit))


def _told(book: FieldBook, things: Sequence[Thing]) -> tuple[TakenBack, ...]:
    found = []
    for thing, lot in zip(things, lots_now(book.log_book, things, book.in_force()), strict=True):
        at = dt.datetime.fromtimestamp(read_stamp(thing.last_hlc).ms / 1000, dt.UTC)
        found.append(TakenBack(thing.id, lot.code if lot else code_of(thing.id, SHOWN), at, thing.device, lot))
    return tuple(found)


def bring_back(book: FieldBook, key: str) -> str:
    """Bring a lot back by its code or id, with all that was said of it; gives its id. Durable when this returns.

    Raises Refused if no lot of that code is taken back, or several are.
    """
    thing = book.log_book.thing(key)
    if thing is None or thing.kind != "lot":
        found = withdrawn_lots(book.log_book, key)
        if len(found) > 1:
            codes = ", ".join(code_of(lot, SHOWN + 4) for lot in found)
            raise refuse("lot", tr("{count} lots that are taken back have codes that start with {key!r}",
                                   count=len(found), key=key),
                         tr("Type more of it: {codes}.", codes=codes))
        # Of one that was never taken back, more can be said than that there is none.
        thing = book.held(found[0]) if found else book.held(book.lot(key).id)
    return book.append(decide_return(thing))
