"""Keys where a person reads them."""

from __future__ import annotations

from typing import get_args

from field_app.core.bands import ShadeWord
from field_app.core.own_facts import STATES
from field_app.words import basis_words, named, shade_words, state_words
from tests.words.unspoken import bracketed


def test_every_shade_and_condition_comes_from_the_catalogue() -> None:
    """No key of a shade or a condition is shown bare."""
    with bracketed():
        assert [shade_words(shade) for shade in get_args(ShadeWord)] == ["⟦pale⟧", "⟦light⟧", "⟦medium⟧", "⟦dark⟧"]
        assert [state_words(state) for state in STATES] == [f"⟦{state}⟧" for state in STATES]
        assert basis_words("weighed") == "⟦weighed⟧"


def test_only_fields_are_put_into_words() -> None:
    """A field is translated; the name of a file or an option is not."""
    with bracketed():
        assert named("scale division") == "⟦scale division⟧"
        assert [named(where) for where in ("found.zip", "--cloth", "")] == ["found.zip", "--cloth", ""]
