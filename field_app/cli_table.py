"""The command that prints the table of dye materials, with the source of every figure."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import click

from field_app.cli_base import as_json, json_option, told
from field_app.core.materials import MATERIALS, RIPENESS, Material, material

__all__ = ["COMMANDS"]

_MARKS = {"seen": "read in the source", "weak": "rule of thumb", "derived": "worked out", "memory": "from memory",
          "practice": "common practice"}


def _as_json(stuff: Material) -> dict[str, Any]:
    return {
        "key": stuff.key, "name": stuff.name, "botanical": stuff.botanical, "group": stuff.group,
        "parts": [{"key": part.key, "name": part.name, "countable": part.countable, "pourable": part.pourable,
                   "shows_ripeness": part.shows_ripeness} for part in stuff.parts],
        "parameters": {name: row.model_dump() for name, row in stuff.parameters.items()}}


def _lines(stuff: Material) -> Iterator[str]:
    yield f"{stuff.key}: {stuff.name}, {stuff.botanical}"
    for part in stuff.parts:
        ways = ["weigh", *(["count"] if part.countable else []), *(["pour into pails"] if part.pourable else [])]
        yield f"  {part.key}: {', '.join(ways)}"
    for name, row in stuff.parameters.items():
        # Many a source says by itself how far it is to be trusted.
        mark = "" if _MARKS[row.mark] in row.source else f"{_MARKS[row.mark]}; "
        yield f"  {name.replace('-', ' ').replace('wof', 'WOF')}: {row.shown} ({mark}{row.source})"
    if any(part.shows_ripeness for part in stuff.parts):
        yield "  How ripe, and what it may be worth beside firm green; the sources disagree:"
        for ripe in RIPENESS.values():
            yield f"    {ripe.key}: {ripe.words}; {ripe.test} ({ripe.strength_low:g}–{ripe.strength_high:g})"


@click.command()
@click.argument("name", default="")
@json_option
@told
def materials(name: str, for_programs: bool) -> None:
    """List the dye materials, or all that is known of one, each figure with its source.

    \b
    Example:
      field-app materials black-walnut
    """
    chosen = [material(name)] if name else list(MATERIALS.values())
    if for_programs:
        found = [_as_json(stuff) for stuff in chosen]
        as_json(found[0] if name else found)
        return
    for stuff in chosen:
        for line in _lines(stuff) if name else [f"{stuff.key}: {stuff.name}, {stuff.botanical}"]:
            click.echo(line)


COMMANDS: tuple[click.Command, ...] = (materials,)
