"""What cloth is made of, what it weighs by the piece and by the square metre, and the water it holds in air.

1. Every figure carries its source and mark; where the source gives two ends, central is their middle.
2. Regain is on dry mass, moisture content on the mass as it is. Commercial regain is what the trade counts with.
3. A fibre is of an animal (protein) or of a plant (cellulose); how it is scoured and mordanted follows from that.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Literal

from field_app.core.estimate import Range, Reason
from field_app.core.materials import Mark
from field_app.core.sources import cited, source_said
from field_app.core.units import show_ends
from field_app.words import later, tr

__all__ = ["FIBRES", "MOMME", "OZ_PER_YD2", "PIECES", "SCOURED_SHARE", "WEAVES", "Fibre", "Piece", "Weave"]

_PRACTICE = later("common practice, no source")
_REGAIN = later("Bioresour. Bioprocess. 2020, s40643-020-00339-1, Table 10 (ASTM D1909 values)")
_CHART = cited(later("public cloth-weight chart"), later("central is the middle"))

#: One ounce to the square yard [g/m²]: 28.349523125 g on 0.83612736 m², exact.
OZ_PER_YD2 = 28.349523125 / 0.83612736
#: One momme [g/m²]: as many pounds as 100 yards of 45 inches weigh (from memory: the silk trade's definition).
MOMME = 453.59237 / (45 * 0.0254 * 100 * 0.9144)


@dataclass(frozen=True, slots=True)
class Fibre:
    """A fibre: its key, how people write it, whether it is of an animal or a plant, and its commercial regain [1]."""

    key: str
    kind: Literal["protein", "cellulose"]
    regain: float
    source: str
    mark: Mark
    spellings: tuple[str, ...] = ()

    @property
    def name(self) -> str:
        """Its name for people."""
        return tr(self.key)


#: Every fibre by its key, in the order of a menu.
FIBRES: Mapping[str, Fibre] = MappingProxyType({fibre.key: fibre for fibre in (
    Fibre(later("wool"), "protein", 0.136, _REGAIN, "seen", ("woollen", "woolen", "worsted", "merino")),
    Fibre(later("silk"), "protein", 0.11, _REGAIN, "seen"),
    Fibre(later("cotton"), "cellulose", 0.070,
          later("from memory: ASTM D1909, natural cotton yarn; raw cotton is 8.5 %"), "memory"),
    Fibre(later("linen"), "cellulose", 0.0875, later("from memory: ASTM D1909, linen; raw flax is 12 %"), "memory",
          ("flax",)),
    Fibre(later("hemp"), "cellulose", 0.12, _REGAIN, "seen"),
    Fibre(later("jute"), "cellulose", 0.1375, _REGAIN, "seen"),
)})


@dataclass(frozen=True, slots=True)
class Piece:
    """A piece of clothing or yarn and what one weighs [kg]; spellings: how people write one or several."""

    key: str
    low: float
    central: float
    high: float
    source: str
    mark: Mark
    spellings: tuple[str, ...]

    def mass(self) -> Range:
        """The mass of one [kg], with its reason."""
        shown = show_ends(self.low * 1000, self.central * 1000, self.high * 1000, "g")
        return Range(self.low, self.central, self.high, "kg",
                     (Reason(tr(_ONE[self.key]), shown, "default", source_said(self.source), self.mark),))

    @property
    def said(self) -> str:
        """Its name for people."""
        return tr(self.key)

    @property
    def each(self) -> str:
        """One of several, for people."""
        return tr(_EACH[self.key])


_MIDDLE = cited(_PRACTICE, later("central is the middle"))
_ONE = {"T-shirt": later("one T-shirt"), "shirt": later("one shirt"), "skein": later("one skein"),
        "jumper": later("one jumper"), "blanket": later("one blanket")}
_EACH = {"T-shirt": later("each T-shirt"), "shirt": later("each shirt"), "skein": later("each skein"),
         "jumper": later("each jumper"), "blanket": later("each blanket")}
#: Every piece by its key.
PIECES: Mapping[str, Piece] = MappingProxyType({piece.key: piece for piece in (
    Piece(later("T-shirt"), 0.130, 0.165, 0.200, _MIDDLE, "practice",
          ("t-shirt", "t-shirts", "tshirt", "tshirts", "tee", "tees")),
    Piece(later("shirt"), 0.180, 0.240, 0.300, _MIDDLE, "practice", ("shirt", "shirts")),
    Piece(later("skein"), 0.050, 0.100, 0.113, _PRACTICE, "practice", ("skein", "skeins", "hank", "hanks")),
    Piece(later("jumper"), 0.400, 0.550, 0.700, _MIDDLE, "practice",
          ("jumper", "jumpers", "sweater", "sweaters", "pullover", "pullovers")),
    Piece(later("blanket"), 1.000, 1.400, 1.800, _MIDDLE, "practice", ("blanket", "blankets")),
)})


@dataclass(frozen=True, slots=True)
class Weave:
    """A kind of cloth and what a square metre of it weighs [g/m²]; fibre: the only one it is known of, or empty."""

    key: str
    low: float
    central: float
    high: float
    source: str
    mark: Mark
    fibre: str = ""
    spellings: tuple[str, ...] = ()

    @property
    def said(self) -> str:
        """Its name for people."""
        return tr(self.key)


#: Every kind of cloth by its key. Habotai is known by its one weight of 8 momme; its ends are ± 15 %.
WEAVES: Mapping[str, Weave] = MappingProxyType({weave.key: weave for weave in (
    Weave(later("voile"), 80, 100, 120, _CHART, "seen"),
    Weave(later("shirting"), 110, 135, 160, _CHART, "seen"),
    Weave(later("sheeting"), 100, 125, 150, _CHART, "seen"),
    Weave(later("jersey"), 140, 170, 200, _CHART, "seen"),
    Weave(later("denim"), 200, 300, 400, _CHART, "seen"),
    Weave(later("canvas"), 300, 400, 500, _CHART, "seen"),
    Weave(later("terry"), 300, 450, 600, _CHART, "seen", spellings=("towelling",)),
    Weave(later("fulled"), 350, 475, 600, _MIDDLE, "practice", "wool", ("heavy", "loden")),
    Weave(later("flannel"), 180, 240, 300, _MIDDLE, "practice", "wool"),
    Weave(later("habotai"), 35 * 0.85, 35, 35 * 1.15, cited(_PRACTICE, later("ends are ± 15 %")), "practice", "silk"),
)})

#: What of raw wool is left once it is scoured [1]; fine greasy fleece loses most. Weighing it scoured beats this.
SCOURED_SHARE = Range(0.45, 0.60, 0.75, "1", (Reason(
    later("left of raw wool after scouring"), "60 % (45–75)", "default", _PRACTICE, "practice"),))
