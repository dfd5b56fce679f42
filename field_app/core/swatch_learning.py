"""What swatches of one's own teach: how much stuff a shade takes, and what colour the dye gives on each ground.

Everything is in logarithms, where factors add (learning.py). Unknown are the stuff that medium takes (WOF), with what
lots and sites differ by, and the factors of the palette: strength and fall, and what alum and iron make of them.
Each swatch sees a sum of these:

* a band sees the dye on the cloth, which the bath model makes of the amount, the time and WOF (1);
* a lightness or a colour sees K/S at 550 nm, which is that dye times the strength on its ground (2);
* a colour sees the fall on its ground too (3).

All swatches are taken together (linear.py), so that what one of them leaves open another one settles, their order
plays no part, and one that is taken back is as if it had never been. How far a swatch is off is a working assumption.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from types import MappingProxyType

from field_app.core.bands import SHADES, ShadeWord, edges_of, wof_of
from field_app.core.colour import difference, lab_of, read_hex
from field_app.core.estimate import Range, Reason
from field_app.core.kubelka import colour_of, dyed
from field_app.core.learning import LOT_SHARE, SITE_SHARE, Known, known_of, range_of, spread_of
from field_app.core.linear import Joint, Observation, joint
from field_app.core.materials import Material
from field_app.core.palette import GROUNDS, Ground, Palette, Tint, rows_of
from field_app.core.spectrum import reflectance_of
from field_app.core.swatches import Swatch, SwatchFacts
from field_app.core.units import read_number, show_ends
from field_app.core.uptake import (
    ASSUMED,
    REFERENCE_RATIO,
    REFERENCE_STRENGTH,
    REFERENCE_WOF,
    dip,
    reference_depth,
    reference_uptake,
    strength_for,
)
from field_app.words import tr, tr_n

__all__ = ["Taught", "taught"]

# How far things may be off, as a factor either way [1] or in L* either way [1] (common practice, no source):
# a swatch beside a whole bath, a measured lightness, a colour picked by eye, and its difference that an eye lets pass.
_BATH, _MEASURED, _BY_EYE, _PASSES = 1.20, 1.5, 4.0, 3.0
_LEAST_FALL = 1.15
#: The grams of dye to the kilogram of cloth in the reference bath.
_DYE = REFERENCE_STRENGTH * REFERENCE_RATIO
_STRENGTHS: Mapping[Ground, tuple[str, ...]] = MappingProxyType({
    "none": ("strength",), "alum": ("strength", "alum-strength"),
    "iron": ("strength", "alum-strength", "iron-strength")})
_FALLS: Mapping[Ground, tuple[str, ...]] = MappingProxyType({
    "none": ("fall",), "alum": ("fall", "alum-fall"), "iron": ("fall", "iron-fall")})
_FALL_STEPS = tuple(20 * 75 ** (step / 48) for step in range(49))


@dataclass(frozen=True, slots=True)
class Taught:
    """What the swatches of a material have taught.

    palette: what colour it gives now; shift, narrowed: how the stuff for any shade moved, as a logarithm [1], and
    what is left of the spread of it [1]; count: how many swatches there are [1].
    """

    palette: Palette
    shift: float
    narrowed: float
    count: int

    def amount(self, before: Range, *, most: float = math.inf) -> Range:
        """The stuff for a shade [1, WOF] after the swatches, from what was thought before them."""
        known = known_of(before)
        mean = known.mean + self.shift
        return range_of(Known(mean, known.sd * self.narrowed, mean + (known.mid - known.mean) * self.narrowed ** 2),
                        before.unit, most=most)


@dataclass(frozen=True, slots=True)
class _Before:
    """What was thought before any swatch: WOF for medium, and the factors of the palette."""

    stuff: Material
    medium: Known
    rows: Mapping[str, Known]

    def sum(self, names: Iterable[str]) -> Known:
        """The sum of several factors' logarithms."""
        parts = [self.rows[name] for name in names]
        return Known(math.fsum(part.mean for part in parts), math.hypot(*(part.sd for part in parts)),
                     math.fsum(part.mid for part in parts))


