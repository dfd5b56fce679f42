"""Reads cloth as people type it: "wool 3 kg", "cotton 3 m2 120 g/m2", "silk 2 yd 45 in 8 momme", "2 shirts linen".

The law of this file:

1. A text is words and amounts in any order; every word and every amount must be understood, or it is refused.
2. One fibre, and one way to say how much: a mass, an area, or pieces. Two lengths in a row are length and width.
3. A mass beside pieces is of one piece and needs the word "each".
4. A refusal names what was met and what to type; all of a list is read, so that all faults are told at once.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from difflib import get_close_matches
from typing import get_args

from field_app.core.cloth_german import CONDITIONS_DE, EACH_DE, FIBRES_DE, IDLE_DE, PIECES_DE, WEAVES_DE
from field_app.core.cloths import ClothItem, Condition, by_area, by_pieces, weighed
from field_app.core.fibres import FIBRES, MOMME, OZ_PER_YD2, PIECES, WEAVES
from field_app.core.habits import habits
from field_app.core.problems import Problem, Refused, refuse
from field_app.core.reading import clean, quoted
from field_app.core.units import read_measure, read_number, show_round, show_si, show_value
from field_app.words import either, later, listed, tr

__all__ = ["CLOTH_EXAMPLES", "cloth_example", "cloth_examples", "read_cloth", "read_cloths"]

#: How to type cloth, for help and messages.
CLOTH_EXAMPLES = (later("wool 3 kg"), later("cotton 3 m2 120 g/m2"), later("silk 2 yd 45 in 8 momme"),
                  later("2 shirts linen"))
_IN_POUNDS = (later("wool 6 lb"), later("cotton 3 yd 45 in 4 oz/yd2"), *CLOTH_EXAMPLES[2:])
_LONGEST = 120
#: Above these, a slip of the finger or of the unit is more likely than the cloth.
_MOST_KG, _MOST_M2, _MOST_PIECES, _MOST_DENSITY, _MOST_WIDE = 1000.0, 5000.0, 1000, 3000.0, 10.0

_NUMBER = r"(?:[0-9]+ )?[0-9]+ ?/ ?[0-9]+(?![0-9])|[0-9]* ?[½\u2153\u2154¼¾⅛⅜⅝⅞]|[0-9]+(?:[.,][0-9]+)?|[.,][0-9]+"
_SQUARE = r"(?:\^?2|²)"  # without a space before it: "3 m 2 m" is length and width
_DENSITY = {
    "g": rf"g ?/ ?m{_SQUARE}|gsm|g ?(?:per|/) ?(?:sq\.? ?m|square met(?:re|er))",
    "oz": rf"oz ?/ ?yd{_SQUARE}|(?:oz|ounces?) ?(?:per|/) ?(?:sq\.? ?y(?:d|ard)s?|square yards?)|osy",
    "momme": "mommes?",
}
_AREA = {
    1.0: rf"m{_SQUARE}|sq\.? ?m(?:et(?:re|er)s?)?|square met(?:re|er)s?",
    0.83612736: rf"yd{_SQUARE}|sq\.? ?y(?:d|ard)s?|square yards?",
    0.09290304: rf"ft{_SQUARE}|sq\.? ?(?:ft|feet)|square f(?:oo|ee)t",
}
_MASS = ("kgs?|kilos?|kilogram(?:s|m)?|gram(?:s|m|mes?)?|g|lbs?|pounds?|ozs?|ounces?|stones?|st")
_LENGTH = r"met(?:re|er)s?|m|(?:c|z)entimet(?:re|er)s?|cm|yards?|yds?|inch(?:es)?|in|feet|foot|ft"
_UNITS = "|".join((
    *(f"(?P<density_{name}>{text})" for name, text in _DENSITY.items()),
    *(f"(?P<area_{place}>{text})" for place, text in enumerate(_AREA.values())),
    f"(?P<mass>{_MASS})", f"(?P<length>{_LENGTH})", "(?P<percent>%|percent|per cent|prozent)"))
_TOKEN = re.compile(rf"(?P<number>{_NUMBER}) ?(?:(?:{_UNITS})(?![^\W\d_])\.?)?|(?P<word>[^\W\d_]+(?:-[^\W\d_]+)*)"
                    rf"|(?P<sign>[×,;])", re.IGNORECASE)
_IDLE = IDLE_DE | frozenset(("of", "x", "×", ",", ";", "by", "wide", "long", "cloth", "yarn", "fabric", "and", "at",
                             "a", "an", "weighed", "scoured", "water", "the"))
_CONDITIONS = {"dry": "air-dry", "air-dry": "air-dry", "airdry": "air-dry", "bone-dry": "bone-dry",
               "oven-dry": "bone-dry", "damp": "damp", "wet": "damp", "moist": "damp", "raw": "raw", "greasy": "raw",
               "fleece": "raw", "unscoured": "raw", **CONDITIONS_DE}


def _spelled(rows: Iterable[tuple[str, tuple[str, ...]]], german: Mapping[str, tuple[str, ...]]) -> dict[str, str]:
    return {spelling.casefold(): key for key, spellings in rows for spelling in (key, *spellings, *german[key])}


_FIBRE = _spelled(((key, row.spellings) for key, row in FIBRES.items()), FIBRES_DE)
_PIECE = _spelled(((key, row.spellings) for key, row in PIECES.items()), PIECES_DE)
_WEAVE = _spelled(((key, row.spellings) for key, row in WEAVES.items()), WEAVES_DE)
_GERMAN = frozenset(word for rows in (FIBRES_DE, PIECES_DE, WEAVES_DE) for words in rows.values() for word in words
                    ).union(CONDITIONS_DE)
_WORDS = tuple(word for word in (*_FIBRE, *_PIECE, *_WEAVE, *_CONDITIONS, "each") if word not in _GERMAN)


@dataclass(slots=True)
class _Met:
    """What was found in one text."""

    text: str
    where: str
    fibres: list[str] = field(default_factory=list)
    pieces: list[str] = field(default_factory=list)
    weaves: list[str] = field(default_factory=list)
    conditions: list[str] = field(default_factory=list)
    masses: list[str] = field(default_factory=list)
    lengths: list[float] = field(default_factory=list)
    areas: list[float] = field(default_factory=list)
    densities: list[float] = field(default_factory=list)
    percents: list[float] = field(default_factory=list)
    counts: list[str] = field(default_factory=list)
    each: bool = False

    def wrong(self, what: str, fix: str = "") -> Refused:
        return refuse(self.where, f"{quoted(self.text)} {what}", fix or f"{_rule()}.")

    def one(self, found: list[str], fix: str) -> str:
        chosen = list(dict.fromkeys(found))
        if len(chosen) > 1:
            raise self.wrong(tr("names {several}", several=listed(list(map(tr, chosen)))), tr(fix))
        return chosen[0] if chosen else ""


def cloth_examples() -> tuple[str, ...]:
    """How to type cloth, in the person's measures."""
    return tuple(map(tr, CLOTH_EXAMPLES if habits().measures == "metric" else _IN_POUNDS))


