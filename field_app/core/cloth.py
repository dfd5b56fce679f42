"""What a lot can dye: by custom, so much air-dry stuff on the weight of air-dry, scoured cloth (WOF).

The amounts of custom are rules of thumb; a shade may take half or twice as much.
A swatch of one's own beats them.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, Literal

from field_app.core.estimate import Range, product, quotient
from field_app.core.materials import Material
from field_app.core.problems import refuse
from field_app.words import later, shade_words, tr

__all__ = ["DARK_WORDS", "SHADE_NAMES", "Shade", "ShadeName", "regain_of", "shades"]

ShadeName = Literal["light", "medium", "dark"]
SHADE_NAMES: tuple[ShadeName, ...] = ("light", "medium", "dark")

# Common practice, no source: one bath of walnut alone ends near medium.
DARK_WORDS = later("Dark takes repeated dips, a second bath, or iron.")


@dataclass(frozen=True, slots=True)
class Shade:
    """One shade, the stuff it takes, and the cloth that a lot is enough for.

    wof: air-dry stuff on the weight of cloth [1]; cloth: air-dry, scoured cloth [kg];
    words: what else the shade takes, for people.
    """

    name: ShadeName
    wof: Range
    cloth: Range
    words: str = ""

    def as_json(self) -> dict[str, Any]:
        """The same as plain data; cloth in [kg], wof in [1]."""
        return {"name": self.name, "wof": self.wof.as_json(), "cloth": self.cloth.as_json(), "words": self.words}


def shades(air_dry: Range, stuff: Material, strength: Range | None = None) -> tuple[Shade, ...]:
    """The cloth that air-dry stuff is enough for [kg], light, medium and dark.

    air_dry: air-dry mass [kg]; strength: worth of the stuff by its ripeness [1], None for full worth.
    Raises Refused if the table has no custom for the material.

    >>> from field_app.core.estimate import exact
    >>> from field_app.core.materials import material
    >>> [round(shade.cloth.central, 2) for shade in shades(exact(2.0, "kg"), material("black-walnut"))]
    [10.0, 4.0, 2.0]
    """
    worth = air_dry if strength is None else product(air_dry, strength, unit="kg")
    return tuple(_shade(name, worth, stuff) for name in SHADE_NAMES)


def _shade(name: ShadeName, worth: Range, stuff: Material) -> Shade:
    row = stuff.parameter(f"wof-{name}")
    if row is None:
        raise refuse("material", tr("no amount for {shade} is known of {name}", shade=shade_words(name),
                                    name=stuff.said),
                     tr("Dye a swatch and note what it took."))
    wof = row.range(tr("dry {name} for {shade}, on the weight of cloth", name=stuff.parts[-1].said,
                       shade=shade_words(name)))
    return Shade(name, wof, quotient(worth, wof, unit="kg"), tr(DARK_WORDS) if name == "dark" else "")


def regain_of(moisture_content: float) -> float:
    """Moisture regain [1], which is on dry mass, of a moisture content [1], which is on the mass as it is.

    Raises ValueError for a content below 0, or of 1 and more. WOF is counted on air-dry cloth, so neither scales it.
    Scoured wool by ASTM D2118 (abstract):

    >>> round(regain_of(0.12), 5)
    0.13636
    """
    if not 0 <= moisture_content < 1:
        raise ValueError(f"a moisture content is from 0 to less than 1: {moisture_content}")
    return moisture_content / (1 - moisture_content)
