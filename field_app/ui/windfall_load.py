"""How much: weighed, counted or in pails, on a keypad of its own, and what is left after the pail."""

from __future__ import annotations

from dataclasses import replace

import flet as ft

from field_app.core.estimate import Range
from field_app.core.load import LotEstimate
from field_app.core.materials import MATERIALS
from field_app.core.units import UNITS, label_of, offered_first
from field_app.ui import parts, theme
from field_app.ui.own_units import chips_of, own_label, own_unit
from field_app.ui.windfall_desk import Desk
from field_app.ui.windfall_form import Typed, numbers_of, preview, vessel_text
from field_app.words import later, tr

__all__ = ["load_section"]

#: From this size of the device's text on, the figures stand below each other [1].
_LARGE = 1.25

_LABELS = {"gross": later("On the scale"), "tare": later("Empty pail"), "count": later("How many"),
           "pails": later("Pails"), "pail": later("One holds"), "fill": later("How full")}
#: So many pails of one's own are offered [1].
_OWNED = 6
#: How full pails are, as one judges by eye: share and words.
_FILLS = (("0.5", later("half")), ("0.75", "¾"), ("1", later("full")), ("1.2", later("heaped")))


def load_section(desk: Desk) -> list[ft.Control]:
    """The section, once it is known what was gathered."""
    typed = desk.typed
    if typed.material not in MATERIALS:
        return []
    def scaled(scale: float) -> None:
        desk.show(lambda before: replace(before, large_text=scale >= _LARGE))

    return [
        ft.Column([parts.scale_probe(scaled), *_fields(desk)], spacing=0),
        _results(desk, preview(typed, desk.now, desk.stuff)),
        parts.keypad(lambda key: _press(desk, key), decimal=desk.decimal),
    ]


def _aim(desk: Desk, name: str) -> None:
    desk.show(lambda before: replace(before, active=name))


def _target(typed: Typed, active: str) -> str:
    names = numbers_of(typed)
    return active if active in names else names[0]


def _press(desk: Desk, key: str) -> None:
    name = _target(desk.typed, desk.shown.active)
    desk.edit(lambda before: before.by_hand(**{name: parts.pressed(getattr(before, name), key, desk.decimal)}))
    desk.mended(name)


def _number(desk: Desk, name: str, *, suffix: str = "", big: bool = True, expand: int | None = None) -> ft.Control:
    return parts.field(
        tr(_LABELS[name]), getattr(desk.typed, name), desk.put(name), name, desk.at(name), suffix=suffix, big=big,
        keyboard=ft.KeyboardType.NONE, on_focus=lambda: _aim(desk, name),
        active=_target(desk.typed, desk.shown.active) == name, expand=expand, told_below=expand is None)


def _fields(desk: Desk) -> list[ft.Control]:
    typed = desk.typed
    if typed.basis == "counted":
        return [_number(desk, "count")]
    if typed.basis == "poured":
        return [_side_by_side(desk, _number(desk, "pails", expand=1),
                              _number(desk, "pail", suffix=own_label("volume"), expand=1)),
                *_told(desk, "pails", "pail"), *_owned(desk, "pail"), _lower(_fills(desk))]
    unit = label_of(typed.unit) if typed.unit in UNITS else typed.unit
    fields = _side_by_side(
        desk, _number(desk, "gross", expand=5), _number(desk, "tare", expand=4),
        ft.Container(parts.drop_button(unit, desk.toggle("unit"), "unit",
                                       opened=desk.is_open("unit")), padding=ft.Padding.only(top=theme.GAP)))
    found = [fields, *_told(desk, "gross", "tare"), *_owned(desk, "tare")]
    return [*found, _lower(_units(desk))] if desk.is_open("unit") else found


def _owned(desk: Desk, name: str) -> list[ft.Control]:
    """The pails that this person owns, to take what one weighs empty, or holds, from; nothing if none is noted."""
    unit = desk.typed.unit if name == "tare" else own_unit("volume")
    texts = {one.id: text for one in desk.owned if (text := vessel_text(one, name, unit))}
    if not texts:
        return []
    chosen = next((key for key, text in texts.items() if text == getattr(desk.typed, name)), None)
    options = [(one.id, one.name) for one in desk.owned if one.id in texts][:_OWNED]
    return [_lower(parts.chips(options, chosen, lambda key: desk.put(name)(texts[key]), f"own-{name}"))]


def _told(desk: Desk, *names: str) -> list[ft.Control]:
    # Half a screen is too narrow for a sentence; under both fields it has room.
    return [_lower(ft.Column(parts.problem_text(desk.at(name)), spacing=theme.GRID)) for name in names
            if desk.at(name)]


def _lower(content: ft.Control) -> ft.Control:
    return ft.Container(content, padding=ft.Padding.only(top=theme.GAP))


def _side_by_side(desk: Desk, *fields: ft.Control) -> ft.Control:
    if desk.shown.large_text:
        for field in fields:
            field.expand = None
        return ft.Column(list(fields), spacing=theme.GAP)
    return ft.Row(parts.fields_at_thumb(fields), spacing=2 * theme.GRID,
                  vertical_alignment=ft.CrossAxisAlignment.START)


def _units(desk: Desk) -> ft.Control:
    def choose(key: str) -> None:
        desk.edit(lambda before: before.weighed_in(key))
        desk.mended("unit")
        desk.close("unit")

    return parts.chips(chips_of(offered_first("mass")), desk.typed.unit, choose, "unit")


def _fills(desk: Desk) -> ft.Control:
    return ft.Column(
        [parts.second(tr("how full")),
         parts.chips([(share, tr(words)) for share, words in _FILLS], desk.typed.fill or "1", desk.put("fill"), "fill"),
         *parts.problem_text(desk.at("fill"))],
        spacing=2 * theme.GRID, horizontal_alignment=ft.CrossAxisAlignment.STRETCH)


def _results(desk: Desk, worth: LotEstimate | None) -> ft.Control:
    typed = desk.typed
    after = typed.basis == "weighed" and bool(typed.tare.strip())
    rows = [_row(desk, tr("left after the pail") if after else tr("net"), worth.net if worth else None, "net")]
    if typed.part == "whole-fruit":
        rows.append(_row(desk, tr("hull in it"), worth.fresh_hull if worth else None, "hull"))
    medium = next((shade for shade in worth.shades if shade.name == "medium"), None) if worth else None
    rows.append(_row(desk, tr("wool it dyes, at medium"), medium.cloth if medium else None, "cloth"))
    return ft.Column(rows, spacing=2, horizontal_alignment=ft.CrossAxisAlignment.STRETCH)


def _row(desk: Desk, label: str, quantity: Range | None, key: str) -> ft.Control:
    if quantity is None:
        return parts.figure_row(label, "–", key=f"live-{key}")
    unit = desk.typed.unit if desk.typed.basis == "weighed" and desk.typed.unit in ("lb", "oz", "g") else None
    return parts.range_row(label, quantity, key=f"live-{key}", decimal=desk.decimal, unit=unit)
