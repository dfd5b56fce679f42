"""Finds what a screen shows without asking the catalogue: words in brackets come through it, others don't.

``python -m tests.words.unspoken [PART OF A ROUTE]`` lists them screen by screen, over the demo scenario.
"""

from __future__ import annotations

import asyncio
import datetime as dt
import gettext
import re
import sys
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import flet as ft

from field_app.core import materials
from field_app.ids import new_id
from field_app.store import open_book
from field_app.ui import Services, screens
from field_app.ui.parts.unbroken import apart
from field_app.words import speech
from tests.ui.driver import Driver, walk

SEASON = "2026-10-08T15:00:00-02:00"
_OPEN, _SHUT = "⟦", "⟧"


class Bracketed(gettext.NullTranslations):
    """A language whose every text is the English one in brackets."""

    def gettext(self, message: str) -> str:
        return f"{_OPEN}{message}{_SHUT}"

    def ngettext(self, msgid1: str, msgid2: str, n: int) -> str:
        return f"{_OPEN}{msgid1 if n == 1 else msgid2}{_SHUT}"

    def pgettext(self, context: str, message: str) -> str:  # noqa: ARG002  # as the library calls it
        return f"{_OPEN}{message}{_SHUT}"


@contextmanager
def bracketed() -> Iterator[None]:
    """Every text comes in brackets for as long as this lasts."""
    held, speech._catalogue = speech._catalogue, lambda _: Bracketed()  # type: ignore[assignment]
    # Words that are kept for a language must not be kept over a change that has no language of its own.
    materials._shown.cache_clear()
    try:
        yield
    finally:
        speech._catalogue = held
        materials._shown.cache_clear()


def outside(text: str) -> str:
    """What of a text is in no brackets.

    >>> outside("⟦Left: ⟦1⟧ kg⟧ and more")
    '   and more'
    """
    depth, kept = 0, []
    for sign in text:
        if sign == _OPEN:
            depth += 1
            kept.append(" ")
        elif sign == _SHUT:
            depth -= 1
        elif depth == 0:
            kept.append(sign)
    return "".join(kept)


#: Members of controls that a person reads or hears.
_READ = ("value", "label", "tooltip", "hint_text", "helper", "error", "text", "content", "semantics_label", "prefix",
         "suffix", "title", "subtitle", "hint", "counter", "spans")
#: Units and signs are the same in every language.
_SAME = re.compile(r"\b(kg|g|L|mL|ml|m|cm|mm|km|lb|oz|qt|gal|yd|ft|in|mi|h|min|d|s|°C|°F|US|K/S|L\*|a\*|b\*|A4|PDF|QR"
                   r"|pH|GPX|ISO|CSV|ZIP|BBCH|N|S|E|W|NE|NW|SE|SW|WOF|wof|bu|pk|pt|fl|imp|[0-9A-Z]{4,8})\b")


def said(root: Any) -> Iterator[tuple[str, str]]:
    """What can be read or heard of a view, with the kind of control that says it."""
    for control in walk(root):
        if isinstance(control, (ft.TextField,)):
            names = ("label", "hint_text", "helper", "error", "tooltip")
        elif isinstance(control, ft.BaseControl):
            names = _READ
        else:
            continue
        for name in names:
            held = getattr(control, name, None)
            if isinstance(held, str) and held:
                yield f"{type(control).__name__}.{name}", apart(held)


def unspoken(root: Any, known: set[str]) -> list[tuple[str, str]]:
    """What a view shows that came neither from the catalogue nor from what people typed [known]."""
    found = []
    for where, text in said(root):
        rest = outside(text)
        for name in sorted(known, key=len, reverse=True):
            rest = rest.replace(name, " ")
        rest = _SAME.sub(" ", rest)
        if re.search(r"[A-Za-zÀ-ÿ]{2,}", rest):
            found.append((where, text))
    return found


def typed(book: Any) -> set[str]:
    """What people typed into the book: names, notes, purposes."""
    with book.log_book.reading() as connection:
        rows = connection.execute("select * from version").fetchall()
    found: set[str] = set()
    for row in rows:
        for cell in row:
            text = cell.decode("utf-8", "ignore") if isinstance(cell, bytes) else str(cell)
            found.update(one for one in re.findall(r'"((?:[^"\\]|\\.)*)"', text) if re.search("[A-Za-z]{2,}", one))
    # Keys and words of the records themselves are not what somebody typed.
    return {one for one in found if re.search(r"[A-Z ]", one) and len(one) > 2}


def addresses(book: Any) -> list[str]:
    """An address of every screen, with what is in the demo."""
    sites = [site.id.removeprefix("urn:uuid:") for site in book.sites()]
    lots = [lot.code for lot in book.lots()]
    found = ["/", "/trees", "/trees/new", "/trees/season", "/trees/past", "/trees/come-back", "/lots", "/lots/labels",
             "/lots/find", "/dye-day", "/dye-day/plan/new", "/dye-day/colour", "/dye-day/colour/swatch",
             "/dye-day/hand-over", "/dye-day/share", "/dye-day/cloth", "/dye-day/cloth/new", "/dye-day/need",
             "/dye-day/dyes", "/dye-day/old", "/round", "/windfall", f"/windfall/{sites[0]}", "/materials",
             "/materials/black-walnut", "/materials/black-walnut/dry-fresh", "/materials/black-walnut/dry-fresh/set",
             "/materials/black-walnut/test", "/pots", "/pots/new", "/this-device"]
    for site in sites:
        found += [f"/trees/{site}", f"/trees/{site}/look", f"/trees/{site}/find"]
    for code in lots:
        found += [f"/lots/{code}"]
    found += [f"/lots/{lots[0]}/{one}" for one in ("step", "draw", "liquor", "correct", "history", "test", "dyes",
                                                  "colour", "swatch")]
    return found


def _run(part: str) -> None:
    import subprocess

    with tempfile.TemporaryDirectory() as folder:
        demo = Path(folder) / "demo"
        subprocess.run([sys.executable, "-m", "field_app.cli", "demo", str(demo)], check=True, capture_output=True)
        now = dt.datetime.fromisoformat(SEASON)
        book = open_book(demo, clock=lambda: now, new_id=new_id)
        known, seen = typed(book), set()

        async def look(route: str) -> None:
            d = await Driver.open(screens(Services(book=book)), route=route)
            await d.settle(80)
            for where, text in unspoken(d.top(), known):
                if text not in seen:
                    seen.add(text)
                    print(f"{route}: {where}: {text!r}")

        with bracketed():
            for route in addresses(book):
                if part in route:
                    asyncio.run(look(route))
        print(len(seen), "texts past the catalogue")
        book.close()


if __name__ == "__main__":
    _run(*sys.argv[1:2] or [""])
