"""What was said of a lot, in words, and settling where people disagree."""

import pytest

from field_app.core.history import tell
from field_app.core.problems import Refused
from field_app.sync import choices, disagreements, history, settle, subject
from tests.sync.island import windfall


@pytest.fixture
def apart(devices, shared):
    """Two devices that have corrected one lot apart and then met, and the lot."""
    one, two = devices(), devices()
    one.site()
    one.site("Ford bend", "44.02, -28.01")
    lot = one.lot(gross="11.1 kg")
    one.sync(shared)
    two.sync(shared)
    one.book.correct(lot.id, windfall(gross="12.1 kg", gathered="2026-10-08T15:00:00-02:00"))
    two.book.correct(lot.id, windfall("Ford bend", gross="10.1 kg", gathered="2026-10-08T15:00:00-02:00"))
    for device in (one, two, one):
        device.sync(shared)
    return one, two, lot


def test_a_history_tells_every_deed_in_order(devices):
    """Logged, corrected, weighed, drawn, undone, withdrawn and brought back: each with its words."""
    one = devices()
    one.site()
    lot = one.lot(gross="14.2 kg")
    one.book.correct(lot.id, windfall(gross="15.3 kg"))
    one.step(lot.id, "weighed", mass="13 kg")
    one.draw(lot.id, "3 kg", purpose="shawl")
    one.book.undo()
    one.book.withdraw(lot.id)
    one.book.undo()
    told = history(one.book, lot.id)
    assert [(entry.kind, entry.deed) for entry in told] == [
        ("lot", "logged"), ("lot", "corrected"), ("step", "done"), ("draw", "drawn"), ("draw", "withdrawn"),
        ("lot", "withdrawn"), ("lot", "brought back")]
    first, corrected, step, draw = (dict(entry.facts) for entry in told[:4])
    assert first["how much"] == "basis weighed, gross 14.2 kg, tare 1.1 kg"
    assert first["where"] == "Mill lane"
    assert corrected == {"how much": "basis weighed, gross 15.3 kg, tare 1.1 kg", "when": corrected["when"]}
    assert step["how much"] == "mass 13 kg"
    assert draw["for what"] == "purpose shawl"
    assert [entry.standing for entry in told] == [
        "replaced", "replaced", "holds", "replaced", "holds", "replaced", "holds"]
    assert told[0].words.startswith("lot logged: how much: basis weighed")


def test_a_history_needs_versions_of_one_thing(devices):
    """Telling of two things at once is a broken promise."""
    one = devices()
    one.site()
    with pytest.raises(ValueError, match="one thing"):
        tell(one.book.log_book.versions())


def test_a_version_without_what_it_replaces_is_told_whole(apart):
    """A correction whose first version is not known here still says what it says."""
    one, _, lot = apart
    (later,) = [version for version in one.book.history(lot.id) if version.device == one.id and version.parents]
    (told,) = tell([later])
    assert told.deed == "corrected"
    assert dict(told.facts)["how much"] == "basis weighed, gross 12.1 kg, tare 1.1 kg"


def test_choices_are_the_unreplaced_versions(apart):
    """Each thing somebody says is one choice, the one that holds first."""
    one, two, lot = apart
    found = choices(one.book, lot.id)
    assert [choice.number for choice in found] == [1, 2]
    assert [choice.holds for choice in found] == [True, False]
    assert {choice.device for choice in found} == {one.id, two.id}
    assert any("where: Ford bend" in choice.words and "gross 10.1 kg" in choice.words for choice in found)
    assert choices(two.book, lot.id) == found


@pytest.mark.parametrize("number", [1, 2])
def test_settling_holds_on_every_device(apart, shared, number):
    """The chosen version holds after the next sync, nobody disagrees any more, and the history says settled."""
    one, two, lot = apart
    chosen = settle(two.book, lot.id, number)
    two.sync(shared)
    one.sync(shared)
    for device in (one, two):
        assert disagreements(device.book) == ()
        assert choices(device.book, lot.id) == ()
        last = history(device.book, lot.id)[-1]
        assert (last.deed, last.standing) == ("settled", "holds")
        said = device.book.history(lot.id)
        assert said[-1].facts == next(version.facts for version in said if version.name == chosen.version)


def test_two_who_settle_alike_leave_nothing_to_settle(apart, shared):
    """Both chose the same before they met: two versions that say the same are no disagreement."""
    one, two, lot = apart
    wanted = choices(one.book, lot.id)[1].version
    for device in (one, two):
        settle(device.book, lot.id, next(c.number for c in choices(device.book, lot.id) if c.version == wanted))
    for device in (one, two, one):
        device.sync(shared)
    assert len(one.book.log_book.thing(lot.id).heads) == 2
    assert disagreements(one.book) == choices(one.book, lot.id) == ()


def test_a_withdrawal_against_a_correction_is_a_choice(devices, shared):
    """One took the lot back while another corrected it: it stays, and the choice is shown."""
    one, two = devices(), devices()
    one.site()
    lot = one.lot()
    one.sync(shared)
    two.sync(shared)
    one.book.withdraw(lot.id)
    two.book.correct(lot.id, windfall(gross="9 kg"))
    for device in (one, two, one):
        device.sync(shared)
    found = choices(one.book, lot.id)
    assert [choice.words for choice in found if not choice.holds] == ["withdrawn"]
    assert "it stays" in next(choice.words for choice in found if choice.holds)
    settle(one.book, lot.id, next(choice.number for choice in found if not choice.holds))
    assert one.book.count("lot") == 0


def test_a_choice_that_is_none_is_refused(apart, devices):
    """Numbers outside the list, and settling what nobody disagrees about, are refused with words."""
    one, _, lot = apart
    for number in (0, 3, -1):
        with pytest.raises(Refused, match="none of 1 to 2"):
            settle(one.book, lot.id, number)
    lone = devices()
    lone.site()
    with pytest.raises(Refused, match="nobody disagrees"):
        settle(lone.book, lone.lot().id, 1)


def test_a_site_has_a_history_without_its_lots(apart):
    """A place is found by name and tells of itself and of leave; its lots tell for themselves."""
    one, _, lot = apart
    mill = subject(one.book, "mill lane")
    assert (mill.kind, mill.name) == ("site", "Mill lane")
    assert [entry.kind for entry in history(one.book, mill.id)] == ["site", "leave"]
    assert subject(one.book, lot.code.lower()).id == subject(one.book, lot.id).id == lot.id
    with pytest.raises(Refused, match="no lot has the code"):
        subject(one.book, "nowhere")


def test_a_withdrawn_lot_keeps_its_history(devices):
    """By its id it is found after it was taken back."""
    one = devices()
    one.site()
    lot = one.lot()
    one.book.withdraw(lot.id)
    assert subject(one.book, lot.id).name == lot.code
    assert [entry.deed for entry in history(one.book, lot.id)] == ["logged", "withdrawn"]
