"""From a load to its liquor: how much runs off, how much extract is in it, and how strong it is.

The chain, for a load whose dye is in F kilograms of stuff of which D are dry:

* in the pot: the water put in and the water that the stuff brings along, F − D, less what boils off;
* out of the stuff: its extract y∞ D by the time, as extraction.py has it;
* strained: all liquid less what the spent stuff keeps back; the extract goes along in the same share.

A litre of liquor is taken to weigh a kilogram, as it does within one part in fifty for any liquor of a kettle.
How strong the stuff is by its ripeness is no part of this: old hull is not lighter, it dyes less (load.py).
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from field_app.core.amounts import row_of
from field_app.core.brew import Brew
from field_app.core.estimate import Range, Reason, exact, product
from field_app.core.liquor_chain import Fixed, chain, factors_of, fixed, measured_chain, water_chain
from field_app.core.liquor_surer import Part, parts_of, parts_of_reading
from field_app.core.load import LotEstimate
from field_app.core.materials import Material
from field_app.core.pots import Kettles, kettles
from field_app.core.sources import source_said
from field_app.core.spread import spread
from field_app.core.units import show_number, show_per, show_si
from field_app.words import later, tr

__all__ = ["Liquor", "liquor_of", "strength_of_reading", "water_for"]

_PRACTICE = later("common practice, no source")
# A refractometer of the field shows ± 0.2 °Brix, and extract is not sugar (common practice, no source).
_READING, _NOT_SUGAR = 0.2, 1.1


@dataclass(frozen=True, slots=True)
class Liquor:
    """The liquor of a load: extract in it [kg], volume [L], strength [g/L], each as a range with its reasons.

    water: to put in at first [L]; further: fresh water each further time [L]; boiled_off,
    kept_back: what is lost over all [L]; out: share of what could be had that is in the liquor [1];
    kettles: how it is boiled, or None without pots;
    surer: where the spread of extract, volume and strength comes from, the largest share first.
    """

    extract: Range
    volume: Range
    strength: Range
    water: Range
    further: float
    boiled_off: Range
    kept_back: Range
    out: Range
    kettles: Kettles | None
    surer: Mapping[str, tuple[Part, ...]]

    def reasons(self) -> tuple[Reason, ...]:
        """Every reason once."""
        ranges = (self.extract, self.volume, self.strength, self.boiled_off)
        return tuple(dict.fromkeys(reason for one in ranges for reason in one.reasons))

    def as_json(self) -> dict[str, Any]:
        """The same as plain data; extract in [kg], volumes in [L], strength in [g/L]."""
        return {
            "extract": self.extract.as_json(), "liquor_volume": self.volume.as_json(),
            "liquor_strength": self.strength.as_json(), "water": self.water.as_json(), "further_water": self.further,
            "boiled_off": self.boiled_off.as_json(), "kept_back": self.kept_back.as_json(), "out": self.out.as_json(),
            "kettles": self.kettles.as_json() if self.kettles else None,
            "surer": {name: [part.as_json() for part in parts] for name, parts in self.surer.items()}}


def liquor_of(load: LotEstimate, stuff: Material, brew: Brew | None = None) -> Liquor:
    """The liquor of a load of some stuff, made in this way; in that of custom, as far as nothing is told.

    Raises Refused if nothing would run off, or the table lacks a figure.

    >>> from field_app.core.facts import LotFacts
    >>> from field_app.core.load import estimate_lot
    >>> from field_app.core.materials import material
    >>> from field_app.core.units import Measure
    >>> lot = LotFacts(site="urn:uuid:0", material="black-walnut", part="hull", basis="weighed",
    ...                gathered="2026-10-08T15:24:00-02:00", gross=Measure("10", "kg"))
    >>> made = liquor_of(estimate_lot(lot), material("black-walnut"))
    >>> [round(value.central, 2) for value in (made.water, made.volume, made.extract, made.strength)]
    [29.0, 28.18, 0.35, 12.46]
    """
    brew = brew or Brew()
    factors = factors_of(load, stuff, brew)
    numbers = fixed(factors, stuff, brew)
    ranges, names = list(factors.values()), list(factors)
    told = tuple(dict.fromkeys(reason for one in ranges for reason in one.reasons))
    run_off, extract, strength, out = spread(ranges, lambda values: chain(values, numbers))
    volume = run_off.range("L", told)
    surer = {"volume": parts_of(load, names, run_off.shares)}
    if brew.strained is not None:
        volume, names = brew.strained, [*names, "volume"]
        extract, strength = spread([*ranges, volume], lambda values: measured_chain(values, numbers))
        surer["volume"] = parts_of(load, ["volume"], (1.0,))
    surer |= {"extract": parts_of(load, names, extract.shares), "strength": parts_of(load, names, strength.shares)}
    extract_range, strength_range = extract.range("kg", told), strength.range("g/L", (*told, *volume.reasons))
    if brew.brix is not None:
        strength_range = strength_of_reading(brew.brix)
        in_kilograms = exact(0.001, "kg/g")
        extract_range = product(strength_range, volume, in_kilograms, unit="kg")
        surer |= parts_of_reading(strength_range, volume, surer["volume"])
    rate, hours = factors["boil-off"], numbers.surface * numbers.hours * brew.strainings
    boiled = Range(rate.low * hours, rate.central * hours, rate.high * hours, "L", rate.reasons)
    return Liquor(
        extract_range, volume, strength_range, _water(load, stuff, brew, numbers), numbers.further, boiled,
        product(factors["fresh"], factors["dry matter"], factors["kept"], unit="L"), out.range("1"),
        kettles(load.fresh_hull.central, numbers.first, brew.pots) if brew.pots else None, surer)


def water_for(load: LotEstimate, stuff: Material, brew: Brew) -> Range:
    """The water to put in at first for the liquor that ``brew`` wants [L]; so much the less as the stuff is wet.

    Raises Refused if the stuff alone brings more than that, or if it boils away faster than it is put in;
    ValueError if no liquor is wanted.
    """
    if brew.liquor is None:
        raise ValueError("no liquor is wanted")
    factors = factors_of(load, stuff, brew)
    numbers, wanted = fixed(factors, stuff, brew), brew.liquor / brew.strainings
    found, = spread(list(factors.values()), lambda values: water_chain(values, numbers, wanted))
    reason = Reason(tr("liquor wanted"), show_si(brew.liquor, "L"), "said")
    return found.range("L", (reason, *(reason for one in factors.values() for reason in one.reasons)))


def _water(load: LotEstimate, stuff: Material, brew: Brew, numbers: Fixed) -> Range:
    if brew.liquor is not None:
        return water_for(load, stuff, brew)
    if brew.water is not None:
        return exact(brew.water, "L", Reason(tr("water put in"), show_si(brew.water, "L"), "said"))
    row = row_of(stuff, "kettle-ratio", "fresh")
    amount, one = show_per(row.central, "L/kg")
    shown = tr("{amount} in all for a {one} of dry stuff", amount=amount, one=one)
    return exact(numbers.first, "L", Reason(tr("water to put in"), shown, "default", source_said(row.source), row.mark))


def strength_of_reading(brix: float) -> Range:
    """The strength of liquor by a refractometer's reading [g/L]: °Brix is grams in 100 g, as of sugar.

    Raises ValueError if the reading is not above 0.

    >>> [round(value, 1) for value in (lambda r: (r.low, r.central, r.high))(strength_of_reading(1.2))]
    [9.1, 12.1, 15.5]
    """
    if not brix > 0:
        raise ValueError(f"a reading is above 0: {brix}")
    # A litre of sugar water weighs 4 g more for each °Brix (from memory: tables of sucrose in water).
    central = 10 * brix * (1 + 0.004 * brix)
    low, high = max(brix - _READING, brix / 4) / brix / _NOT_SUGAR, (brix + _READING) / brix * _NOT_SUGAR
    shown = tr("{brix} °Brix, ± {off:g}", brix=show_number(brix), off=_READING)
    reason = Reason(tr("refractometer"), shown, "weighed",
                    f"{tr('extract taken as sugar within 10 %')}; {tr(_PRACTICE)}")
    return Range(central * low, central, central * high, "g/L", (reason,))
