"""The commands for swatches of one's own: ``field-app swatch``."""

from __future__ import annotations

from typing import Any

import click
from click.core import ParameterSource

from field_app.cli_base import Call, Group, as_json, json_option, say, told
from field_app.cli_colour import base_of
from field_app.core.helpers import HELPERS
from field_app.core.materials import material as find_material
from field_app.core.own_facts import STATES
from field_app.core.palette import GROUNDS
from field_app.core.problems import refuse
from field_app.core.records import code_of
from field_app.core.swatch_deeds import SwatchForm
from field_app.core.swatch_words import swatch_words
from field_app.core.swatches import Swatch
from field_app.store import note_swatch, swatches_of
from field_app.words import tr

__all__ = ["COMMANDS"]


@click.group(cls=Group)
def swatch() -> None:
    """Swatches of your own, which teach how much a shade takes and what colour it is."""


@swatch.command("add")
@click.option("--lot", default="", metavar="LOT", help="The lot it was dyed with, by its code.")
@click.option("--material", "key", default="", metavar="M", help="Or what it was dyed with, such as black-walnut.")
@click.option("--state", default="air-dry", show_default=True, type=click.Choice(STATES),
              help="Of the stuff; with --lot as the lot is, unless told.")
@click.option("--stuff", required=True, metavar="MASS", help='Dye stuff, such as "5 g".')
@click.option("--cloth", required=True, metavar="MASS", help='Cloth, air-dry and scoured, such as "10 g".')
@click.option("--time", required=True, metavar="TIME", help='In the bath, such as "1 h".')
@click.option("--result", required=True, metavar="RESULT",
              help='pale, light, medium or dark; or measured "L* 42"; or a colour, "#7f5a38".')
@click.option("--mordant", default="none", show_default=True, type=click.Choice(GROUNDS))
@click.option("--base", default="", metavar="COLOUR", help="The cloth before, as for preview; default: undyed wool.")
@click.option("--bath", default="", metavar="VOLUME",
              help='Liquor it lay in, such as "0.5 L"; default: 30 L to the kg.')
@click.option("--heat", default="", metavar="HEAT", help='Of the bath, such as "60 °C"; default: 85 °C.')
@click.option("--when", "at", default="", metavar="WHEN", help="Local time; default: now.")
@click.option("--by", default="", metavar="WHO", help="Who dyed it.")
@click.option("--note", default="", help="Anything worth knowing.")
@json_option
@click.pass_context
@told
def swatch_add(context: click.Context, /, lot: str, key: str, state: str, base: str, for_programs: bool,
               **given: Any) -> None:
    """Note a swatch of your own: what it took, and what came out.

    \b
    Example:
      field-app swatch add --material black-walnut --stuff "5 g" --cloth "10 g" \\
          --time "1 h" --mordant alum --result "#8b5a2a"
    """
    book = context.obj.book()
    if bool(lot) == bool(key):
        raise refuse("--lot", tr("it has to be told what it was dyed with, in one way"),
                     tr("Give --lot or --material."))
    of = book.lot(lot) if lot else None
    if of is not None and context.get_parameter_source("state") is ParameterSource.DEFAULT:
        state = ""
    form = SwatchForm(lot=of.id if of else "", material=key, state=state, base=base_of(base) if base else "", **given)
    noted = note_swatch(book, form)
    stuff = find_material(of.facts.material if of else key)
    if for_programs:
        as_json(_swatch_json(next(one for one in swatches_of(book.log_book) if one.id == noted)))
        return
    click.echo(tr("Noted swatch {code} of {stuff}.", code=code_of(noted), stuff=tr(stuff.name)))
    before, after = stuff.parameter("wof-medium"), book.in_force()(stuff.key).parameter("wof-medium")
    if before is not None and after is not None and after is not before:
        click.echo(tr("Medium takes {now} of it on the weight of cloth now; the table has {table}.",
                      now=after.shown, table=before.shown))
    if form.mordant == "iron":
        for caution in HELPERS["iron"].told()[:2]:
            say(tr(caution.short))
    say(tr("See the colours: field-app preview --material {key} --shade medium", key=stuff.key))


@swatch.command("list")
@json_option
@click.pass_obj
@told
def swatch_list(call: Call, for_programs: bool) -> None:
    """List your swatches.

    \b
    Example:
      field-app swatch list
    """
    found = swatches_of(call.book().log_book)
    if for_programs:
        as_json([_swatch_json(one) for one in found])
        return
    if not found:
        say(tr("No swatches yet. Note one: field-app swatch add --help shows how."))
    for one in found:
        click.echo(f"{code_of(one.id)}  {swatch_words(one)}")


@swatch.command("remove")
@click.argument("code")
@click.pass_obj
@told
def swatch_remove(call: Call, code: str) -> None:
    """Take a swatch back, by its code; what it taught goes with it.

    \b
    Example:
      field-app swatch remove 4K7Q
    """
    book = call.book()
    found = [one for one in swatches_of(book.log_book) if code.strip() and code_of(one.id, 8).startswith(code.upper())]
    if len(found) != 1:
        what = (tr("{count} codes start with {code!r:.20}", count=len(found), code=code) if found
                else tr("no swatch has the code {code!r:.20}", code=code))
        raise refuse("CODE", what, tr("List them: field-app swatch list."))
    book.withdraw(found[0].id)
    click.echo(tr("Swatch {code} is taken back: {swatch}. field-app undo brings it back.",
                  code=code_of(found[0].id), swatch=swatch_words(found[0])))


def _swatch_json(one: Swatch) -> dict[str, Any]:
    return {"id": one.id, "code": code_of(one.id), **one.facts.as_json(), "material": one.material, "state": one.state}


COMMANDS: tuple[click.Command, ...] = (swatch,)
