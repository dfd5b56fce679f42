"""Trees: where one may gather, nearest first once the device has said where it is."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Sequence
from typing import Any

import flet as ft

from field_app.core.lots import LotNow
from field_app.core.positions import Fix, Position
from field_app.core.problems import Problem, Refused
from field_app.core.sites import SiteNow, nearest_first
from field_app.core.units import show_si
from field_app.store import Timing
from field_app.ui import parts, theme
from field_app.ui.guard import guarded, piece, screen
from field_app.ui.locating import by_hand
from field_app.ui.looking import looking_line, use_looked
from field_app.ui.refusals import NO_PROBLEMS
from field_app.ui.season_words import season_sentence
from field_app.ui.services import use_app, use_services
from field_app.ui.site_words import (
    edge_of,
    last_words,
    leave_words,
    site_route,
    stands_there,
    title_of_all,
    way_words,
)
from field_app.ui.standpoint import locate_me
from field_app.ui.state import PAGE
from field_app.words import begun, tr

__all__ = ["Trees", "last_of"]


@screen
def Trees() -> ft.View:
    """All trees with what stands there, the way, leave in words, and the last windfall."""
    services, state = use_services(), use_app()
    asking, set_asking = ft.use_state(False)
    problems, set_problems = ft.use_state(NO_PROBLEMS)
    shown, set_shown = ft.use_state(PAGE)
    ft.use_effect(guarded(state.catch_up), [])
    today = state.today()
    looked = use_looked()
    seasons = ft.use_memo(lambda: _seasons(looked.known, today), [looked.known, today])
    here = state.here.position if state.here else None
    sites = tuple(site for site, _ in nearest_first(state.sites, here)) if here else state.sites
    lasts = ft.use_memo(
        lambda: {site.id: last_of(services.book.lots(limit=1, site=site.id)) for site in state.sites},
        [state.sites, state.lots])

    async def ask() -> None:
        if services.device is None:
            return
        set_asking(True)
        set_problems(())
        try:
            await locate_me(services, state)
        except Refused as refused:
            set_problems(refused.problems)
        finally:
            set_asking(False)

    body: list[ft.Control] = []
    if sites:
        body.append(_where(asking, here is not None, problems, ask))
        body.append(ft.Row([parts.outline_button(
            tr("The season of all trees"), parts.going("/trees/season"), "trees-season",
            icon=ft.Icons.CALENDAR_MONTH_OUTLINED, expand=True)]))
    else:
        body.append(parts.notice(
            "advice", tr("Put down where you gather"),
            tr("Name each tree or group of trees, say what stands there, and note whose leave you have. Then a "
               "windfall there is quickly logged.")))
    body += looking_line(looked)
    body += [_row(site, here, lasts.get(site.id), seasons.get(site.id, ""), today) for site in sites[:shown]]
    if len(sites) > shown:
        body.append(parts.outline_button(tr("Show {count} more", count=min(PAGE, len(sites) - shown)),
                                         lambda: set_shown(shown + PAGE), "trees-more"))
    return parts.page_view(
        "/trees", _kicker(state.here if sites else None), title_of_all(sites, today), body,
        dock=parts.main_button(tr("Add a tree"), parts.going("/trees/new"), "tree-add", icon=ft.Icons.ADD),
        place="trees")


def last_of(lots: tuple[LotNow, ...]) -> LotNow | None:
    """The first of a page of lots, newest first."""
    return lots[0] if lots else None


def _kicker(fix: Fix | None) -> str:
    if fix is None:
        return tr("Where you gather, by name")
    if fix.accuracy_m is None:
        return tr("Where you gather, nearest first")
    return tr("Where you gather, nearest first · fix ± {metres}", metres=show_si(fix.accuracy_m, "m"))


@piece
def _where(asking: bool, known: bool, problems: tuple[Problem, ...], ask: Callable[[], Any]) -> ft.Control:
    words = (tr("Asking the device …") if asking else tr("Where am I now?") if known
             else tr("Nearest first: where am I?"))
    rows: list[ft.Control] = [ft.Row([parts.outline_button(
        words, ask, "trees-here", icon=ft.Icons.MY_LOCATION, disabled=asking, expand=True)])]
    rows += [parts.notice("refused", begun(problem.what), _here(problem.fix), live=True, key="trees-here-problem")
             for problem in problems]
    return ft.Column(rows, spacing=2 * theme.GRID, horizontal_alignment=ft.CrossAxisAlignment.STRETCH)


def _here(fix: str) -> str:
    """What to do on this screen, on which no position can be typed."""
    return f"{fix.removesuffix(by_hand())}{tr('Until then the trees stand by name.')}"


def _seasons(known: Sequence[Timing], today: dt.date) -> dict[str, str]:
    """How each place stands, by its id, where one may gather."""
    found: dict[str, list[Timing]] = {}
    for one in known:
        if one.site.leave_on(today) != "refused":
            found.setdefault(one.site.id, []).append(one)
    return {site: season_sentence(told, today) for site, told in found.items()}


def _row(site: SiteNow, here: Position | None, last: LotNow | None, season: str, today: dt.date) -> Any:
    way = way_words(site, here)
    if here is not None and site.position is None:
        way = tr("position not noted")
    return _TreeCard(
        key=site.id, route=site_route(site.id), name=site.name, way=way, stands=stands_there(site), season=season,
        leave=leave_words(site, today), edge=edge_of(site, today), last=last_words(last, today))


@piece
def _card(route: str, name: str, way: str, stands: str, season: str, leave: str, edge: parts.Edge | None,
          last: str) -> ft.Control:
    head: list[ft.Control] = [parts.lead(name)]
    if way:
        head.append(parts.body(way))
    return parts.card([
        ft.Row(head, wrap=True, spacing=10, run_spacing=0, alignment=ft.MainAxisAlignment.SPACE_BETWEEN),
        parts.second(stands), *([parts.body(season, bold=True)] if season else []), parts.body(leave),
        parts.second(last),
    ], edge, on_click=parts.going(route), key=f"tree-{route.rpartition('/')[2]}")


#: Drawn again only if one of its words has changed.
_TreeCard = ft.memo(_card)  # type: ignore[no-untyped-call]  # the toolkit gives no types for it
