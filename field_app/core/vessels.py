"""Pots and pails that a person owns: what they hold, how wide they are, what they weigh, and what they are made of.

What a vessel is made of may change the colour or harm the hand; the cautions that go with it are one table.
"""

from __future__ import annotations

import math
import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from types import MappingProxyType
from typing import Literal, get_args

from field_app.core.facts import Facts, MeasureFact
from field_app.core.forms import LONGEST_NAME, LONGEST_NOTE, Decision, Reader, Situation
from field_app.core.pots import Pot
from field_app.core.problems import Problem, Refused, refuse
from field_app.core.records import Draft, Thing
from field_app.core.sites import name_key
from field_app.core.units import UNITS, Kind, Measure, read_measure, read_number, show_round, show_value, whose_gallons
from field_app.words import later, tr

__all__ = [
    "MADE_OF",
    "VESSELS",
    "MadeOf",
    "Make",
    "VesselFacts",
    "VesselForm",
    "VesselKind",
    "VesselNow",
    "decide_vessel",
    "vessel_fault",
    "vessel_now",
]

VesselKind = Literal["pot", "pail"]
#: The kinds of vessel: what goes on the fire, and what one gathers and soaks in.
VESSELS: tuple[VesselKind, ...] = get_args(VesselKind)
MadeOf = Literal["enamel", "stainless", "aluminium", "iron", "copper", "plastic", "wood", "glass", "other"]


@dataclass(frozen=True, slots=True)
class Make:
    """What a vessel may be made of: the words, and the caution that goes with it (common practice, no source)."""

    words: str
    caution: str = ""


#: What vessels are made of, the plainest first.
MADE_OF: Mapping[str, Make] = MappingProxyType({
    "enamel": Make(later("enamel"),
                   later("Where the enamel is chipped, iron gets into the bath and dulls the colour.")),
    "stainless": Make(later("stainless steel")),
    "aluminium": Make(later("aluminium"),
                      later("It acts like a little alum. Washing soda and lye eat it: keep them out.")),
    "iron": Make(later("iron"),
                 later("Iron makes every colour darker and greyer, and too much of it makes wool brittle.")),
    "copper": Make(later("copper"), later("Copper changes the colour, and its salts are poison: gloves, and away from "
                                   "children.")),
    "plastic": Make(later("plastic"), later("For cold liquor and for gathering only: hot liquor softens it.")),
    "wood": Make(later("wood"), later("Wood keeps the dye of the last bath, and oak adds tannin of its own.")),
    "glass": Make(later("glass"), later("Hot liquor into cold glass breaks it.")),
    "other": Make(later("something else")),
})
#: What holds for every pot, whatever it is made of (common practice, no source).
NEVER_FOOD = later("A pot that was used for dyeing is never used for food again.")
_MOST_L, _WIDEST_M, _HEAVIEST_KG, _MOST_M2 = 5000.0, 3.0, 200.0, 7.0
_AREA = re.compile(r"\s*(?P<number>.*?)\s*(?P<unit>m2|m²|cm2|cm²)?\s*\Z", re.IGNORECASE | re.DOTALL)


class VesselFacts(Facts):
    """A pot or pail: its name, what it holds to the rim, how wide it is inside, and what it weighs empty.

    surface: of the liquor in it, decimal text [m²], for a pot that is not round.
    """

    name: str
    vessel: VesselKind
    volume: MeasureFact
    diameter: MeasureFact | None = None
    surface: str | None = None
    tare: MeasureFact | None = None
    made_of: MadeOf = "other"
    note: str = ""


@dataclass(frozen=True, slots=True)
class VesselForm:
    """A vessel as typed; volume in L, diameter in cm and tare in kg unless a unit is typed, surface in m²."""

    name: str
    vessel: str = "pot"
    volume: str = ""
    diameter: str = ""
    surface: str = ""
    tare: str = ""
    made_of: str = "other"
    note: str = ""
    gallons: str = ""


@dataclass(frozen=True, slots=True)
class VesselNow:
    """A vessel as it stands: its id, its facts, its unreplaced versions."""

    id: str
    facts: VesselFacts
    heads: tuple[str, ...]

    @property
    def name(self) -> str:
        """Its name, as the person wrote it."""
        return self.facts.name

    @property
    def litres(self) -> float:
        """What it holds to the rim [L]."""
        return self.facts.volume.si

    @property
    def diameter(self) -> float | None:
        """How wide it is inside [m]; of one that is not round, that of a round one with its surface."""
        if self.facts.diameter is not None:
            return self.facts.diameter.si
        if self.facts.surface is not None:
            return 2 * math.sqrt(float(self.facts.surface) / math.pi)
        return None

    @property
    def cautions(self) -> tuple[str, ...]:
        """What to look out for, by what it is made of and what it is used for."""
        own = MADE_OF[self.facts.made_of].caution
        return tuple(words for words in (own, NEVER_FOOD if self.facts.vessel == "pot" else "") if words)

    def as_pot(self) -> Pot:
        """As what is reckoned with; one of which no width is known is taken to be as wide as it is deep.

        Raises Refused if its size is not that of a pot.
        """
        width = self.diameter or (4 * self.litres / 1000 / math.pi) ** (1 / 3)
        return Pot(self.litres, width, self.name)


