"""The frame of every screen: what it answers, its body, its main action, and the four places."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Literal

import flet as ft

from field_app.core.habits import habits
from field_app.ui import theme
from field_app.ui.guard import guarded
from field_app.ui.parts import text
from field_app.ui.parts.buttons import going, icon_button
from field_app.ui.parts.fields import KEYPAD
from field_app.ui.parts.thumb import at_thumb
from field_app.ui.parts.unbroken import words
from field_app.ui.room import room_here
from field_app.words import begun, later, tr

__all__ = ["PLACES", "Place", "page_view"]

Place = Literal["today", "trees", "lots", "dye-day"]
#: The four places: key, word, route, icon.
PLACES: tuple[tuple[Place, str, str, ft.IconData], ...] = (
    ("today", later("Today"), "/", ft.Icons.WB_SUNNY_OUTLINED),
    ("trees", later("Trees"), "/trees", ft.Icons.PARK_OUTLINED),
    ("lots", later("Lots"), "/lots", ft.Icons.INVENTORY_2_OUTLINED),
    ("dye-day", later("Dye day"), "/dye-day", ft.Icons.WATER_DROP_OUTLINED),
)
#: How wide the actions are that stand beside what scrolls [logical px].
_SIDE = 248
# A long line is hard to read, so a wide window has margins: how many of twelve columns are used, by width.
_COLUMNS: dict[str | ft.ResponsiveRowBreakpoint, ft.Number] = {"xs": 12, "md": 10, "lg": 7, "xxl": 5}


def page_view(route: str, kicker: str, title: str, body: Sequence[ft.Control], *,
              dock: Sequence[ft.Control] | ft.Control | None = None, dock_note: str | ft.Control = "",
              undo: Sequence[ft.Control] = (),
              place: Place | None = None, back: str | None = None,
              kicker_end: Sequence[ft.Control] = (),
              scroller: ft.Ref[ft.Column] | None = None) -> ft.View:
    """A whole screen.

    kicker: where, when and how sure, in one small line above the title; title: the screen's answer;
    body: what scrolls, twelve pixels apart; dock: the main action, or an outline and the main action;
    dock_note: a short line under it, such as a caution;
    undo: the way back from what was done last, above the dock where the thumb is;
    place: the place this is the root of, which shows the bottom bar;
    back: for any other screen, the route its back arrow goes to (the level above, if not given);
    kicker_end: small controls at the end of the kicker's line; scroller: gets the column that scrolls.
    """
    root = place is not None
    line: list[ft.Control] = []
    if not root:
        line.append(icon_button(ft.Icons.ARROW_BACK, tr("back"), going(back or _above(route)), "back"))
    line += [text.small(begun(kicker), expand=True), *kicker_end]
    # As high with a picture to tap as without one, so that titles don't jump from place to place.
    line.append(ft.Container(width=0, height=theme.TARGET))
    head = _narrow(ft.Container(
        ft.Row(line, spacing=theme.GRID),
        padding=ft.Padding(left=theme.MARGIN if root else 8, right=8 if kicker_end else theme.MARGIN,
                           top=8, bottom=0)))
    # Sideways the keypad would fill the height: beside what it writes, both are seen.
    pads = [control for control in body if control.data == KEYPAD] if room_here().beside else []
    body = [control for control in body if control not in pads]
    # The margin lies inside what scrolls, so that the scroll bar is beside the cards, not on them.
    inside = ft.Container(
        ft.Column([ft.Container(text.title(title), padding=ft.Padding.only(bottom=theme.GRID)), *body],
                  spacing=theme.GAP, horizontal_alignment=ft.CrossAxisAlignment.STRETCH),
        padding=ft.Padding(left=theme.MARGIN, right=theme.MARGIN, top=2, bottom=2 * theme.GAP))
    middle = ft.Column([_narrow(inside)], scroll=ft.ScrollMode.AUTO, expand=True, ref=scroller,
                       horizontal_alignment=ft.CrossAxisAlignment.STRETCH)
    foot: list[ft.Control] = []
    if undo:
        foot.append(_narrow(ft.Container(ft.Column(list(undo), tight=True, spacing=0), padding=ft.Padding(
            left=theme.MARGIN, right=theme.MARGIN, top=10, bottom=0 if dock is not None else 12))))
    foot += [ft.Container(pad, padding=ft.Padding(left=theme.GAP, right=theme.GAP, top=10, bottom=0)) for pad in pads]
    if dock is not None:
        foot.append(_dock(list(dock) if isinstance(dock, Sequence) else [dock], dock_note))
    framed = _beside if room_here().beside else _below
    return ft.View(
        route="/" if root else route, can_pop=not root, bgcolor=theme.GROUND, padding=0, spacing=0,
        horizontal_alignment=ft.CrossAxisAlignment.STRETCH,
        controls=framed(ft.Column([head, middle, text.scale_probe(room_here().text)], spacing=0,
                                  horizontal_alignment=ft.CrossAxisAlignment.STRETCH),
                        foot, _bar(place) if root else None))


def _below(content: ft.Control, foot: list[ft.Control], bar: ft.Control | None) -> list[ft.BaseControl]:
    """What scrolls, and below it the actions and the places."""
    foot = [*foot, *([bar] if bar is not None else [])]
    under = ft.Container(ft.SafeArea(ft.Column(foot, spacing=0, tight=True), avoid_intrusions_top=False),
                         bgcolor=theme.PAPER, border=ft.Border.only(top=ft.BorderSide(1, theme.LINE)))
    return [ft.SafeArea(content, expand=True, avoid_intrusions_bottom=not foot), *([under] if foot else [])]


def _beside(content: ft.Control, foot: list[ft.Control], bar: ft.Control | None) -> list[ft.BaseControl]:
    """What scrolls, and beside it, at the thumb, the actions and the places: below, they would leave it no height."""
    content.expand = True
    if not foot and bar is None:
        return [ft.SafeArea(content, expand=True)]
    line = ft.BorderSide(1, theme.LINE)
    right, low = habits().hand == "right", room_here().large or room_here().low
    foot = [*foot, *([bar] if bar is not None else [])]
    # At the foot, where the thumb is; what is higher than the screen scrolls.
    side = ft.Container(
        ft.Column(foot if low else [ft.Container(expand=True), *foot], spacing=0,
                  scroll=ft.ScrollMode.AUTO if low else None, horizontal_alignment=ft.CrossAxisAlignment.STRETCH),
        width=_SIDE, bgcolor=theme.PAPER, border=ft.Border.only(left=line) if right else ft.Border.only(right=line))
    return [ft.SafeArea(ft.Row(at_thumb([content, side]), spacing=0, expand=True,
                               vertical_alignment=ft.CrossAxisAlignment.STRETCH), expand=True)]


def _above(route: str) -> str:
    return route.rstrip("/").rpartition("/")[0] or "/"


def _narrow(content: ft.Control) -> ft.Control:
    if room_here().beside:
        return content
    content.col = _COLUMNS
    return ft.ResponsiveRow([content], spacing=0, run_spacing=0, alignment=ft.MainAxisAlignment.CENTER)


def _dock(actions: list[ft.Control], note: str | ft.Control) -> ft.Control:
    # Below each other, none is squeezed; the main one comes last, where the thumb is.
    upright = room_here().beside or (room_here().large and len(actions) > 1)
    if upright:
        for action in actions:
            action.expand = None
    lines: list[ft.Control] = [*actions] if upright else [_equally_high(at_thumb(actions))]
    if isinstance(note, ft.Control):
        lines.append(note)
    elif note:
        lines.append(words(note, size=theme.SECOND, color=theme.BARK, text_align=ft.TextAlign.CENTER))
    side = theme.GAP if room_here().beside else theme.MARGIN
    return _narrow(ft.Container(
        ft.Column(lines, spacing=theme.GAP if upright else 6, tight=True,
                  horizontal_alignment=ft.CrossAxisAlignment.STRETCH),
        padding=ft.Padding(left=side, right=side, top=10, bottom=12)))


def _equally_high(actions: list[ft.Control]) -> ft.Control:
    # Where the words of one take two lines, the other is as high as it.
    if len(actions) == 1:
        return ft.Row(actions)
    return ft.Row(actions, spacing=theme.GAP, intrinsic_height=True,
                  vertical_alignment=ft.CrossAxisAlignment.STRETCH)


def _bar(here: Place | None) -> ft.Control:
    places = [_place(place, word, route, icon, place == here) for place, word, route, icon in PLACES]
    rows = [places[:2], places[2:]] if room_here().beside else [places]
    return ft.Container(
        ft.Column([ft.Row(row, spacing=0, vertical_alignment=ft.CrossAxisAlignment.START) for row in rows],
                  spacing=0, tight=True),
        border=ft.Border.only(top=ft.BorderSide(1, theme.LINE)))


def _place(place: Place, word: str, route: str, icon: ft.IconData, here: bool) -> ft.Control:
    ink = theme.HULL if here else theme.BARK
    mark = ft.Container(height=4, bgcolor=theme.HULL if here else None)
    face = ft.Column(
        [ft.Icon(icon, size=24, color=ink, semantics_label=tr("you are here") if here else None),
         ft.Text(tr(word), size=theme.SMALL, color=ink, text_align=ft.TextAlign.CENTER,
                 weight=ft.FontWeight.BOLD if here else None)],
        spacing=2, tight=True, horizontal_alignment=ft.CrossAxisAlignment.CENTER)
    button = ft.TextButton(face, key=f"place-{place}", on_click=guarded(going(route)), style=ft.ButtonStyle(
        padding=ft.Padding.symmetric(vertical=8, horizontal=0),
        shape=ft.RoundedRectangleBorder(radius=0)))
    return ft.Column([mark, button], spacing=0, expand=True, tight=True,
                     horizontal_alignment=ft.CrossAxisAlignment.STRETCH)
