"""The ``field-app`` command: everything the screens do, without screens.

Results go to standard output, messages to standard error; with ``--json`` standard output holds JSON alone.
Exit codes: 0 done, 1 the data have problems, 2 the call is wrong.
"""

from __future__ import annotations

import contextlib
import os
import sys
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Any, ParamSpec, TypeVar

import click

from field_app import __version__
from field_app.cli_base import Call, Group, as_json, gallons_option, json_option, say, told
from field_app.cli_cloth import COMMANDS as CLOTH
from field_app.cli_colour import COMMANDS as COLOUR
from field_app.cli_data import COMMANDS as DATA
from field_app.cli_habits import COMMANDS as SHOWN
from field_app.cli_habits import habit_options, said_of
from field_app.cli_help import click_speaks
from field_app.cli_liquor import COMMANDS as LIQUOR
from field_app.cli_own import COMMANDS as OWN
from field_app.cli_paper import COMMANDS as PAPER
from field_app.cli_phone import COMMANDS as PHONE
from field_app.cli_photograph import COMMANDS as PICTURES
from field_app.cli_plan import COMMANDS as PLANNED
from field_app.cli_plan import day_out
from field_app.cli_round import COMMANDS as ROUND
from field_app.cli_season import COMMANDS as SEASON
from field_app.cli_swatch import COMMANDS as SWATCH
from field_app.cli_sync import COMMANDS as SHARED
from field_app.cli_table import COMMANDS as TABLE
from field_app.cli_timing import COMMANDS as TIMING
from field_app.cli_words import (
    leave_words,
    lot_json,
    lot_line,
    lot_words,
    report_lines,
    site_json,
    site_line,
)
from field_app.core.cautions import cautions_for
from field_app.core.gather import LeaveForm, SiteForm, WindfallForm
from field_app.core.habits import go_by, habits_from
from field_app.core.materials import material as find_material
from field_app.core.positions import read_position
from field_app.core.problems import refuse
from field_app.disk import write_file
from field_app.handover import PlannerOptions, check, export_files, planner_file
from field_app.ids import new_id
from field_app.main import clock_from, data_folder, open_screens
from field_app.store import SEASON_DAY, fill_demo, habits_in, looks_at
from field_app.words import tr, tr_n

__all__ = ["main"]

P = ParamSpec("P")
R = TypeVar("R")

click_speaks()


class Main(Group):
    """The command itself: it lists the others in the order in which a day goes, and is told how one speaks."""

    def list_commands(self, ctx: click.Context) -> list[str]:  # noqa: ARG002 - click's signature
        """The commands as they were added."""
        return list(self.commands)

    def parse_args(self, ctx: click.Context, args: list[str]) -> list[str]:
        """The options, in the language that they name, as help and what is wrong come before any command runs."""
        with click.Context(self, resilient_parsing=True, help_option_names=ctx.help_option_names) as looked_at:
            given, _, _ = self.make_parser(looked_at).parse_args(list(args))
        _speak_as_called(given)
        return super().parse_args(ctx, args)


def _speak_as_called(given: Mapping[str, str]) -> None:
    told = {"language": given.get("language") or os.environ.get("FIELD_APP_LANGUAGE", "")}
    # A folder that can't be used is told of by the command.
    with contextlib.suppress(OSError):
        folder = Path(given["data"]) if given.get("data") else data_folder(os.environ)
        go_by(habits_from(told, habits_in(folder)))


@click.group(cls=Main, invoke_without_command=True, context_settings={"help_option_names": ["-h", "--help"]})
@click.option("--data", type=click.Path(path_type=Path), metavar="DIR",
              help="Data folder; default: FIELD_APP_DATA, or your user data folder.")
@click.option("--as-of", envvar="FIELD_APP_NOW", default="", metavar="TIME",
              help="Look at the data as if it were this time, such as 2026-10-08T15:00:00-02:00.")
@click.option("--port", type=click.IntRange(0, 65535), default=8550, show_default=True, metavar="N",
              help="Port on this machine for the screens; 0 picks a free one.")
