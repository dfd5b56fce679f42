"""What colour a material gives on each ground, as assumed until a swatch of one's own is in.

The packaged table colours.toml has the rows and says the rules; every row has its source and mark.
"""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import cache
from importlib import resources
from types import MappingProxyType
from typing import Any, Literal, get_args

from field_app.core.estimate import Range, Reason, product
from field_app.core.materials import Mark, Material
from field_app.core.sources import cited
from field_app.core.units import show_ends
from field_app.words import later

__all__ = ["GROUNDS", "GROUND_WORDS", "Ground", "Palette", "Tint", "palette_of", "read_palettes", "rows_of"]

#: What the cloth was prepared or saddened with.
Ground = Literal["none", "alum", "iron"]
GROUNDS: tuple[Ground, ...] = get_args(Ground)
GROUND_WORDS: Mapping[Ground, str] = MappingProxyType(
    {"none": later("no mordant"), "alum": later("alum"), "iron": later("iron")})

#: What each row is called in a dyer's words, and its unit.
_ROWS: Mapping[str, tuple[str, str]] = MappingProxyType({
    "strength": (later("how strongly it colours wool"), "1"),
    "fall": (later("how far its colour reaches towards red"), "nm"),
    "alum-strength": (later("how much stronger or weaker alum makes it"), "1"),
    "alum-fall": (later("how much warmer alum makes it"), "1"),
    "iron-strength": (later("how much darker iron makes it than alum"), "1"),
    "iron-fall": (later("how much greyer iron makes it"), "1")})


@dataclass(frozen=True, slots=True)
class Tint:
    """What a dye adds on one ground: strength, its K/S at 550 nm for depth 1 [1], and its fall [nm]."""

    strength: Range
    fall: Range


@dataclass(frozen=True, slots=True)
class Palette:
    """The tints of a material by ground; own: how many swatches of one's own stand behind them [1]."""

    tints: Mapping[Ground, Tint]
    own: int = 0


def _range(name: str, row: Mapping[str, Any], sources: Mapping[str, str]) -> Range:
    words, unit = _ROWS[name]
    mark, source, note = row["mark"], sources[row["source"]], row.get("note", "")
    if mark not in get_args(Mark) or row["unit"] != unit or set(row) - _MEMBERS or not row["low"] > 0:
        raise ValueError(f"{name}: a row has three above zero, the unit {unit}, a source and a mark, not {row}")
    reason = Reason(words, "", "default", cited(source, note), mark)
    return Range(float(row["low"]), float(row["central"]), float(row["high"]), unit, (reason,))


def _said(row: Range) -> Range:
    """A row with its reason as the person reads it."""
    shown = show_ends(row.low, row.central, row.high, row.unit)
    return replace(row, reasons=tuple(replace(reason.said(), value=shown) for reason in row.reasons))


_MEMBERS = {"low", "central", "high", "unit", "source", "mark", "note"}


def read_palettes(text: str) -> Mapping[str, Mapping[str, Range]]:
    """The rows of every group of a TOML text, and of single materials that differ from their group.

    Raises ValueError or KeyError if a row is missing, has no source or mark, or is not in order.
    """
    raw = tomllib.loads(text)
    found: dict[str, Mapping[str, Range]] = {}
    for key, told in {**raw["groups"], **raw.get("materials", {})}.items():
        rows = {**raw["groups"][told["group"]], **told} if "group" in told else told
        found[key] = MappingProxyType({name: _range(name, rows[name], raw["sources"]) for name in _ROWS})
    return MappingProxyType(found)


@cache
def _packaged() -> Mapping[str, Mapping[str, Range]]:
    return read_palettes(resources.files("field_app.core").joinpath("colours.toml").read_text(encoding="utf-8"))


def rows_of(stuff: Material) -> Mapping[str, Range]:
    """The assumptions about the colour of a material, by the names of the table.

    >>> from field_app.core.materials import material
    >>> rows_of(material("black-walnut"))["strength"].central
    4.0
    """
    table = _packaged()
    rows = table[stuff.key] if stuff.key in table else table[stuff.group]
    return {name: _said(row) for name, row in rows.items()}


def palette_of(stuff: Material) -> Palette:
    """What colour a material gives, as the packaged table assumes.

    >>> from field_app.core.materials import material
    >>> iron = palette_of(material("black-walnut")).tints["iron"]
    >>> round(iron.strength.central, 2), round(iron.fall.central, 1)
    (10.08, 199.5)
    """
    rows = rows_of(stuff)
    strength, fall = rows["strength"], rows["fall"]
    alum = product(strength, rows["alum-strength"], unit="1")
    return Palette(MappingProxyType({
        "none": Tint(strength, fall),
        "alum": Tint(alum, product(fall, rows["alum-fall"], unit="nm")),
        "iron": Tint(product(alum, rows["iron-strength"], unit="1"), product(fall, rows["iron-fall"], unit="nm"))}))
