"""Help, and what is wrong with a call, come in the language that the person chose."""

from __future__ import annotations

import ast
import inspect
from collections.abc import Iterator
from pathlib import Path

import click
import pytest
from click.testing import CliRunner

from field_app.cli import main
from field_app.cli_help import MODULES, Command, Group, paragraphs, said_by_click
from field_app.core.habits import PLAIN, go_by
from field_app.words import speak, tr

#: Words of click that no command of ours can meet: faults of whoever writes a command, questions that we never ask,
#: kinds of parameters and marks of being outdated that we don't have.
NOT_MET = {
    "deprecated", "Positional arguments", "DeprecationWarning: The command {name!r} is deprecated.{extra_message}",
    "DeprecationWarning: The {param_type} {name!r} is deprecated.{extra_message}", "Value must be an iterable.",
    "Could not determine name for option with declarations {decls!r}", "(dynamic)", "Name '{name}' defined twice",
    "No options defined but a name was passed ({name}). Did you mean to declare an argument instead? Did you mean to "
    "pass '--{name}'?", "Arguments take exactly one parameter declaration, got {length}: {decls}.",
    "Boolean option {decl!r} cannot use the same flag for true/false.", "Do you want to continue?",
    "Confirm the action without prompting.", "%(prog)s, version %(version)s", "Show the version and exit.",
    "unknown error", "Could not open file {filename!r}: {message}", "Missing parameter",
    "Missing parameter: {param_name}", "Missing {param_type}", "Invalid start character for option ({option})",
    "file", "directory", "path", "Choice({choices})", "{value!r} is not a valid UUID.",
    "{value!r} is not a valid boolean. Recognized values: {states}", "{name} {filename!r} is a file.",
    "{name} {filename!r} is a directory.", "{name} {filename!r} is not readable.",
    "{name} {filename!r} is not writable.", "{name} {filename!r} is not executable.",
    "{name} {filename!r} does not exist.",
    ("Takes {nargs} values but 1 was given.", "Takes {nargs} values but {len} were given."),
    ("{value!r} does not match the format {format}.", "{value!r} does not match the formats {formats}."),
    ("{len_type} values are required, but {len_value} was given.",
     "{len_type} values are required, but {len_value} were given."),
}


def commands(command: click.Command = main,
             path: tuple[str, ...] = ()) -> Iterator[tuple[tuple[str, ...], click.Command]]:
    """Every command, with the words by which it is called."""
    yield path, command
    for name, one in command.commands.items() if isinstance(command, click.Group) else ():
        yield from commands(one, (*path, name))


