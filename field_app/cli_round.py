"""The command that says which trees to go to today, and in which order."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator

import click

from field_app.cli_base import Call, Command, as_json, json_option, told
from field_app.core.day_text import clock_time
from field_app.core.positions import compass_word, show_distance
from field_app.core.problems import refuse
from field_app.core.round_form import RoundForm, read_round
from field_app.core.rounds import Leg, Round, Stop, plan_round
from field_app.core.units import show_range
from field_app.store import candidates, need_of
from field_app.words import tr, tr_n

__all__ = ["COMMANDS"]

#: What the fields of the form are called here.
_CALLED = {"start": "--from", "end": "--to", "until": "--until", "carry": "--carry", "need": "--need", "means": "--on",
           "speed": "--speed", "detour": "--detour", "stop": "--stop", "hour": "--hour", "next_day": "--next"}


@click.command("round", cls=Command)
@click.option("--from", "start", default="", metavar="PLACE", help="Where you begin: a position, or a known place.")
@click.option("--to", "end", default="", metavar="PLACE", help="Where it ends; default: where you begin.")
@click.option("--one-way", is_flag=True, help="It may end at the last tree.")
@click.option("--until", default="", metavar="TIME", help="When you have to be back, such as 17:30.")
@click.option("--carry", default="", metavar="MASS", help="What you can carry, such as 25kg.")
@click.option("--need", default="", metavar="HOW MUCH",
              help='What is enough, such as 12kg, or cloth such as "wool 3 kg": the shortest round for it.')
@click.option("--shade", default="medium", show_default=True, metavar="SHADE",
              help="Of the cloth of --need: pale, light, medium or dark.")
@click.option("--material", default="black-walnut", show_default=True, metavar="M",
              help="What is gathered for the cloth of --need.")
@click.option("--on", "means", type=click.Choice(["foot", "bicycle", "car"]), default="foot", show_default=True,
              help="How you get along.")
@click.option("--next", "next_day", default="", metavar="DAY",
              help="The next day on which you could go; default: tomorrow. What would be lost until then comes first.")
@click.option("--speed", default="", metavar="KM/H", help="Your speed; default: 4 on foot, 12 by bicycle, 30 by car.")
@click.option("--detour", default="", metavar="FACTOR",
              help="How much longer the way is than the straight line; default: 1.3, by car 1.4.")
@click.option("--stop", default="", metavar="TIME", help="What you spend at a tree; default: 20 min.")
@click.option("--hour", default="", metavar="KG",
              help="What an hour more must bring to be worth the way; default: 2, by car 4.")
@json_option
@click.pass_obj
@told
def round_(call: Call, /, *, one_way: bool, end: str, shade: str, material: str, for_programs: bool,
           **given: str) -> None:
    """Say which trees to go to today, in which order, and what they may bring.

    Distances are straight lines made longer by a factor; they are not paths.

    \b
    Example:
      field-app round --from "44.0120, -28.0060" --until 17:30 --carry 25kg
    """
    if one_way and end:
        raise refuse("--one-way", tr("goes with no --to"), tr("Give one of the two."))
    book = call.book()
    now = book.now()
    asked = read_round(RoundForm(end="open" if one_way else end, **given), book.sites(), now, names=_CALLED,
                       read_need=lambda text, where: need_of(book, text, shade=shade, material=material, where=where))
    planned = plan_round(candidates(book, next_day=asked.next_day), asked.start, now, asked.wish)
    if for_programs:
        as_json({**planned.as_json(), "need": asked.wish.need, "need_words": asked.need_words})
        return
    for line in _lines(planned, asked.need_words):
        click.echo(line)


def _lines(planned: Round, need: str) -> Iterator[str]:
    """A round, line by line."""
    if need:
        yield need
    if not planned.stops:
        yield tr("No tree is worth the way today.")
    else:
        count = len(planned.stops)
        yield tr_n("{n} tree worth the way: about {mass}, {distance}, done by {time}.",
                   "{n} trees worth the way: about {mass}, {distance}, done by {time}.", count,
                   mass=show_range(planned.total), distance=show_distance(planned.way_m), time=clock_time(planned.ends))
    for number, stop in enumerate(planned.stops, 1):
        yield from _stop_lines(number, stop)
    if planned.home is not None and planned.stops:
        yield tr("Then {leg} to the end, {time}.", leg=_leg_words(planned.home), time=clock_time(planned.ends))
    if planned.out_by is not None and planned.light.sunset is not None:
        yield tr("Out by {time}; the sun sets at {sunset}.", time=clock_time(planned.out_by),
                 sunset=clock_time(planned.light.sunset))
    yield from map(tr, planned.cautions)
    if planned.left_out:
        yield tr("Left out:")
        for one in planned.left_out:
            yield f"  {one.candidate.name}: {one.words}"


def _stop_lines(number: int, stop: Stop) -> Iterator[str]:
    yield (f"{number}. {stop.candidate.name}, {clock_time(stop.arrive)} · {_leg_words(stop.leg)} · "
           f"{show_range(stop.expected)}")
    if stop.candidate.why:
        yield f"   {stop.candidate.why}"
    for note in stop.notes:
        yield f"   {note}"


def _leg_words(leg: Leg) -> str:
    if leg.straight_m < 1:
        return tr("here")
    return f"{show_distance(leg.straight_m)} {compass_word(leg.bearing_deg)} ({_minutes(leg.minutes)})"


def _minutes(minutes: float) -> str:
    whole = dt.timedelta(minutes=max(1, round(minutes)))
    hours, rest = divmod(int(whole.total_seconds()) // 60, 60)
    return tr("{hours} h {rest:02} min", hours=hours, rest=rest) if hours else f"{rest} min"


COMMANDS: tuple[click.Command, ...] = (round_,)
