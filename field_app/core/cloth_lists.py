"""Lists of cloth as records: a name and items as they were typed, read again whenever they are used.

An item is kept as text, so that what a person wrote stays, and what this program understands of it may only grow.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from field_app.core.cloth_text import read_cloths
from field_app.core.cloths import ClothItem, cloth_words, mass_of
from field_app.core.estimate import Range
from field_app.core.facts import Facts
from field_app.core.forms import LONGEST_NAME, LONGEST_NOTE, Decision, Reader, Situation
from field_app.core.problems import Problem, Refused, refuse
from field_app.core.records import Draft, Thing
from field_app.core.sites import name_key
from field_app.words import tr

__all__ = ["MOST_ITEMS", "ClothFacts", "ClothForm", "ClothNow", "cloth_fault", "cloth_now", "decide_cloth",
           "find_cloth"]

#: How many items a list may hold [1].
MOST_ITEMS = 60


class ClothFacts(Facts):
    """A list of cloth: its name, its items as typed ("wool 3 kg"), and a note."""

    name: str
    items: tuple[str, ...]
    note: str = ""


@dataclass(frozen=True, slots=True)
class ClothForm:
    """A list as typed; an item may hold several, parted by semicolons or line breaks."""

    name: str
    items: Sequence[str] = ()
    note: str = ""


@dataclass(frozen=True, slots=True)
class ClothNow:
    """A list of cloth as it stands: its facts, and its items as they are read."""

    id: str
    facts: ClothFacts
    items: tuple[ClothItem, ...]
    heads: tuple[str, ...]
    changed: str

    @property
    def name(self) -> str:
        """Its name, as the person wrote it."""
        return self.facts.name

    @property
    def mass(self) -> Range:
        """All of it together, air-dry and scoured [kg]."""
        return mass_of(self.items)

    @property
    def words(self) -> str:
        """What is in it, fibre by fibre: "wool 3 kg, cotton 360 g"."""
        return cloth_words(self.items)


def cloth_now(thing: Thing) -> ClothNow:
    """A list from what holds about it.

    Raises pydantic's ValidationError if facts are not of their kind, and Refused if an item is not understood.
    """
    facts = ClothFacts.model_validate(dict(thing.facts))
    return ClothNow(thing.id, facts, read_cloths(facts.items), thing.heads, thing.last_hlc)


def decide_cloth(form: ClothForm, known: Iterable[ClothNow], situation: Situation,
                 changes: ClothNow | None = None) -> Decision:
    """A list, new or changed; refused if it has no name, its name is taken, or an item is not understood.

    known: the lists there are; changes: the one that is told anew.
    """
    reader = Reader()
    name = reader.text("name", form.name, LONGEST_NAME)
    if not name:
        reader.wrong("name", tr("is empty"), tr("Give the list a name that you will know again."))
    elif any(name_key(one.name) == name_key(name) for one in known if changes is None or one.id != changes.id):
        reader.wrong("name", tr("there is a list named {name!r} already", name=name),
                     tr("Change that list, or tell them apart in the name."))
    items = reader.read(lambda: read_cloths(form.items)) or ()
    if len(items) > MOST_ITEMS:
        reader.wrong("cloth", tr("has {count} items, {most} at most fit", count=len(items),
                                 most=MOST_ITEMS), tr("Make two lists of it."))
    note = reader.text("note", form.note, LONGEST_NOTE)
    if reader.problems:
        return Decision(problems=tuple(reader.problems))
    facts = ClothFacts(name=name, items=tuple(item.text for item in items), note=note)
    thing, parents = (changes.id, changes.heads) if changes else (situation.new_id(), ())
    return Decision((Draft(thing, "cloth", facts.as_json(), parents=parents),), thing)


def find_cloth(key: str, known: Iterable[ClothNow]) -> ClothNow:
    """The list with this id or name. Raises Refused if there is none, or several of that name."""
    known = tuple(known)
    found = [one for one in known if one.id == key or name_key(one.name) == name_key(key)]
    if len(found) == 1:
        return found[0]
    if found:
        raise refuse("cloth list", tr("{count} are named {key!r:.60}", count=len(found), key=key),
                     tr("Name it by its id."))
    names = ", ".join(one.name for one in known[:5])
    raise refuse("cloth list", tr("none is named {key!r:.60}", key=key),
                 tr("There are: {names}.", names=names) if names else tr("Make one first."))


def cloth_fault(facts: ClothFacts) -> Problem | None:
    """What stands against taking in a list from elsewhere, or None."""
    if not facts.name.strip() or "\n" in facts.name:
        return Problem("name", tr("is not a name on one line"), "")
    if not 0 < len(facts.items) <= MOST_ITEMS:
        return Problem("items", tr("are {count}, not from 1 to {most}", count=len(facts.items),
                                   most=MOST_ITEMS), "")
    try:
        read_cloths(facts.items)
    except Refused as refused:
        return Problem("items", refused.problems[0].what, refused.problems[0].fix)
    return None
