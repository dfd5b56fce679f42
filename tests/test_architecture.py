"""The rooms and which of them may import which: one table, and nothing beside it."""

import ast
from pathlib import Path

import pytest

import field_app

ROOT = Path(field_app.__file__).parent

#: Which rooms of ours a room may import. A room may always import itself.
MAY = {
    "words": set(),
    "core": {"words"},
    "disk": {"words", "core"},
    "store": {"words", "core", "disk"},
    "handover": {"words", "core"},
    "ui": {"words", "core", "store", "handover", "sync", "paper"},
    "sync": {"words", "core", "disk", "store", "handover"},
    "phone": {"words", "core", "store", "ui", ""},
    "ids": {"words"},
    "cli_words": {"words", "core"},
    "main": {"words", "core", "store", "handover", "sync", "ui", "phone", "ids"},
    "cli_help": {"words"},
    "cli_base": {"words", "cli_help", "core", "store", "ids", "main"},
    "cli_data": {"words", "cli_base", "core", "store", "ids", "main"},
    "cli_habits": {"words", "cli_base", "core", "store"},
    "cli_phone": {"words", "cli_base", "phone"},
    "cli_sync": {"words", "cli_base", "cli_words", "core", "store", "sync", "ui"},
    "cli_table": {"words", "cli_base", "core", "store"},
    "cli_dyes": {"words", "core", "store"},
    "cli_liquor": {"words", "cli_base", "cli_dyes", "cli_words", "core", "store", "main"},
    "cli_own": {"words", "cli_base", "cli_words", "core", "store", "main"},
    "cli_cloth": {"words", "cli_base", "cli_words", "core", "store", "main"},
    "cli_colour": {"words", "cli_base", "cli_words", "core", "store", "main"},
    "cli_swatch": {"words", "cli_base", "cli_colour", "core", "store", "main"},
    "cli_plan": {"words", "cli_base", "cli_words", "core", "store", "handover", "main"},
    "cli_timing": {"words", "cli_base", "cli_words", "core", "disk", "store", "handover", "main"},
    "cli_round": {"words", "cli_base", "cli_words", "core", "store", "main"},
    "cli_season": {"words", "cli_base", "core", "disk", "paper", "store"},
    "cli_photograph": {"words", "cli_base", "core", "disk", "store"},
    "cli_paper": {"words", "cli_base", "cli_plan", "core", "disk", "paper"},
    "paper": {"words", "core"},
    "cli": {"words", "cli_base", "cli_data", "cli_sync", "cli_table", "cli_words", "cli_liquor", "cli_own", "cli_cloth",
            "cli_colour", "cli_swatch", "cli_plan", "cli_timing", "cli_round", "cli_season", "cli_paper", "cli_phone",
            "cli_photograph", "cli_habits", "cli_help", "core", "disk", "store", "handover", "sync", "ui", "ids",
            "main"},
    "": {"words"},
}
#: Which packages from outside belong to which rooms alone.
OWN = {
    "flet": {"ui", "main", "phone"},
    "flet_geolocator": {"ui"},
    "flet_web": {"ui", "phone"},
    "fontTools": {"phone"},
    "uvicorn": {"ui"},
    "sqlite3": {"store"},
    "sqlite_utils": {"store"},
    "click": {room for room in MAY if room.startswith("cli")},
    "platformdirs": {"main"},
    "pydyf": {"paper"},
    "segno": {"paper"},
    "zxingcpp": {"ui"},
    "PIL": {"ui"},
    "pint": {"core"},
    "geopy": {"core"},
    "geographiclib": {"core"},
    "icalendar": {"handover"},
    "astral": {"core"},
    "random": {"ids"},
    "secrets": {"ids", "main"},
    "os": {"main", "cli", "disk", "store"},
    "time": {"ids", "main"},
    "webbrowser": {"main"},
}
#: Single files that need a package of another room: a GeoPackage is a SQLite file.
EXCEPTIONS = {"handover/geopackage.py": {"handover"}}
#: What the core may stand on, beside the standard library.
CORE_STANDS_ON = {"pydantic", "pint", "geopy", "geographiclib", "rfc8785", "astral", "field_app"}
#: Parts of the standard library that would make the core impure.
IMPURE = {"io", "os", "pathlib", "socket", "sqlite3", "subprocess", "time", "random", "secrets", "tempfile", "logging"}

FILES = sorted(ROOT.rglob("*.py"))


def room_of(path):
    parts = path.relative_to(ROOT).parts
    name = parts[0] if len(parts) > 1 else parts[0].removesuffix(".py")
    return "" if name == "__init__" else name


def imports(path):
    """Every imported module of a file, also those inside functions."""
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            yield from (alias.name for alias in node.names)
        elif isinstance(node, ast.ImportFrom):
            assert node.level == 0, f"{path} imports relatively"
            module = node.module or ""
            yield module
            if module == "field_app":
                yield from (f"field_app.{alias.name}" for alias in node.names)


@pytest.mark.parametrize("path", FILES, ids=[str(f.relative_to(ROOT)) for f in FILES])
def test_imports_go_one_way(path):
    """No file imports a room that its own room may not know, nor a package that belongs to another room."""
    room = room_of(path)
    assert room in MAY, f"{room} is not in the table of rooms"
    for module in imports(path):
        top, *rest = module.split(".")
        if top == "field_app" and rest and not rest[0].startswith("__"):
            other = rest[0]
            assert other == room or other in MAY[room], f"{room} imports {other}"
        if top in OWN:
            allowed = OWN[top] | EXCEPTIONS.get(str(path.relative_to(ROOT)), set())
            assert room in allowed, f"{room} imports {top}"


@pytest.mark.parametrize("path", [f for f in FILES if room_of(f) == "core"], ids=lambda f: f.name)
def test_the_core_is_pure(path):
    """The core stands on few libraries, and reads no clock, no file but its packaged tables, no environment."""
    import sys

    tree = ast.parse(path.read_text(encoding="utf-8"))
    for module in imports(path):
        top = module.split(".")[0]
        assert top in CORE_STANDS_ON or top in sys.stdlib_module_names, f"imports {module}"
        assert top not in IMPURE, f"imports {module}"
    called = {ast.unparse(node.func) for node in ast.walk(tree) if isinstance(node, ast.Call)}
    for clock in ("uuid.uuid4", "uuid4", "datetime.now", "dt.datetime.now", "date.today", "dt.date.today", "open",
                  "print"):
        assert clock not in called, f"calls {clock}"


def test_pint_and_geopy_are_imported_late():
    """What is slow to import is imported where it is first used, not at the start."""
    import subprocess
    import sys

    code = ("import sys, field_app.core.gather, field_app.store, field_app.handover.calendar\n"
            "print([m for m in ('pint', 'geopy', 'geographiclib', 'icalendar', 'flet') if m in sys.modules])")
    found = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert found.stdout.strip() == "[]"
