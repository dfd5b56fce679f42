"""What was said of a lot or a site, and of all that belongs to it; and settling what people say differently."""

from __future__ import annotations

from dataclasses import dataclass, replace

from field_app.core.differences import Difference, Saying
from field_app.core.history import Told, tell
from field_app.core.problems import Refused, refuse
from field_app.core.records import code_of
from field_app.handover.group import Disagreement
from field_app.store import FieldBook
from field_app.store.sync import Apart, apart, things_of, withdrawn_lots
from field_app.words import tr

__all__ = ["Choice", "Subject", "choices", "disagreements", "history", "settle", "subject"]


@dataclass(frozen=True, slots=True)
class Subject:
    """A lot or a site that is asked for: its id, its kind, and its code or name."""

    id: str
    kind: str
    name: str


@dataclass(frozen=True, slots=True)
class Choice:
    """One of several things that people say: its number from 1, what it is about, and whether it holds now."""

    number: int
    thing: str
    kind: str
    version: str
    device: str
    words: str
    holds: bool


def subject(book: FieldBook, key: str) -> Subject:
    """The lot with this code or id, withdrawn or not, or else the site of this name.

    Raises Refused if there is neither.
    """
    thing = book.log_book.thing(key)
    if thing is not None and thing.kind in ("lot", "site"):
        return Subject(thing.id, thing.kind, _named(book, thing.id))
    try:
        lot = book.lot(key)
    except Refused as refused:
        try:
            site = book.site(key)
        except Refused:
            gone = withdrawn_lots(book.log_book, key)
            if len(gone) == 1:
                return Subject(gone[0], "lot", code_of(gone[0]))
            raise refused from None
        return Subject(site.id, "site", site.name)
    return Subject(lot.id, "lot", lot.code)


def _named(book: FieldBook, thing: str) -> str:
    held = book.log_book.thing(thing)
    if held is None:
        return tr("not known here")
    return str(held.facts.get("name", "")) if held.kind == "site" else code_of(thing)


def _plain(book: FieldBook, words: str) -> str:
    # A fact that names another record by its id is told by that record's name.
    return _named(book, words) if words.startswith("urn:uuid:") else words


def history(book: FieldBook, thing: str) -> tuple[Told, ...]:
    """Everything that was said of a thing and of what belongs to it, oldest first."""
    whole = things_of(book.log_book, thing)
    if _kind(book, thing) == "site":
        # The lots of a site have a history of their own.
        whole = tuple(one for one in whole if _kind(book, one) != "lot")
    told = [one for part in whole for one in tell(book.history(part))]
    told.sort(key=lambda one: (one.hlc, one.version))
    return tuple(replace(one, facts=tuple((about, _plain(book, words)) for about, words in one.facts))
                 for one in told)


def _kind(book: FieldBook, thing: str) -> str:
    held = book.log_book.thing(thing)
    return "" if held is None else held.kind


def _apart(book: FieldBook, thing: str) -> tuple[Apart, ...]:
    of_site = _kind(book, thing) == "site"
    return tuple(one for one in apart(book.log_book, of=thing) if not (of_site and one.thing.kind == "lot"))


def choices(book: FieldBook, thing: str) -> tuple[Choice, ...]:
    """Everything that may be chosen where people disagree about a thing or what belongs to it, numbered from 1."""
    found: list[Choice] = []
    for one in _apart(book, thing):
        for head in one.heads:
            words = "; ".join(f"{tr(difference.about)}: {tr(_plain(book, _said(difference, head.name)))}"
                              for difference in one.differences)
            found.append(Choice(len(found) + 1, head.thing, head.kind, head.name, head.device,
                                tr("withdrawn") if head.deleted else words, head.name == one.heads[0].name))
    return tuple(found)


def _said(difference: Difference, version: str) -> str:
    # One that says the same as what holds is not among the others.
    return next((other.words for other in difference.others if other.version == version), difference.holds.words)


def settle(book: FieldBook, thing: str, number: int) -> Choice:
    """Let one of the choices hold from now on. Raises Refused if there is nothing to settle, or no such choice."""
    found = choices(book, thing)
    if not found:
        raise refuse("LOT", tr("nobody disagrees about it"), tr("Nothing needs to be settled."))
    if not 1 <= number <= len(found):
        raise refuse("--choose", tr("{number} is none of 1 to {count}", number=number, count=len(found)),
                     tr("Look at the history for the numbers."))
    chosen = found[number - 1]
    book.settle(chosen.thing, chosen.version)
    return chosen


def disagreements(book: FieldBook) -> tuple[Disagreement, ...]:
    """Everything of which people say different things, and nobody has settled it yet."""
    found: list[Disagreement] = []
    for one in apart(book.log_book):
        facts, kind = one.thing.facts, one.thing.kind
        owner = one.thing.id if kind in ("lot", "site") else facts.get("lot") or facts.get("site")
        belongs = _named(book, owner) if isinstance(owner, str) else ""
        found.extend(Disagreement(one.thing.id, kind, belongs, replace(
            difference, holds=_plain_saying(book, difference.holds),
            others=tuple(_plain_saying(book, other) for other in difference.others)))
            for difference in one.differences)
    return tuple(found)


def _plain_saying(book: FieldBook, saying: Saying) -> Saying:
    return replace(saying, words=_plain(book, saying.words))
