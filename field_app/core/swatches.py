"""A swatch of one's own: what it was dyed with, and what came out. Its facts, and what may stand against them.

1. A swatch is a record of the kind "test", told apart by ``test``; it names a lot, or a material and its state.
2. What came out is told in one way: a band, a lightness that was measured, or a colour picked by eye.
3. Amounts are kept as they were typed; what a swatch teaches is worked out from them (swatch_learning.py).
"""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from typing import Literal

from field_app.core.bands import ShadeWord
from field_app.core.colour import lab_of, read_hex
from field_app.core.facts import Facts, LocalTime, MeasureFact
from field_app.core.materials import material
from field_app.core.own_facts import StuffState
from field_app.core.palette import Ground
from field_app.core.preview import UNDYED
from field_app.core.problems import Problem, Refused
from field_app.core.units import Measure, read_number, show_round
from field_app.words import tr

__all__ = ["LEAST_HOURS", "MOST_HOURS", "RESULTS", "Swatch", "SwatchFacts", "fault_of_swatch", "is_swatch"]

#: The ways to tell what came out, by the names of the facts.
RESULTS: tuple[str, ...] = ("band", "lightness", "colour")
#: Two weeks in a bath is the longest that is meant [h].
MOST_HOURS = Decimal(24 * 14)
#: Ten seconds in a bath is the shortest [h].
LEAST_HOURS = Decimal("0.0027")
_HOTTEST, _COLDEST = 105.0, 0.0


class SwatchFacts(Facts):
    """A swatch and what came out.

    stuff: the dye stuff, in its ``state`` or in that of the lot; cloth: what was dyed, air-dry and scoured;
    hours: in the bath, decimal text [h]; mordant: what it was prepared or saddened with; base: the cloth before;
    bath: how much liquor it lay in, None for 30 L to the kilogram; heat: of the bath, None for 85 °C;
    band, lightness (L*, decimal text [1]), colour: what came out, one of them; at: RFC 3339 local time.
    """

    test: Literal["swatch"]
    at: LocalTime
    stuff: MeasureFact
    cloth: MeasureFact
    hours: str
    mordant: Ground = "none"
    lot: str | None = None
    material: str | None = None
    site: str | None = None
    state: StuffState | None = None
    base: str = UNDYED
    bath: MeasureFact | None = None
    heat: MeasureFact | None = None
    band: ShadeWord | None = None
    lightness: str | None = None
    colour: str | None = None
    by: str = ""
    note: str = ""


@dataclass(frozen=True, slots=True)
class Swatch:
    """A swatch as it stands: the id of its record, its facts, and what it was dyed with, and from where.

    material, site, lot: a key and two ids, the ids empty where they are not known; state: of the stuff.
    """

    id: str
    facts: SwatchFacts
    material: str
    state: StuffState
    site: str = ""
    lot: str = ""


def is_swatch(kind: str, facts: object) -> bool:
    """Whether the facts of a record are those of a swatch."""
    return kind == "test" and isinstance(facts, dict) and facts.get("test") == "swatch"


def fault_of_swatch(facts: SwatchFacts) -> Problem | None:
    """What stands against a swatch, or None."""
    if facts.lot is None and (facts.material is None or facts.state is None):
        return Problem("material", tr("neither a lot nor a material and its condition is told"),
                       tr("Tell what it was dyed with."))
    try:
        if facts.material is not None:
            material(facts.material)
        read_hex(facts.base, where="base")
        return _amount_fault(facts) or _result_fault(facts)
    except Refused as refused:
        return refused.problems[0]


def _amount_fault(facts: SwatchFacts) -> Problem | None:
    wanted: tuple[tuple[str, Measure | None, str], ...] = (
        ("stuff", facts.stuff, "mass"), ("cloth", facts.cloth, "mass"), ("bath", facts.bath, "volume"))
    for name, measure, kind in wanted:
        if measure is not None and (measure.kind != kind or not measure.si > 0):
            what = (tr("{amount} is not a mass above nothing", amount=measure) if kind == "mass"
                    else tr("{amount} is not a volume above nothing", amount=measure))
            return Problem(name, what,
                           tr("Give it as in {mass}, or {bath} for a bath.", mass=show_round(0.025, "g"),
                              bath=show_round(1, "L")))
    if facts.heat is not None and (facts.heat.kind != "temperature" or not _COLDEST <= facts.heat.si <= _HOTTEST):
        return Problem("heat", tr("{heat} is no heat of a bath", heat=facts.heat),
                       tr("Give it as in {example}.", example=show_round(85, "degC")))
    if not LEAST_HOURS <= read_number(facts.hours, where="time") <= MOST_HOURS:
        return Problem("time", tr("{hours} h is no time in a bath", hours=facts.hours),
                       tr("Give ten seconds at least, two weeks at most."))
    if facts.bath is not None and not 1 <= facts.bath.si / facts.cloth.si <= 2000:
        return Problem("bath", tr("{bath} for {cloth} of cloth can't be meant", bath=facts.bath, cloth=facts.cloth),
                       tr("Check both amounts."))
    if not 1e-3 <= facts.stuff.si / facts.cloth.si <= 1e3:
        return Problem("stuff", tr("{stuff} for {cloth} of cloth can't be meant", stuff=facts.stuff,
                                   cloth=facts.cloth), tr("Check both weighings."))
    return None


def _result_fault(facts: SwatchFacts) -> Problem | None:
    if sum(getattr(facts, name) is not None for name in RESULTS) != 1:
        return Problem("result", tr("what came out has to be told in one way"),
                       tr("Give a shade, a lightness that was measured, or a colour."))
    before, after = lab_of(read_hex(facts.base)).lightness, None
    if facts.colour is not None:
        after = lab_of(read_hex(facts.colour, where="result")).lightness
    if facts.lightness is not None:
        after = float(read_number(facts.lightness, where="result"))
        if not 0 < after <= 100:
            return Problem("result", tr("{lightness} is no lightness L*", lightness=facts.lightness),
                           tr("Give a number above 0, up to 100."))
    if after is not None and not after < before - 0.5:
        return Problem("result", tr("a lightness of {after:.0f} is not darker than the cloth before, {before:.0f}",
                                    after=after, before=before),
                       tr("Dye never makes cloth lighter; check the colour of the cloth before."))
    return None
