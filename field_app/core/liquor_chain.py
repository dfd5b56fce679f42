"""The arithmetic of the liquor: what is fixed before it starts, which inputs are unsure, and the chain itself.

It works on plain numbers, so that it can be run once for each point at which the spread is looked at.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from field_app.core.amounts import row_of
from field_app.core.brew import Brew
from field_app.core.estimate import Range, Reason
from field_app.core.extraction import Bath, between, progress, released, strained_off
from field_app.core.load import LotEstimate
from field_app.core.materials import Material, Parameter
from field_app.core.pots import SURFACE_PER_LITRE, boiled_off, kettles
from field_app.core.problems import refuse
from field_app.core.sources import source_said
from field_app.core.units import show_ends, show_number, show_si
from field_app.words import later, tr

__all__ = ["Fixed", "chain", "factors_of", "fixed", "measured_chain", "water_chain"]

# However hard it boils and however dry the stuff is, a twentieth stays wet and a twentieth runs off.
_REST = 0.05
# From these temperatures on it boils, simmers, or steams a little [°C], and what a hot pot then loses [L/(h m²)]
# (common practice, no source).
_BOILS, _SIMMERS, _HOT, _STEAM = 97.0, 80.0, 60.0, (1.0, 2.0, 4.0)
_PRACTICE = later("common practice, no source")


@dataclass(frozen=True, slots=True)
class Fixed:
    """What the person decides: first and further water [L], surface [m²], hours on the fire each time [h].

    gains: how far the slow part is by each straining, beside the first [1].
    """

    first: float
    further: float
    surface: float
    hours: float
    gains: tuple[float, ...]


def factors_of(load: LotEstimate, stuff: Material, brew: Brew) -> dict[str, Range]:
    """The unsure inputs of the chain, in the order in which it takes them.

    Raises Refused if the table lacks one, or if the stuff is never in water.
    """
    baths = [bath for bath in (brew.soak, brew.boil) if bath.hours > 0]
    if not baths:
        raise refuse("boil", tr("the stuff is never in the water"), tr("Give a time to soak or to boil."))
    hottest = max(bath.celsius for bath in baths)
    kept = row_of(stuff, f"kept-{'squeezed' if brew.squeezed else 'drained'}", "fresh")
    rate = _rate(stuff, brew.boil.celsius if brew.boil.hours else 0.0)
    return {
        "fresh": load.fresh_hull, "dry matter": load.factors["dry matter"],
        "extract": row_of(stuff, "extract", "fresh").range(tr("extract, of the dry matter")),
        "washed": _washed(stuff, hottest), "slow": _slow(stuff, baths),
        "kept": kept.range(tr("liquor kept back, squeezed") if brew.squeezed
                            else tr("liquor kept back, drained")), "boil-off": rate}


def _rate(stuff: Material, celsius: float) -> Range:
    """What boils or steams off an open pot at a temperature [L/(h m²)]; nothing below 60 °C."""
    if celsius >= _BOILS:
        return row_of(stuff, "boil-off", "fresh").range(tr("boils off, open, on the boil"))
    if celsius >= _SIMMERS:
        return row_of(stuff, "simmer-off", "fresh").range(tr("steams off, open, at a simmer"))
    if celsius >= _HOT:
        low, central, high = _STEAM
        reason = Reason(tr("steams off, open, hot"), show_ends(low, central, high, "L/(h·m²)"), "default",
                        tr(_PRACTICE), "practice")
        return Range(low, central, high, "L/(h·m²)", (reason,))
    return Range(0.0, 0.0, 0.0, "L/(h·m²)")


def _points(stuff: Material, quantity: str) -> list[tuple[float, Parameter]]:
    """The rows of a quantity that is known at several temperatures [°C], coldest first."""
    start = f"{quantity}-"
    found = sorted((float(name.removeprefix(start)), row) for name, row in stuff.parameters.items()
                   if name.startswith(start) and name.removeprefix(start).isdigit())
    if len(found) < 2:
        raise refuse("material", tr("nothing is known of {quantity} of {name}", quantity=quantity, name=stuff.said),
                     tr("Read the liquor instead."))
    return found


def _three(points: Sequence[tuple[float, Parameter]]) -> tuple[list[tuple[float, float]], ...]:
    return tuple([(at, getattr(row, end)) for at, row in points] for end in ("low", "central", "high"))


def _washed(stuff: Material, celsius: float) -> Range:
    points = _points(stuff, "washed")
    low, central, high = (min(1.0, between(values, celsius)) for values in _three(points))
    shown = "{} % ({}–{})".format(*(show_number(100 * value) for value in (central, low, high)))
    row = points[-1][1]
    return Range(low, central, high, "1", (
        Reason(tr("washed off at once, {heat}", heat=show_si(celsius, "degC")), shown, "default",
               source_said(row.source), row.mark),))


def _slow(stuff: Material, baths: Sequence[Bath]) -> Range:
    points = _points(stuff, "half-time")
    # The longer half of it takes, the less far it is; at all temperatures alike.
    high, central, low = (progress(baths, values) for values in _three(points))
    row = points[-1][1]
    said = ", ".join(f"{show_si(at, 'degC')}: {row.shown}" for at, row in points)
    return Range(low, central, high, "1", (
        Reason(tr("half of the rest takes"), said, "default", source_said(row.source), row.mark),))


def fixed(factors: Mapping[str, Range], stuff: Material, brew: Brew) -> Fixed:
    """What the person decides, or custom for him; Refused if nothing would run off at the central values."""
    fresh, dry, kept, rate = (factors[name].central for name in ("fresh", "dry matter", "kept", "boil-off"))
    hours, dry_mass = brew.boil.hours, fresh * dry
    brought, held = fresh - dry_mass, kept * dry_mass
    if brew.liquor is not None:
        whole = _for_liquor(brew, fresh, held, rate)
        first = whole - brought
        if first <= 0:
            raise refuse("liquor", tr("the stuff alone brings {water} of water", water=show_si(brought, "L")),
                         tr("Want more liquor, or dry the stuff first."))
    elif brew.water is not None:
        first = brew.water
    else:
        first = max(0.0, row_of(stuff, "kettle-ratio", "fresh").central * dry_mass - brought)
    whole = first + brought
    surface = _surface(brew, fresh, first, whole)
    steam = boiled_off(surface, hours, rate)
    further = whole - held if brew.further is None else brew.further
    if whole - steam - held <= 0 or (brew.strainings > 1 and further - steam <= 0):
        raise refuse("water",
                     tr("of {whole} in the pot, {steam} boil off and {held} stay in the stuff, so nothing runs off",
                        whole=show_si(whole, "L"), steam=show_si(steam, "L"), held=show_si(held, "L")),
                     tr("Put in more water, or boil it for a shorter time."))
    slow = factors["slow"].central
    _, central, _ = _three(_points(stuff, "half-time"))
    again = progress([brew.boil], central) / slow if slow else 0.0
    return Fixed(first, further, surface, hours, tuple(1 + turn * again for turn in range(brew.strainings)))


def _surface(brew: Brew, fresh: float, first: float, whole: float) -> float:
    """The surface over which it steams each time [m²]: that of the pots, as often as they are filled."""
    return kettles(fresh, first, brew.pots).surface if brew.pots else SURFACE_PER_LITRE * whole


def _for_liquor(brew: Brew, fresh: float, held: float, rate: float) -> float:
    """All that must be in the pot at first for the liquor wanted [L], filled up to the same each further time."""
    assert brew.liquor is not None  # the caller has seen to it
    each = brew.liquor / brew.strainings + held
    if not brew.pots:
        steams = boiled_off(SURFACE_PER_LITRE, brew.boil.hours, rate)
        if steams >= 0.9:
            raise refuse("boil", tr("nearly all of it would boil away"),
                         tr("Boil it for a shorter time, or name a narrow pot."))
        return each / (1 - steams)
    whole = each
    # More water may need the pots once more, which steams more; a few turns settle it.
    for _ in range(30):
        surface = kettles(fresh, max(whole - fresh, 0.0), brew.pots).surface
        needed = each + boiled_off(surface, brew.boil.hours, rate)
        if needed <= whole:
            break
        whole = needed
    return whole


def chain(values: Sequence[float], numbers: Fixed) -> tuple[float, float, float, float]:
    """Liquor [L], extract in it [kg], strength [g/L], and the share of what could be had that is in it [1]."""
    fresh, dry, extract, washed, slow, kept, rate = values
    dry_mass = fresh * dry if dry < 1 else fresh
    steam, holds = numbers.surface * numbers.hours * rate, kept * dry_mass
    if washed > 1:
        washed = 1.0
    out, liquid, held = [], [], []
    put = numbers.first + fresh - dry_mass
    for gain in numbers.gains:
        whole = max(put - steam, _REST * put)
        stays = min(holds, (1 - _REST) * whole)
        out.append(released(washed, slow * gain))
        liquid.append(whole)
        held.append(stays)
        put = stays + numbers.further
    share = sum(strained_off(out, liquid, held))
    volume = sum(liquid) - sum(held)
    gained = extract * dry_mass * share
    return volume, gained, 1000 * gained / volume, share


def measured_chain(values: Sequence[float], numbers: Fixed) -> tuple[float, float]:
    """Extract [kg] and strength [g/L] where the liquor was measured: its volume [L] is the last of the values."""
    _, gained, _, _ = chain(values[:-1], numbers)
    return gained, 1000 * gained / values[-1]


def water_chain(values: Sequence[float], numbers: Fixed, wanted: float) -> tuple[float]:
    """The water to put in at first [L] for so much liquor wanted of each straining [L]."""
    fresh, dry, _, _, _, kept, rate = values
    dry_mass = fresh * min(dry, 1.0)
    steam = numbers.surface * numbers.hours * rate
    return (max(0.0, wanted + kept * dry_mass + steam - (fresh - dry_mass)),)
