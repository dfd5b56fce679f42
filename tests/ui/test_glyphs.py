"""What the screens say can be drawn."""

import ast
import hashlib
from collections.abc import Iterator
from pathlib import Path

import flet_web
import pytest

import field_app
from field_app.ui.glyphs import DRAWN, FONT, FONT_SHA256, undrawn

ROOT = Path(field_app.__file__).parent
# The command line draws with the fonts of the terminal, and hand-over files are read elsewhere.
# What these list is understood when it is typed, and never said.
READERS = {ROOT / "core" / "reading.py", ROOT / "core" / "position_text.py"}
ON_SCREEN = sorted(
    path for room in ("core", "store", "ui", "words") for path in (ROOT / room).rglob("*.py")
    if path not in READERS)
UNSEEN = str.maketrans("", "", "\t\r")


def said(path: Path) -> Iterator[tuple[int, str]]:
    """Every text of a module that is not a docstring."""
    tree = ast.parse(path.read_text(encoding="utf-8"))
    described = {
        id(node.body[0].value) for node in ast.walk(tree)
        if isinstance(node, ast.Module | ast.ClassDef | ast.FunctionDef | ast.AsyncFunctionDef)
        and node.body and isinstance(node.body[0], ast.Expr)}
    for node in ast.walk(tree):
        if isinstance(node, ast.Constant) and isinstance(node.value, str) and id(node) not in described:
            yield node.lineno, node.value


def test_the_table_is_about_the_font_that_is_shipped() -> None:
    """The client's text font is the one whose characters were listed."""
    font = Path(flet_web.__file__).parent / FONT
    assert hashlib.sha256(font.read_bytes()).hexdigest() == FONT_SHA256


def test_the_examples_of_the_docstring_are_right() -> None:
    """What the module says is drawn or not is what its table says."""
    from field_app.ui import glyphs

    text = glyphs.__doc__ or ""
    drawn = text.partition("doubt it:")[2].partition("\n")[0]
    boxes = text.partition("reach for it:")[2].partition(" and the")[0]
    assert undrawn(drawn) == ""
    assert len(boxes.split()) > 20
    assert [sign for sign in boxes.split() if sign in DRAWN] == []
    assert "\N{NARROW NO-BREAK SPACE}" not in DRAWN


@pytest.mark.parametrize("path", ON_SCREEN, ids=lambda path: str(path.relative_to(ROOT)))
def test_every_text_of_ours_can_be_drawn(path: Path) -> None:
    """No text that may reach a screen holds a character that would show as a box."""
    found = ((line, undrawn(text.translate(UNSEEN))) for line, text in said(path))
    assert [f"line {line}: {boxes}" for line, boxes in found if boxes] == []


def test_the_materials_can_be_drawn() -> None:
    """Names, sources and advice in the table of materials hold no character that would show as a box."""
    assert undrawn((ROOT / "core" / "materials.toml").read_text(encoding="utf-8")) == ""
