"""The door to the words."""

from __future__ import annotations

import pytest

from field_app.core.habits import used_to
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


def test_numbers_within_a_text_follow_the_decimal_sign() -> None:
    """A place that sets off thousands or has decimals of its own is written as the person writes numbers."""
    sizes = {"files": "oak:,f", "size": 81_800_000, "mass": 2.5, "n": 1200}
    text = "{files}: {size:>11,} bytes, {mass:.1f} MB, {n} files"
    assert tr(text, **sizes) == "oak:,f:  81,800,000 bytes, 2.5 MB, 1200 files"
    with used_to(decimal=","):
        assert tr(text, **sizes) == "oak:,f:  81\u00a0800\u00a0000 bytes, 2,5 MB, 1200 files"
        assert tr_n("{n:,} lot of {what!r:.4}", "{n:,} lots of {what!r:.4}", 1234, what="a,b.c") \
            == "1\u00a0234 lots of 'a,b"
        assert tr_as("of an oak", "{n:.2f} {n:,} {n:g}", n=-1234.5) == "-1234,50 -1\u00a0234,5 -1234,5"
        with english():
            assert tr(text, **sizes) == "oak:,f:  81,800,000 bytes, 2.5 MB, 1200 files"
    assert tr("{n:,}", n=1200) == "1,200"


def test_what_programs_read_is_english() -> None:
    """Inside english() the language is English."""
    with english():
        assert language() == "en"
