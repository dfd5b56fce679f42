"""What the README shows is what the program prints."""

import os
import re
import shlex
import subprocess
import sys
from pathlib import Path

import pytest

from field_app.ids import new_id
from field_app.store import SEASON_DAY, fill_demo

README = Path(__file__).parent.parent / "README.md"
CODE = re.compile(r"(Saved as lot )([0-9A-Z]+)")


def walk():
    """The calls of the walk and what they are said to print, with their place in the file."""
    text = README.read_text(encoding="utf-8")
    calls = []
    for block in re.findall(r"```console\n(.*?)```", text, re.S):
        for piece in re.split(r"^\$ ", block, flags=re.M)[1:]:
            call, _, printed = piece.partition("\n")
            calls.append((call, printed))
    return calls


def run(call, folder):
    environment = {**os.environ, "FIELD_APP_DATA": str(folder / "book"), "FIELD_APP_NOW": SEASON_DAY.isoformat(),
                   "COLUMNS": "200", "PYTHONIOENCODING": "utf-8"}
    program, *args = shlex.split(call)
    assert program == "field-app"
    done = subprocess.run([sys.executable, "-m", "field_app.cli", *args], env=environment, cwd=folder, text=True,
                          stdout=subprocess.PIPE, stderr=subprocess.STDOUT, encoding="utf-8", check=False)
    return done.stdout


@pytest.fixture
def folder(tmp_path):
    fill_demo(tmp_path / "book", new_id=new_id).close()
    return tmp_path


def printed_now(folder):
    """Each call of the walk with what it prints now; the code of the new lot is written as in the README."""
    shown = next(match[2] for _, text in walk() if (match := CODE.search(text)))
    real = shown
    for call, _ in walk():
        text = run(call.replace(shown, real), folder)
        if match := CODE.search(text):
            real = match[2]
        yield call, text.replace(real, shown)


def test_the_walk_prints_what_it_says(folder):
    """Every call of the walk prints exactly what stands below it."""
    assert list(printed_now(folder)) == walk()


def test_the_import_in_ten_lines_runs(folder):
    """The example for planners reads the lot file with the standard library alone."""
    run("field-app handover lots.zip", folder)
    (code,) = re.findall(r"```python\n(.*?)```", README.read_text(encoding="utf-8"), re.S)
    assert len(code.splitlines()) <= 10
    done = subprocess.run([sys.executable, "-I", "-c", code], cwd=folder, capture_output=True, text=True, check=True)
    assert len(done.stdout.splitlines()) == 12
    assert "black-walnut" in done.stdout


if __name__ == "__main__":  # writes the walk anew: python -m tests.test_readme
    import tempfile

    with tempfile.TemporaryDirectory() as scratch:
        fill_demo(Path(scratch) / "book", new_id=new_id).close()
        fresh = iter(list(printed_now(Path(scratch))))
    text = README.read_text(encoding="utf-8")
    README.write_text(re.sub(r"(```console\n)(.*?)(```)", lambda block: block[1] + "".join(
        f"$ {call}\n{printed}" for call, printed in (next(fresh) for _ in re.findall(r"^\$ ", block[2], re.M))
    ) + block[3], text, flags=re.S), encoding="utf-8")
