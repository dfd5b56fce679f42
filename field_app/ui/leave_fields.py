"""Leave to gather, to be noted for a new tree or changed for a known one."""

from __future__ import annotations

import dataclasses
import datetime as dt
from collections.abc import Callable, Sequence
from typing import Any

import flet as ft

from field_app.core.facts import LeaveFacts
from field_app.core.gather import LeaveForm
from field_app.core.problems import Problem
from field_app.core.units import show_round
from field_app.ui import parts, theme
from field_app.ui.day_field import DayField
from field_app.ui.guard import piece
from field_app.ui.own_units import own_unit
from field_app.ui.refusals import at
from field_app.ui.site_words import WORD_ON_LEAVE
from field_app.words import later, tr

__all__ = ["LEAVE_CALLED", "NOT_ASKED", "LeaveFields", "form_of", "to_keep"]

NOT_ASKED = LeaveForm("not-asked")
#: The fields of leave: as problems name them, and as they are called here.
LEAVE_CALLED = {"leave": later("leave"), "leave from": later("from whom"), "leave until": later("until when"),
                "leave limit": later("how much"), "leave note": later("what else was said")}
_FROM = {"given": later("From whom"), "refused": later("Who refused"), "not-asked": later("Whom to ask")}


def form_of(leave: LeaveFacts | None) -> LeaveForm:
    """What is noted, as it would be typed, so that one changes it and doesn't begin again."""
    if leave is None:
        return NOT_ASKED
    limit = leave.limit
    return LeaveForm(
        leave.state, by=leave.by, until=leave.until.isoformat() if leave.until else "",
        limit="" if limit is None else limit.typed or f"{limit.value} {limit.unit}", note=leave.note)


def to_keep(form: LeaveForm) -> LeaveForm:
    """The form without what belongs to another state: only leave that was given has an end and a limit."""
    return form if form.state == "given" else dataclasses.replace(form, until="", limit="")


@piece
def LeaveFields(form: LeaveForm, on_change: Callable[[LeaveForm], Any], problems: Sequence[Problem],
                today: dt.date) -> ft.Control:
    """The three states as chips, and the fields that go with the chosen one.

    What was typed for another state is kept, in case one comes back to it.
    """
    def put(name: str) -> Callable[[str], None]:
        return lambda text: on_change(dataclasses.replace(form, unit=own_unit("mass"), **{name: text}))

    rows: list[ft.Control] = [
        parts.chips([(state, tr(words)) for state, words in WORD_ON_LEAVE], form.state, put("state"), "leave"),
        *parts.problem_text(at(problems, "leave")),
        parts.field(tr(_FROM.get(form.state, "From whom")), form.by, put("by"), "leave-by",
                    at(problems, "leave from"), hint=tr("the miller, the parish")),
    ]
    if form.state == "given":
        rows += [
            DayField(tr("The last day"), form.until, put("until"), "leave-until", at(problems, "leave until"),
                     title=tr("The last day of the leave"), empty=tr("empty if none was said"), first=today),
            parts.field(tr("How much at most"), form.limit, put("limit"), "leave-limit",
                        at(problems, "leave limit"), hint=show_round(60, "kg"), helper=tr("empty if nothing was said")),
        ]
    rows.append(parts.field(tr("What else was said"), form.note, put("note"), "leave-note",
                            at(problems, "leave note"), hint=tr("close the gate"), lines=2))
    return ft.Column(rows, spacing=theme.GAP, horizontal_alignment=ft.CrossAxisAlignment.STRETCH)
