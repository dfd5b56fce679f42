"""What was said of a lot or a place, as a person would say it, and by which device."""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Callable, Iterable, Mapping
from types import MappingProxyType

import flet as ft

from field_app.core.history import Told
from field_app.core.lots import LotNow
from field_app.core.materials import CONDITIONS, MATERIALS, RIPENESS
from field_app.core.positions import Position, show_position
from field_app.core.problems import Refused
from field_app.store import FieldBook
from field_app.store.sync import Apart
from field_app.ui import parts
from field_app.ui.life_words import STEP_WORDS, moment_words
from field_app.ui.lot_words import stuff_of
from field_app.ui.own_words import TEST_WORDS
from field_app.ui.site_words import WORD_ON_LEAVE
from field_app.words import begun, later, mid, shade_words, state_words, tr

__all__ = ["Names", "apart_notice", "deed_words", "names_of", "people", "plain", "sayings"]

_MEMBERS = re.compile(
    r"(?:^|, )(basis|gross|tare|count|pails|pail|fill|material|part|mass|volume|nuts|purpose|by|state|until|limit"
    r"|dish|before|after|liquor|brix|division|stuff|cloth|bath|heat|hours|base|mordant|band|lightness|colour) ")
#: How a member of several is told with its value; some values speak for themselves.
_MEMBER_WORDS: Mapping[str, str] = MappingProxyType({
    "gross": later("on the scale {value}"), "tare": later("pail {value}"), "count": later("counted {value}"),
    "pails": later("pails {value}"), "pail": later("one holds {value}"), "fill": later("full to {value}"),
    "mass": "{value}", "volume": "{value}", "nuts": later("nuts kept {value}"), "purpose": later("for {value}"),
    "by": later("by {value}"), "state": "{value}", "until": later("until {value}"), "limit": later("at most {value}"),
    "dish": later("dish {value}"), "before": later("before {value}"), "after": later("after {value}"),
    "liquor": later("liquor {value}"), "brix": "{value} °Brix", "division": later("steps of {value}"),
    "stuff": later("dye stuff {value}"), "cloth": later("cloth {value}"), "bath": later("bath {value}"),
    "heat": later("at {value}"), "hours": "{value} h", "base": "{value}", "mordant": "{value}", "band": "{value}",
    "lightness": later("lightness {value}"), "colour": "{value}"})
_DEEDS: Mapping[tuple[str, str], str] = MappingProxyType({
    ("lot", "logged"): later("Logged"), ("lot", "corrected"): later("Corrected"),
    ("lot", "withdrawn"): later("Taken back"), ("lot", "brought back"): later("Brought back"),
    ("draw", "drawn"): later("Taken from it"), ("draw", "corrected"): later("What was taken, corrected"),
    ("draw", "withdrawn"): later("What was taken, put back"),
    ("draw", "brought back"): later("What was put back, taken after all"),
    ("step", "corrected"): later("A step corrected"), ("step", "withdrawn"): later("A step taken back"),
    ("step", "brought back"): later("A step brought back"), ("test", "noted"): later("Test noted"),
    ("test", "corrected"): later("Test corrected"), ("test", "withdrawn"): later("Test withdrawn"),
    ("test", "brought back"): later("Test brought back")})
_FOR = re.compile(r"(?:for (?P<what>.+?))?(?:(?:^|, )by (?P<by>.+))?")
_HEX = re.compile(r"\b[0-9a-f]{16}\b")


class Names:
    """Short names of devices: this one, or the first signs that tell the others apart, four at least."""

    def __init__(self, own: str, devices: Iterable[str]) -> None:
        self._own = own
        self._all = sorted({own, *devices})

    def of(self, device: str) -> str:
        """What a device is called here."""
        if device == self._own:
            return tr("this device")
        others = [one for one in self._all if one != device]
        length = 4
        while length < len(device) and any(other.startswith(device[:length]) for other in others):
            length += 1
        return device[:length]

    def called(self, device: str) -> str:
        """The same where nothing beside it says that it is a device."""
        name = self.of(device)
        return name if device == self._own else tr("device {device}", device=name)

    def within(self, text: str) -> str:
        """A sentence with every device in it by its short name."""
        text = text.replace(tr("device {device}", device=self._own), self.of(self._own))
        return _HEX.sub(lambda found: self._inside(found[0]), text)

    def _inside(self, device: str) -> str:
        # Where a language bends the words around it, this device keeps its number.
        return self.of(device) if device != self._own else tr("{device} (this device)", device=device[:4])


def names_of(book: FieldBook) -> Names:
    """Short names of all devices that are known here."""
    return Names(book.log_book.device, book.devices())


def _moment(words: str, today: dt.date) -> str:
    try:
        return moment_words(dt.datetime.fromisoformat(words), today)
    except ValueError:
        return words


def _position(words: str) -> str:
    latitude, _, longitude = words.partition(", ")
    try:
        return show_position(Position(float(latitude), float(longitude)))
    except (ValueError, Refused):
        return words


