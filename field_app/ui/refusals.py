"""What was refused, on a form: each problem beside its field, and a line in sight that says so."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import flet as ft

from field_app.core.problems import Problem
from field_app.ui import parts, theme
from field_app.words import named, tr

__all__ = ["NO_PROBLEMS", "at", "elsewhere", "headline", "not_kept"]

#: What a screen starts with that has not been refused anything.
NO_PROBLEMS: tuple[Problem, ...] = ()


def at(problems: Sequence[Problem], where: str) -> tuple[Problem, ...]:
    """Those of one field."""
    return tuple(problem for problem in problems if problem.where == where)


def headline(problem: Problem) -> str:
    """What is wrong and with what, over what to do about it."""
    return f"{named(problem.where)}: {problem.what}".removeprefix(": ")


def not_kept(problems: Sequence[Problem], called: Mapping[str, str]) -> str | ft.Control:
    """The line under the main action: nothing was kept yet, and which fields are to be mended.

    called: the fields as the screen calls them, by the names that problems use.
    """
    if not problems:
        return ""
    names = ", ".join(dict.fromkeys(tr(called[problem.where]) if problem.where in called else named(problem.where)
                                    for problem in problems))
    return ft.Semantics(live_region=True, content=ft.Text(
        tr("Not kept yet. To mend: {names}", names=names), key="not-kept", size=theme.SECOND, color=theme.MADDER,
        weight=ft.FontWeight.W_500, text_align=ft.TextAlign.CENTER))


def elsewhere(problems: Sequence[Problem], called: Mapping[str, str]) -> list[ft.Control]:
    """Those that belong to no field of the screen, such as a full disk, so that none is hidden."""
    return [parts.notice("refused", headline(problem), problem.fix, live=True, key="elsewhere")
            for problem in problems if problem.where not in called]
