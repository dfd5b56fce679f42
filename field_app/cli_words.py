"""What the commands print: the same facts as words for people and as JSON for programs."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Iterator, Mapping
from pathlib import Path
from typing import Any

from field_app.core.day_text import day_and_time, plain_day
from field_app.core.estimate import Reason
from field_app.core.keeping import use_by_now
from field_app.core.lots import LotNow
from field_app.core.materials import RIPENESS, material
from field_app.core.positions import Position, bearing_deg, compass_word, distance_m, show_distance
from field_app.core.sites import SiteNow
from field_app.core.units import show_measure, show_range
from field_app.words import basis_words, mid, state_words, tr, tr_n

__all__ = ["leave_words", "lot_heading", "lot_json", "lot_keeps", "lot_line", "lot_words", "reason_lines",
           "report_lines", "row", "site_json", "site_line"]


def leave_words(site: SiteNow, day: dt.date) -> str:
    """Leave to gather, as a sentence."""
    leave, state = site.leave, site.leave_on(day)
    if leave is None or state == "not-asked":
        return tr("Leave was not asked yet.")
    who, until = leave.by, plain_day(leave.until) if leave.until else ""
    if state == "refused":
        return tr("Leave was refused by {who}.", who=who) if who else tr("Leave was refused.")
    if state == "expired":
        return (tr("Leave given by {who} ended on {day}; ask again.", who=who, day=until) if who
                else tr("Leave given ended on {day}; ask again.", day=until))
    if until:
        given = (tr("Leave given by {who} until {day}", who=who, day=until) if who
                 else tr("Leave given until {day}", day=until))
    else:
        given = tr("Leave given by {who}", who=who) if who else tr("Leave given")
    if leave.limit is None:
        return f"{given}."
    return tr("{leave}, {mass} at most.", leave=given, mass=show_measure(leave.limit))


def row(label: str, figure: str, width: int = 16) -> str:
    """A name and its figure, set in, the figures below each other: width [1] is from one to the other."""
    return f"  {label:<{width - 1}} {figure}"


def _point(position: Position | None) -> dict[str, float] | None:
    return None if position is None else {"lat": position.lat, "lon": position.lon}


def site_json(site: SiteNow, day: dt.date, here: Position | None = None) -> dict[str, Any]:
    """A site, for programs."""
    data: dict[str, Any] = {"id": site.id, "name": site.name, "materials": list(site.facts.materials),
                            "position": _point(site.position), "note": site.facts.note,
                            "leave": {"state": site.leave_on(day)}}
    if site.leave is not None:
        told = site.leave.as_json()
        data["leave"] |= {key: told[key] for key in ("by", "until", "limit") if key in told}
    if here is not None and site.position is not None:
        data["distance_m"] = round(distance_m(here, site.position), 1)
        data["bearing_deg"] = round(bearing_deg(here, site.position), 1)
    return data


def site_line(site: SiteNow, day: dt.date, here: Position | None = None) -> str:
    """A site, on one line."""
    way = ""
    if here is not None and site.position is not None:
        way = (f"{show_distance(distance_m(here, site.position))} "
               f"{compass_word(bearing_deg(here, site.position))} · ")
    what = ", ".join(tr(material(key).name) for key in site.facts.materials) or tr("nothing noted")
    return f"{site.name} · {way}{what} · {leave_words(site, day)}"


def lot_words(lot: LotNow) -> str:
    """What a lot is: mass and stuff."""
    stuff = material(lot.facts.material)
    part, words = stuff.part(lot.facts.part).name, [mid(tr(stuff.name))]
    if part.lower() not in stuff.name.lower():
        words.append(mid(tr(part)))
    if stage := RIPENESS.get(lot.facts.ripeness or ""):
        words.append(tr(stage.words))
    return tr("{mass} of {stuff}", mass=show_range(lot.net), stuff=", ".join(words))


def lot_keeps(lot: LotNow, day: dt.date) -> str:
    """How long what is left of a lot keeps, or what became of it, as a sentence."""
    by = use_by_now(lot.facts, lot.life, lot.stuff)
    if by is not None:
        return by.words_on(day)
    return tr("It is {state}.", state=state_words(lot.life.state)) if lot.life.ended else tr("Nothing is left of it.")


def lot_line(lot: LotNow, day: dt.date) -> str:
    """A lot, on one line."""
    return (f"{lot.code} · {day_and_time(lot.gathered)} · {lot_words(lot)} · {lot.site_name} · "
            f"{lot_keeps(lot, day)}")


def lot_json(lot: LotNow, day: dt.date) -> dict[str, Any]:
    """A lot, for programs; ``use_by`` and ``keeps`` are null once nothing is left of it."""
    keeps, facts = use_by_now(lot.facts, lot.life, lot.stuff), lot.facts.as_json()
    return {"id": lot.id, "code": lot.code, "site_id": facts.pop("site"), "site": lot.site_name,
            "position": _point(lot.position), **facts,
            "net_mass": lot.net.as_json(), "use_by": keeps.as_json() if keeps else None,
            "keeps": keeps.state(day) if keeps else None}


def lot_heading(lot: LotNow) -> str:
    """What a lot is, where it comes from and since when, over what is said of it."""
    return tr("Lot {code}: {stuff}, {place}, {day}", code=lot.code, stuff=lot_words(lot), place=lot.site_name,
              day=plain_day(lot.gathered.date()))


def reason_lines(reasons: Iterable[Reason]) -> Iterator[str]:
    """Why, line by line: each input, how it came to be known, and its source."""
    for reason in reasons:
        told = [reason.source] if reason.source else []
        if reason.mark == "weak" and (weak := tr("rule of thumb")) not in reason.source:
            told.insert(0, weak)
        source = f" ({'; '.join(told)})" if told else ""
        # What is of one's own says so in its source.
        known = f"{basis_words(reason.basis)}{source}" if reason.basis != "own" else reason.source
        yield f"{reason.name}: {reason.value}, {known}"


def report_lines(file: Path, profile: str, made: dt.datetime | None, counts: Mapping[str, int]) -> Iterator[str]:
    """What a lot file holds."""
    what = {"planner": tr("a planner's file"), "group": tr("a group file")}.get(profile, tr("a lot file"))
    yield (tr("{file}: {what} of {time}", file=file, what=what, time=day_and_time(made)) if made
           else f"{file}: {what}")
    for table, rows in counts.items():
        yield tr_n("  {table}: {n} row", "  {table}: {n} rows", rows, table=table)
