"""Reads a position in every usual spelling, and refuses whatever could be read in two ways.

Besides the standards' spellings these are two angles, latitude first unless letters or the words lat and lon
say otherwise: ``44.01234, -28.00567``, ``44°0′44.4″ N 28°0′20.4″ W``, ``N 44 0.74 W 28 0.34``. The rules:

* a sign and a letter N, S, E, W never go together, and either both angles have a letter or none has;
* the letters stand all before or all behind; without letters a sign before the degrees tells south and west;
* degrees with minutes need marks or letters; only the last number of an angle has decimals;
* a comma between two digits is a decimal sign or sets the angles apart: whichever of the two gives a position.
"""

from __future__ import annotations

import re
from dataclasses import replace

from field_app.core.geodesy import Fix, Position
from field_app.core.habits import habits
from field_app.core.position_standards import EXAMPLES, Unreadable, read_geo_uri, read_iso_6709, sexagesimal
from field_app.core.problems import Refused, refuse
from field_app.core.reading import clean, quoted
from field_app.core.units import to_unit
from field_app.words import tr

__all__ = ["read_position", "show_distance", "show_position"]

_LONGEST = 160
_PRIMES = str.maketrans({**dict.fromkeys("º˚", "°"), **dict.fromkeys("′’‘ʹ´`ʼ", "'"),
                         **dict.fromkeys("″”“ʺ˝‟", '"')})
#: What is spelled out, and the plain sign for it, in this order: "s" is a second only behind minutes.
_SPELLED = tuple((re.compile(pattern), plain) for pattern, plain in (
    (r"(?i)\b(n)orth\b|\b(s)outh\b|\b(e)ast\b|\b(w)est\b", r"\1\2\3\4"),
    (r"(?i)(?<=[0-9]) ?(?:degrees?|deg|d)(?![a-z])", "°"),
    (r"(?i)(?<=[0-9]) ?(?:minutes?|min|m)(?![a-z])", "'"),
    (r"(?i)(?<=[0-9]) ?(?:seconds?|sec)(?![a-z])|''", '"'),
    (r"(' ?[0-9]+(?:[.,][0-9]+)?) ?s(?![A-Za-z])", r'\1"'),
    (r" ?([°'\"]) ?", r"\1 "),
    (r" +", " "),
))
_INNER_COMMA = re.compile(r"(?<=[0-9]),(?=[0-9])")
_LABEL = r"(lat|lon|lng)(?:gitude|itude|g)? ?[:=]? ?"
_LABELLED = re.compile(rf"{_LABEL}(.+?)[ ,;/]*\b{_LABEL}(.+)\Z", re.IGNORECASE)
_PIECE = "([^NSEW,;/]+?)"
_BETWEEN = r" ?[,;/]? ?"
_LETTERS_BEHIND = re.compile(rf"{_PIECE} ?([NSEW]){_BETWEEN}{_PIECE} ?([NSEW])\Z")
_LETTERS_BEFORE = re.compile(rf"([NSEW]) ?{_PIECE}{_BETWEEN}([NSEW]) ?{_PIECE}\Z")
_SET_APART = re.compile(rf"{_PIECE} ?[,;/] ?{_PIECE}\Z")
_LETTER_AT_AN_END = re.compile(rf"([NSEW]?) ?{_PIECE} ?([NSEW]?)\Z")
_NUMBER = r"([0-9]+(?:\.[0-9]+)?)"
_ANGLE = re.compile(rf"([+-]?){_NUMBER}(°?)(?: {_NUMBER}('?)(?: {_NUMBER}(\"?))?)?\Z")

#: A piece of text that should be an angle, and the letter of its hemisphere ("" if none).
_Piece = tuple[str, str]


