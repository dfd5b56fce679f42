"""Files of the first format, checked in: whatever the program becomes, it reads them as they were meant."""

import pytest

from field_app.handover import check
from field_app.handover.take import PlannersFile, take
from field_app.sync import disagreements, merge_bytes, set_aside
from tests.sync.island import digest
from tests.sync.make_golden import GROUP, PLANNER

#: SHA-256 of versions.geojsons in the group file, which is the same on every machine.
VERSIONS = "f2bd4f02d10d7b53a7c8a209313de54a62f94682cb62abc06610eb3c5742dc4a"


def test_the_group_file_is_read_whole():
    """Every version enters, nothing is set aside, and the sequence is the one that was checked in."""
    data = GROUP.read_bytes()
    taken = take(data)
    assert (taken.problems, taken.notes, taken.quarantined, taken.cut) == ((), (), (), False)
    assert len(taken.versions) == 13
    assert digest(data) == taken.digest == VERSIONS
    assert check(data).problems == ()


def test_the_group_file_means_what_it_meant(devices):
    """Sites, lots, what is left, what was drawn too much and what is disputed are told as they were."""
    book = devices(number=9).book
    assert merge_bytes(book, GROUP.read_bytes(), "group-1.zip").new == 13
    assert set_aside(book.log_book) == ()
    assert [site.name for site in book.sites()] == ["Mill lane", "Old orchard"]
    lots = {lot.facts.basis: lot for lot in book.lots()}
    assert lots["counted"].facts.count == 120
    disputed = lots["weighed"]
    assert (disputed.site_name, disputed.facts.ripeness) == ("Old orchard", "browned")
    assert disputed.facts.gross.value == "13"
    assert (disputed.life.state, disputed.life.left.unit) == ("strained", "L")
    assert disputed.life.left.central == pytest.approx(5)
    assert disputed.life.nuts_kg == pytest.approx(2)
    assert [draw.facts.amount.value for draw in disputed.life.misfits] == ["8"]
    assert {one.difference.about for one in disagreements(book)} == {"how much", "where", "when", "how ripe"}


def test_the_planners_file_is_still_good():
    """The checker finds nothing wrong with it, and taking it in is refused with words."""
    report = check(PLANNER.read_bytes())
    assert (report.profile, report.problems) == ("planner", ())
    assert dict(report.counts) == {"lots": 2, "sites": 2}
    with pytest.raises(PlannersFile):
        take(PLANNER.read_bytes())
