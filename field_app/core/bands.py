"""Shades as bands, and what a gram of extract of some stuff is worth beside walnut hull.

1. A shade is a band of depth, never one figure: pale, light, medium, dark.
2. Depth is the dye on the cloth beside that of the reference bath (uptake.py); custom's amounts on the weight of cloth
   become depths by what they give there, so both routes use the same four words.
3. A material's own custom sets what it is worth: what it takes for medium counts as 50 % of walnut hull.
   So an amount for medium that a swatch of one's own taught changes the depth of every bath.
4. Custom's dark supposes more than one bath or dip, or iron; whatever says dark says so.
"""

from __future__ import annotations

from bisect import bisect_right
from dataclasses import dataclass
from functools import cache
from typing import Any, Literal

from field_app.core.cloth import DARK_WORDS
from field_app.core.estimate import Range, Reason, exact, quotient
from field_app.core.materials import MATERIALS, Material, Parameter
from field_app.core.problems import refuse
from field_app.core.units import show_number
from field_app.core.uptake import REFERENCE_RATIO, REFERENCE_STRENGTH, REFERENCE_WOF, reference_depth
from field_app.words import shade_words, tr

__all__ = ["SHADES", "Band", "ShadeWord", "band_by_depth", "band_by_wof", "begins_at", "depth_of", "edges_of",
           "extract_share", "wof_of", "worth_of"]

ShadeWord = Literal["pale", "light", "medium", "dark"]
SHADES: tuple[ShadeWord, ...] = ("pale", "light", "medium", "dark")

#: From where on walnut hull is called light, medium, dark [1, WOF] (rule of thumb of dyers' notes); below, pale.
_HULL_EDGES = (0.12, 0.35, 0.75)
#: A tan that one sees, as after three minutes in the reference bath [1].
_TAN = 0.1
#: What custom takes for each shade beside medium [1], where a material has no row of its own.
_BESIDE_MEDIUM = {"pale": 0.16, "light": 0.4, "medium": 1.0, "dark": 2.0}
#: The pot of custom, in which a kilogram of dry stuff lies in so many litres in all [L/kg].
_KETTLE = 25.0


@dataclass(frozen=True, slots=True)
class Band:
    """The shade at the low, the central and the high end of what is known."""

    low: ShadeWord
    central: ShadeWord
    high: ShadeWord

    @property
    def words(self) -> str:
        """In words: "light (pale–medium)", or one word where all ends agree."""
        if self.low == self.high:
            return shade_words(self.central)
        return f"{shade_words(self.central)} ({shade_words(self.low)}–{shade_words(self.high)})"

    @property
    def dark_words(self) -> str:
        """What dark takes, if the band says dark at its middle; else nothing."""
        return tr(DARK_WORDS) if self.central == "dark" else ""

    def as_json(self) -> dict[str, Any]:
        """The same as plain data."""
        return {"low": self.low, "central": self.central, "high": self.high, "words": self.words}


def _word(value: float, edges: tuple[float, ...]) -> ShadeWord:
    return SHADES[bisect_right(edges, value)]


@cache
def _depth_edges() -> tuple[float, ...]:
    return tuple(reference_depth(edge) for edge in _HULL_EDGES)


def band_by_depth(depth: Range) -> Band:
    """The band of a depth [1].

    >>> band_by_depth(Range(0.3, 0.5, 0.9, "1")).words
    'light (pale–medium)'
    """
    edges = _depth_edges()
    return Band(_word(depth.low, edges), _word(depth.central, edges), _word(depth.high, edges))


def edges_of(stuff: Material) -> tuple[float, float, float]:
    """From where on custom calls it light, medium and dark, in the stuff's own WOF [1].

    >>> from field_app.core.materials import material
    >>> edges_of(material("black-walnut"))
    (0.12, 0.35, 0.75)
    """
    medium = wof_of(stuff, "medium").central
    packaged = MATERIALS.get(stuff.key, stuff)
    own = _row(packaged, "wof-medium").central
    found = []
    for name, hull in zip(("light", "medium", "dark"), _HULL_EDGES, strict=True):
        row = packaged.parameter(f"wof-from-{name}")
        # Relative to medium, so that an own amount for medium moves the edges along.
        beside = hull / REFERENCE_WOF if row is None else row.central / own
        found.append(beside * medium)
    return found[0], found[1], found[2]


