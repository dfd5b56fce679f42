"""How good the estimates were: what was thought of a lot before it was weighed, beside what the scale said.

The law of this file:

1. What was thought is worked out from what was known before the weighing: the load as it was told, steps and own
   values, tests and swatches of before.
2. A weighing judges a load that was counted or poured, and the share of hull, only within SOON, before anything was
   drawn: later the stuff has lost water.
3. A mass after drying judges the air-dry mass, if nothing was drawn, and the nuts are not in it.
4. A test judges the figure that it teaches, as that stood before it; the later tests of a lot are judged by what the
   earlier ones have taught.
"""

from __future__ import annotations

import datetime as dt
import math
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, replace
from types import MappingProxyType
from typing import Any, Literal

from field_app.core.coverage import Place, place_of
from field_app.core.estimate import Range
from field_app.core.known_then import records_before
from field_app.core.left import estimate_left
from field_app.core.life import Step, amount_of, live
from field_app.core.load import LotEstimate, net_mass
from field_app.core.lots import LotNow
from field_app.core.materials import Material
from field_app.core.own import InForce, OwnRecords, OwnTest, default_of, observed
from field_app.core.problems import Refused
from field_app.words import later

__all__ = ["CHECKED", "SOON", "Check", "CheckKind", "checks_of_lot", "checks_of_tests"]

#: Within this time after it was brought in, a weighing still judges the fresh load (common practice, no source).
SOON = dt.timedelta(days=2)
CheckKind = Literal["counted", "poured", "hull", "air-dry", "dry", "extract"]
#: What is judged, in words: what was thought, and by what it is judged.
CHECKED: Mapping[CheckKind, str] = MappingProxyType({
    "counted": later("mass by counting"), "poured": later("mass by the pail"), "hull": later("hull of whole fruit"),
    "air-dry": later("mass once dried"), "dry": later("dry matter"), "extract": later("what boiling takes out")})


@dataclass(frozen=True, slots=True)
class Check:
    """One estimate that was judged later.

    lot: its code, or empty; site: where it came from, or empty; thought: what was thought [its unit];
    came: what it came to [the same unit]; day: when that was weighed.
    """

    kind: CheckKind
    material: str
    lot: str
    site: str
    day: dt.date
    thought: Range
    came: float

    @property
    def place(self) -> Place:
        """Where it came out beside what was thought."""
        return place_of(self.came, self.thought.low, self.thought.high)

    def as_json(self) -> dict[str, Any]:
        """The same as plain data."""
        return {"kind": self.kind, "material": self.material, "lot": self.lot or None, "site": self.site or None,
                "day": self.day.isoformat(), "thought": self.thought.as_json(), "came": self.came,
                "held": self.place}


def checks_of_lot(lot: LotNow, records: OwnRecords) -> tuple[Check, ...]:
    """What later weighings of a lot say of what was thought of it; records: everything of one's own."""
    found: list[Check] = []
    for at, step in enumerate(lot.life.steps):
        mass = amount_of(step)
        ends = step.facts.step not in ("weighed", "dried") or step.facts.volume is not None
        if ends or any(draw.at <= step.at for draw in lot.life.draws):
            break
        if mass is None:
            continue
        kind = _judged(lot, at, step)
        then = None if kind is None else _thought(lot, at, records)
        if kind is not None and then is not None:
            thought = {"hull": then.fresh_hull, "air-dry": then.air_dry}.get(kind, then.net)
            found.append(Check(kind, lot.facts.material, lot.code, lot.site_name, step.at.date(), thought,
                               mass.central))
        if step.facts.step == "dried":
            break
    return tuple(found)


def _judged(lot: LotNow, at: int, step: Step) -> CheckKind | None:
    """What the weighing judges, or None where it judges nothing."""
    facts, before = lot.facts, lot.life.steps[:at]
    weighed = any(one.facts.mass is not None for one in before)
    hulled = any(one.facts.nuts is not None for one in before)
    whole = facts.part == "whole-fruit"
    if step.facts.step == "dried":
        nuts_out = not whole or hulled or step.facts.nuts is not None
        return "air-dry" if facts.condition != "air-dry" and nuts_out else None
    if step.at - lot.gathered > SOON:
        return None
    if whole and step.facts.nuts is not None:
        return None if hulled else "hull"
    if weighed:
        return None
    return "counted" if facts.basis == "counted" else "poured" if facts.basis == "poured" else None


def _thought(lot: LotNow, at: int, records: OwnRecords) -> LotEstimate | None:
    """What was thought of the lot just before one of its steps."""
    steps = lot.life.steps
    stuff = InForce(records_before(records, steps[at].at)).for_lot(lot.facts, lot.id)
    if stuff is None:
        return None
    try:
        net = net_mass(lot.facts, stuff)
        then = replace(lot, net=net, stuff=stuff, life=live(lot.facts, net, steps[:at]))
        return estimate_left(then)
    except Refused:
        return None


def checks_of_tests(records: OwnRecords, told: Callable[[OwnTest], tuple[str, str]] = lambda _: ("", "")
                    ) -> tuple[Check, ...]:
    """What each test says of the figure that it teaches, oldest first; told: the code of its lot, and its site."""
    return tuple(_of_test(records, told))


def _of_test(records: OwnRecords, told: Callable[[OwnTest], tuple[str, str]]) -> Iterable[Check]:
    moment = dt.datetime.fromisoformat
    for test in sorted(records.tests, key=lambda one: (moment(one.facts.at), one.id)):
        at = moment(test.facts.at)
        stuff: Material = InForce(records_before(records, at))(test.material, test.site, test.lot)
        row = default_of(test.parameter, stuff)
        if row is None or not row.low < row.high:
            continue
        lot, site = told(test)
        yield Check("dry" if test.facts.test == "dry" else "extract", test.material, lot, site, at.date(),
                    row.range(CHECKED["dry" if test.facts.test == "dry" else "extract"]),
                    math.exp(observed(test, stuff).value))
