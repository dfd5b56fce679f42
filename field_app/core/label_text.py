"""What a person types or a camera reads from a label: the short code of a lot, or its whole id."""

from __future__ import annotations

import re

__all__ = ["label_key"]

# RFC 9562, section 4: hexadecimal in groups of 8, 4, 4, 4 and 12; the name may be written in capitals (RFC 8141, 3.1).
_ID = re.compile(r"(?:urn:)?(?:uuid:)?([0-9a-f]{8})-?([0-9a-f]{4})-?([0-9a-f]{4})-?([0-9a-f]{4})-?([0-9a-f]{12})")
#: Digits that look like letters, wherever no letter of that look can stand.
_DIGITS = str.maketrans("OIL", "011")
# Codes are written in an alphabet without I, L, O and U, so that each of these can only be what it looks like.
_IN_CODES = str.maketrans("OILU", "011V")


def label_key(text: str) -> str:
    """The key of a lot in what was typed, pasted or read: its id, its code in capitals, or "" if it is neither.

    Spaces, line ends, hyphens and capitals play no part, and look-alikes are read as what was meant.

    >>> label_key(" jbo-7 "), label_key("URN:UUID:017F22E2-79B0-7CC3-98C4-DC0C0C07398F")
    ('JB07', 'urn:uuid:017f22e2-79b0-7cc3-98c4-dc0c0c07398f')
    >>> label_key("https://example.org/")
    ''
    """
    bare = "".join(text.split())
    head, colon, tail = bare.rpartition(":")
    found = _ID.fullmatch(f"{head}{colon}{tail.upper().translate(_DIGITS)}".lower())
    if found:
        return f"urn:uuid:{'-'.join(found.groups())}"
    code = bare.replace("-", "").upper()
    return code.translate(_IN_CODES) if code.isascii() and code.isalnum() else ""
