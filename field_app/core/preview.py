"""What cloth may look like after a bath: an expected range of colours, from the lightest to the darkest.

It is an illustration: depth, strength and fall are ranges, and until a swatch of one's own is in, assumed ones.
"""

from __future__ import annotations

import itertools
from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Any

from field_app.core.colour import Lab
from field_app.core.estimate import Range, Reason, product
from field_app.core.kubelka import Colour, colour_of, dyed
from field_app.core.palette import GROUNDS, Ground, Palette, Tint
from field_app.core.spectrum import Spectrum, reflectance_of
from field_app.words import later, tr, tr_as, tr_n

__all__ = ["BASES", "ILLUSTRATION", "UNDYED", "Expected", "expected", "label_of", "on_every_ground",
           "tone"]

#: What the preview is, until the dyer's own swatch says more.
ILLUSTRATION = later("An illustration until a swatch of your own is in.")
UNDYED = "#ece1ca"
#: Cloth to choose from: key, plain words, colour. Our own choice, common practice, no source.
BASES: tuple[tuple[str, str, str], ...] = (
    ("undyed-wool", later("undyed wool"), UNDYED),
    ("white-cotton", later("bleached cotton"), "#f6f5f0"),
    ("grey-linen", later("raw linen"), "#cbbfa6"),
    ("grey-wool", later("grey fleece"), "#a39c92"),
    ("brown-wool", later("brown fleece"), "#75604e"),
    ("faded-blue", later("faded blue"), "#8b9db4"),
    ("deep-blue", later("deep blue"), "#34466b"),
    ("soft-yellow", later("soft yellow"), "#e3c875"),
    ("leaf-green", later("leaf green"), "#7d8f5a"),
    ("old-rose", later("old rose"), "#c2908c"),
    ("brick-red", later("brick red"), "#a04a3c"),
    ("pale-tan", later("pale tan"), "#cdb08a"),
)


@dataclass(frozen=True, slots=True)
class Expected:
    """The colours one may expect: lightest, central and darkest, and how far they spread.

    base: the cloth as it was; lightness, a, b: low, central and high of L*, a*, b* [1];
    change: CIEDE2000 from the cloth as it was, low, central and high [1]; reasons: what it stands on.
    """

    base: Colour
    lightest: Colour
    central: Colour
    darkest: Colour
    lightness: tuple[float, float, float]
    a: tuple[float, float, float]
    b: tuple[float, float, float]
    change: tuple[float, float, float]
    reasons: tuple[Reason, ...] = ()

    def as_json(self) -> dict[str, Any]:
        """The same as plain data."""
        spread = {name: _ends(values) for name, values in (
            ("L", self.lightness), ("a", self.a), ("b", self.b), ("delta_e", self.change))}
        return {"lightest": self.lightest.as_json(), "central": self.central.as_json(),
                "darkest": self.darkest.as_json(), **spread}


def _ends(values: tuple[float, float, float]) -> dict[str, float]:
    return dict(zip(("low", "central", "high"), (round(value, 2) for value in values), strict=True))


def _three(central: float, ends: list[float]) -> tuple[float, float, float]:
    return min(central, *ends), central, max(central, *ends)


def expected(base: str | Spectrum, depth: Range, tint: Tint) -> Expected:
    """What cloth may look like when a dye was taken up to a depth.

    base: the cloth as it was, a colour in hexadecimal or its reflectance [1]; depth: the dye taken up, as a multiple
    of the reference bath's [1]; tint: what the dye adds. Refused if the colour is none.

    >>> from field_app.core.estimate import exact
    >>> from field_app.core.materials import material
    >>> from field_app.core.palette import palette_of
    >>> expected("#ece1ca", exact(0.7, "1"), palette_of(material("black-walnut")).tints["none"]).central.hex
    '#89633d'
    """
    cloth = reflectance_of(base) if isinstance(base, str) else base
    adds = product(depth, tint.strength, unit="1")
    before = colour_of(cloth)
    corners = [colour_of(dyed(cloth, amount, fall)) for amount, fall in itertools.product(
        (adds.low, adds.high), (tint.fall.low, tint.fall.high))]
    lightest, central, darkest = (colour_of(dyed(cloth, amount, tint.fall.central))
                                  for amount in (adds.low, adds.central, adds.high))
    around = [lightest, darkest, *corners]
    return Expected(
        before, lightest, central, darkest,
        _three(central.lab.lightness, [one.lab.lightness for one in around]),
        _three(central.lab.a, [one.lab.a for one in around]),
        _three(central.lab.b, [one.lab.b for one in around]),
        _three(central.apart(before), [one.apart(before) for one in around]),
        (*adds.reasons, *tint.fall.reasons))


def on_every_ground(base: str, depth: Range, palette: Palette) -> Mapping[Ground, Expected]:
    """What cloth may look like without a mordant, with alum and with iron."""
    cloth = reflectance_of(base)
    return MappingProxyType({ground: expected(cloth, depth, palette.tints[ground]) for ground in GROUNDS})


def label_of(palette: Palette) -> str:
    """What is said beside every preview: that it is an illustration, and whose swatches stand behind it."""
    if not palette.own:
        return tr(ILLUSTRATION)
    return tr_n("Set by {n} swatch of your own; still an illustration, for no two baths are alike.",
                "Set by {n} swatches of your own; still an illustration, for no two baths are alike.", palette.own)


def tone(lab: Lab) -> str:
    """How deep and how warm a colour is, in plain words, for whoever can't see it or whose screen lies.

    The words are ours, by lightness, chroma and hue; no colour is named.

    >>> tone(Lab(45, 12, 27)), tone(Lab(25, 3, 6)), tone(Lab(90, 0, 13))
    ('mid, warm', 'very deep, greyish', 'near white, creamy')
    """
    warm = lab.b > 0 and lab.hue < 110
    if lab.lightness >= 80:
        return tr("near white") if lab.chroma < 8 else (tr("near white, creamy") if warm
                                                    else tr("near white, cool"))
    deep = next(word for least, word in (
        (65, tr_as("of a colour", "soft")), (42, tr_as("of a colour", "mid")), (28, tr_as("of a colour", "deep")),
        (-1, tr("very deep"))) if lab.lightness >= least)
    if lab.chroma < 6:
        return tr("{deep}, grey", deep=deep)
    if lab.chroma < 16:
        return tr("{deep}, greyish", deep=deep) if warm else tr("{deep}, cool and greyish", deep=deep)
    if not warm:
        return tr("{deep}, cool", deep=deep)
    return tr("{deep}, very warm", deep=deep) if lab.chroma >= 32 else tr("{deep}, warm", deep=deep)
