"""A range is always drawn the same way: a band from low to high, a tick at central, and in words."""

from __future__ import annotations

from collections.abc import Sequence

import flet as ft

from field_app.core.estimate import Range
from field_app.core.units import show_range
from field_app.ui import theme
from field_app.ui.parts import text
from field_app.ui.parts.cards import Edge, card, figure_row
from field_app.words import tr

__all__ = ["range_bar", "range_card", "range_row", "range_words", "share_row", "shares"]

#: A line of whole parts: enough for the screen's pixels.
_PARTS = 1000


def shares(quantity: Range, scale_max: float) -> tuple[int, int, int]:
    """Where low, central and high stand on a line from zero to ``scale_max``, in thousandths [1]."""
    def share(value: float) -> int:
        return round(_PARTS * min(value / scale_max, 1.0)) if scale_max > 0 else 0
    return share(quantity.low), share(quantity.central), share(quantity.high)


def _gap(parts: int) -> list[ft.Control]:
    return [ft.Container(expand=parts)] if parts > 0 else []


def range_bar(quantity: Range, scale_max: float | None = None, label: str = "", *,
              decimal: str = "", unit: str | None = None) -> ft.Control:
    """The band and the tick, on a line from zero to ``scale_max`` (a little above high, if not given).

    ``label`` names the quantity for a screen reader, which hears it with the range in words.
    """
    low, central, high = shares(quantity, scale_max or quantity.high * 1.25)
    band = max(high - low, 6)
    low = min(low, _PARTS - band)
    line = ft.Container(height=1, bgcolor=theme.AXIS, top=10.5, left=0, right=0)
    spread = ft.Container(ft.Row(
        [*_gap(low), ft.Container(height=8, bgcolor=theme.BARK, opacity=theme.BAND, border_radius=4, expand=band),
         *_gap(_PARTS - low - band)], spacing=0), top=7, left=0, right=0)
    tick = ft.Container(ft.Row(
        [*_gap(central), ft.Container(width=4, height=20, bgcolor=theme.HULL, border_radius=2),
         *_gap(_PARTS - central)], spacing=0), top=1, left=0, right=0)
    words = f"{label}: {range_words(quantity, decimal=decimal, unit=unit)}".removeprefix(": ")
    return ft.Semantics(label=words, image=True, exclude_semantics=True,
                        content=ft.Stack([line, spread, tick], height=22))


def range_words(quantity: Range, *, decimal: str = "", unit: str | None = None) -> str:
    """The range in words: ``8.1 kg (7.0–9.6)``."""
    return show_range(quantity, decimal=decimal, unit=unit)


def range_row(label: str, quantity: Range, *, key: str | None = None, decimal: str = "",
              unit: str | None = None) -> ft.Control:
    """A name and its range in words on one line."""
    return figure_row(label, range_words(quantity, decimal=decimal, unit=unit), key=key)


def range_card(label: str, quantity: Range, *, of: str = "", scale_max: float | None = None,
               edge: Edge | None = None, more: Sequence[ft.Control] = (), decimal: str = "",
               unit: str | None = None, key: str | None = None) -> ft.Control:
    """A card for the range that matters: the central figure large, the spread beside it, and the bar.

    ``of`` says of what ("of wool"); ``more`` follows below.
    """
    words = range_words(quantity, decimal=decimal, unit=unit)
    central, _, spread = words.partition(" (")
    beside = " ".join(part for part in (of, f"({spread}" if spread else "") if part)
    return card([
        text.second(label),
        ft.Row([text.figure(central), text.lead(beside, bold=False)], wrap=True, spacing=10,
               vertical_alignment=ft.CrossAxisAlignment.END, alignment=ft.MainAxisAlignment.SPACE_BETWEEN),
        range_bar(quantity, scale_max, label, decimal=decimal, unit=unit),
        *more,
    ], edge, key=key)


def share_row(label: str, share: float, *, words: str = "", key: str | None = None) -> ft.Control:
    """A part of a whole: its name and per cent, a bar as long as its share, and what to do about it."""
    percent = tr("under 1 %") if share < 0.01 else f"{100 * share:.0f} %"
    full = min(max(round(_PARTS * share), 6), _PARTS)
    bar = ft.Container(ft.Row(
        [ft.Container(height=8, bgcolor=theme.BARK, border_radius=4, expand=full), *_gap(_PARTS - full)], spacing=0),
        bgcolor=theme.TRACK, border_radius=4)
    drawn = ft.Semantics(label=f"{label}: {percent}", image=True, exclude_semantics=True, content=bar)
    return ft.Column([figure_row(label, percent, key=key), drawn, *([text.small(words)] if words else [])],
                     spacing=theme.GRID, horizontal_alignment=ft.CrossAxisAlignment.STRETCH)
