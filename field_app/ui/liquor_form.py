"""What a person has chosen and typed on the screen of a lot's liquor, and what follows from it. Values only."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from field_app.core.brew_text import BrewForm, read_brew
from field_app.core.estimated import Estimated, estimated_lot
from field_app.core.lots import LotNow
from field_app.core.pots import Pot
from field_app.core.problems import Problem, Refused
from field_app.ui.own_units import amount_text, in_own, own_unit

__all__ = ["BrewTyped", "Found", "worked_out"]


@dataclass(frozen=True, slots=True)
class BrewTyped:
    """Everything typed or chosen so far, as text; empty goes by custom.

    by: whether the water put in or the liquor wanted is told; left_out: the names of own pots that are not used.
    """

    by: str = "water"
    litres: str = ""
    soak: str = ""
    soak_at: str = ""
    boil: str = ""
    boil_at: str = ""
    strainings: str = "1"
    further: str = ""
    squeezed: bool = False
    pots: str = ""
    left_out: frozenset[str] = frozenset()
    brix: str = ""
    strained: str = ""

    def form(self, owned: Iterable[str]) -> BrewForm:
        """As it is read, with the pots of these names but those left out."""
        litres = {self.by: in_own(self.litres, "volume")}
        own = tuple(name for name in owned if name not in self.left_out)
        return BrewForm(
            water=litres.get("water", ""), liquor=litres.get("liquor", ""), soak=_bath(self.soak, self.soak_at),
            boil=_bath(self.boil, self.boil_at), strainings=self.strainings,
            further=in_own(self.further, "volume") if self.strainings != "1" else "", squeezed=self.squeezed,
            pots=(*own, *self.pots.split(";")), brix=self.brix, strained=in_own(self.strained, "volume"),
            bare=(own_unit("volume"), own_unit("length", small=True)))


def _bath(hours: str, celsius: str) -> str:
    parts = [hours.strip(), _degrees(celsius.strip())]
    return " at ".join(part for part in parts if part)


def _degrees(text: str) -> str:
    # A bare number in the field of the temperature is in the degrees that are said beside it.
    return text if "°" in text else amount_text(text, own_unit("temperature"))


@dataclass(frozen=True, slots=True)
class Found:
    """What follows: the estimate, or the problems that stand in the way of it."""

    estimated: Estimated | None = None
    problems: tuple[Problem, ...] = ()


def worked_out(lot: LotNow, typed: BrewTyped, pots: Mapping[str, Pot], today: dt.date) -> Found:
    """The liquor of what is left of a lot, brewed as typed; problems at their fields, where it can't be."""
    try:
        found = estimated_lot(lot, read_brew(typed.form(pots), pots), brewed=today)
    except Refused as refused:
        return Found(problems=refused.problems)
    if found.liquor is None:
        return Found(found, found.problems)
    return Found(found)
