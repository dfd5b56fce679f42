"""What it is: the material, in what condition, how ripe, and which part of it was weighed or counted."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import flet as ft

from field_app.core.materials import CONDITIONS, MATERIALS, RIPENESS, Material
from field_app.core.wood import STANDING, WOODS
from field_app.ui import parts, theme
from field_app.ui.choices import found
from field_app.ui.windfall_desk import Desk
from field_app.ui.windfall_form import Typed, materials_first, ways
from field_app.words import tr

__all__ = ["what_folds"]

#: So many materials are offered before one searches or asks for all [1].
_FIRST = 6


def what_folds(desk: Desk) -> list[parts.Fold]:
    """Material, ripeness and part; each is open as long as it is not known, and closes when it is chosen."""
    stuff = MATERIALS.get(desk.typed.material)
    if stuff is None:
        return [parts.Fold(tr("what"), tr("choose"), "what", True, desk.toggle("what"), lambda: [_materials(desk)],
                           bool(desk.at("material")))]
    state = tr(CONDITIONS[desk.typed.condition].name)
    return [
        parts.Fold(tr("what"), f"{tr(stuff.name)}, {state}", "what", desk.is_open("what"), desk.toggle("what"),
                   lambda: [_materials(desk), _conditions(desk)], bool(desk.at("material", "condition"))),
        *_ripeness(desk, stuff),
        _way(desk, stuff),
        *_wood(desk),
    ]


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


def _column(lines: list[ft.Control]) -> ft.Control:
    return ft.Column(lines, spacing=2 * theme.GRID, horizontal_alignment=ft.CrossAxisAlignment.STRETCH)


def _materials(desk: Desk) -> ft.Control:
    search = desk.shown.search.strip()
    matching = found(search)
    every = desk.is_open("all-materials") or bool(search)
    # With a search, what doesn't match goes away even if it is likely here.
    first = [key for key in materials_first(desk.site, desk.app.lots) if key in matching]
    rest = [key for key in matching if key not in first]
    keys = [*first, *rest] if every else [*first, *rest][:max(_FIRST, len(first))]

    def choose(key: str) -> None:
        desk.edit(lambda before: _pick_material(before, key))
        desk.mended("material", "part")
        desk.show(lambda before: replace(before, search="", opened=before.opened - {"what", "all-materials"}))

    lines: list[ft.Control] = [
        parts.chips([(key, tr(MATERIALS[key].name)) for key in keys], desk.typed.material, choose, "material"),
        *parts.problem_text(desk.at("material")),
    ]
    if not keys:
        lines.append(parts.second(tr("Nothing here is called {search!r}. Try a shorter word.", search=search)))
    if every:
        lines.append(parts.field(tr("Search"), desk.shown.search, _search(desk), "material-search",
                                 hint=tr("oak, gall, Juglans")))
    elif len(MATERIALS) > len(keys):
        lines.append(parts.quiet_button(tr("Show all {count}", count=len(MATERIALS)), desk.toggle("all-materials"),
                                        "material-all"))
    return _column(lines)


def _conditions(desk: Desk) -> ft.Control:
    return _column([
        parts.second(tr("in what condition")),
        parts.chips([(key, tr(state.name)) for key, state in CONDITIONS.items()], desk.typed.condition,
                    desk.put("condition"), "condition"),
        parts.small(tr(CONDITIONS[desk.typed.condition].words)), *parts.problem_text(desk.at("condition"))])


def _ripeness(desk: Desk, stuff: Material) -> list[parts.Fold]:
    part = next((part for part in stuff.parts if part.key == desk.typed.part), None)
    if part is None or not part.shows_ripeness:
        return []
    chosen = desk.typed.ripeness

    def choose(key: str) -> None:
        # A second tap takes it back: not knowing is an answer too.
        desk.edit(lambda before: before.by_hand(ripeness="" if key == before.ripeness else key))
        desk.close("ripe")

    ripe = RIPENESS.get(chosen)
    asked = "ripeness" in desk.typed.touched or ripe is not None
    return [parts.Fold(
        tr("how ripe"), tr(ripe.words) if ripe else tr("not told"), "ripe", desk.is_open("ripe") or not asked,
        desk.toggle("ripe"),
        lambda: [_column([
            parts.chips([(key, tr(one.words)) for key, one in RIPENESS.items()], chosen, choose, "ripe"),
            parts.small(tr(ripe.test) if ripe else tr("Leave it open if you don't know.")),
            *parts.problem_text(desk.at("ripeness"))])],
        bool(desk.at("ripeness")))]


def _wood(desk: Desk) -> list[parts.Fold]:
    """Of bark, the wood it came from; it stays open until that is told, and a standing tree is refused in words."""
    if desk.typed.part != "bark":
        return []
    chosen, wrong = desk.typed.wood, desk.at("wood")

    def choose(key: str) -> None:
        desk.edit(lambda before: before.by_hand(wood=key))
        desk.mended("wood")
        if key in WOODS:
            desk.close("wood")

    def inside() -> list[ft.Control]:
        lines: list[ft.Control] = [
            parts.chips([*((key, tr(words)) for key, words in WOODS.items()), (STANDING, tr("a standing tree"))],
                        chosen, choose, "wood"),
            *parts.problem_text(wrong)]
        if chosen == STANDING:
            lines.append(parts.notice(
                "refused", tr("Not from a standing tree"), tr("A ring of bark off its trunk kills it. Take bark from "
                                                          "felled, pruned or wind-thrown wood."), key="wood-refused",
                live=True))
        return [_column(lines)]

    summary = tr(WOODS[chosen]) if chosen in WOODS else tr("a standing tree") if chosen == STANDING else tr("choose")
    return [parts.Fold(tr("from what wood"), summary, "wood", desk.is_open("wood") or chosen not in WOODS,
                       desk.toggle("wood"), inside, bool(wrong))]


def _way(desk: Desk, stuff: Material) -> parts.Fold:
    typed, choices = desk.typed, ways(stuff)
    chosen = next((way for way in choices if (way.part, way.basis) == (typed.part, typed.basis)), None)

    def choose(key: str) -> None:
        way = next(way for way in choices if way.key == key)
        desk.edit(lambda before: before.by_hand(part=way.part, basis=way.basis))
        desk.mended("part", "gross", "tare", "count", "pails", "pail", "fill")
        desk.show(lambda before: replace(before, active="", opened=before.opened - {"way"}))

    return parts.Fold(
        tr("weighed as"), chosen.words if chosen else tr("choose"), "way", desk.is_open("way") or chosen is None,
        desk.toggle("way"),
        lambda: [_column([
            parts.chips([(way.key, way.words) for way in choices], chosen.key if chosen else None, choose, "way"),
            *parts.problem_text(desk.at("part"))])],
        bool(desk.at("part")))
