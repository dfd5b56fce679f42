"""What a dyer asks of a bath: how long for a shade, when it is no use to wait, what to add, how to get to dark.

1. A time is looked up on the curve of the depth, for its low, its central and its high end; where an end never gets
   there, it says never.
2. Topping up from concentrate brings the bath back to the strength that the next load needs, and no further.
3. Dark is told as numbers of dips, as a stronger bath, or as iron, whichever the dyer has.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Any

from field_app.core.bands import SHADES, ShadeWord, depth_of
from field_app.core.bath import CUSTOM_HOURS, Dyed, Load, Pot, depths
from field_app.core.durations import show_hours, show_hours_range
from field_app.core.estimate import Range
from field_app.core.problems import refuse
from field_app.core.units import show_number, show_range
from field_app.core.uptake import dip, reference_uptake, strength_for
from field_app.words import shade_words, tr

__all__ = [
    "MOST_DIPS",
    "TIMES",
    "TopUp",
    "Wait",
    "WayToDark",
    "dips_for",
    "enough_for",
    "top_up",
    "wait_for",
    "way_to_dark",
]

#: Times at which a curve is looked at [h]: three minutes to two days, each half as long again as the one before.
TIMES = tuple(0.05 * math.pow(48 / 0.05, step / 16) for step in range(17))
#: More dips than this nobody does [1].
MOST_DIPS = 8


@dataclass(frozen=True, slots=True)
class Wait:
    """How long until a depth: early if all goes well, central, late if not [h]; None where it never gets there."""

    early: float | None
    central: float | None
    late: float | None

    @property
    def words(self) -> str:
        """In words, as closely as one times a bath: whole minutes, from an hour and a half on tenths of an hour.

        >>> Wait(0.0687, 0.124, 1.297).words, Wait(0.8, 4.16, None).words
        ('7 min (4–78)', '4.2 h (48 min–never)')
        """
        if self.early is None:
            return tr("never in one dip")
        return show_hours_range(self.early, self.central, self.late)

    def as_json(self) -> dict[str, Any]:
        """The same as plain data [h]; null where it never gets there."""
        return {"low": self.early, "central": self.central, "high": self.late, "unit": "h"}


def wait_for(pot: Pot, load: Load, depth: float) -> Wait:
    """How long one dip of a load takes to a depth [1], in a fresh bath.

    >>> from field_app.core.estimate import exact
    >>> found = wait_for(Pot(exact(0.114, "kg"), exact(30.0, "L")), Load(exact(1.0, "kg"), "wool 1 kg", 1.0), 0.7)
    >>> round(found.central, 1)
    1.0
    """
    points = depths(pot, load, TIMES)
    ends = ([point.high for point in points], [point.central for point in points], [point.low for point in points])
    early, central, late = (_crossing(end, depth) for end in ends)
    return Wait(early, central, late)


def _crossing(reached: Sequence[float], wanted: float) -> float | None:
    if reached[0] >= wanted:
        return TIMES[0]
    for place in range(1, len(reached)):
        if reached[place] >= wanted:
            before, after = reached[place - 1], reached[place]
            # One over the depth is straight in one over the time, by the law of pseudo-second order.
            way = (1 / before - 1 / wanted) / (1 / before - 1 / after)
            return 1 / (1 / TIMES[place - 1] + way * (1 / TIMES[place] - 1 / TIMES[place - 1]))
    return None


def dips_for(pot: Pot, load: Load, depth: float) -> int | None:
    """How many dips of the load's hours reach a depth [1] at the central values, or None if eight don't.

    >>> from field_app.core.estimate import exact
    >>> dips_for(Pot(exact(0.114, "kg"), exact(30.0, "L")), Load(exact(1.0, "kg"), "wool 1 kg", 6.0), 1.5)
    2
    """
    strength, ratio = pot.strength, pot.volume.central / load.cloth.central
    wanted = depth * reference_uptake(pot.constants)
    for dips in range(1, MOST_DIPS + 1):
        if dip(strength, ratio, [load.hours] * dips, pot.celsius, pot.constants).uptake >= wanted:
            return dips
    return None


@dataclass(frozen=True, slots=True)
class WayToDark:
    """How a load gets to a depth that one dip does not give: by dips, or by a stronger bath."""

    dips: int | None
    hours: float
    times_stronger: float
    words: str


def way_to_dark(pot: Pot, load: Load) -> WayToDark:
    """What dark takes for a load in this bath, in figures, with iron as the way without more dye.

    >>> from field_app.core.estimate import exact
    >>> way_to_dark(Pot(exact(0.114, "kg"), exact(30.0, "L")), Load(exact(1.0, "kg"), "wool 1 kg", 6.0)).words
    'Dark takes 3 dips of 6 h each, rinsed and dried between, or one in a bath 2.1 times as strong, or iron.'
    """
    hours = max(load.hours, 0.25)
    depth = depth_of("dark")
    dips = dips_for(pot, replace(load, hours=hours), depth)
    ratio = pot.volume.central / load.cloth.central
    needed = strength_for(depth * reference_uptake(pot.constants), ratio, [hours], pot.celsius, pot.constants)
    times = needed / pot.strength if pot.strength > 0 else math.inf
    if times <= 1:
        return WayToDark(1, hours, 1.0, tr("One dip of {time} in this bath is enough for dark.",
                                           time=show_hours(hours)))
    return WayToDark(dips, hours, times, _dark_words(dips, show_hours(hours), times))


def _dark_words(dips: int | None, each: str, times: float) -> str:
    if dips is None:
        if not math.isfinite(times):
            return tr("Dark takes more than {most} dips of {time}, or a new bath, or iron.", most=MOST_DIPS, time=each)
        return tr("Dark takes more than {most} dips of {time}, or one in a bath {times} times as strong, or iron.",
                  most=MOST_DIPS, time=each, times=show_number(round(times, 1)))
    if not math.isfinite(times):
        return tr("Dark takes {dips} dips of {time} each, rinsed and dried between, or a new bath, or iron.",
                  dips=dips, time=each)
    return tr("Dark takes {dips} dips of {time} each, rinsed and dried between, or one in a bath {times} times as "
              "strong, or iron.", dips=dips, time=each, times=show_number(round(times, 1)))


@dataclass(frozen=True, slots=True)
class TopUp:
    """What brings a used bath back: concentrate to add [L], or None where it is too thin; words: what to do."""

    litres: Range | None
    words: str

    def as_json(self) -> dict[str, Any]:
        """The same as plain data [L]."""
        return {"litres": self.litres.as_json() if self.litres else None, "words": self.words}


def top_up(left: Range, pot: Pot, following: Load, shade: ShadeWord, concentrate: Range) -> TopUp:
    """What to add from concentrate [g/L of the reference bath's worth] before a load, for a shade.

    left: strength of the bath as it is by then [g/L]; pot: the bath before all loads, for volume and heat.
    Its ends are those of what is left in the bath, which is what one knows least.
    Raises Refused if the concentrate holds nothing.
    """
    if not concentrate.low > 0:
        raise refuse("concentrate", tr("it holds nothing"), tr("Boil the liquor down first, or make more of it."))
    volume, rich, hours = pot.volume.central, concentrate.central, [following.hours] * following.dips
    needed = strength_for(depth_of(shade) * reference_uptake(pot.constants), volume / following.cloth.central, hours,
                          pot.celsius, pot.constants)
    least, central, most = (volume * max(0.0, needed - there) / max(rich - needed, 1e-3 * rich)
                            for there in (left.high, left.central, left.low))
    litres = Range(least, central, most, "L", concentrate.reasons)
    if litres.central <= 0:
        return TopUp(litres, tr("The bath is still strong enough for {shade}; nothing to add.",
                                shade=shade_words(shade)))
    if litres.central > 3 * pot.volume.central:
        return TopUp(None, tr("The concentrate is too thin to bring the bath back to {shade}: make a fresh bath.",
                              shade=shade_words(shade)))
    return TopUp(litres, tr("Add {volume} of concentrate before it, for {shade}.", volume=show_range(litres),
                            shade=shade_words(shade)))


def enough_for(turns: Sequence[Dyed], shade: ShadeWord) -> str:
    """When the bath stops giving a shade, and what to do then.

    >>> from field_app.core.bath import dye_in_turn
    >>> from field_app.core.estimate import exact
    >>> pot = Pot(exact(0.114, "kg"), exact(30.0, "L"))
    >>> enough_for(dye_in_turn(pot, [Load(exact(1.0, "kg"), "wool 1 kg", 6.0)] * 3), "medium")
    'From load 2 on it comes out light: top up before it, or take it as the paler shade.'
    """
    least = SHADES.index(shade)
    for turn in turns:
        if SHADES.index(turn.band.central) < least:
            if turn.place == 1:
                longer, comes = turn.load.hours < CUSTOM_HOURS, shade_words(turn.band.central)
                return (tr("Even the first load comes out {shade}: leave it in longer, or make the bath stronger, "
                           "or dip it again.", shade=comes) if longer
                        else tr("Even the first load comes out {shade}: make the bath stronger, or dip it again.",
                                shade=comes))
            return tr("From load {place} on it comes out {shade}: top up before it, or take it as the paler shade.",
                      place=turn.place, shade=shade_words(turn.band.central))
    return tr("All loads come out {shade} or darker.", shade=shade_words(shade))
