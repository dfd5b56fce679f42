"""A look at a tree without gathering: how ripe, how many take a dent, how much lies on the ground.

The law of this file:

1. A person says it in her own words; the codes of the trade's observers are worked out from them when the look
   is recorded, and stand in the record and in exports, never on a screen.
2. ``bbch`` is the general BBCH code nearest to the stage, by our own reading; with dents counted, fewer than half
   read 85, from half on 87.
3. ``phenophases`` and ``dropped`` are named as in USA-NPN, Plant and Animal Phenophase Definitions
   (doi 10.25422/azu.data.20736700): status by phenophase, counts by its bins.
"""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

from pydantic import StrictInt

from field_app.core.facts import Facts, LocalTime
from field_app.core.forms import LONGEST_NOTE, Decision, Reader, Situation
from field_app.core.materials import RIPENESS, Material, material
from field_app.core.moments import read_moment
from field_app.core.problems import Problem
from field_app.core.reading import read_number
from field_app.core.records import Draft, Thing
from field_app.core.sites import SiteNow
from field_app.words import later, tr

__all__ = ["GROUND", "LEAST_PRESSED", "PLAIN_STAGES", "Ground", "LookFacts", "LookForm", "LookNow", "bbch_of", "bin_of",
           "decide_look", "look_fault", "look_now", "stages_of"]

#: Fewer pressed than this tell too little (common practice, no source); more than this is a slip of the finger [1].
LEAST_PRESSED, MOST_PRESSED, MOST_ON_GROUND = 10, 1000, 1_000_000


@dataclass(frozen=True, slots=True)
class Ground:
    """How many lie on the ground, in a dyer's words, and the USA-NPN bin that means."""

    words: str
    least: int
    most: int | None
    bin: str


#: The words for what lies there, fewest first. A pail of 12 L holds about a hundred whole fruits.
GROUND: Mapping[str, Ground] = MappingProxyType({
    "none": Ground(later("none"), 0, 0, "0"),
    "one-or-two": Ground(later("one or two"), 1, 2, "<3"),
    "a-handful": Ground(later("a handful"), 3, 10, "3-10"),
    "a-pail": Ground(later("up to a pail"), 11, 100, "11-100"),
    "several-pails": Ground(later("several pails"), 101, 1000, "101-1000"),
    "covered": Ground(later("the ground is covered"), 1001, None, ">1000"),
})
#: What is told of stuff without a ripeness that one can see: galls, cones, cups, bark, leaves.
PLAIN_STAGES: Mapping[str, str] = MappingProxyType({"not-yet": later("not yet"), "ready": later("ready"),
                                                       "over": later("over")})
_DENTS = re.compile(r"(\d+)\s*(?:/|of|out of)\s*(\d+)\Z", re.ASCII)


class LookFacts(Facts):
    """What was seen at a tree, at a time, of one material.

    stage: a key of the table of ripeness, or of PLAIN_STAGES where there is none to see;
    dented, pressed: how many of how many kept a dent; ground: how many lie there, as a number;
    ground_words: the same as a key of GROUND; at: RFC 3339 local time with its offset;
    bbch, phenophases, dropped: the same in the codes of observers, for exports.
    """

    site: str
    material: str
    at: LocalTime
    stage: str | None = None
    dented: StrictInt | None = None
    pressed: StrictInt | None = None
    ground: StrictInt | None = None
    ground_words: str | None = None
    note: str = ""
    bbch: StrictInt | None = None
    phenophases: tuple[str, ...] = ()
    dropped: str | None = None


@dataclass(frozen=True, slots=True)
class LookForm:
    """A look as typed. dents: "7 of 10" or "7/10"; ground: a number or a word of GROUND; at: empty for now.

    material: a key, or empty for the first that stands there.
    """

    material: str = ""
    stage: str = ""
    dents: str = ""
    ground: str = ""
    at: str = ""
    note: str = ""


@dataclass(frozen=True, slots=True)
class LookNow:
    """A look as it stands: its id, its facts, and the day on which it was taken."""

    id: str
    facts: LookFacts
    heads: tuple[str, ...]

    @property
    def at(self) -> dt.datetime:
        """When one looked, with the offset that the person saw."""
        return dt.datetime.fromisoformat(self.facts.at)


def look_now(thing: Thing) -> LookNow:
    """A look from what holds about it."""
    return LookNow(thing.id, LookFacts.model_validate(dict(thing.facts)), thing.heads)


def stages_of(stuff: Material) -> Mapping[str, str]:
    """The stages one can tell of a material, as key and words.

    >>> list(stages_of(material("alder-cones")))
    ['not-yet', 'ready', 'over']
    """
    if any(part.shows_ripeness for part in stuff.parts):
        return {key: row.words for key, row in RIPENESS.items()}
    return PLAIN_STAGES


def bin_of(count: int) -> str:
    """The USA-NPN bin of a number on the ground [1].

    >>> bin_of(2), bin_of(11), bin_of(2000)
    ('<3', '11-100', '>1000')
    """
    return next(row.bin for row in GROUND.values() if count >= row.least and (row.most is None or count <= row.most))


def bbch_of(stage: str | None, dented: int | None, pressed: int | None) -> int | None:
    """The general BBCH code nearest to what was seen, by our own reading, or None.

    >>> bbch_of("dented", 8, 30), bbch_of("dented", 20, 30), bbch_of("black", None, None)
    (85, 87, None)
    """
    if pressed and stage in (None, "yellowing", "dented") and dented:
        return 87 if dented * 2 >= pressed else 85
    row = RIPENESS.get(stage or "")
    return row.bbch if row else None