def _members(words: str) -> str:
    """Several members of one matter, each with its name: those that need none lose it."""
    pieces = _MEMBERS.split(words)
    if len(pieces) < 3:
        return words
    told = dict(zip(pieces[1::2], pieces[2::2], strict=True))
    if "material" in told:
        return stuff_of(told["material"], told.get("part", ""))
    if "state" in told:
        told["state"] = tr(dict(WORD_ON_LEAVE).get(told["state"], told["state"]))
    if "mordant" in told:
        told["mordant"] = tr(told["mordant"])
    if "band" in told:
        told["band"] = shade_words(told["band"])
    return ", ".join(tr(_MEMBER_WORDS[name], value=parts.with_own_sign(value)) for name, value in told.items()
                     if name in _MEMBER_WORDS)


def _tested(words: str) -> str:
    """What a test was of: "test dry, material oak-bark, state fresh" as a person says it."""
    told = dict(part.partition(" ")[::2] for part in words.split(", "))
    kind, material = told.get("test", ""), told.get("material", "")
    name = tr(TEST_WORDS[kind][0]) if kind in TEST_WORDS else begun(kind)
    stuff = mid(tr(MATERIALS[material].name)) if material in MATERIALS else material
    return ", ".join(part for part in (name, stuff, state_words(told.get("state", ""))) if part)


def plain(about: str, words: str, today: dt.date) -> str:
    """What is said of a matter, without the names that only the record has.

    >>> plain("how much", "basis weighed, gross 14.2 kg, tare 1.1 kg", dt.date(2026, 10, 8))
    'on the scale 14.2 kg, pail 1.1 kg'
    >>> plain("when", "2026-10-08T15:24:00-02:00", dt.date(2026, 10, 8))
    'today, 15:24'
    """
    tell: dict[str, Callable[[], str]] = {
        "when": lambda: _moment(words, today),
        "position": lambda: _position(words),
        "how ripe": lambda: tr(RIPENESS[words].words) if words in RIPENESS else words,
        "condition": lambda: tr(CONDITIONS[words].name) if words in CONDITIONS else words,
        "what was done": lambda: next((tr(said) for key, said in STEP_WORDS.items() if key == words), words),
        "what stands there": lambda: ", ".join(tr(MATERIALS[key].name) if key in MATERIALS else key
                                               for key in words.split(", ")),
        "what was tested": lambda: _tested(words),
        "whether it stays": lambda: tr(words),
        "note": lambda: words,
    }
    return tell[about]() if about in tell else _members(words)


def deed_words(told: Told, today: dt.date) -> tuple[str, list[tuple[str, str]]]:
    """What was done, as a heading, and what was said by it, as names and words."""
    facts = [(about, plain(about, words, today)) for about, words in told.facts if words != "nothing"]
    facts = [fact for about, words in facts for fact in _for_whom(about, words)]
    if told.deed == "settled":
        return tr("Settled"), _named(facts)
    if told.kind == "step" and told.deed == "done":
        step = dict(facts).get("what was done") or tr("a step")
        return begun(step), _named(fact for fact in facts if fact[0] != "what was done")
    known = _DEEDS.get((told.kind, told.deed), f"{told.kind} {told.deed}".capitalize())
    return tr(known), _named(facts)


def _named(facts: Iterable[tuple[str, str]]) -> list[tuple[str, str]]:
    return [(tr(about), words) for about, words in facts]


def _for_whom(about: str, words: str) -> list[tuple[str, str]]:
    if about != "for what":
        return [(about, words)]
    found = _FOR.fullmatch(words)
    if found is None:
        return [(about, words)]
    told = ((later("for what"), found["what"]), (later("by whom"), found["by"]))
    return [(name, said) for name, said in told if said]


def people(one: Apart) -> str:
    """How many say different things, as the beginning of a sentence."""
    count = len({head.device for head in one.heads})
    return {1: tr("Two different things are said"), 2: tr("Two people say different things"),
            3: tr("Three people say different things")}.get(count,
                                                            tr("{count} people say different things", count=count))


def sayings(one: Apart, today: dt.date, name: Callable[[str], str] = str) -> list[tuple[str, str, str]]:
    """Each saying as the version that says it, its device, and what it says; the one that holds comes first.

    name: the words for an id of another record.
    """
    found = []
    for head in one.heads:
        if head.deleted:
            found.append((head.name, head.device, tr("it should be taken back")))
            continue
        words = []
        for difference in one.differences:
            said = next((other for other in difference.others if other.version == head.name), difference.holds)
            words.append(plain(difference.about, name(said.words), today) if said.words != "nothing"
                         else tr("no {matter}", matter=tr(difference.about)))
        found.append((head.name, head.device, "; ".join(words)))
    return found


def apart_notice(lot: LotNow, apart: Mapping[str, bool]) -> list[ft.Control]:
    """On a lot's own screen: that people say different things of it, and the way to settle it."""
    if lot.id not in apart:
        return []
    grave = apart[lot.id]
    way = parts.outline_button(tr("See what they say"), parts.going(f"/lots/{lot.code}/history"), "lot-apart")
    return [parts.notice(
        "refused" if grave else "caution", tr("People say different things of this lot"),
        tr("Settle it before the lot is used.") if grave else tr("It changes nothing in what the lot is worth."),
        controls=[ft.Row([way])], key="lot-apart-notice")]
