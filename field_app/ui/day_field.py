"""A field for a day: typed as year-month-day, or chosen on a calendar, and said back as a person says it."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Sequence
from typing import Any

import flet as ft

from field_app.core.habits import habits
from field_app.core.moments import read_day
from field_app.core.problems import Problem, Refused
from field_app.ui import parts, theme
from field_app.ui.day_words import full_day
from field_app.ui.guard import guarded, piece
from field_app.ui.services import use_services
from field_app.words import language, tr

__all__ = ["DayField", "moment_words", "picked_day"]

_NOBODY: tuple[Problem, ...] = ()


@piece
def DayField(label: str, text: str, on_change: Callable[[str], Any], key: str, problems: Sequence[Problem] = _NOBODY, *,
             title: str = "", empty: str = "", first: dt.date | None = None, last: dt.date | None = None) -> ft.Control:
    """The field and a button that opens the calendar.

    title: of the calendar; empty: what an empty field means; first, last: the days to choose from, all of the
    twenty years around if not told. The keys of the button and the calendar are ``<key>-pick`` and ``<key>-days``.
    """
    opened, set_opened = ft.use_state(False)
    now = use_services().book.now()
    today = now.date()

    def picked(event: ft.Event[ft.DatePicker]) -> None:
        value = event.control.value
        set_opened(False)
        if value is not None:
            on_change(picked_day(value, now).isoformat())

    def closed() -> None:
        set_opened(False)

    chosen = _typed_day(text)
    begins, ends = first or dt.date(today.year - 20, 1, 1), last or dt.date(today.year + 20, 12, 31)
    # Days, not moments: the client would show a moment as the day that it is in its own zone.
    ft.use_dialog(ft.DatePicker(
        key=f"{key}-days", value=chosen, first_date=min(begins, chosen or begins), current_date=today,
        last_date=max(ends, chosen or ends), help_text=title or label, confirm_text=tr("Take this day"),
        cancel_text=tr("Cancel"), locale=_calendar_of(), on_change=guarded(picked),
        on_dismiss=guarded(closed)) if opened else None)
    said = full_day(chosen, today) if chosen is not None else empty or tr("as in {day}", day=today.isoformat())
    return ft.Row(
        parts.at_thumb([
            parts.field(label, text, on_change, key, problems, hint=today.isoformat(), helper=said,
                        keyboard=ft.KeyboardType.DATETIME, expand=True),
            parts.icon_button(ft.Icons.CALENDAR_MONTH, tr("choose the day"), lambda: set_opened(True),
                              f"{key}-pick")]),
        spacing=theme.GRID, vertical_alignment=ft.CrossAxisAlignment.START)


def _calendar_of() -> ft.Locale:
    """Whose calendar it is: the language, and on which day a week begins, as the person is used to."""
    if language() == "de":
        return ft.Locale("de", "DE")
    return ft.Locale("en", "US" if habits().dates == "month-day" else "GB")


def _typed_day(text: str) -> dt.date | None:
    try:
        return read_day(text, where="day")
    except Refused:
        return None


def moment_words(day: str, time: str, today: dt.date) -> str:
    """A day and a time as they were typed, shown as days are; what can't be read stays as it was typed."""
    chosen = _typed_day(day)
    return " ".join(part for part in (day if chosen is None else full_day(chosen, today), time) if part)


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
