"""The commands that look after the data folder as a whole: keep it safe, put it back, look it over."""

from __future__ import annotations

import contextlib
import sys
from pathlib import Path
from typing import Any

import click

from field_app.cli_base import Call, Command, as_json, json_option, say, told
from field_app.core.course import part
from field_app.core.problems import DamagedFolder, Problem, Refused, refuse
from field_app.ids import new_id
from field_app.main import clock_from
from field_app.store import FieldBook, back_up, check_backup, holds_data, inspect, mixed, restore
from field_app.words import tr, tr_n

__all__ = ["COMMANDS"]


def _book(call: Call) -> FieldBook:
    # A mistyped folder must not end as a backup of nothing, nor as a folder that is found sound.
    if not holds_data(call.folder):
        raise refuse(f"data folder {call.folder}", tr("holds nothing"),
                     tr("Name another one with --data before the command."))
    return call.book()


@click.command(cls=Command)
@click.argument("file", type=click.Path(path_type=Path))
@json_option
@click.pass_obj
@told
def backup(call: Call, file: Path, for_programs: bool) -> None:
    """Write everything you have into one file, and read it back.

    An earlier backup of that name is replaced once the new one is whole; another file is left alone.
    Exact places are inside, and photographs as the camera wrote them: keep it as you keep the data.

    \b
    Example:
      field-app backup backup.zip
    """
    before = 0.3 if file.is_file() else 0.0  # so much of the work is looking at the earlier one
    if before:
        try:
            with part(0.0, before):
                check_backup(file)
        except Refused as refused:
            raise refuse("FILE", tr("{file} is there, and is no whole backup ({what})", file=file,
                                    what=refused.problems[0].what),
                         tr("Choose another name, or move it away.")) from None
    with contextlib.closing(_book(call)) as book, part(before, 1.0):
        done = back_up(book.log_book, file)
    if for_programs:
        as_json({"file": str(done.path), "versions": done.versions, "bytes": done.size, "sha256": done.sha256,
                 "photographs": done.photographs, "left_out": [problem.as_json() for problem in done.left_out]})
    else:
        click.echo(tr("{path}: {records}, {size:,} bytes, written and read back.", path=done.path,
                      records=_records(done.versions, done.photographs), size=done.size))
        for problem in done.left_out:
            say(tr("Not in it: {problem}", problem=problem))
        say(tr("Copy it to another disk. To put it back: field-app restore FILE"))


@click.command("restore", cls=Command)
@click.argument("file", type=click.Path(path_type=Path))
@json_option
@click.pass_obj
@told
def put_back(call: Call, file: Path, for_programs: bool) -> None:
    """Put a backup in the place of what you have.

    All of the backup is checked before, and what was there is kept in a folder beside.

    \b
    Example:
      field-app restore backup.zip
    """
    # As in a new folder, the random end of a UUID is this device's name from now on.
    done = restore(file, call.folder, new_device=new_id().replace("-", "")[-16:],
                   now_ms=round(clock_from(call.as_of)().timestamp() * 1000))
    if for_programs:
        as_json({"folder": str(done.folder), "versions": done.versions, "photographs": done.photographs,
                 "kept": None if done.kept is None else str(done.kept),
                 "notes": [note.as_json() for note in done.flagged]})
        return
    click.echo(tr("{folder} holds {records} of {file} now.", folder=done.folder,
                  records=_records(done.versions, done.photographs), file=file.name))
    if done.kept is not None:
        say(tr("What was there before is kept in {kept}", kept=done.kept))
    for note in done.flagged:
        say(tr("Note: {note}", note=note))


def _records(count: int, photographs: int) -> str:
    records = tr_n("{n:,} record", "{n:,} records", count)
    if not photographs:
        return records
    return tr("{records} and {photographs}", records=records,
              photographs=tr_n("{n} photograph", "{n} photographs", photographs))


@click.command("inspect", cls=Command)
@click.option("--mend", is_flag=True, help="First work out anew what holds from what happened.")
@json_option
@click.pass_obj
@told
def look_over(call: Call, mend: bool, for_programs: bool) -> None:
    """Look whether everything is there and unchanged; tell what is not, and what to do.

    Without --mend nothing is changed.

    \b
    Example:
      field-app inspect
    """
    result, problems, notes = _inspected(call, mend)
    if for_programs:
        as_json({**result, "problems": [problem.as_json() for problem in problems],
                 "notes": [note.as_json() for note in notes]})
    else:
        if not problems:
            click.echo(tr("{folder}: {places}, {lots}. Nothing is wrong with it.", folder=call.folder,
                          places=tr_n("{n:,} place", "{n:,} places", result["sites"]),
                          lots=tr_n("{n:,} lot", "{n:,} lots", result["lots"])))
        for note in notes:
            say(tr("Note: {note}", note=note))
        for problem in problems:
            say(str(problem))
    if problems:
        sys.exit(1)


def _inspected(call: Call, mend: bool) -> tuple[dict[str, Any], tuple[Problem, ...], tuple[Problem, ...]]:
    """What the folder holds, its faults, and what is odd about it but no fault."""
    result: dict[str, Any] = {"folder": str(call.folder)}
    try:
        with contextlib.closing(_book(call)) as book:
            log = book.log_book
            if mend:
                log.rebuild()
            problems = inspect(log)
            counts = {} if problems else {"sites": book.count("site"), "lots": book.count("lot")}
            return {**result, **counts}, problems, (*log.notices, *(() if problems else mixed(log)))
    except DamagedFolder as fault:
        # Too damaged to be looked over is a finding too, and a program wants it in its JSON.
        return result, (fault.problem,), ()


COMMANDS: tuple[click.Command, ...] = (backup, put_back, look_over)