@click.option("--no-browser", is_flag=True, help="Print the address, but don't open the browser.")
@habit_options
@click.version_option(__version__, prog_name="field-app")
@click.pass_context
@told
def main(context: click.Context, /, data: Path | None, as_of: str, port: int, no_browser: bool, **given: str) -> None:
    """A field book for natural dyers who forage their colour.

    Without a command it opens the screens in your browser, from this machine alone.

    \b
    Example:
      field-app demo demo-season
      field-app --data demo-season
    """
    folder = data_folder(os.environ) if data is None else data
    said = said_of(given)
    go_by(habits_from(said, habits_in(folder)))
    context.obj = Call(folder, as_of, said)
    if context.invoked_subcommand is None:
        open_screens(folder, port=port, open_browser=not no_browser, clock=clock_from(as_of), said=said)


@main.group()
def site() -> None:
    """Places where you gather."""


LEAVES = click.Choice(["given", "refused", "not-asked"])


def leave_options(command: Callable[P, R]) -> Callable[P, R]:
    """The options that tell of leave to gather."""
    for option in reversed([
        click.option("--leave", type=LEAVES, help="Leave to gather there."),
        click.option("--leave-from", default="", metavar="WHO", help="Who gave or refused it."),
        click.option("--leave-until", default="", metavar="DAY", help="Last day, such as 2026-10-31."),
        click.option("--leave-limit", default="", metavar="AMOUNT", help='How much at most, such as "20 kg".'),
    ]):
        command = option(command)
    return command


def leave_form(leave: str | None, leave_from: str, leave_until: str, leave_limit: str) -> LeaveForm | None:
    """The leave as typed, or None if nothing was said of it."""
    if leave is None:
        if leave_from or leave_until or leave_limit:
            raise refuse("--leave", tr("is missing beside the other options of leave"),
                         tr("Say --leave given, refused or not-asked."))
        return None
    return LeaveForm(leave, by=leave_from, until=leave_until, limit=leave_limit)


@site.command("add")
@click.argument("name")
@click.option("--at", "position", default="", metavar="POSITION",
              help='Decimal, degrees and minutes, geo: URI or ISO 6709, such as "44.01234, -28.00567".')
@click.option("--material", "materials", multiple=True, metavar="M", help="What stands there; may be repeated.")
@leave_options
@click.option("--note", default="", help='Such as "behind the gate".')
@json_option
@click.pass_obj
@told
def site_add(call: Call, /, name: str, position: str, materials: tuple[str, ...], note: str, for_programs: bool,
             **leave: Any) -> None:
    """Add a place.

    \b
    Example:
      field-app site add "Weir" --at "44.0151, -28.0042" --material black-walnut \\
          --leave given --leave-from "the miller" --leave-until 2026-11-15
    """
    book = call.book()
    added = book.add_site(SiteForm(name, position, materials, note, leave_form(**leave)))
    if for_programs:
        as_json(site_json(added, book.now().date()))
    else:
        click.echo(tr("{name} is added. {leave}", name=added.name, leave=leave_words(added, book.now().date())))


@site.command("list")
@click.option("--near", default="", metavar="POSITION", help="Nearest to this position first.")
@json_option
@click.pass_obj
@told
def site_list(call: Call, near: str, for_programs: bool) -> None:
    """List the places, by name or by distance.

    \b
    Example:
      field-app site list --near "44.0123, -28.0057"
    """
    book = call.book()
    here = read_position(near, where="--near").position if near else None
    sites, today = book.sites(here), book.now().date()
    if for_programs:
        as_json([site_json(site, today, here) for site in sites])
        return
    if not sites:
        say(tr("No places yet. Add one: field-app site add \"Mill lane\" --at \"44.01234, -28.00567\""))
    for found in sites:
        click.echo(site_line(found, today, here))


@main.command()
@click.option("--site", "site_name", default="", metavar="NAME", help="A known place, by its name.")
@click.option("--new-site", default="", metavar="NAME", help="A new place, added in the same go.")
@click.option("--at", "position", default="", metavar="POSITION", help="Where you stand; see site add.")
@click.option("--material", required=True, metavar="M", help="Such as black-walnut; field-app materials lists them.")
@click.option("--part", default="", metavar="PART", help="What was weighed: whole-fruit, hull, bark, ...")
@click.option("--ripe", "ripeness", default="", metavar="STAGE",
              help="green, yellowing, dented, fallen, browned or black.")
@click.option("--wood", default="", metavar="WOOD", help="Of bark, where it came from: felled, pruned or wind-thrown.")
@click.option("--condition", default="fresh", show_default=True, metavar="C", help="fresh, soaked or air-dry.")
@click.option("--gross", default="", metavar="MASS", help='On the scale with the pail, such as "14,2 kg".')
@click.option("--tare", default="", metavar="MASS", help="The empty pail.")
@click.option("--scale-step", "division", default="", metavar="MASS",
              help='Smallest step of the scale, such as "20 g".')
