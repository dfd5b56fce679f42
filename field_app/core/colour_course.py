"""The colours of cloth over time, load after load, and dip after dip: the bath model seen through the palette.

The bath says how much dye is on the cloth (bath.py), the palette what colour that gives (palette.py).
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import Any

from field_app.core.bands import ShadeWord, wof_of
from field_app.core.bath import Dyed, Load, Pot, course, dye_in_turn
from field_app.core.durations import show_hours
from field_app.core.estimate import Range, exact, quotient
from field_app.core.habits import Habits, habits
from field_app.core.materials import Material
from field_app.core.palette import GROUNDS, Ground, Palette
from field_app.core.preview import Expected, on_every_ground
from field_app.core.problems import refuse
from field_app.core.uptake import ASSUMED, REFERENCE_RATIO, REFERENCE_STRENGTH, reference_uptake
from field_app.words import later, tr, tr_n

__all__ = ["BATHS", "TIMES", "Column", "after_times", "dip_after_dip", "load_after_load", "pot_for"]

#: The times that are shown [h]: a tan, a short bath, a common one, and as deep as one bath goes.
TIMES: tuple[float, ...] = (0.05, 0.25, 1.0, 6.0)
#: How many loads or dips are shown [1].
BATHS = 4
_ORDER = (later("first load"), later("second load"), later("third load"), later("fourth load"), later("fifth load"),
          later("sixth load"), later("seventh load"), later("eighth load"), later("ninth load"), later("tenth load"))
# The most that is looked at: what lies beyond is no bath that anybody makes.
_MOST_WOF, _MOST_DEPTH, _MOST_BATHS = 50.0, 20.0, len(_ORDER)


@dataclass(frozen=True, slots=True)
class Column:
    """Cloth as it comes out after one time, one load or one dip: in words, how deep [1], and what colour."""

    words: str
    dyed: Dyed
    colours: Mapping[Ground, Expected]

    @property
    def depth(self) -> Range:
        """The dye on the cloth beside the reference bath [1]."""
        return self.dyed.depth

    def as_json(self) -> dict[str, Any]:
        """The same as plain data; time in [h]."""
        return {"after": self.words, "time": {"value": self.dyed.load.hours, "unit": "h"},
                "place": self.dyed.place, "dips": self.dyed.load.dips,
                "depth": self.depth.as_json(), "shade": self.dyed.band.as_json(),
                "colours": {ground: self.colours[ground].as_json() for ground in GROUNDS}}


def pot_for(stuff: Material, *, wof: float | None = None, shade: ShadeWord | None = None,
            depth: float | None = None) -> Pot:
    """The bath for a kilogram of cloth in 30 L, by one of three ways to say how strong it is.

    wof: air-dry stuff on the weight of cloth [1]; shade: as much as custom takes for it; depth: what it gives at rest,
    beside the reference bath [1]. Refused if none or several are told, or one is out of reach.

    >>> from field_app.core.materials import material
    >>> [round(pot_for(material("black-walnut"), **how).strength, 2) for how in (
    ...     {"wof": 0.5}, {"shade": "medium"}, {"depth": 1.0}, {"wof": 0.25})]
    [3.8, 3.8, 3.8, 1.9]
    """
    if sum(told is not None for told in (wof, shade, depth)) != 1:
        raise refuse("amount", tr("it has to be told in one way"),
                     tr("Give a share on the weight of cloth, a shade or a depth."))
    volume = exact(REFERENCE_RATIO, "L")
    if depth is not None:
        if not 0 < depth <= _MOST_DEPTH:
            raise refuse("depth", tr("{depth:g} is no depth", depth=depth),
                         tr("Give more than 0, and {most:g} at most.", most=_MOST_DEPTH))
        uptake = depth * reference_uptake()
        rest = (uptake / ASSUMED.affinity) ** (1 / ASSUMED.power)
        return Pot(exact((rest + uptake / REFERENCE_RATIO) * REFERENCE_RATIO / 1000, "kg"), volume)
    amount = wof_of(stuff, shade).central if shade is not None else wof
    assert amount is not None  # one of the three was told
    if not 0 < amount <= _MOST_WOF:
        raise refuse("wof", tr("{amount:g} % is no amount of dye stuff on the weight of cloth", amount=amount * 100),
                     tr("Give more than 0 %, and {most:g} % at most.", most=_MOST_WOF * 100))
    # What custom takes for medium counts as 50 % of walnut hull.
    reference = REFERENCE_STRENGTH * REFERENCE_RATIO / 1000 * amount
    return Pot(quotient(exact(reference, "kg"), wof_of(stuff, "medium"), unit="kg"), volume)


def _columns(base: str, palette: Palette, dyed: Sequence[Dyed], words: Sequence[str]) -> tuple[Column, ...]:
    return tuple(Column(text, one, on_every_ground(base, one.depth, palette))
                 for one, text in zip(dyed, words, strict=True))


def _load(hours: float, dips: int = 1) -> Load:
    return Load(exact(1.0, "kg"), "cloth 1 kg", hours, dips)


def after_times(base: str, pot: Pot, palette: Palette, times: Sequence[float] = TIMES) -> tuple[Column, ...]:
    """A kilogram of cloth after each of several times in a fresh bath [h]; base: its colour in hexadecimal.

    Refused for a time that is none, or a colour that is none.
    """
    return _columns(base, palette, _in_time(pot, tuple(times), habits()), [show_hours(hours) for hours in times])


def load_after_load(base: str, pot: Pot, palette: Palette, hours: float, count: int = BATHS) -> tuple[Column, ...]:
    """One load after another in the same bath, a kilogram and so long each [h]: each is paler than the one before."""
    return _columns(base, palette, _in_turn(pot, hours, _counted(count), habits()), list(map(tr, _ORDER[:count])))


def dip_after_dip(base: str, pot: Pot, palette: Palette, hours: float, count: int = BATHS) -> tuple[Column, ...]:
    """The same cloth after each of several dips [h], rinsed and dried between: each is deeper."""
    return _columns(base, palette, _in_dips(pot, hours, _counted(count), habits()),
                    [tr_n("{n} dip", "{n} dips", dips) for dips in range(1, count + 1)])


# The bath takes far longer to work out than the colours, and stays the same while one tries cloth after cloth.
# Its reasons are as the person reads them, which is the last thing each of them asks for.
@lru_cache(maxsize=16)
def _in_time(pot: Pot, times: tuple[float, ...], _: Habits) -> tuple[Dyed, ...]:
    return course(pot, _load(1.0), times)


@lru_cache(maxsize=16)
def _in_turn(pot: Pot, hours: float, count: int, _: Habits) -> tuple[Dyed, ...]:
    return dye_in_turn(pot, [_load(hours)] * count)


@lru_cache(maxsize=16)
def _in_dips(pot: Pot, hours: float, count: int, _: Habits) -> tuple[Dyed, ...]:
    return tuple(dye_in_turn(pot, [_load(hours, dips)])[0] for dips in range(1, count + 1))


def _counted(count: int) -> int:
    if not 1 <= count <= _MOST_BATHS:
        raise refuse("baths", tr("{count} is no number of baths", count=count),
                     tr("Give 1 to {most}.", most=_MOST_BATHS))
    return count
