"""Colours as screens and instruments give them: sRGB, CIE XYZ, CIELAB, and how far two colours lie apart.

The chain of this file, each step with its inverse:

    "#7f5a38"  <->  sRGB, three shares [1]  <->  linear light [1]  <->  XYZ [1], white has Y = 1  <->  L*a*b* [1]

sRGB is that of IEC 61966-2-1, CIELAB that of CIE 15 with sRGB's own white (D65, 2° observer); both are checked
against an independent library. CIEDE2000 is checked against the 34 pairs of Sharma, Wu & Dalal 2005
(Color Res. Appl. 30:21, doi 10.1002/col.20070).
"""

from __future__ import annotations

import math
import re
from dataclasses import dataclass
from typing import TypeAlias

from field_app.core.problems import refuse
from field_app.words import tr

__all__ = ["WHITE", "Lab", "Triple", "difference", "hex_of", "lab_of", "linear_of_hex", "linear_of_xyz", "read_hex",
           "xyz_of_lab", "xyz_of_linear"]

Triple: TypeAlias = tuple[float, float, float]

_HEX = re.compile(r"#?([0-9a-f]{3}|[0-9a-f]{6})\Z", re.IGNORECASE | re.ASCII)
# IEC 61966-2-1: linear light to XYZ, as rounded there.
_TO_XYZ: tuple[Triple, Triple, Triple] = (
    (0.4124, 0.3576, 0.1805), (0.2126, 0.7152, 0.0722), (0.0193, 0.1192, 0.9505))
#: sRGB's white in XYZ [1]: full red, green and blue.
WHITE: Triple = (sum(_TO_XYZ[0]), 1.0, sum(_TO_XYZ[2]))
# CIE 15: where the cube root gives way to a line, and that line's slope.
_EDGE, _SLOPE = (24 / 116) ** 3, 841 / 108


@dataclass(frozen=True, slots=True)
class Lab:
    """A colour in CIELAB: lightness L* (0 black, 100 white), a* (to red), b* (to yellow), all [1]."""

    lightness: float
    a: float
    b: float

    @property
    def chroma(self) -> float:
        """How far from grey [1]."""
        return math.hypot(self.a, self.b)

    @property
    def hue(self) -> float:
        """Direction of the hue [deg], 0 to 360, red at 0 and yellow at 90."""
        return math.degrees(math.atan2(self.b, self.a)) % 360

    def as_json(self) -> dict[str, float]:
        """``{L, a, b}``, to a hundredth."""
        return {"L": round(self.lightness, 2), "a": round(self.a, 2), "b": round(self.b, 2)}


def read_hex(text: str, *, where: str = "colour") -> str:
    """A colour as typed, such as ``#7F5A38`` or ``fa6``, in the one form ``#7f5a38``; Refused if it is none.

    >>> read_hex("#FA6"), read_hex("7f5a38")
    ('#ffaa66', '#7f5a38')
    """
    match = _HEX.match(text.strip())
    if match is None:
        raise refuse(where, tr("{text!r:.40} is not a colour", text=text),
                     tr("Type six digits of 0-9 and a-f, such as #e9dcc3."))
    digits = match[1].lower()
    return "#" + (digits if len(digits) == 6 else "".join(sign * 2 for sign in digits))


def linear_of_hex(text: str) -> Triple:
    """Linear light, red, green and blue [1], of a colour in hexadecimal.

    >>> linear_of_hex("#ffffff")
    (1.0, 1.0, 1.0)
    """
    digits = read_hex(text)[1:]
    red, green, blue = (_light(int(digits[at:at + 2], 16) / 255) for at in (0, 2, 4))
    return red, green, blue


def _light(share: float) -> float:
    return share / 12.92 if share <= 0.04045 else ((share + 0.055) / 1.055) ** 2.4


def _share(light: float) -> float:
    light = min(max(light, 0.0), 1.0)
    return light * 12.92 if light <= 0.0031308 else 1.055 * light ** (1 / 2.4) - 0.055


def hex_of(xyz: Triple) -> str:
    """The colour in hexadecimal nearest to an XYZ [1]; what a screen can't show is cut to what it can.

    >>> hex_of(xyz_of_linear((1.0, 1.0, 1.0)))
    '#ffffff'
    """
    return "#" + "".join(f"{round(255 * _share(light)):02x}" for light in linear_of_xyz(xyz))


def xyz_of_linear(linear: Triple) -> Triple:
    """XYZ [1] of linear light [1]."""
    x, y, z = (sum(row[at] * linear[at] for at in range(3)) for row in _TO_XYZ)
    return x, y, z


