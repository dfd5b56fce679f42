"""One lot as one row, the same on every screen that lists lots."""

from __future__ import annotations

import datetime as dt
from typing import Any

import flet as ft

from field_app.core.lots import LotNow
from field_app.core.units import show_si
from field_app.ui import parts
from field_app.ui.day_words import day
from field_app.ui.guard import piece
from field_app.ui.life_words import gone, keeps_edge, keeps_words, left_words, state_words
from field_app.ui.lot_words import stuff_words
from field_app.words import begun, tr

__all__ = ["lot_route", "lot_row"]


def lot_route(lot: LotNow) -> str:
    """The address of a lot's screen: the code on its pail."""
    return f"/lots/{lot.code}"


def lot_row(lot: LotNow, today: dt.date, decimal: str = "", *, with_site: bool = True, grave: bool = False) -> Any:
    """A lot as a card to tap: code and what is left, stuff, site and day, and how long it stays good.

    grave: whether people say different things of it that matter.
    """
    about = [begun(stuff_words(lot.facts)), *([lot.site_name] if with_site else []), day(lot.gathered.date(), today)]
    if lot.life.state not in ("gathered", "weighed") and not gone(lot):
        about.append(state_words(lot.life, today))
    over = lot.life.overdraft
    wrong = [*([tr("{more} more was taken than there was",
                   more=show_si(over, lot.life.left.unit, decimal=decimal))] if over else []),
             *([tr("People say different things of it")] if grave else [])]
    return _LotCard(
        key=lot.id, route=lot_route(lot), code=lot.code,
        mass=tr("nothing left") if gone(lot) else left_words(lot.life, decimal=decimal),
        about=" · ".join(about), keeps=keeps_words(lot, today), edge="madder" if wrong else keeps_edge(lot, today),
        wrong=". ".join(wrong))


@piece
def _card(route: str, code: str, mass: str, about: str, keeps: str, edge: parts.Edge | None,
          wrong: str) -> ft.Control:
    return parts.card([
        ft.Row([parts.lead(code), parts.body(mass, bold=True)], wrap=True, spacing=10, run_spacing=0,
               alignment=ft.MainAxisAlignment.SPACE_BETWEEN),
        parts.second(about), parts.body(begun(keeps)), *([parts.body(f"{wrong}.", bold=True)] if wrong else []),
    ], edge, on_click=parts.going(route), key=f"lot-{code}")


#: Drawn again only if one of its words has changed.
_LotCard = ft.memo(_card)  # type: ignore[no-untyped-call]  # the toolkit gives no types for it
