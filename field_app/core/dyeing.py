"""Some loads of dye stuff on some cloth: the liquor of all of them in one bath, and the cloth through it in turn.

1. Loads in one bath add up: their extract, and their liquor; each is worth what its stuff and ripeness are.
2. Each item of the cloth is a load of the bath by itself, in the order in which it was given.
3. Custom stands beside the bath for the first load, and for all the cloth together; of a used bath it knows nothing.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Any

from field_app.core.bands import SHADES, Band, ShadeWord, band_by_wof, begins_at, wof_of
from field_app.core.bath import ASSUMED_WORDS, Dyed, Load, Pot, Routes, bath_for, dye_in_turn, pot_of, routes
from field_app.core.bath_asks import TopUp, Wait, WayToDark, enough_for, top_up, wait_for, way_to_dark
from field_app.core.cloth import Shade
from field_app.core.cloths import ClothItem, mass_of
from field_app.core.estimate import Range, Reason, exact, product, quotient
from field_app.core.fibres import FIBRES
from field_app.core.helpers import CELLULOSE_WORDS
from field_app.core.materials import Material
from field_app.core.problems import refuse
from field_app.core.totals import total
from field_app.core.units import show_number, show_range, show_si
from field_app.core.uptake import ASSUMED
from field_app.words import shade_words, tr

__all__ = ["BOILED_DOWN", "Dyeing", "Source", "cloth_areas", "dye"]

#: How far liquor is boiled down for a concentrate, as people do it [1] (common practice, no source).
BOILED_DOWN = 4.0


@dataclass(frozen=True, slots=True)
class Source:
    """A load of stuff and its liquor: extract [kg], volume [L], air-dry stuff [kg], worth by ripeness [1] or None."""

    stuff: Material
    extract: Range
    volume: Range
    air_dry: Range
    strength: Range | None = None

    def pot(self, celsius: float = ASSUMED.celsius) -> Pot:
        """Its liquor alone, as a bath."""
        return pot_of(self.extract, self.volume, self.stuff, self.strength, celsius)


@dataclass(frozen=True, slots=True)
class Dyeing:
    """What comes of it.

    pot: the bath; turns: the loads in their order; first: both routes for the first; together: the band that custom
    gives all the cloth at once, with its WOF; enough: when the bath stops giving the shade wanted;
    wait: how long the first load takes to it, in one dip; top: what brings the bath back for the first load that
    would be too pale, or None; dark: what dark takes for the first load; words: what else to say.
    """

    pot: Pot
    turns: tuple[Dyed, ...]
    first: Routes
    together: Band
    wof: Range
    enough: str
    wait: Wait
    top: TopUp | None
    dark: WayToDark
    words: tuple[str, ...]

    def reasons(self) -> tuple[Reason, ...]:
        """Every reason once."""
        ranges = (self.pot.dye, self.pot.volume, *(turn.depth for turn in self.turns))
        return tuple(dict.fromkeys(reason for one in ranges for reason in one.reasons))

    def as_json(self) -> dict[str, Any]:
        """The same as plain data; volume and water in [L]."""
        return {"baths": [turn.as_json() for turn in self.turns], "routes": self.first.as_json(),
                "together": {"shade": self.together.as_json(), "wof": self.wof.as_json()},
                "bath_volume": self.pot.volume.as_json(), "water_added": self.pot.water, "enough": self.enough,
                "time_for_shade": self.wait.as_json(), "top_up": self.top.as_json() if self.top else None,
                "dark": self.dark.words, "words": list(self.words)}


def dye(sources: Sequence[Source], items: Sequence[ClothItem], hours: float, *, dips: int = 1,
        shade: ShadeWord = "medium", celsius: float = ASSUMED.celsius, boiled_down: float = BOILED_DOWN) -> Dyeing:
    """The cloth through the bath of some loads, item after item.

    hours: each dip [h]; dips: of each item; shade: that is wanted; celsius: heat of the bath [°C];
    boiled_down: how many times as strong as the liquor the concentrate is that one tops up from [1].
    Raises Refused if there is no load, no cloth, or no such time.
    """
    if not sources:
        raise refuse("lot", tr("no load is chosen"), tr("Choose the lots that go into the bath."))
    if not items:
        raise refuse("cloth", tr("no cloth is chosen"), tr("Say what is to be dyed."))
    loads = tuple(Load(item.mass, item.text, hours, dips) for item in items)
    liquor = _together(sources, celsius)
    pot = bath_for(liquor, loads)
    turns = dye_in_turn(pot, loads)
    air_dry, stuff = _air_dry(sources), sources[0].stuff
    wof = quotient(air_dry, mass_of(items), unit="1")
    words = [tr(ASSUMED_WORDS)]
    if pot.water > 0:
        words.insert(0, tr("Add {water} of water, so that the cloth can move.", water=show_si(pot.water, "L")))
    if any(FIBRES[item.fibre].kind == "cellulose" for item in items):
        words.append(tr(CELLULOSE_WORDS))
    return Dyeing(pot, turns, routes(turns[0], air_dry, stuff), band_by_wof(wof, stuff), wof, enough_for(turns, shade),
                  wait_for(pot, loads[0], begins_at(shade)), _top(liquor, pot, turns, shade, boiled_down),
                  way_to_dark(pot, loads[0]), tuple(words))


def _top(liquor: Pot, pot: Pot, turns: Sequence[Dyed], shade: ShadeWord, boiled_down: float) -> TopUp | None:
    """What to add before the first load that would come out paler than wanted, of liquor boiled down."""
    pale = next((turn for turn in turns if SHADES.index(turn.band.central) < SHADES.index(shade)), None)
    if pale is None or pot.dye.low <= 0:
        return None
    strength = quotient(product(pot.dye, exact(1000.0, "g/kg"), unit="g"), pot.volume, unit="g/L")
    left = strength if pale.place == 1 else turns[pale.place - 2].left
    rich = liquor.strength * boiled_down
    concentrate = exact(rich, "g/L", Reason(
        tr("concentrate"), tr("the liquor boiled down to 1/{times}", times=show_number(boiled_down)), "said"))
    found = top_up(left, pot, pale.load, shade, concentrate)
    if found.litres is None:
        return found
    told = {"volume": show_range(found.litres), "times": show_number(boiled_down), "shade": shade_words(shade)}
    words = (tr("Before the first load, add {volume} of the same liquor boiled down to 1/{times}, for {shade}.", **told)
             if pale.place == 1
             else tr("Before load {place}, add {volume} of the same liquor boiled down to 1/{times}, for {shade}.",
                     place=pale.place, **told))
    return TopUp(found.litres, words)


def _together(sources: Sequence[Source], celsius: float) -> Pot:
    pots = [source.pot(celsius) for source in sources]
    if len(pots) == 1:
        return pots[0]
    told = tuple(dict.fromkeys(reason for pot in pots for reason in pot.dye.reasons))
    volume = tuple(dict.fromkeys(reason for pot in pots for reason in pot.volume.reasons))
    return replace(pots[0], dye=total((pot.dye for pot in pots), unit="kg").because(*told),
                   volume=total((pot.volume for pot in pots), unit="L").because(*volume))


def _air_dry(sources: Sequence[Source]) -> Range:
    """All the stuff, air-dry and of full worth, counted in stuff of the first [kg]."""
    medium = wof_of(sources[0].stuff, "medium").central
    parts = []
    for source in sources:
        beside = medium / wof_of(source.stuff, "medium").central
        factors = [source.air_dry, *([source.strength] if source.strength else []), Range(beside, beside, beside, "1")]
        parts.append(product(*factors, unit="kg"))
    return total(parts, unit="kg").because(*dict.fromkeys(reason for part in parts for reason in part.reasons))


def cloth_areas(shade: Shade, items: Sequence[ClothItem]) -> tuple[tuple[str, Range], ...]:
    """How much of each cloth known by its weight per area a lot is enough for, at a shade [m²], with its text.

    >>> from field_app.core.cloth import shades
    >>> from field_app.core.cloth_text import read_cloth
    >>> from field_app.core.estimate import exact
    >>> from field_app.core.materials import material
    >>> medium = shades(exact(2.0, "kg"), material("black-walnut"))[1]
    >>> (text, area), = cloth_areas(medium, [read_cloth("cotton 3 m2 120 g/m2")])
    >>> round(area.central, 1)
    33.3
    """
    thousand = Range(1000.0, 1000.0, 1000.0, "g/kg")
    return tuple((item.text, quotient(product(shade.cloth, thousand, unit="g"), item.density, unit="m²"))
                 for item in items if item.density is not None)
