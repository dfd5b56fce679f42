"""Swatches of one's own, as they stand in the book: noted, told anew, and what they teach."""

from __future__ import annotations

from typing import TYPE_CHECKING

from pydantic import ValidationError

from field_app.core.facts import LotFacts
from field_app.core.own import state_of
from field_app.core.palette import Palette
from field_app.core.records import Thing
from field_app.core.swatch_deeds import SwatchForm, decide_swatch
from field_app.core.swatches import Swatch, SwatchFacts, fault_of_swatch, is_swatch
from field_app.store.log import Log

if TYPE_CHECKING:
    from field_app.store.book import FieldBook

__all__ = ["correct_swatch", "note_swatch", "palette_in_force", "swatches_of"]


def note_swatch(book: FieldBook, form: SwatchForm) -> str:
    """A swatch of one's own, durable when this returns; gives the id of its record. Raises Refused."""
    return book.append(decide_swatch(form, book.situation(), _lot(book.log_book, form.lot)))


def correct_swatch(book: FieldBook, swatch: str, form: SwatchForm) -> str:
    """A swatch told anew; what was told before stays in its history. Raises Refused."""
    return book.append(decide_swatch(form, book.situation(), _lot(book.log_book, form.lot), book.held(swatch)))


def swatches_of(log: Log) -> tuple[Swatch, ...]:
    """Every swatch that stands. One of a lot that was taken back counts as taken back with it."""
    return tuple(one for thing in log.things("test") if (one := _swatch(log, thing)) is not None)


def palette_in_force(book: FieldBook, material: str, site: str = "", lot: str = "") -> Palette:
    """What colour a material gives, as swatches of one's own have taught; Refused if it is not known."""
    return book.in_force().palette(material, site, lot)


def _swatch(log: Log, thing: Thing) -> Swatch | None:
    if not is_swatch(thing.kind, dict(thing.facts)):
        return None
    try:
        facts = SwatchFacts.model_validate(dict(thing.facts))
        if fault_of_swatch(facts):
            return None
        if facts.lot is None:
            assert facts.material is not None
            assert facts.state is not None
            return Swatch(thing.id, facts, facts.material, facts.state, facts.site or "")
        of = _lot(log, facts.lot)
    except ValidationError:
        return None
    return None if of is None else Swatch(thing.id, facts, of.material, facts.state or state_of(of), of.site, facts.lot)


def _lot(log: Log, lot: str) -> LotFacts | None:
    thing = log.thing(lot) if lot else None
    if thing is None or thing.kind != "lot" or thing.deleted:
        return None
    return LotFacts.model_validate(dict(thing.facts))
