"""Which characters the screens can draw.

The client draws all text itself, with the one text font that comes with it (Roboto: Latin, Greek, Cyrillic,
Vietnamese, currency signs and some mathematics).
For any other character it asks for a further font, first from a content network; told to take nothing from
there, it asks our own server, which has none, and an empty box is drawn.
So texts of ours use only characters in :data:`DRAWN`, and a picture where there is none: ``ft.Icons`` come
from a font of their own, which is there.

Drawn, though one might doubt it: ½ ¼ ¾ ⅛ ⅜ ⅝ ⅞ × − ± ≈ ≠ ≤ ≥ √ ∞ ° ′ ″ ² ³ µ Ω – — … • · € £ № ™ †
Not drawn, though one might reach for it: ⅓ ⅔ ← → ↑ ↓ ↔ ⌫ ◐ ○ ● ◆ ■ □ ▲ ▼ ★ ☐ ☑ ✓ ✗ ⚠ ♣ ♀ ♂ ∕ ⁻ ₂ and the
narrow no-break space, all emoji, and the scripts of Asia, Africa and the Near East.
What a person types in those is kept and handed over as it is; only the picture of it is boxes.
"""

from __future__ import annotations

__all__ = ["DRAWN", "FONT", "FONT_SHA256", "undrawn"]

#: The font inside the flet-web package, and what it must be for the table to be right.
FONT = "web/assets/fonts/roboto.woff2"
FONT_SHA256 = "35b02ca266b79eb4996590f15817425a1ce9ebf48f84471843233ff614656bf2"

# The character map of that font (Roboto 2.137 as shipped with flet-web 1.0.5), read with fontTools 4.
_RANGES = """
0020-007E 00A0-017F 018F 0192 01A0-01A1 01AF-01B0 01F0 01FA-01FF 0218-021B 0237 0259 02BC 02C6-02C7 02C9
02D8-02DD 02F3 0300-0301 0303 0309 030F 0323 0384-038A 038C 038E-03A1 03A3-03CE 03D1-03D2 03D6 0400-0486
0488-0513 1E00-1E01 1E3E-1E3F 1E80-1E85 1EA0-1EF9 1F4D 2000-200B 2010-2011 2013-2015 2017-201E 2020-2022
2025-2027 2030 2032-2033 2039-203A 203C 2044 2074 207F 20A3-20A4 20A6-20AC 20B1 20B9-20BA 20BC-20BD 2105
2113 2116 2122 2126 212E 215B-215E 2202 2206 220F 2211-2212 221A 221E 222B 2248 2260 2264-2265 25CA
FB01-FB04
"""


def _read(ranges: str) -> frozenset[str]:
    ends = ([int(end, 16) for end in part.split("-")] for part in ranges.split())
    return frozenset(chr(code) for pair in ends for code in range(pair[0], pair[-1] + 1))


#: Every character that is drawn, and the line break and the word joiner, which are obeyed.
DRAWN = _read(_RANGES) | {"\n", "\u2060"}


def undrawn(text: str) -> str:
    """The characters of a text that would show as boxes, each once, in the order of the text.

    >>> undrawn("½ lb, 8.1 kg (7.0–9.6), 3 × 12 L")
    ''
    >>> undrawn("Today → tomorrow ✓ → ✓")
    '→✓'
    """
    return "".join(dict.fromkeys(sign for sign in text if sign not in DRAWN))
