"""The lots in the order in which they spoil, under a heading for each kind of hurry."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from typing import Literal, get_args

from field_app.core.keeping import UseBy
from field_app.core.lots import LotNow
from field_app.ui.life_words import gone, keeping_now
from field_app.ui.lot_words import wants_using
from field_app.words import later

__all__ = ["HURRY_WORDS", "Hurry", "by_hurry", "hurry_of"]

#: What wants using this week, what is past its best, what is good for longer, what keeps, what is used up.
Hurry = Literal["soon", "past", "good", "keeps", "gone"]
HURRY_WORDS: dict[Hurry, str] = {
    "soon": later("Use first"), "past": later("Past its best"), "good": later("Good for longer"),
    "keeps": later("Keeps"), "gone": later("Nothing left")}


def hurry_of(lot: LotNow, today: dt.date) -> Hurry:
    """How pressing a lot is; what nobody knows the keeping of is better used soon."""
    return _hurry(lot, keeping_now(lot), today)


def _hurry(lot: LotNow, by: UseBy | None, today: dt.date) -> Hurry:
    if gone(lot):
        return "gone"
    if by is None or wants_using(by, today):
        return "soon"
    state = by.state(today)
    return "past" if state == "past" else "keeps" if state == "keeps" else "good"


def by_hurry(lots: Sequence[LotNow], today: dt.date) -> tuple[tuple[Hurry, tuple[LotNow, ...]], ...]:
    """The lots by how pressing they are, within each the one that spoils soonest first; empty ones are left out."""
    found: dict[Hurry, list[tuple[dt.date, LotNow]]] = {hurry: [] for hurry in get_args(Hurry)}
    for lot in lots:
        by = keeping_now(lot)
        end = by.latest if by is not None and by.latest is not None else dt.date.max
        found[_hurry(lot, by, today)].append((end, lot))
    # What doesn't spoil stands as it came, the newest first; so does what has turned.
    return tuple((hurry, tuple(lot for _, lot in sorted(pairs, key=lambda pair: pair[0], reverse=hurry == "past")))
                 for hurry, pairs in found.items() if pairs)
