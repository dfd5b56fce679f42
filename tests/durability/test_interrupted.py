"""A program killed while it backs up, restores or migrates leaves what was before or what is after."""

import os

from tests.durability.interrupted import LONGEST, interrupt

KILLS = 1_000 if os.environ.get("FIELD_APP_LONG") else 10


def test_a_killed_program_leaves_no_half_of_a_file(capsys):
    """After every kill the backup, the restored folder or the migrated one is whole, and nothing is left over."""
    found = interrupt(KILLS)
    assert capsys.readouterr().out == ""
    assert (found["kills"], found["faults"]) == (KILLS, 0)
    assert min(found[deed] for deed in LONGEST) >= KILLS // len(LONGEST)
