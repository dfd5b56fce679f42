"""What does not fit the form of a record, in plain words.

The law of this file:

1. The library that reads forms has English words of its own; no person ever reads them.
   Each type of its errors has words of ours here, and a type without words is told by ``_OTHER``.
2. A check of ours within a form raises :class:`Unfit` with a text of the catalogue; any other ValueError is told
   by ``_OTHER``, since nobody knows in which language it speaks.
3. Only the first misfit is told: what follows from it would only confuse.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Any

from pydantic import ValidationError

from field_app.words import either, later, tr, tr_n

__all__ = ["Misfit", "Unfit", "misfit"]

_TEXT, _WHOLE, _YES_NO = later("must be a text"), later("must be a whole number"), later("must be true or false")
_LIST, _MEMBERS = later("must be a list"), later("must be a group of values, each with its name")
_DAY, _OTHER = later("must be a day such as 2026-11-30"), later("is not of the form that is needed here")
_JSON = later("is not JSON, or is cut off")
#: What is said of a type of error, whatever was met.
_WORDS: Mapping[str, str] = MappingProxyType({
    "missing": later("is missing"), "extra_forbidden": later("is not known here"),
    "string_type": _TEXT, "string_unicode": _TEXT, "string_pattern_mismatch": _OTHER, "value_error": _OTHER,
    "int_type": _WHOLE, "int_from_float": _WHOLE, "int_parsing": _WHOLE, "finite_number": _WHOLE,
    "int_parsing_size": later("is too large a number"),
    "bool_type": _YES_NO, "bool_parsing": _YES_NO, "tuple_type": _LIST, "model_type": _MEMBERS,
    "dataclass_type": later('must be an amount with its unit, as in {"value": "14.2", "unit": "kg"}'),
    "date_type": _DAY, "date_parsing": _DAY, "date_from_datetime_inexact": _DAY, "date_from_datetime_parsing": _DAY,
    "json_invalid": _JSON, "json_type": _JSON})
#: Limits of numbers: the member of the error that has the limit, and what is said of it.
_LIMITS: Mapping[str, tuple[str, str]] = MappingProxyType({
    "greater_than": ("gt", later("must be more than {limit}")),
    "greater_than_equal": ("ge", later("must be {limit} or more")),
    "less_than": ("lt", later("must be less than {limit}")),
    "less_than_equal": ("le", later("must be {limit} or less"))})
_QUOTED = re.compile(r"'([^']*)'")


class Unfit(ValueError):
    """Raised by a check of ours within a form; its words are a constant of the catalogue."""


@dataclass(frozen=True, slots=True)
class Misfit:
    """One thing that does not fit.

    place: the members down to it, as the file names them ("fix.source"), or empty for the whole;
    what: what is wrong, in the language that is spoken; newer: whether a newer program may know the word that is there.
    """

    place: str
    what: str
    newer: bool = False


def misfit(error: ValidationError) -> Misfit:
    """The first thing that does not fit the form, in plain words."""
    first: Mapping[str, Any] = error.errors(include_url=False)[0]
    place = ".".join(str(step) for step in first["loc"])
    return Misfit(place, _what(first["type"], first.get("ctx", {}), first["input"]), first["type"] == "literal_error")


def _what(kind: str, more: Mapping[str, Any], met: object) -> str:
    if kind == "literal_error":
        choices = either(_QUOTED.findall(more["expected"]))  # they come in one text, each in quotes
        return (tr("{word!r:.60} is not known here; it must be {choices}", word=met, choices=choices)
                if isinstance(met, str) else tr("must be {choices}", choices=choices))
    if kind in _LIMITS:
        member, words = _LIMITS[kind]
        return tr(words, limit=more[member])
    if kind == "too_short":
        return tr_n("needs {n} entry at least", "needs {n} entries at least", more["min_length"])
    if kind == "too_long":
        return tr_n("may have {n} entry at most", "may have {n} entries at most", more["max_length"])
    if kind == "value_error" and isinstance(more.get("error"), Unfit):
        return tr(str(more["error"]))
    return tr(_WORDS.get(kind, _OTHER))
