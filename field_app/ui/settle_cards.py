"""Where people say different things: each saying as a button that lets it hold for everybody."""

from __future__ import annotations

from collections.abc import Callable, Sequence

import flet as ft

from field_app.core.figures import figure_words
from field_app.core.materials import MATERIALS
from field_app.core.problems import Refused
from field_app.store import FieldBook
from field_app.store.sync import Apart
from field_app.ui import parts, theme
from field_app.ui.guard import piece
from field_app.ui.history_words import Names, people, sayings
from field_app.ui.services import use_app, use_services
from field_app.words import later, tr, tr_n

__all__ = ["SettleCard", "settle_cards"]

#: What a record is called in a sentence about it.
_OF = {"lot": "", "site": later(" of this place"), "leave": later(": leave"), "step": later(", in a step"),
       "draw": later(", in what was taken"),
       "test": later(", in a test")}


def _of(one: Apart, book: FieldBook) -> str:
    """What the record is about, to end a title with."""
    facts = one.thing.facts
    if one.thing.kind == "value" and facts.get("material") in MATERIALS:
        stuff = MATERIALS[str(facts["material"])]
        where = f" at {_name(book, str(facts['site']))}" if facts.get("site") else ""
        return tr(" of {name}, {figure_words}{where}", name=stuff.name.lower(),
                  figure_words=figure_words(str(facts.get("parameter")), stuff), where=where)
    if one.thing.kind == "vessel":
        return f" of {facts.get('name', 'a pot')}"
    return _OF.get(one.thing.kind, "")


def settle_cards(apart: Sequence[Apart], about: str, names: Names) -> list[ft.Control]:
    """One card for each thing of which people say different things; about: the id of the lot or place."""
    return [SettleCard(one, about, names) for one in apart]


def _name(book: FieldBook, words: str) -> str:
    if not words.startswith("urn:uuid:"):
        return words
    try:
        return book.site(words).name
    except Refused:
        return tr("a place not known here")


@piece
def SettleCard(one: Apart, about: str, names: Names) -> ft.Control:
    """What each says, with the one that holds now marked."""
    services, app = use_services(), use_app()
    today = app.today()
    matters = " and ".join(difference.about for difference in one.differences)
    told = sayings(one, today, lambda words: _name(services.book, words))
    rows: list[ft.Control] = []

    def settling(version: str, words: str) -> Callable[[], None]:
        return lambda: app.settle(about, one.thing.id, version, f"settled: {words}")

    for number, (version, device, words) in enumerate(told, 1):
        key = f"settle-{number}-{one.thing.id[-4:]}"
        holds = tr_n("counts for now", "does not count for now", number)
        rows += [ft.Container(height=1, bgcolor=theme.LINE),
                 parts.body(words, bold=True),
                 parts.second(tr("says {called}; {holds}", called=names.called(device), holds=holds)),
                 ft.Row([parts.outline_button(tr("This is right"), settling(version, words), key)])]
    grave = any(difference.grave for difference in one.differences)
    edge: parts.Edge = "madder" if grave else "amber"
    title = f"{people(one)} about {matters}{_of(one, services.book)}"
    what = tr("Say which is right; it then holds on all devices. The others stay in the history.")
    return parts.card([parts.lead(title), parts.second(what), *rows], edge, key=f"apart-{one.thing.id[-4:]}")
