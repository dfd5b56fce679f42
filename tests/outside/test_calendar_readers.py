"""The calendar read back by an independent reader, and held against RFC 5545 itself."""

import datetime as dt
import re
import warnings

import pytest

from field_app.core.forms import LeaveForm, SiteForm
from field_app.core.looks import LookForm
from field_app.handover.calendar import calendar_file
from field_app.store import add_look, calendar_days, due_days, timings
from tests.sync.island import Device

with warnings.catch_warnings():
    warnings.simplefilter("ignore")  # an older library, which warns about itself
    import vobject

NOW = dt.datetime.fromisoformat("2026-09-10T15:00:00-02:00")
NAME = "Weir, upper; \"the\\old\" one, where the two cart tracks meet the brook below the mill"


@pytest.fixture
def book(tmp_path):
    device = Device(tmp_path / "data", 1, now=NOW)
    device.book.add_site(SiteForm(NAME, position="44.012345, -28.005678", materials=("black-walnut",),
                                  leave=LeaveForm("given", until="2026-09-30", limit="20 kg")))
    device.book.add_site(SiteForm("Marsh", materials=("alder-cones",), leave=LeaveForm("not-asked")))
    device.book.add_site(SiteForm("School", materials=("black-walnut",), leave=LeaveForm("refused", by="the school")))
    yield device.book
    device.close()


def written(book, made=NOW, **how):
    return calendar_file(calendar_days(due_days(timings(book)), **how), made=made, version="0.1.0")


def events(data):
    return vobject.readOne(data.decode()).vevent_list


def test_an_independent_reader_finds_the_same_days(book):
    """Titles, days, alarms and words come back as they were meant, commas, quotes and backslashes in them too."""
    dues = due_days(timings(book))
    found = events(written(book))
    assert [event.dtstart.value for event in found] == [due.day.date for due in dues]
    assert [event.dtend.value - event.dtstart.value for event in found] == [dt.timedelta(days=1)] * len(found)
    assert [event.summary.value for event in found] == [due.summary for due in dues]
    assert [event.description.value for event in found] == [due.words for due in dues]
    assert any(event.summary.value.startswith(NAME) for event in found)
    assert all(event.valarm.trigger.value == dt.timedelta(hours=-6) for event in found)
    assert all(event.transp.value == "TRANSPARENT" for event in found)


def test_the_range_stands_in_every_day_and_refused_trees_in_none(book):
    """Each day says between which days it is ready; where leave was refused there is none, and the rest is told."""
    words = [event.description.value for event in events(written(book))]
    assert all(re.search(r"between \d+ \w{3} and \d+ \w{3}, most likely by \d+ \w{3}", text) for text in words)
    assert any("saves about" in text for text in words)
    assert any("Leave has ended by then" in text for text in words)
    assert any("Leave was not asked yet" in text for text in words)
    assert not any("School" in event.summary.value for event in events(written(book)))


def test_a_second_import_updates(book):
    """After a look the same UIDs come with other days, a later DTSTAMP and a higher SEQUENCE (RFC 5545, 3.8.7)."""
    first = {event.uid.value: event for event in events(written(book))}
    add_look(book, NAME, LookForm(stage="green"))
    later = {event.uid.value: event for event in events(written(book, NOW + dt.timedelta(hours=3)))}
    assert set(first) == set(later)
    assert any(first[uid].dtstart.value != later[uid].dtstart.value for uid in first)
    for uid, event in first.items():
        assert int(later[uid].sequence.value) > int(event.sequence.value) >= 0
        assert later[uid].dtstamp.value > event.dtstamp.value
        assert event.dtstamp.value.utcoffset() == dt.timedelta(0)
        assert re.fullmatch(r"[0-9a-f-]{36}", uid)


def test_no_position_is_in_it_unless_asked(book):
    """Without asking neither digits of a position nor GEO are in any byte; asked for, both come back."""
    plain = written(book)
    assert b"GEO" not in plain
    assert b"44.0" not in plain
    assert b"LOCATION" not in plain
    found = [event for event in events(written(book, exact=True)) if event.summary.value.startswith(NAME)]
    assert {event.location.value for event in found} == {NAME}
    assert {event.geo.value for event in found} == {"44.012345;-28.005678"}


def test_the_bytes_are_content_lines(book):
    """CRLF after each line, none longer than 75 octets (RFC 5545, 3.1), one calendar with version and product."""
    data = written(book)
    lines = data.split(b"\r\n")
    assert lines.pop() == b""
    assert all(b"\n" not in line and len(line) <= 75 for line in lines)
    assert (lines[0], lines[-1]) == (b"BEGIN:VCALENDAR", b"END:VCALENDAR")
    assert {b"VERSION:2.0", b"CALSCALE:GREGORIAN"} <= set(lines)
    assert any(line.startswith(b"DTSTART;VALUE=DATE:") for line in lines)


def test_the_same_days_and_time_give_the_same_bytes(book):
    """Nothing in it is by chance."""
    assert written(book) == written(book)
