"""How words are put together."""

from __future__ import annotations

import gettext

import pytest

from field_app.words import alone, begun, either, english, listed, mid, speech, told

NONE_OR_ONE = [([], ""), (["bark"], "bark")]


class German(gettext.NullTranslations):
    """As much German as the joints need."""

    def gettext(self, message: str) -> str:
        return message.replace(" and ", " und ").replace(" or ", " oder ")


@pytest.fixture
def german(monkeypatch: pytest.MonkeyPatch) -> None:
    """Spoken for a test, whether or not there is a catalogue of it."""
    catalogues = {"en": gettext.NullTranslations(), "de": German()}
    monkeypatch.setattr(speech, "_catalogue", catalogues.__getitem__)
    monkeypatch.setitem(speech._spoken, "code", "de")


@pytest.mark.parametrize(("items", "said"), [*NONE_OR_ONE, (["a", "b"], "a and b"), (["a", "b", "c"], "a, b and c")])
def test_a_list_ends_in_and(items: list[str], said: str) -> None:
    """A list has commas and, before its last, the word "and"."""
    assert listed(items) == said


@pytest.mark.parametrize(("items", "said"), [*NONE_OR_ONE, (["a", "b"], "a or b"), (["a", "b", "c"], "a, b or c")])
def test_a_choice_ends_in_or(items: list[str], said: str) -> None:
    """A choice has commas and, before its last, the word "or"."""
    assert either(items) == said


def test_braces_in_an_item_are_only_signs() -> None:
    """What people typed may hold braces."""
    assert listed(["a {tree}", "{0}"]) == "a {tree} and {0}"


@pytest.mark.parametrize(("alone", "inside"), [
    ("Black walnut", "black walnut"), ("black walnut", "black walnut"), ("English oak bark", "English oak bark"),
    ("WOF", "WOF"), ("A pail", "a pail"), ("", ""), ("½ pail", "½ pail"), ("B", "b")])
def test_inside_a_sentence_english_is_small(alone: str, inside: str) -> None:
    """An English phrase loses its capital inside a sentence, unless it begins with a name or an abbreviation."""
    assert mid(alone) == inside


@pytest.mark.parametrize(("phrase", "sentence"), [
    ("is empty", "This is empty"), ("has no unit", "This has no unit"), ("'x' is not a number", "'x' is not a number"),
    ("how much it was is not given", "How much it was is not given"), ("", "")])
def test_what_is_wrong_is_a_sentence_of_its_own(phrase: str, sentence: str) -> None:
    """Beside its field a phrase gets a capital, and a subject where it has none."""
    assert alone(phrase) == sentence


def test_only_the_first_sign_is_changed() -> None:
    """What follows the first sign of a phrase stays, so that names in it keep their capitals."""
    assert begun("dried by English oak") == "Dried by English oak"


@pytest.mark.usefixtures("german")
def test_nouns_keep_their_capital_in_german() -> None:
    """In German a phrase stays as it is, and the joints are German; what programs read stays English."""
    assert (mid("Walnuss"), listed(["Rinde", "Nuss", "Gallen"]), either(["Rinde", "Gallen"])) == (
        "Walnuss", "Rinde, Nuss und Gallen", "Rinde oder Gallen")
    assert (begun("im Wasser"), alone("ist leer"), alone("is empty")) == ("Im Wasser", "Ist leer", "Is empty")
    assert told("lots.zip", "ist leer") == "lots.zip: ist leer"
    with english():
        assert (alone("is empty"), mid("Walnut"), listed(["bark", "galls"])) == (
            "This is empty", "walnut", "bark and galls")
