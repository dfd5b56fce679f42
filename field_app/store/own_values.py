"""A person's own values and tests, as they stand in the book, and the values in force that follow from them."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from pydantic import ValidationError

from field_app.core.facts import LotFacts
from field_app.core.own import InForce, OwnRecords, OwnTest, OwnValue, state_of
from field_app.core.own_deeds import OwnTestForm, ValueForm, decide_own_test, decide_value
from field_app.core.own_facts import OwnTestFacts, ValueFacts, fault_of_test, fault_of_value, value_id
from field_app.core.problems import refuse
from field_app.core.records import Thing
from field_app.store.log import Log
from field_app.store.swatches import swatches_of
from field_app.words import tr

if TYPE_CHECKING:
    from field_app.store.book import FieldBook

__all__ = ["OwnNow", "correct_test", "note_test", "own_now", "own_records", "set_value", "take_back_value",
           "value_held"]


@dataclass(frozen=True, slots=True)
class OwnNow:
    """What is of a person's own at one moment: the mark of the book then, and the lookup."""

    mark: tuple[int, int]
    in_force: InForce


def own_now(log: Log, before: OwnNow | None) -> OwnNow:
    """What is of a person's own now; ``before`` itself if nothing was written since."""
    mark = log.change_mark()
    if before is not None and before.mark == mark:
        return before
    records = own_records(log)
    if before is not None and before.in_force.records == records:
        # What was worked out for the same records still holds.
        return OwnNow(mark, before.in_force)
    return OwnNow(mark, InForce(records))


def own_records(log: Log) -> OwnRecords:
    """Every value, test and swatch that stands. A test of a lot that was taken back counts as taken back with it.

    What a newer program wrote and this one can't read is kept in the book, but left out.
    """
    values = (_value(thing) for thing in log.things("value"))
    tests = (_test(log, thing) for thing in log.things("test"))
    return OwnRecords(tuple(one for one in values if one is not None), tuple(one for one in tests if one is not None),
                      swatches_of(log))


def _value(thing: Thing) -> OwnValue | None:
    try:
        facts = ValueFacts.model_validate(dict(thing.facts))
    except ValidationError:
        return None
    return None if fault_of_value(facts) else OwnValue(thing.id, facts, len(thing.heads) > 1)


def _test(log: Log, thing: Thing) -> OwnTest | None:
    try:
        facts = OwnTestFacts.model_validate(dict(thing.facts))
        if fault_of_test(facts):
            return None
        if facts.lot is None:
            assert facts.material is not None
            assert facts.state is not None
            return OwnTest(thing.id, facts, facts.material, facts.state, facts.site or "")
        lot = log.thing(facts.lot)
        if lot is None or lot.deleted:
            return None
        of = LotFacts.model_validate(dict(lot.facts))
    except ValidationError:
        return None
    return OwnTest(thing.id, facts, of.material, facts.state or state_of(of), of.site, lot.id)


def value_held(book: FieldBook, material_key: str, parameter: str, site: str = "") -> Thing | None:
    """What is held of a value of one's own, set or taken back; None if it was never set."""
    return book.log_book.thing(value_id(material_key, parameter, site or None))


def set_value(book: FieldBook, form: ValueForm) -> str:
    """A value in place of the table's, durable when this returns; gives the id of its record. Raises Refused."""
    situation = book.situation()
    first = decide_value(form, situation).unless_refused()
    return book.append(decide_value(form, situation, book.log_book.thing(first.main)))


def take_back_value(book: FieldBook, material_key: str, parameter: str, site: str = "") -> None:
    """Back to the table's value, and to what tests have taught. Raises Refused if none was set."""
    held = value_held(book, material_key, parameter, site)
    if held is None or held.deleted:
        raise refuse("figure", tr("no value of your own is set for {parameter}", parameter=parameter),
                     tr("Nothing needs to be taken back."))
    book.withdraw(held.id)


def note_test(book: FieldBook, form: OwnTestForm) -> str:
    """A test of one's own stuff, durable when this returns; gives the id of its record. Raises Refused."""
    return book.append(decide_own_test(form, book.situation(), _lot(book, form.lot)))


def correct_test(book: FieldBook, test: str, form: OwnTestForm) -> str:
    """A test told anew; what was told before stays in its history. Raises Refused."""
    return book.append(decide_own_test(form, book.situation(), _lot(book, form.lot), book.held(test)))


def _lot(book: FieldBook, lot: str) -> LotFacts | None:
    thing = book.log_book.thing(lot) if lot else None
    if thing is None or thing.kind != "lot" or thing.deleted:
        return None
    facts: Mapping[str, Any] = thing.facts
    return LotFacts.model_validate(dict(facts))
