"""How long a lot keeps, from the day it was gathered or set up, and what to do in time.

The days are one table. Where nobody has given a figure, none is made up: the lot has no dates,
and the words say so.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Any, Literal, get_args

from field_app.core.day_text import plain_day
from field_app.core.estimate import Reason
from field_app.core.facts import LotFacts, gathered_at
from field_app.core.life import LotLife, Step
from field_app.core.materials import Material, condition, material, ripeness
from field_app.core.problems import refuse
from field_app.core.sources import cited, source_said
from field_app.words import later, tr, tr_n

__all__ = ["STORAGES", "KeepState", "Storage", "UseBy", "liquor_use_by", "use_by", "use_by_now"]

KeepState = Literal["good", "soon", "past", "keeps"]
Storage = Literal["cool", "warm", "frozen"]
STORAGES: tuple[Storage, ...] = get_args(Storage)
_STORAGES_SAID = (later("cool"), later("warm"), later("frozen"))


@dataclass(frozen=True, slots=True)
class UseBy:
    """When a lot should be used: from earliest (it may turn) to latest (it has turned), local days.

    Both are None where no figure is known, or where it keeps; keeps tells the two apart.
    words: what is expected; advice: what to do; reason: where the days come from.
    """

    earliest: dt.date | None
    latest: dt.date | None
    words: str
    advice: str
    reason: Reason
    keeps: bool = False

    def state(self, today: dt.date) -> KeepState:
        """How it stands on a day: "good" before earliest, "soon" up to latest, then "past".

        A lot that keeps is "keeps"; one of which no figure is known is "soon", so that it is not forgotten.
        """
        if self.keeps:
            return "keeps"
        if self.earliest is not None and today < self.earliest:
            return "good"
        return "past" if self.latest is not None and today > self.latest else "soon"

    def words_on(self, today: dt.date) -> str:
        """How it stands on a day, as a sentence."""
        if self.earliest is None or self.latest is None:
            return self.words if self.keeps else f"{self.words} {self.advice}"
        return {
            "good": tr("Good until {earliest}; it may turn from then on, and has turned by {latest}.",
                       earliest=plain_day(self.earliest), latest=plain_day(self.latest)),
            "soon": tr("Use it soon, by {latest} at the latest.", latest=plain_day(self.latest)),
            "past": tr("Past its time since {latest}: look at it before you use it.", latest=plain_day(self.latest)),
        }[self.state(today)]

    def as_json(self) -> dict[str, Any]:
        """The same as plain data; days as YYYY-MM-DD or None."""
        return {"earliest": self.earliest.isoformat() if self.earliest else None,
                "latest": self.latest.isoformat() if self.latest else None, "keeps": self.keeps,
                "words": self.words, "advice": self.advice, "reason": self.reason.as_json()}


@dataclass(frozen=True, slots=True)
class _Days:
    """Days from gathering to use [d], what to tell, and why."""

    first: int
    last: int
    words: str
    advice: str
    reason: Reason


_PRACTICE = later("common practice, no source")
_IN_TIME = later("Dye with it, dry it, or put it under water before then.")
_FIRM = _Days(
    3, 10, later("Firm hull goes black and soft 3 to 10 days after it falls."), _IN_TIME,
    Reason(later("hull that fell goes black and soft"), later("3–10 days"), "default", _PRACTICE, "practice"))
_UNTOLD = _Days(
    0, 10, later("How ripe it was is not known; firm hull goes black and soft in 3 to 10 days."), _IN_TIME,
    Reason(later("hull that fell goes black and soft"), later("0–10 days"), "worked out",
           cited(later("3–10 days after it fell, and how long it lay is not known"), _PRACTICE), "derived"))
_BROWNED = _Days(
    0, 7, later("It is part of the way to black and soft."), _IN_TIME,
    Reason(later("browned hull goes black and soft"), later("0–7 days"), "worked out",
           cited(later("10 days less the 3 that at least have passed"), _PRACTICE), "derived"))
_BLACK = _Days(
    0, 0, later("It has turned already."), later("Use it at once, or dry it."),
    Reason(later("black hull"), later("use at once"), "default", _PRACTICE, "practice"))
_SOAKED = _Days(
    7, 28, later("Under water it is good for one to four weeks, often for more."),
    later("Keep it covered with water under a vented lid, and skim the mould."),
    Reason(later("hull under water"), later("1–4 weeks, and more"), "default", _PRACTICE, "practice"))
_LIQUOR = _Days(
    7, 21, later("Kept cool, the liquor is good for one to three weeks; in the warm, for three to seven days."),
    later("Keep it cool and covered, or freeze it: frozen it keeps about a year."),
    Reason(later("liquor kept cool"), later("1–3 weeks"), "default", _PRACTICE, "practice"))
#: What is said of liquor by how it is stored: what it is, how long it is good, and what to do.
_STORED: Mapping[Storage, tuple[str, str, str]] = MappingProxyType({
    "cool": (later("liquor kept cool"), later("Kept cool, the liquor is good for {shown}."),
             later("Keep it cool and covered, or freeze it.")),
    "warm": (later("liquor kept warm"), later("In the warm, the liquor is good for {shown}."),
             later("Cool it, or use it up at once.")),
    "frozen": (later("liquor kept frozen"), later("Frozen, the liquor is good for {shown}."),
               later("Leave room in the vessel, as it grows when it freezes, and label it."))})
#: The steps after which a lot keeps otherwise than before; weighing it changes nothing.
_CHANGES = ("soaked", "boiled", "strained", "dried")

_BY_RIPENESS: Mapping[str, _Days] = MappingProxyType({
    "green": _FIRM, "yellowing": _FIRM, "dented": _FIRM, "fallen": _FIRM, "browned": _BROWNED, "black": _BLACK})


#: Which figure of the material stands behind which days.
_FIGURES: Mapping[str, tuple[_Days, ...]] = MappingProxyType({
    "keep-fallen": (_FIRM, _UNTOLD, _BROWNED), "keep-water": (_SOAKED,), "keep-liquor-cool": (_LIQUOR,)})


def use_by(facts: LotFacts, stuff: Material | None = None) -> UseBy:
    """How long a lot keeps as it is; stuff: the material in force for it, or else the table's.

    Raises Refused if its material, part, ripeness or condition is unknown.

    >>> lot = LotFacts(site="urn:uuid:0", material="black-walnut", part="hull", basis="weighed",
    ...                gathered="2026-10-08T15:24:00-02:00", ripeness="fallen")
    >>> by = use_by(lot)
    >>> by.earliest.isoformat(), by.latest.isoformat(), by.state(dt.date(2026, 10, 12))
    ('2026-10-11', '2026-10-18', 'soon')
    """
    stuff = stuff or material(facts.material)
    part = stuff.part(facts.part)
    state = condition(facts.condition)
    if state.key == "air-dry":
        return _keeps(part.said)
    if not part.shows_ripeness:
        return _no_figure(part.said, state.key, many=part.name.endswith("s"))
    days = _UNTOLD if facts.ripeness is None else _BY_RIPENESS[ripeness(facts.ripeness).key]
    return _counted(_SOAKED if state.key == "soaked" else days, gathered_at(facts).date(), stuff)


def use_by_now(facts: LotFacts, life: LotLife, stuff: Material | None = None) -> UseBy | None:
    """How long what is left of a lot keeps, as it stands now; None if nothing is left to keep.

    stuff: the material in force for it, or else the table's.
    Hull under water and liquor are counted from the day on which they were set up; dried stuff keeps.
    Refused if its material, part, ripeness or condition is unknown.
    """
    if life.ended or life.left.high <= 0 or (life.measured and life.left.central <= 0):
        return None
    turn = _last_turn(life)
    if turn is None:
        return use_by(facts, stuff)
    stuff = stuff or material(facts.material)
    part = stuff.part(facts.part)
    if turn.facts.step == "dried":
        return _keeps(part.said)
    if turn.facts.step == "soaked":
        if not part.shows_ripeness:
            return _no_figure(part.said, "soaked", many=part.name.endswith("s"))
        return _counted(_SOAKED, turn.at.date(), stuff)
    return _counted(_LIQUOR, turn.at.date(), stuff)


def liquor_use_by(made: dt.date, stuff: Material, storage: Storage = "cool") -> UseBy:
    """How long liquor keeps that was made on a day, by how it is stored; Refused if the table has no figure.

    >>> by = liquor_use_by(dt.date(2026, 10, 8), material("black-walnut"))
    >>> by.earliest.isoformat(), by.latest.isoformat()
    ('2026-10-15', '2026-10-29')
    """
    row = stuff.parameter(f"keep-liquor-{storage}")
    if row is None:
        raise refuse("storage", tr("how long liquor of {name} keeps {storage} is not known", name=stuff.said,
                                   storage=tr(storage)), tr("Keep it cool."))
    first, last = (made + dt.timedelta(days=round(days)) for days in (row.low, row.high))
    name, words, advice = _STORED[storage]
    return UseBy(first, last, tr(words, shown=row.shown), tr(advice),
                 Reason(tr(name), row.shown, "default", source_said(row.source), row.mark))


def _last_turn(life: LotLife) -> Step | None:
    """The step since which it keeps as it does: the first of those that did the same thing last."""
    turns = [step for step in life.steps if step.facts.step in _CHANGES]
    since = None
    for step in reversed(turns):
        if since is not None and _sort(step) != _sort(since):
            break
        since = step
    return since


def _sort(step: Step) -> str:
    return "liquor" if step.facts.step in ("boiled", "strained") else step.facts.step


def _own(days: _Days, stuff: Material) -> _Days:
    """The days by a figure of one's own, where there is one."""
    name = next((name for name, behind in _FIGURES.items() if days in behind), "")
    row = stuff.parameters.get(name)
    if row is None or row.mark != "own":
        return days
    first, last = round(row.low), round(row.high)
    span = (tr("{first} to {last} days", first=first, last=last) if first != last
            else tr_n("{n} day", "{n} days", last))
    reason = Reason(days.reason.name, row.shown, "own", source_said(row.source))
    words = {_FIRM: tr("By your own figure, firm hull goes black and soft {span} after it falls.", span=span),
             _UNTOLD: tr("How ripe it was is not known; by your own figure, firm hull goes black and soft in {span}.",
                         span=span),
             _BROWNED: days.words, _SOAKED: tr("By your own figure, it is good under water for {span}.", span=span),
             _LIQUOR: tr("By your own figure, the liquor, kept cool, is good for {span}.", span=span)}[days]
    # Hull that may have lain, and hull that has turned brown, are part of the way there.
    first, last = (0, last) if days is _UNTOLD else (0, last - first) if days is _BROWNED else (first, last)
    return _Days(first, last, words, days.advice, reason)


def _counted(days: _Days, day: dt.date, stuff: Material) -> UseBy:
    days = _own(days, stuff)
    first, last = (day + dt.timedelta(days=count) for count in (days.first, days.last))
    return UseBy(first, last, tr(days.words), tr(days.advice), days.reason.said())


def _keeps(part: str) -> UseBy:
    reason = Reason(tr("{part}, air-dry", part=part), tr("while it stays dry"), "default", tr(_PRACTICE), "practice")
    return UseBy(None, None, tr("Air-dry it keeps as long as it stays dry."),
                 tr("Keep it in paper or cloth, dry and dark, marked with the code of the lot."), reason, keeps=True)


def _no_figure(part: str, key: str, *, many: bool) -> UseBy:
    state = condition(key).said
    advice = (tr("Use it soon, or drain and dry it.") if key == "soaked"
              else tr("Dry it soon, spread thin in the shade with air around it."))
    reason = Reason(f"{part}, {state}", tr("no figure"), "default", tr(_PRACTICE), "practice")
    words = (tr("How long {state} {part} keep is not known: no figure was found.", state=state, part=part) if many
             else tr("How long {state} {part} keeps is not known: no figure was found.", state=state, part=part))
    return UseBy(None, None, words, advice, reason)
