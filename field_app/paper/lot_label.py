"""What stands on the label of a lot, in words: values only."""

from __future__ import annotations

from dataclasses import dataclass

from field_app.core.cautions import cautions_for
from field_app.core.day_text import plain_day
from field_app.core.keeping import UseBy, use_by_now
from field_app.core.life import LotLife
from field_app.core.lots import LotNow
from field_app.core.materials import MATERIALS, RIPENESS
from field_app.core.problems import Refused
from field_app.core.units import show_range
from field_app.words import later, tr

__all__ = ["LotLabel", "lot_label", "what_text"]

_STATES = {"gathered": later("as gathered"), "weighed": later("weighed again"), "soaked": later("under water"),
           "boiled": later("boiled"), "strained": later("liquor"), "dried": later("dried"), "spent": later("spent"),
           "spoiled": later("spoiled")}


@dataclass(frozen=True, slots=True)
class LotLabel:
    """One label.

    urn: in the QR code; code: in clear; what, gathered, state, mass, use_by: a line each; cautions: in short.
    """

    urn: str
    code: str
    what: str
    gathered: str
    state: str
    mass: str
    use_by: str
    cautions: tuple[str, ...]


def what_text(lot: LotNow) -> str:
    """Material, part and ripeness: "Black walnut, whole fruit, fallen, firm"."""
    facts = lot.facts
    stuff = MATERIALS.get(facts.material)
    name = tr(stuff.name) if stuff else facts.material
    part = next((tr(one.name) for one in stuff.parts if one.key == facts.part), facts.part) if stuff else facts.part
    words = [name] if stuff and len(stuff.parts) == 1 else [name, part]
    if facts.ripeness and facts.ripeness in RIPENESS:
        words.append(tr(RIPENESS[facts.ripeness].words))
    return ", ".join(words)


def _state(lot: LotNow) -> str:
    state = tr(_STATES[lot.life.state])
    if lot.life.state == "gathered" and lot.facts.condition != "fresh":
        return {"soaked": tr("under water"), "air-dry": tr("air-dry")}[lot.facts.condition]
    return state if lot.life.state == "gathered" else tr("{state} {day}", state=state,
                                                               day=plain_day(lot.life.since.date()))


def _use_by(found: UseBy | None) -> str:
    if found is None:
        return tr("Nothing is left.")
    if found.earliest is None or found.latest is None:
        return found.words
    return tr("Use by {day}, {latest} at the latest", day=plain_day(found.earliest), latest=plain_day(found.latest))


def _left(life: LotLife, decimal: str) -> str:
    return show_range(life.left, decimal=decimal)


def lot_label(lot: LotNow, *, decimal: str = "") -> LotLabel:
    """The label of a lot as it stands; decimal: the sign that this person writes."""
    try:
        keeps = _use_by(use_by_now(lot.facts, lot.life, lot.stuff))
        cautions = tuple(one.short for one in cautions_for(lot.facts.material, lot.facts.part, "keep"))
    except Refused:
        keeps, cautions = tr("Nothing is known of how long it keeps."), ()
    return LotLabel(lot.id, lot.code, what_text(lot), tr("Gathered {day}", day=plain_day(lot.gathered.date())),
                    _state(lot), _left(lot.life, decimal), keeps, cautions)
