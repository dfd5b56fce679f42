"""A dye day as it is planned: lots, cloth, pots and how the liquor is made, before and after it is done.

The law of this file:

1. A plan says what a person decided; liquor, baths, amounts and times are worked out from it (plan_work.py).
2. Lots of one material are boiled together; every bath of cloth goes into the liquor of one material.
3. Done is told once: the day when it was done, and with it a draw from every lot that went into the pots.
   The draws have ids that follow from the plan and the lot, so two people who both tell it draw once.
"""

from __future__ import annotations

import datetime as dt
import re
import uuid
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from types import MappingProxyType
from typing import Literal

from pydantic import BaseModel, ConfigDict, Field

from field_app.core.facts import Facts, LocalTime, MeasureFact
from field_app.core.moments import by_24_hours
from field_app.core.problems import refuse
from field_app.core.records import Thing
from field_app.words import later, tr

__all__ = ["MORDANTS", "SHADES", "Mordant", "PlanBath", "PlanFacts", "PlanLot", "PlanNow", "plan_draw_id", "plan_fault",
           "plan_now", "read_clock"]

Mordant = Literal["none", "alum", "iron", "alum-iron"]
#: What the cloth is treated with, in words.
MORDANTS: Mapping[Mordant, str] = MappingProxyType({
    "none": later("no mordant"), "alum": later("alum before the bath"), "iron": later("iron after the bath"),
    "alum-iron": later("alum before, iron after")})
SHADES = ("pale", "light", "medium", "dark")
_CLOCK = re.compile(r"([01]?[0-9]|2[0-3])[:.]([0-5][0-9])\Z", re.ASCII)
#: The space of names in which the draws of a plan get their ids (RFC 9562, 5.5).
_DRAWS = uuid.UUID("b0c4a6a2-7a53-5d2c-9d0f-6f4f8e2d9c31")


class _Part(BaseModel):
    model_config = ConfigDict(frozen=True, extra="allow", arbitrary_types_allowed=True)


class PlanLot(_Part):
    """One lot of the plan; amount: how much of it goes in, or None for all that is left on the day."""

    lot: str
    amount: MeasureFact | None = None


class PlanBath(_Part):
    """One load of cloth: its items as typed, the shade wanted, its mordant, and its hours in the bath.

    material: whose liquor it goes into, or empty for the only one; hours: decimal text, empty for what custom has.
    """

    cloth: tuple[str, ...] = Field(min_length=1)
    shade: str = "medium"
    mordant: str = "none"
    material: str = ""
    hours: str = ""


class PlanFacts(Facts):
    """A dye day. Times of day are local, as a clock shows them.

    fire: when the fire is lit, such as "08:00"; pots: ids of pots owned; water: put in at first;
    soak, boil: hours as decimal text, empty for what custom has; strainings: how often it is boiled and strained;
    squeezed: whether the spent stuff is squeezed; ratio: litres of bath for a kilogram of cloth, decimal text;
    in_turn: whether all cloth goes into the whole liquor, one load after another; else each load gets as much
    of the liquor as its shade takes, filled up with water, and the rest is kept;
    done: when it was done, or None.
    """

    name: str
    day: dt.date
    fire: str = "08:00"
    lots: tuple[PlanLot, ...] = ()
    baths: tuple[PlanBath, ...] = ()
    pots: tuple[str, ...] = ()
    water: MeasureFact | None = None
    soak: str = ""
    boil: str = ""
    strainings: int = 1
    squeezed: bool = False
    ratio: str = ""
    in_turn: bool = False
    note: str = ""
    done: LocalTime | None = None


@dataclass(frozen=True, slots=True)
class PlanNow:
    """A plan as it stands: its id, its facts, and the names of its heads."""

    id: str
    facts: PlanFacts
    heads: tuple[str, ...]

    @property
    def name(self) -> str:
        """What the person calls it."""
        return self.facts.name

    @property
    def done(self) -> bool:
        """Whether the day is over and its lots are drawn."""
        return self.facts.done is not None


def plan_now(thing: Thing) -> PlanNow:
    """A plan from what holds about it. Raises pydantic's ValidationError if its facts are not of a plan."""
    return PlanNow(thing.id, PlanFacts.model_validate(dict(thing.facts)), thing.heads)


def read_clock(text: str, *, where: str) -> dt.time:
    """A time of day as people write it, by either clock. Raises Refused, naming ``where``, for anything else.

    >>> read_clock("8.30", where="fire"), read_clock("1:30 pm", where="fire")
    (datetime.time(8, 30), datetime.time(13, 30))
    """
    match = _CLOCK.match(by_24_hours(text))
    if match is None:
        raise refuse(where, tr("{text!r} is not a time of day", text=text.strip()),
                     tr("Type hours and minutes, such as 08:30."))
    return dt.time(int(match[1]), int(match[2]))


def plan_draw_id(plan: str, lot: str) -> str:
    """The id of what a plan draws from a lot: the same on every device.

    >>> plan_draw_id("urn:uuid:1", "urn:uuid:2") == plan_draw_id("urn:uuid:1", "urn:uuid:2")
    True
    """
    return f"urn:uuid:{uuid.uuid5(_DRAWS, f'{plan} {lot}')}"


def plan_fault(facts: PlanFacts) -> tuple[str, str] | None:
    """What is wrong with the facts of a plan from elsewhere, as place and words, or None."""
    if not facts.name.strip() or "\n" in facts.name:
        return "name", tr("is not a name on one line")
    if _CLOCK.match(facts.fire) is None:
        return "fire", tr("is not a time of day")
    for place, amount in (("water", facts.water), *((f"lots[{n}].amount", lot.amount) for n, lot in
                                                    enumerate(facts.lots))):
        if amount is not None and (amount.kind not in _kinds(place) or not amount.si > 0):
            return place, tr("{amount} is not an amount of it", amount=amount)
    for n, bath in enumerate(facts.baths):
        if bath.shade not in SHADES:
            return f"baths[{n}].shade", tr("{shade!r} is not known", shade=bath.shade)
        if bath.mordant not in MORDANTS:
            return f"baths[{n}].mordant", tr("{mordant!r} is not known", mordant=bath.mordant)
    return _hours_fault(facts)


def _kinds(place: str) -> Sequence[str]:
    return ("volume",) if place == "water" else ("mass", "volume")


def _hours_fault(facts: PlanFacts) -> tuple[str, str] | None:
    told = [("soak", facts.soak), ("boil", facts.boil), ("ratio", facts.ratio),
            *((f"baths[{n}].hours", bath.hours) for n, bath in enumerate(facts.baths))]
    for place, text in told:
        try:
            wrong = bool(text) and not 0 <= float(text) <= 100_000
        except ValueError:
            wrong = True
        if wrong:
            return place, tr("{text!r} is not a number that can be", text=text)
    if not 1 <= facts.strainings <= 6:
        return "strainings", tr("{strainings} is not a number of strainings", strainings=facts.strainings)
    return None
