"""What keys of the records are called where a person reads them: the keys themselves are never translated."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from field_app.words.speech import later, tr, tr_as

__all__ = ["basis_words", "shade_words", "state_words"]

_SHADES: Mapping[str, Callable[[], str]] = {
    "pale": lambda: tr_as("a shade", "pale"), "light": lambda: tr_as("a shade", "light"),
    "medium": lambda: tr_as("a shade", "medium"), "dark": lambda: tr_as("a shade", "dark")}
_STATES = frozenset((
    later("fresh"), later("browned"), later("air-dry"), later("gathered"), later("weighed"), later("soaked"),
    later("boiled"), later("strained"), later("dried"), later("spent"), later("spoiled")))
_BASES = frozenset((
    later("weighed"), later("counted"), later("poured"), later("said"), later("own"), later("default"),
    later("worked out"), later("measured"), later("learnt")))


def shade_words(shade: str) -> str:
    """A shade by its key: pale, light, medium or dark."""
    return _SHADES[shade]() if shade in _SHADES else shade


def state_words(state: str) -> str:
    """In what condition stuff is, or what was done with a lot, by its key."""
    return tr(state) if state in _STATES else state


def basis_words(basis: str) -> str:
    """How an input came to be known, by its key."""
    return tr(basis) if basis in _BASES else basis
