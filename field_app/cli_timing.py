"""The commands that say when to come back: looks at trees, and what follows from them."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import click

from field_app import __version__
from field_app.cli_base import Call, Command, as_json, json_option, say, told
from field_app.cli_words import row
from field_app.core.day_text import plain_day
from field_app.core.fall import Visit
from field_app.core.look_words import look_words
from field_app.core.looks import LookForm, LookNow
from field_app.core.materials import material
from field_app.core.problems import refuse
from field_app.core.ripeness import Hopkins
from field_app.core.standing import standing, standing_words
from field_app.core.units import show_range
from field_app.core.weather import WeatherForm
from field_app.disk import write_file
from field_app.handover.calendar import calendar_file
from field_app.store import FieldBook, Timing, add_look, calendar_days, due_days, left_out, take_weather, timings
from field_app.words import basis_words, mid, tr, tr_n

__all__ = ["COMMANDS", "when_json", "when_lines"]


def _look_json(look: LookNow, book: FieldBook) -> dict[str, Any]:
    facts = look.facts.as_json()
    return {"id": look.id, "site_id": facts.pop("site"), "site": book.site(look.facts.site).name, **facts}


@click.command("look", cls=Command)
@click.argument("site")
@click.option("--material", default="", metavar="M", help="What you looked at; default: the first that stands there.")
@click.option("--stage", default="", metavar="STAGE",
              help="green, yellowing, dented, fallen, browned or black; of cones, galls, bark: not-yet, ready, over.")
@click.option("--dents", default="", metavar="K/N", help='How many of how many kept the dent of a thumb: "7 of 10".')
@click.option("--ground", default="", metavar="HOW MANY",
              help="On the ground: a number, or none, one-or-two, a-handful, a-pail, several-pails, covered.")
@click.option("--when", "at", default="", metavar="TIME", help="Local time; default: now.")
@click.option("--note", default="", help="Anything worth knowing.")
@json_option
@click.pass_obj
@told
def look_at(call: Call, /, site: str, for_programs: bool, **given: str) -> None:
    """Note how a tree stands, without gathering.

    \b
    Example:
      field-app look "Mill lane" --dents "7 of 10" --ground a-handful
    """
    book = call.book()
    look = add_look(book, site, LookForm(**given))
    if for_programs:
        as_json(_look_json(look, book))
    else:
        click.echo(tr("Noted at {place}, {day}: {stuff}, {look}.", place=book.site(look.facts.site).name,
                      day=_day(look.at), stuff=mid(tr(material(look.facts.material).name)),
                      look=look_words(look.facts)))


def _day(moment: dt.datetime) -> str:
    return plain_day(moment.date())


def when_json(one: Timing) -> dict[str, Any]:
    """When a tree is ready, for programs; ``plans`` holds the best one to four visits, ``visits`` those worth going."""
    told, here = one.forecast, one.ground(one.today)
    return {"site": one.site.name, "site_id": one.site.id, "material": one.stuff.key,
            "ready": {name: getattr(told, name).isoformat() for name in ("p10", "p50", "p90")},
            "standing": standing(told, one.today), "ready_today": round(told.ready_today, 3),
            "sound_until": told.sound_until.isoformat(),
            "visits": _visits(one.visits), "plans": [_visits(plan) for plan in one.plans],
            "ground": None if here is None else {"kg": here.kg.as_json(), "worth": here.worth.as_json(),
                                                 "lost_by_next_day": round(here.lost_by_next_day, 3)},
            "reasons": [reason.as_json() for reason in told.reasons]}


def _visits(visits: tuple[Visit, ...]) -> list[dict[str, Any]]:
    return [{"date": visit.date.isoformat(), "saves": round(visit.saves, 3)} for visit in visits]


def when_lines(one: Timing) -> Iterator[str]:
    """When a tree is ready, line by line, with its reasons."""
    told = one.forecast
    ready = tr("ready to gather") if told.kind == "ripe" else tr("the sap up")
    yield f"{one.site.name}, {mid(tr(one.stuff.name))}"
    yield row(tr("now"), standing_words(told, one.today, plain_day))
    late = standing(told, one.today) == "late"
    days = {"day": plain_day(told.p50), "first": plain_day(told.p10), "last": plain_day(told.p90)}
    if late:
        yield row(ready, tr("{day} ({first} to {last})", **days))
        yield row(tr("past its best"), tr("since about {day}", day=plain_day(told.sound_until)))
    else:
        yield row(ready, tr("{day} ({first} to {last}); {share:.0f} % that it is today", **days,
                            share=100 * told.ready_today))
        yield row(tr("good until"), tr("about {day}", day=plain_day(told.sound_until)))
    here = one.ground(one.today)
    if here is not None:
        yield row(tr("on the ground"), tr("{mass} today, dyes {cloth} of cloth at medium", mass=show_range(here.kg),
                                          cloth=show_range(here.worth)))
    if one.visits:
        visits = ", ".join(tr("{day} (saves {share:.0f} %)", day=plain_day(visit.date),
                              share=100 * visit.saves) for visit in one.visits)
        yield row(tr("best visits"), visits)
    if told.kind == "sap":
        yield tr("  Take bark from felled, pruned or wind-thrown wood only.")
    yield tr("  Why:")
    for reason in told.reasons:
        source = f" ({reason.source})" if reason.source else ""
        yield f"    {reason.name}: {reason.value}, {basis_words(reason.basis)}{source}"


@click.command("when", cls=Command)
@click.argument("site", required=False, default="")
@click.option("--hopkins", type=click.Choice(["none", "later", "earlier"]), default="none", show_default=True,
              help="Move the calendar by Hopkins' law: later or earlier towards the pole. Hulls need warmth, "
              "so by default it is not used.")
@json_option
@click.pass_obj
@told
def when(call: Call, /, site: str, hopkins: Hopkins, for_programs: bool) -> None:
    """Say when each tree is ready, how long it is good, and when to go.

    \b
    Example:
      field-app when "Mill lane"
    """
    book = call.book()
    sites = (book.site(site),) if site else None
    found = timings(book, sites=sites, hopkins=hopkins)
    if for_programs:
        as_json([when_json(one) for one in found])
        return
    if not found:
        say(tr("Nothing here has a season. Add a tree with what stands there: field-app site add --help shows how."))
    for one in found:
        for line in when_lines(one):
            click.echo(line)


@click.command("weather", cls=Command)
@click.argument("file", type=click.Path(path_type=Path))
@click.option("--unit", default="", metavar="C|F", help="°C or °F, if the headings don't tell.")
@click.option("--name", default="", metavar="NAME", help="What to call the place, if there are several.")
@click.option("--at", "position", default="", metavar="POSITION", help="Where it was measured; see site add.")
@json_option
@click.pass_obj
@told
def weather(call: Call, /, file: Path, unit: str, name: str, position: str, for_programs: bool) -> None:
    """Take in a table of daily temperatures: CSV with the columns date, min and max.

    With two seasons of a tree's own dates, warmth gives one more date for this year; and hulls rot sooner in the warm.

    \b
    Example:
      field-app weather temperatures-2026.csv --unit C
    """
    try:
        text = file.read_text(encoding="utf-8-sig")
    except (OSError, UnicodeDecodeError) as error:
        reason = error.strerror if isinstance(error, OSError) else tr("it is not UTF-8 text")
        raise refuse("FILE", tr("{file} can't be read ({reason})", file=file, reason=reason),
                     tr("Name a CSV file, saved as UTF-8.")) from None
    table = take_weather(call.book(), WeatherForm(text, unit, name, position))
    first, last = min(table.days), max(table.days)
    if for_programs:
        as_json({"file": str(file), "days": len(table.days), "first": first.isoformat(), "last": last.isoformat(),
                 "unit": table.unit, "gaps": [{"first": a.isoformat(), "last": b.isoformat()} for a, b in table.gaps]})
        return
    click.echo(tr_n("{file}: {n} day from {first} to {last}, in {unit}.",
                    "{file}: {n} days from {first} to {last}, in {unit}.", len(table.days), file=file,
                    first=plain_day(first), last=plain_day(last), unit="°C" if table.unit == "degC" else "°F"))
    for begin, end in table.gaps:
        days = {"day": plain_day(begin), "last": plain_day(end)}
        say(tr("Gap: {day}", **days) if begin == end else tr("Gap: {day} to {last}", **days))


@click.command("calendar", cls=Command)
@click.argument("file", type=click.Path(path_type=Path))
@click.option("--site", "names", multiple=True, metavar="NAME", help="Only these places; default: all.")
@click.option("--places", is_flag=True, help="Write the exact positions too.")
@click.option("--remind", type=click.IntRange(0, 240), default=6, show_default=True, metavar="HOURS",
              help="So many hours before the day begins.")
@json_option
@click.pass_obj
@told
def calendar(call: Call, /, file: Path, names: tuple[str, ...], places: bool, remind: int, for_programs: bool) -> None:
    """Write the days to come back on as a calendar (iCalendar).

    Taken in a second time, it moves the days that have changed. Positions are left out unless you ask.

    \b
    Example:
      field-app calendar come-back.ics
    """
    book = call.book()
    known = timings(book, sites=tuple(book.site(name) for name in names) if names else None)
    days = due_days(known)
    if not days:
        raise refuse("calendar", tr("there is no day to write"),
                     tr("Add a tree with what stands there, and leave to gather."))
    data = calendar_file(calendar_days(days, exact=places), made=book.now(), version=__version__,
                         remind=dt.timedelta(hours=remind))
    write_file(file, data)
    refused = left_out(known)
    if for_programs:
        as_json({"file": str(file), "bytes": len(data), "days": len(days), "left_out": [one.name for one in refused]})
        return
    click.echo(tr_n("{file}: {n} day, with exact positions.", "{file}: {n} days, with exact positions.", len(days),
                    file=file) if places
               else tr_n("{file}: {n} day, without exact positions.", "{file}: {n} days, without exact positions.",
                         len(days), file=file))
    for one in refused:
        say(tr("{name} is left out: leave was refused.", name=one.name))


COMMANDS: tuple[click.Command, ...] = (look_at, when, weather, calendar)