@pytest.fixture(autouse=True)
def plainly(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[None]:
    monkeypatch.setenv("FIELD_APP_DATA", str(tmp_path / "book"))
    yield
    go_by(PLAIN)


def called(*words: str) -> str:
    """What a call prints, its lines joined to one."""
    # Wide enough that no help is cut short in a list of commands.
    done = CliRunner().invoke(main, list(words), prog_name="field-app", catch_exceptions=False, terminal_width=400)
    return " ".join(done.output.split())


@pytest.mark.parametrize("path", [path for path, _ in commands()], ids=" ".join)
def test_the_help_of_every_command_is_german_in_german(path: tuple[str, ...]) -> None:
    """Each piece of it and of its options is there in German, and its English is not; examples stay as typed."""
    command = dict(commands())[path]
    plain, german = called(*path, "--help"), called("--language", "de", *path, "--help")
    pieces = [piece for piece, _ in paragraphs(command.help or "")]
    pieces += [one.help for one in command.params if isinstance(one, click.Option) and one.help]
    pieces += ["Usage:", "Options", "Show this message and exit."]
    pieces += ["Commands"] if isinstance(command, click.Group) else []
    for piece in pieces:
        assert piece in plain
        speak("de")
        assert tr(piece) != piece
        assert tr(piece) in german
        speak("en")
        assert piece not in german
    for piece, example in paragraphs(command.help or ""):
        if piece == "Example:":
            assert " ".join(example.split()) in german


def test_in_a_group_each_command_is_told_in_german() -> None:
    """The list of commands has the first sentence of each."""
    told = called("--language", "de", "site", "--help")
    assert "Befehle: add Einen Ort hinzufügen. list Die Orte auflisten, nach Namen oder Entfernung." in told
    assert "Commands: add Add a place. list List the places, by name or by distance." in called("site", "--help")


def test_every_command_is_of_ours() -> None:
    """A command made by click alone would tell its help in English."""
    assert [path for path, one in commands() if not isinstance(one, (Command, Group))] == []


@pytest.mark.parametrize(("words", "english", "german"), [
    (["moon"], "Error: No such command 'moon'.", "Fehler: Den Befehl 'moon' gibt es nicht."),
    (["lot"], "(Did you mean one of: 'cloth', 'log', 'lots'?)", "(Gemeint vielleicht: 'cloth', 'log', 'lots'?)"),
    (["--moon"], "No such option '--moon'.", "Die Option '--moon' gibt es nicht."),
    (["lots", "--moon"], "Try 'field-app lots --help' for help.", "Hilfe gibt 'field-app lots --help'."),
    (["lots", "a"], "Got unexpected extra argument (a)", "Diese Angabe ist zu viel: a"),
    (["lots", "a", "b"], "Got unexpected extra arguments (a b)", "Diese Angaben sind zu viel: a b"),
    (["lots", "--limit"], "Option '--limit' requires an argument.", "Die Option '--limit' braucht eine Angabe."),
    (["lots", "--limit", "x"], "'x' is not a valid integer range.", "'x' ist keine ganze Zahl."),
    (["lots", "--limit", "0"], "Invalid value for '--limit': 0 is not in the range x>=1.",
     "Ungültige Angabe für '--limit': 0 liegt außerhalb von x>=1."),
    (["lots", "--json=3"], "Option '--json' does not take a value.", "Die Option '--json' steht ohne Angabe."),
    (["check"], "Missing argument 'FILE'.", "Es fehlt die Angabe 'FILE'."),
    (["settle", "4K7Q"], "Missing option '--choose'.", "Es fehlt die Option '--choose'."),
    (["season", "--year", "x"], "'x' is not a valid integer.", "'x' ist keine ganze Zahl."),
    (["labels", "K", "a.pdf", "--side", "x"], "'x' is not a valid float.", "'x' ist keine Zahl."),
    (["site", "add", "x", "--leave", "maybe"], "'maybe' is not one of 'given', 'refused', 'not-asked'.",
     "'maybe' steht nicht zur Wahl: 'given', 'refused', 'not-asked'."),
    (["--help"], "[default: 8550; 0<=x<=65535]", "[sonst: 8550; 0<=x<=65535]"),
    (["settle", "--help"], "[required]", "[nötig]"),
], ids=lambda words: " ".join(words) if isinstance(words, list) else "")
def test_what_is_wrong_with_a_call_is_told_in_the_language(words: list[str], english: str, german: str) -> None:
    """The words of click come out of the catalogue, those of the language alone."""
    assert english in called(*words)
    told = called("--language", "de", *words)
    assert german in told
    assert english not in told


def test_the_language_is_known_before_any_command_runs(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Help asks the option, then the environment, then what is kept in the data folder."""
    assert "Usage: field-app" in called("--help")
    assert "Aufruf: field-app" in called("--language=de", "--help")
    monkeypatch.setenv("FIELD_APP_LANGUAGE", "de")
    assert "Aufruf: field-app" in called("--help")
    assert "Usage: field-app" in called("--language", "en", "--help")
    monkeypatch.delenv("FIELD_APP_LANGUAGE")
    called("--data", str(tmp_path / "other"), "shown", "--language", "de")
    assert "Aufruf: field-app" in called("--data", str(tmp_path / "other"), "--help")
    assert "Den Befehl 'moon'" in called("--data", str(tmp_path / "other"), "moon")
    assert "Usage: field-app" in called("--help")
    # A language that there is none of, and a fault before it, leave the help as it is.
    assert "Usage: field-app" in called("--language", "xx", "--help")
    assert "gibt es nicht" in called("--language", "de", "--moon", "--help")


def test_click_has_no_words_that_we_do_not_know() -> None:
    """Every text that click gives to gettext is in our catalogue, or no command of ours can meet it."""
    found: set[str | tuple[str, str]] = set()
    for module in MODULES:
        for node in ast.walk(ast.parse(inspect.getsource(module))):
            if isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and node.func.id in ("_", "ngettext"):
                texts = [one.value for one in node.args if isinstance(one, ast.Constant) and isinstance(one.value, str)]
                if texts:
                    found.add(texts[0] if node.func.id == "_" else (texts[0], texts[1]))
    ours = said_by_click() | {"Show the version and exit."}
    assert found - ours - NOT_MET == set()
    assert ours - found == {"required"}  # handed to gettext as a value
    assert not ours & (NOT_MET - {"Show the version and exit."})


def test_click_asks_us() -> None:
    """Each module of click that asks gettext asks our catalogue; one that is new would speak English."""
    package = Path(inspect.getfile(click)).parent
    asking = {path.stem for path in package.glob("*.py") if "from gettext import" in path.read_text(encoding="utf-8")}
    # Of questions, editors, shells and streams, none of which our commands use.
    asking -= {"_termui_impl", "_winconsole", "shell_completion", "termui", "utils"}
    assert asking == {module.__name__.removeprefix("click.") for module in MODULES}
