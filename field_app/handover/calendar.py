"""The days to come back on as a calendar (iCalendar, RFC 5545) that any program for calendars takes in.

The law of this file:

1. The third come-back of a tree in a season has the same UID whenever it is written, so a second import updates it.
2. SEQUENCE is the number of minutes since 2020 at which it was written, and DTSTAMP the time in UTC: a later file
   always counts, an earlier one never.
3. Days are days of the calendar without a time zone, and take no time from the person's day (TRANSPARENT).
4. No position is in it unless somebody asks; then GEO and LOCATION hold it.
"""

from __future__ import annotations

import datetime as dt
import uuid
from collections.abc import Iterable

from field_app.core.comeback import CalendarDay

__all__ = ["calendar_file"]

#: The space of names in which a tree, a season and a place in the list become a UID (RFC 9562, 5.5; RFC 7986, 5.3).
_DAYS = uuid.UUID("c2c0b0de-54f0-5b3c-93b4-0f5b1d6e4a77")
_COUNTED_FROM = dt.datetime(2020, 1, 1, tzinfo=dt.UTC)


def calendar_file(days: Iterable[CalendarDay], *, made: dt.datetime, version: str,
                  remind: dt.timedelta = dt.timedelta(hours=6)) -> bytes:
    """The calendar as bytes; made: when, with its offset; remind: so long before the day begins."""
    import icalendar

    calendar = icalendar.Calendar()
    calendar.add("prodid", f"-//field-app//field-app {version}//EN")
    calendar.add("version", "2.0")
    calendar.add("calscale", "GREGORIAN")
    calendar.add("method", "PUBLISH")
    stamp = made.astimezone(dt.UTC).replace(microsecond=0)
    for one in days:
        event = icalendar.Event()
        event.add("uid", str(uuid.uuid5(_DAYS, one.key)))
        event.add("dtstamp", stamp)
        event.add("last-modified", stamp)
        event.add("sequence", max(0, int((stamp - _COUNTED_FROM).total_seconds() // 60)))
        event.add("dtstart", one.day.date)
        event.add("dtend", one.day.date + dt.timedelta(days=1))
        event.add("summary", one.summary)
        event.add("description", one.words)
        event.add("transp", "TRANSPARENT")
        if one.place:
            event.add("location", one.place)
        if one.position is not None:
            event.add("geo", (one.position.lat, one.position.lon))
        alarm = icalendar.Alarm()
        alarm.add("action", "DISPLAY")
        alarm.add("description", one.summary)
        alarm.add("trigger", -remind)
        event.add_component(alarm)
        calendar.add_component(event)
    text: bytes = calendar.to_ical()
    return text
