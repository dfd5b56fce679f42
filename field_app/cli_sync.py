"""The commands by which people's devices agree, and those for what happens to a lot after it was logged."""

from __future__ import annotations

import datetime as dt
import re
import sys
from pathlib import Path
from typing import Any

import click

from field_app.cli_base import Call, Command, as_json, json_option, say, told
from field_app.cli_words import lot_json, lot_words
from field_app.core.day_text import day_and_time, plain_day
from field_app.core.deeds import STEPS, DrawForm, StepForm
from field_app.core.history import Told
from field_app.core.lots import LotNow
from field_app.core.problems import Problem, Refused, refuse
from field_app.core.units import show_range, show_si
from field_app.store import FieldBook, bring_back, taken_back
from field_app.sync import (
    Choice,
    choices,
    history,
    is_list_of_draws,
    merge_draws,
    settle,
    subject,
    sync_folder,
    take_in,
)
from field_app.words import later, named, state_words, tr

__all__ = ["COMMANDS"]

#: What a record is called where people disagree about it.
_KINDS = {"lot": later("lot"), "site": later("place"), "leave": later("leave"), "step": later("step"),
          "draw": later("draw"), "test": later("test"), "value": later("value"), "vessel": later("vessel"),
          "look": later("look"), "plan": later("plan"), "cloth": later("cloth"), "swatch": later("swatch"),
          "weather": later("weather")}
_TIME = re.compile(r"\b(\d{4}-\d{2}-\d{2})T(\d{2}:\d{2})(:\d{2})(Z|[+-]\d{2}:\d{2})")


def _tell_problems(problems: tuple[Problem, ...]) -> None:
    for problem in problems:
        say(str(problem))


@click.command(cls=Command)
@click.argument("folder", type=click.Path(path_type=Path))
@json_option
@click.pass_obj
@told
def sync(call: Call, folder: Path, for_programs: bool) -> None:
    """Take in what others put into a shared folder, and put there what you know.

    Exact places are inside: share the folder only with people who may know the trees.

    \b
    Example:
      field-app sync ~/shared/harvest
    """
    book = call.book()
    report = sync_folder(book, folder)
    if for_programs:
        as_json(report.as_json())
    else:
        if report.notice:
            say(report.notice)
        for sentence in report.sentences():
            click.echo(_plain_times(sentence))
    _tell_problems(report.problems)
    if report.problems:
        sys.exit(1)


@click.command(cls=Command)
@click.argument("files", metavar="FILE...", nargs=-1, required=True, type=click.Path(path_type=Path))
@json_option
@click.pass_obj
@told
def merge(call: Call, files: tuple[Path, ...], for_programs: bool) -> None:
    """Take in group files, or a planner's list of draws.

    Taking a file twice changes nothing. A list of draws has the columns draw_id,lot,amount,unit, and if you like
    purpose, by and when.

    \b
    Example:
      field-app merge harvest-lots.8f3a0c1d2e4b5a69.zip draws.csv
    """
    book = call.book()
    results, problems, wrong_call = [], list[Problem](), False
    for path in files:
        try:
            result, found = _merge_one(book, path)
        except Refused as refused:
            wrong_call = True
            result, found = {"file": path.name, "new": 0, "known": 0, "set_aside": 0}, refused.problems
        results.append({**result, "problems": [problem.as_json() for problem in found]})
        problems.extend(found)
        if not for_programs:
            count = {"file": path.name, "new": result["new"], "known": result["known"], "aside": result["set_aside"]}
            click.echo(tr("{file}: {new} new, {known} known already, {aside} set aside.", **count) if count["aside"]
                       else tr("{file}: {new} new, {known} known already.", **count))
            for note in result.get("notes", ()):
                say(f"{named(note['where'])}: {note['what']}. {note['fix']}")
    if for_programs:
        as_json(results)
    _tell_problems(tuple(problems))
    if wrong_call:
        sys.exit(2)
    if problems:
        sys.exit(1)


def _merge_one(book: FieldBook, path: Path) -> tuple[dict[str, Any], tuple[Problem, ...]]:
    try:
        data = path.read_bytes()
    except OSError as error:
        raise refuse("FILE", tr("{path} can't be read ({strerror})", path=path, strerror=error.strerror or error),
                     tr("Name a group file.")) from None
    if is_list_of_draws(data, path.name):
        draws = merge_draws(book, data, path.name)
        return {"file": path.name, "new": draws.new, "known": draws.known, "set_aside": 0}, draws.problems
    try:
        merged, contents = take_in(book, data, path.name)
    except Refused as refused:
        raise Refused(Problem(path.name, one.what, one.fix) for one in refused.problems) from None
    return {"file": path.name, "new": merged.new, "known": merged.known, "set_aside": merged.set_aside,
            "devices": dict(merged.devices), "cloned": merged.cloned, "cut": contents.cut,
            "notes": [note.as_json() for note in contents.notes]}, merged.problems