def taught(stuff: Material, swatches: Sequence[Swatch], *, site: str = "", lot: str = "") -> Taught:
    """What swatches of a material teach of it; stuff: as it is known without them, with its own dry matter and WOF.

    site, lot: for which it is asked, empty for stuff from elsewhere.

    >>> from field_app.core.materials import material
    >>> nothing = taught(material("black-walnut"), [])
    >>> nothing.shift, nothing.narrowed, nothing.palette.own
    (0.0, 1.0, 0)
    """
    before = _Before(stuff, known_of(wof_of(stuff, "medium")),
                     {name: known_of(row) for name, row in rows_of(stuff).items()})
    told = sorted(swatches, key=lambda one: one.id)
    spreads = {name: known.sd for name, known in before.rows.items()}
    spreads["wof"] = before.medium.sd * math.sqrt(1 - LOT_SHARE - SITE_SHARE)
    # A level of one swatch alone that nobody asks for is as well a part of what that swatch is off: the same answer,
    # and the equations stay few however many swatches there are.
    many = Counter(level for one in told for level in _levels(one))
    for level, count in many.items():
        if count > 1 or level in (f"site {site}", f"lot {lot}"):
            spreads[level] = before.medium.sd * math.sqrt(SITE_SHARE if level.startswith("site") else LOT_SHARE)
    after = joint(spreads, [seen for one in told for seen in _seen(one, before, spreads)])
    mean, sd = _wof_after(after, before.medium.sd, spreads, site, lot)
    tints = {ground: _tint(ground, after, before, len(told)) for ground in GROUNDS}
    narrowed = min(sd / before.medium.sd, 1.0) if before.medium.sd > 0 else 1.0
    return Taught(Palette(MappingProxyType(tints), len(told)), mean, narrowed, len(told))


def _levels(one: Swatch) -> tuple[str, str]:
    # A swatch of no known lot counts as one of a lot of its own, and the same of sites.
    return f"site {one.site or one.lot or one.id}", f"lot {one.lot or one.id}"


def _wof_after(after: Joint, sd: float, spreads: Mapping[str, float], site: str, lot: str) -> tuple[float, float]:
    names = {"wof": 1.0, f"site {site}": 1.0, f"lot {lot}": 1.0}
    mean, known = after.told(names)
    new = (0.0 if f"site {site}" in spreads else SITE_SHARE) + (0.0 if f"lot {lot}" in spreads else LOT_SHARE)
    return (mean, math.hypot(known, sd * math.sqrt(new))) if after.names else (0.0, sd)


def _tint(ground: Ground, after: Joint, before: _Before, count: int) -> Tint:
    made = []
    for names, unit, words in ((_STRENGTHS[ground], "1", tr("how strongly it colours")),
                               (_FALLS[ground], "nm", tr("how far its colour reaches towards red"))):
        prior = before.sum(names)
        shift, sd = after.told(dict.fromkeys(names, 1.0))
        sd = min(sd, prior.sd)
        mean = prior.mean + shift
        mid = mean + (prior.mid - prior.mean) * ((sd / prior.sd) ** 2 if prior.sd > 0 else 1.0)
        one = range_of(Known(mean, sd, mid), unit)
        reasons = tuple(reason for name in names for reason in rows_of(before.stuff)[name].reasons)
        if count:
            text = show_ends(one.low, one.central, one.high, unit)
            taught_by = tr_n("your own swatch, on top of what the table assumes",
                             "your own {n} swatches, on top of what the table assumes", count)
            reasons = (Reason(words, text, "said", taught_by, "own"),)
        made.append(one.because(*reasons))
    return Tint(made[0], made[1])


def _seen(one: Swatch, before: _Before, spreads: Mapping[str, float]) -> list[Observation]:
    """What a swatch says, as deviations from what was thought before; spreads: of the unknowns, by their names."""
    facts = one.facts
    amount, amount_sd = _amount(one, before.stuff)
    ratio = facts.bath.si / facts.cloth.si if facts.bath is not None else REFERENCE_RATIO
    heat = facts.heat.si if facts.heat is not None else ASSUMED.celsius
    hours = float(read_number(facts.hours, where="time"))

    def depth(share: float) -> float:
        return dip(share * _DYE / ratio, ratio, [hours], heat).uptake / reference_uptake()

    share = amount / math.exp(before.medium.mean)
    expected = math.log(depth(share))
    level = {name: 1.0 for name in ("wof", *_levels(one)) if name in spreads}
    apart = math.sqrt(math.fsum(share for name, share in zip(_levels(one), (SITE_SHARE, LOT_SHARE), strict=True)
                                if name not in spreads)) * before.medium.sd
    fall: list[Observation]
    if facts.band is not None:
        low, high = (math.log(edge) for edge in _edges(facts.band, before.stuff))
        # A band is told beside plain walnut, so what alum or iron adds is in it, and the strength is not.
        names, fall = _STRENGTHS[facts.mordant][1:], []
        told, sd = (low + high) / 2, spread_of(math.exp((high - low) / 2))
    else:
        told, sd, fall = _colour_seen(facts, before)
        names = _STRENGTHS[facts.mordant]
    prior = math.fsum(before.rows[name].mean for name in names)
    off = told - prior - expected
    bend = _bend(depth, share, math.exp(told - prior), expected, ratio, hours, heat)
    weights = {**{name: -bend * value for name, value in level.items()}, **dict.fromkeys(names, 1.0)}
    return [Observation(weights, off, math.hypot(sd, bend * amount_sd, bend * apart, spread_of(_BATH))), *fall]


