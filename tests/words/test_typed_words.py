"""What people type is read in every language of the program, whatever it speaks: lists of cloth are kept as typed."""

from __future__ import annotations

import pytest

from field_app.core.cloth_text import CLOTH_EXAMPLES, cloth_example, cloth_examples, read_cloth
from field_app.core.durations import read_hours
from field_app.core.fibres import FIBRES, PIECES, WEAVES
from field_app.core.helpers import helper
from field_app.core.problems import Refused
from field_app.core.units import read_measure
from field_app.words import LANGUAGES, speak


def words_of(language: str) -> tuple[list[str], list[str], list[str], tuple[str, ...]]:
    """What fibres, pieces and kinds of cloth are called, and how to type cloth."""
    try:
        speak(language)
    except OSError:
        pytest.skip(f"this build has no catalogue of {language}")
    try:
        return ([row.name for row in FIBRES.values()], [row.said for row in PIECES.values()],
                [row.said for row in WEAVES.values()], (*cloth_examples(), cloth_example("silk", 2.0)))
    finally:
        speak("en")


@pytest.mark.parametrize("language", LANGUAGES)
def test_what_the_screen_calls_it_can_be_typed(language: str) -> None:
    """Every fibre, piece and kind of cloth is read as each language calls it, on a device that speaks English."""
    fibres, pieces, weaves, examples = words_of(language)
    assert [read_cloth(f"{name} 2 kg").fibre for name in fibres] == list(FIBRES)
    assert [read_cloth(f"2 {name} {fibres[0]}").mass.central for name in pieces] == [
        2 * row.central for row in PIECES.values()]
    for row, name in zip(WEAVES.values(), weaves, strict=True):
        of = row.fibre or "cotton"
        assert read_cloth(f"{of} 3 m2 {name}").density == read_cloth(f"{of} 3 m2 {row.key}").density
    assert [read_cloth(one).mass.central for one in examples] == [
        read_cloth(one).mass.central for one in (*CLOTH_EXAMPLES, "silk 2 kg")]


@pytest.mark.parametrize(("typed", "english"), [
    ("Wolle 2,5 kg", "wool 2.5 kg"), ("2 Hemden aus Leinen", "2 shirts linen"),
    ("3 Stränge Wolle je 100 Gramm", "3 skeins wool each 100 g"), ("Baumwolle 3 m2 120 g/m2", "cotton 3 m2 120 g/m2"),
    ("Wolle 4 kg feucht 25 %", "wool 4 kg damp 25 %"), ("Rohe Wolle", ""), ("Wolle roh 3 kg", "wool raw 3 kg"),
])
def test_cloth_is_read_in_german(typed: str, english: str) -> None:
    """German words mean what the English ones do; what is told in neither is refused."""
    if not english:
        with pytest.raises(Refused):
            read_cloth(typed)
        return
    assert read_cloth(typed).mass == read_cloth(english).mass


def test_times_amounts_and_helpers_are_read_in_german() -> None:
    """Units of time and mass are read as German writes them, and chrome, tin and copper are refused there too."""
    assert [read_hours(text) for text in ("90 Minuten", "2 Stunden", "3 Tage")] == [1.5, 2.0, 72.0]
    assert read_measure("250 Gramm", kind="mass", where="gross").si == 0.25
    assert [helper(name).key for name in ("Alaun", "Eisenvitriol", "Weinstein")] == ["alum", "iron", "tartar"]
    for name in ("Kaliumdichromat", "Zinnchlorid", "Kupfervitriol"):
        with pytest.raises(Refused, match="offered"):
            helper(name)
