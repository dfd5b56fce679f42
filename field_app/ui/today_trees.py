"""The trees that are worth the way, on Today: one card, all on one scale, so that one sees which weighs more."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any

import flet as ft

from field_app.core.positions import Position
from field_app.store import Timing
from field_app.ui import parts, theme
from field_app.ui.guard import guarded
from field_app.ui.season_words import hundredths, look_sentence, ready_words
from field_app.ui.site_words import site_route, way_words
from field_app.words import tr, tr_n

__all__ = ["due_card", "waiting_words"]

#: So many are shown until one asks for all [1].
FIRST = 3


def waiting_words(one: Timing) -> str:
    """How it stands, and what is lost by waiting."""
    here, stands = one.ground(one.today), ready_words(one.forecast, one.today)
    if here is None or here.kg.central <= 0 or here.lost_by_next_day < 0.01:
        return tr("{standing}.", standing=stands)
    return tr("{standing}. Waiting a day loses {share} of its dye.", standing=stands,
              share=hundredths(here.lost_by_next_day))


def due_card(due: Sequence[Timing], here: Position | None, *, opened: bool,
             on_open: Callable[[], Any]) -> list[ft.Control]:
    """A row for each tree with its stuff, its way, what lies there and why; each row leads to its tree."""
    if not due:
        return []
    lying = [ground.kg.high for one in due if (ground := one.ground(one.today)) is not None]
    most = max(lying, default=0.0)
    shown = due if opened else due[:FIRST]
    rows: list[ft.Control] = []
    if most > 0:
        said = tr("What lies on the ground, all on one scale") if len(shown) > 1 else tr("What lies on the ground")
        rows.append(ft.Container(parts.small(said), padding=ft.Padding.only(left=16, right=16, top=12)))
    for one in shown:
        if one is not shown[0]:
            rows.append(ft.Container(height=1, bgcolor=theme.LINE))
        rows.append(_row(one, here, most))
    cards: list[ft.Control] = [ft.Container(
        ft.Column(rows, spacing=0, horizontal_alignment=ft.CrossAxisAlignment.STRETCH), bgcolor=theme.PAPER,
        border=ft.Border.all(1, theme.LINE), border_radius=theme.RADIUS, clip_behavior=ft.ClipBehavior.ANTI_ALIAS)]
    if len(shown) < len(due):
        more = len(due) - len(shown)
        cards.append(parts.quiet_button(tr_n("1 more tree is worth the way", "{n} more trees are worth the way", more),
                                        on_open, "more-due"))
    return cards


def _row(one: Timing, here: Position | None, most: float) -> ft.Control:
    ground = one.ground(one.today)
    way, stuff = way_words(one.site, here), tr(one.stuff.name)
    lines: list[ft.Control] = [ft.Row(
        [parts.lead(one.site.name), *([parts.body(parts.range_words(ground.kg), bold=True)] if ground else [])],
        wrap=True, spacing=10, run_spacing=0, alignment=ft.MainAxisAlignment.SPACE_BETWEEN)]
    if ground is not None:
        lines.append(parts.range_bar(ground.kg, most * 1.05, tr("on the ground")))
    where = tr("{stuff}, {way}.", stuff=stuff, way=way) if way else f"{stuff}."
    lines += [parts.second(f"{where} {look_sentence(one)}".strip()), parts.body(waiting_words(one))]
    return ft.Container(
        ft.Column(lines, spacing=2, horizontal_alignment=ft.CrossAxisAlignment.STRETCH),
        padding=ft.Padding.symmetric(vertical=12, horizontal=16), ink=True,
        on_click=guarded(parts.going(site_route(one.site.id))), key=f"due-{one.site.name}-{one.stuff.key}")