def _life_json(lot: LotNow, book: FieldBook) -> dict[str, Any]:
    life = lot.life
    return {**lot_json(lot, book.now().date()), "state": life.state, "left": life.left.as_json(),
            "overdraft": life.overdraft, "nuts_kg": life.nuts_kg}


def _show_life(lot: LotNow, book: FieldBook, done: str, for_programs: bool) -> None:
    if for_programs:
        as_json(_life_json(lot, book))
        return
    life = lot.life
    told_now = [done, tr("Lot {code} is {state}; {mass} left.", code=lot.code, state=state_words(life.state),
                         mass=show_range(life.left))]
    if life.nuts_kg:
        told_now.append(tr("{mass} of nuts are kept.", mass=show_si(life.nuts_kg, "kg")))
    click.echo(" ".join(told_now))
    if life.overdraft:
        say(tr("{mass} more was drawn than there was.", mass=show_si(life.overdraft, life.left.unit)))


@click.command(cls=Command)
@click.argument("lot")
@click.argument("amount")
@click.option("--for", "purpose", default="", metavar="WHAT", help='Such as "shawl, medium brown".')
@click.option("--by", default="", metavar="WHO", help="Who takes it.")
@click.option("--when", "at", default="", metavar="TIME", help="Local time; default: now.")
@json_option
@click.pass_obj
@told
def draw(call: Call, lot: str, amount: str, purpose: str, by: str, at: str, for_programs: bool) -> None:
    """Take something from a lot.

    \b
    Example:
      field-app draw 4K7Q "3,5 kg" --for "shawl, medium brown" --by "the dye house"
    """
    book = call.book()
    before = book.lot(lot)
    after = book.draw(before.id, DrawForm(amount, by=by, purpose=purpose, at=at))
    _show_life(after, book, tr("{amount} is drawn.", amount=amount.strip()), for_programs)


@click.command(cls=Command)
@click.argument("lot")
@click.argument("step", type=click.Choice(STEPS))
@click.option("--mass", default="", metavar="MASS", help='What there is now, less the pail, such as "9,6 kg".')
@click.option("--volume", default="", metavar="VOLUME", help='What liquor there is now, such as "12 L".')
@click.option("--nuts", default="", metavar="MASS", help="Nuts kept for food.")
@click.option("--when", "at", default="", metavar="TIME", help="Local time; default: now.")
@click.option("--note", default="", help="Anything worth knowing.")
@json_option
@click.pass_obj
@told
def step(call: Call, /, lot: str, step: str, for_programs: bool, **given: str) -> None:
    """Say what was done with a lot, and what there is of it now.

    \b
    Example:
      field-app step 4K7Q dried --mass "2,1 kg"
    """
    book = call.book()
    after = book.step(book.lot(lot).id, StepForm(step, **given))
    _show_life(after, book, tr("Noted."), for_programs)


@click.command(cls=Command)
@click.argument("lot")
@json_option
@click.pass_obj
@told
def withdraw(call: Call, lot: str, for_programs: bool) -> None:
    """Take back a lot that should not have been logged; its history stays.

    \b
    Example:
      field-app withdraw 4K7Q
    """
    book = call.book()
    found = book.lot(lot)
    book.withdraw(found.id)
    if for_programs:
        as_json({"id": found.id, "code": found.code, "withdrawn": True})
    else:
        click.echo(tr("Lot {code} is withdrawn. To bring it back: field-app bring-back {code}", code=found.code))


@click.command("bring-back", cls=Command)
@click.argument("lot", required=False, default="")
@json_option
@click.pass_obj
@told
def bring_lot_back(call: Call, lot: str, for_programs: bool) -> None:
    """Bring back a lot that was withdrawn, here or on another device; without LOT, list them.

    \b
    Example:
      field-app bring-back 4K7Q
    """
    book = call.book()
    if lot:
        _show_life(book.lot(bring_back(book, lot)), book, tr("Brought back."), for_programs)
        return
    gone = taken_back(book)
    if for_programs:
        as_json([{"id": one.id, "code": one.code, "withdrawn_at": one.at.isoformat(timespec="seconds"),
                  "device": one.device, **({} if one.lot is None else {"lot": lot_json(one.lot, book.now().date())})}
                 for one in gone])
        return
    local = book.now().tzinfo
    for one in gone:
        about = tr("written by another version of this program") if one.lot is None else (
            f"{lot_words(one.lot)}, {one.lot.site_name}, {plain_day(one.lot.gathered.date())}")
        click.echo(tr("{code} · {about} · withdrawn {time}, {device}", code=one.code, about=about,
                      time=day_and_time(one.at.astimezone(local)), device=_device(one.device, book)))
    say(tr("To bring one back: field-app bring-back CODE") if gone else tr("No lot is withdrawn."))


