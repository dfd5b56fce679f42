"""The round of the day on Today: planned beside the drawing, with a small sketch, the load, and when to be out."""

from __future__ import annotations

import asyncio
import dataclasses
import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass

import flet as ft

from field_app.core.positions import show_distance
from field_app.core.problems import Refused
from field_app.core.round_form import Asked, RoundForm, read_round
from field_app.core.rounds import NOT_PATHS, Candidate, Round, plan_round
from field_app.core.sites import SiteNow
from field_app.store import Timing, candidates, need_of
from field_app.ui import drafts, parts, theme
from field_app.ui.day_words import clock_time
from field_app.ui.guard import guarded
from field_app.ui.looking import Looked
from field_app.ui.round_ask import ROUND, with_pace
from field_app.ui.round_words import find_route, marks_of, sketch_words
from field_app.ui.services import Services, use_app, use_services
from field_app.ui.sketch_map import SketchMap
from field_app.ui.standpoint import Begin, Standpoint, stand_words
from field_app.ui.state import AppState
from field_app.words import tr, tr_n

__all__ = ["DayRound", "round_card", "use_round"]

#: So many sites are looked at in one step [1], and so many at most are planned over here, for that is exact and quick;
#: the screen of the round takes all.
_STEP, _MOST = 16, 12
_HEIGHT = 208.0
#: So many stops are named [1].
_NAMED = 5



@dataclass(frozen=True, slots=True)
class DayRound:
    """The round of the day, and how many trees with something to gather it was not planned over [1]."""

    round: Round
    unplanned: int


_NO_ROUND: DayRound | None = None


def use_round(looked: Looked, where: Standpoint | None) -> DayRound | None:
    """The round from there as it was last asked for, or None while it is not planned."""
    services, app = use_services(), use_app()
    planned, set_planned = ft.use_state(_NO_ROUND)
    minute = services.book.now().replace(second=0, microsecond=0)

    async def plan() -> None:
        if where is None or not looked.done:
            return
        await asyncio.sleep(0)
        asked = await _asked(services, app, where)
        found: list[Candidate] = []
        sites = _open_to(app.sites, looked.known, minute.date())
        for start in range(0, len(sites), _STEP):
            part = sites[start:start + _STEP]
            found += candidates(services.book, next_day=asked.next_day, sites=part, known=looked.known)
            await asyncio.sleep(0)
        first, unplanned = _first(found)
        set_planned(DayRound(plan_round(first, asked.start, services.book.now(), asked.wish), unplanned))

    ft.use_effect(guarded(plan), [looked.known, looked.done, where, minute, drafts.kept(app, ROUND)])
    return planned if where is not None else None


async def _asked(services: Services, app: AppState, where: Standpoint) -> Asked:
    """The round as it was asked for last, from where one is; as usual, if that can't be read today."""
    form: RoundForm | None = drafts.kept(app, ROUND)
    if form is None:
        kept = await services.device.remembered(ROUND) if services.device is not None else ""
        form = with_pace(RoundForm(), kept)
    if not (isinstance(form.start, str) and form.start.strip()):
        form = dataclasses.replace(form, start=where.fix)
    book = services.book

    def read(one: RoundForm) -> Asked:
        return read_round(one, app.sites, book.now(), read_need=lambda text, name: need_of(book, text, where=name))

    try:
        return read(form)
    except Refused:
        return read(RoundForm(start=where.fix))


def _open_to(sites: Sequence[SiteNow], known: Sequence[Timing], today: dt.date) -> list[SiteNow]:
    """The sites at which one may stop: others are told of on the screen of the round."""
    with_season = {one.site.id for one in known}
    return [site for site in sites
            if site.id in with_season and site.position is not None and site.leave_on(today) == "given"]


def _first(found: Sequence[Candidate]) -> tuple[list[Candidate], int]:
    """Those that lose most by waiting, if there are many, and how many others have something to gather [1]."""
    in_turn = sorted(found, key=lambda one: (not one.due, -one.lost, -one.worth, one.name))
    return in_turn[:_MOST], sum(one.expected is not None for one in in_turn[_MOST:])


