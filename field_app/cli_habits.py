"""How things are shown: the options before every command, for one call, and the command that keeps a choice."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Mapping
from typing import Any, ParamSpec, TypeVar

import click

from field_app.cli_base import Call, Command, as_json, json_option, told
from field_app.core.day_text import clock_time, plain_day
from field_app.core.estimate import Range
from field_app.core.habits import Habits, go_by, habits, habits_from
from field_app.core.units import show_range, show_si
from field_app.store import keep_habits, kept_habits
from field_app.words import LANGUAGES, tr

__all__ = ["COMMANDS", "habit_options", "said_of"]

P = ParamSpec("P")
R = TypeVar("R")

_OPTIONS = (
    ("measures", "M", "metric, us or imperial."),
    ("decimal", "SIGN", "point or comma."),
    ("dates", "D", "day-month, month-day or iso."),
    ("clock", "H", "24 or 12."),
    ("language", "L", f"{' or '.join(LANGUAGES)}."),
)
_NAMES = tuple(name for name, _, _ in _OPTIONS)


def habit_options(command: Callable[P, R]) -> Callable[P, R]:
    """The options that say for this one call how things are shown; each may come from the environment."""
    for name, metavar, words in reversed(_OPTIONS):
        command = click.option(f"--{name}", default="", metavar=metavar, envvar=f"FIELD_APP_{name.upper()}",
                               help=f"Show it so, this once: {words} Also FIELD_APP_{name.upper()}.")(command)
    return command


def said_of(given: Mapping[str, Any]) -> dict[str, str]:
    """What the options say. Raises Refused for a value that is not offered."""
    said = {name: str(given[name]) for name in _NAMES if given.get(name)}
    habits_from(said, strict=True)
    return said


def _keeping(command: Callable[P, R]) -> Callable[P, R]:
    for name, metavar, words in reversed((*_OPTIONS, ("hand", "H", "right or left, for the screens."),
                                          ("light", "L", "device, day, night or sun, for the screens."))):
        command = click.option(f"--{name}", default="", metavar=metavar, help=f"Keep: {words}")(command)
    return command


@click.command("shown", cls=Command)
@_keeping
@json_option
@click.pass_obj
@told
def shown(call: Call, /, for_programs: bool, **given: str) -> None:
    """Say how things are shown here, or choose it: measures, decimal sign, dates.

    The choice is kept in the data folder and holds for the screens too; it is never handed on.
    What is for other programs (--json, files) stays in kg, L and °C with a decimal point.

    \b
    Example:
      field-app shown --measures us --dates month-day --clock 12
    """
    wanted = {name: value for name, value in given.items() if value}
    habits_from(wanted, strict=True)
    book = call.book()
    chosen = kept_habits(book.log_book)
    if wanted:
        chosen = habits_from(wanted, chosen)
        keep_habits(book.log_book, chosen)
        go_by(habits_from(call.said, chosen))
    if for_programs:
        as_json({name: getattr(chosen, name) for name in Habits.__dataclass_fields__})
    else:
        click.echo(_sample(book.now()))


def _sample(now: dt.datetime) -> str:
    texts = (show_range(Range(7.0, 8.1, 9.6, "kg")), show_si(30.0, "L"), show_si(60.0, "degC"),
             f"{plain_day(now.date())} {clock_time(now)}")
    return tr("Shown so: {sample}, in {language}.", sample=", ".join(texts), language=LANGUAGES[habits().language])


COMMANDS = (shown,)
