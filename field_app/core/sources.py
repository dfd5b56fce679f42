"""Where a figure comes from, as it is shown: a published source, often with a note on what was made of it.

A source is kept as one English text, which is what files for programs hold; it is shown part by part.
"""

from __future__ import annotations

from field_app.words import tr

__all__ = ["cited", "source_said"]

_PARTS: dict[str, tuple[str, ...]] = {}


def cited(*parts: str) -> str:
    """A source and notes on it as one text, whose parts are remembered for showing.

    >>> cited("common practice, no source", "central is the middle")
    'common practice, no source; central is the middle'
    """
    told = tuple(part for part in parts if part)
    text = "; ".join(told)
    _PARTS[text] = told
    return text


def source_said(text: str) -> str:
    """The same in the language that is spoken."""
    return "; ".join(map(tr, _PARTS.get(text, (text,))))
