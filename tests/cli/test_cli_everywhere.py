"""What every command prints for people follows the choice; what it prints for programs does not."""

import pytest
from click.testing import CliRunner

from field_app.cli import main
from tests.ui.everywhere import METRIC, MONTHS, POINT, full_book, lines, typed

#: A call of every command that prints figures or days.
CALLS = {
    "site list": ("site", "list", "--near", "44.0123, -28.0057"),
    "lots": ("lots",),
    "estimate": ("estimate", "904D", "--cloth", "wool 2 kg", "--pot", "40 L, 38 cm"),
    "estimate of liquor": ("estimate", "790X"),
    "a load": ("estimate", "--material", "black-walnut", "--volume", "1 bushel"),
    "top-up": ("top-up", "--bath", "30 L", "--now", "0,6 brix", "--wanted", "12 g/L", "--concentrate", "6 brix",
               "--store", "10 L"),
    "history": ("history", "790X"),
    "figures": ("materials", "black-walnut"),
    "tests": ("test", "list"),
    "own figures": ("figure", "list"),
    "pots": ("pots", "list"),
    "materials": ("materials",),
    "when": ("when", "Mill lane"),
    "round": ("round", "--from", "44.0120, -28.0060", "--carry", "25kg"),
    "season": ("season",),
    "need": ("need", "--cloth", "wool 3 kg", "--shade", "medium"),
    "cloth": ("cloth", "list"),
    "helpers": ("helpers", "--cloth", "wool 2 kg"),
    "old": ("old-recipe", "--cloth", "wool 20 yd 54 in heavy", "--take", "2 pails fresh hull", "--pail", "12 L"),
    "preview": ("preview", "--material", "black-walnut", "--shade", "light"),
    "swatches": ("swatch", "list"),
    "plan": ("plan", "show", "Harvest dyeing"),
    "plans": ("plan", "list"),
}


@pytest.fixture(scope="module")
def data(tmp_path_factory):
    """A data folder with something of everything, and the amounts that were typed into it."""
    folder = tmp_path_factory.mktemp("everywhere") / "demo"
    book = full_book(folder)
    known = typed(book)
    book.close()
    return folder, known


def call(folder, *words, used=()):
    return CliRunner().invoke(main, ["--data", str(folder), "--as-of", "2026-10-08T15:00:00-02:00", *used, *words])


@pytest.mark.parametrize("name", CALLS)
def test_what_people_read_follows_the_choice(data, name):
    """In pounds, with a comma and dates in figures, nothing is printed in another way, but for what was typed."""
    folder, known = data
    words = CALLS[name]
    result = call(folder, *words, used=("--measures", "us", "--decimal", "comma", "--dates", "iso", "--clock", "12"))
    assert result.exit_code == 0, result.output
    told = [line for line in result.output.splitlines() if line.strip()]
    assert told
    # Positions, and how full a pail was, stand in a history as they were typed.
    typed_here = known | {word for word in words if any(sign.isdigit() for sign in word)} | {"fill 0.9"}
    for line in told:
        rest = lines(line, typed_here)
        for sign in (METRIC, POINT, MONTHS):
            assert not sign.search(rest), line


@pytest.mark.parametrize("name", [name for name in CALLS if name not in ("materials",)])
def test_what_programs_read_does_not(data, name):
    """With --json the same bytes come out, however the person reads."""
    folder, _ = data
    plain = call(folder, *CALLS[name], "--json")
    used = call(folder, *CALLS[name], "--json", used=("--measures", "imperial", "--decimal", "comma", "--dates",
                                                      "month-day"))
    if "gallon" in plain.output or "bushel" in plain.output or "1 bushel" in CALLS[name]:
        used = call(folder, *CALLS[name], "--json", used=("--measures", "us", "--decimal", "comma", "--dates", "iso"))
    assert plain.exit_code == 0, plain.output
    assert used.stdout == plain.stdout
