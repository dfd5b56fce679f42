"""The catalogue of words: ``python -m tests.catalogue update`` after texts changed, ``compile`` after translating.

``update`` reads every text out of the program and its packaged tables and brings ``<language>.po`` up to date:
new texts come in empty, old ones go.  ``compile`` writes the ``<language>.mo`` that the program reads.
"""

from __future__ import annotations

import ast
import inspect
import io
import sys
import tomllib
import warnings
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import click
from babel.messages.catalog import Catalog, Message
from babel.messages.extract import extract
from babel.messages.mofile import write_mo
from babel.messages.pofile import read_po, write_po

import field_app
from field_app.cli import main
from field_app.cli_help import paragraphs
from field_app.words import LANGUAGES

__all__ = ["ROOT", "WORDS", "compiled", "extracted", "po"]

ROOT = Path(field_app.__file__).parent
WORDS = ROOT / "words"
#: Our verbs, and which of their arguments are texts.
_VERBS = {"tr": None, "tr_n": (1, 2), "tr_as": ((1, "c"), 2), "later": None, "later_n": (1, 2)}
#: Members of the packaged tables that people read.
_SHOWN = {"name", "one", "words", "test", "note", "said"}
#: Tables of the packaged tables whose every value people read.
_ALL_SHOWN = {"sources"}


def _of_table(held: Any, everything: bool = False) -> Iterator[str]:
    if isinstance(held, dict):
        for key, value in held.items():
            if isinstance(value, str):
                if everything or key in _SHOWN:
                    yield value
            else:
                yield from _of_table(value, key in _ALL_SHOWN)
    elif isinstance(held, list):
        for one in held:
            yield from _of_table(one)


def _in_formatted(source: str) -> Iterator[tuple[Any, str | None]]:
    """The texts within formatted strings, into which the library does not look."""
    for formatted in ast.walk(ast.parse(source)):
        for one in ast.walk(formatted) if isinstance(formatted, ast.JoinedStr) else ():
            if isinstance(one, ast.Call) and isinstance(one.func, ast.Name) and one.func.id in _VERBS:
                texts = [part.value for part in one.args if isinstance(part, ast.Constant)]
                if one.func.id == "tr_as" and len(texts) == 2:
                    yield texts[1], texts[0]
                elif one.func.id == "tr_n" and len(texts) >= 2:
                    yield tuple(texts[:2]), None
                elif one.func.id in ("tr", "later") and texts:
                    yield texts[0], None


def _of_help(command: click.Command) -> Iterator[tuple[str, str]]:
    """The texts of the help of a command and of those within it, each with its file."""
    of = inspect.getsourcefile(inspect.unwrap(command.callback)) if command.callback else None
    name = f"field_app/{Path(of).relative_to(ROOT).as_posix()}" if of else "field_app/cli.py"
    yield from ((piece, name) for piece, _ in paragraphs(command.help or ""))
    yield from ((option.help, name) for option in command.params if isinstance(option, click.Option) and option.help)
    for one in command.commands.values() if isinstance(command, click.Group) else ():
        yield from _of_help(one)


def extracted() -> Catalog:
    """Every text of the program, its tables and the help of its commands, with the files that it stands in."""
    found = Catalog(project="field-app", charset="utf-8")
    for path in sorted(ROOT.rglob("*.py")):
        name = f"field_app/{path.relative_to(ROOT).as_posix()}"
        # Arguments that are f-strings are no texts, and the reader need not warn of them.
        with path.open("rb") as file, warnings.catch_warnings():
            warnings.simplefilter("ignore")
            for _, message, _, context in extract("python", file, _VERBS, (), {}):
                found.add(message, locations=[(name, 0)], context=context)
        for message, context in _in_formatted(path.read_text(encoding="utf-8")):
            found.add(message, locations=[(name, 0)], context=context)
    for path in sorted(ROOT.rglob("*.toml")):
        for text in _of_table(tomllib.loads(path.read_text(encoding="utf-8"))):
            found.add(text, locations=[(f"field_app/{path.relative_to(ROOT).as_posix()}", 0)])
    for text, name in _of_help(main):
        found.add(text, locations=[(name, 0)])
    return found


def po(code: str) -> Catalog:
    """The catalogue of a language as it stands in its file, or an empty one."""
    path = WORDS / f"{code}.po"
    if not path.exists():
        return Catalog(code, project="field-app", charset="utf-8")
    with path.open("rb") as file:
        return read_po(file, locale=code)


def compiled(code: str) -> bytes:
    """What the program reads of a language."""
    out = io.BytesIO()
    write_mo(out, po(code))
    return out.getvalue()


def _update(code: str) -> None:
    old, new = po(code), Catalog(code, project="field-app", charset="utf-8", fuzzy=False)
    for message in extracted():
        if message.id:
            held = old.get(message.id, message.context)
            text = held.string if held else ("", "") if message.pluralizable else ""
            new.add(message.id, text, locations=sorted(message.locations), context=message.context)
    with (WORDS / f"{code}.po").open("wb") as file:
        write_po(file, new, width=110, include_lineno=False, omit_header=False, sort_by_file=True)
    empty = sum(not all(_strings(message)) for message in new if message.id)
    print(f"{code}.po: {len(new)} texts, {empty} to be translated")


def _strings(message: Message) -> tuple[str, ...]:
    return message.string if isinstance(message.string, tuple) else (message.string,)


if __name__ == "__main__":
    for language in LANGUAGES:
        if language == "en":
            continue
        if "update" in sys.argv[1:]:
            _update(language)
        if "compile" in sys.argv[1:]:
            (WORDS / f"{language}.mo").write_bytes(compiled(language))
