"""What the screen of a round says: its title, legs, times, what to take along, and the sketch in words."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Sequence

from field_app.core.cautions import cautions_for
from field_app.core.materials import MATERIALS
from field_app.core.positions import Position, compass_word, show_distance
from field_app.core.rounds import Leg, Means, Round, Stop
from field_app.core.sites import SiteNow
from field_app.ui.day_words import clock_time, full_day
from field_app.ui.parts import range_words
from field_app.ui.site_words import site_route
from field_app.ui.sketch_map import Mark
from field_app.words import later, mid, tr, tr_as, tr_n

__all__ = ["find_route", "leg_words", "light_needed", "marks_of", "minutes_words", "round_kicker", "round_title",
           "sketch_words", "stop_words", "take_along"]

_NONE: dict[Means, str] = {"foot": later("No tree is worth the walk today"),
                           "bicycle": later("No tree is worth the ride today"),
                           "car": later("No tree is worth the drive today")}
_CAUTIONS = 4


def find_route(site: str) -> str:
    """The address of the screen that leads to a site, from its id."""
    return f"{site_route(site)}/find"


def round_title(planned: Round) -> str:
    """The answer: how many trees are worth the way."""
    means, count = planned.wish.pace.means, len(planned.stops)
    if not count:
        return tr(_NONE[means])
    if means == "foot":
        return tr_n("1 tree is worth the walk today", "{n} trees are worth the walk today", count)
    if means == "bicycle":
        return tr_n("1 tree is worth the ride today", "{n} trees are worth the ride today", count)
    return tr_n("1 tree is worth the drive today", "{n} trees are worth the drive today", count)


def round_kicker(planned: Round) -> str:
    """The day, and when to be out."""
    today = planned.begins.date()
    out = tr("out by {time}", time=clock_time(planned.out_by)) if planned.out_by else (
        tr("the sun does not set") if planned.light.up else tr("the sun does not rise"))
    return f"{full_day(today, today)} · {out}"


def minutes_words(minutes: float) -> str:
    """A time as one says it, never less than a minute.

    >>> minutes_words(0.2), minutes_words(48), minutes_words(125)
    ('1 min', '48 min', '2 h 05 min')
    """
    hours, rest = divmod(max(1, round(minutes)), 60)
    return tr("{hours} h {rest:02} min", hours=hours, rest=rest) if hours else f"{rest} min"


def leg_words(leg: Leg, decimal: str = "") -> str:
    """How far and in which direction, as the bird flies."""
    if leg.straight_m < 1:
        return tr("here")
    return f"{show_distance(leg.straight_m, decimal=decimal)}, {compass_word(leg.bearing_deg)}"


def stop_words(stop: Stop) -> str:
    """Why one goes there."""
    why = stop.candidate.why
    if stop.candidate.due:
        return tr("Due: {why}", why=mid(why)) if why else tr("Due")
    return tr("Not due, but worth the way: {why}", why=mid(why)) if why else tr("Not due, but worth the way")


def marks_of(planned: Round) -> tuple[list[Mark], list[tuple[int, int]]]:
    """What is drawn: where one begins, the stops, another end, what was left out; and the legs between them."""
    marks = [Mark("you", tr_as("on a sketch", "you"), planned.start)]
    marks += [Mark("stop", stop.candidate.name, stop.candidate.position, number)
              for number, stop in enumerate(planned.stops, 1) if stop.candidate.position is not None]
    legs = [(at, at + 1) for at in range(len(planned.stops))]
    if isinstance(planned.wish.end, Position):
        marks.append(Mark("end", tr_as("of a round", "end"), planned.wish.end))
        legs.append((len(planned.stops), len(marks) - 1))
    elif planned.home is not None:
        legs.append((len(planned.stops), 0))
    marks += [Mark("left out", one.candidate.name, one.candidate.position) for one in planned.left_out
              if one.candidate.position is not None and one.why not in ("refused", "nothing")]
    return marks, legs


def sketch_words(planned: Round) -> str:
    """The sketch as a person would tell it over the telephone."""
    told = [f"{number} {stop.candidate.name}, {leg_words(stop.leg)}" for number, stop in enumerate(planned.stops, 1)]
    if planned.home is not None and planned.stops:
        told.append(tr("then to the end, {leg}", leg=leg_words(planned.home)))
    return tr("Sketch of the round, north is up. From where you begin: {stops}.", stops="; ".join(told))


def take_along(planned: Round, sites: Iterable[SiteNow], decimal: str = "") -> tuple[str, ...]:
    """What to have with one: room for what may lie there, and what the stuff asks for."""
    if not planned.stops:
        return ()
    room = range_words(planned.total, decimal=decimal)
    on_it = {stop.candidate.site for stop in planned.stops}
    lines = [tr("Sacks or pails for {room}.", room=room)]
    if light_needed(planned):
        lines.append(tr("A light."))
    shorts: list[str] = []
    for site in sites:
        if site.id in on_it:
            shorts += _shorts([key for key in site.facts.materials if key in MATERIALS])
    return (*lines, *list(dict.fromkeys(shorts))[:_CAUTIONS])


def light_needed(planned: Round | None) -> bool:
    """Whether one may be out in the dark: the round begins before sunrise, or ends within the hour before sunset."""
    if planned is None or not planned.stops:
        return False
    light = planned.light
    late = light.sunset is not None and planned.ends > light.sunset - dt.timedelta(hours=1)
    return not light.up or late or (light.sunrise is not None and planned.begins < light.sunrise)


def _shorts(keys: Sequence[str]) -> list[str]:
    return [tr(caution.short) for key in keys
            for caution in cautions_for(key, MATERIALS[key].parts[0].key, "gather")]