def _inverse(matrix: tuple[Triple, Triple, Triple]) -> tuple[Triple, Triple, Triple]:
    (a, b, c), (d, e, f), (g, h, i) = matrix
    whole = a * (e * i - f * h) - b * (d * i - f * g) + c * (d * h - e * g)
    return (((e * i - f * h) / whole, (c * h - b * i) / whole, (b * f - c * e) / whole),
            ((f * g - d * i) / whole, (a * i - c * g) / whole, (c * d - a * f) / whole),
            ((d * h - e * g) / whole, (b * g - a * h) / whole, (a * e - b * d) / whole))


# The standard prints a rounded inverse too; the exact one brings every colour back.
_FROM_XYZ = _inverse(_TO_XYZ)


def linear_of_xyz(xyz: Triple) -> Triple:
    """Linear light [1] of an XYZ [1]; below 0 or above 1 for what a screen can't show."""
    red, green, blue = (sum(row[at] * xyz[at] for at in range(3)) for row in _FROM_XYZ)
    return red, green, blue


def _root(share: float) -> float:
    return math.cbrt(share) if share > _EDGE else _SLOPE * share + 16 / 116


def _power(root: float) -> float:
    return root ** 3 if root > 24 / 116 else (root - 16 / 116) / _SLOPE


def lab_of(colour: Triple | str) -> Lab:
    """CIELAB of an XYZ [1], or of a colour in hexadecimal.

    >>> lab_of("#ffffff")
    Lab(lightness=100.0, a=0.0, b=0.0)
    """
    xyz = xyz_of_linear(linear_of_hex(colour)) if isinstance(colour, str) else colour
    x, y, z = (_root(value / white) for value, white in zip(xyz, WHITE, strict=True))
    return Lab(116 * y - 16, 500 * (x - y), 200 * (y - z))


def xyz_of_lab(lab: Lab) -> Triple:
    """XYZ [1] of a CIELAB colour."""
    y = (lab.lightness + 16) / 116
    roots = (y + lab.a / 500, y, y - lab.b / 200)
    x, y, z = (white * _power(root) for root, white in zip(roots, WHITE, strict=True))
    return x, y, z


def difference(one: Lab, other: Lab) -> float:
    """How far two colours lie apart, CIEDE2000 [1]; about 1 is what an eye can just tell.

    The first pair of Sharma, Wu & Dalal 2005:

    >>> round(difference(Lab(50, 2.6772, -79.7751), Lab(50, 0, -82.7485)), 4)
    2.0425
    """
    mean_chroma = (one.chroma + other.chroma) / 2
    grey = 0.5 * (1 - math.sqrt(mean_chroma ** 7 / (mean_chroma ** 7 + 25.0 ** 7)))
    first, second = (Lab(lab.lightness, (1 + grey) * lab.a, lab.b) for lab in (one, other))
    chromas = first.chroma * second.chroma
    turn = second.hue - first.hue if chromas else 0.0
    turn -= 360 * ((turn > 180) - (turn < -180))
    by_light = second.lightness - first.lightness
    by_chroma = second.chroma - first.chroma
    by_hue = 2 * math.sqrt(chromas) * math.sin(math.radians(turn / 2))
    light, chroma = (first.lightness + second.lightness) / 2, (first.chroma + second.chroma) / 2
    hue = _mean_hue(first.hue, second.hue) if chromas else first.hue + second.hue
    weight = (1 - 0.17 * _cos(hue - 30) + 0.24 * _cos(2 * hue) + 0.32 * _cos(3 * hue + 6)
              - 0.20 * _cos(4 * hue - 63))
    by_light /= 1 + 0.015 * (light - 50) ** 2 / math.sqrt(20 + (light - 50) ** 2)
    by_chroma /= 1 + 0.045 * chroma
    by_hue /= 1 + 0.015 * chroma * weight
    blue = 30 * math.exp(-(((hue - 275) / 25) ** 2))
    twist = -math.sin(math.radians(2 * blue)) * 2 * math.sqrt(chroma ** 7 / (chroma ** 7 + 25.0 ** 7))
    return math.sqrt(by_light ** 2 + by_chroma ** 2 + by_hue ** 2 + twist * by_chroma * by_hue)


def _cos(degrees: float) -> float:
    return math.cos(math.radians(degrees))


def _mean_hue(one: float, other: float) -> float:
    if abs(one - other) <= 180:
        return (one + other) / 2
    return (one + other + (360 if one + other < 360 else -360)) / 2
