"""A dye day as it is being typed: values only, and the form that the book takes."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace

from field_app.core.lots import LotNow
from field_app.core.plan_deeds import BathForm, LotForm, PlanForm
from field_app.core.units import UNITS
from field_app.ui.own_units import in_own

__all__ = ["BathTyped", "PlanTyped", "typed_of"]


@dataclass(frozen=True, slots=True)
class BathTyped:
    """One load of cloth as typed."""

    cloth: str = ""
    shade: str = "medium"
    mordant: str = "none"
    hours: str = ""
    material: str = ""


@dataclass(frozen=True, slots=True)
class PlanTyped:
    """What is typed so far. lots: the amount as typed by the id of each chosen lot, empty for all that is left.

    earlier, day and time are what a form with a time has; a plan's day is ``day``.
    """

    name: str = ""
    day: str = ""
    fire: str = "08:00"
    lots: Mapping[str, str] = field(default_factory=dict)
    baths: tuple[BathTyped, ...] = (BathTyped(),)
    pots: tuple[str, ...] = ()
    water: str = ""
    soak: str = ""
    boil: str = ""
    strainings: str = "1"
    squeezed: bool = False
    ratio: str = ""
    in_turn: bool = False
    note: str = ""
    earlier: bool = False
    time: str = ""

    def form(self, lots: Iterable[LotNow]) -> PlanForm:
        """As the book takes it; loads in which nothing was typed are left out."""
        chosen = tuple(LotForm(lot, in_own(self.lots[lot.id],
                                           UNITS[lot.life.left.unit].kind)) for lot in lots if lot.id in self.lots)
        baths = tuple(BathForm(bath.cloth, bath.shade, bath.mordant, bath.hours, bath.material)
                      for bath in self.baths if bath.cloth.strip() or bath.hours.strip())
        return PlanForm(self.name, self.day, self.fire, chosen, baths, self.pots, in_own(self.water, "volume"),
                        self.soak, self.boil,
                        self.strainings, self.squeezed, self.ratio, self.in_turn, self.note)

    def with_bath(self, place: int, **changes: str) -> tuple[BathTyped, ...]:
        """The loads with one of them changed."""
        return tuple(replace(bath, **changes) if number == place else bath
                     for number, bath in enumerate(self.baths))


def typed_of(form: PlanForm) -> PlanTyped:
    """What is typed at first, where a plan is changed."""
    return PlanTyped(
        form.name, form.day, form.fire, {one.lot.id: one.amount for one in form.lots},
        tuple(BathTyped(bath.cloth, bath.shade, bath.mordant, bath.hours, bath.material) for bath in form.baths)
        or (BathTyped(),),
        tuple(form.pots), form.water, form.soak, form.boil, form.strainings, form.squeezed, form.ratio, form.in_turn,
        form.note)
