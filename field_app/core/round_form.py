"""What a person types to plan a round, and what is made of it; every fault is told at once."""

from __future__ import annotations

import dataclasses
import datetime as dt
import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from types import MappingProxyType
from typing import Any, Literal, get_args

from field_app.core.day_text import clock_time
from field_app.core.durations import read_hours
from field_app.core.forms import Reader
from field_app.core.moments import by_24_hours, read_day
from field_app.core.positions import Fix, Position, read_position
from field_app.core.problems import Refused, refuse
from field_app.core.rounds import PACES, Means, Pace, Wish
from field_app.core.shown_units import KM_PER_MILE
from field_app.core.sites import SiteNow, name_key
from field_app.core.units import read_measure, read_number, show_value
from field_app.words import later, tr

__all__ = ["Asked", "RoundForm", "read_round", "read_until"]

_SPEED = re.compile(r"(?P<number>[^a-z]+?)\s*(?P<unit>km/h|kmh|kph|mph|mi/h)?")
_CLOCK = re.compile(r"(\d{1,2})[:.](\d{2})\Z", re.ASCII)
#: What a figure of the pace may be: from, to [in the unit of its field].
_SENSE: Mapping[str, tuple[float, float, str]] = MappingProxyType({
    "speed": (0.5, 130.0, "km/h"), "detour": (1.0, 5.0, later("times the straight line")), "hour": (0.0, 200.0, "kg")})


@dataclass(frozen=True, slots=True)
class RoundForm:
    """A round as typed; what is empty is as usual.

    start, end: a position, or the name of a site; end "start" to come back, "open" to end anywhere;
    until: time of day; carry: a mass; need: a mass, or cloth; means: foot, bicycle or car; speed [km/h], detour [1],
    stop (a time), hour (what an hour more must bring [kg]); next_day: the next one on which one could go.
    """

    start: str | Fix = ""
    end: str | Fix = "start"
    until: str = ""
    carry: str = ""
    need: str = ""
    means: str = "foot"
    speed: str = ""
    detour: str = ""
    stop: str = ""
    hour: str = ""
    next_day: str = ""


@dataclass(frozen=True, slots=True)
class Asked:
    """What a form asks for: where it begins, the wish, and the next day on which one could go, if it was told.

    need_words: how the need came about, if it was told as cloth.
    """

    start: Position
    wish: Wish
    next_day: dt.date | None
    need_words: str = ""


def read_until(text: str, now: dt.datetime, *, where: str = "until") -> dt.datetime:
    """A time of day, still to come on the day of ``now``.

    >>> read_until("17:30", dt.datetime.fromisoformat("2026-10-08T15:00:00-02:00")).isoformat()
    '2026-10-08T17:30:00-02:00'
    """
    match = _CLOCK.match(by_24_hours(text))
    try:
        if match is None:
            raise ValueError
        until = now.replace(hour=int(match[1]), minute=int(match[2]), second=0, microsecond=0)
    except ValueError:
        raise refuse(where, tr("{text!r:.40} is not a time of day", text=text.strip()),
                     tr("Type it like 17:30.")) from None
    if until <= now:
        raise refuse(where, tr("{until} is past, it is {now}", until=clock_time(until), now=clock_time(now)),
                     tr("Type a later time, or leave it out."))
    return until


