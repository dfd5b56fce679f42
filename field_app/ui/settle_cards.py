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
from field_app.words import later, listed, mid, tr

__all__ = ["SettleCard", "settle_cards"]

_TITLE = later("{people} about {matters}")
#: What stands over what people say, by the kind of the record; people: how many say different things.
_TITLES = {"site": later("{people} about {matters} of this place"), "leave": later("{people} about {matters}: leave"),
           "step": later("{people} about {matters}, in a step"),
           "draw": later("{people} about {matters}, in what was taken"),
           "test": later("{people} about {matters}, in a test")}


def _title(one: Apart, book: FieldBook) -> str:
    """Who says different things, about what, of which record."""
    facts, who = one.thing.facts, people(one)
    matters = listed([tr(difference.about) for difference in one.differences])
    if one.thing.kind == "value" and facts.get("material") in MATERIALS:
        stuff = MATERIALS[str(facts["material"])]
        name, figure = mid(tr(stuff.name)), figure_words(str(facts.get("parameter")), stuff)
        if not facts.get("site"):
            return tr("{people} about {matters} of {stuff}, {figure}", people=who, matters=matters, stuff=name,
                      figure=figure)
        return tr("{people} about {matters} of {stuff}, {figure} at {place}", people=who, matters=matters, stuff=name,
                  figure=figure, place=_name(book, str(facts["site"])))
    if one.thing.kind == "vessel":
        return tr("{people} about {matters} of {pot}", people=who, matters=matters,
                  pot=facts.get("name") or tr("a pot"))
    return tr(_TITLES.get(one.thing.kind, _TITLE), people=who, matters=matters)


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
    told = sayings(one, today, lambda words: _name(services.book, words))
    rows: list[ft.Control] = []

    def settling(version: str, words: str) -> Callable[[], None]:
        return lambda: app.settle(about, one.thing.id, version, tr("settled: {words}", words=words))

    for number, (version, device, words) in enumerate(told, 1):
        key = f"settle-{number}-{one.thing.id[-4:]}"
        holds = tr("counts for now") if number == 1 else tr("does not count for now")
        rows += [ft.Container(height=1, bgcolor=theme.LINE, margin=ft.Margin.symmetric(vertical=2 * theme.GRID)),
                 parts.body(words, bold=True),
                 parts.second(tr("says {device}; {holds}", device=names.called(device), holds=holds)),
                 ft.Row([parts.outline_button(tr("This is right"), settling(version, words), key)])]
    grave = any(difference.grave for difference in one.differences)
    edge: parts.Edge = "madder" if grave else "amber"
    what = tr("Say which is right; it then holds on all devices. The others stay in the history.")
    return parts.card([parts.lead(_title(one, services.book)), parts.second(what), *rows], edge,
                      key=f"apart-{one.thing.id[-4:]}")
