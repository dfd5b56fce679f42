"""When one tree is ready, as a picture and in words, with what lies under it and why."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable
from typing import get_args

import flet as ft

from field_app.core.ripeness import Hopkins
from field_app.core.standing import standing
from field_app.store import Timing
from field_app.ui import parts
from field_app.ui.day_words import day
from field_app.ui.guard import piece
from field_app.ui.looking import use_timings
from field_app.ui.reason_words import reason_rows
from field_app.ui.season_words import (
    hundredths,
    range_of_days,
    ready_words,
    strip_of,
)
from field_app.ui.services import use_services
from field_app.words import later, tr, tr_n

__all__ = ["TreeSeason"]

#: The curve is drawn through so many points [1].
_POINTS = 24
_NO_LAW: Hopkins = "none"
_LAW = {"none": later("not used"), "later": later("later towards the pole"),
        "earlier": later("earlier towards the pole")}


@piece
def TreeSeason(site: str) -> ft.Control:
    """A card for each material of a site that has a season."""
    services = use_services()
    opened, set_opened = ft.use_state(frozenset[str]())
    chosen, set_law = ft.use_state(str(_NO_LAW))
    law = next((one for one in get_args(Hopkins) if one == chosen), _NO_LAW)
    known = use_timings(site, law)

    def toggle(fold: str) -> Callable[[], None]:
        return lambda: set_opened(lambda before: before ^ {fold})

    cards: list[ft.Control] = []
    for one in known:
        cards += _cards(one, services.decimal, opened, toggle, law, set_law)
    return ft.Column(cards, spacing=12, horizontal_alignment=ft.CrossAxisAlignment.STRETCH)


def _cards(one: Timing, decimal: str, opened: frozenset[str], toggle: Callable[[str], Callable[[], None]],
           law: Hopkins, set_law: Callable[[str], None]) -> list[ft.Control]:
    told, today, key = one.forecast, one.today, one.stuff.key
    sap, late = told.kind == "sap", standing(told, today) == "late"
    strip: ft.Control = parts.season_strip(strip_of(one))
    rows: list[ft.Control] = [
        parts.second(tr(one.stuff.name)), parts.lead(ready_words(told, today)), strip,
        parts.figure_row(tr("the sap is up") if sap else tr("ready"), range_of_days(told, today), key=f"ready-{key}"),
        *([] if late else [parts.figure_row(tr("that it is so today"), hundredths(told.ready_today))]),
        parts.figure_row(tr("past its best since") if late else tr("good until"),
                         tr("about {day}", day=day(told.sound_until, today))),
    ]
    rows += [parts.figure_row(tr("go {number}: {day}", number=number, day=day(visit.date, today)),
                              tr("saves {share} of the dye", share=hundredths(visit.saves)))
             for number, visit in enumerate(one.visits, 1)]
    if sap:
        rows.append(parts.notice("caution", tr("From felled, pruned or wind-thrown wood only"),
                                 tr("A ring of bark off a standing tree kills it.")))
    edge: parts.Edge | None = "leaf" if standing(told, today) == "ready" else None
    folds = [*_ground(one, decimal, opened, toggle),
             parts.Fold(tr("why"), tr_n("{n} reason", "{n} reasons", len(told.reasons)), f"why-{key}",
                        f"why-{key}" in opened, toggle(f"why-{key}"), lambda: reason_rows(told.reasons)),
             parts.Fold(tr("Hopkins’ law"), tr(_LAW[law]), f"law-{key}", f"law-{key}" in opened, toggle(f"law-{key}"),
                        lambda: _law(law, set_law, key))]
    return [parts.card(rows, edge, key=f"season-{key}"), parts.fold_card(folds)]


def _law(law: Hopkins, set_law: Callable[[str], None], key: str) -> list[ft.Control]:
    return [parts.second(tr("It moves the calendar of the kind by 4 days for each degree towards the pole. In autumn "
                            "leaves turn earlier there, but hulls need warmth: so it is not used unless you say so.")),
            parts.chips([(name, tr(words)) for name, words in _LAW.items()], law, set_law, f"law-of-{key}")]


def _ground(one: Timing, decimal: str, opened: frozenset[str],
            toggle: Callable[[str], Callable[[], None]]) -> list[parts.Fold]:
    here = one.ground(one.today)
    if here is None:
        return []
    key = f"ground-{one.stuff.key}"
    words = parts.range_words(here.kg, decimal=decimal)

    def inside() -> list[ft.Control]:
        lines: list[ft.Control] = [
            parts.range_bar(here.kg, label=tr("on the ground today"), decimal=decimal), _curve(one, decimal),
            parts.range_row(tr("dyes, at medium"), here.worth, decimal=decimal),
            parts.figure_row(tr("of that lost by tomorrow"), hundredths(here.lost_by_next_day))]
        if one.crop is not None:
            lines.append(parts.range_row(tr("whole crop"), one.crop, decimal=decimal))
        return [*lines, *reason_rows(here.kg.reasons)]

    return [parts.Fold(tr("on the ground"), words, key, key in opened, toggle(key), inside)]


def _curve(one: Timing, decimal: str) -> ft.Control:
    """What would lie there if nobody came, day by day."""
    told = one.forecast
    first = min(one.today, told.p10) - dt.timedelta(days=7)
    last = max(one.today, told.ends)
    step = max(1, (last - first).days // _POINTS)
    days = [first + dt.timedelta(days=at) for at in range(0, (last - first).days + 1, step)]
    found = [(at, here.kg) for at in days if (here := one.ground(at)) is not None]
    most = max(found, key=lambda pair: pair[1].central)
    top = tr("up to {mass}", mass=parts.range_words(most[1], decimal=decimal))
    said = tr("What lies there if nobody comes: {mass}.", mass=top)
    picture: ft.Control = parts.curve_picture(
        tuple(at for at, _ in found), tuple(kg.low for _, kg in found), tuple(kg.central for _, kg in found),
        tuple(kg.high for _, kg in found), one.today, tuple(visit.date for visit in one.visits), top, said)
    return ft.Column([parts.small(tr("what lies there if nobody comes")), picture], spacing=2,
                     horizontal_alignment=ft.CrossAxisAlignment.STRETCH)
