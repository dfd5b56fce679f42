"""Where a line may not end: within a range, between a figure and its unit, within a date, before a dot.

A range that is broken at its dash reads as two figures, and a unit on the next line as a word of its own.
What is drawn is joined by the no-break space and by the word joiner, which the client obeys and does not draw;
a screen reader hears the words as they are.
"""

from __future__ import annotations

import re
from functools import lru_cache
from typing import Any

import flet as ft

from field_app.core.day_text import month_name, weekday_names
from field_app.core.units import UNITS, label_of
from field_app.words import language

__all__ = ["NO_BREAK", "WORD_JOINER", "apart", "unbroken", "words"]

NO_BREAK, WORD_JOINER = "\u00a0", "\u2060"
#: Units that stand beside a figure and are none of an amount: shares, times, and what a device holds.
_MORE_UNITS = ("mm", "m²", "m³", "yd²", "km/h", "mph", "%", "h", "min", "s", "am", "pm", "kB", "MB", "GB", "g/L",
               "oz/gal", "°C-days", "°F-days")


@lru_cache
def _joins(_: str) -> tuple[tuple[re.Pattern[str], str], ...]:
    """What is joined in a language, and with what."""
    units = {label_of(key, "metric").split()[0] for key in UNITS} | set(_MORE_UNITS)
    longest_first = sorted(map(re.escape, units), key=len, reverse=True)
    months = "|".join(re.escape(month_name(number)) for number in range(1, 13))
    days = "|".join(map(re.escape, weekday_names()))
    return tuple((re.compile(found), put) for found, put in (
        (r"(?<=\d)–(?=\d)", f"–{WORD_JOINER}"),
        (rf"(?<=\d) (?=(?:{'|'.join(longest_first)})(?!\w))", NO_BREAK),
        (rf"(?:(?<=\d)|(?<=\d\.)) (?=(?:{months})\b)", NO_BREAK),
        (rf"\b({months}|{days}) (?=\d)", rf"\1{NO_BREAK}"),
        (r"(?<=[±×]) (?=\d)|(?<=\d) (?=× \d)", NO_BREAK),
        (r"(?<=\S) (?=· )", NO_BREAK)))


@lru_cache(maxsize=4096)
def _unbroken(text: str, spoken: str) -> str:
    for found, put in _joins(spoken):
        text = found.sub(put, text)
    return text


def unbroken(text: str) -> str:
    """The text, joined where no line may end.

    >>> unbroken("Last windfall Tue 29 Sep: 8.1 kg (7.0–9.6)").split(" ")
    ['Last', 'windfall', 'Tue\\xa029\\xa0Sep:', '8.1\\xa0kg', '(7.0–\\u20609.6)']
    """
    return _unbroken(text, language())


def apart(text: str) -> str:
    """The words as they are, without what joins them.

    >>> apart(unbroken("8.1 kg (7.0–9.6)"))
    '8.1 kg (7.0–9.6)'
    """
    return text.replace(WORD_JOINER, "").replace(NO_BREAK, " ")


def words(text: str, *, semantics_label: str | None = None, **how: Any) -> ft.Text:
    """Words on a screen, joined where no line may end; a screen reader hears them as they are."""
    drawn = unbroken(text)
    return ft.Text(drawn, semantics_label=semantics_label or (text if drawn != text else None), **how)
