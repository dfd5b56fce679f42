"""Reads numbers and amounts as people type them, or refuses them with what to type instead.

The rule for signs inside a number, the same everywhere: one comma or one point is the decimal sign,
whatever follows it, so both ``1.250 kg`` and ``1,250 kg`` are one and a quarter;
a number with two such signs is refused.
Thousands may be set off by spaces, in full groups of three: ``1 250``.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Mapping
from dataclasses import replace
from decimal import Context, Decimal
from difflib import get_close_matches
from types import MappingProxyType

from field_app.core.habits import person
from field_app.core.measures import UNITS, Kind, Measure, System, Unit, factor_si, offered
from field_app.core.problems import Refused, refuse
from field_app.core.showing import show_round
from field_app.words import later, tr

__all__ = ["clean", "quoted", "read_measure", "read_number"]

_LONGEST = 40
_SPACES = dict.fromkeys(map(ord, "\t\n\r\u00a0\u2002\u2003\u2007\u2009\u200a\u202f\u3000"), " ")
_SIGNS = {ord("−"): "-", ord("⁄"): "/", ord("٫"): "."}
_VULGAR = "½⅓⅔¼¾⅕⅖⅗⅘⅙⅚⅐⅛⅜⅝⅞⅑⅒"
_EXAMPLES = {"mass": ((14.2, "kg"), "1 lb 4 oz"), "volume": ((12.0, "L"), "3 gal"),
             "length": ((310.0, "m"), "5 ft 3 in"), "temperature": ((12.0, "degC"), "54 °F")}
_A_KIND: Mapping[Kind, str] = MappingProxyType({
    "mass": later("a mass"), "volume": later("a volume"), "length": later("a length"),
    "temperature": later("a temperature")})
_NUMBER_RULE = later("Type a number such as 14.2, 14,2, ½ or 1 1/2")
_NO_EXPONENT = later("Write the number out, as in 1200 or 0.05.")
_EXPONENT = re.compile(r"[0-9.,]e[+-]?[0-9]", re.IGNORECASE)
_WITH_VULGAR = re.compile(rf"(?:([0-9]+) *)?([{_VULGAR}])\Z")
_WITH_SLASH = re.compile(r"(?:([0-9]+) +)?([0-9]+) ?/ ?([0-9]+)\Z")
_GROUPED = re.compile(r"[1-9][0-9]{0,2}(?: [0-9]{3})+(?:[.,][0-9]+)?\Z")
_PLAIN = re.compile(r"(?:[0-9]+[.,]?[0-9]*|[.,][0-9]+)\Z")
_NUMERAL = f"0-9.,/{_VULGAR}"
# A point or hyphen belongs to a unit only inside or after a word: in "1 lb .5 oz" it belongs to the number.
_PART = re.compile(rf"(?P<number>[+-]? *[{_NUMERAL}][{_NUMERAL} ]*)"
                   rf"(?P<unit>[^{_NUMERAL}+\s-]"
                   rf"(?:[^{_NUMERAL}+-]|(?<=[^\W\d_])\.(?![0-9])|(?<=[^\W\d_])-(?=[^\W\d_]))*)?(?:, )?")
_WIDE = Context(prec=60)
#: Units that mean different amounts to different people, and what to type instead.
_UNCLEAR = {
    "ton": later("Type t for a tonne of 1000 kg, or give the pounds."),
    "tons": later("Type t for a tonne of 1000 kg, or give the pounds."),
    "gr": later("Type g for grams."),
    "#": later("Type lb for pounds."),
    "heaped bushel": later("Level it off and type bushel, or weigh it."),
    "barrel": later("Give litres or gallons."),
}


def quoted(text: str) -> str:
    """What was met, fit to stand in a message: cut at 40 signs, with invisible signs spelled out.

    >>> quoted("12 F")
    '“12 F”'
    """
    seen = "".join(sign if sign.isprintable() else f"\\u{ord(sign):04x}" for sign in text[:_LONGEST])
    return f"“{seen}{'…' if len(text) > _LONGEST else ''}”"


def clean(text: str, where: str, *, longest: int = _LONGEST, fix: str = _NUMBER_RULE) -> str:
    """The text in plain signs: no spaces around it, one kind of space, minus, fraction bar and digits.

    Refused if it is empty, overlong or holds what can't be seen.

    >>> clean(" 12\u202f500 ", "gross")
    '12 500'
    """
    text = text.translate(_SPACES).strip(" ")
    if len(text) > longest:
        raise refuse(where, tr("{quoted} has more than {longest} signs", quoted=quoted(text), longest=longest),
                     tr("{rule}, and nothing more.", rule=tr(fix)))
    if not text:
        raise refuse(where, tr("nothing was typed"), f"{tr(fix)}.")
    for sign in text:
        if not sign.isprintable():
            name = unicodedata.name(sign, tr("a control sign")).lower()
            raise refuse(where, tr("{quoted} holds an invisible sign ({name})", quoted=quoted(text), name=name),
                         tr("Type it again by hand."))
    digits = (unicodedata.decimal(sign, None) for sign in text)
    plain = (sign if digit is None else str(digit) for sign, digit in zip(text, digits, strict=True))
    return "".join(plain).translate(_SIGNS)


def read_number(text: str, *, where: str, negative: bool = False) -> Decimal:
    """A number as people type it [the unit of the field]; Refused with what to type instead.

    One comma or point is the decimal sign; two are refused; spaces may set off groups of three digits.
    A common fraction is rounded to nine decimals if it has no shorter exact value.
    negative: whether the field takes numbers below zero.

    >>> [str(read_number(text, where="fill")) for text in ("5,5", "1 ½", "3/4", "1 250", "1,250")]
    ['5.5', '1.5', '0.75', '1250', '1.250']
    """
    plain = clean(text, where)
    if _EXPONENT.search(plain):
        raise refuse(where, tr("{quoted} is written with an exponent", quoted=quoted(text)), _NO_EXPONENT)
    number = _unsigned(plain[1:].strip() if plain[0] in "+-" else plain, text, where)
    below_zero = plain.startswith("-") and number != 0
    if below_zero and not negative:
        raise refuse(where, tr("{quoted} is below zero", quoted=quoted(text)), tr("Type a number of zero or more."))
    if number >= 10**12 or len(f"{number:f}".partition(".")[2]) > 12:
        raise refuse(where, tr("{quoted} has more digits than can be meant", quoted=quoted(text)),
                     tr("Use at most 12 digits before the decimal sign and 12 after it."))
    return -number if below_zero else number


def _unsigned(body: str, text: str, where: str) -> Decimal:
    if common := _WITH_SLASH.match(body) or _WITH_VULGAR.match(body):
        return _fraction(common[1], common[0][len(common[1] or ""):], text, where)
    if _PLAIN.match(body) or _GROUPED.match(body):
        plain = body.replace(" ", "").replace(",", ".").rstrip(".")
        whole, point, decimals = plain.partition(".")
        return Decimal(f"{whole.lstrip('0') or '0'}{point}{decimals}")
    if re.fullmatch(r"[0-9 ]*(?:[.,][0-9 ]*){2,}", body):
        what = tr("{quoted} has more than one comma or point, and either could be the decimal sign",
                  quoted=quoted(text))
        raise refuse(where, what, tr("Type one decimal sign alone, as in 1250,5 or 1250.5."))
    if re.fullmatch(r"[0-9]+(?: +[0-9]+)+(?:[.,][0-9]*)?", body):
        raise refuse(where, tr("{quoted} has spaces between digits that are not groups of three", quoted=quoted(text)),
                     tr("Type one number without spaces, as in 1250."))
    raise refuse(where, tr("{quoted} is not a number", quoted=quoted(text)), f"{tr(_NUMBER_RULE)}.")


def _fraction(whole: str | None, part: str, text: str, where: str) -> Decimal:
    spelled = unicodedata.normalize("NFKD", part).translate(_SIGNS)
    above, below = (int(digits) for digits in spelled.split("/"))
    if below == 0 or (whole is not None and above >= below):
        raise refuse(where, tr("{quoted} is not a fraction", quoted=quoted(text)), tr("Type it as in 1/2 or 1 3/4."))
    share = _WIDE.divide(Decimal(above), Decimal(below)).quantize(Decimal("1e-9"), context=_WIDE)
    return _WIDE.add(Decimal(whole or 0), share.normalize(_WIDE))


def _units_by_spelling() -> dict[tuple[str, System | None], Unit]:
    found: dict[tuple[str, System | None], Unit] = {}
    for unit in UNITS.values():
        found[_unit_text(unit.key), None] = found[_unit_text(unit.label), None] = unit
        for spelling in unit.spellings:
            found[spelling, unit.system] = unit
            for name in {"us": ("us",), "imp": ("imp", "imperial", "uk")}.get(unit.system or "", ()):
                found[f"{name} {spelling}", None] = found[f"{spelling} {name}", None] = unit
    return found


def _unit_text(text: str) -> str:
    loose = re.sub(r"[-()\[\] ]+", " ", text.casefold().replace(".", "").replace("º", "°").replace("° ", "°"))
    return loose.replace("℃", "°c").replace("℉", "°f").strip()


_BY_SPELLING = _units_by_spelling()


def _example(kind: Kind) -> str:
    own, other = _EXAMPLES[kind]
    return tr("{one} or {other}", one=show_round(*own), other=other)


def _read_unit(text: str, met: str, *, kind: Kind, where: str, gallons: System) -> Unit:
    name = _unit_text(text)
    unit = _BY_SPELLING.get((name, None)) or _BY_SPELLING.get((name, gallons))
    if unit is not None and unit.kind == kind:
        return unit
    choose = tr("Type one of {units}, as in {example}.", units=", ".join(UNITS[key].label for key in offered(kind)),
                example=_example(kind))
    if unit is not None:
        if unit.key == "oz" and kind == "volume":
            choose = tr("Type fl oz for fluid ounces, or give litres.")
        raise refuse(where, tr("{quoted} is {kind} in {unit}, but {wanted} is needed", quoted=quoted(met),
                               kind=tr(_A_KIND[unit.kind]), unit=unit.label, wanted=tr(_A_KIND[kind])), choose)
    if name in _UNCLEAR:
        what = tr("{unit} in {quoted} means different amounts to different people", unit=quoted(text),
                  quoted=quoted(met))
        raise refuse(where, what, _UNCLEAR[name])
    known = [spelling for (spelling, _), unit in _BY_SPELLING.items() if unit.kind == kind]
    near = get_close_matches(name, known, 1)
    hint = [tr("Did you mean {close}?", close=near[0])] if near else []
    raise refuse(where, tr("{unit} in {quoted} is not a unit known here", unit=quoted(text), quoted=quoted(met)),
                 " ".join((choose, *hint)))


def whose_gallons(told: str) -> System:
    """Whose gallon, quart and bushel is meant: "us" or "imperial" as told, and the person's own if nothing is.

    >>> whose_gallons("imperial"), whose_gallons("")
    ('imp', 'us')
    """
    systems: dict[str, System] = {"imperial": "imp", "us": "us"}
    return systems.get(told) or person().gallons


def read_measure(text: str, *, kind: Kind, where: str, default_unit: str | None = None,
                 gallons: System | None = None) -> Measure:
    """An amount as people type it [its unit]; Refused with what to type instead.

    kind: what is asked for; a unit of another kind is refused.
    default_unit: the unit of a bare number; without one a bare number is refused.
    gallons: whose gallon, quart, pint, fluid ounce, bushel and peck is meant where the text doesn't say;
    the person's own, if left out.
    Units in a row, each a whole number of the next, are added up in the last one: ``1 lb 4 oz`` is 20 oz.

    >>> read_measure("5,5 kg", kind="mass", where="gross")
    Measure(value='5.5', unit='kg', typed='5,5 kg')
    >>> read_measure("1 lb 4 oz", kind="mass", where="gross")
    Measure(value='20', unit='oz', typed='1 lb 4 oz')
    >>> read_measure("3 gal", kind="volume", where="pail", gallons="imp").unit
    'gal-imp'
    """
    met = clean(text, where)
    if _EXPONENT.search(met):
        raise refuse(where, tr("{quoted} is written with an exponent", quoted=quoted(text)), _NO_EXPONENT)
    parts = _parts(met, where=where, kind=kind)
    units, numbers = [], []
    for number, unit_text in parts:
        chosen = unit_text or (default_unit if len(parts) == 1 else None)
        if not chosen:
            what = (tr("{quoted} has no unit", quoted=quoted(met)) if len(parts) == 1
                    else tr("{number} in {quoted} has no unit", number=quoted(number), quoted=quoted(met)))
            raise refuse(where, what, tr("Type it with its unit, as in {example}.", example=_example(kind)))
        units.append(_read_unit(chosen, met, kind=kind, where=where, gallons=gallons or person().gallons))
        numbers.append(read_number(number, where=where, negative=True))
    if numbers[0] < 0 and kind != "temperature":
        raise refuse(where, tr("{quoted} is below zero", quoted=quoted(met)),
                     tr("Type {kind} of zero or more.", kind=tr(_A_KIND[kind])))
    value, unit = f"{_add_up(numbers, units, met, where):f}", units[-1]
    typed = text.translate(_SPACES).strip(" ")
    try:
        return Measure(value, unit.key, "" if typed in (f"{value} {unit.label}", value) else typed)
    except Refused as refused:
        raise Refused(replace(problem, where=where) for problem in refused.problems) from None


def _parts(met: str, *, where: str, kind: Kind) -> list[tuple[str, str | None]]:
    parts: list[tuple[str, str | None]] = []
    at = 0
    while at < len(met):
        part = _PART.match(met, at)
        if part is None or (parts and part["number"][0] in "+-.,/"):
            raise refuse(where, tr("{quoted} is no number with a unit", quoted=quoted(met)),
                         tr("Type it as in {example}.", example=_example(kind)))
        parts.append((part["number"].strip(), part["unit"]))
        at = part.end()
    return parts


def _add_up(numbers: list[Decimal], units: list[Unit], met: str, where: str) -> Decimal:
    total = numbers[0]
    for number, larger, unit in zip(numbers[1:], units, units[1:], strict=False):
        if larger.kind == "temperature":
            raise refuse(where, tr("{quoted} gives two temperatures", quoted=quoted(met)),
                         tr("Type one, as in {example}.", example=show_round(12, "degC")))
        ratio = _WIDE.divide(factor_si(larger.key), factor_si(unit.key))
        if ratio <= 1 or ratio % 1:
            what = tr("{quoted} adds {larger} and {unit}, which don't make one amount", quoted=quoted(met),
                      larger=larger.label, unit=unit.label)
            raise refuse(where, what, tr("Give it in {unit} alone, or as in 1 lb 4 oz.", unit=unit.label))
        if total % 1 or not 0 <= number < ratio:
            what = tr("{quoted} is not whole {larger} and a rest in {unit}", quoted=quoted(met), larger=larger.label,
                      unit=unit.label)
            raise refuse(where, what, tr("Give it in {unit} alone, or with less than {ratio:f} {unit}.", ratio=ratio,
                                         unit=unit.label))
        total = total * int(ratio) + number
    return total
