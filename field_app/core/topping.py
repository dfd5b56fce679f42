"""Topping up a bath that has given its dye: how much concentrate brings it back to strength, and how often.

Mass balance, well mixed: c V of extract are in the bath, and v litres of concentrate bring k v of it along.

* Where the bath may grow: (c V + k v) / (V + v) = c₀, so v = V (c₀ − c) / (k − c₀).
* Where it keeps its level, as the wet cloth carries as much away or it is ladled out before:
  v = V (c₀ − c) / (k − c).

It is as often as the concentrate lasts, when each dyeing takes the bath from c₀ down to c once more.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from field_app.core.estimate import Range, Reason, exact
from field_app.core.liquor import strength_of_reading
from field_app.core.problems import Problem, Refused, refuse
from field_app.core.reading import clean, quoted, read_number
from field_app.core.spread import spread
from field_app.core.units import show_range, show_round, show_si, show_value
from field_app.words import later, named, tr, tr_n

__all__ = ["Topping", "read_strength", "topping"]

_FIX = later("Type it as in 12 g/L, or as a refractometer shows it, 1.2 brix.")
_NOTHING = 1e-12


@dataclass(frozen=True, slots=True)
class Topping:
    """What brings a bath back: concentrate to add the first time [L], and how often it can be done [1].

    times: fewest, at the central values, and most, or None where it is not told how much concentrate there is.
    """

    add: Range
    times: tuple[int, int, int] | None

    @property
    def words(self) -> str:
        """What to do, as a sentence or two."""
        if self.add.high == 0:
            return tr("The bath is still as strong as wanted; nothing to add.")
        text = tr("Add {volume} of concentrate.", volume=show_range(self.add))
        if self.times is None:
            return text
        few, usual, many = self.times
        if many == 0:
            return " ".join((text, tr("There is not enough of it for once.")))
        lasts = (tr_n("It lasts for once.", "It lasts for {n} times.", usual) if few == many
                 else tr_n("It lasts for once ({few}–{many}).", "It lasts for {n} times ({few}–{many}).", usual,
                           few=few, many=many))
        return " ".join((text, lasts))

    def as_json(self) -> dict[str, Any]:
        """The same as plain data; concentrate in [L]."""
        times = None if self.times is None else dict(zip(("low", "central", "high"), self.times, strict=True))
        return {"add": self.add.as_json(), "times": times, "words": self.words}


def topping(bath: float, now: Range, wanted: Range, concentrate: Range, store: Range | None = None, *,
            level: bool = False) -> Topping:
    """What brings a bath of so many litres [L] from its strength now back to the one wanted [g/L].

    concentrate: its strength [g/L]; store: how much of it there is [L]; level: whether the bath keeps its level.
    Raises Refused if the bath is none, or if the concentrate may be no stronger than what is wanted.

    >>> from field_app.core.estimate import exact
    >>> half, full, strong = (exact(value, "g/L") for value in (6.0, 12.0, 60.0))
    >>> topping(30, half, full, strong, exact(20.0, "L")).words
    'Add 3.75 L of concentrate. It lasts for 4 times.'
    """
    if not 0 < bath < math.inf:
        raise refuse("bath", tr("{amount} is no bath", amount=show_si(bath, "L")),
                     tr("Give how much is in it, as in {example}.", example=show_round(30, "L")))
    if concentrate.low <= wanted.high:
        raise refuse("concentrate", tr("{there} may be no stronger than the {wanted} wanted",
                                       there=show_range(concentrate), wanted=show_value(wanted.central, "g/L")),
                     tr("Boil it down first, or read it."))
    inputs = [now, wanted, concentrate, store or exact(0.0, "L")]

    def chain(values: Sequence[float]) -> tuple[float, float]:
        is_now, want, strong, there = values
        lacks = max(0.0, want - is_now)
        # Far out in the spread the two strengths may meet; then hardly any amount would do.
        add = bath * lacks / max(strong - (min(is_now, want) if level else want), want / 50)
        if add < _NOTHING:
            return 0.0, 0.0
        often = there / add if level else math.log1p(there / bath) / math.log1p(add / bath)
        return add, often

    add, often = spread(inputs, chain)
    reasons = tuple(dict.fromkeys(reason for one in (now, wanted, concentrate) for reason in one.reasons))
    counts = tuple(math.floor(value + 1e-9) for value in (often.low, often.central, often.high))
    return Topping(add.range("L", reasons), None if store is None else (counts[0], counts[1], counts[2]))


def read_strength(text: str, *, where: str = "strength") -> Range:
    """A strength as people type it [g/L]: grams of extract in a litre, or a refractometer's reading.

    >>> read_strength("12 g/L").central, round(read_strength("1,2 °Brix").central, 1)
    (12.0, 12.1)
    """
    body = clean(text, where, fix=tr(_FIX).rstrip("."))
    lower = body.lower().replace(" ", "").replace("°", "").replace("º", "")
    for ending in ("g/l", "brix", "bx", "%"):
        if lower.endswith(ending):
            number = float(read_number(lower.removesuffix(ending), where=where))
            if not number > 0:
                raise refuse(where, tr("{quoted} is nothing", quoted=quoted(text)), _FIX)
            if ending == "g/l":
                return exact(number, "g/L", Reason(named(where), text.strip(), "said"))
            try:
                return strength_of_reading(number)
            except ValueError:
                raise Refused([Problem(where, tr("{quoted} is no reading", quoted=quoted(text)), _FIX)]) from None
    raise refuse(where, tr("{quoted} has no unit", quoted=quoted(text)), _FIX)