def read_round(form: RoundForm, sites: Sequence[SiteNow], now: dt.datetime, *, names: Mapping[str, str] | None = None,
               read_need: Callable[[str, str], tuple[float | None, str]] | None = None) -> Asked:
    """What a form asks for.

    names: what its fields are called where they were typed, for the messages; read_need: gives what is enough [kg]
    and how it came about, from the text and the name of its field; without it only a mass is read.
    Raises Refused with everything that can't be read.
    """
    reader, called = Reader(), dict(names or {})

    def name(field: str) -> str:
        return called.get(field, field)

    start = None
    if isinstance(form.start, str) and not form.start.strip():
        reader.wrong(name("start"), tr("where you begin is missing"),
                     tr("Give a position such as 44.0123, -28.0057, or the name of a site."))
    else:
        start = reader.read(lambda: _place(form.start, sites, name("start")))
    end: Literal["start", "open"] | Position | None
    if isinstance(form.end, str) and form.end.strip() in ("", "start", "open"):
        end = "open" if form.end.strip() == "open" else "start"
    else:
        end = reader.read(lambda: _place(form.end, sites, name("end")))
    until = reader.read(lambda: read_until(form.until, now, where=name("until"))) if form.until.strip() else None
    next_day = reader.read(lambda: read_day(form.next_day, where=name("next_day"))) if form.next_day.strip() else None
    if next_day is not None and next_day <= now.date():
        reader.wrong(name("next_day"), tr("{day} is not after today", day=next_day),
                     tr("Give the next day on which you could go."))
    carry, need, need_words = _mass(reader, form.carry, name("carry")), None, ""
    if read_need is None:
        need = _mass(reader, form.need, name("need"))
    else:
        need, need_words = reader.read(lambda: read_need(form.need, name("need"))) or (None, "")
    pace = _pace(reader, form, name)
    if reader.problems or start is None or end is None or pace is None:
        raise Refused(reader.problems)
    return Asked(start, Wish(end, until, carry, need, pace), next_day, need_words)


def _place(given: str | Fix, sites: Sequence[SiteNow], where: str) -> Position:
    if isinstance(given, Fix):
        return given.position
    found = [site for site in sites if given == site.id or name_key(site.name) == name_key(given)]
    if len(found) == 1:
        if found[0].position is None:
            raise refuse(where, tr("where {name} is was not noted", name=found[0].name),
                         tr("Give a position, or another site."))
        return found[0].position
    if not any(sign.isdigit() for sign in given):
        raise refuse(where, tr("{given!r:.60} is neither a position nor a site", given=given.strip()),
                     tr("List the sites to see their names."))
    return read_position(given, where=where).position


def _mass(reader: Reader, text: str, where: str) -> float | None:
    if not text.strip():
        return None
    mass = reader.read(lambda: read_measure(text, kind="mass", where=where, default_unit="kg"))
    if mass is not None and not mass.si > 0:
        reader.wrong(where, tr("is nothing"), tr("Leave it out, or give how much."))
        return None
    return None if mass is None else mass.si


def _figure(field: str, text: str, where: str) -> float:
    """A figure of the pace [unit of its field]; a speed may be told in mph, what an hour brings in pounds."""
    if field == "hour":
        return read_measure(text, kind="mass", where=where, default_unit="kg").si
    if field == "speed" and (told := _SPEED.fullmatch(text.strip().casefold())) is not None:
        miles = bool(told["unit"]) and told["unit"].startswith("m")
        return float(read_number(told["number"], where=where)) * (KM_PER_MILE if miles else 1.0)
    return float(read_number(text, where=where))


def _pace(reader: Reader, form: RoundForm, name: Callable[[str], str]) -> Pace | None:
    means: Means | None = next((one for one in get_args(Means) if one == form.means), None)
    if means is None:
        reader.wrong(name("means"), tr("{word!r:.40} is not known", word=form.means),
                     tr("Choose one of: {choices}.", choices=", ".join(get_args(Means))))
        return None
    told: dict[str, Any] = {}
    for field, (least, most, unit) in _SENSE.items():
        text = getattr(form, field)
        if not text.strip():
            continue
        number = reader.read(lambda text=text, field=field:  # type: ignore[misc]  # a lambda's default
                             _figure(field, text, name(field)))
        if number is not None and not least <= number <= most:
            reader.wrong(name(field), tr("{text} makes no sense here", text=text.strip()),
                         tr("Give {least} to {most}.", least=show_value(least, unit).partition(" ")[0],
                            most=show_value(most, tr(unit))))
        elif number is not None:
            told[field] = number
    if form.stop.strip():
        hours = reader.read(lambda: read_hours(form.stop, where=name("stop")))
        if hours is not None:
            told["stop"] = hours * 60
    return dataclasses.replace(PACES[means], **told)