@click.option("--scale-class", "scale", default="", metavar="C", help="III or IIII, if the scale is verified.")
@click.option("--count", default="", metavar="N", help="How many, if they were counted.")
@click.option("--sample", default="", metavar="MASSES",
              help='What some of the counted weighed, such as "68 g; 71 g; 74 g".')
@click.option("--sample-each", default="", metavar="N", help="How many of them were weighed at a time; default: 1.")
@click.option("--pails", default="", metavar="N", help="How many pails, if neither weighed nor counted.")
@click.option("--pail", default="", metavar="VOLUME", help='What one pail holds, such as "12 L".')
@click.option("--fill", default="", metavar="SHARE", help="How full each was, such as 0.8 or 80%.")
@click.option("--when", "gathered", default="", metavar="TIME", help="Local time; default: now.")
@gallons_option
@leave_options
@click.option("--note", default="", help="Anything worth knowing.")
@json_option
@click.pass_obj
@told
def log(call: Call, /, site_name: str, new_site: str, position: str, material: str, part: str, for_programs: bool,
        **given: Any) -> None:
    """Log a load at the tree.

    \b
    Example:
      field-app log --site "Mill lane" --material black-walnut --part whole-fruit \\
          --ripe fallen --gross "14,2 kg" --tare "1,1 kg"
    """
    book = call.book()
    leave = leave_form(*(given.pop(name) for name in ("leave", "leave_from", "leave_until", "leave_limit")))
    new = SiteForm(new_site, position, (material,)) if new_site else None
    parts = find_material(material).parts
    form = WindfallForm(material=material, part=part or parts[0].key, site=site_name, new_site=new,
                        position=position, leave=leave, **given)
    lot = book.log(form)
    if for_programs:
        as_json(lot_json(lot, book.now().date()))
    else:
        click.echo(tr("Saved as lot {code}: {stuff} from {place}.", code=lot.code, stuff=lot_words(lot),
                      place=lot.site_name))
        for caution in cautions_for(lot.facts.material, lot.facts.part, moment="gather")[:3]:
            say(tr(caution.short))


@main.command()
@click.option("--site", "site_name", default="", metavar="NAME", help="Only lots from this place.")
@click.option("--limit", type=click.IntRange(1), default=50, show_default=True, help="How many at most.")
@json_option
@click.pass_obj
@told
def lots(call: Call, site_name: str, limit: int, for_programs: bool) -> None:
    """List the lots, newest first.

    \b
    Example:
      field-app lots --site "Mill lane"
    """
    book = call.book()
    found = book.lots(limit=limit, site=book.site(site_name).id if site_name else None)
    if for_programs:
        as_json([lot_json(lot, book.now().date()) for lot in found])
        return
    if not found:
        say(tr("No lots yet. Log one: field-app log --help shows how."))
    for lot in found:
        click.echo(lot_line(lot, book.now().date()))


for worked_out in LIQUOR:
    main.add_command(worked_out)


@main.command()
@click.argument("file", type=click.Path(path_type=Path))
@click.option("--lot", "codes", multiple=True, metavar="LOT", help="Only these lots; default: all.")
@click.option("--plan", "named", multiple=True, metavar="NAME", help="A dye day planned here, with its lots.")
@click.option("--places", type=click.IntRange(0, 6), default=2, show_default=True,
              help="Decimal places of the positions; 2 is about 1 km.")
@click.option("--names", is_flag=True, help="Write the names of the places too.")
@json_option
@click.pass_obj
@told
def handover(call: Call, file: Path, codes: tuple[str, ...], named: tuple[str, ...], places: int, names: bool,
             for_programs: bool) -> None:
    """Write the lots to one file for whoever plans the dye day.

    Positions are rounded and places unnamed unless you say otherwise.

    \b
    Example:
      field-app handover lots.zip
    """
    book = call.book()
    days = [day_out(book, name, for_file=True) for name in named]
    chosen = [book.lot(code) for code in codes]
    chosen += [one.lot for day in days for liquor in day.work.liquors for one in liquor.takings]
    if not codes and not named:
        chosen = list(book.lots(limit=-1))
    if not chosen:
        raise refuse("lots", tr("there are none to hand over"), tr("Log one first: field-app log --help shows how."))
    places_of = {lot.facts.site for lot in chosen}
    told_of = [site for site in book.sites() if site.id in places_of]
    data = planner_file(chosen, told_of, made=book.now(), options=PlannerOptions(places=places, names=names),
                        days=days)
    write_file(file, data)
    count = len({lot.id for lot in chosen})
    if for_programs:
        as_json({"file": str(file), "bytes": len(data), "lots": count})
    else:
        rounded = (tr("exact places") if places == 6
                   else tr("places rounded to {degrees:g}°", degrees=10 ** (-places)))
        said = {"file": file, "lots": tr_n("{n} lot", "{n} lots", count), "places": rounded}
        click.echo(tr("{file}: {lots}, {places}, with their names.", **said) if names
                   else tr("{file}: {lots}, {places}, without their names.", **said))


