"""How an input came to be known, in words: from the scale, from a source, or from custom."""

from __future__ import annotations

from collections.abc import Iterable

import flet as ft

from field_app.core.estimate import Reason
from field_app.ui import parts, theme
from field_app.words import basis_words, later, tr

__all__ = ["MEASURED", "how_known", "reason_rows"]

#: The ways of knowing that are a person's own.
MEASURED = ("weighed", "counted", "poured", "said", "own")
#: What a mark of the table of materials means to a person.
_MARKS = {"weak": later("rule of thumb"), "derived": later("worked out"), "memory": later("from memory"),
          "practice": later("common practice")}


def how_known(reason: Reason) -> str:
    """In one line: measured, or a default with its source and how far that can be trusted.

    >>> how_known(Reason("hull share", "62 %", "default", "5 lb gave 3 lb", "weak"))
    'default, rule of thumb: 5 lb gave 3 lb'
    >>> how_known(Reason("scale", "± 3 %", "default", "common practice, no source", "practice"))
    'default, common practice, no source'
    >>> how_known(Reason("uptake", "28", "default", "assumed; common practice, no source", "practice"))
    'default, assumed; common practice, no source'
    """
    if reason.basis == "own":
        return tr(reason.source)  # which says so by itself
    basis = basis_words(reason.basis)
    if reason.basis in MEASURED and not reason.mark:
        return basis if not reason.source else f"{basis}: {tr(reason.source)}"
    mark, source = tr(_MARKS.get(reason.mark, "")), tr(reason.source)
    if mark and mark.casefold() in source.casefold():
        # The source says it by itself.
        return ", ".join(part for part in (basis, source) if part and part != mark)
    known = ", ".join(dict.fromkeys(part for part in (basis, mark) if part))
    return f"{known}: {source}" if source else known


def reason_rows(reasons: Iterable[Reason]) -> list[ft.Control]:
    """Each input with its value, and under it how it came to be known."""
    return [ft.Column([parts.figure_row(tr(reason.name), tr(reason.value)), parts.small(how_known(reason))],
                      spacing=theme.GRID / 2, horizontal_alignment=ft.CrossAxisAlignment.STRETCH)
            for reason in reasons]
