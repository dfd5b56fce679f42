"""Reads a line of an old recipe: "2 pails fresh hull", "1 lb alder bark", "½ oz copperas", "10 gallons water".

1. Amount first or last; what is left is what was taken: water, a dye stuff of the table, a helper, or anything else.
2. Whose gallon is meant, and what a pail held, has to be told; nothing is guessed.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, replace
from typing import Literal

from field_app.core.estimate import Range, Reason, exact
from field_app.core.helpers import Helper, helper
from field_app.core.materials import CONDITIONS, MATERIALS, Material, Part
from field_app.core.problems import Refused, refuse
from field_app.core.reading import clean, quoted
from field_app.core.units import UNITS, Kind, read_measure, read_number, show_round, show_si, whose_gallons
from field_app.words import later, mid, tr

__all__ = ["PAILS", "TAKING_RULE", "Gallons", "Taking", "read_taking"]

Gallons = Literal["us", "imperial", ""]
_NUMBER = r"(?:[0-9]+ )?[0-9]+ ?/ ?[0-9]+|[0-9]* ?[½\u2153\u2154¼¾⅛⅜⅝⅞]|[0-9]+(?:[.,][0-9]+)?|[.,][0-9]+|an?(?= )"
PAILS = ("pail", "pails", "bucket", "buckets", "pailful", "pailfuls")
_SPELLINGS = sorted({spelling for unit in UNITS.values() if unit.kind in ("mass", "volume")
                     for spelling in (unit.key.casefold(), unit.label.casefold(), *unit.spellings)} | set(PAILS),
                    key=len, reverse=True)
_UNIT = "|".join(re.escape(spelling) for spelling in _SPELLINGS)
_SYSTEM = r"(?:(?:us|u\.s\.|imp|imp\.|imperial|uk) )?"
_AMOUNT = rf"(?:{_NUMBER}) ?{_SYSTEM}(?:{_UNIT})\b\.?(?: (?:us|imp|imperial|uk)\b)?"
_FIRST = re.compile(rf"(?P<amount>{_AMOUNT}(?:,? (?:and )?{_AMOUNT})*) (?:of )?(?P<what>.+)\Z", re.IGNORECASE)
_LAST = re.compile(rf"(?P<what>.+?),? (?P<amount>{_AMOUNT}(?:,? (?:and )?{_AMOUNT})*)\Z", re.IGNORECASE)
TAKING_RULE = later('Type it as in "2 pails fresh hull", "1 lb alder bark", "½ oz copperas" or "10 gallons water".')
_SYSTEM_UNITS = {spelling for unit in UNITS.values() if unit.system for spelling in unit.spellings}
_STATES = {"fresh": "fresh", "green": "fresh", "dry": "air-dry", "dried": "air-dry", "air-dry": "air-dry",
           "soaked": "soaked", "wet": "soaked"}
_WORDS = dict(zip(("one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "half"),
                  (*map(str, range(1, 11)), "1/2"), strict=True))
_HULLS = ("hull", "hulls", "husk", "husks", "shuck", "shucks")


@dataclass(frozen=True, slots=True)
class Taking:
    """One line of an old recipe: what was taken, and how much [kg or L].

    kind: stuff (a dye material), helper, water, or other; part, condition: of dye stuff; helper: the one it is.
    """

    text: str
    name: str
    kind: Literal["stuff", "helper", "water", "other"]
    amount: Range
    stuff: Material | None = None
    part: str = ""
    condition: str = "fresh"
    helper: Helper | None = None


def read_taking(text: str, *, gallons: Gallons = "", pail: float | None = None, key: str = "black-walnut",
                where: str = "take") -> Taking:
    """One line as typed; Refused with what is wrong and what to type.

    gallons: whose measures the book means, empty if the words themselves say so; pail: what one held [L];
    key: the material whose hull is meant where the text says hull alone.

    >>> taking = read_taking("½ oz copperas")
    >>> taking.kind, round(taking.amount.central * 1000, 3)
    ('helper', 14.175)
    """
    met = clean(text, where, longest=120, fix=tr(TAKING_RULE).rstrip("."))
    first, space, rest = met.partition(" ")
    counted = f"{_WORDS.get(first.casefold(), first)}{space}{rest}"
    found = _FIRST.match(counted) or _LAST.match(counted)
    if found is None:
        raise refuse(where, tr("{quoted} is not an amount of something", quoted=quoted(text)), TAKING_RULE)
    amount = _amount(found["amount"], gallons=gallons, pail=pail, where=where)
    what = " ".join(found["what"].split()).strip(" ,.")
    if what.casefold() in ("water", "soft water", "rain water", "rainwater"):
        if amount.unit != "L":
            amount = exact(amount.central, "L")  # a kilogram of water is a litre
        return Taking(met, tr("water"), "water", amount)
    stuff = _stuff(what, key)
    if stuff is not None:
        material, part, condition = stuff
        name = mid(material.said)
        name = name if part.said in name else f"{name}, {part.said}"
        return Taking(met, f"{name}, {CONDITIONS[condition].said}", "stuff", amount, material, part.key, condition)
    try:
        one = helper(what)
    except Refused as refused:
        if refused.problems[0].kind != "unknown":
            raise Refused([replace(problem, where=where) for problem in refused.problems]) from None
        return Taking(met, what, "other", amount)
    return Taking(met, tr(one.name), "helper", amount, helper=one)


def _amount(text: str, *, gallons: Gallons, pail: float | None, where: str) -> Range:
    plain = re.sub(r"\b(?:an?) ", "1 ", text.casefold().replace(" and ", " ").replace(",", " ")
                   if not re.search(r"[0-9],[0-9]", text) else text.casefold())
    *_, last = plain.rsplit(maxsplit=1)
    if last.rstrip(".") in PAILS:
        number = float(read_number(plain.removesuffix(last).strip(), where=where))
        if pail is None:
            raise refuse(where, tr("{quoted}: what a pail held is not told", quoted=quoted(text)),
                         tr("Say what a pail held, such as {example}.", example=show_round(12, "L")))
        if not number > 0:
            raise refuse(where, tr("{quoted} is nothing", quoted=quoted(text)), tr("Type how much was taken."))
        return exact(number * pail, "L", Reason(tr("a pail"), show_si(pail, "L"), "said"))
    system = re.search(r"\b(?:us|u\.s\.|imp|imperial|uk)\b", plain)
    bare = re.sub(r"[0-9½\u2153\u2154¼¾⅛⅜⅝⅞/., ]+", " ", plain).strip()
    if bare in _SYSTEM_UNITS and not system and not gallons:
        raise refuse(where, tr("{quoted} does not say whose measure it is", quoted=quoted(text)),
                     tr("Say --gallons us or --gallons imperial, or write it out, as in 10 imperial gallons."))
    kinds: tuple[Kind, Kind] = ("mass", "volume")
    for kind in kinds:
        try:
            measure = read_measure(plain, kind=kind, where=where,
                                   gallons=whose_gallons(gallons))
        except Refused:
            continue
        if not measure.si > 0:
            raise refuse(where, tr("{quoted} is nothing", quoted=quoted(text)), tr("Type how much was taken."))
        return exact(measure.si, "kg" if kind == "mass" else "L", Reason(tr("old recipe"), text, "said"))
    raise refuse(where, tr("{quoted} is no amount that is known here", quoted=quoted(text)), TAKING_RULE)


def _stuff(what: str, key: str) -> tuple[Material, Part, str] | None:
    words = what.casefold().replace("-", " ").split()
    condition = next((_STATES[word] for word in words if word in _STATES), "fresh")
    words = [word for word in words if word not in _STATES]
    if words and words[-1] in _HULLS:
        named = " ".join(words[:-1])
        material = _by_name(named) or (MATERIALS.get(key) if named in ("", "walnut") else None)
        part = "hull"
    else:
        material, part = _by_name(" ".join(words)), ""
        if material is None and words[-1:] in (["walnuts"], ["fruit"], ["fruits"]):
            material, part = MATERIALS.get(key), "whole-fruit"
    if material is None:
        return None
    parts = {one.key: one for one in material.parts}
    return (material, parts.get(part) or material.parts[-1], condition) if not part or part in parts else None


def _by_name(name: str) -> Material | None:
    plain = name.replace(" ", "-")
    for key, material in MATERIALS.items():
        if plain in (key, f"{key}s", material.name.casefold().replace(" ", "-")):
            return material
    return None
