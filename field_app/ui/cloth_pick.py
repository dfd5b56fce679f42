"""Saying what cloth there is: item by item with few taps, or typed; shared by every screen that needs cloth."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field, replace
from typing import Any, Literal

import flet as ft

from field_app.core.cloth_lists import ClothNow
from field_app.core.cloth_text import cloth_example, cloth_examples, read_cloth, read_cloths
from field_app.core.cloths import ClothItem, by_fibre, mass_of
from field_app.core.estimate import Range
from field_app.core.fibres import FIBRES, PIECES, WEAVES
from field_app.core.habits import habits
from field_app.core.problems import Problem, Refused
from field_app.core.units import label_of, offered_first, show_si
from field_app.ui import parts, theme
from field_app.ui.own_units import amount_text, chips_of, own_unit
from field_app.words import later, tr

__all__ = ["ITEM_CALLED", "Change", "Item", "Picked", "add_docked", "add_item", "cloth_mass_words", "picker",
           "total_card"]

Way = Literal["weight", "area", "pieces", "typed"]
_WAYS: tuple[tuple[Way, str], ...] = (("weight", later("weighed")), ("area", later("length and width")),
                                      ("pieces", later("by the piece")), ("typed", later("typed")))
#: Is given what turns the cloth as it is by then into the new one.
Change = Callable[[Callable[["Picked"], "Picked"]], None]
#: The field of a problem with an item, as screens call it.
ITEM_CALLED = {"cloth": later("the cloth")}


@dataclass(frozen=True, slots=True)
class Item:
    """One item that is being told: fibre, and how much in one of four ways."""

    fibre: str = "wool"
    way: Way = "weight"
    amount: str = ""
    unit: str = field(default_factory=lambda: own_unit("mass"))
    length: str = ""
    width: str = ""
    weight: str = ""
    weave: str = ""
    count: str = ""
    piece: str = "shirt"
    words: str = ""

    @property
    def text(self) -> str:
        """The same as one would type it; empty while nothing was told."""
        if self.way == "typed":
            return self.words.strip()
        if self.way == "weight":
            return f"{self.fibre} {amount_text(self.amount, self.unit)}" if self.amount.strip() else ""
        if self.way == "pieces":
            return f"{self.fibre} {self.count.strip()} {self.piece}" if self.count.strip() else ""
        sides = " ".join(amount_text(side, own_side()) for side in (self.length, self.width) if side.strip())
        weight = self.weight.strip()
        if weight and not any(sign.isalpha() for sign in weight):
            weight = f"{weight} {'g/m2' if own_side() == 'm' else 'oz/yd2'}"
        return " ".join(part for part in (self.fibre, sides, weight or self.weave) if part) if sides else ""


@dataclass(frozen=True, slots=True)
class Picked:
    """The cloth of a screen: items as text, the one being told, what is wrong with it, and whether it is open."""

    items: tuple[str, ...] = ()
    item: Item = Item()
    problems: tuple[Problem, ...] = ()
    telling: bool = True

    def read(self) -> tuple[ClothItem, ...]:
        """The items as they are read; all of them were read when they were added."""
        return read_cloths(self.items) if self.items else ()


def own_side() -> str:
    """The unit in which this person measures cloth: metres or yards."""
    return "m" if habits().measures == "metric" else "yd"


def add_item(picked: Picked) -> Picked:
    """The same with the item that is being told, or with what is wrong with it."""
    text = picked.item.text
    try:
        read_cloth(text)
    except Refused as refused:
        if not text:
            return replace(picked, problems=(Problem("cloth", tr("nothing was typed"), tr("Say how much there is.")),))
        return replace(picked, problems=refused.problems)
    fresh = Item(fibre=picked.item.fibre, way=picked.item.way, unit=picked.item.unit, piece=picked.item.piece)
    return Picked((*picked.items, text), fresh, telling=False)


def cloth_mass_words(mass: Range, *, decimal: str = "") -> str:
    """A mass of cloth as one would say it: "3.5 kg", or in grams below a kilogram [kg]."""
    return show_si(mass.central, "kg" if mass.central >= 1 else "g", decimal=decimal)


def total_card(items: Sequence[ClothItem], *, decimal: str = "", key: str = "cloth-total") -> ft.Control:
    """All of it together, and fibre by fibre where there are several."""
    fibres = by_fibre(items)
    rows, of = [parts.range_row(tr(fibre), mass, decimal=decimal) for fibre, mass in fibres.items()], tr("of cloth")
    if len(fibres) == 1:
        rows, of = [], tr("of {fibre}", fibre=tr(next(iter(fibres))))
    return parts.range_card(tr("dry and scoured"), mass_of(items), of=of, more=rows, decimal=decimal, key=key)


def picker(picked: Picked, change: Change, lists: Sequence[ClothNow] = (), *, decimal: str = "",
           docked: bool = False) -> list[ft.Control]:
    """The items with a way to take each out, kept lists to add, and the item that is being told.

    change: is given what turns the cloth as it is by then into the new one; docked: whether the screen has the button
    that adds the item in its dock (see :func:`add_docked`).
    """
    def take_out(at: int) -> Callable[[], None]:
        return lambda: change(lambda now: replace(now, items=(*now.items[:at], *now.items[at + 1:])))

    def take_list(key: str) -> None:
        found = next(one for one in lists if one.id == key)
        change(lambda now: replace(now, items=(*now.items, *found.facts.items), problems=(), telling=False))

    rows: list[ft.Control] = []
    for at, item in enumerate(picked.read()):
        rows.append(ft.Row(parts.at_thumb(
            [ft.Column([parts.body(item.text, bold=True), parts.second(parts.range_words(item.mass, decimal=decimal))],
                       spacing=0, expand=True, tight=True),
             parts.icon_button(ft.Icons.CLOSE, tr("take out {text}", text=item.text), take_out(at),
                               f"cloth-out-{at}")])))
    if lists and (picked.telling or not picked.items):
        rows += [parts.second(tr("From a list that you kept")),
                 parts.chips([(one.id, one.name) for one in lists], None, take_list, "cloth-list")]
    if picked.items and not picked.telling:
        more = ft.Row([parts.outline_button(tr("Add more cloth"),
                                            lambda: change(lambda now: replace(now, telling=True)),
                                            "cloth-more", icon=ft.Icons.ADD, expand=True)])
        return [*rows, more]
    return [*rows, *_telling(picked, change, docked=docked)]


def add_docked(change: Change) -> ft.Control:
    """The button that adds what is being told, as the main action of a screen."""
    return parts.main_button(tr("Add it"), lambda: change(add_item), "cloth-add", icon=ft.Icons.ADD)


def _telling(picked: Picked, change: Change, *, docked: bool) -> list[ft.Control]:
    item = picked.item

    def put(name: str) -> Callable[[str], None]:
        def set_member(now: Picked, value: Any) -> Picked:
            return replace(now, item=replace(now.item, **{name: value}), problems=())

        return lambda value: change(lambda now: set_member(now, value))

    ways = [(way, tr(words)) for way, words in _WAYS]
    rows: list[ft.Control] = [parts.second(tr("How it is known")),
                              parts.chips(ways, item.way, put("way"), "cloth-way")]
    if item.way != "typed":
        fibres = [(key, tr(key)) for key in FIBRES]
        rows += [parts.second(tr("Of what")), parts.chips(fibres, item.fibre, put("fibre"), "fibre")]
    rows += {"weight": _weight, "area": _area, "pieces": _pieces, "typed": _typed}[item.way](item, put)
    rows += parts.problem_text(picked.problems)
    if not docked:
        rows.append(ft.Row([parts.outline_button(tr("Add it"), lambda: change(add_item), "cloth-add",
                                                 icon=ft.Icons.ADD, expand=True)]))
    return [*rows, ft.Container(height=theme.GRID)]


_Put = Callable[[str], Callable[[str], None]]


def _weight(item: Item, put: _Put) -> list[ft.Control]:
    return [parts.field(tr("How much, air-dry"), item.amount, put("amount"), "cloth-amount",
                        keyboard=ft.KeyboardType.NUMBER, hint="3", suffix=label_of(item.unit)),
            parts.chips(chips_of(offered_first("mass")[:4]), item.unit, put("unit"), "cloth-unit")]


def _area(item: Item, put: _Put) -> list[ft.Control]:
    weaves = [(key, tr(key)) for key, row in WEAVES.items() if row.fibre in ("", item.fibre)]
    return [parts.field(tr("Length"), item.length, put("length"), "cloth-length", hint=tr("2 yd"),
                        helper=tr("Metres, if you say no unit.") if own_side() == "m"
                        else tr("Yards, if you say no unit.")),
            parts.field(tr("Width"), item.width, put("width"), "cloth-width", hint=tr("45 in")),
            _area_weight(item, put),
            parts.second(tr("Or what kind of cloth it is")),
            parts.chips(weaves, "" if item.weight.strip() else item.weave, put("weave"), "weave")]


def _area_weight(item: Item, put: _Put) -> ft.Control:
    metric = own_side() == "m"
    return parts.field(
        tr("What a square metre weighs") if metric else tr("What a square yard weighs"), item.weight, put("weight"),
        "cloth-weight", hint="120" if metric else "5",
        helper=tr("Grams, if you say no unit; or 5 oz/yd2, 8 momme.") if metric
        else tr("Ounces, if you say no unit; or 120 g/m2, 8 momme."))


def _pieces(item: Item, put: _Put) -> list[ft.Control]:
    return [parts.field(tr("How many"), item.count, put("count"), "cloth-count", keyboard=ft.KeyboardType.NUMBER,
                        hint="2"),
            parts.chips([(key, tr(key)) for key in PIECES], item.piece, put("piece"), "piece")]


def _typed(item: Item, put: _Put) -> list[ft.Control]:
    return [parts.field(tr("The cloth"), item.words, put("words"), "cloth-words", hint=cloth_examples()[2],
                        helper=tr("As in {examples}; damp or raw wool too: {damp} damp 25 %.",
                                  damp=cloth_example("wool", 4.0),
                                  examples=", ".join(cloth_examples())))]
