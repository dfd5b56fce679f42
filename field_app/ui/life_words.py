"""What the screens say about what became of a lot: its state, what is left, and how long that keeps."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Mapping, Sequence
from types import MappingProxyType

from field_app.core.estimate import Range
from field_app.core.facts import StepKind
from field_app.core.keeping import UseBy, use_by_now
from field_app.core.life import Draw, LotLife, LotState
from field_app.core.lots import LotNow
from field_app.core.problems import Refused
from field_app.core.totals import total
from field_app.core.units import show_range, show_told
from field_app.ui.day_words import clock_time, day
from field_app.ui.lot_words import edge_of, keeping_words, mass_words, stuff_words, wants_using
from field_app.ui.parts import Edge
from field_app.words import begun, later, listed, tr, tr_n

__all__ = ["MEANS", "STEP_WORDS", "drawn_words", "gone", "keeping_now", "keeps_edge", "keeps_words", "left_words",
           "measure_words", "moment_words", "state_words", "title_now", "title_of_all", "touched", "wants_using_now"]

#: What a person calls each step.
STEP_WORDS: Mapping[StepKind, str] = MappingProxyType({
    "weighed": later("weighed again"), "soaked": later("put under water"), "boiled": later("boiled"),
    "strained": later("strained"), "dried": later("dried"), "spent": later("spent"),
    "spoiled": later("spoiled")})
#: What each of them means, in one line.
MEANS: Mapping[StepKind, str] = MappingProxyType({
    "weighed": later("The same stuff on the scale once more. From now on this weight counts."),
    "soaked": later("It lies under water, to keep or to soften before the kettle."),
    "boiled": later("It was in the kettle. What there is now is liquor, with or without the stuff in it."),
    "strained": later("The liquor was poured off. From now on its litres count."),
    "dried": later("It is air-dry and rustles. It keeps, and weighs much less."),
    "spent": later("All its colour is out: it goes on the compost. Nothing is left of it."),
    "spoiled": later("It went bad and can't be used. Nothing is left of it.")})
_STATES: Mapping[LotState, str] = MappingProxyType({
    "gathered": later("as gathered"), "weighed": later("weighed again"), "soaked": later("under water"),
    "boiled": later("boiled"), "strained": later("strained"), "dried": later("dried"), "spent": later("spent"),
    "spoiled": later("spoiled")})


def touched(life: LotLife) -> bool:
    """Whether anything was done with it or taken from it since it was gathered."""
    return bool(life.steps or life.draws)


def gone(lot: LotNow) -> bool:
    """Whether nothing is left of it: spent, spoiled or used up."""
    life = lot.life
    return life.ended or life.left.high <= 0 or (life.measured and life.left.central <= 0)


def keeping_now(lot: LotNow) -> UseBy | None:
    """How long what is left keeps; None if nothing is left, or this version knows nothing of such stuff."""
    try:
        return use_by_now(lot.facts, lot.life, lot.stuff)
    except Refused:
        return None


def wants_using_now(lot: LotNow, today: dt.date) -> bool:
    """Whether what is left may turn within a week, or nobody knows how long it keeps."""
    return wants_using(keeping_now(lot), today)


def keeps_words(lot: LotNow, today: dt.date) -> str:
    """How long what is left stays good, or that nothing is left, in a few words."""
    if not gone(lot):
        return keeping_words(keeping_now(lot), today)
    return state_words(lot.life, today) if lot.life.ended else tr("used up")


def keeps_edge(lot: LotNow, today: dt.date) -> Edge | None:
    """The colour that repeats what these words say."""
    return edge_of(keeping_now(lot), today)


def state_words(life: LotLife, today: dt.date) -> str:
    """What was done with it last, and when; or that it is as it was gathered."""
    if life.state == "gathered":
        return tr(_STATES["gathered"])
    state, since = tr(_STATES[life.state]), life.since.date()
    # A state that goes on has a beginning, a deed has a day.
    if life.state in ("soaked", "dried"):
        return tr("{state} since {day}", state=state, day=day(since, today))
    if (today - since).days in (0, 1):
        return tr("{state} {yesterday_or_today}", state=state, yesterday_or_today=day(since, today))
    return tr("{state} on {day}", state=state, day=day(since, today))


def left_words(life: LotLife, *, decimal: str = "") -> str:
    """What is left as a range, with the word for it if anything was taken or measured since."""
    words = show_range(life.left, decimal=decimal)
    if life.left.unit == "L":
        return tr("{volume} of liquor left", volume=words) if life.draws else tr("{volume} of liquor", volume=words)
    return tr("{mass} left", mass=words) if life.draws else words


def title_now(lot: LotNow, *, decimal: str = "") -> str:
    """What there is of a lot now, for its title."""
    life, stuff = lot.life, stuff_words(lot.facts)
    if life.ended:
        return tr("{state}: {mass} of {stuff}", state=begun(tr(_STATES[life.state])),
                  mass=mass_words(lot.net, decimal=decimal), stuff=stuff)
    if gone(lot):
        return tr("Used up: {mass} of {stuff}", mass=mass_words(lot.net, decimal=decimal), stuff=stuff)
    left = mass_words(life.left, decimal=decimal)
    if life.left.unit == "L":
        return tr("{volume} of liquor from {stuff}", volume=left, stuff=stuff)
    if life.state == "dried":
        return (tr("{mass} of dried {stuff} left", mass=left, stuff=stuff) if life.draws
                else tr("{mass} of dried {stuff}", mass=left, stuff=stuff))
    return (tr("{mass} of {stuff} left", mass=left, stuff=stuff) if life.draws
            else tr("{mass} of {stuff}", mass=left, stuff=stuff))


def title_of_all(lots: Sequence[LotNow], today: dt.date, *, decimal: str = "") -> str:
    """How much is left, in how many lots, and how many want using this week."""
    if not lots:
        return tr("No lots yet")
    there = [lot for lot in lots if not gone(lot)]
    if not there:
        return tr_n("Nothing is left of your lot", "Nothing is left of your lots", len(lots))
    title = tr_n("{amounts} in {n} lot", "{amounts} in {n} lots", len(there),
                 amounts=listed(_amounts(there, decimal)))
    soon = sum(wants_using_now(lot, today) for lot in there)
    return tr_n("{title}, {n} wants using this week", "{title}, {n} want using this week", soon,
                title=title) if soon else title


def _amounts(lots: Iterable[LotNow], decimal: str) -> list[str]:
    by_unit: dict[str, list[Range]] = {"kg": [], "L": []}
    for lot in lots:
        by_unit[lot.life.left.unit].append(lot.life.left)
    words = {unit: mass_words(total(found, unit=unit), decimal=decimal) for unit, found in by_unit.items() if found}
    return [tr("{volume} of liquor", volume=amount) if unit == "L" else amount for unit, amount in words.items()]


def measure_words(draw: Draw, *, decimal: str = "") -> str:
    """How much was taken, as it was typed and in the person's measures."""
    return show_told(draw.facts.amount, decimal=decimal)


def drawn_words(draw: Draw, today: dt.date) -> str:
    """For what, by whom and when something was taken."""
    facts = draw.facts
    told = [tr("for {purpose}", purpose=facts.purpose)] if facts.purpose else []
    told += [tr("by {person}", person=facts.by)] if facts.by else []
    return " · ".join([*told, moment_words(draw.at, today)])


def moment_words(when: dt.datetime, today: dt.date) -> str:
    """Day and time as the person saw them."""
    return f"{day(when.date(), today)}, {clock_time(when)}"