def band_by_wof(wof: Range, stuff: Material) -> Band:
    """The band that custom gives an amount of air-dry stuff on the weight of cloth [1].

    >>> from field_app.core.materials import material
    >>> band_by_wof(Range(0.10, 0.151, 0.20, "1"), material("black-walnut")).words
    'light (pale–light)'
    """
    edges = edges_of(stuff)
    return Band(_word(wof.low, edges), _word(wof.central, edges), _word(wof.high, edges))


def _row(stuff: Material, name: str, condition: str = "fresh") -> Parameter:
    row = stuff.parameter(name, condition)
    if row is None:
        raise refuse("material", tr("{figure} of {name} is not known", figure=name.replace("-", " "),
                                    name=stuff.said),
                     tr("Dye a swatch and note what it took."))
    return row


def wof_of(stuff: Material, shade: ShadeWord) -> Range:
    """What custom takes for a shade, air-dry stuff on the weight of cloth [1]. Refused if it is not known."""
    row = stuff.parameter(f"wof-{shade}")
    text = tr("dry {name} for {shade}, on the weight of cloth", name=stuff.parts[-1].said, shade=shade_words(shade))
    if row is not None:
        return row.range(text)
    medium, beside = _row(stuff, "wof-medium"), _BESIDE_MEDIUM[shade]
    reason = Reason(text, f"{show_number(medium.central * beside * 100)} %", "worked out", tr("beside medium"),
                    medium.mark)
    return Range(medium.low * beside, medium.central * beside, medium.high * beside, "1", (reason,))


def begins_at(shade: ShadeWord) -> float:
    """The depth from which on it is called so [1]; pale begins with the first tan.

    >>> [round(begins_at(shade), 2) for shade in SHADES]
    [0.1, 0.34, 0.77, 1.33]
    """
    return (_TAN, *_depth_edges())[SHADES.index(shade)]


def depth_of(shade: ShadeWord) -> float:
    """The depth that is aimed at for a shade [1]: what custom's amount of walnut hull gives in the reference bath.

    >>> [round(depth_of(shade), 2) for shade in SHADES]
    [0.25, 0.51, 1.0, 1.63]
    """
    return reference_depth(REFERENCE_WOF * _BESIDE_MEDIUM[shade])


def extract_share(stuff: Material) -> float:
    """Extract in the liquor for each kilogram of air-dry stuff, by the table and made as custom has it [kg/kg].

    Boiled out, in 25 L to the kilogram of dry stuff, strained once: what the spent stuff keeps back is lost.

    >>> from field_app.core.materials import material
    >>> round(extract_share(material("black-walnut")), 3)
    0.216
    """
    packaged = MATERIALS.get(stuff.key, stuff)
    dry, extract = _row(packaged, "dry", "air-dry").central, _row(packaged, "extract").central
    kept = _row(packaged, "kept-drained").central
    return dry * extract * (_KETTLE - kept) / _KETTLE


def worth_of(stuff: Material) -> Range:
    """What a gram of its extract dyes, beside a gram of the reference bath [1].

    Custom's amount for medium, made into liquor as custom has it, gives a bath as strong as the reference bath.

    >>> from field_app.core.materials import material
    >>> [round(value, 2) for value in (lambda worth: (worth.low, worth.central, worth.high))(
    ...     worth_of(material("black-walnut")))]
    [0.7, 1.06, 1.32]
    """
    reference = REFERENCE_STRENGTH * REFERENCE_RATIO / 1000
    return quotient(exact(reference / extract_share(stuff), "1"), wof_of(stuff, "medium"), unit="1")