@click.command(cls=Command)
@json_option
@click.pass_obj
@told
def undo(call: Call, for_programs: bool) -> None:
    """Undo the last thing that was done on this device; undoing again brings it back.

    \b
    Example:
      field-app undo
    """
    book = call.book()
    last = history(book, book.undo())[-1]
    if for_programs:
        as_json({"id": last.thing, "kind": last.kind, "deed": last.deed})
    else:
        click.echo(tr("Undone: {what}.", what=last.words))


def _kind(choice: Choice) -> str:
    return tr(_KINDS.get(choice.kind, choice.kind))


def _device(device: str, book: FieldBook) -> str:
    return tr("this device") if device == book.log_book.device else tr("device {name}", name=device)


def _plain_times(words: str) -> str:
    """The same with times as people write them.

    >>> _plain_times("when: 2026-10-08T15:24:00-02:00")
    'when: 8 Oct 2026 15:24 (UTC-02:00)'
    """
    return _TIME.sub(lambda time: f"{day_and_time(dt.datetime.fromisoformat(time[0]))} "
                     f"(UTC{time[4] if time[4] != 'Z' else ''})", words)


def _deed(one: Told, today: dt.date) -> str:
    """What was done and what was said, on one line, in the words of the screens."""
    # The words stand beside the screens that show them; the toolkit comes with them, so only when they are asked for.
    from field_app.ui.history_words import deed_words

    heading, facts = deed_words(one, today)
    said = "; ".join(f"{about}: {words}" for about, words in facts)
    return f"{heading}: {said}" if said else heading


def _choice_json(choice: Choice) -> dict[str, Any]:
    return {"number": choice.number, "record": choice.thing, "kind": choice.kind, "version": choice.version,
            "device": choice.device, "says": choice.words, "holds": choice.holds}


@click.command("history", cls=Command)
@click.argument("lot")
@json_option
@click.pass_obj
@told
def show_history(call: Call, lot: str, for_programs: bool) -> None:
    """Tell everything that was said of a lot, or of a place; where people disagree comes first.

    \b
    Example:
      field-app history 4K7Q
    """
    book = call.book()
    found = subject(book, lot)
    open_choices, told_so_far = choices(book, found.id), history(book, found.id)
    if for_programs:
        as_json({"id": found.id, "kind": found.kind, "name": found.name,
                 "choices": [_choice_json(choice) for choice in open_choices],
                 "history": [{"at": one.at.isoformat(timespec="seconds"), "device": one.device, "record": one.thing,
                              "kind": one.kind, "version": one.version, "deed": one.deed, "says": dict(one.facts),
                              "standing": one.standing} for one in told_so_far]})
        return
    if open_choices:
        click.echo(tr("People disagree:"))
        for choice in open_choices:
            says = f"{_kind(choice)}, {_plain_times(choice.words)} · {_device(choice.device, book)}"
            click.echo(f"  {choice.number}  {tr('{saying} (holds now)', saying=says) if choice.holds else says}")
        say(tr("To settle it: field-app settle \"{name}\" --choose 1", name=found.name))
    local = book.now().tzinfo
    for one in told_so_far:
        mark = {"holds": f" · {tr('holds')}", "disagrees": f" · {tr('disagrees')}", "replaced": ""}[one.standing]
        click.echo(f"{day_and_time(one.at.astimezone(local))} · {_device(one.device, book)} · "
                   f"{_deed(one, book.now().date())}{mark}")


@click.command("settle", cls=Command)
@click.argument("lot")
@click.option("--choose", "number", required=True, type=int, metavar="N", help="The number that history shows.")
@json_option
@click.pass_obj
@told
def settle_lot(call: Call, lot: str, number: int, for_programs: bool) -> None:
    """Settle what people say differently of a lot, or of a place, for all devices.

    \b
    Example:
      field-app settle 4K7Q --choose 2
    """
    book = call.book()
    found = subject(book, lot)
    chosen = settle(book, found.id, number)
    left = choices(book, found.id)
    if for_programs:
        as_json({"id": found.id, "settled": _choice_json(chosen), "choices": [_choice_json(one) for one in left]})
    else:
        click.echo(tr("Settled for {name}: {kind}, {saying}.", name=found.name, kind=_kind(chosen),
                      saying=_plain_times(chosen.words)))
        if left:
            say(tr("People disagree about more: field-app history \"{name}\"", name=found.name))


COMMANDS: tuple[click.Command, ...] = (step, draw, withdraw, bring_lot_back, undo, show_history, settle_lot, sync,
                                       merge)