def _rule() -> str:
    return tr("Type it as in {examples}", examples=either(cloth_examples()))


def cloth_example(fibre: str, mass: float) -> str:
    """How to type so much of a fibre [kg], in the person's measures.

    >>> cloth_example("wool", 3.0)
    'wool 3 kg'
    """
    return f"{tr(fibre)} {show_round(mass, 'kg')}"


def read_cloth(text: str, *, where: str = "cloth") -> ClothItem:
    """One item of cloth as typed; Refused with what is wrong and what to type.

    >>> [round(read_cloth(text).mass.central, 3) for text in CLOTH_EXAMPLES]
    [3.0, 0.36, 0.073, 0.48]
    """
    met = _meet(clean(text, where, longest=_LONGEST, fix=_rule()), where)
    fibre = met.one(met.fibres, later("Give each fibre by itself."))
    if not fibre:
        raise met.wrong(tr("does not say which fibre"),
                        tr("Name one of: {choices}.", choices=", ".join(row.name for row in FIBRES.values())))
    ways = [bool(met.areas or met.lengths), bool(met.pieces or met.counts), bool(met.masses) and not met.each]
    if ways == [False, True, True]:
        raise met.wrong(tr("gives pieces and a mass"),
                        tr("Say each after the mass of one piece, or leave the pieces out."))
    if sum(ways) > 1:
        raise met.wrong(tr("says in two ways how much"), tr("Give a mass, an area, or pieces, and only one of them."))
    if not any(ways):
        raise met.wrong(tr("does not say how much"))
    item = (_area, _pieces, _weighed)[ways.index(True)](met, fibre)
    if not 0 < item.mass.central <= _MOST_KG:
        raise met.wrong(tr("comes to {amount}", amount=show_si(item.mass.central, "kg")),
                        tr("Check the unit and the figure."))
    return item


