"""What to take along and what to take care of on the round of the day: two lines that open."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from typing import Any

import flet as ft

from field_app.core.carrying import enough_pails, room_of, room_of_all
from field_app.core.cautions import Caution, cautions_for
from field_app.core.estimate import Range
from field_app.core.rounds import Round
from field_app.core.units import show_si, show_told
from field_app.core.vessels import VesselNow
from field_app.store import Timing
from field_app.ui import parts, theme
from field_app.ui.round_words import light_needed
from field_app.words import listed, tr, tr_n

__all__ = ["cautions_of", "take_folds"]

#: Juice that stains for a week is washed off at once or not at all.
_STAINS = "stain"


def cautions_of(trees: Iterable[Timing]) -> tuple[Caution, ...]:
    """The cautions of gathering there, each once, in the order of their table."""
    found: dict[str, Caution] = {}
    for one in trees:
        for caution in cautions_for(one.stuff.key, one.stuff.parts[0].key, "gather"):
            found.setdefault(caution.key, caution)
    return tuple(found.values())


def take_folds(trees: Sequence[Timing], planned: Round | None, pails: Sequence[VesselNow], opened: frozenset[str],
               toggle: Callable[[str], Callable[[], Any]]) -> list[ft.Control]:
    """Two folds, of what to take along and of what to take care of; nothing where there is no tree to go to."""
    if not trees:
        return []
    cautions = cautions_of(trees)
    shorts = " ".join(tr(caution.short) for caution in cautions[:2])
    folds = [parts.Fold(tr("take along"), _summary(trees, planned, pails, cautions), "take", "take" in opened,
                        toggle("take"), lambda: _along(trees, planned, pails, cautions))]
    if cautions:
        folds.append(parts.Fold(tr("take care"), shorts, "care", "care" in opened, toggle("care"), lambda: [
            parts.notice("caution", tr(one.title), f"{tr(one.text)} {tr(one.advice)}", key=f"care-{one.key}")
            for one in cautions]))
    return [parts.fold_card(folds)]


def _load(trees: Sequence[Timing], planned: Round | None) -> tuple[Range | None, Range]:
    """What may have to be carried [kg], and the room it takes [L], over the stops of the round or all due trees."""
    on_it = {one.site.id: one for one in reversed(trees)}
    if planned is not None and planned.stops:
        rooms = [room_of(on_it[stop.candidate.site].stuff, stop.expected) for stop in planned.stops
                 if stop.candidate.site in on_it]
        return planned.total, room_of_all(rooms)
    grounds = [(one, ground.kg) for one in trees if (ground := one.ground(one.today)) is not None]
    return None, room_of_all(room_of(one.stuff, kg) for one, kg in grounds)


def _chosen(pails: Sequence[VesselNow], room: Range) -> tuple[VesselNow, ...]:
    return enough_pails(pails, room.central)


def _too_small(chosen: Sequence[VesselNow], room: Range) -> bool:
    return sum(one.litres for one in chosen) < room.central


def _summary(trees: Sequence[Timing], planned: Round | None, pails: Sequence[VesselNow],
             cautions: Sequence[Caution]) -> str:
    _, room = _load(trees, planned)
    chosen = _chosen(pails, room)
    words = [tr_n("1 pail", "{n} pails", len(chosen)) if chosen else tr("pails or sacks")]
    if chosen and _too_small(chosen, room):
        words.append(tr("sacks"))
    if any(caution.key == _STAINS for caution in cautions):
        words += [tr("gloves"), tr("water")]
    if light_needed(planned):
        words.append(tr("a light"))
    return listed(words)


def _along(trees: Sequence[Timing], planned: Round | None, pails: Sequence[VesselNow],
           cautions: Sequence[Caution]) -> list[ft.Control]:
    load, room = _load(trees, planned)
    lines: list[ft.Control] = []
    if load is not None:
        lines.append(parts.range_row(tr("load to expect"), load))
    if room.high > 0:
        lines.append(parts.range_row(tr("room it takes"), room))
    chosen = _chosen(pails, room)
    for one in chosen:
        tare = one.facts.tare
        weighs = (tr("{mass} empty", mass=show_told(tare)) if tare is not None
                  else tr("weigh it empty first"))
        lines.append(parts.figure_row(tr("{pail}, {volume}", pail=one.name, volume=_holds(one)), weighs))
    if chosen and _too_small(chosen, room):
        lines.append(parts.second(tr("Your pails hold less than may lie there: take sacks for the rest.")))
    if not pails:
        lines.append(ft.Row([parts.outline_button(tr("Note your pails and what they weigh"), parts.going("/pots"),
                                                  "take-pails")]))
    if any(caution.key == _STAINS for caution in cautions):
        lines.append(parts.body(tr("Gloves and old clothes, and water to wash with: the juice stains for a week.")))
    if light_needed(planned):
        lines.append(parts.body(tr("A light: under trees it is dark before sunset.")))
    lines.append(parts.body(tr("The scale, and this device, charged.")))
    return [ft.Column(lines, spacing=theme.GRID, horizontal_alignment=ft.CrossAxisAlignment.STRETCH)]


def _holds(one: VesselNow) -> str:
    volume = one.facts.volume
    return volume.typed or show_si(one.litres, "L")
