"""What the commands print to a person comes out of the catalogue."""

from __future__ import annotations

import json
import re
from pathlib import Path

import pytest
from click.testing import CliRunner

from field_app.cli import main
from tests.words.unspoken import _SAME, SEASON, bracketed, outside

#: What a person typed, and names of kinds, which are the same in every language.
_TYPED = re.compile(r"wool \d kg|silk 300 g|\d+ pails fresh hull|\[[a-z0-9-]+\]|Harvest dyeing|big enamel|\(K\)|kJ/mol")


def _run(folder: Path, *words: str) -> str:
    done = CliRunner().invoke(main, ["--data", str(folder), "--as-of", SEASON, *words], catch_exceptions=False)
    assert done.exit_code == 0, done.output
    return done.output


@pytest.fixture(scope="module")
def demo(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The demo scenario, written once."""
    folder = tmp_path_factory.mktemp("words") / "demo"
    _run(folder, "demo", str(folder))
    return folder


@pytest.mark.parametrize("words", [
    ["lots"], ["estimate", "904D"], ["estimate", "904D", "--cloth", "wool 2 kg", "--time", "1h"],
    ["need", "--cloth", "wool 3 kg"], ["helpers", "--cloth", "wool 3 kg"],
    ["old-recipe", "--cloth", "wool 3 kg", "--take", "2 pails fresh hull", "--pail", "12 L", "--for", "wool 3 kg"],
    ["preview", "--material", "black-walnut", "--shade", "medium"], ["when"], ["season"],
    ["round", "--from", "44.0120, -28.0060", "--until", "17:30"],
    ["figure", "set", "black-walnut", "dry-fresh", "18 %", "--low", "16 %"], ["figure", "list"],
    ["test", "dry", "--lot", "904D", "--before", "212 g", "--after", "52 g"], ["test", "list"],
    ["pots", "add", "big enamel", "--volume", "40 L", "--diameter", "38 cm", "--made-of", "enamel"],
    ["plan", "new", "Harvest dyeing", "--day", "2026-10-10", "--lot", "904D", "--bath", "wool 1 kg, medium, alum, 2 h"],
    ["plan", "done", "Harvest dyeing"], ["history", "904D"], ["undo"], ["bring-back"], ["inspect"],
    ["top-up", "--bath", "30 L", "--now", "0.6 brix", "--wanted", "12 g/L", "--concentrate", "6 brix"],
], ids=" ".join)
def test_a_command_says_nothing_past_the_catalogue(words: list[str], demo: Path) -> None:
    """Every word of it is translated, but for what somebody typed, places, codes and units."""
    sites = [site["name"] for site in json.loads(_run(demo, "site", "list", "--json"))]
    with bracketed():
        printed = _run(demo, *words)
    assert printed
    for line in printed.splitlines():
        rest = outside(line)
        for known in (*sites, str(demo)):
            rest = rest.replace(known, " ")
        rest = _SAME.sub(" ", re.sub(r"#[0-9a-f]{6}|urn:\S+", " ", _TYPED.sub(" ", rest)))
        assert not re.search("[A-Za-z]{3,}", rest), line


def test_what_programs_read_stays_english(demo: Path) -> None:
    """With --json the words inside are English, whatever is spoken."""
    plain = _run(demo, "estimate", "904D", "--json")
    with bracketed():
        assert _run(demo, "estimate", "904D", "--json") == plain
