"""Which trees today: the round with its stops, times and ranges, a sketch of it, and what is left out and why."""

from __future__ import annotations

import dataclasses
import datetime as dt
from collections.abc import Callable, Sequence
from dataclasses import dataclass

import flet as ft

from field_app.core.positions import Fix, Position, show_distance
from field_app.core.problems import Problem, Refused
from field_app.core.round_form import Asked, RoundForm, read_round
from field_app.core.rounds import NOT_PATHS, Candidate, Round, Stop, plan_round
from field_app.core.sites import SiteNow
from field_app.store import FieldBook, candidates, need_of
from field_app.ui import drafts, parts, theme
from field_app.ui.day_words import clock_time, full_day
from field_app.ui.guard import guarded, piece, screen
from field_app.ui.looking import Looked, looking_line, use_looked
from field_app.ui.refusals import NO_PROBLEMS
from field_app.ui.round_ask import ROUND, ROUND_CALLED, Asking, in_own_units, kept_pace, with_pace
from field_app.ui.round_words import (
    find_route,
    leg_words,
    marks_of,
    minutes_words,
    round_kicker,
    round_title,
    sketch_words,
    stop_words,
    take_along,
)
from field_app.ui.services import use_app, use_services
from field_app.ui.sketch_map import SketchMap
from field_app.ui.standpoint import stand_words, use_begin
from field_app.words import begun, tr, tr_as, tr_n

__all__ = ["RoundToday"]

_NO_FORM: RoundForm | None = None


@dataclass(frozen=True, slots=True)
class _Outcome:
    """What came of asking: a round, or the problems in the way, or nothing yet for want of a start."""

    planned: Round | None = None
    problems: tuple[Problem, ...] = NO_PROBLEMS


@screen
def RoundToday() -> ft.View:
    """The round of the day, planned anew when one asks for it."""
    services, state = use_services(), use_app()
    path = ft.use_view_path()
    kept: RoundForm | None = drafts.kept(state, ROUND)
    typed, set_typed = ft.use_state(kept or RoundForm())
    asked, set_asked = ft.use_state(kept or RoundForm())
    touched, set_touched = ft.use_state(kept is not None)
    opened, set_opened = ft.use_state("")
    left_out, set_left_out = ft.use_state(False)
    now = services.book.now()
    # A round is planned for now; a minute later it is still the same one.
    minute = now.replace(second=0, microsecond=0)
    begin, looked = use_begin(), use_looked()
    start = state.here or (begin.where.fix if begin.where else None)
    reading = ft.use_memo(lambda: _read(asked, start, state.sites, services.book),
                          [asked, start, state.sites, state.lots, minute])
    known = ft.use_memo(lambda: _candidates(services.book, reading, looked),
                        [state.sites, state.lots, reading[0] is None, _next(reading), minute, looked.known])
    outcome = ft.use_memo(lambda: _plan(reading, known, now) if looked.done else _Outcome(problems=reading[1]),
                          [reading, known, looked.done])

    async def remembered() -> None:
        if services.device is not None and not touched:
            found = with_pace(RoundForm(), await services.device.remembered(ROUND))
            set_typed(found)
            set_asked(found)

    ft.use_effect(guarded(state.catch_up), [])
    ft.use_effect(guarded(remembered), [])

    def change(form: RoundForm) -> None:
        drafts.keep(state, ROUND, form)
        set_touched(True)
        set_typed(form)

    async def plan() -> None:
        set_asked(typed)
        if not _read(typed, start, state.sites, services.book)[1]:
            set_opened("")
        if services.device is not None:
            await services.device.remember(ROUND, kept_pace(typed))

    # Nothing is wrong yet with a form on which nobody typed.
    problems = NO_PROBLEMS if _lost(outcome) and not touched else outcome.problems
    asking = Asking(typed, start, change, problems, opened or ("start" if _lost(outcome) else ""), set_opened,
                    services.decimal, stand_words(begin.where, now) if begin.where else "")
    planned = outcome.planned
    changed = typed != asked or planned is None
    dock = (parts.main_button(tr("Plan the round"), plan, "round-plan") if changed or not planned or not planned.stops
            else parts.main_button(tr("Find {name}", name=planned.stops[0].candidate.name),
                                   parts.going(find_route(planned.stops[0].candidate.site)), "round-find",
                                   icon=ft.Icons.NEAR_ME_OUTLINED))
    if planned is None:
        mend = ", ".join(dict.fromkeys(tr(ROUND_CALLED.get(one.where, one.where)) for one in outcome.problems))
        title = tr("Where do you begin?") if _lost(outcome) else tr("To mend: {fields}", fields=mend)
        if not outcome.problems:
            title = tr("Which trees today?")
        return parts.page_view(path, tr("{day} · which trees today", day=full_day(now.date(), now.date())), title,
                               [*looking_line(looked), asking], dock=dock, back="/")
    decimal = services.decimal
    need = reading[0].need_words if reading[0] is not None else ""
    body = [*([parts.second(need)] if need else []), *_round(planned, decimal), *_cautions(planned),
            *_stops(planned, state.sites, decimal), *_along(planned, state.sites, decimal),
            *_left_out(planned, left_out, lambda: set_left_out(not left_out)),
            parts.heading(tr("What you ask for")), asking]
    return parts.page_view(path, round_kicker(planned), round_title(planned), body, dock=dock, back="/")


_Reading = tuple[Asked | None, tuple[Problem, ...]]


