"""Looks a text up in the catalogue of the language that is spoken."""

from __future__ import annotations

import gettext
import re
import string
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from contextvars import ContextVar
from functools import cache
from importlib.resources import files
from typing import Any

__all__ = ["LANGUAGES", "decimal_sign", "english", "for_programs", "form_of", "language", "later", "later_n", "speak",
           "tr", "tr_as", "tr_n"]

#: The languages there are, by their code of ISO 639-1, each by its own name.
LANGUAGES = {"en": "English", "de": "Deutsch"}

_ENGLISH = gettext.NullTranslations()
# One person sits before one program, whichever of its threads draws: so it is held once for all of them.
_spoken = {"code": "en", "decimal": "."}
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


def decimal_sign(sign: str) -> None:
    """From now on, numbers with a format of their own within a text have this decimal sign [a point or a comma].

    Thousands are set off with a comma beside a point, and with a space beside a comma (ISO 80000-1:2022, 7.3.1):
    1.234 would be read as little more than one there.
    """
    _spoken["decimal"] = sign


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


#: A place with a format that writes a comma or a point of its own.
_NUMBER = re.compile(r":[^{}]*[,fg]\}")
#: The signs of a number beside a decimal comma; the font of the screens has no narrow one of these spaces.
_WITH_COMMA = str.maketrans(",.", "\u00a0,")


class _WithComma(string.Formatter):
    """Fills the places of a text as ``format`` does, but for the signs in numbers."""

    def format_field(self, value: Any, format_spec: str) -> str:
        text: str = super().format_field(value, format_spec)
        return text.translate(_WITH_COMMA) if isinstance(value, (int, float)) else text


def _filled(text: str, values: Mapping[str, object]) -> str:
    if _spoken["decimal"] == "," and not _for_programs.get() and _NUMBER.search(text):
        return _WithComma().vformat(text, (), values)
    return text.format(**values)


def tr(message: str, /, **values: object) -> str:
    """The text in the language that is spoken, its places filled with these values.

    >>> tr("Left after the pail: {mass}", mass="13.1 kg")
    'Left after the pail: 13.1 kg'
    """
    said = _now().gettext(message) if message else message  # the empty text is the head of a catalogue
    return _filled(said, values) if values else said


def tr_n(one: str, many: str, n: int, /, **values: object) -> str:
    """The text for one or for many, by the rule of the language; ``{n}`` is the number.

    >>> [tr_n("{n} lot", "{n} lots", n) for n in (1, 2)]
    ['1 lot', '2 lots']
    """
    return _filled(_now().ngettext(one, many, n), {"n": n, **values})


def tr_as(meaning: str, message: str, /, **values: object) -> str:
    """The text where English has one word for several things: *meaning* tells the catalogue which.

    >>> tr_as("of the screen", "Light")
    'Light'
    """
    said = _now().pgettext(meaning, message)
    return _filled(said, values) if values else said


def later(message: str, /) -> str:
    """Marks a text for the catalogue and leaves it as it is; whoever shows it calls :func:`tr`."""
    return message


def later_n(one: str, many: str, /) -> tuple[str, str]:
    """Marks the text for one and that for many; whoever shows them calls :func:`form_of`."""
    return one, many


def form_of(one: str, many: str, n: int, /) -> str:
    """The text for one or for many by the rule of the language, its places not filled yet."""
    return _now().ngettext(one, many, n)
