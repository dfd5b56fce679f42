"""What a load makes of some cloth, drawn: the shade by both routes, the curve in time, load after load."""

from __future__ import annotations

from collections.abc import Sequence

import flet as ft

from field_app.core.bath import Dyed
from field_app.core.durations import show_hours, show_hours_range
from field_app.core.dyeing import Dyeing
from field_app.core.estimate import Range
from field_app.core.palette import Palette
from field_app.core.preview import UNDYED, expected, label_of
from field_app.core.units import show_range
from field_app.ui import parts, theme
from field_app.ui.colour_cells import strips
from field_app.words import shade_words, tr

__all__ = ["curve_card", "loads_card", "more_card", "routes_card"]


def routes_card(found: Dyeing, decimal: str) -> ft.Control:
    """Custom and the bath side by side, and what to make of it where they disagree."""
    first = found.first
    wof = Range(first.wof.low * 100, first.wof.central * 100, first.wof.high * 100, "%")
    sides = [_side(tr("by custom"), first.custom.words,
                   tr("{share} of its weight", share=show_range(wof, decimal=decimal)), "dyes-custom"),
             _side(tr("by the bath"), first.bath.words,
                   tr("depth {depth}", depth=show_range(first.depth, decimal=decimal)), "dyes-bath")]
    dark = first.custom.dark_words or first.bath.dark_words
    return parts.card([
        ft.Row(sides, spacing=theme.GAP, vertical_alignment=ft.CrossAxisAlignment.START),
        parts.second(first.words), *([parts.second(dark)] if dark else [])],
        None if first.agree else "amber", key="dyes-routes")


def _side(name: str, shade: str, figure: str, key: str) -> ft.Control:
    return ft.Column([parts.second(name), ft.Text(shade, key=key, size=theme.LEAD, weight=ft.FontWeight.BOLD,
                                                  color=theme.HULL), parts.small(figure)],
                     spacing=2, expand=True, tight=True)


def _line(label: str, turn: Dyed, most: float, palette: Palette, decimal: str, key: str) -> ft.Control:
    """One state of the cloth: what it is, its shade in words, its depth as a band, and how it may look."""
    look = expected(UNDYED, turn.depth, palette.tints["none"])
    return ft.Column([
        parts.figure_row(label, turn.band.words, key=key),
        ft.Semantics(content=strips(look, height=16), exclude_semantics=True),
        parts.range_bar(turn.depth, most, tr("{label}, depth", label=label), decimal=decimal),
    ], spacing=theme.GRID, horizontal_alignment=ft.CrossAxisAlignment.STRETCH)


def curve_card(found: Dyeing, points: Sequence[Dyed], shade: str, palette: Palette, decimal: str) -> ft.Control:
    """The first load after several times, on one scale, and how long the shade wanted takes."""
    most = max(point.depth.high for point in points) * 1.05
    gain = points[0].no_more
    return parts.card([
        parts.body(tr("As time goes on"), bold=True),
        *(_line(show_hours(point.load.hours), point, most, palette, decimal, f"dyes-at-{at}")
          for at, point in enumerate(points)),
        parts.figure_row(tr("until {shade}", shade=shade_words(shade)), found.wait.words, key="dyes-wait"),
        parts.second(tr("Little is gained after {time}.", time=show_hours_range(gain.low, gain.central, gain.high))),
        parts.small(label_of(palette))], key="dyes-curve")


def loads_card(found: Dyeing, palette: Palette, decimal: str) -> ft.Control:
    """One load after another in the same liquor, each paler, on one scale."""
    most = max(turn.depth.high for turn in found.turns) * 1.05
    return parts.card([
        parts.body(tr("One after another in the same liquor"), bold=True),
        *(_line(f"{turn.place}. {turn.load.text}", turn, most, palette, decimal, f"dyes-load-{turn.place}")
          for turn in found.turns),
        parts.second(found.enough), *([parts.body(found.top.words)] if found.top else [])], key="dyes-loads")


def more_card(found: Dyeing, decimal: str) -> ft.Control:
    """The bath itself, what dark takes, and what is assumed."""
    wof = Range(found.wof.low * 100, found.wof.central * 100, found.wof.high * 100, "%")
    last = found.turns[-1]
    return parts.card([
        parts.range_row(tr("the bath"), found.pot.volume, decimal=decimal, key="dyes-bath-volume"),
        parts.figure_row(tr("all of it by custom"), f"{found.together.words}, {show_range(wof, decimal=decimal)}"),
        parts.range_row(tr("left in it afterwards"), last.left, decimal=decimal),
        parts.second(found.dark.words), *(parts.second(words) for words in found.words)], key="dyes-more")
