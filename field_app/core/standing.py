"""How a tree stands on a day: coming, perhaps ready, ready, past its best, or over; decided here, for all who say it.

The law of this file:

1. A tree counts as ready only while most of its crop is still sound; after that it is past its best, however much
   lies under it: what lies there may still be worth the way, but nobody is told that it is ready.
2. It is ready if a look of these days found it so, or if that is more likely than not.
3. It may be ready from the day on which one in ten such trees is, until then.
4. A look that found it over ends its season, and so does the last day on which going there makes sense.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable
from typing import Literal

from field_app.core.ripeness import Forecast
from field_app.core.visits import READY
from field_app.words import tr

__all__ = ["Standing", "standing", "standing_words"]

Standing = Literal["ready", "maybe", "late", "coming", "over"]
#: From this probability on nobody would ask for the figure [1].
_PLAIN = 0.9
#: A look counts as seen just now for so long [d] (common practice, no source).
_FRESH = 3


def standing(told: Forecast, today: dt.date) -> Standing:
    """How the tree of a forecast stands on a day."""
    if told.ends < today or any(one.stage == "over" for one in told.seen):
        return "over"
    if today > told.sound_until:
        return "late"
    if told.ready_today >= READY or _just_seen(told, today):
        return "ready"
    return "maybe" if told.p10 <= today else "coming"


def _just_seen(told: Forecast, today: dt.date) -> bool:
    """Whether somebody looked a few days ago at most, and found it ready."""
    last = max((one for one in told.seen if one.kg is None), key=lambda one: one.day, default=None)
    return last is not None and last.found_ready and (today - last.day).days <= _FRESH


def _gone_by(told: Forecast, today: dt.date) -> float:
    """The probability that half of it has turned [1]."""
    sound = (told.sound_until - told.p50).days
    return told.belief.chance(told.season.day_of(today) - sound)


def standing_words(told: Forecast, today: dt.date, day: Callable[[dt.date], str]) -> str:
    """The same in a few words, with the day that matters next; ``day`` shows a date."""
    stands = standing(told, today)
    if stands == "over":
        return tr("Over for this year")
    share = f"{told.ready_today * 100:.0f} %"
    sure = told.ready_today >= _PLAIN or _just_seen(told, today)
    middle, end = day(told.p50), day(told.sound_until)
    if told.kind == "sap":
        return _of_sap(stands, share, middle, end, sure=sure)
    if stands == "coming":
        return tr("Ready around {day}", day=middle)
    if stands == "maybe":
        return tr("It may be ready now: {share}", share=share)
    if stands == "late":
        return (tr("Past its best since about {day}", day=end) if _gone_by(told, today) >= _PLAIN
                else tr("Probably past its best since about {day}", day=end))
    return (tr("Ready now; go by {day}", day=end) if sure
            else tr("Probably ready ({share}); go by {day}", share=share, day=end))


def _of_sap(stands: Standing, share: str, middle: str, end: str, *, sure: bool) -> str:
    if stands == "coming":
        return tr("The sap is up around {day}", day=middle)
    if stands == "maybe":
        return tr("The sap may be up: {share}", share=share)
    if stands == "late":
        return tr("The sap has gone down since about {day}", day=end)
    return (tr("The sap is up, until about {day}", day=end) if sure
            else tr("The sap is probably up ({share}), until about {day}", share=share, day=end))