def read_position(text: str, *, where: str = "position") -> Fix:
    """A position as people type or paste it; Refused, with what to type instead, if it isn't one in just one way.

    where: the field, for the message. An accuracy [m] is known only from a geo URI.

    >>> read_position("48,2010 16,3695").position
    Position(lat=48.201, lon=16.3695)
    >>> read_position("geo:44.01234,-28.00567;u=12")
    Fix(position=Position(lat=44.01234, lon=-28.00567), source='pasted', accuracy_m=12.0, meaning='unknown')
    """
    # An invisible mark of direction clings to what is copied from some maps.
    met = clean(text.strip("\u200e\ufeff"), where, longest=_LONGEST, fix=EXAMPLES)
    try:
        standard = read_geo_uri(met) or read_iso_6709(met)
        return standard or Fix(Position(*_read_pair(met)), "typed")
    except Unreadable as reason:
        raise refuse(where, f"{quoted(met)} {reason.what}", reason.fix) from None
    except Refused as refused:
        raise Refused(replace(problem, where=where,
                              what=tr("in {quoted} {problem}", quoted=quoted(met), problem=problem.what))
                      for problem in refused.problems) from None


def _read_pair(met: str) -> tuple[float, float]:
    """Latitude and longitude [deg], not yet checked for their range."""
    text = met.translate(_PRIMES)
    for pattern, plain in _SPELLED:
        text = pattern.sub(plain, text)
    text = re.sub(r"(?<![A-Za-z])[nsew](?![A-Za-z])", lambda letter: letter[0].upper(), text).strip()
    if re.search(r"(?<![A-Za-z])[oO](?![A-Za-z])", text):
        raise Unreadable(tr("has the letter O, which is east in one language and west in another"), tr("Type E or W."))
    if re.fullmatch(r"[+-]?[0-9]+,[0-9]+", text):
        raise Unreadable(tr("is one number with a decimal comma, or two whole degrees"),
                         tr("Type both numbers with decimals, or whole degrees with a space after the comma."))
    apart = _INNER_COMMA.sub(", ", text)
    if apart == text or "." in text:
        return _read_one_way(apart)
    try:
        return _read_one_way(_INNER_COMMA.sub(".", text), decimal_comma=True)
    except Unreadable as reason:
        # Never do both ways give a position: apart, the one comma stands between angles without letters,
        # and there a decimal comma must be in both.
        try:
            return _read_one_way(apart)
        except Unreadable:
            raise reason from None


def _read_one_way(text: str, *, decimal_comma: bool = False) -> tuple[float, float]:
    labelled = _LABELLED.match(text)
    pieces = (_one_piece(labelled[2]), _one_piece(labelled[4])) if labelled else _two_pieces(text)
    letters = [letter for _, letter in pieces]
    if bool(letters[0]) != bool(letters[1]):
        raise Unreadable(tr("has a letter N, S, E or W for one angle only"), tr("Give both angles a letter, or none."))
    by_letter = ["lat" if letter in "NS" else "lon" for letter in letters]
    axes = by_letter if letters[0] else ["lat", "lon"]
    if labelled:
        axes = ["lat" if labelled[group].lower() == "lat" else "lon" for group in (1, 3)]
        if letters[0] and axes != by_letter:
            raise Unreadable(tr("has a letter that doesn't fit the word"), tr("Leave out the letters or the words."))
    if axes[0] == axes[1]:
        raise Unreadable(tr("gives the same kind of angle twice"), tr("Give one latitude and one longitude."))
    if decimal_comma and not letters[0] and not all("." in piece for piece, _ in pieces):
        raise Unreadable(tr("has a decimal comma in one angle only"), tr("Give both angles decimals."))
    degrees = dict(zip(axes, (_angle(*piece) for piece in pieces), strict=True))
    return degrees["lat"], degrees["lon"]


def _one_piece(text: str) -> _Piece:
    found = _LETTER_AT_AN_END.match(text.strip())
    if found is None or (found[1] and found[3]):
        raise Unreadable(tr("is not two angles"))
    return found[2], found[1] or found[3]


