"""Puts words together where the language decides how: a list, a choice, a phrase inside a sentence."""

from __future__ import annotations

from collections.abc import Sequence

from field_app.words.speech import language, tr

__all__ = ["alone", "begun", "either", "listed", "mid", "told"]

#: Languages in which a word loses its capital inside a sentence; in the others, nouns keep theirs.
_LOWERED = {"en"}
#: Words that are names, and keep their capital everywhere.
_NAMES = ("English",)
#: How a phrase begins that needs a subject, by language.
_NO_SUBJECT = {"en": ("is ", "has ", "holds ")}
#: How a phrase begins that goes on after the name of its subject, by language.
_GOES_ON = {"en": ("is ", "was ", "has ", "holds ", "can't ")}


def mid(text: str) -> str:
    """A phrase that can stand alone, as it stands inside a sentence; names and abbreviations stay as they are.

    >>> mid("Black walnut"), mid("English oak bark"), mid("WOF counts air-dry stuff"), mid("A pail")
    ('black walnut', 'English oak bark', 'WOF counts air-dry stuff', 'a pail')
    """
    if language() not in _LOWERED or text.startswith(_NAMES) or text[1:2].isupper():
        return text
    return text[:1].lower() + text[1:]


def begun(text: str) -> str:
    """A phrase as it begins a sentence; all behind its first sign stays as it is.

    >>> begun("dry in air"), begun("½ pail")
    ('Dry in air', '½ pail')
    """
    return text[:1].upper() + text[1:]


def alone(what: str) -> str:
    """What is wrong with something, said beside it without its name: it begins a sentence, and has a subject.

    >>> alone("is empty"), alone("how much it was is not given")
    ('This is empty', 'How much it was is not given')
    """
    return f"This {what}" if what.startswith(_NO_SUBJECT.get(language(), ())) else begun(what)


def told(name: str, what: str) -> str:
    """What is wrong with something, behind its name: as a sentence where the language can, else after a colon.

    >>> told("lots.zip", "is empty"), told("lots.zip", "2 of its records are missing")
    ('lots.zip is empty', 'lots.zip: 2 of its records are missing')
    """
    return f"{name}{' ' if what.startswith(_GOES_ON.get(language(), ())) else ': '}{what}"


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
