"""From the liquor to the cloth: the dye on each load, one after another in the same bath, as ranges and bands.

uptake.py has the law; here it meets what is not known for sure: how much extract, how much liquor, how much cloth,
what the stuff is worth, and the constants, which are assumed.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Any

from field_app.core.bands import SHADES, Band, band_by_depth, band_by_wof, worth_of
from field_app.core.cloths import ClothItem
from field_app.core.estimate import Range, Reason, product, quotient
from field_app.core.materials import Material
from field_app.core.problems import refuse
from field_app.core.sources import cited, source_said
from field_app.core.spread import Spread, spread
from field_app.core.units import show_ends, show_number, show_per, show_si
from field_app.core.uptake import (
    ASSUMED,
    Constants,
    at_rest,
    dip,
    hours_to_share,
    reference_uptake,
    taken_up,
)
from field_app.words import later, shade_words, tr

__all__ = ["AFFINITY", "ASSUMED_WORDS", "CUSTOM_HOURS", "LEAST_RATIO", "NO_MORE", "RATE", "Dyed", "Load", "Pot",
           "Routes", "assumed", "bath_for", "course", "depths", "dye_in_turn", "loads_of", "pot_of", "routes"]

_PRACTICE = later("common practice, no source")
ASSUMED_WORDS = later("The constants of the bath are assumed until a swatch of your own is in.")

#: K [(g/kg)/(g/L)^0.6] and qₑ·k in the reference bath [1/h]: assumed, and so are their ends.
AFFINITY = Range(20.0, ASSUMED.affinity, 40.0, "(g/kg)/(g/L)^0.6")
RATE = Range(1.6, ASSUMED.rate, 3.5, "1/h")
#: A bath in which a person can still move the cloth [L/kg]: 20 to 40 by hand.
LEAST_RATIO = 20.0
#: Beyond this share of what the bath can give, a dyer sees no more gain [1]: by custom 6 to 8 hours.
NO_MORE = 0.95
#: What custom's amounts suppose: some hours in the bath [h].
CUSTOM_HOURS = 6.0


def assumed() -> tuple[Range, Range]:
    """:data:`AFFINITY` and :data:`RATE` with their reasons, as the person reads them."""
    eager = Reason(tr("how eagerly the cloth takes dye (K)"),
                   tr("{value}, with n = {exponent}", value=_ends(AFFINITY), exponent=show_number(ASSUMED.power)),
                   "default", source_said(cited(later("assumed"), _PRACTICE)), "practice")
    fast = Reason(tr("how fast it takes it, in the reference bath"),
                  tr("{value} an hour, by heat with {energy} kJ/mol", value=_ends(RATE),
                     energy=show_number(ASSUMED.energy / 1000)),
                  "default", source_said(cited(later("assumed"), _PRACTICE, later(
                      "the heat by Zi et al. 2018, Nat. Prod. Res. Dev. 30(3):362"))), "practice")
    return AFFINITY.because(eager), RATE.because(fast)


def _ends(value: Range) -> str:
    return show_ends(value.low, value.central, value.high, "1")


@dataclass(frozen=True, slots=True)
class Pot:
    """A bath before the cloth goes in.

    dye: extract in it, in grams of the reference bath's worth [kg]; volume: with any water added [L];
    celsius: its heat [°C]; constants: of the model; water: added to the liquor [L].
    """

    dye: Range
    volume: Range
    celsius: float = ASSUMED.celsius
    constants: Constants = ASSUMED
    water: float = 0.0

    @property
    def strength(self) -> float:
        """C₀ at the central values [g/L of the reference bath's worth]."""
        return self.dye.central * 1000 / self.volume.central


@dataclass(frozen=True, slots=True)
class Load:
    """Cloth that goes into the bath together: its mass [kg], how often it is dipped and how long each time [h]."""

    cloth: Range
    text: str
    hours: float
    dips: int = 1


@dataclass(frozen=True, slots=True)
class Dyed:
    """A load as it comes out.

    uptake: q [g/kg]; depth: q beside the reference bath [1]; left: strength of the bath afterwards [g/L];
    used: share of the dye that was in the bath before it [1]; no_more: hours after which nothing is gained [h];
    place: its place in the order, from 1.
    """

    load: Load
    place: int
    uptake: Range
    depth: Range
    left: Range
    used: Range
    no_more: Range

    @property
    def band(self) -> Band:
        """Its shade as a band."""
        return band_by_depth(self.depth)

    def as_json(self) -> dict[str, Any]:
        """The same as plain data; time in [h], uptake in [g/kg], strength in [g/L]."""
        return {"cloth": self.load.text, "mass": self.load.cloth.as_json(), "depth": self.depth.as_json(),
                "shade": self.band.as_json(), "time": {"value": self.load.hours, "unit": "h"},
                "dips": self.load.dips, "q": self.uptake.as_json(), "bath_strength_after": self.left.as_json(),
                "used": self.used.as_json(), "no_more_after": self.no_more.as_json(),
                "dark": self.band.dark_words, "assumed": ASSUMED_WORDS}


@dataclass(frozen=True, slots=True)
class Routes:
    """The shade of one load by both routes, and whether they agree.

    custom, wof: by the amount on the weight of cloth [1]; bath, depth: by the bath [1]; words: what to make of it.
    """

    custom: Band
    wof: Range
    bath: Band
    depth: Range
    words: str

    @property
    def agree(self) -> bool:
        """Whether both name the same shade at their middle."""
        return self.custom.central == self.bath.central

    def as_json(self) -> dict[str, Any]:
        """The same as plain data."""
        return {"custom": {"shade": self.custom.as_json(), "wof": self.wof.as_json()},
                "bath": {"shade": self.bath.as_json(), "depth": self.depth.as_json()},
                "agree": self.agree, "words": self.words}


def pot_of(extract: Range, volume: Range, stuff: Material, strength: Range | None = None,
           celsius: float = ASSUMED.celsius) -> Pot:
    """The bath that a liquor makes: extract [kg] and volume [L] of it, worth what the stuff and its ripeness are.

    strength: worth of the stuff by its ripeness [1], None for full worth.

    >>> from field_app.core.estimate import exact
    >>> from field_app.core.materials import material
    >>> pot = pot_of(exact(0.108, "kg"), exact(30.0, "L"), material("black-walnut"))
    >>> round(pot.strength, 2)  # half a kilogram of air-dry hull, in 30 L: the reference bath
    3.8
    """
    factors = [extract, worth_of(stuff), *([strength] if strength else [])]
    return Pot(product(*factors, unit="kg"), volume, celsius)


def bath_for(pot: Pot, loads: Sequence[Load]) -> Pot:
    """The pot with as much water as the largest load needs to move in: 20 L to the kilogram at least."""
    need = LEAST_RATIO * max((load.cloth.central for load in loads), default=0.0)
    water = need - pot.volume.central
    if water <= 0:
        return pot
    amount, one = show_per(LEAST_RATIO, "L/kg")
    ratio = tr("{amount} to the {one} of cloth", amount=amount, one=one)
    told = Reason(tr("water added"), tr("{water}, so that the cloth can move", water=show_si(water, "L")),
                  "worked out", f"{ratio}; {tr(_PRACTICE)}", "practice")
    volume = Range(pot.volume.low + water, pot.volume.central + water, pot.volume.high + water, "L",
                   (*pot.volume.reasons, told))
    return replace(pot, volume=volume, water=pot.water + water)


def _checked(load: Load) -> None:
    if not load.cloth.low > 0:
        what = tr("{text} weighs nothing", text=load.text) if load.text else tr("it weighs nothing")
        raise refuse("cloth", what, tr("Say how much cloth there is."))
    if not 0 < load.hours <= 24 * 14:
        raise refuse("time", tr("{hours:g} h is no time in a bath", hours=load.hours),
                     tr("Give more than 0, and two weeks at most."))
    if not 1 <= load.dips <= 50:
        raise refuse("dips", tr("{dips} is no number of dips", dips=load.dips), tr("Give 1 to 50."))


def dye_in_turn(pot: Pot, loads: Sequence[Load]) -> tuple[Dyed, ...]:
    """Each load in its turn, in what the one before it left; Refused for a load of nothing or no time.

    >>> from field_app.core.estimate import exact
    >>> pot = Pot(exact(0.114, "kg"), exact(30.0, "L"))
    >>> turns = dye_in_turn(pot, [Load(exact(1.0, "kg"), "wool 1 kg", 6.0)] * 2)
    >>> [(round(one.depth.central, 2), one.band.central) for one in turns]
    [(0.93, 'medium'), (0.65, 'light')]
    """
    for load in loads:
        _checked(load)
    if not loads:
        return ()
    inputs = [pot.dye, pot.volume, *assumed(), *(load.cloth for load in loads)]

    def chain(values: Sequence[float]) -> list[float]:
        dye, volume, affinity, rate, *masses = values
        constants = _varied(pot, affinity, rate)
        strength, full = dye * 1000 / volume, reference_uptake(constants)
        speed, found = constants.speed(pot.celsius), []
        for load, mass in zip(loads, masses, strict=True):
            taken = dip(strength, volume / mass, [load.hours] * load.dips, pot.celsius, constants)
            used = 1 - taken.left / strength if strength > 0 else 0.0
            found += [taken.uptake, taken.uptake / full, taken.left, used,
                      min(hours_to_share(taken.at_rest, NO_MORE, speed), 1e4)]
            strength = taken.left
        return found

    results = spread(inputs, chain)
    return tuple(_dyed(load, place + 1, results[5 * place:5 * place + 5], inputs) for place, load in enumerate(loads))


def _varied(pot: Pot, affinity: float, rate: float) -> Constants:
    """The constants of a bath, off by as much as assumed ones may be."""
    own = pot.constants
    return Constants(affinity * own.affinity / ASSUMED.affinity, own.power, rate * own.rate / ASSUMED.rate, own.celsius,
                     own.energy)


def _dyed(load: Load, place: int, results: Sequence[Spread], inputs: Sequence[Range]) -> Dyed:
    told = tuple(dict.fromkeys(reason for one in inputs for reason in one.reasons))
    uptake, depth, left, used, no_more = results
    return Dyed(load, place, uptake.range("g/kg", told), depth.range("1", told), left.range("g/L"), used.range("1"),
                no_more.range("h"))


def course(pot: Pot, load: Load, times: Sequence[float]) -> tuple[Dyed, ...]:
    """One dip of the same load after each of several times in a fresh bath [h], for a curve or a row of colours.

    The same as :func:`dye_in_turn` for each time alone, but the bath at rest is worked out once for all of them.
    """
    _checked(load)
    inputs = [pot.dye, pot.volume, *assumed(), load.cloth]

    def chain(values: Sequence[float]) -> list[float]:
        dye, volume, affinity, rate, mass = values
        constants = _varied(pot, affinity, rate)
        strength, ratio, full = dye * 1000 / volume, volume / mass, reference_uptake(constants)
        rest, speed, found = at_rest(strength, ratio, constants), constants.speed(pot.celsius), []
        no_more = min(hours_to_share(rest, NO_MORE, speed), 1e4)
        for hours in times:
            taken = taken_up(rest, hours, speed)
            found += [taken, taken / full, max(0.0, strength - taken / ratio), taken / max(strength * ratio, 1e-12),
                      no_more]
        return found

    results = spread(inputs, chain)
    return tuple(_dyed(replace(load, hours=hours, dips=1), 1, results[5 * at:5 * at + 5], inputs)
                 for at, hours in enumerate(times))


def depths(pot: Pot, load: Load, times: Sequence[float]) -> tuple[Range, ...]:
    """The depths alone of :func:`course` [1], for many times [h]."""
    _checked(load)
    inputs = [pot.dye, pot.volume, AFFINITY, RATE, load.cloth]

    def chain(values: Sequence[float]) -> list[float]:
        dye, volume, affinity, rate, mass = values
        constants = _varied(pot, affinity, rate)
        rest, full = at_rest(dye * 1000 / volume, volume / mass, constants), reference_uptake(constants)
        speed = constants.speed(pot.celsius)
        return [taken_up(rest, hours, speed) / full for hours in times]

    return tuple(found.range("1") for found in spread(inputs, chain))


def routes(first: Dyed, air_dry: Range, stuff: Material, strength: Range | None = None) -> Routes:
    """Both routes for the first load in a fresh bath.

    air_dry: stuff that went into the liquor [kg]; strength: its worth by ripeness [1].
    """
    worth = air_dry if strength is None else product(air_dry, strength, unit="kg")
    wof = quotient(worth, first.load.cloth, unit="1")
    custom, bath = band_by_wof(wof, stuff), first.band
    words = tr("Custom and the bath agree.") if custom.central == bath.central else _disagreement(custom, bath, first)
    return Routes(custom, wof, bath, first.depth, words)


def _disagreement(custom: Band, bath: Band, first: Dyed) -> str:
    said = {"custom": shade_words(custom.central), "bath": shade_words(bath.central)}
    if SHADES.index(bath.central) > SHADES.index(custom.central):
        return tr("Custom says {custom}, the bath says {bath}. More dye is in the liquor than custom counts on, or it "
                  "is dipped more often.", **said)
    if first.load.hours * first.load.dips < CUSTOM_HOURS:
        return tr("Custom says {custom}, the bath says {bath}. Custom counts on some hours in the bath; this is "
                  "shorter.", **said)
    return tr("Custom says {custom}, the bath says {bath}. The liquor holds less than custom counts on, or the bath is "
              "long for the cloth.", **said)


def loads_of(items: Sequence[ClothItem], hours: float, dips: int = 1) -> tuple[Load, ...]:
    """One load for each item, in their order."""
    return tuple(Load(item.mass, item.text, hours, dips) for item in items)
