"""One tab writes, newer records are left alone, full storage is told: nothing is lost to any of them."""

from __future__ import annotations

import re

from field_app.store import HEAD
from field_app.store.journal import entry
from tests.phone.handset import START, Handset, Host, wait
from tests.phone.test_no_signal import ALL, BEFORE


def log_at_mill_lane(handset: Handset) -> None:
    handset.tap("Log a windfall")
    handset.tap(re.compile("Mill lane"))
    for sign in ("1", "4", "decimal sign", "2"):
        handset.tap(sign, exact=True)
    handset.tap("Save this windfall")


def test_a_second_tab_only_looks(handset: Handset, host: Host) -> None:
    """A second tab says that another one writes, shows what is saved, and saves nothing; it may once it is alone."""
    handset.python(BEFORE)
    before = handset.python(ALL)
    first = handset.another_tab()
    handset.open(host.address, seen=False)
    notice = handset.page.get_by_role("alert")
    notice.get_by_role("heading", name="The field book is open in another tab").wait_for(timeout=START)
    handset.shot("phone-second-tab")
    handset.page.get_by_role("button", name="Only look").click()
    handset.wake()
    assert handset.python(ALL) == before
    handset.see(re.compile("Mill lane"))
    log_at_mill_lane(handset)
    handset.see(re.compile("the field book is open in another tab, and only that one may save"), timeout=60_000)
    handset.see("13.1 kg (12.7–13.5)")
    handset.shot("phone-only-looks")
    assert handset.python(ALL) == before
    # However much Python there frees or collects, the first tab holds on; then it goes, and this one may write.
    first.close()
    handset.page.goto("about:blank")
    handset.open(host.address)
    assert handset.page.get_by_role("alert").count() == 0
    log_at_mill_lane(handset)
    handset.see(re.compile("Saved as "), timeout=60_000)
    assert len(handset.python(ALL)) == 2


def test_newer_records_are_refused_and_not_touched(handset: Handset, host: Host) -> None:
    """Records that a newer version wrote are said to be that, and stay byte for byte as they are."""
    handset.python(BEFORE)
    handset.leave_app()
    files = handset.files()
    assert files["field-book.records"] == files["field-book.records.copy"]
    newer = entry({"format": "field-app journal", "v": 2}) + files["field-book.records"][len(HEAD):]
    handset.put_file("field-book.records", newer)
    handset.page.goto(host.address, wait_until="commit")
    notice = handset.page.get_by_role("alert")
    notice.wait_for(timeout=START)
    assert "written by a newer version of this program" in notice.inner_text()
    assert "nothing that is saved was touched" in notice.inner_text()
    handset.shot("phone-newer")
    handset.leave_app()
    assert handset.files() == {**files, "field-book.records": newer}


def test_without_room_nothing_is_lost(handset: Handset) -> None:
    """With the storage full, saving says so, keeps what was typed and what was saved; with room it saves."""
    handset.python(BEFORE)
    handset.reload()
    handset.room(1)
    # What the file still takes without asking for more room is used up first, by lots that were taken back.
    filled = handset.python("""
from field_app.core.problems import NoRoom
from field_app.core.records import Draft
from field_app.ids import new_id
facts = {"site": book.sites()[0].id, "gathered": "2026-10-08T15:24:00-02:00", "note": "x" * 1900}
count = 0
try:
    while count < 200:
        book.log_book.append([Draft(new_id(), "lot", facts, deleted=True) for _ in range(100)],
                             now_ms=round(1000 * book.now().timestamp()))
        count += 1
except NoRoom:
    pass
json.dumps(count)""")
    # A smaller save may still fit, so the last room goes with ever smaller ones.
    handset.python("""
for size in (50, 20, 10, 5, 2, 1, 1, 1):
    try:
        book.log_book.append([Draft(new_id(), "lot", facts, deleted=True) for _ in range(size)],
                             now_ms=round(1000 * book.now().timestamp()))
    except NoRoom:
        pass
json.dumps(0)""")
    assert filled < 200, "the storage did not run full"
    before = handset.python(ALL)
    log_at_mill_lane(handset)
    handset.see(re.compile("there is no room left on this phone"), timeout=60_000)
    handset.see("13.1 kg (12.7–13.5)")
    handset.shot("phone-no-room")
    assert handset.python(ALL) == before
    handset.room(None)
    handset.tap("Save this windfall")
    handset.see(re.compile("Saved as "), timeout=60_000)
    wait(lambda: len(handset.python(ALL)) == len(before) + 1, START, lambda: "it was not saved", handset.page)
    handset.reload()
    assert len(handset.python(ALL)) == len(before) + 1