def _read(form: RoundForm, here: Fix | None, sites: Sequence[SiteNow], book: FieldBook) -> _Reading:
    if here is not None and isinstance(form.start, str) and not form.start.strip():
        form = dataclasses.replace(form, start=here)
    try:
        return read_round(in_own_units(form), sites, book.now(), read_need=lambda text,
                          where: need_of(book, text, where=where)
                          ), NO_PROBLEMS
    except Refused as refused:
        return None, refused.problems


def _next(reading: _Reading) -> dt.date | None:
    return reading[0].next_day if reading[0] is not None else None


def _lost(outcome: _Outcome) -> bool:
    """Whether nothing is wrong but that it isn't known where one begins."""
    return [problem.where for problem in outcome.problems] == ["start"]


def _candidates(book: FieldBook, reading: _Reading, looked: Looked) -> tuple[Candidate, ...]:
    return (candidates(book, next_day=_next(reading), known=looked.known)
            if reading[0] is not None and looked.done else ())


def _plan(reading: _Reading, known: tuple[Candidate, ...], now: dt.datetime) -> _Outcome:
    asked, problems = reading
    return _Outcome(problems=problems) if asked is None else _Outcome(plan_round(known, asked.start, now, asked.wish))


def _round(planned: Round, decimal: str) -> list[ft.Control]:
    if not planned.stops:
        return [parts.notice("advice", tr("Nothing is due, or nothing is worth the way"),
                             tr("Below it says why each tree is left out."))]
    marks, legs = marks_of(planned)
    sketch: ft.Control = SketchMap(marks, legs, sketch_words(planned))
    ends = {"start": tr_as("at the start", "back"), "open": tr("at the last tree until")}.get(
        str(planned.wish.end), tr("at the end"))
    length = minutes_words((planned.ends - planned.begins).total_seconds() / 60)
    rows = [parts.range_row(tr("in all"), planned.total, decimal=decimal),
            parts.figure_row(tr("on the way"), tr("about {distance}", distance=show_distance(planned.way_m,
                                                                                              decimal=decimal))),
            parts.figure_row(ends, tr("{time}, after {length}", time=clock_time(planned.ends), length=length))]
    if planned.out_by is not None and planned.light.sunset is not None:
        rows.append(parts.figure_row(tr("out by"), tr("{time} (sunset {sunset})", time=clock_time(planned.out_by),
                                                  sunset=clock_time(planned.light.sunset))))
    hollow = any(mark.kind == "left out" for mark in marks)
    note = (tr("Straight lines, not paths. A ring is a tree that is left out.") if hollow
            else tr("Straight lines, not paths."))
    return [parts.card([sketch, parts.small(note)]), parts.card(rows)]


def _cautions(planned: Round) -> list[ft.Control]:
    return [parts.notice("caution", tr(caution), key="round-caution") for caution in planned.cautions
            if caution != NOT_PATHS]


def _stops(planned: Round, sites: Sequence[SiteNow], decimal: str) -> list[ft.Control]:
    notes = {site.id: site.facts.note for site in sites}
    most = max((stop.expected.high for stop in planned.stops), default=0.0)
    cards: list[ft.Control] = [
        _stop(number, stop, notes.get(stop.candidate.site, ""), most, decimal)
        for number, stop in enumerate(planned.stops, 1)]
    if planned.home is not None and planned.stops:
        where = tr("To the end") if isinstance(planned.wish.end, Position) else tr("Back to where you began")
        cards.append(parts.card([ft.Row(
            [parts.body(where), parts.body(f"{leg_words(planned.home, decimal)} · {clock_time(planned.ends)}")],
            wrap=True, spacing=10, run_spacing=0, alignment=ft.MainAxisAlignment.SPACE_BETWEEN)]))
    return cards


@piece
def _stop(number: int, stop: Stop, note: str, most: float, decimal: str) -> ft.Control:
    one = stop.candidate
    head = ft.Row([parts.lead(f"{number} · {one.name}"), parts.body(leg_words(stop.leg, decimal))],
                  wrap=True, spacing=10, run_spacing=0, alignment=ft.MainAxisAlignment.SPACE_BETWEEN)
    rows: list[ft.Control] = [
        head, parts.second(stop_words(stop)), *([parts.second(note)] if note else []),
        parts.range_bar(stop.expected, most * 1.05, tr("what may lie there"), decimal=decimal),
        parts.range_row(tr("may lie there"), stop.expected, decimal=decimal),
        parts.figure_row(tr("there by about"), clock_time(stop.arrive)),
        *(parts.body(text) for text in stop.notes),
    ]
    return parts.card(rows, "leaf" if one.due else None, on_click=parts.going(find_route(one.site)),
                      key=f"round-stop-{number}")


def _along(planned: Round, sites: Sequence[SiteNow], decimal: str) -> list[ft.Control]:
    lines = take_along(planned, sites, decimal)
    if not lines:
        return []
    return [parts.heading(tr("Take along")), parts.card([parts.body(line) for line in lines])]


def _left_out(planned: Round, opened: bool, toggle: Callable[[], None]) -> list[ft.Control]:
    if not planned.left_out:
        return []
    count = len(planned.left_out)
    rows: list[ft.Control] = [
        ft.Column([parts.body(one.candidate.name, bold=True), parts.second(f"{begun(one.words)}.")], spacing=0)
        for one in planned.left_out]
    return [parts.fold(tr("left out"), tr_n("1 tree, and why", "{n} trees, and why", count),
                       opened=opened or not planned.stops, on_toggle=toggle, key="round-left-out",
                       controls=[ft.Column(rows, spacing=theme.GAP)])]
