"""How liquor is made: water, soak, boil, strainings and pots, as values that are checked when they are made."""

from __future__ import annotations

from dataclasses import dataclass

from field_app.core.estimate import Range
from field_app.core.extraction import Bath
from field_app.core.pots import Pot
from field_app.core.problems import Problem, Refused, refuse
from field_app.core.units import show_round, show_si
from field_app.words import tr

__all__ = ["Brew"]

_MOST_LITRES, _MOST_STRAININGS, _MOST_BRIX = 20_000.0, 6, 60.0
_LONGEST_SOAK, _LONGEST_BOIL = 24.0 * 90, 48.0
# A day in the cold, then two hours at a simmer (common practice, no source).
_SOAK, _BOIL = Bath(24.0, 15.0), Bath(2.0, 95.0)


@dataclass(frozen=True, slots=True)
class Brew:
    """How liquor is made of a load. What is not told is as custom has it.

    water: put in at first [L], or None for as much as custom has, 25 L in all for each kilogram of dry hull;
    liquor: how much is wanted [L], in place of water; soak, boil: time and temperature [h, °C];
    strainings: how often it is boiled and strained [1]; further: fresh water each further time [L],
    or None to fill up to what was in the pot at first; squeezed: whether the spent stuff is squeezed, not drained;
    pots: those owned; brix: a reading of the strained liquor [°Brix = g in 100 g], or None;
    strained: how much liquor there was when it was measured [L], or None.
    Raises Refused, naming the field, if one of them can't be.
    """

    water: float | None = None
    liquor: float | None = None
    soak: Bath = _SOAK
    boil: Bath = _BOIL
    strainings: int = 1
    further: float | None = None
    squeezed: bool = False
    pots: tuple[Pot, ...] = ()
    brix: float | None = None
    strained: Range | None = None

    def __post_init__(self) -> None:
        found = []
        for where, litres in (("water", self.water), ("liquor", self.liquor), ("further water", self.further)):
            if litres is not None and not 0 < litres <= _MOST_LITRES:
                found.append(Problem(where, tr("{amount} is not an amount for a kettle", amount=show_si(litres, "L")),
                                     tr("Give more than 0, and {most} at most.", most=show_round(_MOST_LITRES, "L"))))
        if self.water is not None and self.liquor is not None:
            found.append(Problem("liquor", tr("both the water put in and the liquor wanted are given"),
                                 tr("Give one of the two; the other follows.")))
        if self.soak.hours > _LONGEST_SOAK:
            found.append(Problem("soak", tr("{hours:g} h is more than a season", hours=self.soak.hours),
                                 tr("Give {days:g} days at most.", days=_LONGEST_SOAK / 24)))
        if self.boil.hours > _LONGEST_BOIL:
            found.append(Problem("boil", tr("{hours:g} h is longer than anyone boils", hours=self.boil.hours),
                                 tr("Give {hours:g} h at most.", hours=_LONGEST_BOIL)))
        if not 1 <= self.strainings <= _MOST_STRAININGS:
            found.append(Problem("strainings", tr("{strainings} times is not worth the fire",
                                                  strainings=self.strainings),
                                 tr("Give 1 to {most}; two or three are customary.",
                                    most=_MOST_STRAININGS)))
        if self.brix is not None and not 0 < self.brix <= _MOST_BRIX:
            found.append(Problem("brix", tr("{brix:g} °Brix is not a reading of liquor", brix=self.brix),
                                 tr("Give what the refractometer shows, more than 0 and {most:g} at most.",
                                    most=_MOST_BRIX)))
        if self.strained is not None and not self.strained.low > 0:
            raise refuse("liquor", tr("nothing was strained off"), tr("Give how much there was."))
        if found:
            raise Refused(found)
