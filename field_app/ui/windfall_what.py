"""What it is: the material, in what condition, and how ripe."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import flet as ft

from field_app.core.materials import CONDITIONS, MATERIALS, RIPENESS, Material
from field_app.ui import parts, theme
from field_app.ui.choices import found
from field_app.ui.windfall_desk import Desk
from field_app.ui.windfall_form import Typed, materials_first

__all__ = ["what_section"]

#: So many materials are offered before one searches or asks for all [1].
_FIRST = 6


def what_section(desk: Desk) -> list[ft.Control]:
    """Material and condition in a fold, and how ripe, where that has a meaning."""
    stuff = MATERIALS.get(desk.typed.material)
    wrong = bool(desk.at("material", "condition"))
    if stuff is None:
        body: list[ft.Control] = [_materials(desk)]
    else:
        state = CONDITIONS[desk.typed.condition].name
        body = [parts.fold("what", f"{stuff.name}, {state}", opened=desk.is_open("what"), key="what",
                           on_toggle=desk.toggle("what"), wrong=wrong,
                           controls=[_materials(desk), _conditions(desk)])]
    return [*body, *_ripeness(desk, stuff)]


def _pick_material(before: Typed, key: str) -> Typed:
    stuff = MATERIALS[key]
    if key == before.material:
        return before
    part = next((part for part in stuff.parts if part.key == before.part), stuff.parts[0])
    basis = before.basis
    if (basis == "counted" and not part.countable) or (basis == "poured" and not part.pourable):
        basis = "weighed"
    return before.by_hand(material=key, part=part.key, basis=basis)


def _search(desk: Desk) -> Callable[[str], None]:
    def look(text: str) -> None:
        desk.show(lambda before: replace(before, search=text))
    return look


def _materials(desk: Desk) -> ft.Control:
    likely = materials_first(desk.site, desk.app.lots)
    search = desk.shown.search.strip()
    matching = found(search)
    every = desk.is_open("all-materials") or bool(search)
    # With a search, what doesn't match it goes away even if it is likely here.
    first = [key for key in likely if not search or key in matching]
    rest = [key for key in matching if key not in first]
    keys = [*first, *rest] if every else [*first, *rest][:max(_FIRST, len(first))]

    def choose(key: str) -> None:
        desk.edit(lambda before: _pick_material(before, key))
        _search(desk)("")
        desk.close("what")

    lines: list[ft.Control] = [
        parts.second("What it is"),
        parts.chips([(key, MATERIALS[key].name) for key in keys], desk.typed.material, choose, "material"),
        *parts.problem_text(desk.at("material")),
    ]
    if not keys:
        lines.append(parts.second(f"Nothing here is called {search!r}. Try a shorter word."))
    if every or len(matching) > len(keys):
        lines.append(parts.field("Search", desk.shown.search, _search(desk), "material-search",
                                 hint="oak, gall, Juglans"))
    if not every and len(MATERIALS) > len(keys):
        lines.append(parts.quiet_button(f"Show all {len(MATERIALS)}", desk.toggle("all-materials"),
                                        "material-all"))
    return ft.Column(lines, spacing=2 * theme.GRID, horizontal_alignment=ft.CrossAxisAlignment.STRETCH)


def _conditions(desk: Desk) -> ft.Control:
    words = CONDITIONS[desk.typed.condition].words
    return ft.Column(
        [parts.second("In what condition"),
         parts.chips([(key, state.name) for key, state in CONDITIONS.items()], desk.typed.condition,
                     desk.put("condition"), "condition"),
         parts.small(words), *parts.problem_text(desk.at("condition"))],
        spacing=2 * theme.GRID, horizontal_alignment=ft.CrossAxisAlignment.STRETCH)


def _ripeness(desk: Desk, stuff: Material | None) -> list[ft.Control]:
    part = next((part for part in stuff.parts if part.key == desk.typed.part), None) if stuff else None
    if part is None or not part.shows_ripeness:
        return []
    chosen = desk.typed.ripeness

    def choose(key: str) -> None:
        # A second tap takes it back: not knowing is an answer too.
        desk.edit(lambda before: before.by_hand(ripeness="" if key == before.ripeness else key))

    test = RIPENESS[chosen].test if chosen in RIPENESS else "Leave it open if you don't know."
    return [ft.Column(
        [parts.second("How ripe"),
         parts.chips([(key, ripe.words) for key, ripe in RIPENESS.items()], chosen, choose, "ripe"),
         parts.small(test), *parts.problem_text(desk.at("ripeness"))],
        spacing=2 * theme.GRID, horizontal_alignment=ft.CrossAxisAlignment.STRETCH)]
