"""Leave to gather, to be noted for a new tree or changed for a known one."""

from __future__ import annotations

import dataclasses
import datetime as dt
from collections.abc import Callable, Sequence
from typing import Any

import flet as ft

from field_app.core.facts import LeaveFacts
from field_app.core.gather import LeaveForm
from field_app.core.moments import read_day
from field_app.core.problems import Problem, Refused
from field_app.core.units import show_round
from field_app.ui import parts, theme
from field_app.ui.guard import guarded, piece
from field_app.ui.own_units import own_unit
from field_app.ui.refusals import at
from field_app.ui.services import use_services
from field_app.ui.site_words import WORD_ON_LEAVE
from field_app.words import later, tr

__all__ = ["LEAVE_CALLED", "NOT_ASKED", "LeaveFields", "form_of", "picked_day", "to_keep"]

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
            _Until(form.until, put("until"), at(problems, "leave until"), today),
            parts.field(tr("How much at most"), form.limit, put("limit"), "leave-limit",
                        at(problems, "leave limit"), hint=show_round(60, "kg"), helper=tr("empty if nothing was said")),
        ]
    rows.append(parts.field(tr("What else was said"), form.note, put("note"), "leave-note",
                            at(problems, "leave note"), hint=tr("close the gate"), lines=2))
    return ft.Column(rows, spacing=theme.GAP, horizontal_alignment=ft.CrossAxisAlignment.STRETCH)


@piece
def _Until(text: str, on_change: Callable[[str], Any], problems: Sequence[Problem], today: dt.date) -> ft.Control:
    calendar, set_calendar = ft.use_state(False)
    now = use_services().book.now()

    def picked(event: ft.Event[ft.DatePicker]) -> None:
        value = event.control.value
        set_calendar(False)
        if value is not None:
            on_change(picked_day(value, now).isoformat())

    def closed() -> None:
        set_calendar(False)

    chosen = _typed_day(text)
    # Days, not moments: the client would show a moment as the day that it is in its own zone.
    ft.use_dialog(ft.DatePicker(
        key="leave-calendar", value=chosen, first_date=min(today, chosen or today), current_date=today,
        last_date=dt.date(today.year + 20, 12, 31), help_text=tr("The last day of the leave"),
        confirm_text=tr("Take this day"),
        cancel_text=tr("Cancel"), on_change=guarded(picked), on_dismiss=guarded(closed)) if calendar else None)
    return ft.Row(
        [parts.field(tr("The last day"), text, on_change, "leave-until", problems,
                     hint=f"{today.year}-11-30", helper=tr("year-month-day; empty if none was said"), expand=True),
         parts.icon_button(ft.Icons.CALENDAR_MONTH, tr("choose the day"), lambda: set_calendar(True),
                           "leave-pick-day")],
        spacing=theme.GRID, vertical_alignment=ft.CrossAxisAlignment.START)


def _typed_day(text: str) -> dt.date | None:
    try:
        return read_day(text, where="leave until")
    except Refused:
        return None


def picked_day(value: dt.date | dt.datetime, now: dt.datetime) -> dt.date:
    """The day that was tapped on the calendar, from the midnight that the client sends for it.

    The client sends midnight of its own zone in UTC; the midnight nearest to it by our clock is that of the same
    day, also if summer time begins or ends in between, or if the two zones lie some hours apart.
    """
    if not isinstance(value, dt.datetime):
        return value
    if value.tzinfo is None:
        return value.date()
    return (value.astimezone(now.tzinfo) + dt.timedelta(hours=12)).date()
