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
from field_app.core.units import show_ends
from field_app.words import later

__all__ = ["FIBRES", "MOMME", "OZ_PER_YD2", "PIECES", "SCOURED_SHARE", "WEAVES", "Fibre", "Piece", "Weave"]

_PRACTICE = later("common practice, no source")
_REGAIN = later("Bioresour. Bioprocess. 2020, s40643-020-00339-1, Table 10 (ASTM D1909 values)")
_CHART = later("public cloth-weight chart; central is the middle")

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
        """Its name for people, which is its key."""
        return self.key


#: Every fibre by its key, in the order of a menu.
FIBRES: Mapping[str, Fibre] = MappingProxyType({fibre.key: fibre for fibre in (
    Fibre("wool", "protein", 0.136, _REGAIN, "seen", ("woollen", "woolen", "worsted", "merino")),
    Fibre("silk", "protein", 0.11, _REGAIN, "seen"),
    Fibre("cotton", "cellulose", 0.070, later("from memory: ASTM D1909, natural cotton yarn; raw cotton is 8.5 %"),
          "memory"),
    Fibre("linen", "cellulose", 0.0875, later("from memory: ASTM D1909, linen; raw flax is 12 %"), "memory", ("flax",)),
    Fibre("hemp", "cellulose", 0.12, _REGAIN, "seen"),
    Fibre("jute", "cellulose", 0.1375, _REGAIN, "seen"),
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
                     (Reason(f"one {self.key}", shown, "default", self.source, self.mark),))


_MIDDLE = f"{_PRACTICE}; central is the middle"
#: Every piece by its key.
PIECES: Mapping[str, Piece] = MappingProxyType({piece.key: piece for piece in (
    Piece("T-shirt", 0.130, 0.165, 0.200, _MIDDLE, "practice",
          ("t-shirt", "t-shirts", "tshirt", "tshirts", "tee", "tees")),
    Piece("shirt", 0.180, 0.240, 0.300, _MIDDLE, "practice", ("shirt", "shirts")),
    Piece("skein", 0.050, 0.100, 0.113, _PRACTICE, "practice", ("skein", "skeins", "hank", "hanks")),
    Piece("jumper", 0.400, 0.550, 0.700, _MIDDLE, "practice",
          ("jumper", "jumpers", "sweater", "sweaters", "pullover", "pullovers")),
    Piece("blanket", 1.000, 1.400, 1.800, _MIDDLE, "practice", ("blanket", "blankets")),
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


#: Every kind of cloth by its key. Habotai is known by its one weight of 8 momme; its ends are ± 15 %.
WEAVES: Mapping[str, Weave] = MappingProxyType({weave.key: weave for weave in (
    Weave("voile", 80, 100, 120, _CHART, "seen"),
    Weave("shirting", 110, 135, 160, _CHART, "seen"),
    Weave("sheeting", 100, 125, 150, _CHART, "seen"),
    Weave("jersey", 140, 170, 200, _CHART, "seen"),
    Weave("denim", 200, 300, 400, _CHART, "seen"),
    Weave("canvas", 300, 400, 500, _CHART, "seen"),
    Weave("terry", 300, 450, 600, _CHART, "seen", spellings=("towelling",)),
    Weave("fulled", 350, 475, 600, _MIDDLE, "practice", "wool", ("heavy", "loden")),
    Weave("flannel", 180, 240, 300, _MIDDLE, "practice", "wool"),
    Weave("habotai", 35 * 0.85, 35, 35 * 1.15, f"{_PRACTICE}; ends are ± 15 %", "practice", "silk"),
)})

#: What of raw wool is left once it is scoured [1]; fine greasy fleece loses most. Weighing it scoured beats this.
SCOURED_SHARE = Range(0.45, 0.60, 0.75, "1", (Reason(
    later("left of raw wool after scouring"), "60 % (45–75)", "default", _PRACTICE, "practice"),))
