"""Puts words together where the language decides how: a list, a choice, a phrase inside a sentence."""

from __future__ import annotations

from collections.abc import Sequence

from field_app.words.speech import language, tr

__all__ = ["either", "listed", "mid"]

#: Languages in which a word loses its capital inside a sentence; in the others, nouns keep theirs.
_LOWERED = {"en"}
#: Words that are names, and keep their capital everywhere.
_NAMES = ("English",)


def mid(text: str) -> str:
    """A phrase that can stand alone, as it stands inside a sentence; names and abbreviations stay as they are.

    >>> mid("Black walnut"), mid("English oak bark"), mid("WOF counts air-dry stuff"), mid("A pail")
    ('black walnut', 'English oak bark', 'WOF counts air-dry stuff', 'a pail')
    """
    if language() not in _LOWERED or text.startswith(_NAMES) or text[1:2].isupper():
        return text
    return text[:1].lower() + text[1:]


def listed(items: Sequence[str]) -> str:
    """All of these, as one reads them out.

    >>> listed(["bark"]), listed(["bark", "galls"]), listed(["bark", "galls", "cups"])
    ('bark', 'bark and galls', 'bark, galls and cups')
    """
    if len(items) < 2:
        return "".join(items)
    return tr("{earlier} and {last}", earlier=", ".join(items[:-1]), last=items[-1])


def either(items: Sequence[str]) -> str:
    """One of these, as one reads them out.

    >>> either(["bark"]), either(["bark", "galls"]), either(["bark", "galls", "cups"])
    ('bark', 'bark or galls', 'bark, galls or cups')
    """
    if len(items) < 2:
        return "".join(items)
    return tr("{earlier} or {last}", earlier=", ".join(items[:-1]), last=items[-1])
