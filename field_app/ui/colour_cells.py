"""Colours drawn as strips of dyed cloth, each said in words too, for an eye, a screen or a light may not show them."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any

import flet as ft

from field_app.core.colour_course import Column
from field_app.core.estimate import Range
from field_app.core.eye import TURNS, Patch
from field_app.core.helpers import HELPERS
from field_app.core.palette import GROUND_WORDS, GROUNDS, Ground
from field_app.core.preview import Expected, tone
from field_app.core.units import show_number
from field_app.ui import parts, theme
from field_app.ui.guard import guarded
from field_app.words import begun, tr

__all__ = ["before", "cell_words", "chart", "cloth_grid", "eye_card", "ground_notes", "range_of_share", "strips"]

_HIGH = 56


def strips(found: Expected, *, height: int = _HIGH) -> ft.Control:
    """Three strips side by side, from the lightest to the darkest colour that may come; the middle one is widest."""
    one: list[ft.Control] = [
        ft.Container(bgcolor=colour.hex, expand=wide, height=height)
        for colour, wide in ((found.lightest, 3), (found.central, 5), (found.darkest, 3))]
    return ft.Container(ft.Row(one, spacing=0), border=ft.Border.all(1, theme.EDGE), border_radius=8,
                        clip_behavior=ft.ClipBehavior.ANTI_ALIAS)


def before(colour: str, words: str) -> ft.Control:
    """The cloth as it was, as a strip across, with what it is and how it looks."""
    return ft.Column(
        [ft.Container(height=20, bgcolor=colour, border=ft.Border.all(1, theme.EDGE), border_radius=6),
         parts.small(tr("the cloth before: {words}", words=words))], spacing=2,
        horizontal_alignment=ft.CrossAxisAlignment.STRETCH)


def ground_notes(ground: Ground) -> list[ft.Control]:
    """What goes with a mordant: how much by custom, how it is used, and the cautions; nothing without one."""
    if ground == "none":
        return []
    used = HELPERS[ground]
    name = begun(tr(GROUND_WORDS[ground]))
    words = (tr("{helper}: {share} on the weight of wool by custom. {how} The label has the last word.",
                helper=name, share=range_of_share(used.wof), how=tr(used.words)) if used.wof
             else tr("{helper}: {how} The label has the last word.", helper=name, how=tr(used.words)))
    return [parts.second(words),
            *(parts.notice("caution", tr(caution.title), tr(caution.advice)) for caution in used.told()
              if ground == "iron" and caution.key.startswith("iron"))]


def range_of_share(share: Range) -> str:
    """A share as people say it, in percent.

    >>> range_of_share(Range(0.01, 0.02, 0.04, "1"))
    '2 % (1–4)'
    """
    low, central, high = (show_number(end * 100) for end in (share.low, share.central, share.high))
    return f"{central} % ({low}–{high})"


def cell_words(ground: Ground, column: Column) -> str:
    """A cell for a screen reader: where it is, how it looks, how deep, and how sure.

    Lightness is L* of CIELAB, 0 black and 100 white.
    """
    found = column.colours[ground]
    low, central, high = (round(value) for value in found.lightness)
    return tr("{ground}, {time}: {tone}, lightness {central}, {low} to {high}", ground=tr(GROUND_WORDS[ground]),
              time=column.words, tone=tone(found.central.lab), central=central, low=low, high=high)


def chart(columns: Sequence[Column], chosen: tuple[Ground, int], on_pick: Callable[[Ground, int], Any], *,
          across: int = 4) -> ft.Control:
    """The whole chart: a row for each ground, a cell for each time, load or dip; a tap tells more of a cell.

    across: how many cells stand side by side, fewer where the device's text is large [1].
    """
    rows: list[ft.Control] = []
    for ground in GROUNDS:
        rows.append(parts.body(tr(GROUND_WORDS[ground]), bold=True))
        cells = [_cell(ground, at, column, chosen == (ground, at), on_pick) for at, column in enumerate(columns)]
        rows += [ft.Row(cells[at:at + across], spacing=2, vertical_alignment=ft.CrossAxisAlignment.START)
                 for at in range(0, len(cells), across)]
    return ft.Column(rows, spacing=theme.GRID, horizontal_alignment=ft.CrossAxisAlignment.STRETCH)


def _cell(ground: Ground, at: int, column: Column, chosen: bool, on_pick: Callable[[Ground, int], Any]) -> ft.Control:
    found = column.colours[ground]

    def pick() -> None:
        on_pick(ground, at)

    # The first line says all of it to a screen reader; what only repeats it is left out there.
    said = cell_words(ground, column)
    said = tr("{cell}, chosen", cell=said) if chosen else said
    face = ft.Column(
        [strips(found),
         _small(column.words, bold=chosen, said=said),
         ft.Container(ft.Semantics(content=_small(tone(found.central.lab)), exclude_semantics=True),
                      padding=ft.Padding(left=1, right=1, bottom=3))],  # the frame of a chosen one touches no word
        spacing=2, tight=True, horizontal_alignment=ft.CrossAxisAlignment.STRETCH)
    button = ft.TextButton(
        face, key=f"cell-{ground}-{at}", on_click=guarded(pick), style=ft.ButtonStyle(
            padding=ft.Padding.symmetric(horizontal=5, vertical=6), shape=ft.RoundedRectangleBorder(radius=12),
            side=ft.BorderSide(2, theme.HULL if chosen else ft.Colors.TRANSPARENT)))
    return ft.MergeSemantics(button, expand=True)  # what is left out inside would make a second button of it


def _small(words: str, *, bold: bool = False, said: str | None = None) -> ft.Text:
    return ft.Text(words, size=theme.SMALL, color=theme.HULL if said else theme.BARK, semantics_label=said,
                   weight=ft.FontWeight.BOLD if bold else None, text_align=ft.TextAlign.CENTER,
                   style=ft.TextStyle(height=1.15))


def cloth_grid(options: Sequence[tuple[str, str, str]], chosen: str, on_pick: Callable[[str], Any],
               key: str, *, across: int = 3) -> ft.Control:
    """Cloth to choose from, three in a row: a patch of it, its name, and a tick on the one that is chosen.

    options: key, plain words, colour in hexadecimal; chosen: the colour; ``on_pick`` gets the colour.
    """
    rows = [options[at:at + across] for at in range(0, len(options), across)]
    return ft.Column(
        [ft.Row([_patch(name, words, colour, colour == chosen, on_pick, key) for name, words, colour in row],
                spacing=8, vertical_alignment=ft.CrossAxisAlignment.START) for row in rows],
        spacing=8, horizontal_alignment=ft.CrossAxisAlignment.STRETCH)


def eye_card(patches: Sequence[Patch], chosen: str, on_pick: Callable[[str], Any]) -> ft.Control:
    """Colours to hold a swatch against: rows from warm to grey, from light to dark; ``on_pick`` gets the colour."""
    rows: list[ft.Control] = []
    for turn, words, _ in TURNS:
        rows.append(parts.small(tr("{words}, from light to dark", words=tr(words))))
        rows.append(ft.Row([_to_hold(patch, patch.colour.hex == chosen, on_pick)
                            for patch in patches if patch.turn == turn], spacing=4))
    return ft.Column(rows, spacing=2, horizontal_alignment=ft.CrossAxisAlignment.STRETCH, key="eye-card")


def _to_hold(patch: Patch, chosen: bool, on_pick: Callable[[str], Any]) -> ft.Control:
    def pick() -> None:
        on_pick(patch.colour.hex)

    light = patch.colour.lab.lightness
    said = tr("{turn}, {tone}, lightness {lightness}", turn=tr(patch.turn), tone=tone(patch.colour.lab),
              lightness=f"{light:.0f}")
    said = tr("{cell}, chosen", cell=said) if chosen else said
    ink = "#000000" if light > 50 else "#ffffff"
    face = ft.Container(
        ft.Icon(ft.Icons.CHECK, size=24, color=ink if chosen else ft.Colors.TRANSPARENT, semantics_label=said),
        height=48, bgcolor=patch.colour.hex, border=ft.Border.all(1, theme.EDGE), border_radius=8,
        alignment=ft.Alignment.CENTER)
    return ft.TextButton(
        face, key=f"eye-{patch.turn}-{patch.place}", on_click=guarded(pick), expand=True, style=ft.ButtonStyle(
            padding=2, shape=ft.RoundedRectangleBorder(radius=10),
            side=ft.BorderSide(2, theme.HULL if chosen else ft.Colors.TRANSPARENT)))


def _patch(name: str, words: str, colour: str, chosen: bool, on_pick: Callable[[str], Any], key: str) -> ft.Control:
    label: list[ft.Control] = [ft.Text(words, size=theme.SMALL, color=theme.HULL, expand=True,
                                       weight=ft.FontWeight.BOLD if chosen else None,
                                       style=ft.TextStyle(height=1.15))]
    if chosen:
        label.insert(0, ft.Icon(ft.Icons.CHECK, size=18, color=theme.HULL, semantics_label=tr("chosen")))

    def pick() -> None:
        on_pick(colour)

    face = ft.Column(
        [ft.Container(height=44, bgcolor=colour, border=ft.Border.all(1, theme.EDGE), border_radius=6),
         ft.Row(label, spacing=2)], spacing=theme.GRID, tight=True,
        horizontal_alignment=ft.CrossAxisAlignment.STRETCH)
    return ft.TextButton(
        face, key=f"{key}-{name}", on_click=guarded(pick), expand=True, style=ft.ButtonStyle(
            padding=6, shape=ft.RoundedRectangleBorder(radius=10),
            side=ft.BorderSide(2 if chosen else 1, theme.HULL if chosen else theme.LINE)))
