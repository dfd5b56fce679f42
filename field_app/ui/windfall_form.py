"""What a person has typed into "What fell", and what follows from it. Values only, nothing is drawn here.

The text goes to the book as it was typed; what is left after the pail is worked out by the same reader, so
that the figure on the screen is the one that will be saved.
"""

from __future__ import annotations

import dataclasses
import datetime as dt
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import Any, Literal

from field_app.core.facts import LotFacts
from field_app.core.gather import LeaveForm, SiteForm, Situation, WindfallForm, decide_windfall
from field_app.core.load import LotEstimate, estimate_lot
from field_app.core.lots import LotNow
from field_app.core.materials import MATERIALS, Material
from field_app.core.positions import Fix, distance_m
from field_app.core.problems import Problem, Refused
from field_app.core.sites import SiteNow
from field_app.core.units import Measure
from field_app.core.vessels import VesselNow
from field_app.ui.chosen import Chosen
from field_app.ui.own_units import amount_text, in_own, own_unit
from field_app.words import mid, tr

__all__ = ["FOLDS", "Basis", "Typed", "Way", "by_use", "fold_of", "from_lot", "materials_first", "numbers_of", "placed",
           "preview", "start", "to_form", "vessel_text", "ways", "with_site"]

Basis = Literal["weighed", "counted", "poured"]
#: What a problem's ``where`` belongs to, for those fields that lie in a fold.
FOLDS = {"site": "where", "name": "where", "material": "what", "condition": "what", "ripeness": "ripe",
         "part": "way", "wood": "wood", "position": "position", "gathered": "when", "leave": "leave",
         "leave from": "leave", "leave until": "leave", "leave limit": "leave", "leave note": "leave", "note": "note",
         "scale division": "fine", "scale class": "fine", "sample": "fine", "sample each": "fine"}
#: What else is told of a weighing and of a count: how finely it was measured.
_FINE: Mapping[Basis, tuple[str, ...]] = {"weighed": ("division", "scale"), "counted": ("sample", "sample_each")}
_NOBODY = "urn:uuid:00000000-0000-0000-0000-000000000000"


@dataclass(frozen=True, slots=True)
class Typed:
    """Everything typed or chosen so far, as text.

    site: id of a known place; adding: whether a new place is added, called ``name``;
    fix: from the device, or else ``place`` as typed; earlier: whether it was gathered at ``day`` and ``time``
    and not now; leave: leave to note, or None to let it stand as it is;
    as_told: the very time of a lot that is corrected, which holds as long as nobody changes day or time;
    touched: the members a person set by hand, which no preset may change.
    """

    site: str = ""
    adding: bool = False
    name: str = ""
    fix: Fix | None = None
    place: str = ""
    material: str = ""
    part: str = ""
    basis: Basis = "weighed"
    ripeness: str = ""
    condition: str = "fresh"
    gross: str = ""
    tare: str = ""
    unit: str = field(default_factory=lambda: own_unit("mass"))
    count: str = ""
    pails: str = ""
    pail: str = ""
    fill: str = ""
    division: str = ""
    scale: str = ""
    sample: str = ""
    sample_each: str = ""
    earlier: bool = False
    day: str = ""
    time: str = ""
    leave: LeaveForm | None = None
    note: str = ""
    wood: str = ""
    as_told: str = ""
    photographs: tuple[Chosen, ...] = ()
    touched: frozenset[str] = frozenset()

    def by_hand(self, **changes: Any) -> Typed:
        """With these members set by a person."""
        return replace(self, touched=self.touched | changes.keys(), **changes)

    def preset(self, **changes: Any) -> Typed:
        """With these members set, except those that a person set by hand."""
        return replace(self, **{name: value for name, value in changes.items() if name not in self.touched})

    def weighed_in(self, unit: str) -> Typed:
        """With the scale showing another unit; the pail that was preset in the one before keeps that beside it.

        Whoever typed the pail by hand, or tells a lot anew, and then changes the unit corrects the unit of both.
        """
        both = "tare" in self.touched or bool(self.as_told) or unit == self.unit
        kept = "" if both else amount_text(self.tare, self.unit)
        return replace(self.by_hand(unit=unit), tare=kept or self.tare)