def read_cloths(texts: Iterable[str], *, where: str = "cloth") -> tuple[ClothItem, ...]:
    """Several items; a text may hold several, parted by semicolons or line breaks. Refused with all faults at once.

    >>> [item.fibre for item in read_cloths(["wool 2 kg", "silk 1 kg; linen 500 g"])]
    ['wool', 'silk', 'linen']
    """
    items: list[ClothItem] = []
    problems: list[Problem] = []
    lines = [line.strip() for text in texts for line in re.split(r"[;\n]", text) if line.strip()]
    for place, line in enumerate(lines, 1):
        try:
            items.append(read_cloth(line, where=where if len(lines) == 1 else f"{where} {place}"))
        except Refused as refused:
            problems.extend(refused.problems)
    if problems:
        raise Refused(problems)
    if not items:
        raise refuse(where, tr("no cloth was given"), f"{_rule()}.")
    return tuple(items)


def _meet(text: str, where: str) -> _Met:
    met, at = _Met(text, where), 0
    while at < len(text):
        token = _TOKEN.match(text, at)
        if token is None:
            if text[at] == " ":
                at += 1
                continue
            raise met.wrong(tr("has {quoted}, which is not understood", quoted=quoted(text[at:])))
        at = token.end()
        if token["word"]:
            _meet_word(met, token["word"].casefold())
        elif token["number"]:
            _meet_amount(met, token)
    return met


def _meet_word(met: _Met, word: str) -> None:
    if word in _FIBRE:
        met.fibres.append(_FIBRE[word])
    elif word in _PIECE:
        met.pieces.append(_PIECE[word])
    elif word in _WEAVE:
        met.weaves.append(_WEAVE[word])
    elif word in _CONDITIONS:
        met.conditions.append(_CONDITIONS[word])
    elif word == "each" or word in EACH_DE:
        met.each = True
    elif word == "bone":
        met.conditions.append("bone-dry")
    elif word != "air" and word not in _IDLE:
        # What is offered is in the language that is spoken, though others are read too.
        said = (tr(key).casefold() for key in (*FIBRES, *PIECES, *WEAVES))
        near = get_close_matches(word, (*said, *_WORDS), 1)
        raise met.wrong(tr("has the word {quoted}, which is not known here", quoted=quoted(word)),
                        tr("Did you mean {close}?", close=near[0]) if near else "")


def _meet_amount(met: _Met, token: re.Match[str]) -> None:
    groups = {name: found for name, found in token.groupdict().items() if found and name != "number"}
    if not groups:
        met.counts.append(token["number"])
        return
    (name, unit), = groups.items()
    if name == "mass":
        met.masses.append(f"{token['number']} {unit}")
        return
    value = float(read_number(token["number"], where=met.where))
    if name == "length":
        met.lengths.append(read_measure(f"{token['number']} {unit}", kind="length", where=met.where).si)
    elif name == "percent":
        met.percents.append(value / 100)
    elif name.startswith("area"):
        met.areas.append(value * list(_AREA)[int(name[-1])])
    else:
        met.densities.append(value * {"g": 1.0, "oz": OZ_PER_YD2, "momme": MOMME}[name.removeprefix("density_")])


def _mass(met: _Met) -> float:
    return float(read_measure(" ".join(met.masses), kind="mass", where=met.where).si)


_UNFIT = {
    "a_weight_per_area": later("gives a weight per area, which has no meaning here"),
    "the_word_each": later("gives the word each, which has no meaning here"),
    "a_share_in_per_cent": later("gives a share in per cent, which has no meaning here"),
    "pieces": later("gives pieces, which has no meaning here"),
    "a_condition": later("gives a condition, which has no meaning here")}


def _leftover(met: _Met, **unfit: object) -> None:
    for what, found in unfit.items():
        if found:
            raise met.wrong(tr(_UNFIT[what]), tr("Leave it out, or say how much in one way."))