def _two_pieces(text: str) -> tuple[_Piece, _Piece]:
    if found := _LETTERS_BEHIND.match(text):
        return (found[1], found[2]), (found[3], found[4])
    if found := _LETTERS_BEFORE.match(text):
        return (found[2], found[1]), (found[4], found[3])
    if found := re.search("[NSEW]", text):
        if len(re.findall("[NSEW]", text)) == 1:
            raise Unreadable(tr("has a letter N, S, E or W for one angle only"),
                             tr("Give both angles a letter, or none."))
        raise Unreadable(tr("is not two angles with a letter each"))
    if found := _SET_APART.match(text):
        return (found[1], ""), (found[2], "")
    # Nothing but space sets the angles apart: then both must be written alike.
    words = text.split(" ")
    half = len(words) // 2
    if len(words) != 2 * half or not half:
        raise Unreadable(tr("is not two angles"))
    return (" ".join(words[:half]), ""), (" ".join(words[half:]), "")


def _angle(piece: str, letter: str) -> float:
    """The angle of a piece of text [deg], negative to the south and west."""
    found = _ANGLE.match(piece.strip())
    if found is None:
        raise Unreadable(tr("is not two angles") if not letter else tr("is not two angles with a letter each"))
    sign, degrees, degree_mark, minutes, minute_mark, seconds, second_mark = found.groups()
    texts = [number for number in (degrees, minutes, seconds) if number]
    if sign and letter:
        raise Unreadable(tr("has a sign and a letter for one angle"), tr("Leave out the sign, or both letters."))
    if any("." in number for number in texts[:-1]):
        raise Unreadable(tr("has decimals in a number that a smaller part follows"),
                         tr("Put decimals on the last only."))
    if len(texts) > 1 and not (letter or degree_mark or minute_mark or second_mark):
        raise Unreadable(tr("has more than two numbers, and nothing that tells degrees from minutes"),
                         tr("Add marks or letters, as in 44°0.74′ N 28°0.34′ W."))
    return sexagesimal(texts, below_zero=sign == "-" or letter in ("S", "W"))


def show_position(p: Position, places: int = 5) -> str:
    """A position with letters and that many decimals [places, 0 to 6]; it is read back as it is shown.

    >>> show_position(Position(44.01234, -28.00567))
    '44.01234 N, 28.00567 W'
    """
    if not 0 <= places <= 6:
        raise ValueError(f"a position is shown with 0 to 6 decimals, not {places}")
    north, east = "N" if round(p.lat, places) >= 0 else "S", "E" if round(p.lon, places) >= 0 else "W"
    return f"{abs(p.lat):.{places}f} {north}, {abs(p.lon):.{places}f} {east}"


def show_distance(m: float, *, decimal: str = "") -> str:
    """A distance [m] as one would say it, in metres or yards; ValueError if it is not a finite number of zero or more.

    >>> [show_distance(m) for m in (7.4, 312, 1234, 15800)]
    ['7 m', '310 m', '1.2 km', '16 km']
    """
    if not 0 <= m < float("inf"):
        raise ValueError(f"{m} m is not a distance")
    if habits().measures == "metric":
        return _distance(m, 1000.0, ("m", "km"), 99.5, 995.0, decimal)
    # A hundred yards and a hundred metres are told equally finely.
    return _distance(to_unit(m, "yd"), 1760.0, ("yd", "mi"), 99.5, 875.0, decimal)


def _distance(value: float, large: float, labels: tuple[str, str], coarse: float, end: float, decimal: str) -> str:
    """In the small unit, in tens from ``coarse`` on; from ``end`` on in the large one, which has so many of them."""
    if value < coarse:
        return f"{value:.0f} {labels[0]}"
    if value < end:
        return f"{round(value, -1):.0f} {labels[0]}"
    many = value / large
    text = f"{many:.1f}" if many < 9.95 else f"{many:.0f}"
    return f"{text} {labels[1]}".replace(".", decimal or habits().decimal)
