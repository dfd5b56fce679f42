"""A program killed while it saves leaves all that it had acknowledged."""

import os

from tests.durability.kills import kill

KILLS = 1_000 if os.environ.get("FIELD_APP_LONG") else 10


def test_a_killed_program_had_saved_what_it_acknowledged():
    """After every kill each acknowledged version is there, no save is there by half, and nothing is damaged."""
    found = kill(KILLS)
    assert found["kills"] == KILLS
    assert found["acknowledged"] > KILLS
    assert (found["lost"], found["halves"], found["problems"]) == (0, 0, 0)
