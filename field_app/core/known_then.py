"""What of one's own was known at an earlier time: so that an earlier forecast is judged without hindsight.

A test or a swatch counts from when it was made, a value from when it was set; at that very time it is not known yet.
Of a value that was set several times only the last one is held, so before that the table's stands.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable

from field_app.core.own import OwnRecords

__all__ = ["records_before"]


def records_before(records: OwnRecords, when: dt.date) -> OwnRecords:
    """Those of before a day, or of before a moment if it is one with its time and offset."""
    known = _before(when)
    return OwnRecords(tuple(one for one in records.values if known(one.facts.at)),
                      tuple(one for one in records.tests if known(one.facts.at)),
                      tuple(one for one in records.swatches if known(one.facts.at)))


def _before(when: dt.date) -> Callable[[str], bool]:
    if isinstance(when, dt.datetime):
        return lambda at: dt.datetime.fromisoformat(at) < when
    return lambda at: dt.datetime.fromisoformat(at).date() < when
