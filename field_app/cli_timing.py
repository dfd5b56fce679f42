"""The commands that say when to come back: looks at trees, and what follows from them."""

from __future__ import annotations

import datetime as dt
from typing import Any

import click

from field_app.cli_base import Call, as_json, json_option, told
from field_app.core.look_words import look_words
from field_app.core.looks import LookForm, LookNow
from field_app.core.materials import material
from field_app.store import FieldBook, add_look

__all__ = ["COMMANDS"]


def _look_json(look: LookNow, book: FieldBook) -> dict[str, Any]:
    facts = look.facts.as_json()
    return {"id": look.id, "site_id": facts.pop("site"), "site": book.site(look.facts.site).name, **facts}


@click.command("look")
@click.argument("site")
@click.option("--material", default="", metavar="M", help="What you looked at; default: the first that stands there.")
@click.option("--stage", default="", metavar="STAGE",
              help="green, yellowing, dented, fallen, browned or black; of cones, galls, bark: not-yet, ready, over.")
@click.option("--dents", default="", metavar="K/N", help='How many of how many kept the dent of a thumb: "7 of 10".')
@click.option("--ground", default="", metavar="HOW MANY",
              help="On the ground: a number, or none, one-or-two, a-handful, a-pail, several-pails, covered.")
@click.option("--when", "at", default="", metavar="TIME", help="Local time; default: now.")
@click.option("--note", default="", help="Anything worth knowing.")
@json_option
@click.pass_obj
@told
def look_at(call: Call, /, site: str, for_programs: bool, **given: str) -> None:
    """Note how a tree stands, without gathering.

    \b
    Example:
      field-app look "Mill lane" --dents "7 of 10" --ground a-handful
    """
    book = call.book()
    look = add_look(book, site, LookForm(**given))
    if for_programs:
        as_json(_look_json(look, book))
    else:
        name = material(look.facts.material).name.lower()
        click.echo(f"Noted at {book.site(look.facts.site).name}, {_day(look.at)}: {name}, {look_words(look.facts)}.")


def _day(moment: dt.datetime) -> str:
    return f"{moment:%Y-%m-%d}"


COMMANDS: tuple[click.Command, ...] = (look_at,)
