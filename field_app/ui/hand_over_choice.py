"""Which lots are handed over, what is in them together, and what the file will hold. Values only."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from urllib.parse import parse_qs, urlsplit

from field_app.core.cautions import Caution, cautions_for
from field_app.core.estimate import Range
from field_app.core.load import LotEstimate
from field_app.core.lots import LotNow
from field_app.core.problems import Refused
from field_app.core.sites import SiteNow
from field_app.core.totals import total
from field_app.core.units import show_number, show_round
from field_app.handover import PlannerOptions
from field_app.ui.life_words import gone, keeping_now
from field_app.words import listed, tr, tr_n

__all__ = ["Offer", "asked_lot", "cautions_of", "file_name", "inside_words", "offer", "size_words", "together"]

#: How far about a position is off that is rounded to so many places of a degree [m].
_ABOUT = {1: 10_000.0, 2: 1000.0, 3: 100.0}


@dataclass(frozen=True, slots=True)
class Offer:
    """The lots that can be handed over: the good ones, those past their best, and those not known here.

    Of which nothing is left, none is on offer.
    """

    good: tuple[LotNow, ...] = ()
    past: tuple[LotNow, ...] = ()
    unknown: tuple[LotNow, ...] = ()

    def chosen_at_first(self, only: str) -> frozenset[str]:
        """The ids that are ticked to begin with: that of the lot ``only``, by its code, or of all good ones."""
        named = frozenset(lot.id for lot in (*self.good, *self.past) if lot.code == only)
        return named or frozenset(lot.id for lot in self.good)

    def those(self, ids: frozenset[str]) -> tuple[LotNow, ...]:
        """The lots of these ids, in the order in which they are shown."""
        return tuple(lot for lot in (*self.good, *self.past) if lot.id in ids)


def offer(lots: Iterable[LotNow], today: dt.date) -> Offer:
    """The lots, sorted by whether they are still good on that day."""
    sorted_by: dict[str, list[LotNow]] = {"good": [], "past": [], "unknown": []}
    for lot in lots:
        if gone(lot):
            continue
        by = keeping_now(lot)
        sorted_by["unknown" if by is None else "past" if by.state(today) == "past" else "good"].append(lot)
    return Offer(*(tuple(found) for found in sorted_by.values()))


def asked_lot(route: str) -> str:
    """The code of the lot that an address asks for, or empty.

    >>> asked_lot("/dye-day/hand-over?lot=4K7Q"), asked_lot("/dye-day")
    ('4K7Q', '')
    """
    return parse_qs(urlsplit(route).query).get("lot", [""])[-1]


def together(lots: Sequence[LotNow], estimate: Callable[[LotNow], LotEstimate]) -> tuple[Range, Range, Range]:
    """What is left of the lots weighs (of liquor, the stuff in it), its air-dry mass, and the cloth it dyes [kg]."""
    worths, masses = [], []
    for lot in lots:
        try:
            worths.append(estimate(lot))
            masses.append(worths[-1].net)
        except Refused:  # told on the lot's own screen; it has no part in the sums but that of the scale
            masses += [lot.life.left] if lot.life.left.unit == "kg" else []
    cloth = [shade.cloth for worth in worths for shade in worth.shades if shade.name == "medium"]
    return (total(masses, unit="kg"), total((worth.air_dry for worth in worths), unit="kg"),
            total(cloth, unit="kg"))


def cautions_of(lots: Iterable[LotNow]) -> tuple[Caution, ...]:
    """What to heed when these lots go to somebody else, each once."""
    found: dict[str, Caution] = {}
    for material, part in dict.fromkeys((lot.facts.material, lot.facts.part) for lot in lots):
        for caution in cautions_for(material, part, "hand over"):
            found.setdefault(caution.key, caution)
    return tuple(found.values())


def inside_words(lots: Sequence[LotNow], sites: Sequence[SiteNow], options: PlannerOptions) -> tuple[str, ...]:
    """What the file will hold and what it keeps back, line by line."""
    where = (tr("exactly") if options.places is None else
             tr("rounded to about {distance}",
                distance=show_round(_ABOUT[options.places], "km" if options.places < 3 else "m"))
             if options.places in _ABOUT else tr("rounded to {places} decimals of a degree", places=options.places))
    held = [tr("their names")] if options.names else []
    held += [tr("your notes")] if options.notes else []
    kept = [] if options.names else [tr("the names of the trees")]
    kept += [] if options.notes else [tr("your notes")]
    return (
        tr_n("{n} lot: what it is, how it was measured, hull, dry matter and cloth as ranges, how long it stays good.",
             "{n} lots: what it is, how it was measured, hull, dry matter and cloth as ranges, how long it stays good.",
             len(lots)),
        tr_n("Where {n} tree stands, {exactly}, and whether leave is given.",
             "Where {n} trees stand, {exactly}, and whether leave is given.", len(sites), exactly=where),
        *([tr("Also {held}.", held=listed(held))] if held else []),
        tr("Kept back: {kept}.", kept=", ".join([*kept, tr("who gave leave")])),
    )


def size_words(size: int) -> str:
    """The size of a file, as a person reads it.

    >>> size_words(900), size_words(12_345)
    ('900 bytes', '12 kB')
    >>> size_words(3_440_000)
    '3.4 MB'
    """
    if size >= 1_000_000:
        return f"{show_number(round(size / 1_000_000, 1))} MB"
    return tr_n("{n} byte", "{n} bytes", size) if size < 1000 else f"{round(size / 1000)} kB"


def file_name(made: dt.datetime) -> str:
    """A name that sorts by time and tells two files of one day apart.

    >>> file_name(dt.datetime.fromisoformat("2026-10-08T15:04:00-02:00"))
    'lots-2026-10-08-1504.zip'
    """
    return f"lots-{made:%Y-%m-%d-%H%M}.zip"
