"""When to come back: the days, and a calendar of them to take along."""

from __future__ import annotations

import datetime as dt
import logging
from dataclasses import dataclass

import flet as ft

from field_app import __version__
from field_app.core.comeback import EVERY, FIRST_LOOK
from field_app.handover.calendar import calendar_file
from field_app.store import Due, calendar_days, due_days, left_out
from field_app.ui import parts
from field_app.ui.choices import tick
from field_app.ui.day_words import day
from field_app.ui.guard import guarded, screen
from field_app.ui.looking import looking_line, use_looked
from field_app.ui.season_words import hundredths, range_of_days
from field_app.ui.services import use_app, use_services
from field_app.ui.site_words import leave_words, site_route, some_names
from field_app.words import begun, later, tr, tr_n

__all__ = ["ComeBackDays"]

log = logging.getLogger(__name__)
_WHAT = {"look": later("Look how ripe it is"), "gather": later("Gather"), "begins": later("Ready to gather"),
         "ends": later("Last days to gather")}
_SHOWN = 30
_RULE = later("The first look is on the day by which a tree is ready with {chance}; then every {hard} days while it is "
              "hard, every {dented} once a tenth takes a dent, every {falling} while it falls. Common practice.")


@dataclass(frozen=True, slots=True)
class _Said:
    kind: parts.Notice
    title: str
    words: str


_NOTHING_SAID: _Said | None = None


@screen
def ComeBackDays() -> ft.View:
    """The days in order, and one button that saves them as a calendar."""
    services, app, path = use_services(), use_app(), ft.use_view_path()
    ft.use_effect(guarded(app.catch_up), [])
    exact, set_exact = ft.use_state(False)
    said, set_said = ft.use_state(_NOTHING_SAID)
    shown, set_shown = ft.use_state(_SHOWN)
    looked = use_looked()
    known = looked.known
    days, refused, today = due_days(known), left_out(known), app.today()

    async def save() -> None:
        data = calendar_file(calendar_days(days, exact=exact), made=services.book.now(), version=__version__)
        if services.device is None:
            set_said(_Said("refused", tr("This device can't save files"), tr("Open the field book on another one.")))
            return
        try:
            written = await services.device.save_file("come-back.ics", data)
        except (RuntimeError, OSError, TimeoutError) as error:
            log.warning("the calendar was not saved: %s", error)
            set_said(_Said("refused", tr("The calendar could not be saved"),
                           tr("The device said: {error}. Make room or choose another folder, and try again.",
                              error=error)))
            return
        set_said(_Said("good", tr_n("{n} day in come-back.ics", "{n} days in come-back.ics", len(days)),
                       tr("Open it with your calendar. Taken in again later, it moves the days that have changed."))
                 if written else _Said("caution", tr("Nothing was written"), tr("The saving was stopped.")))

    body: list[ft.Control] = [*looking_line(looked)]
    if said is not None:
        body.append(parts.notice(said.kind, said.title, said.words, live=True, key="come-back-said"))
    body += [_row(due, today) for due in days[:shown]]
    if looked.done and not days:
        body.append(parts.notice("advice", tr("Note how a tree stands"),
                                 tr("Say what stands at a tree, and note a look at it now and then. From that come the "
                                    "days to look again and to gather."), key="come-back-none"))
    if len(days) > shown:
        body.append(parts.outline_button(tr("Show more"), lambda: set_shown(shown + _SHOWN), "come-back-more"))
    if days:
        body.append(parts.card([tick(tr("With exact positions"), exact, set_exact, "come-back-exact",
                                     tr("Otherwise the calendar holds names and days only."))]))
    if any(due.day.what == "look" for due in days):
        body.append(parts.second(_rule()))
    body += [parts.second(tr("{name} is left out: leave was refused.", name=site.name)) for site in refused]
    return parts.page_view(
        path, tr("When to come back"), _title(days, today) if days or looked.done else tr("Which day first?"), body,
        back="/trees/season",
        dock=parts.main_button(tr("Save the calendar"), save, "come-back-save", icon=ft.Icons.EVENT_OUTLINED)
        if days else None)


def _title(days: tuple[Due, ...], today: dt.date) -> str:
    if not days:
        return tr("No day to come back on")
    first = days[0].day.date
    names = list(dict.fromkeys(due.timing.site.name for due in days if due.day.date == first))
    return f"{_when(first, today)}: {some_names(names)}"


def _when(date: dt.date, today: dt.date) -> str:
    return begun(day(date, today))


def _rule() -> str:
    hard, dented, falling = EVERY
    return tr(_RULE, chance=f"{FIRST_LOOK:.0%}", hard=hard, dented=dented, falling=falling)


def _row(due: Due, today: dt.date) -> ft.Control:
    one = due.timing
    sap, may = one.forecast.kind == "sap", one.site.leave_on(due.day.date) == "given"
    of_sap = {"begins": tr("The sap is up"), "ends": tr("The sap goes down")} if sap else {}
    what = of_sap.get(due.day.what) or tr(_WHAT[due.day.what])
    if due.day.saves is not None:
        what = tr("{deed}, saves {share} of the crop's dye", deed=what, share=hundredths(due.day.saves))
    if due.hardly:
        what = tr("{deed}, hardly worth the way", deed=what)
    return parts.card(
        [ft.Row([parts.lead(_when(due.day.date, today)), parts.body(one.site.name)], wrap=True, spacing=10,
                run_spacing=0, alignment=ft.MainAxisAlignment.SPACE_BETWEEN),
         parts.body(what),
         parts.second(tr("{stuff}, ready {days}", stuff=tr(one.stuff.name),
                         days=range_of_days(one.forecast, today))),
         *([] if may else [parts.body(leave_words(one.site, due.day.date))])],
        "amber" if not may else "sky" if due.day.what == "look" else "leaf",
        on_click=parts.going(site_route(one.site.id)),
        key=f"come-back-{one.site.name}-{due.number}-{one.stuff.key}")
