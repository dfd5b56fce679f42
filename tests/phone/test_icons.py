"""The phone's font of icons holds every icon that a screen shows, drawn as the whole font draws it."""

import ast
import io
import json
from pathlib import Path

import flet as ft
import flet_web
import pytest
from fontTools.ttLib import TTFont
from PIL import Image, ImageDraw, ImageFont

import field_app
from field_app.phone.client import ClientChanged
from field_app.phone.icons import FONT, icons_named, lean_font, lean_names, signs_of
from field_app.phone.pack import app_files

PACKAGE = Path(field_app.__file__).parent
WEB = Path(flet_web.get_package_web_dir())
TABLE = (Path(ft.__file__).parent / "controls" / "material" / "icons.json").read_bytes()
CODE = (WEB / "main.dart.js").read_text(encoding="utf-8")
WHOLE = (WEB / FONT).read_bytes()
OURS = dict(app_files(PACKAGE, PACKAGE.parent / "seed_sites"))
USED = icons_named(OURS)
NAMED, BY_ITSELF = signs_of(CODE, json.loads(TABLE))
LEAN = lean_font(WHOLE, {*BY_ITSELF, *(NAMED[name] for name in USED)})
#: Names of the toolkit beside those of the font, where they differ.
OTHERWISE = {"COPY_OUTLINED": "content_copy_outlined"}


def drawn(font: bytes, sign: int) -> bytes:
    """The sign's picture."""
    picture = Image.new("L", (96, 96))
    ImageDraw.Draw(picture).text((8, 8), chr(sign), fill=255, font=ImageFont.truetype(io.BytesIO(font), 72))
    return picture.tobytes()


@pytest.mark.parametrize("name", sorted(USED))
def test_every_icon_of_a_screen_is_in_the_font(name):
    """An icon that a screen names is the font's sign of that name, and looks in the small font as in the whole one."""
    glyph = name.lower() if name.endswith(("_OUTLINED", "_ROUNDED", "_SHARP")) else f"{name.lower()}_baseline"
    assert TTFont(io.BytesIO(LEAN)).getBestCmap()[NAMED[name]] == OTHERWISE.get(name, glyph)
    assert drawn(LEAN, NAMED[name]) == drawn(WHOLE, NAMED[name])
    assert len(set(drawn(LEAN, NAMED[name]))) > 1


def test_no_screen_reaches_an_icon_in_a_hidden_way():
    """Icons are always named as ``ft.Icons.NAME``, so that reading the files finds them all."""
    for name, data in OURS.items():
        if name.endswith(".py"):
            tree = ast.parse(data)
            whole = [node for node in ast.walk(tree) if isinstance(node, ast.Attribute | ast.Name)
                     and ast.unparse(node).rpartition(".")[2] in ("Icons", "CupertinoIcons")]
            named = [node for node in ast.walk(tree) if isinstance(node, ast.Attribute) and node.attr.isupper()
                     and ast.unparse(node.value) == "ft.Icons"]
            assert len(whole) == len(named), f"{name} takes an icon by other means than ft.Icons.NAME"


def test_what_the_client_draws_by_itself_is_there():
    """The arrow back, of a choice, the cross and the tick of the client's own controls stay in the font."""
    there = TTFont(io.BytesIO(LEAN)).getBestCmap()
    assert set(there.values()) >= {f"{name}_baseline" for name in (
        "arrow_back", "arrow_drop_down", "calendar_today", "cancel", "check", "chevron_left", "chevron_right", "close",
        "expand_more", "more_vert")}
    assert len(there) < 250


def test_a_small_font_is_always_the_same():
    """The same signs give the same bytes, and far fewer than the whole font."""
    signs = sorted(NAMED[name] for name in USED)
    assert lean_font(WHOLE, signs) == lean_font(WHOLE, reversed(signs))
    assert len(LEAN) < len(WHOLE) / 20


def test_the_table_of_names_keeps_their_numbers():
    """An icon is sent to the client by its number, which is the one of the whole table."""
    assert json.loads(lean_names(TABLE, ["CLOSE", "ADD"])) == {
        "ADD": ft.Icons.ADD.value, "CLOSE": ft.Icons.CLOSE.value}


def test_another_client_stops_the_build():
    """A client in whose code the icons are not found where they were is never packed."""
    with pytest.raises(ClientChanged, match="0 lists"):
        signs_of("nothing", {"ADD": 1})
