"""Where no line may end: in a range, between a figure and its unit, in a date."""

import flet as ft
import pytest

from field_app.ui import parts
from field_app.ui.parts.unbroken import apart, unbroken
from field_app.words import speak

#: Words as they are, and the pieces between which a line may end.
LINES = {
    "of dry cloth (21.3–62.0)": ["of", "dry", "cloth", "(21.3–62.0)"],
    "Chapel green · 540 m": ["Chapel", "green ·", "540 m"],
    "one each, 100 × 60 mm": ["one", "each,", "100 × 60 mm"],
    "use it by Fri 9 Oct, it may be turning": ["use", "it", "by", "Fri 9 Oct,", "it", "may", "be", "turning"],
    "past its best since Sat 2026-10-03": ["past", "its", "best", "since", "Sat 2026-10-03"],
    "Oct 8, 3:00 pm": ["Oct 8,", "3:00 pm"],
    "28.0 L of liquor, 20.7 g/L": ["28.0 L", "of", "liquor,", "20.7 g/L"],
    "3 min and 15 m": ["3 min", "and", "15 m"],
    "12 months, 4 minutes": ["12", "months,", "4", "minutes"],
}


@pytest.mark.parametrize("text", LINES)
def test_a_line_ends_only_between_what_belongs_apart(text):
    """Figures stay with their units, days with their months, the ends of a range together; no word is changed."""
    joined = unbroken(text)
    assert [apart(piece) for piece in joined.split(" ")] == LINES[text]
    assert apart(joined) == text
    # After a dash between figures a line could end as after a blank, so it is joined by a sign of its own.
    assert all(joined[at + 1] == "\u2060" for at, sign in enumerate(joined) if sign == "–")


def test_days_of_another_language_stay_whole_too():
    """German days have a dot, and names of their own."""
    speak("de")
    try:
        assert [apart(piece) for piece in unbroken("bis Do 8. Okt").split(" ")] == ["bis", "Do 8. Okt"]
    finally:
        speak("en")


def test_a_screen_reader_hears_the_words_as_they_are():
    """What joins is for the eye alone, on every kind of text."""
    row = parts.figure_row("dyes", "2.7 kg (1.4–5.0)")
    figures = row.controls[1]
    assert figures.value != "2.7 kg (1.4–5.0)" == figures.semantics_label == apart(figures.value)
    plain = parts.body("Nothing to join")
    assert (plain.value, plain.semantics_label) == ("Nothing to join", None)
    assert isinstance(plain, ft.Text)
