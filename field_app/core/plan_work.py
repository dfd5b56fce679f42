"""What comes of a plan: liquors, baths in their order, helpers, rinses, the clock, and what stands in the way.

Everything is worked out anew from the plan and its lots as they stand, so a plan never tells old figures.
The law of this file:

1. The darkest shade goes first: in one liquor each bath leaves less dye for the next.
2. Each load gets as much of the liquor as its shade takes in its time, filled up with water so that it can move,
   and the rest of the liquor is kept; or, if the plan says so, all loads go into the whole liquor in turn.
3. A bath that can't give the shade that is wanted is worked out all the same, and says so.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from types import MappingProxyType
from typing import Any

from field_app.core.bands import SHADES, ShadeWord, depth_of
from field_app.core.bath import Dyed, Load, Routes, pot_of, routes
from field_app.core.brew import Brew
from field_app.core.cautions import Caution
from field_app.core.cloth_text import read_cloths
from field_app.core.cloths import ClothItem, mass_of
from field_app.core.day_text import clock_time
from field_app.core.estimate import Range, exact, product
from field_app.core.extraction import Bath
from field_app.core.helpers import HelperDose, Rinsing, helpers_for, rinsing
from field_app.core.liquor import Liquor, liquor_of
from field_app.core.load import LotEstimate
from field_app.core.lots import LotNow
from field_app.core.materials import Material
from field_app.core.plan_clock import BathTime, ClockRow, Firing, clock_of
from field_app.core.plan_load import Ready, Taking, gathered_load, ready_liquor, taking
from field_app.core.plan_mix import Mix, in_turn, shared_out
from field_app.core.plans import PlanBath, PlanFacts
from field_app.core.pots import Pot as Kettle
from field_app.core.problems import Problem, Refused
from field_app.core.totals import total
from field_app.core.units import show_number, show_si
from field_app.words import later, mid, shade_words, tr, tr_n

__all__ = ["BathWork", "LiquorWork", "PlanWork", "work_out"]

#: Litres of bath for a kilogram of cloth, and hours in it, where the plan says nothing (common practice, no source).
USUAL_RATIO, USUAL_HOURS = 30.0, 2.0
#: After this hour nobody wants to rinse; the clock is told as a problem then.
_LATE = 21
_TAKES: Mapping[ShadeWord, str] = MappingProxyType({
    "pale": later("Pale takes {times} times the dye."), "light": later("Light takes {times} times the dye."),
    "medium": later("Medium takes {times} times the dye."), "dark": later("Dark takes {times} times the dye.")})


@dataclass(frozen=True, slots=True)
class BathWork:
    """One load of cloth as it will come out.

    place: in the order of its liquor, from 1; mass: of the cloth [kg]; liquor: how much of it goes in [L];
    water: that fills it up [L]; dyed: dye and shade; doses: helpers that may be used, and only those that the
    mordant asks for; rinses: changes and litres; verdict: beside what was wanted.
    """

    bath: PlanBath
    items: tuple[ClothItem, ...]
    place: int
    mass: Range
    liquor: float
    water: float
    dyed: Dyed
    doses: tuple[HelperDose, ...]
    rinses: Rinsing
    verdict: str

    @property
    def cloth(self) -> str:
        """The cloth as it was typed."""
        return "; ".join(self.bath.cloth)

    def as_json(self) -> dict[str, Any]:
        """The same as plain data."""
        return {**self.dyed.as_json(), "place": self.place, "wanted": self.bath.shade, "mordant": self.bath.mordant,
                "liquor": self.liquor, "water": self.water, "verdict": self.verdict,
                "helpers": [dose.as_json() for dose in self.doses], "rinses": self.rinses.as_json()}


@dataclass(frozen=True, slots=True)
class LiquorWork:
    """The liquor of one material and the baths in it.

    load: what is boiled, or None if all of it is liquor already; made: what comes of boiling it, or None;
    extract [kg], volume [L]: of the whole liquor; kept: what of it no bath takes [L];
    routes: both ways to the shade of the first bath, where all of the liquor was boiled for this.
    """

    stuff: Material
    takings: tuple[Taking, ...]
    load: LotEstimate | None
    made: Liquor | None
    extract: Range
    volume: Range
    kept: float
    baths: tuple[BathWork, ...]
    routes: Routes | None

    def as_json(self) -> dict[str, Any]:
        """The same as plain data."""
        return {"material": self.stuff.key, "lots": [{"code": one.lot.code, "amount": one.amount.as_json(),
                                                      "short": one.short} for one in self.takings],
                "extract": self.extract.as_json(), "liquor_volume": self.volume.as_json(), "liquor_kept": self.kept,
                "boiling": self.made.as_json() if self.made else None,
                "baths": [bath.as_json() for bath in self.baths],
                "routes": self.routes.as_json() if self.routes else None}


@dataclass(frozen=True, slots=True)
class PlanWork:
    """All that comes of a plan.

    soak, boil: hours as planned or as custom has them [h]; problems: what a person has to settle before the day.
    """

    liquors: tuple[LiquorWork, ...]
    clock: tuple[ClockRow, ...]
    cautions: tuple[Caution, ...]
    problems: tuple[Problem, ...]
    soak: float
    boil: float

    @property
    def baths(self) -> tuple[BathWork, ...]:
        """All baths."""
        return tuple(bath for liquor in self.liquors for bath in liquor.baths)

    def helpers(self) -> Mapping[str, Range]:
        """All helpers with an amount, by name, in grams [g]."""
        found: dict[str, list[Range]] = {}
        for bath in self.baths:
            for dose in bath.doses:
                if dose.grams is not None:
                    found.setdefault(dose.helper.name, []).append(dose.grams)
        return {name: total(grams, unit="g") for name, grams in found.items()}

    def as_json(self) -> dict[str, Any]:
        """The same as plain data; times local, without offset."""
        return {"liquors": [liquor.as_json() for liquor in self.liquors],
                "clock": [{"from": row.start.isoformat(timespec="minutes"),
                           "to": row.end.isoformat(timespec="minutes"), "what": row.words} for row in self.clock],
                "helpers": {name: grams.as_json() for name, grams in self.helpers().items()},
                "cautions": [caution.as_json() for caution in self.cautions],
                "problems": [str(problem) for problem in self.problems]}


def work_out(facts: PlanFacts, lots: Sequence[LotNow], kettles: Sequence[Kettle] = ()) -> PlanWork:
    """What comes of a plan.

    lots: those of the plan that are known; kettles: its pots.
    What can't be worked out is a problem beside the rest, never an exception.
    """
    problems: list[Problem] = []
    known = {lot.id: lot for lot in lots}
    takings: dict[str, list[Taking]] = {}
    for one in facts.lots:
        lot = known.get(one.lot)
        if lot is None:
            problems.append(Problem("lots", tr("one of them is not known here"),
                                    tr("Sync first, or take it out of the plan.")))
            continue
        if lot.stuff is None:
            problems.append(Problem(f"lot {lot.code}", tr("is of stuff that this version doesn't know"),
                                    tr("Update this program, or take it out of the plan.")))
            continue
        took = taking(lot, one.amount, lot.stuff)
        problems += _lot_problems(took)
        takings.setdefault(lot.facts.material, []).append(took)
    if not facts.lots:
        problems.append(Problem("lots", tr("none is chosen"), tr("Choose what goes into the pots.")))
    if not facts.baths:
        problems.append(Problem("cloth", tr("none is chosen"), tr("Say what is to be dyed.")))
    liquors = []
    for key, ones in takings.items():
        baths = [bath for bath in facts.baths if bath.material == key or (not bath.material and len(takings) == 1)]
        try:
            found = _liquor(facts, ones, kettles, baths)
        except Refused as refused:
            problems += refused.problems
            continue
        if found is not None:
            liquors.append(found)
            problems += _pot_problems(found, kettles)
    firings = [Firing(mid(one.stuff.said), _soak(facts), _boil(facts),
                      one.made.kettles.times if one.made.kettles else 1, facts.strainings)
               for one in liquors if one.made is not None]
    times = [BathTime(bath.cloth, mid(one.stuff.said), bath.dyed.load.hours, bath.dyed.load.dips,
                      alum=bath.bath.mordant in ("alum", "alum-iron"), iron="iron" in bath.bath.mordant)
             for one in liquors for bath in one.baths]
    cautions = [caution for one in liquors for caution in (one.load.cautions if one.load else ())]
    cautions += [caution for one in liquors for bath in one.baths for dose in bath.doses
                 for caution in dose.helper.told()]
    clock = clock_of(facts, firings, times, 1 if facts.in_turn else len(kettles))
    problems += _late(facts, clock)
    return PlanWork(tuple(liquors), clock, tuple(dict.fromkeys(cautions)), tuple(dict.fromkeys(problems)), _soak(facts),
                    _boil(facts))


def _soak(facts: PlanFacts) -> float:
    return float(facts.soak) if facts.soak else Brew().soak.hours


def _boil(facts: PlanFacts) -> float:
    return float(facts.boil) if facts.boil else Brew().boil.hours


def _lot_problems(took: Taking) -> list[Problem]:
    lot = took.lot
    if not took.amount.central > 0:
        return [Problem(f"lot {lot.code}", tr("nothing is left of it"),
                        tr("Take it out of the plan, or weigh it again."))]
    if took.short > 0:
        unit = took.amount.unit
        return [Problem(f"lot {lot.code}", tr("{amount} more is planned than is left",
                                              amount=show_si(took.short, unit)),
                        tr("Plan with less, or weigh the lot again."))]
    return []


def _brew(facts: PlanFacts, kettles: Sequence[Kettle]) -> Brew:
    default = Brew()
    return Brew(water=facts.water.si if facts.water else None,
                soak=Bath(_soak(facts), default.soak.celsius), boil=Bath(_boil(facts), default.boil.celsius),
                strainings=facts.strainings, squeezed=facts.squeezed, pots=tuple(kettles))


def _liquor(facts: PlanFacts, takings: Sequence[Taking], kettles: Sequence[Kettle],
            baths: Sequence[PlanBath]) -> LiquorWork | None:
    stuff = takings[0].stuff
    solid = [one for one in takings if not one.is_liquor and one.share.central > 0]
    load = gathered_load(solid) if solid else None
    made = liquor_of(load, stuff, _brew(facts, kettles)) if load else None
    ready = ready_liquor(takings)
    if made is None and ready is None:
        return None
    extract, volume = _together(made, ready)
    strength = load.strength if load else None
    whole = pot_of(extract, volume, stuff, strength)
    read = sorted(((bath, read_cloths(bath.cloth, where="cloth")) for bath in baths),
                  key=lambda pair: -SHADES.index(_shade(pair[0])))
    loads = [Load(mass_of(items), "; ".join(bath.cloth), float(bath.hours) if bath.hours else USUAL_HOURS)
             for bath, items in read]
    ratio = float(facts.ratio) if facts.ratio else USUAL_RATIO
    mixes = in_turn(whole, loads, ratio) if facts.in_turn else shared_out(whole, loads, ratio, [
        _shade(bath) for bath, _ in read])
    works = tuple(_bath_work(bath, items, place, mix, ratio, stuff)
                  for place, ((bath, items), mix) in enumerate(zip(read, mixes, strict=True), 1))
    both = None
    if load is not None and ready is None and mixes:
        both = routes(mixes[0].dyed, product(load.air_dry, exact(mixes[0].share, "1"), unit="kg"), stuff, strength)
    kept = volume.central * max(0.0, 1 - max((mix.until for mix in mixes), default=0.0))
    return LiquorWork(stuff, tuple(takings), load, made, extract, volume, kept, works, both)


def _together(made: Liquor | None, ready: Ready | None) -> tuple[Range, Range]:
    extracts = [one.extract for one in (made, ready) if one is not None]
    volumes = [one.volume for one in (made, ready) if one is not None]
    if len(extracts) == 1:
        return extracts[0], volumes[0]
    told = tuple(dict.fromkeys(reason for one in extracts for reason in one.reasons))
    return total(extracts, unit="kg").because(*told), total(volumes, unit="L")


def _shade(bath: PlanBath) -> ShadeWord:
    return next(shade for shade in SHADES if shade == bath.shade)


def _bath_work(bath: PlanBath, items: tuple[ClothItem, ...], place: int, mix: Mix, ratio: float,
               stuff: Material) -> BathWork:
    dyed = mix.dyed
    asked = {"none": (), "alum": ("alum", "alum-base", "tartar"), "iron": ("iron",),
             "alum-iron": ("alum", "alum-base", "tartar", "iron")}[bath.mordant]
    always = ("soap", "soda", "tannin")  # what scours, and the base for the dye
    doses = tuple(dose for dose in helpers_for(items) if dose.helper.key in (*asked, *always))
    litres = rinsing(dyed.load.cloth, ratio, walnut="walnut" in stuff.group)
    return BathWork(bath, items, place, dyed.load.cloth, mix.liquor, mix.water, dyed, doses, litres,
                    _verdict(bath, dyed))


def _verdict(bath: PlanBath, dyed: Dyed) -> str:
    """What to make of the shade beside the one that is wanted."""
    wanted, comes = SHADES.index(_shade(bath)), SHADES.index(dyed.band.central)
    iron = "iron" in bath.mordant
    deeper = tr("Iron takes it deeper.")
    if comes == wanted:
        return " ".join((tr("Comes out {shade}, as wanted.", shade=dyed.band.words), *([deeper] if iron else [])))
    if comes > wanted:
        return tr("Comes out {shade}, deeper than {wanted}: lift it earlier, or dye more cloth.",
                  shade=dyed.band.words, wanted=shade_words(bath.shade))
    short = depth_of(_shade(bath)) / dyed.depth.central if dyed.depth.central > 0 else 0.0
    told = [tr("Comes out {shade}, paler than {wanted}.", shade=dyed.band.words, wanted=shade_words(bath.shade))]
    if 1 < short < 100:
        told.append(tr(_TAKES[_shade(bath)], times=show_number(short)))
    return " ".join((*told, deeper if iron else tr("Dip it again, put it in earlier, or sadden it with iron.")))


def _pot_problems(work: LiquorWork, kettles: Sequence[Kettle]) -> list[Problem]:
    if not kettles:
        return []
    widest = max(kettle.useful for kettle in kettles)
    return [Problem("pots", tr("the bath for {cloth} comes to {volume}, the largest pot takes {most}",
                               cloth=bath.cloth, volume=show_si(bath.liquor + bath.water, "L"),
                               most=show_si(widest, "L")), tr("Dye it in several loads, or choose a larger pot."))
            for bath in work.baths if bath.liquor + bath.water > widest * 1.001]


def _late(facts: PlanFacts, clock: Sequence[ClockRow]) -> list[Problem]:
    """A clock that runs into the night is told."""
    if not clock:
        return []
    end = max(row.end for row in clock)
    if end.date() <= facts.day and end.hour < _LATE:
        return []
    days = (end.date() - facts.day).days
    at = clock_time(end)
    what = (tr("the last rinse ends at {time}", time=at) if not days
            else tr_n("the last rinse ends at {time} the day after", "the last rinse ends at {time}, {n} days after",
                      days, time=at))
    return [Problem("clock", what,
                    tr("Light the fire earlier, boil the day before, or plan fewer or shorter baths."))]
