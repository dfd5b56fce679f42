"""The commands that plan a dye day: lots and cloth in, liquor, baths, helpers and the clock out."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from contextlib import nullcontext
from dataclasses import replace
from typing import Any

import click

from field_app.cli_base import Call, Group, as_json, json_option, say, told
from field_app.core.durations import show_hours
from field_app.core.lots import LotNow
from field_app.core.plan_clock import day_words
from field_app.core.plan_deeds import BathForm, LotForm, PlanForm, form_of_plan
from field_app.core.plan_work import LiquorWork, PlanWork, work_out
from field_app.core.plans import MORDANTS, SHADES, PlanNow
from field_app.core.problems import refuse
from field_app.core.units import show_range, show_si
from field_app.handover import DayOut
from field_app.store import (
    FieldBook,
    add_plan,
    change_plan,
    cloth_list,
    finish_plan,
    lots_of_plan,
    plan_of,
    plans,
    pots_of_plan,
    pots_owned,
)
from field_app.words import english, tr

__all__ = ["COMMANDS", "bath_form", "day_out"]


@click.group(cls=Group)
def plan() -> None:
    """Plan a dye day, change it, and tell when it is done."""


def _options(command: Any) -> Any:
    for option in reversed([
        click.option("--day", default=None, metavar="DAY", help="The dye day, such as 2026-10-10."),
        click.option("--fire", default=None, metavar="TIME", help="When the fire is lit; default: 08:00."),
        click.option("--lot", "lots", multiple=True, metavar="LOT[=AMOUNT]",
                     help='A lot, and how much of it: "4K7Q" for all that is left, "4K7Q=2.5 kg".'),
        click.option("--bath", "baths", multiple=True, metavar="CLOTH[, SHADE][, MORDANT][, TIME]",
                     help='Cloth that goes in together: "wool 2 kg; 2 shirts linen, medium, alum, 2 h"; "list NAME" '
                     "takes a list of cloth."),
        click.option("--pot", "pots", multiple=True, metavar="NAME", help="A pot you own; see field-app pots."),
        click.option("--water", default=None, metavar="VOLUME",
                     help="Water to put in at first; default: as custom has it."),
        click.option("--soak", default=None, metavar="HOURS", help="Hours of soaking before the fire; default: 24."),
        click.option("--boil", default=None, metavar="HOURS", help="Hours at a simmer; default: 2."),
        click.option("--strainings", default=None, metavar="N", help="How often it is boiled and strained."),
        click.option("--squeeze/--drain", "squeezed", default=None, help="Whether the spent stuff is squeezed."),
        click.option("--ratio", default=None, metavar="L/KG",
                     help="Litres of bath for a kilogram of cloth; default: 30."),
        click.option("--in-turn/--shared-out", "in_turn", default=None,
                     help="All cloth into the whole liquor, one after another; or to each what its shade takes."),
        click.option("--note", default=None, help="Anything worth knowing."),
    ]):
        command = option(command)
    return command


def _lot_form(book: FieldBook, text: str) -> LotForm:
    code, _, amount = text.partition("=")
    return LotForm(book.lot(code.strip()), amount.strip())


def bath_form(text: str) -> BathForm:
    """A bath as typed on one line: cloth, then in any order a shade, a mordant, hours, and whose liquor.

    >>> bath_form("wool 2 kg; 2 shirts linen, light, alum-iron, 1.5 h")
    BathForm(cloth='wool 2 kg; 2 shirts linen', shade='light', mordant='alum-iron', hours='1.5', material='')
    """
    cloth, *further = (part.strip() for part in text.split(","))
    found: dict[str, str] = {}
    for part in further:
        word = part.lower()
        if word in SHADES:
            found["shade"] = word
        elif word in MORDANTS:
            found["mordant"] = word
        elif word.endswith("h") and word[:1].isdigit():
            found["hours"] = word.rstrip("hours ").strip()
        elif part and not part[:1].isdigit():
            found["material"] = word
        else:
            raise refuse("--bath", tr("{part!r} is not understood", part=part),
                         tr("Type it as in \"wool 2 kg, medium, alum, 2 h\"; amounts of cloth with a point, not a "
                            "comma."))
    return BathForm(cloth, **found)


def _with_list(book: FieldBook, bath: BathForm) -> BathForm:
    """The bath with the items of a kept list, where it names one: "list Autumn shawls"."""
    word, _, name = bath.cloth.partition(" ")
    if word.lower() != "list" or not name.strip():
        return bath
    return replace(bath, cloth="; ".join(cloth_list(book, name.strip()).facts.items))


def _told(book: FieldBook, given: dict[str, Any], before: PlanForm) -> PlanForm:
    """The form with what was given in place of what stood there."""
    changed = {name: value for name, value in given.items() if value is not None and value != ()}
    if "lots" in changed:
        changed["lots"] = tuple(_lot_form(book, text) for text in changed["lots"])
    if "baths" in changed:
        changed["baths"] = tuple(_with_list(book, bath_form(text)) for text in changed["baths"])
    if "pots" in changed:
        owned = {pot.name.casefold(): pot.id for pot in pots_owned(book)}
        missing = [name for name in changed["pots"] if name.casefold() not in owned]
        if missing:
            raise refuse("--pot", tr("no pot is named {missing!r}", missing=missing[0]),
                         tr("You own: {pots}.", pots=", ".join(sorted(owned))) if owned
                         else tr("You own none yet; add one by field-app pots."))
        changed["pots"] = tuple(owned[name.casefold()] for name in changed["pots"])
    return replace(before, **changed)


@plan.command("new")
@click.argument("name")
@_options
@json_option
@click.pass_obj
@told
def plan_new(call: Call, /, name: str, for_programs: bool, **given: Any) -> None:
    """Plan a dye day.

    \b
    Example:
      field-app plan new "Harvest dyeing" --day 2026-10-10 --lot 904D \\
          --bath "wool 1 kg, medium, alum, 2 h" --bath "silk 300 g, light"
    """
    book = call.book()
    form = _told(book, given, PlanForm(name, book.now().date().isoformat()))
    _show(book, add_plan(book, form), for_programs)


@plan.command("change")
@click.argument("name")
@_options
@json_option
@click.pass_obj
@told
def plan_change(call: Call, /, name: str, for_programs: bool, **given: Any) -> None:
    """Change a plan; what is not named stays as it was.

    \b
    Example:
      field-app plan change "Harvest dyeing" --fire 07:00
    """
    book = call.book()
    held = plan_of(book, name)
    form = _told(book, given, form_of_plan(held, lots_of_plan(book, held)))
    _show(book, change_plan(book, held.id, form), for_programs)


@plan.command("list")
@json_option
@click.pass_obj
@told
def plan_list(call: Call, for_programs: bool) -> None:
    """List the dye days, by their day.

    \b
    Example:
      field-app plan list
    """
    book = call.book()
    found = plans(book)
    if for_programs:
        as_json([_plan_json(one) for one in found])
        return
    if not found:
        say(tr("No dye day is planned. Plan one: field-app plan new \"Harvest dyeing\" --lot LOT --bath \"wool 1 "
               "kg\""))
    for one in found:
        lots = ", ".join(lot.code for lot in lots_of_plan(book, one)) or tr("no lots")
        click.echo(tr("{day}  {plan}: {lots}, done", day=one.facts.day, plan=one.name, lots=lots) if one.done
                   else f"{one.facts.day}  {one.name}: {lots}")


@plan.command("show")
@click.argument("name")
@json_option
@click.pass_obj
@told
def plan_show(call: Call, name: str, for_programs: bool) -> None:
    """Say what comes of a plan: liquor, baths, helpers, rinses and the clock.

    \b
    Example:
      field-app plan show "Harvest dyeing"
    """
    book = call.book()
    _show(book, plan_of(book, name), for_programs)


@plan.command("done")
@click.argument("name")
@json_option
@click.pass_obj
@told
def plan_done(call: Call, name: str, for_programs: bool) -> None:
    """Tell that a dye day is done: what was planned is drawn from its lots.

    \b
    Example:
      field-app plan done "Harvest dyeing"
    """
    book = call.book()
    done, lots = finish_plan(book, name)
    if for_programs:
        as_json({**_plan_json(done), "left": {lot.code: lot.life.left.as_json() for lot in lots}})
        return
    click.echo(tr("{name} is done.", name=done.name))
    for lot in lots:
        click.echo(tr("  {code}: {mass} is left", code=lot.code, mass=show_range(lot.life.left)))


@plan.command("withdraw")
@click.argument("name")
@click.pass_obj
@told
def plan_withdraw(call: Call, name: str) -> None:
    """Take a plan back; it stays in the history.

    \b
    Example:
      field-app plan withdraw "Harvest dyeing"
    """
    book = call.book()
    held = plan_of(book, name)
    book.withdraw(held.id)
    click.echo(tr("{name} is taken back.", name=held.name))
    if held.done:
        say(tr("What was drawn for it stays drawn; take those draws back one by one if they never happened."))


def day_out(book: FieldBook, name: str, *, for_file: bool = False) -> DayOut:
    """A dye day of that name or id as it leaves with its lots, in English for a file. Raises Refused."""
    held = plan_of(book, name)
    with english() if for_file else nullcontext():
        return DayOut(held, work_out(held.facts, lots_of_plan(book, held), pots_of_plan(book, held)))


def _plan_json(held: PlanNow) -> dict[str, Any]:
    return {"id": held.id, **held.facts.as_json()}


def _show(book: FieldBook, held: PlanNow, for_programs: bool) -> None:
    lots = lots_of_plan(book, held)
    work = work_out(held.facts, lots, pots_of_plan(book, held))
    if for_programs:
        as_json({"plan": _plan_json(held), **work.as_json()})
        return
    for line in _lines(held, lots, work):
        click.echo(line)
    for problem in work.problems:
        say(str(problem))


def _lines(held: PlanNow, lots: Sequence[LotNow], work: PlanWork) -> Iterator[str]:
    said = {"plan": held.name, "day": held.facts.day, "lots": ", ".join(lot.code for lot in lots) or tr("no lots")}
    yield tr("{plan}, {day}, done: {lots}", **said) if held.done else tr("{plan}, {day}: {lots}", **said)
    for liquor in work.liquors:
        yield from _liquor_lines(liquor)
    for name, grams in work.helpers().items():
        yield f"  {tr(name)}: {show_range(grams)}"
    if work.clock:
        yield tr("The day:")
    for row in work.clock:
        day = day_words(row, held.facts.day)
        yield f"  {row.hours_words:<11}  {row.words}{f' ({day})' if day else ''}"
    if work.cautions:
        yield tr("Take care:")
    for caution in work.cautions:
        yield f"  {tr(caution.short)}"


def _liquor_lines(liquor: LiquorWork) -> Iterator[str]:
    amounts = ", ".join(one.words for one in liquor.takings)
    yield tr("{stuff} ({amounts}): {volume} of liquor with {extract} of extract", stuff=tr(liquor.stuff.name),
             amounts=amounts, volume=show_range(liquor.volume), extract=show_range(liquor.extract))
    if liquor.made is not None:
        yield tr("  put in {water} of water; {boiled_off} boils off", water=show_range(liquor.made.water),
                 boiled_off=show_range(liquor.made.boiled_off))
    for bath in liquor.baths:
        mix = (tr("{liquor} of the liquor and {water} of water", liquor=show_si(bath.liquor, "L"),
                  water=show_si(bath.water, "L")) if bath.liquor else tr("the same bath again"))
        yield f"  {bath.place}. {bath.cloth}: {mix}, {show_hours(bath.dyed.load.hours)}"
        yield f"     {bath.verdict}"
        changes = bath.rinses.changes
        yield tr("     Rinse {central:.0f} ({low:.0f}–{high:.0f}) times, {volume} in all.", central=changes.central,
                 low=changes.low, high=changes.high, volume=show_range(bath.rinses.litres))
    if liquor.kept > 0.5:
        yield tr("  {volume} of the liquor is kept for another day", volume=show_si(liquor.kept, "L"))
    if liquor.routes is not None and not liquor.routes.agree:
        yield f"  {liquor.routes.words}"


COMMANDS: tuple[click.Command, ...] = (plan,)
