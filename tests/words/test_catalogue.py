"""Every text is in the catalogue of every language, whole and in use."""

from __future__ import annotations

import ast
import re
import string
from collections.abc import Iterator
from functools import cache
from pathlib import Path

import pytest
from babel.messages.catalog import Catalog, Message

from field_app.words import LANGUAGES
from tests.catalogue import ROOT, WORDS, compiled, extracted, po

OTHERS = [code for code in LANGUAGES if code != "en"]


@cache
def in_code() -> Catalog:
    return extracted()


def named(message: Message) -> tuple[object, str | None]:
    return message.id, message.context


def texts(catalogue: Catalog) -> dict[tuple[object, str | None], Message]:
    return {named(message): message for message in catalogue if message.id}


def strings(message: Message) -> tuple[str, ...]:
    return message.string if isinstance(message.string, tuple) else (message.string,)


def sources(message: Message) -> tuple[str, ...]:
    return message.id if isinstance(message.id, tuple) else (message.id,)


def places(text: str) -> set[str]:
    """The places of a text, each with its format."""
    return {f"{name}!{how}:{form}" for _, name, form, how in string.Formatter().parse(text) if name is not None}


@pytest.mark.parametrize("code", OTHERS)
def test_no_text_is_missing_and_none_is_left_over(code: str) -> None:
    """The catalogue holds the texts of the program and its tables, all of them and no others."""
    there, wanted = texts(po(code)), texts(in_code())
    assert sorted(map(str, wanted.keys() - there.keys())) == []
    assert sorted(map(str, there.keys() - wanted.keys())) == []


@pytest.mark.parametrize("code", OTHERS)
def test_every_text_is_translated(code: str) -> None:
    """No text is empty, none is marked as doubtful, and each has as many forms as the language has."""
    catalogue = po(code)
    assert [named(one) for one in texts(catalogue).values()
            if one.fuzzy or not all(text.strip() for text in strings(one))
            or len(strings(one)) != (catalogue.num_plurals if one.pluralizable else 1)] == []


@pytest.mark.parametrize("code", OTHERS)
def test_every_place_is_kept(code: str) -> None:
    """What is filled in is filled in in every language, in the same form; blanks at the ends stay."""
    wrong = []
    for one in texts(po(code)).values():
        filled = one.pluralizable or ("{" in sources(one)[0] and _is_filled(one))
        for text in strings(one):
            if filled and not places(text) <= set().union(*map(places, sources(one))):
                wrong.append((named(one), text))
            if filled and not one.pluralizable and places(text) != places(sources(one)[0]):
                wrong.append((named(one), text))
            if (text[:1].isspace(), text[-1:].isspace()) != (sources(one)[0][:1].isspace(),
                                                             sources(one)[0][-1:].isspace()):
                wrong.append((named(one), text))
    assert wrong == []


def _is_filled(message: Message) -> bool:
    try:
        return bool(places(sources(message)[0]))
    except ValueError:  # braces that are no places
        return False


@pytest.mark.parametrize("code", OTHERS)
def test_the_compiled_catalogue_is_that_of_the_texts(code: str) -> None:
    """What the program reads was made from the file that people read: python -m tests.catalogue compile."""
    assert (WORDS / f"{code}.mo").read_bytes() == compiled(code)


#: Verbs that ask the catalogue, or are for whoever works on the code.
_ASKS = {"tr", "tr_n", "tr_as", "later"}
_INNER = re.compile(r"(log\.\w+|ValueError|KeyError|TypeError|RuntimeError|AssertionError|LookupError|re\.\w+|cast)")
# Keys of fields have two or three words and begin small; patterns and pages of markup are for programs.
_SENTENCE = re.compile(r"(?!script-src|img-src|[0-9A-F]{4}-|B Q)"
                       r"([A-Z][\w']*[,;:]? [\w']+.*|(?!\^)([\w'’-]+[,;:]? ){3,}[\w'’-]+.*)", re.DOTALL)
#: What the client says of a position that was not given is read, never shown; old recipes are read in English.
_READ = {"did not return a position", "wool 20 yd 54 in heavy", "2 pails fresh hull"}


def _past(tree: ast.Module) -> Iterator[ast.Constant]:
    """Literals that read like a text and are in no call of ours."""
    parents = {child: node for node in ast.walk(tree) for child in ast.iter_child_nodes(node)}
    for node in ast.walk(tree):
        if isinstance(node, ast.Constant) and isinstance(node.value, str) and _SENTENCE.fullmatch(node.value.strip()) \
                and node.value not in _READ:
            chain = [node]
            while (up := parents.get(chain[-1])) is not None:
                chain.append(up)
            if isinstance(chain[1], ast.Expr):
                continue  # a docstring
            called = [ast.unparse(one.func) for one in chain if isinstance(one, ast.Call)]
            if not any(name in _ASKS or _INNER.fullmatch(name) for name in called):
                yield node


@pytest.mark.parametrize("room", ["ui", "paper"])
def test_no_text_goes_past_the_catalogue(room: str) -> None:
    """In the rooms that show something, every sentence is said through the catalogue."""
    found = [f"{path.relative_to(ROOT)}:{node.lineno}: {node.value[:60]!r}"
             for path in sorted(ROOT.glob(f"{room}/**/*.py"))
             for node in _past(ast.parse(Path(path).read_text(encoding="utf-8")))]
    assert found == []