@main.command()
@click.argument("folder", type=click.Path(path_type=Path))
@click.option("--decimal", type=click.Choice([".", ","]), default=".", show_default=True,
              help="Decimal sign of the spreadsheet.")
@click.option("--places", type=click.IntRange(0, 6), default=2, show_default=True,
              help="Decimal places of the positions; 2 is about 1 km.")
@click.option("--names", is_flag=True, help="Write the names of the places too.")
@json_option
@click.pass_obj
@told
def export(call: Call, folder: Path, decimal: str, places: int, names: bool, for_programs: bool) -> None:
    """Write the lots for other programs: waypoints (GPX), a spreadsheet, a map (GeoPackage).

    Looks at trees go along as looks.csv, with BBCH codes and the terms of USA-NPN.
    These are for looking at elsewhere; they are never taken in again.

    \b
    Example:
      field-app export for-the-map --decimal ,
    """
    book = call.book()
    if folder.exists() and not folder.is_dir():
        raise refuse("FOLDER", tr("{folder} is a file", folder=folder), tr("Name a folder."))
    folder.mkdir(parents=True, exist_ok=True)
    files = export_files(book.lots(limit=-1), book.sites(), made=book.now(), decimal=decimal,
                         options=PlannerOptions(places=places, names=names), looks=looks_at(book))
    for name, data in files.items():
        write_file(folder / name, data)
    if for_programs:
        as_json({name: len(data) for name, data in files.items()})
    else:
        click.echo(f"{folder}: {', '.join(files)}.")


@main.command("check")
@click.argument("file", type=click.Path(path_type=Path))
@json_option
@told
def check_file(file: Path, for_programs: bool) -> None:
    """Say what is in a lot file, and what is wrong with it.

    \b
    Example:
      field-app check lots.zip
    """
    try:
        data = file.read_bytes()
    except OSError as error:
        raise refuse("FILE", tr("{file} can't be read ({strerror})", file=file, strerror=error.strerror),
                     tr("Name a lot file.")) from None
    report = check(data)
    if for_programs:
        as_json(report.as_json())
    else:
        for line in report_lines(file, report.profile, report.made, report.counts):
            click.echo(line)
        for note in report.notes:
            say(tr("Note: {note}", note=note))
        for problem in report.problems:
            say(str(problem))
        if report.ok:
            click.echo(tr("Nothing is wrong with it."))
        else:
            say(tr_n("{n} fault.", "{n} faults.", len(report.problems)))
    if report.problems:
        sys.exit(1)


@main.command()
@click.argument("folder", metavar="DIR", type=click.Path(path_type=Path))
@json_option
@told
def demo(folder: Path, for_programs: bool) -> None:
    """Fill an empty folder with a made-up season, to try things out.

    \b
    Example:
      field-app demo demo-season
    """
    book = fill_demo(folder, new_id=new_id)
    sites, count = book.count("site"), book.count("lot")
    book.close()
    if for_programs:
        as_json({"folder": str(folder), "sites": sites, "lots": count, "season_day": SEASON_DAY.isoformat()})
    else:
        click.echo(tr("{folder} holds {sites} places and {count} lots of an island that does not exist.",
                      folder=folder, sites=sites, count=count))
        say(tr("Open it in its season: field-app --data {folder} --as-of {time}", folder=folder,
               time=SEASON_DAY.isoformat()))


for further in (*TABLE, *OWN, *TIMING, *ROUND, *SEASON, *CLOTH, *COLOUR, *SWATCH, *PLANNED, *PAPER, *PICTURES, *SHARED,
                *DATA, *SHOWN, *PHONE):
    main.add_command(further)


if __name__ == "__main__":
    main()
