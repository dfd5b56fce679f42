"""Several of many: chips that can all be on, a search where there are many, and boxes to tick."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any

import flet as ft

from field_app.core.materials import MATERIALS, Material
from field_app.ui import parts, theme
from field_app.ui.guard import guarded, piece
from field_app.words import tr

__all__ = ["MaterialChoice", "found", "many_chips", "tick"]

#: What is offered before one has to search or ask for all: one of each kind of stuff that many gather.
_FIRST = ("black-walnut", "english-walnut", "butternut", "oak-bark", "oak-gall-apple", "alder-cones")


def many_chips(options: Sequence[tuple[str, str]], chosen: Sequence[str], on_pick: Callable[[str], Any],
               key: str) -> ft.Row:
    """Chips of which any number can be chosen; each has the key ``<key>-<value>``."""
    return ft.Row(
        [parts.chips([(value, words)], value if value in chosen else None, on_pick, key)
         for value, words in options],
        wrap=True, spacing=2 * theme.GRID, run_spacing=2 * theme.GRID)


def tick(words: str, on: bool, on_change: Callable[[bool], Any], key: str, more: str = "") -> ft.Control:
    """A box to tick, with what it means beside it; tapping the words turns it too. 48 px high at least."""
    def changed(event: ft.Event[ft.Checkbox]) -> None:
        on_change(bool(event.control.value))

    box = ft.Checkbox(
        value=on, key=key, active_color=theme.ACTION, check_color=theme.ON_ACTION, on_change=guarded(changed),
        border_side={ft.ControlState.DEFAULT: ft.BorderSide(2, theme.HULL)},
        visual_density=ft.VisualDensity.COMPACT)  # the whole row is the target
    lines: list[ft.Control] = [parts.body(words, bold=on)]
    if more:
        lines.append(parts.second(more))
    row = ft.Container(
        ft.Row([box, ft.Column(lines, spacing=0, expand=True, tight=True)], spacing=theme.GRID),
        padding=ft.Padding.symmetric(vertical=theme.GRID if more else 2 * theme.GRID),
        # Ink would be a second stop for the keyboard; without a colour only the words could be tapped.
        on_click=guarded(lambda: on_change(not on)), bgcolor=ft.Colors.TRANSPARENT, border_radius=theme.RADIUS)
    return ft.MergeSemantics(row)  # one box with its words, not a box in something else to tap


def found(search: str) -> tuple[str, ...]:
    """Keys of the materials whose name, botanical name or group has all the words.

    >>> found("juglans hull")
    ('black-walnut', 'english-walnut', 'butternut')
    """
    words = search.casefold().split()
    return tuple(key for key, stuff in MATERIALS.items() if all(word in _names_of(stuff) for word in words))


def _names_of(stuff: Material) -> str:
    # Whatever language is spoken, the English name is found as well.
    names = (stuff.name, tr(stuff.name), stuff.botanical, stuff.group, tr(stuff.group))
    return " ".join(names).casefold()


@piece
def MaterialChoice(chosen: tuple[str, ...], on_change: Callable[[tuple[str, ...]], Any]) -> ft.Control:
    """What stands there: the chosen ones first, then the first few, a search, and all on request."""
    search, set_search = ft.use_state("")
    show_all, set_show_all = ft.use_state(False)

    def pick(key: str) -> None:
        on_change(tuple(one for one in chosen if one != key) if key in chosen else (*chosen, key))

    matching = found(search)
    offered = matching if show_all or search.strip() else _FIRST
    keys = (*chosen, *(key for key in offered if key not in chosen))
    rows: list[ft.Control] = [
        many_chips([(key, tr(MATERIALS[key].name) if key in MATERIALS else key) for key in keys], chosen, pick,
                   "material"),
    ]
    if search.strip() and not matching:
        rows.append(parts.second(tr("Nothing here is called {search!r}. Try a shorter word, or leave it out and say "
                                    "it in the note.", search=search.strip())))
    rows.append(parts.field(tr("Search for more"), search, set_search, "material-search",
                            hint=tr("oak, gall, Juglans")))
    if not show_all and not search.strip():
        rows.append(parts.quiet_button(tr("Show all {count}", count=len(MATERIALS)), lambda: set_show_all(True),
                                       "material-all"))
    return ft.Column(rows, spacing=2 * theme.GRID, horizontal_alignment=ft.CrossAxisAlignment.STRETCH)
