"""The command that prints the table of dye materials, with the source of every figure."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import click

from field_app.cli_base import Call, Command, as_json, json_option, told
from field_app.core.figures import DISAGREE, figure_words, sections_of, sourced
from field_app.core.materials import MATERIALS, RIPENESS, Material, material
from field_app.core.own import InForce
from field_app.core.units import show_number
from field_app.store import holds_data
from field_app.words import tr, tr_as

__all__ = ["COMMANDS"]


def _as_json(stuff: Material, default: Material) -> dict[str, Any]:
    return {
        "key": stuff.key, "name": stuff.name, "botanical": stuff.botanical, "group": stuff.group,
        "parts": [{"key": part.key, "name": part.name, "countable": part.countable, "pourable": part.pourable,
                   "shows_ripeness": part.shows_ripeness} for part in stuff.parts],
        "parameters": {name: row.model_dump() for name, row in stuff.parameters.items()},
        "overridden": {name: default.parameters[name].model_dump() for name, row in stuff.parameters.items()
                       if name in default.parameters and row is not default.parameters[name]},
        "ripeness": {ripe.key: ripe.model_dump() for ripe in RIPENESS.values()}
        if any(part.shows_ripeness for part in stuff.parts) else {}}


def _lines(stuff: Material, default: Material) -> Iterator[str]:
    yield f"{stuff.key}: {tr(stuff.name)}, {stuff.botanical}"
    for part in stuff.parts:
        ways = [tr("weigh"), *([tr_as("what to do", "count")] if part.countable else []),
                *([tr("pour into pails")] if part.pourable else [])]
        yield f"  {part.key}: {', '.join(ways)}"
    for heading, names in sections_of(stuff):
        yield f"{tr(heading)}:"
        for name in names:
            row = stuff.parameters[name]
            own = " *" if row is not default.parameters.get(name) else ""
            yield f"  {figure_words(name, stuff)} [{name}]{own}: {row.shown} ({sourced(row)})"
    if any(part.shows_ripeness for part in stuff.parts):
        yield tr("How ripe, the test at the tree, the general BBCH code, and what it may be worth beside firm green:")
        for ripe in RIPENESS.values():
            code = f", BBCH {ripe.bbch}" if ripe.bbch is not None else ""
            worth = f"{show_number(ripe.strength_low)}–{show_number(ripe.strength_high)}"
            yield (f"  {tr(ripe.words)} [{ripe.key}]{code}: {worth}. {tr(ripe.test)} ({tr(ripe.source)})")
        yield f"  {tr(DISAGREE)}"
    if stuff is not default:
        yield tr("* is your own; `field-app figure back` brings a value of the table back.")


@click.command(cls=Command)
@click.argument("name", default="")
@click.option("--site", default="", metavar="SITE", help="As it holds at this place.")
@json_option
@click.pass_obj
@told
def materials(call: Call, /, name: str, site: str, for_programs: bool) -> None:
    """List the dye materials, or all that is known of one, each figure with its source.

    Your own values and what your tests have taught stand in place of the table's, marked with a star.

    \b
    Example:
      field-app materials black-walnut
      field-app materials black-walnut --site "Mill lane"
    """
    defaults = [material(name)] if name else list(MATERIALS.values())
    in_force, where = InForce(), ""
    # A look into the table makes no data folder.
    if site or holds_data(call.folder):
        book = call.book()
        in_force, where = book.in_force(), book.site(site).id if site else ""
    chosen = [(in_force(stuff.key, where), stuff) for stuff in defaults]
    if for_programs:
        found = [_as_json(stuff, default) for stuff, default in chosen]
        as_json(found[0] if name else found)
        return
    for stuff, default in chosen:
        own = " *" if stuff is not default else ""
        for line in _lines(stuff, default) if name else [f"{stuff.key}: {tr(stuff.name)}, {stuff.botanical}{own}"]:
            click.echo(line)


COMMANDS: tuple[click.Command, ...] = (materials,)
