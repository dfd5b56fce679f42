"""The help of every command, and what click itself says, in the language that is spoken.

The law of this file:

1. A help text is written in English where its command is, as a docstring or as ``help=`` of an option, and is looked
   up when it is shown: :func:`paragraphs` says in which pieces.
2. Examples, names of options, placeholders such as LOT and what may be chosen stay as they are: they are typed so.
3. click asks ``gettext`` for its own words, under names in its modules; :func:`click_speaks` puts ours in their place.
   ``_SAID`` and ``_COUNTED`` are the words that our commands can meet; a test reads click's source for others.
"""

from __future__ import annotations

import inspect
from collections.abc import Iterator
from types import ModuleType

import click
from click import core, decorators, exceptions, formatting, parser, types

from field_app.words import english, form_of, later, later_n, tr

__all__ = ["MODULES", "Command", "Group", "click_speaks", "paragraphs", "said_by_click"]

#: The modules of click that speak to whoever calls our commands.
MODULES: tuple[ModuleType, ...] = (core, decorators, exceptions, formatting, parser, types)
_SAID = frozenset((
    later("Usage:"), later("Options"), later("Commands"), later("Show this message and exit."), later("required"),
    later("default: {default}"), later("env var: {var}"), later("Error: {message}"), later("Aborted!"),
    later("Try '{command} {option}' for help."), later("Missing command."), later("Missing argument"),
    later("Missing option"), later("No such option {name!r}."), later("No such command {name!r}."),
    later("Invalid value: {message}"), later("Invalid value for {param_hint}: {message}"),
    later("Choose from:\n\t{choices}"), later("Option {name!r} does not take a value."),
    later("{value} is not in the range {range}."), later("{value!r} is not a valid {number_type}."),
    later("Argument {name!r} takes {nargs} values.")))
_COUNTED = frozenset((
    later_n("Did you mean {possibility}?", "(Did you mean one of: {possibilities}?)"),
    later_n("Got unexpected extra argument ({args})", "Got unexpected extra arguments ({args})"),
    later_n("Option {name!r} requires an argument.", "Option {name!r} requires {nargs} arguments."),
    later_n("{value!r} is not {choice}.", "{value!r} is not one of {choices}.")))
#: What click calls kinds of numbers.
_NUMBERS = frozenset((later("integer"), later("integer range"), later("float"), later("float range")))


class _Kind(str):
    """A text of click's that names a kind of number."""

    __slots__ = ()

    def format(self, *args: object, **values: object) -> str:
        kind = values.get("number_type")
        return super().format(*args, **{**values, "number_type": tr(str(kind)) if kind in _NUMBERS else kind})


def _said(message: str) -> str:
    text = tr(message) if message in _SAID else message
    return _Kind(text) if "{number_type}" in text else text


def _counted(one: str, many: str, n: int) -> str:
    return form_of(one, many, n) if (one, many) in _COUNTED else one if n == 1 else many


def said_by_click() -> frozenset[str | tuple[str, str]]:
    """Click's own texts that are looked up, those of a number as one and many."""
    return _SAID | _COUNTED


def click_speaks() -> None:
    """From now on, click asks our catalogue for its words."""
    for module in MODULES:
        for name, ours in (("_", _said), ("ngettext", _counted)):
            if hasattr(module, name):
                setattr(module, name, ours)


def paragraphs(text: str) -> Iterator[tuple[str, str]]:
    """The pieces of a help text: each as it is looked up, and what follows it as it stands.

    >>> list(paragraphs("List the lots,\\nnewest first.\\n\\n\\b\\nExample:\\n  field-app lots"))
    [('List the lots, newest first.', ''), ('Example:', '\\n  field-app lots')]
    """
    for piece in inspect.cleandoc(text).split("\n\n"):
        if piece.startswith("\b\n"):  # click's mark of lines that stay as they are
            head, _, rest = piece[2:].partition("\n")
            yield head, f"\n{rest}"
        else:
            yield " ".join(piece.split()), ""


def _in_words(text: str) -> str:
    shown = []
    for piece, as_it_is in paragraphs(text):
        shown.append(f"\b\n{tr(piece)}{as_it_is}" if as_it_is else tr(piece))
    return "\n\n".join(shown)


class _Spoken(click.Command):
    """A command that tells its help in the language that is spoken."""

    def format_help_text(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:  # noqa: ARG002 - click's
        formatter.write_paragraph()
        with formatter.indentation():
            formatter.write_text(_in_words(self.help or ""))

    def get_short_help_str(self, limit: int = 45) -> str:
        english_help, self.help = self.help, _in_words(self.help or "")
        try:
            return super().get_short_help_str(limit)
        finally:
            self.help = english_help

    def get_help_option(self, ctx: click.Context) -> click.Option | None:
        with english():  # click keeps the option, whoever calls next
            return super().get_help_option(ctx)

    def format_options(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        rows = []
        for option in self.get_params(ctx):
            row = option.get_help_record(ctx) if isinstance(option, click.Option) else None
            if row is not None:
                names, words = row
                told = getattr(option, "help", None) or ""
                rows.append((names, tr(told) + words.removeprefix(told)))
        with formatter.section(tr("Options")):
            formatter.write_dl(rows)


class Command(_Spoken):
    """A command of ours."""


class Group(_Spoken, click.Group):
    """A group of commands of ours."""

    command_class = Command

    def format_options(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        """The options, and the commands after them."""
        super().format_options(ctx, formatter)
        self.format_commands(ctx, formatter)


Group.group_class = Group  # also within a group of a class of its own
