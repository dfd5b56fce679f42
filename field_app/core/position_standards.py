"""Reads the two standard spellings of a position that programs make: geo URIs and ISO 6709 strings."""

from __future__ import annotations

import re

from field_app.core.geodesy import Fix, Position
from field_app.words import later, tr

__all__ = ["EXAMPLES", "Unreadable", "read_geo_uri", "read_iso_6709", "sexagesimal"]

EXAMPLES = later("Type it as in 44.01234, -28.00567 or 44°0′44.4″ N 28°0′20.4″ W")

_PNUM = r"[0-9]+(?:\.[0-9]+)?"
_GEO = re.compile(rf"geo:(-?{_PNUM}),(-?{_PNUM})(?:,-?{_PNUM})?((?:;[^;]*)*)\Z", re.IGNORECASE)
_PARAMETER = re.compile(r"([a-z0-9-]+)(?:=((?:[a-z0-9\-_.!~*'()\[\]:&+$]|%[0-9a-f]{2})+))?\Z", re.IGNORECASE)
_ISO = re.compile(r"([+-])([0-9]+)([.,][0-9]+)?([+-])([0-9]+)([.,][0-9]+)?"
                  r"(?:[+-][0-9]+(?:[.,][0-9]+)?)?(?:CRS([^/]*))?/?\Z")
_WGS84_NAMES = frozenset({"wgs84", "epsg4326", "epsg4979"})


class Unreadable(Exception):
    """A text that is not a position: what is wrong with it, and what to do."""

    def __init__(self, what: str, fix: str = "") -> None:
        self.what, self.fix = what, fix or f"{tr(EXAMPLES)}."
        super().__init__(what)


def sexagesimal(texts: list[str], *, below_zero: bool) -> float:
    """The angle [deg] of degrees, minutes and seconds; Unreadable if there are sixty of the latter two."""
    degrees, minutes, seconds = (*map(float, texts), 0.0, 0.0)[:3]
    if minutes >= 60 or seconds >= 60:
        raise Unreadable(tr("has sixty or more minutes or seconds"), f"{tr('Check the numbers.')} {tr(EXAMPLES)}.")
    angle = degrees + minutes / 60 + seconds / 3600
    return -angle if below_zero else angle


def read_geo_uri(text: str) -> Fix | None:
    """The position of a geo URI (RFC 5870, section 3.3), None if the text is none; Unreadable if it is invalid.

    The altitude is left out. The parameter u, an uncertainty [m] for which the standard gives no confidence,
    becomes the accuracy; parameters that are not known are skipped.
    """
    if text[:4].lower() != "geo:":
        return None
    found = _GEO.match(text)
    if found is None:
        raise Unreadable(tr("is not a geo URI as in RFC 5870"),
                         tr("Paste it as in geo:44.01234,-28.00567, without a question mark and what follows."))
    radius = None
    names: list[str] = []
    for parameter in found[3].split(";")[1:]:
        parts = _PARAMETER.match(parameter)
        if parts is None:
            raise Unreadable(tr("has a parameter that can't be read"),
                             tr("Leave out the first semicolon and what follows."))
        name, value = parts[1].lower(), parts[2] or ""
        names.append(name)
        if name == "crs" and value.lower() != "wgs84":
            raise Unreadable(tr("is not in coordinates of WGS 84"), tr("Convert it to WGS 84 first."))
        if name == "u":
            if not re.fullmatch(_PNUM, value):
                raise Unreadable(tr("has an uncertainty u that is not metres"),
                                 tr("Give it as in u=12, or leave it out."))
            radius = float(value)
    in_order = sorted(names, key=lambda name: {"crs": 0, "u": 1}.get(name, 2)) == names
    if not in_order or len(set(names)) < len(names):
        raise Unreadable(tr("repeats a parameter, or has crs and u out of order"),
                         tr("Put crs first, then u, each once."))
    return Fix(Position(float(found[1]), float(found[2])), "pasted", radius)


def read_iso_6709(text: str) -> Fix | None:
    """The position of an ISO 6709 string, None if the text is none; Unreadable if it is invalid.

    The digits before the decimal sign, 2, 4 or 6 of latitude and one more of longitude, decide between degrees,
    degrees and minutes, and degrees, minutes and seconds. A height is left out; the solidus may be missing.
    """
    found = _ISO.match(text)
    if found is None:
        return None
    system = found[7]
    if system is not None and re.sub("[_: -]", "", system).lower() not in _WGS84_NAMES:
        raise Unreadable(tr("is not in coordinates of WGS 84"), tr("Convert it to WGS 84 first."))
    if len(found[2]) not in (2, 4, 6) or len(found[5]) != len(found[2]) + 1:
        raise Unreadable(tr("has not the digits of ISO 6709, and nothing between its numbers"),
                         tr("Set a comma and a space between them, or add zeros as in +44.01234-028.00567/."))
    lat = _iso_angle(found[1], found[2], found[3], 2)
    lon = _iso_angle(found[4], found[5], found[6], 3)
    return Fix(Position(lat, lon), "pasted")


def _iso_angle(sign: str, digits: str, decimals: str | None, width: int) -> float:
    texts = [digits[:width], *(digits[at:at + 2] for at in range(width, len(digits), 2))]
    texts[-1] += (decimals or "").replace(",", ".")
    return sexagesimal(texts, below_zero=sign == "-")
