"""What is said of shared files, in words of those who gather, whatever language the reader of files spoke."""

from __future__ import annotations

import pytest

from field_app.core.problems import Problem
from field_app.store.quarantine import SetAside
from field_app.ui.history_words import Names
from field_app.ui.share_words import grouped, in_words, plain_problems
from field_app.ui.sharing import CameIn

OWN, OTHER = "8b21" + "0" * 12, "9000" + "3" * 12


@pytest.mark.parametrize(("kind", "said", "plain"), [
    ("cut", "ist abgeschnitten", "is not whole: its end is missing"),
    ("damaged", "passt nicht zu seiner Prüfsumme", "was changed or damaged on its way here"),
    ("records-missing", "von 12 Einträgen fehlen 3", "3 of its 12 records are missing or damaged"),
    ("records-missing", "von 1 Eintrag fehlt 1", "1 of its 1 records are missing or damaged"),
    ("newer-file", "ist 2; dieses Programm liest 1", "was written by a newer field book than this one"),
    ("not-ours", "enthält nichts von uns", "is no file of a field book"),
    ("planners-file", "ist für die Planung",
     "is what goes to a dye day: it tells what there is, and can't be taken in"),
])
def test_what_is_wrong_is_told_by_its_kind(kind, said, plain):
    """The kind decides what is said, not the words that came with it; inner names of the file are left out."""
    told = plain_problems([Problem("lots.zip, versions.geojsons record 3", said, "Noch einmal.", kind=kind)] * 2)
    assert [(one.where, one.what) for one in told] == [("lots.zip", plain)]


def test_what_has_no_kind_is_told_as_it_is():
    """Words that the reader of files has for a person are kept."""
    told = plain_problems([Problem("draws.csv row 3", "has no amount", "Write how much.")])
    assert [str(one) for one in told] == ["draws.csv row 3: has no amount. Write how much."]


def test_what_is_set_aside_is_counted_by_its_reason():
    """Records of one file that were set aside for the same reason are told once, with the time of the last."""
    aside = [SetAside(f"ni:{number}", "group.zip", number, Problem(
        f"versions.geojsons record {number}", "is not what was written", "Ask.", kind="damaged"), b"")
        for number in (1, 2)]
    ((why, count, last),) = grouped(aside)
    assert (why.where, why.what) == ("group.zip", "was changed or damaged on its way here")
    assert (count, last) == (2, 2)


def test_what_came_in_is_counted_in_sentences():
    """One and many are told apart, and large numbers are readable."""
    names = Names(OWN, [OWN, OTHER])
    heading, lines = in_words(CameIn(files=1, lots=1, trees=2, new=1200, known=1, devices={OTHER: 1200}), names)
    assert heading == "1 new lot and 2 new trees"
    assert lines == ("1,200 records came in: 1,200 from device 9000.", "1 record was known here already.")
    assert in_words(CameIn(files=1, draws=1), names) == ("1 draw taken from your lots", ())