def _phenophases(stage: str | None, dented: int | None, on_ground: int) -> tuple[str, ...]:
    found = []
    if stage in ("green", "yellowing", "dented", "not-yet", "ready") or dented is not None:
        found.append("Fruits")
    if stage in ("dented", "fallen", "ready") or dented:
        found.append("Ripe fruits")
    if stage in ("fallen", "browned", "black") or on_ground > 0:
        found.append("Recent fruit or seed drop")
    return tuple(found)


def _stuff(reader: Reader, text: str, site: SiteNow) -> Material | None:
    key = text.strip() or next(iter(site.facts.materials), "")
    if not key:
        reader.wrong("material", tr("what stands at {name} is not noted", name=site.name),
                     tr("Say what you looked at."))
        return None
    return reader.read(lambda: material(key))


def _dents(reader: Reader, text: str) -> tuple[int, int] | None:
    body = text.strip().lower()
    if not body:
        return None
    match = _DENTS.match(body)
    if match is None:
        reader.wrong("dents", tr("{text!r} is not so many of so many", text=text.strip()),
                     tr('Type it as "7 of 10".'))
        return None
    dented, pressed = int(match[1]), int(match[2])
    if pressed < LEAST_PRESSED or pressed > MOST_PRESSED:
        reader.wrong("dents", (tr("{pressed} pressed are too few to tell", pressed=pressed) if pressed < LEAST_PRESSED
                               else tr("{pressed} pressed are too many", pressed=pressed)),
                     tr("Press {least} at least, on boughs all round the tree; 30 is better.", least=LEAST_PRESSED))
    elif dented > pressed:
        reader.wrong("dents", tr("{dented} of {pressed} can't be", dented=dented, pressed=pressed),
                     tr("Check the two numbers."))
    else:
        return dented, pressed
    return None


def _ground(reader: Reader, text: str) -> tuple[int | None, str | None]:
    body = " ".join(text.strip().lower().split())
    if not body:
        return None, None
    for key, row in GROUND.items():
        if body in (key, row.words, tr(row.words).lower()):
            return None, key
    number = reader.read(lambda: read_number(body, where="ground")) if body[:1].isdigit() else None
    if number is not None and number == number.to_integral_value() and 0 <= number <= MOST_ON_GROUND:
        return int(number), None
    words = ", ".join(tr(row.words) for row in GROUND.values())
    reader.wrong("ground", tr("{text!r} is not how many", text=text.strip()),
                 tr("Type a whole number, or one of: {words}.", words=words))
    return None, None


def decide_look(form: LookForm, site: SiteNow, situation: Situation) -> Decision:
    """A look at a site, told now or for an earlier time; something at least must have been seen."""
    reader = Reader()
    stuff = _stuff(reader, form.material, site)
    stage = form.stage.strip() or None
    if stuff is not None and stage is not None and stage not in stages_of(stuff):
        reader.wrong("stage", tr("{stage!r} is not known of {name}", stage=stage, name=stuff.said),
                     tr("Choose one of: {choices}.", choices=", ".join(stages_of(stuff))))
    dents = _dents(reader, form.dents)
    if dents and stuff is not None and stages_of(stuff) is PLAIN_STAGES:
        reader.wrong("dents", tr("{name} takes no dent", name=stuff.said), tr("Leave it out."))
    count, words = _ground(reader, form.ground)
    at = situation.now
    if form.at.strip():
        at = reader.read(lambda: read_moment(
            form.at, where="at", now=situation.now, localise=situation.localise)) or at
    note = reader.text("note", form.note, LONGEST_NOTE)
    if not reader.problems and stage is None and dents is None and count is None and words is None and not note:
        reader.wrong("stage", tr("what you saw is not told"),
                     tr("Say how ripe, how many took a dent, or what lies there."))
    if reader.problems or stuff is None:
        return Decision(problems=tuple(reader.problems))
    dented, pressed = dents or (None, None)
    on_ground = count if count is not None else GROUND[words].least if words else None
    facts = LookFacts.model_validate({
        "site": site.id, "material": stuff.key, "at": at.isoformat(timespec="seconds"), "stage": stage,
        "dented": dented, "pressed": pressed, "ground": count, "ground_words": words, "note": note,
        "bbch": bbch_of(stage, dented, pressed), "phenophases": _phenophases(stage, dented, on_ground or 0),
        "dropped": None if on_ground is None else bin_of(on_ground)})
    draft = Draft(situation.new_id(), "look", facts.as_json())
    return Decision((draft,), draft.thing)


def look_fault(facts: LookFacts) -> Problem | None:
    """What stands against the facts of a look from elsewhere, or None. Raises Refused for an unknown material."""
    stuff = material(facts.material)
    if facts.stage is not None and facts.stage not in stages_of(stuff):
        return Problem("stage", tr("{stage!r:.60} is not known of {name}", stage=facts.stage, name=stuff.said),
                       tr("Update this program."), kind="unknown")
    if (facts.dented is None) != (facts.pressed is None):
        return Problem("pressed", tr("and dented go together"), tr("Ask for the look again."))
    if facts.pressed is not None and not 0 <= (facts.dented or 0) <= facts.pressed <= MOST_PRESSED:
        return Problem("dented", tr("is not so many of so many"), tr("Ask for the look again."))
    if facts.ground is not None and not 0 <= facts.ground <= MOST_ON_GROUND:
        return Problem("ground", tr("is not how many lie there"), tr("Ask for the look again."))
    if facts.ground_words is not None and facts.ground_words not in GROUND:
        return Problem("ground_words", tr("{word!r:.60} is not known", word=facts.ground_words),
                       tr("Update this program."), kind="unknown")
    return None