@dataclass(frozen=True, slots=True)
class Way:
    """One way to say how much there was: which part, and weighed, counted or poured."""

    part: str
    basis: Basis
    words: str

    @property
    def key(self) -> str:
        """How a chip names it."""
        return f"{self.basis}-{self.part}"


def ways(stuff: Material | None) -> tuple[Way, ...]:
    """The ways to say how much there was of a material, weighings first.

    >>> [way.words for way in ways(MATERIALS["black-walnut"])]
    ['whole fruit', 'hull', 'counted', 'pails of whole fruit', 'pails of hull']
    """
    if stuff is None:
        return ()
    several = len(stuff.parts) > 1
    weighed = [Way(part.key, "weighed", tr(part.name) if several else tr("weighed")) for part in stuff.parts]
    counted = [Way(part.key, "counted", tr("counted")) for part in stuff.parts if part.countable]
    poured = [Way(part.key, "poured", tr("pails of {part}", part=mid(tr(part.name))) if several else tr("in pails"))
              for part in stuff.parts if part.pourable]
    return (*weighed, *counted, *poured)


def numbers_of(typed: Typed) -> tuple[str, ...]:
    """The members that the keypad can write into, the most wanted first."""
    return {"weighed": ("gross", "tare"), "counted": ("count",), "poured": ("pails", "pail", "fill")}[typed.basis]


def _text(measure: Measure | None, unit: str) -> str:
    if measure is None:
        return ""
    if measure.typed:
        return measure.typed
    return measure.value if measure.unit == unit else str(measure)


def vessel_text(one: VesselNow, name: str, unit: str) -> str:
    """What a vessel of one's own puts into a field: what it weighs empty ("tare"), or what it holds; or empty."""
    return _text(one.facts.tare if name == "tare" else one.facts.volume, unit)


def _from_lot(lot: LotNow) -> dict[str, Any]:
    facts = lot.facts
    found: dict[str, Any] = {"material": facts.material, "part": facts.part, "basis": facts.basis,
                             "ripeness": facts.ripeness or ""}
    if facts.gross is not None:
        # "9 lb 6 oz" is kept in ounces, but the scale shows pounds.
        unit = "lb" if "lb" in facts.gross.typed.casefold() else facts.gross.unit
        small = "g" if unit in ("kg", "g", "t") else "oz"
        # The scale stays the same from one load to the next, unlike a sample.
        found |= {"unit": unit, "tare": _text(facts.tare, unit), "division": _text(facts.division, small),
                  "scale": facts.scale or ""}
    if facts.pail is not None:
        found["pail"] = _text(facts.pail, own_unit("volume"))
    return found


def from_lot(lot: LotNow) -> Typed:
    """Everything a lot says, as it was typed, so that one corrects it and doesn't begin again."""
    facts = lot.facts
    fix = None
    if facts.fix is not None and lot.position is not None and not lot.position_is_site:
        accuracy = None if facts.fix.accuracy is None else float(facts.fix.accuracy)
        fix = Fix(lot.position, facts.fix.source, accuracy, facts.fix.meaning)
    at = lot.gathered
    return Typed(**{
        **_from_lot(lot), "site": facts.site, "condition": facts.condition, "fix": fix, "note": facts.note,
        "gross": _typed(facts.gross),
        "count": "" if facts.count is None else str(facts.count), "pails": facts.pails or "",
        "fill": facts.fill or "", "sample": "; ".join(one.typed or str(one) for one in facts.sample),
        "sample_each": str(facts.sample_each) if facts.sample_each != 1 else "", "wood": facts.wood or "",
        "earlier": True, "day": at.date().isoformat(), "time": f"{at:%H:%M}", "as_told": facts.gathered})


def _typed(measure: Measure | None) -> str:
    return "" if measure is None else measure.typed or measure.value


def _from_material(key: str) -> dict[str, Any]:
    stuff = MATERIALS.get(key)
    return {"material": key, "part": stuff.parts[0].key} if stuff else {}


