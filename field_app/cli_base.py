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

from field_app.cli_help import Command, Group
from field_app.core.course import heard
from field_app.core.habits import go_by, habits_from, person
from field_app.core.problems import FolderFault, Refused
from field_app.ids import new_id
from field_app.main import clock_from
from field_app.store import FieldBook, kept_habits, open_book
from field_app.words import english, tr

__all__ = ["Call", "Command", "Group", "ToldCourse", "as_json", "gallons_option", "json_option", "say", "told"]

_A_SECOND = dt.timedelta(seconds=1)
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
    for course in _under_way:
        course.wipe()
    click.echo(text, err=True)


#: The command that works, if one does: its line gives way to a message.
_under_way: list[ToldCourse] = []


class ToldCourse:
    """How far long work is, in one line of the terminal that is written over and wiped at the end.

    now: the clock; shown: whether there is a terminal to show it on.
    """

    def __init__(self, now: Callable[[], dt.datetime], *, shown: bool) -> None:
        self._now, self._shown, self._last = now, shown, now()
        self._there = 0

    def hear(self, share: float) -> None:
        """So much is done [1]; told once a second, the first time after a second."""
        if self._shown and (now := self._now()) - self._last >= _A_SECOND:
            words = tr("{percent} % done; Ctrl+C stops it", percent=round(100 * share))
            self._last, self._there = now, max(self._there, len(words))
            click.echo(f"\r{words:<{self._there}}", err=True, nl=False)

    def wipe(self) -> None:
        """The line is empty again."""
        if self._there:
            click.echo(f"\r{'':<{self._there}}\r", err=True, nl=False)
            self._there = 0


def told(command: Callable[P, R]) -> Callable[P, R]:
    """Turns what we raise on purpose into a message and an exit code."""

    @functools.wraps(command)
    def run(*args: P.args, **kwargs: P.kwargs) -> R:
        course = ToldCourse(clock_from(""), shown=sys.stderr.isatty())
        _under_way.append(course)
        try:
            with heard(course.hear):
                return command(*args, **kwargs)
        except KeyboardInterrupt:
            course.wipe()
            say(tr("Stopped. What was not finished was not written; what was there before is as it was."))
            sys.exit(130)  # as shells tell of Ctrl+C: 128 and the number of the signal
        except Refused as refused:
            for problem in refused.problems:
                say(str(problem))
            sys.exit(2)
        except FolderFault as fault:
            say(str(fault.problem))
            sys.exit(1)
        finally:
            course.wipe()
            _under_way.remove(course)

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
