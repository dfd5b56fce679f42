"""What the screens say about a lot: what it is, how it was measured, and how long it stays good."""

from __future__ import annotations

import datetime as dt

from field_app.core.estimate import Range
from field_app.core.facts import FixFacts, LotFacts
from field_app.core.habits import habits
from field_app.core.keeping import UseBy, use_by
from field_app.core.lots import LotNow
from field_app.core.materials import CONDITIONS, MATERIALS, RIPENESS
from field_app.core.problems import Refused
from field_app.core.units import Measure, show_number, show_range, show_si, show_told
from field_app.ui.day_words import clock_time, full_day, span
from field_app.ui.parts import Edge
from field_app.words import mid, tr

__all__ = ["dye_part", "edge_of", "fix_words", "keeping", "keeping_words", "mass_words", "stuff_of", "stuff_words",
           "title_of_one", "typed_rows", "wants_using"]

_WEEK = dt.timedelta(days=7)


def stuff_words(facts: LotFacts) -> str:
    """Material and part inside a sentence; what this version doesn't know keeps its bare name.

    >>> lot = LotFacts(site="urn:uuid:0", material="black-walnut", part="whole-fruit", basis="weighed",
    ...                gathered="2026-10-08T15:24:00-02:00")
    >>> stuff_words(lot)
    'whole black walnuts'
    """
    return stuff_of(facts.material, facts.part)


def stuff_of(material: str, part: str) -> str:
    """The same of the keys of a material and a part."""
    stuff = MATERIALS.get(material)
    if stuff is None:
        return f"{material}, {part}"
    name = mid(tr(stuff.name))
    if part == "whole-fruit":
        return tr("whole {stuff}s", stuff=name)
    if part == "hull":
        return tr("{stuff} hull", stuff=name)
    # The other materials are named by their one part: bark, galls, cones.
    if len(stuff.parts) == 1:
        return name
    return f"{name}, {next((tr(one.name) for one in stuff.parts if one.key == part), part)}"


def dye_part(facts: LotFacts) -> str:
    """What of the lot holds the dye."""
    return tr("hull") if facts.part in ("whole-fruit", "hull") else stuff_words(facts)


def mass_words(quantity: Range, *, decimal: str = "") -> str:
    """The central mass alone, for a title."""
    return show_range(quantity, decimal=decimal).partition(" (")[0]


def title_of_one(lot: LotNow, *, decimal: str = "") -> str:
    """What a lot is: mass and stuff."""
    return tr("{mass} of {stuff}", mass=mass_words(lot.net, decimal=decimal), stuff=stuff_words(lot.facts))


def keeping(facts: LotFacts) -> UseBy | None:
    """How long a lot keeps, or None if this version knows nothing of such stuff."""
    try:
        return use_by(facts)
    except Refused:
        return None


def wants_using(by: UseBy | None, today: dt.date) -> bool:
    """Whether it may turn within a week, or nobody knows how long it keeps."""
    if by is None:
        return False
    state = by.state(today)
    return state == "soon" or (state == "good" and by.earliest is not None and by.earliest - today < _WEEK)


def keeping_words(by: UseBy | None, today: dt.date) -> str:
    """How long it stays good, in a few words."""
    if by is None:
        return tr("how long it keeps is not known here")
    state = by.state(today)
    if state == "keeps":
        return tr("keeps while dry")
    if by.earliest is None or by.latest is None:
        return tr("use or dry it soon: how long it keeps is not known")
    if state == "past":
        return tr("past its best since {day}", day=full_day(by.latest, today))
    if state == "soon":
        return (tr("use it today, it may be turning") if by.latest == today
                else tr("use it by {day}, it may be turning", day=full_day(by.latest, today)))
    return tr("good until {days}", days=span(by.earliest, by.latest, today))


def edge_of(by: UseBy | None, today: dt.date) -> Edge | None:
    """The colour that repeats what the words say."""
    edges: dict[str, Edge | None] = {"good": "leaf", "keeps": "leaf", "soon": "amber", "past": None}
    return None if by is None else edges[by.state(today)]


def fix_words(fix: FixFacts | None, *, of_site: bool, decimal: str = "") -> str:
    """How the position came to be known."""
    if of_site:
        return tr("as noted for the tree")
    if fix is None:
        return tr("not known how")
    if fix.source != "device":
        return tr("typed in") if fix.source == "typed" else tr("pasted in")
    if fix.accuracy is None:
        return tr("by the device, it did not say how closely")
    metres = show_si(float(fix.accuracy), "m", decimal=decimal)
    if fix.meaning == "unknown":
        return tr("by the device, ± {metres}", metres=metres)
    return tr("by the device, ± {metres}, in {n} of 100 cases", metres=metres, n=fix.meaning.removesuffix(" %"))


def _amount(measure: Measure, decimal: str) -> str:
    return show_told(measure, decimal=decimal)


def typed_rows(lot: LotNow, today: dt.date, *, decimal: str = "") -> tuple[tuple[str, str], ...]:
    """What was put down at the tree, as names and values, in the order in which one asks for it."""
    facts = lot.facts
    rows = [(tr("from"), lot.site_name),
            (tr("gathered"), f"{full_day(lot.gathered.date(), today)}, {clock_time(lot.gathered)}")]
    if facts.ripeness is not None:
        ripe = RIPENESS.get(facts.ripeness)
        rows.append((tr("how ripe"), tr(ripe.words) if ripe else facts.ripeness))
    state = CONDITIONS.get(facts.condition)
    rows.append((tr("condition"), tr(state.name) if state else facts.condition))
    if facts.gross is not None:
        rows.append((tr("on the scale"), _amount(facts.gross, decimal)))
    if facts.tare is not None:
        rows.append((tr("pail, taken off"), _amount(facts.tare, decimal)))
    if facts.division is not None:
        division = _amount(facts.division, decimal)
        rows.append((tr("steps of the scale"), division if not facts.scale
                     else tr("{division}, class {scale}", division=division, scale=facts.scale)))
    if facts.count is not None:
        rows.append((tr("counted"), str(facts.count)))
    if facts.sample:
        weighed = "; ".join(_amount(one, decimal) for one in facts.sample)
        rows.append((tr("of which weighed"), weighed if facts.sample_each == 1
                     else tr("{masses}, {n} at a time", masses=weighed, n=facts.sample_each)))
    if facts.pails is not None and facts.pail is not None:
        many = facts.pails.replace(".", decimal or habits().decimal)
        rows.append((tr("pails"), f"{many} × {_amount(facts.pail, decimal)}"))
    if facts.fill is not None:
        rows.append((tr("filled"), f"{show_number(100 * float(facts.fill), decimal=decimal)} %"))
    return tuple(rows)