def with_site(typed: Typed, site: SiteNow, last_there: LotNow | None) -> Typed:
    """With a known place chosen, and everything preset as at the last time there."""
    chosen = typed.by_hand(site=site.id, adding=False)
    if last_there is not None:
        return chosen.preset(**_from_lot(last_there))
    if site.facts.materials and typed.material not in site.facts.materials:
        return chosen.preset(**_from_material(site.facts.materials[0]), ripeness="", basis="weighed")
    return chosen


def start(last: LotNow | None, sites: Sequence[SiteNow]) -> Typed:
    """A fresh form: material, ripeness, unit and pail as with the last lot anywhere; the place is asked."""
    typed = Typed() if last is None else Typed().preset(**_from_lot(last))
    if not sites:
        return replace(typed, adding=True)
    return typed


def to_form(typed: Typed) -> WindfallForm:
    """The form as the book takes it, every text as it was typed."""
    position: str | Fix = typed.fix or typed.place
    numbers = {name: getattr(typed, name) for name in (*numbers_of(typed), *_FINE.get(typed.basis, ()))}
    if "pail" in numbers:
        numbers["pail"] = in_own(numbers["pail"], "volume")
    new = SiteForm(typed.name, position=position, materials=(typed.material,) if typed.material else ())
    stuff = MATERIALS.get(typed.material)
    shows = any(part.key == typed.part and part.shows_ripeness for part in stuff.parts) if stuff else False
    return WindfallForm(
        material=typed.material, part=typed.part, site="" if typed.adding else typed.site,
        new_site=new if typed.adding else None, position=position, ripeness=typed.ripeness if shows else "",
        condition=typed.condition, unit=typed.unit, leave=typed.leave, note=typed.note,
        wood=typed.wood if typed.part == "bark" else "",
        gathered=_gathered(typed), **numbers)


def _gathered(typed: Typed) -> str:
    if typed.as_told and not typed.touched & {"earlier", "day", "time"}:
        return typed.as_told  # a form without seconds and offset must not change them
    return f"{typed.day} {typed.time}".strip() if typed.earlier else ""


def preview(typed: Typed, now: dt.datetime, stuff: Material | None = None) -> LotEstimate | None:
    """What the load as typed so far would be worth, or None while that can't be read.

    stuff: the material in force, or else the table's.
    """
    # Only the amount and what it is are looked at: a place or a day still to be typed must not hide the figure.
    form = dataclasses.replace(to_form(typed), site="", new_site=SiteForm("here"), position="", leave=None,
                               gathered="", note="", wood="felled" if typed.part == "bark" else "")
    decided = decide_windfall(form, Situation((), now, lambda: _NOBODY))
    if decided.problems:
        return None
    try:
        return estimate_lot(LotFacts.model_validate(dict(decided.drafts[-1].facts)), stuff)
    except Refused:
        return None


def by_use(sites: Iterable[SiteNow], lots: Iterable[LotNow], here: Fix | None) -> tuple[SiteNow, ...]:
    """Known places as one wants them: nearest first if a position is known, else last used first."""
    known = tuple(sites)
    if here is not None:
        far = {site.id: distance_m(here.position, site.position) for site in known if site.position}
        return tuple(sorted(known, key=lambda site: far.get(site.id, float("inf"))))
    order: dict[str, int] = {}
    for at, lot in enumerate(lots):
        order.setdefault(lot.facts.site, at)
    return tuple(sorted(known, key=lambda site: order.get(site.id, len(order))))


def materials_first(site: SiteNow | None, lots: Iterable[LotNow]) -> tuple[str, ...]:
    """Keys of the materials most likely here: those of the place, then those gathered before."""
    wanted = [*(site.facts.materials if site else ()), *(lot.facts.material for lot in lots)]
    return tuple(dict.fromkeys(key for key in wanted if key in MATERIALS))


def placed(problems: Iterable[Problem], typed: Typed) -> tuple[Problem, ...]:
    """The problems at the fields that are shown: a missing amount is told at the field where it is typed."""
    first = numbers_of(typed)[0]
    if getattr(typed, first).strip():
        return tuple(problems)
    return tuple(replace(problem, where=first) if problem.where in ("gross", "tare", "count", "pails") else problem
                 for problem in problems)


def fold_of(problem: Problem) -> str:
    """The fold that holds the field of a problem, or empty if it lies in none."""
    return FOLDS.get(problem.where, "")
