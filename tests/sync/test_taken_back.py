"""A lot that one device took back is brought back on another, and everyone has it again."""

import datetime as dt

import pytest

from field_app.core.problems import Refused
from field_app.core.records import Draft
from field_app.store import bring_back, count_taken_back, taken_back


@pytest.fixture
def gone(devices, shared):
    """Two devices that know a lot, drawn from, which the first took back."""
    one, two = devices(), devices()
    one.site()
    lot = one.lot()
    one.draw(lot.id, "2 kg", by="the parish")
    one.book.withdraw(lot.id)
    one.sync(shared)
    two.sync(shared)
    return one, two, lot


def test_another_device_brings_it_back(gone, shared):
    """It is listed there with its code, its day and its device, and comes back as it was, for both."""
    one, two, lot = gone
    (found,) = taken_back(two.book)
    assert (found.id, found.code, found.device, found.lot.site_name) == (lot.id, lot.code, one.id, "Mill lane")
    assert found.at.date() == dt.date(2026, 10, 8)
    assert bring_back(two.book, lot.code) == lot.id
    two.sync(shared)
    one.sync(shared)
    for device in (one, two):
        (back,) = device.book.lots()
        assert (back.facts, back.position, back.net, len(back.life.draws)) == (lot.facts, lot.position, lot.net, 1)
        assert (taken_back(device.book), count_taken_back(device.book)) == ((), 0)
    assert one.texts() == two.texts()


def test_both_bring_it_back_and_nobody_disagrees(gone, shared):
    """Two who bring the same lot back say the same, so there is nothing to settle."""
    one, two, lot = gone
    for device in (one, two):
        bring_back(device.book, lot.id)
    two.sync(shared)
    report = one.sync(shared)
    assert (report.disagreements, [one.id for one in one.book.lots()]) == ((), [lot.id])


def test_undoing_takes_it_back_again(gone):
    """Who brought it back by mistake undoes that."""
    _, two, lot = gone
    bring_back(two.book, lot.id)
    two.book.undo()
    assert [one.id for one in taken_back(two.book)] == [lot.id]


def test_what_is_not_taken_back_is_refused(gone):
    """A lot that is there, a code of none, and a thing that is no lot are told apart."""
    one, _, _ = gone
    other = one.lot(gross="3 kg")
    for key, words in ((other.code, "is not taken back"), ("ZZZZ", "no lot has the code"), ("", "no lot has the code"),
                       (one.book.sites()[0].id, "no lot has the code")):
        with pytest.raises(Refused, match=words):
            bring_back(one.book, key)
    # More lots than signs of a code, so that two codes start alike.
    for number in range(33):
        one.book.withdraw(one.lot(gross=f"{number + 2} kg").id)
    starts = [found.code[0] for found in taken_back(one.book)]
    shared = next(start for start in starts if starts.count(start) > 1)
    with pytest.raises(Refused, match=rf"{starts.count(shared)} lots that are taken back have codes"):
        bring_back(one.book, shared)


def test_the_latest_comes_first_and_what_can_not_be_read_is_listed(gone):
    """Lots are listed by when they were taken back; one of a newer program has its place, and comes back too."""
    one, _, lot = gone
    odd = "urn:uuid:01890000-0000-7000-8000-0000000000ff"
    site = one.book.sites()[0].id
    one.book.log_book.append([Draft(odd, "lot", {"site": site, "material": "sea-wrack"}, deleted=True)],
                             now_ms=int(one.book.now().timestamp() * 1000))
    found = taken_back(one.book)
    assert [(gone.id, gone.lot is None) for gone in found] == [(odd, True), (lot.id, False)]
    assert [gone.id for gone in taken_back(one.book, limit=1)] == [odd]
    bring_back(one.book, odd)
    assert count_taken_back(one.book) == 1