def vessel_now(thing: Thing) -> VesselNow:
    """A vessel from what holds about it; raises pydantic's ValidationError if facts are not of their kind."""
    return VesselNow(thing.id, VesselFacts.model_validate(dict(thing.facts)), thing.heads)


def vessel_fault(facts: VesselFacts) -> Problem | None:
    """What stands against a vessel, or None: no name, or a size that no vessel has."""
    if not facts.name.strip() or "\n" in facts.name:
        return Problem("name", tr("is not a name on one line"), tr("Give it a name that you will know again."))
    limits: tuple[tuple[str, Measure | None, Kind, float], ...] = (
        ("volume", facts.volume, "volume", _MOST_L), ("diameter", facts.diameter, "length", _WIDEST_M),
        ("tare", facts.tare, "mass", _HEAVIEST_KG))
    for where, measure, kind, most in limits:
        if measure is not None and (UNITS[measure.unit].kind != kind or not 0 < measure.si <= most):
            return Problem(where, tr("{amount} is not that of a pot or pail", amount=measure.typed or measure),
                           tr("Measure it again."))
    if facts.surface is not None:
        try:
            area = float(read_number(facts.surface, where="surface"))
        except Refused as refused:
            return refused.problems[0]
        if not 0 < area <= _MOST_M2:
            return Problem("surface", tr("{amount} is not that of a pot or pail", amount=show_value(area, "m²")),
                           tr("Measure it again."))
    return None


def decide_vessel(form: VesselForm, situation: Situation, owned: Sequence[VesselNow] = (),
                  corrects: VesselNow | None = None) -> Decision:
    """A vessel as it was typed, new or told anew; a name that another one has is refused."""
    reader = Reader()
    name = reader.text("name", form.name, LONGEST_NAME)
    if not name:
        reader.wrong("name", tr("is empty"), tr("Give it a name that you will know again, such as big enamel pot."))
    elif any(name_key(one.name) == name_key(name) for one in owned if corrects is None or one.id != corrects.id):
        reader.wrong("name", tr("there is one named {name!r} already", name=name), tr("Tell them apart in the name."))
    if form.vessel not in VESSELS:
        reader.wrong("kind", tr("{word!r:.30} is not known", word=form.vessel), tr("Choose pot or pail."))
    if form.made_of not in MADE_OF:
        reader.wrong("made of", tr("{word!r:.30} is not known", word=form.made_of),
                     tr("Choose one of: {choices}.", choices=", ".join(MADE_OF)))
    if not form.volume.strip():
        reader.wrong("volume", tr("what it holds is missing"),
                     tr("Fill it with a jug and count, or read its stamp: {example}.", example=show_round(12, "L")))
    volume = _read(reader, "volume", form.volume, "volume", "L", form)
    diameter = _read(reader, "diameter", form.diameter, "length", "cm", form)
    tare = _read(reader, "tare", form.tare, "mass", "kg", form)
    surface = reader.read(lambda: _area(form.surface)) if form.surface.strip() else None
    if diameter is not None and surface is not None:
        reader.wrong("surface", tr("both a width and a surface are given"), tr("Give the width of a round one alone."))
    note = reader.text("note", form.note, LONGEST_NOTE)
    if not reader.problems:
        facts = VesselFacts.model_validate({
            "name": name, "vessel": form.vessel, "volume": volume, "diameter": diameter, "surface": surface,
            "tare": tare, "made_of": form.made_of, "note": note})
        fault = vessel_fault(facts)
        if fault is None:
            thing = situation.new_id() if corrects is None else corrects.id
            heads = () if corrects is None else corrects.heads
            return Decision((Draft(thing, "vessel", facts.as_json(), parents=heads),), thing)
        reader.wrong(fault.where, fault.what, fault.fix)
    return Decision(problems=tuple(reader.problems))


def _read(reader: Reader, where: str, text: str, kind: Kind, unit: str, form: VesselForm) -> Measure | None:
    if not text.strip():
        return None
    return reader.read(lambda: read_measure(text, kind=kind, where=where, default_unit=unit,
                                            gallons=whose_gallons(form.gallons)))


def _area(text: str) -> str:
    """Decimal text [m²] of a surface as typed, in m² or cm²."""
    found = _AREA.match(text)
    if found is None or not found["number"]:
        raise refuse("surface", tr("{text!r:.40} is no surface", text=text.strip()),
                     tr("Type it as in 0.12 m² or 1200 cm²."))
    number = read_number(found["number"], where="surface")
    if (found["unit"] or "m2").casefold().startswith("cm"):
        number /= Decimal(10000)
    return f"{number:f}"
