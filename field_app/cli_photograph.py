"""The commands for photographs: keep them, list them, copy one without its place, take one away."""

from __future__ import annotations

import asyncio
import contextlib
from pathlib import Path
from typing import Any

import click

from field_app.cli_base import Call, Group, as_json, json_option, say, told
from field_app.core.pictures import LARGEST, bare_copy, read_picture
from field_app.core.problems import Refused, refuse
from field_app.core.records import code_of
from field_app.disk import write_file
from field_app.store import PHOTOGRAPHS, FieldBook, Photograph
from field_app.words import tr, tr_n

__all__ = ["COMMANDS"]

#: How many signs of a photograph's hash are shown, and how many at least name one [1].
_SHOWN, _LEAST = 12, 4


@click.group("photograph", cls=Group)
def photographs() -> None:
    """Photographs of lots and looks: they stay on this device, and go into no file but a backup."""


def _thing(book: FieldBook, key: str) -> str:
    """The id of a lot by its code or id, or of a look by its id."""
    held = book.log_book.thing(key)
    if held is not None and held.kind == "look" and not held.deleted:
        return held.id
    return book.lot(key).id


def _called(book: FieldBook, one: Photograph) -> str:
    """What it shows, as a person calls it."""
    held = book.log_book.thing(one.of)
    if held is not None and held.kind == "look":
        with contextlib.suppress(Refused):
            return tr("a look at {tree}", tree=book.site(str(held.facts.get("site"))).name)
    return tr("lot {code}", code=code_of(one.of, 4))


def _one(book: FieldBook, code: str) -> Photograph:
    """The photograph whose hash begins so."""
    wanted = code.strip().lower()
    found = {one.sha256: one for one in book.album.all() if len(wanted) >= _LEAST and one.sha256.startswith(wanted)}
    if len(found) == 1:
        return next(iter(found.values()))
    if found:
        raise refuse("PHOTOGRAPH", tr("{count} begin with {code}", count=len(found), code=code), tr("Type more of it."))
    raise refuse("PHOTOGRAPH", tr("none begins with {code}", code=code),
                 tr("field-app photograph list shows their signs; type four of them at least."))


def _bytes_of(path: Path) -> bytes:
    try:
        with path.open("rb") as file:
            return file.read(LARGEST + 1)  # one more tells that it is too large
    except OSError as error:
        raise refuse(path.name, tr("can't be read ({strerror})", strerror=error.strerror or error),
                     tr("Name a file that is there.")) from None


@photographs.command("add")
@click.argument("what")
@click.argument("files", metavar="FILE...", nargs=-1, required=True, type=click.Path(path_type=Path))
@json_option
@click.pass_obj
@told
def add(call: Call, what: str, files: tuple[Path, ...], for_programs: bool) -> None:
    """Keep photographs of a lot, named by its code, or of a look, by its id.

    JPEG, PNG and WebP of 12 MB at most. They are kept as they are, place and all, on this device alone.

    \b
    Example:
      field-app photograph add K7QD heap.jpg
    """
    with contextlib.closing(call.book()) as book:
        thing = _thing(book, what)
        data = [(path, _bytes_of(path)) for path in files]
        for path, each in data:  # all or none: whoever names a wrong one names it again with the others
            read_picture(each, path.name)
        kept = [asyncio.run(book.album.add(thing, each, path.name)) for path, each in data]
        if for_programs:
            as_json([_json(book, one) for one in kept])
            return
        for one in kept:
            click.echo(f"{one.sha256[:_SHOWN]}  {_called(book, one)}")
        say(tr_n("{n} photograph kept on this device.", "{n} photographs kept on this device.", len(kept)))


@photographs.command("list")
@click.argument("what", default="")
@json_option
@click.pass_obj
@told
def list_them(call: Call, what: str, for_programs: bool) -> None:
    """List the photographs of a lot or a look, or all.

    \b
    Example:
      field-app photograph list
    """
    with contextlib.closing(call.book()) as book:
        found = book.album.of(_thing(book, what)) if what else book.album.all()
        if for_programs:
            as_json([_json(book, one) for one in found])
            return
        for one in found:
            click.echo(tr("{code}  {kind:<4}  {size:>10,} bytes  {day}  {what}", code=one.sha256[:_SHOWN],
                          kind=one.kind, size=one.size, day=one.at[:10], what=_called(book, one)))
        if not found:
            say(tr("There are no photographs."))


def _json(book: FieldBook, one: Photograph) -> dict[str, Any]:
    return {"sha256": one.sha256, "kind": one.kind, "bytes": one.size, "of": one.of, "kept_at": one.at,
            "file": str(book.folder / PHOTOGRAPHS / one.name)}


@photographs.command("copy")
@click.argument("photograph")
@click.argument("file", type=click.Path(path_type=Path))
@click.pass_obj
@told
def copy(call: Call, photograph: str, file: Path) -> None:
    """Write a copy of a photograph without place, time and camera, to be given away.

    \b
    Example:
      field-app photograph copy 5f70bf18 heap.jpg
    """
    with contextlib.closing(call.book()) as book:
        one = _one(book, photograph)
        data = bare_copy(asyncio.run(book.album.read(one)), photograph)
    if file.exists():
        raise refuse("FILE", tr("{file} is there already", file=file), tr("Choose another name, or move it away."))
    write_file(file, data)
    click.echo(tr("{file}: the picture alone, {size:,} bytes.", file=file, size=len(data)))


@photographs.command("take-away")
@click.argument("photograph")
@click.pass_obj
@told
def take_away(call: Call, photograph: str) -> None:
    """Take a photograph away from all that it shows; for a day it can be brought back.

    \b
    Example:
      field-app photograph take-away 5f70bf18
    """
    with contextlib.closing(call.book()) as book:
        one = _one(book, photograph)
        for each in book.album.all():
            if each.sha256 == one.sha256:
                book.album.take_away(each)
        click.echo(tr("{code} taken away from {thing}. For a day it can be brought back: field-app photograph "
                      "bring-back {thing_key}", code=one.sha256[:_SHOWN], thing=_called(book, one),
                      thing_key=_key(book, one)))


def _key(book: FieldBook, one: Photograph) -> str:
    held = book.log_book.thing(one.of)
    return one.of if held is not None and held.kind == "look" else code_of(one.of, 4)


@photographs.command("bring-back")
@click.argument("what")
@click.pass_obj
@told
def bring_back(call: Call, what: str) -> None:
    """Bring back what was taken away from a lot or a look within the last day.

    \b
    Example:
      field-app photograph bring-back K7QD
    """
    with contextlib.closing(call.book()) as book:
        gone = book.album.taken_away(_thing(book, what))
        if not gone:
            raise refuse("WHAT", tr("nothing was taken away from it within the last day"),
                         tr("Put it back from a backup, if you have one."))
        for one in gone:
            book.album.bring_back(one)
        click.echo(tr_n("{n} photograph is back.", "{n} photographs are back.", len(gone)))


COMMANDS: tuple[click.Command, ...] = (photographs,)