def _bend(depth: Callable[[float], float], share: float, wanted: float, expected: float, ratio: float, hours: float,
          heat: float) -> float:
    """How much the logarithm of depth follows that of the dye [1]: the slope of the chord to what was seen."""
    if abs(math.log(wanted) - expected) > 0.05:
        needed = strength_for(wanted * reference_uptake(), ratio, [hours], heat) * ratio / _DYE
        return (math.log(wanted) - expected) / math.log(needed / share)
    return math.log(depth(share * 1.02) / depth(share)) / math.log(1.02)


def _amount(one: Swatch, stuff: Material) -> tuple[float, float]:
    """Air-dry stuff on the weight of cloth [1], and the spread of its logarithm [1]."""
    wof = one.facts.stuff.si / one.facts.cloth.si
    fresh, dry = stuff.parameter("dry", one.state) or stuff.parameter("dry"), stuff.parameter("dry", "air-dry")
    if one.state == "air-dry" or fresh is None or dry is None:
        return wof, spread_of(1.03)
    known, whole = known_of(fresh.range(tr("dry matter"))), known_of(dry.range(tr("dry matter")))
    return wof * math.exp(known.mid - whole.mid), math.hypot(known.sd, whole.sd, spread_of(1.03))


def _edges(band: ShadeWord, stuff: Material) -> tuple[float, float]:
    """The depths between which a band lies [1]; pale and dark have an end too, beyond which nobody goes."""
    medium = wof_of(stuff, "medium").central
    light, middle, dark = (edge / medium for edge in edges_of(stuff))
    ends = (light / 4, light, middle, dark, dark * 2.5)
    at = SHADES.index(band)
    return reference_depth(REFERENCE_WOF * ends[at]), reference_depth(REFERENCE_WOF * ends[at + 1])


def _colour_seen(facts: SwatchFacts, before: _Before) -> tuple[float, float, list[Observation]]:
    """The logarithm of the K/S at 550 nm that was seen, its spread, and what was seen of the fall."""
    names = _FALLS[facts.mordant]
    thought = before.sum(names)
    if facts.colour is not None:
        fit = _fitted(read_hex(facts.base), read_hex(facts.colour))
        off = Observation(dict.fromkeys(names, 1.0), math.log(fit.fall) - thought.mean, fit.fall_sd)
        return math.log(fit.strength), fit.strength_sd, [off]
    assert facts.lightness is not None  # fault_of_swatch has seen to it
    lightness, base = float(read_number(facts.lightness, where="result")), read_hex(facts.base)
    low, middle, high = (math.log(_strength(base, math.exp(thought.mean + step), lightness))
                         for step in (-thought.sd, 0.0, thought.sd))
    sd = math.hypot(_unsure(base, math.exp(thought.mean), lightness, _MEASURED), abs(high - low) / 2)
    return middle, sd, []


@dataclass(frozen=True, slots=True)
class _Fit:
    """The dye that makes one colour of another: strength [1] and fall [nm], with the spreads of their logarithms."""

    strength: float
    strength_sd: float
    fall: float
    fall_sd: float


@lru_cache(maxsize=256)
def _fitted(base: str, colour: str) -> _Fit:
    wanted, cloth = lab_of(colour), reflectance_of(base)
    tried = []
    for fall in _FALL_STEPS:
        strength = _strength(base, fall, wanted.lightness)
        tried.append((difference(colour_of(dyed(cloth, strength, fall)).lab, wanted), fall, strength))
    best, fall, strength = min(tried)
    passing = [one for apart, one, _ in tried if apart <= best + _PASSES]
    fall_sd = max(spread_of(math.sqrt(max(passing) / min(passing))), spread_of(_LEAST_FALL))
    return _Fit(strength, _unsure(base, fall, wanted.lightness, _BY_EYE), fall, fall_sd)


@lru_cache(maxsize=1024)
def _strength(base: str, fall: float, lightness: float) -> float:
    """The strength [1] of a fall [nm] that darkens cloth to a lightness [1]; found by halving."""
    cloth, low, high = reflectance_of(base), math.log(1e-4), math.log(1e4)
    for _ in range(24):
        middle = (low + high) / 2
        if colour_of(dyed(cloth, math.exp(middle), fall)).lab.lightness > lightness:
            low = middle
        else:
            high = middle
    return math.exp((low + high) / 2)


def _unsure(base: str, fall: float, lightness: float, off: float) -> float:
    """The spread of the logarithm of strength [1] that a lightness which may be off leaves."""
    # Near the cloth's own colour, a little lightness is a lot of strength.
    light = min(lightness + off, (lightness + colour_of(reflectance_of(base)).lab.lightness) / 2)
    dark = max(lightness - off, lightness / 2)
    ends = (_strength(base, fall, light), _strength(base, fall, dark))
    return spread_of(math.sqrt(ends[1] / ends[0]))
