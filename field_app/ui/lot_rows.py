"""One lot as one row, the same on every screen that lists lots."""

from __future__ import annotations

import datetime as dt
from typing import Any

import flet as ft

from field_app.core.lots import LotNow
from field_app.ui import parts
from field_app.ui.day_words import day
from field_app.ui.guard import piece
from field_app.ui.lot_words import edge_of, keeping, keeping_words, stuff_words

__all__ = ["lot_route", "lot_row"]


def lot_route(lot: LotNow) -> str:
    """The address of a lot's screen: the code on its pail."""
    return f"/lots/{lot.code}"


def lot_row(lot: LotNow, today: dt.date, decimal: str = ".", *, with_site: bool = True) -> Any:
    """A lot as a card to tap: code and net mass, stuff, site and day, and how long it stays good."""
    by = keeping(lot.facts)
    stuff = stuff_words(lot.facts)
    about = [stuff[:1].upper() + stuff[1:], *([lot.site_name] if with_site else []), day(lot.gathered.date(), today)]
    return _LotCard(
        key=lot.id, route=lot_route(lot), code=lot.code, mass=parts.range_words(lot.net, decimal=decimal),
        about=" · ".join(about), keeps=keeping_words(by, today), edge=edge_of(by, today))


@piece
def _card(route: str, code: str, mass: str, about: str, keeps: str, edge: parts.Edge | None) -> ft.Control:
    return parts.card([
        ft.Row([parts.lead(code), parts.body(mass, bold=True)], wrap=True, spacing=10, run_spacing=0,
               alignment=ft.MainAxisAlignment.SPACE_BETWEEN),
        parts.second(about), parts.body(keeps),
    ], edge, on_click=parts.going(route), key=f"lot-{code}")


#: Drawn again only if one of its words has changed.
_LotCard = ft.memo(_card)  # type: ignore[no-untyped-call]  # the toolkit gives no types for it