def _weighed(met: _Met, fibre: str) -> ClothItem:
    _leftover(met, a_weight_per_area=met.densities, the_word_each=met.each)
    state = met.one(["bone-dry" if state == "air-dry" and "bone-dry" in met.conditions else state
                     for state in met.conditions], later("Give each condition by itself.")) or "air-dry"
    share = met.percents[0] if met.percents else None
    if len(met.percents) > 1 or (share is not None and state not in ("damp", "raw")):
        raise met.wrong(tr("gives a share in per cent that has no meaning here"),
                        tr("Give one for damp cloth (its water) or raw wool (its loss), and none else."))
    if share is not None and not 0 < share < 1:
        raise met.wrong(tr("gives a share that can't be"), tr("Type one between 0 and 100 %."))
    if state == "damp" and share is None:
        raise met.wrong(tr("is damp, but not by how much"),
                        tr("Say how much of its weight is water, as in wool 4 kg damp 25 %, or let it dry in the air."))
    if state == "raw" and fibre != "wool":
        raise met.wrong(tr("is raw, which is known of wool alone"), tr("Scour it, and weigh it air-dry."))
    condition: Condition = next(one for one in get_args(Condition) if one == state)
    return weighed(fibre, _mass(met), met.text, condition, share)


def _area(met: _Met, fibre: str) -> ClothItem:
    _leftover(met, a_share_in_per_cent=met.percents, the_word_each=met.each, pieces=met.pieces,
              a_condition=[state for state in met.conditions if state != "air-dry"])
    if (met.areas and met.lengths) or len(met.areas) > 1 or len(met.lengths) > 2:
        raise met.wrong(tr("gives its size more than once"), tr("Give length and width, or an area."))
    if len(met.lengths) == 1:
        raise met.wrong(tr("has a length and no width"), tr("Add the width, as in silk 2 yd 45 in 8 momme."))
    if met.lengths and not 0 < min(met.lengths) <= _MOST_WIDE:
        raise met.wrong(tr("has a width of {amount}", amount=show_si(min(met.lengths), "m")),
                        tr("Check length and width."))
    area = met.areas[0] if met.areas else met.lengths[0] * met.lengths[1]
    if not 0 < area <= _MOST_M2:
        raise met.wrong(tr("comes to {amount}", amount=show_value(area, "m²")), tr("Check the unit and the figure."))
    weave = met.one(met.weaves, later("Give each kind of cloth by itself."))
    if weave and WEAVES[weave].fibre not in ("", fibre):
        raise met.wrong(tr("is {weave} of {fibre}, and the table knows it of {other} alone", weave=WEAVES[weave].said,
                           fibre=FIBRES[fibre].name, other=FIBRES[WEAVES[weave].fibre].name),
                        tr("Give its weight, as in 240 g/m2."))
    if len(met.densities) > 1:
        raise met.wrong(tr("gives its weight per area twice"), tr("Give it once."))
    if met.densities and not 5 <= met.densities[0] <= _MOST_DENSITY:
        raise met.wrong(tr("weighs {amount}", amount=show_value(met.densities[0], "g/m²")),
                        tr("Check the unit and the figure."))
    if not met.densities and not weave:
        raise met.wrong(tr("has an area, but not what a square metre weighs"),
                        tr("Add it in g/m2, oz/yd2 or momme, or name the kind of cloth: {choices}.",
                           choices=", ".join(row.said for row in WEAVES.values())))
    return by_area(fibre, area, met.text, met.densities[0] if met.densities else None, weave)


def _pieces(met: _Met, fibre: str) -> ClothItem:
    _leftover(met, a_share_in_per_cent=met.percents, a_weight_per_area=met.densities,
              a_condition=[state for state in met.conditions if state != "air-dry"])
    piece = met.one(met.pieces, later("Give each kind of piece by itself."))
    if not piece:
        raise met.wrong(tr("has a number without a unit"),
                        tr("Add a unit, or the piece: {choices}.",
                           choices=", ".join(row.said for row in PIECES.values())))
    if len(met.counts) > 1:
        raise met.wrong(tr("counts twice"), tr("Give one number of pieces."))
    count = read_number(met.counts[0] if met.counts else "1", where=met.where)
    if count != count.to_integral_value() or not 0 < count <= _MOST_PIECES:
        raise met.wrong(tr("counts {count} pieces", count=count),
                        tr("Type a whole number from 1 to {most}.", most=_MOST_PIECES))
    if met.each and not met.masses:
        raise met.wrong(tr("says each without a mass"), tr("Type what each weighs, as in 3 skeins wool 100 g each."))
    return by_pieces(fibre, int(count), met.text, piece, _mass(met) if met.masses else None)


