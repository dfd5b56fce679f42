"""The cloth to be dyed: single items, lists of them, and the weight on which WOF is counted.

WOF is on air-dry, scoured cloth. The law of this file:

1. Cloth weighed air-dry counts as it is; its regain plays no part.
2. Regain only turns a damp or a bone-dry weighing into an air-dry one.
3. Raw wool counts with what is left of it after scouring.
4. Cloth known by area counts with its weight per square metre, cloth known by pieces with the mass of one.
5. Items of one list stand on the same tables, so their ends add up (:mod:`field_app.core.totals`).
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any, Literal

from field_app.core.cloth import regain_of
from field_app.core.estimate import Range, Reason, exact, product
from field_app.core.fibres import FIBRES, PIECES, SCOURED_SHARE, WEAVES
from field_app.core.sources import source_said
from field_app.core.totals import total
from field_app.core.units import show_ends, show_number, show_range, show_si, show_value
from field_app.words import tr

__all__ = ["ClothItem", "Condition", "air_dry_of_bone_dry", "air_dry_of_damp", "by_area", "by_fibre", "by_pieces",
           "cloth_words", "mass_of", "weighed"]

#: How the cloth was when it was weighed.
Condition = Literal["air-dry", "bone-dry", "damp", "raw"]

# What a household scale, and an area with a weight told for it, leave open [1] (common practice, no source).
_SCALE, _AREA = 0.01, 0.15


@dataclass(frozen=True, slots=True)
class ClothItem:
    """One item: its fibre, how much of it as air-dry, scoured cloth [kg], and how that is known.

    fibre: a key of FIBRES; mass: what WOF is counted on [kg];
    known: weighed, measured (by its area) or counted (by pieces);
    text: as it was typed; density: weight per area [g/m²], or None where it isn't known by area.
    """

    fibre: str
    mass: Range
    known: Literal["weighed", "measured", "counted"]
    text: str
    density: Range | None = None

    @property
    def words(self) -> str:
        """Fibre and mass in words: "wool, 3 kg (2.97–3.03)"."""
        return f"{FIBRES[self.fibre].name}, {show_range(self.mass)}"

    def as_json(self) -> dict[str, Any]:
        """The same as plain data; mass in [kg], density in [g/m²]."""
        plain = {"cloth": self.text, "fibre": self.fibre, "known": self.known, "mass": self.mass.as_json()}
        return plain if self.density is None else {**plain, "density": self.density.as_json()}


def _around(value: float, spread: float, unit: str, name: str, basis: str) -> Range:
    reason = Reason(name, f"{show_value(value, unit)} ± {spread * 100:.0f} %", basis)
    return Range(value * (1 - spread), value, value * (1 + spread), unit, (reason,))


def air_dry_of_damp(mass: float, moisture_content: float, regain: float) -> float:
    """Air-dry mass [kg] of damp cloth of a mass [kg] and moisture content [1, on the mass as it is].

    regain: of the fibre [1, on its dry mass]. Raises ValueError for a content below 0, or of 1 and more.

    >>> round(air_dry_of_damp(4.0, 0.29, 0.136), 3)
    3.226
    """
    regain_of(moisture_content)  # says whether such a content can be
    return air_dry_of_bone_dry(mass * (1 - moisture_content), regain)


def air_dry_of_bone_dry(mass: float, regain: float) -> float:
    """Air-dry mass [kg] of bone-dry cloth of a mass [kg]; regain: of the fibre [1, on its dry mass].

    >>> round(air_dry_of_bone_dry(1.0, 0.136), 3)
    1.136
    """
    return mass * (1 + regain)


def weighed(fibre: str, mass: float, text: str, condition: Condition = "air-dry",
            share: float | None = None) -> ClothItem:
    """Cloth on the scale [kg].

    share: of water in damp cloth [1, on its mass as it is], or what raw wool loses in scouring [1];
    None for raw wool whose loss isn't known. Raises ValueError for damp cloth without it.

    >>> weighed("wool", 3.0, "wool 3 kg").mass.central
    3.0
    """
    row = FIBRES[fibre]
    told = _around(mass, _SCALE, "kg", tr("{name} on the scale", name=row.name), "weighed")
    if condition == "air-dry":
        return ClothItem(fibre, told, "weighed", text)
    if condition == "raw":
        if share is None:
            left = SCOURED_SHARE
        else:
            left = exact(1 - share, "1", Reason(tr("loss in scouring"), f"{show_number(share * 100)} %", "said"))
        return ClothItem(fibre, product(told, left, unit="kg"), "weighed", text)
    if condition == "damp":
        if share is None:
            raise ValueError("damp cloth needs its share of water")
        factor = air_dry_of_damp(1.0, share, row.regain)
        water = Reason(tr("water in it"), f"{show_number(share * 100)} %", "said")
    else:
        factor, water = air_dry_of_bone_dry(1.0, row.regain), Reason(tr("weighed"), tr("bone-dry"), "said")
    regain = Reason(tr("regain of {name}", name=row.name), f"{show_number(row.regain * 100)} %", "default",
                    source_said(row.source), row.mark)
    return ClothItem(fibre, product(told, exact(factor, "1", water, regain), unit="kg"), "weighed", text)


def by_area(fibre: str, area: float, text: str, density: float | None = None, weave: str = "") -> ClothItem:
    """Cloth by its area [m²] and weight per area [g/m²], given or that of a kind of cloth (a key of WEAVES).

    Raises ValueError if neither is given.

    >>> round(by_area("cotton", 1.045, "1 yd 45 in 120 g/m2", density=120.0).mass.central, 4)
    0.1254
    """
    if density is not None:
        weight = _around(density, _AREA, "g/m²", tr("weight of the cloth"), "said")
    elif weave:
        row = WEAVES[weave]
        shown = show_ends(row.low, row.central, row.high, "g/m²")
        weight = Range(row.low, row.central, row.high, "g/m²",
                       (Reason(tr("weight of {cloth}", cloth=row.said), shown, "default",
                               source_said(row.source), row.mark),))
    else:
        raise ValueError("a cloth by area needs its weight per area")
    measured = exact(area / 1000, "1", Reason(tr("area"), show_value(area, "m²"), "said"))
    return ClothItem(fibre, product(measured, weight, unit="kg"), "measured", text, weight)


def by_pieces(fibre: str, count: int, text: str, piece: str, each: float | None = None) -> ClothItem:
    """Cloth by pieces: how many [1] of a kind (a key of PIECES), and what each weighs [kg] if that is known.

    >>> by_pieces("linen", 2, "2 shirts linen", "shirt").mass.central
    0.48
    """
    row = PIECES[piece]
    one = row.mass() if each is None else _around(each, _SCALE, "kg", row.each, "weighed")
    counted = exact(float(count), "1", Reason(tr("{piece}, how many", piece=row.said), str(count), "counted"))
    return ClothItem(fibre, product(counted, one, unit="kg"), "counted", text)


def mass_of(items: Iterable[ClothItem]) -> Range:
    """All of it together, air-dry and scoured [kg], with the reasons of each item.

    >>> mass_of([weighed("wool", 2.0, "wool 2 kg"), weighed("silk", 1.0, "silk 1 kg")]).central
    3.0
    """
    items = tuple(items)
    together = total((item.mass for item in items), unit="kg")
    return together.because(*dict.fromkeys(reason for item in items for reason in item.mass.reasons))


def by_fibre(items: Iterable[ClothItem]) -> dict[str, Range]:
    """The mass of each fibre [kg], by its key, in the order of the table of fibres."""
    items = tuple(items)
    return {fibre: mass_of(item for item in items if item.fibre == fibre)
            for fibre in FIBRES if any(item.fibre == fibre for item in items)}


def cloth_words(items: Iterable[ClothItem]) -> str:
    """A list in words, fibre by fibre: "wool 3 kg, cotton 360 g"."""
    return ", ".join(f"{FIBRES[fibre].name} {_plain(mass.central)}" for fibre, mass in by_fibre(items).items())


def _plain(mass: float) -> str:
    return show_si(mass, "kg" if mass >= 1 else "g")
