"""Looks a text up in the catalogue of the language that is spoken."""

from __future__ import annotations

import gettext
from collections.abc import Iterator
from contextlib import contextmanager
from contextvars import ContextVar
from functools import cache
from importlib.resources import files

__all__ = ["LANGUAGES", "english", "for_programs", "language", "later", "speak", "tr", "tr_as", "tr_n"]

#: The languages there are, by their code of ISO 639-1, each by its own name.
LANGUAGES = {"en": "English", "de": "Deutsch"}

_ENGLISH = gettext.NullTranslations()
# One person sits before one program, whichever of its threads draws: so it is held once for all of them.
_spoken = {"code": "en"}
# What is written for programs is English whatever the person reads; threads that work beside it aren't moved by it.
_for_programs: ContextVar[bool] = ContextVar("for_programs", default=False)


@cache
def _catalogue(code: str) -> gettext.NullTranslations:
    if code == "en":
        return _ENGLISH
    with files("field_app.words").joinpath(f"{code}.mo").open("rb") as file:
        return gettext.GNUTranslations(file)


def speak(code: str) -> None:
    """From now on, words come in this language [a key of LANGUAGES]; ValueError for one there is no catalogue of."""
    if code not in LANGUAGES:
        raise ValueError(f"no words in the language {code!r}: there are {', '.join(LANGUAGES)}")
    _catalogue(code)
    _spoken["code"] = code


def language() -> str:
    """The language that is spoken [a key of LANGUAGES]."""
    return "en" if _for_programs.get() else _spoken["code"]


def for_programs() -> bool:
    """Whether what is written now is for other programs."""
    return _for_programs.get()


@contextmanager
def english() -> Iterator[None]:
    """Words in English for as long as this lasts: for what other programs read."""
    held = _for_programs.set(True)
    try:
        yield
    finally:
        _for_programs.reset(held)


def _now() -> gettext.NullTranslations:
    return _ENGLISH if _for_programs.get() else _catalogue(_spoken["code"])


def tr(message: str, /, **values: object) -> str:
    """The text in the language that is spoken, its places filled with these values.

    >>> tr("Left after the pail: {mass}", mass="13.1 kg")
    'Left after the pail: 13.1 kg'
    """
    said = _now().gettext(message) if message else message  # the empty text is the head of a catalogue
    return said.format(**values) if values else said


def tr_n(one: str, many: str, n: int, /, **values: object) -> str:
    """The text for one or for many, by the rule of the language; ``{n}`` is the number.

    >>> [tr_n("{n} lot", "{n} lots", n) for n in (1, 2)]
    ['1 lot', '2 lots']
    """
    return _now().ngettext(one, many, n).format(n=n, **values)


def tr_as(meaning: str, message: str, /, **values: object) -> str:
    """The text where English has one word for several things: *meaning* tells the catalogue which.

    >>> tr_as("of the screen", "Light")
    'Light'
    """
    said = _now().pgettext(meaning, message)
    return said.format(**values) if values else said


def later(message: str, /) -> str:
    """Marks a text for the catalogue and leaves it as it is; whoever shows it calls :func:`tr`."""
    return message
