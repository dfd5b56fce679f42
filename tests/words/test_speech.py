"""The door to the words."""

from __future__ import annotations

import pytest

from field_app.words import LANGUAGES, english, language, later, speak, tr, tr_as, tr_n


def test_english_is_the_key_and_the_text() -> None:
    """In English a text is what stands in the code, filled; braces without values stay as they are."""
    assert tr("Left: {mass}", mass="1 kg") == "Left: 1 kg"
    assert tr("as {it} is") == "as {it} is"
    assert tr("") == ""
    assert tr_n("{n} lot of {what}", "{n} lots of {what}", 3, what="hull") == "3 lots of hull"
    assert tr_as("of the screen", "Light") == later("Light") == "Light"


def test_an_unknown_language_is_refused() -> None:
    """A language without a catalogue is refused by name, and what was spoken goes on."""
    with pytest.raises(ValueError, match="'xx': there are en, de"):
        speak("xx")
    assert language() == "en"
    assert LANGUAGES["de"] == "Deutsch"


def test_what_programs_read_is_english() -> None:
    """Inside english() the language is English."""
    with english():
        assert language() == "en"
