"""What every command shares: the call, messages, JSON, exit codes."""

from __future__ import annotations

import datetime as dt
import functools
import json
import sys
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any, ParamSpec, TypeVar

import click

from field_app.core.habits import go_by, habits_from, person
from field_app.core.problems import FolderFault, Refused
from field_app.ids import new_id
from field_app.main import clock_from
from field_app.store import FieldBook, kept_habits, open_book
from field_app.words import english

__all__ = ["Call", "as_json", "gallons_option", "json_option", "say", "told"]

P = ParamSpec("P")
R = TypeVar("R")


@dataclass(frozen=True, slots=True)
class Call:
    """What the options before the command say: the data folder, the time to pretend, if any, and how to show things."""

    folder: Path
    as_of: str
    said: Mapping[str, str] = field(default_factory=dict)

    def book(self) -> FieldBook:
        """The book of the data folder. Raises the folder faults."""
        book = open_book(self.folder, clock=clock_from(self.as_of), new_id=new_id,
                         localise=None if self.as_of else dt.datetime.astimezone)
        go_by(habits_from(self.said, kept_habits(book.log_book)))
        return book


def say(text: str) -> None:
    """A message to the person, beside the result."""
    click.echo(text, err=True)


def told(command: Callable[P, R]) -> Callable[P, R]:
    """Turns what we raise on purpose into a message and an exit code."""

    @functools.wraps(command)
    def run(*args: P.args, **kwargs: P.kwargs) -> R:
        try:
            return command(*args, **kwargs)
        except Refused as refused:
            for problem in refused.problems:
                say(str(problem))
            sys.exit(2)
        except FolderFault as fault:
            say(str(fault.problem))
            sys.exit(1)

    return run


def as_json(data: Any) -> None:
    """JSON to standard output, for programs."""
    click.echo(json.dumps(data, ensure_ascii=False, indent=2))


def _plainly(context: click.Context, _: click.Parameter, for_programs: bool) -> bool:
    # What programs read is the same whatever the person is used to: English, in kg and L, with a decimal point.
    if for_programs:
        context.with_resource(english())
    return for_programs


json_option = click.option("--json", "for_programs", is_flag=True, help="Print JSON instead of words.",
                           callback=_plainly)


def _whose(_: click.Context, __: click.Parameter, told_of: str | None) -> str:
    return told_of or ("imperial" if person().gallons == "imp" else "us")


gallons_option = click.option("--gallons", type=click.Choice(["us", "imperial"]), callback=_whose,
                              help="What a gallon, a quart and a bushel mean; default: as you are used to, or us.")
