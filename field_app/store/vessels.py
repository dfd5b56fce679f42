"""The pots and pails in the book."""

from __future__ import annotations

from typing import TYPE_CHECKING

from pydantic import ValidationError

from field_app.core.pots import Pot
from field_app.core.problems import Refused, refuse
from field_app.core.sites import name_key
from field_app.core.vessels import VesselForm, VesselNow, decide_vessel, vessel_fault, vessel_now
from field_app.words import tr

if TYPE_CHECKING:
    from field_app.store.book import FieldBook

__all__ = ["add_vessel", "change_vessel", "own_pots", "vessel", "vessels"]


def vessels(book: FieldBook) -> tuple[VesselNow, ...]:
    """All pots and pails, by name; those of a newer program that this one can't read are left out."""
    found = []
    for thing in book.log_book.things("vessel"):
        try:
            one = vessel_now(thing)
        except ValidationError:
            continue
        if vessel_fault(one.facts) is None:
            found.append(one)
    return tuple(sorted(found, key=lambda one: (name_key(one.name), one.id)))


def vessel(book: FieldBook, key: str) -> VesselNow:
    """The pot or pail with this id or name. Raises Refused if there is none, or several of that name."""
    found = [one for one in vessels(book) if one.id == key or name_key(one.name) == name_key(key)]
    if len(found) == 1:
        return found[0]
    if found:
        raise refuse("pot", tr("{count} are named {key!r:.60}", count=len(found), key=key), tr("Name it by its id."))
    raise refuse("pot", tr("no pot or pail is named {key!r:.60}", key=key), tr("List the pots to see their names."))


def add_vessel(book: FieldBook, form: VesselForm) -> VesselNow:
    """A new pot or pail, durable when this returns. Raises Refused."""
    return vessel(book, book.append(decide_vessel(form, book.situation(), vessels(book))))


def change_vessel(book: FieldBook, key: str, form: VesselForm) -> VesselNow:
    """A pot or pail told anew; what was told before stays in its history. Raises Refused."""
    old = vessel(book, key)
    return vessel(book, book.append(decide_vessel(form, book.situation(), vessels(book), corrects=old)))


def own_pots(book: FieldBook) -> dict[str, Pot]:
    """The pots in which one can boil, by name: those of which it is known what they hold and how wide they are."""
    found = {}
    for one in vessels(book):
        if one.facts.vessel == "pot" and one.diameter is not None:
            try:
                found[one.name] = Pot(one.litres, one.diameter, one.name)
            except Refused:  # not one for a fire: told where it was noted, and no reason to stop here
                continue
    return found
