"""How one value stands in a CSV cell, and how a cell is read back.

The law of this file:

1. A number has a decimal point, never an exponent, never a thousands sign; an estimate has at most
   six significant digits.
2. A text that a spreadsheet might run as a formula gets one leading ``'`` (OWASP ASVS 5, 1.2.10), and so does
   a text that already starts with ``'`` before such a sign: taking one ``'`` away always gives the text back.
3. An empty cell means that nothing is known.
"""

from __future__ import annotations

import re
from decimal import Decimal

__all__ = ["Cell", "decimal_of", "escaped", "is_risky", "number_text", "read_text", "shown", "written"]

#: What a cell holds: text, a number, a whole number, or nothing.
Cell = str | Decimal | int | None

# ASVS names = + - @ tab and NUL; carriage return, line feed and the full-width and small forms are named by
# the OWASP page "CSV Injection", or are read as the same sign after compatibility normalisation.
_RISKY = re.compile(r"'*(?:\s*[=+\-@＝＋－＠﹦﹢﹣﹫]|[\t\r\n\0])")


def is_risky(text: str) -> bool:
    """Whether a spreadsheet might take the text for a formula.

    >>> [is_risky(text) for text in ("=1+1", " @x", "＝1", "behind the gate", "2 - 3")]
    [True, True, True, False, False]
    """
    return _RISKY.match(text) is not None


def escaped(text: str) -> str:
    """The text as it stands in a cell.

    >>> escaped("=1+1"), escaped("'=1+1"), escaped("'tis ripe")
    ("'=1+1", "''=1+1", "'tis ripe")
    """
    return "'" + text if is_risky(text) else text


def read_text(cell: str) -> str:
    """The text that a cell stands for.

    >>> read_text("'=1+1"), read_text("'tis ripe")
    ('=1+1', "'tis ripe")
    """
    return cell[1:] if cell.startswith("'") and is_risky(cell) else cell


def decimal_of(value: float, digits: int = 6) -> Decimal:
    """A computed value to so many significant digits, so that its text is short and the same everywhere.

    >>> str(decimal_of(1234567.8)), str(decimal_of(0.00001234)), str(decimal_of(8.0999999999))
    ('1234570', '0.00001234', '8.1')
    """
    return Decimal(format(Decimal(f"{value:.{digits}g}"), "f"))


def number_text(value: Decimal | int) -> str:
    """A number without an exponent.

    >>> number_text(Decimal("1E-7")), number_text(Decimal("14.20"))
    ('0.0000001', '14.20')
    """
    return format(value, "f") if isinstance(value, Decimal) else str(value)


def written(value: Cell) -> str:
    """The cell of a value, before quoting."""
    if value is None:
        return ""
    return escaped(value) if isinstance(value, str) else number_text(value)


def shown(value: object, room: int = 40) -> str:
    """A value met in a file as it may be shown in a message: quoted, short, without control characters.

    >>> shown("a" * 50)
    '"aaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaa…"'
    """
    text = value if isinstance(value, str) else str(value)
    text = text if len(text) <= room else text[: room - 1] + "…"
    return '"' + "".join(sign if sign.isprintable() else f"\\x{ord(sign):02x}" for sign in text) + '"'
