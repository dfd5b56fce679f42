"""The season of all trees on one screen: what is ready, and what will be."""

from __future__ import annotations

import datetime as dt

import flet as ft

from field_app.core.standing import standing
from field_app.store import Timing
from field_app.ui import parts, theme
from field_app.ui.guard import guarded, screen
from field_app.ui.looking import looking_line, use_looked
from field_app.ui.season_words import (
    good_words,
    range_of_days,
    ready_words,
    season_title,
    span_of,
    visits_words,
    why_words,
)
from field_app.ui.services import use_app
from field_app.ui.site_words import site_route
from field_app.words import begun, tr

__all__ = ["SeasonOfAll"]

#: So many trees are shown until one asks for more [1].
_SHOWN = 30


@screen
def SeasonOfAll() -> ft.View:
    """All trees on one axis, the most ready first; each leads to its tree."""
    app, path = use_app(), ft.use_view_path()
    ft.use_effect(guarded(app.catch_up), [])
    shown, set_shown = ft.use_state(_SHOWN)
    looked = use_looked()
    known = looked.known
    if not known and not looked.done:
        return parts.page_view(path, tr("The season of all trees"), tr("When is what ready?"), looking_line(looked),
                               back="/trees")
    if not known:
        return parts.page_view(
            path, tr("The season"), tr("Nothing has a season yet"),
            [parts.notice("advice", tr("Say what stands where"), tr("Add a tree with what you gather there, and note a "
                                                                "look at it now and then."))],
            dock=parts.main_button(tr("Add a tree"), parts.going("/trees/new"), "season-add"), back="/trees")
    first, last = _days(known)
    past = parts.outline_button(tr("Past seasons in pictures"), parts.going("/trees/past"), "season-past",
                                icon=ft.Icons.HISTORY, expand=True)
    body: list[ft.Control] = [*looking_line(looked), ft.Row([past]), _legend(),
                              *(_row(one, first, last) for one in known[:shown])]
    if len(known) > shown:
        body.append(parts.outline_button(tr("Show more"), lambda: set_shown(shown + _SHOWN), "season-more"))
    return parts.page_view(
        path, tr("The season of all trees"), season_title(known), body, back="/trees",
        dock=parts.main_button(tr("When to come back"), parts.going("/trees/come-back"), "season-come-back",
                               icon=ft.Icons.EVENT_OUTLINED))


def _days(known: tuple[Timing, ...]) -> tuple[dt.date, dt.date]:
    """The axis: from before the first to after the last that is not far off."""
    today = known[0].today
    near = [one.forecast for one in known if one.forecast.p10 <= today + dt.timedelta(days=120)]
    first = min([today, *(told.p10 for told in near)]) - dt.timedelta(days=10)
    last = max([today, *(min(told.ends, told.p90 + dt.timedelta(days=45)) for told in near)]) + dt.timedelta(days=5)
    return max(first, today - dt.timedelta(days=90)), last


def _legend() -> ft.Control:
    return parts.second(tr("Band: when it is ready, the bar in it most likely. Frame: while it is good. Square: a "
                           "visit worth going for. Dashed line: today."))


def _row(one: Timing, first: dt.date, last: dt.date) -> ft.Control:
    told, today = one.forecast, one.today
    later = told.p10 > last
    line: ft.Control = parts.season_line(
        first, last, today, None if later else span_of(told), None if later else told.sound_until,
        tuple(visit.date for visit in one.visits))
    rows: list[ft.Control] = [
        ft.Row([parts.lead(one.site.name), parts.second(tr(one.stuff.name))], wrap=True, spacing=10,
               run_spacing=0, alignment=ft.MainAxisAlignment.SPACE_BETWEEN),
        parts.body(ready_words(told, today), bold=True)]
    if not later:
        rows.append(line)
    rows += [parts.second(begun(f"{range_of_days(told, today)}, {good_words(told, today)}")),
             parts.second(why_words(one))]
    if one.visits:
        rows.append(parts.second(tr("Best visits: {days}.", days=visits_words(one))))
    edge: parts.Edge | None = ("leaf" if standing(told, today) == "ready" and one.site.leave_on(today) == "given"
                               else None)
    if one.site.leave_on(today) == "refused":
        rows.append(ft.Text(tr("Leave refused"), size=theme.BODY, color=theme.MADDER, weight=ft.FontWeight.BOLD))
        edge = "madder"
    # A card with a canvas in it is no button to a screen reader, so the way to the tree is one of its own.
    key = f"season-{one.site.name}-{one.stuff.key}"
    rows.append(parts.outline_button(tr("See {name}", name=one.site.name), parts.going(site_route(one.site.id)), key))
    return parts.card(rows, edge)