def round_card(day_round: DayRound | None, begin: Begin, now: dt.datetime, *, due: int,
               placed: bool) -> list[ft.Control]:
    """The round, or what it wants to be known; nothing where there is no tree to go to.

    due: how many trees are worth the way [1]; placed: whether it is noted where any of them stands.
    """
    if not placed:
        return [] if not due else [parts.second(tr("Where they stand is not noted: note it when you are there, and "
                                                   "here comes a round over them."))]
    if begin.where is None:
        return [_where_from(begin)]
    if day_round is None:
        return []
    planned, more = day_round.round, _unplanned(day_round)
    if not planned.stops:
        return [_other_ways(tr("No tree is worth the way from here"), more)] if due else []
    if planned.out_by is not None and now >= planned.out_by:
        return [parts.card([
            parts.lead(tr("Too late for a round today")),
            parts.second(tr("One should be out by {out_by}, before the sun sets at {sunset}. Go tomorrow.",
                            out_by=clock_time(planned.out_by), sunset=clock_time(planned.light.sunset or now))),
            ft.Row([parts.outline_button(tr("See the round"), parts.going("/round"), "round")])])]
    return [_planned(planned, begin.where, now, more)]


def _unplanned(day_round: DayRound) -> list[ft.Control]:
    """That the round is over some trees alone, and where it is over all; nothing if none was left out."""
    if not day_round.unplanned:
        return []
    return [ft.Text(tr_n(
        "This is planned over the {most} most urgent trees. 1 more has something to gather: “See the round” plans over "
        "all of them.",
        "This is planned over the {most} most urgent trees. {n} more have something to gather: “See the round” plans "
        "over all of them.", day_round.unplanned, most=_MOST),
        size=theme.BODY, color=theme.HULL, key="today-unplanned")]


def _planned(planned: Round, where: Standpoint, now: dt.datetime, more: Sequence[ft.Control]) -> ft.Control:
    marks, legs = marks_of(planned)
    # So small a sketch shows what one walks, and not what is left out.
    marks = [mark for mark in marks if mark.kind != "left out"]
    first = planned.stops[0].candidate
    rows: list[ft.Control] = [
        ft.Row([parts.lead(tr("The round")), parts.second(stand_words(where, now))], wrap=True, spacing=10,
               run_spacing=0, alignment=ft.MainAxisAlignment.SPACE_BETWEEN),
        SketchMap(marks, legs, sketch_words(planned), _HEIGHT),
        *(parts.figure_row(tr("{number} · {name}", number=number, name=stop.candidate.name), clock_time(stop.arrive))
          for number, stop in enumerate(planned.stops[:_NAMED], 1)),
        *([parts.second(tr_n("and 1 more stop", "and {n} more stops", len(planned.stops) - _NAMED))]
          if len(planned.stops) > _NAMED else []),
        *more,
        parts.range_row(tr("load to expect"), planned.total, key="today-load"),
        parts.figure_row(tr("way, and back by"), tr("{way}, {time}", way=show_distance(planned.way_m),
                                                  time=clock_time(planned.ends)))]
    if planned.out_by is not None and planned.light.sunset is not None:
        rows.append(parts.figure_row(tr("out by"), tr("{out_by}, sunset {sunset}", out_by=clock_time(planned.out_by),
                                                    sunset=clock_time(planned.light.sunset))))
    rows += [parts.notice("caution", caution, key="today-late") for caution in planned.cautions if caution != NOT_PATHS]
    rows.append(ft.Row(
        [parts.outline_button(tr("Find {name}", name=first.name), parts.going(find_route(first.site)), "today-find",
                              icon=ft.Icons.NEAR_ME_OUTLINED),
         parts.outline_button(tr("See the round"), parts.going("/round"), "round")],
        wrap=True, spacing=2 * theme.GRID, run_spacing=2 * theme.GRID))
    return parts.card(rows, key="today-round")


def _where_from(begin: Begin) -> ft.Control:
    words = tr("Asking the device …") if begin.asking else tr("Where am I now?")
    return parts.card([
        parts.lead(tr("Where do you begin?")),
        parts.second(tr("Then here stands the round: which tree first, how far, and when to be out.")),
        *parts.problem_text(begin.problems),
        ft.Row([parts.outline_button(words, begin.ask, "today-here", icon=ft.Icons.MY_LOCATION,
                                     disabled=begin.asking),
                parts.outline_button(tr("Another place"), parts.going("/round"), "round")],
               wrap=True, spacing=2 * theme.GRID, run_spacing=2 * theme.GRID)], "sky", key="today-begin")


def _other_ways(words: str, more: Sequence[ft.Control]) -> ft.Control:
    return parts.card([parts.lead(words), *more, parts.second(tr("The round says why each is left out, and takes other "
                                                          "beginnings and other means.")),
                       ft.Row([parts.outline_button(tr("See the round"), parts.going("/round"), "round")])])
