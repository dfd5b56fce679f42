"""Harmed files: never a crash, never a strange version, never in silence.

1,000 by default; 20,000 and every bit with FIELD_APP_LONG=1.
"""

import os
import warnings

import pytest

from field_app.core.problems import Refused
from field_app.core.records import name_of
from field_app.handover import check
from field_app.handover.take import take
from tests.handover.scene import opened
from tests.sync.island import Device
from tests.sync.mutants import bytes_mutant, description_mutant, mutants

LONG = bool(os.environ.get("FIELD_APP_LONG"))


@pytest.fixture(scope="module")
def original(tmp_path_factory):
    """A small group file and the names of its versions."""
    device = Device(tmp_path_factory.mktemp("device") / "data", 1)
    device.site()
    lot = device.lot()
    device.draw(lot.id, "3 kg", purpose="shawl")
    device.book.undo()
    data, texts = device.file(), device.texts()
    device.close()
    return data, frozenset(name_of(text) for text in texts)


def taken_or_none(data, known=None):
    """What a file holds, or None if it was refused; fails for a refusal without words."""
    try:
        return take(data, known=known)
    except Refused as error:
        refused = error
    assert all(problem.where and problem.what and problem.fix for problem in refused.problems)
    return None


def what_came(data, written, known=None):
    """The names that entered, and whether anything was told; fails for a strange version or a fault without words."""
    taken = taken_or_none(data, known)
    if taken is None:
        return frozenset(), True
    names = frozenset(version.name for version in taken.versions)
    assert names <= written
    assert all(name_of(version.text) == version.name for version in taken.versions)
    told = (*taken.problems, *taken.notes)
    assert all(problem.where and problem.what and problem.fix for problem in told)
    assert taken.problems or not taken.quarantined
    return names, bool(told)


@pytest.mark.parametrize("part", range(4))
def test_harmed_files_are_told_of_and_give_only_what_was_written(original, part):
    """Whatever becomes of a group file, only versions enter that were in it, and that it was harmed is said."""
    data, written = original
    whole = lost = 0
    with warnings.catch_warnings():
        warnings.simplefilter("ignore", UserWarning)  # the zip library warns of the double names that we ask it for
        harmed = list(mutants(data, 5000 if LONG else 250, seed=part))
    for kind, number, mutant in harmed:
        names, told = what_came(mutant, written)
        # Nothing vouches for the words of the description, and nothing is taken from them.
        assert told or kind is description_mutant, f"mutant {number} of {part} came in without a word"
        whole, lost = whole + (names == written), lost + (not names)
    # Harm that spares a version must not cost it: most harm spares most of them.
    assert whole > len(harmed) * 0.3
    assert lost < len(harmed) * 0.4


def test_harmed_bare_lists_never_crash(original):
    """A bare list has no checksums, so a strange version may enter; what is no version never does."""
    import random

    bare = opened(original[0])["versions.geojsons"]
    for number in range(5000 if LONG else 300):
        taken = taken_or_none(bytes_mutant(bare, random.Random(number)))
        if taken is None:
            continue
        assert taken.notes
        for version in taken.versions:
            assert name_of(version.text) == version.name


def test_every_changed_bit_is_noticed(original):
    """No single bit of a file can change without a word, and none makes a strange version enter."""
    data, written = original
    versions = range(len(data)) if LONG else range(200, data.index(b"datapackage.json"), 3)
    tail = range(len(data) - 60, len(data))
    spots = [*versions] if LONG else [*versions, *range(versions.stop, len(data), 97), *tail]
    harmed = bytearray(data)
    for spot in spots:
        for bit in range(8) if LONG else (spot % 8,):
            harmed[spot] ^= 1 << bit
            names, told = what_came(bytes(harmed), written, known=written.intersection)
            harmed[spot] ^= 1 << bit
            assert told, f"bit {bit} of byte {spot} changed without a word"
            assert names == frozenset()


def test_the_checker_survives_the_same_harm(original):
    """Whatever became of a group file, the checker gives a report, and finds none that was harmed beyond reproach."""
    with warnings.catch_warnings():
        warnings.simplefilter("ignore", UserWarning)
        harmed = list(mutants(original[0], 2000 if LONG else 100, seed=9))
    for kind, number, mutant in harmed:
        report = check(mutant)
        assert report.problems or report.notes or kind is description_mutant, number
