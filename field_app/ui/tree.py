"""One tree: leave, where it is, what came from it."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Sequence
from typing import Any

import flet as ft

from field_app.core.gather import LeaveForm
from field_app.core.look_words import look_words
from field_app.core.looks import LookNow
from field_app.core.materials import MATERIALS
from field_app.core.positions import Position, show_position
from field_app.core.problems import FolderFault, Refused, refuse
from field_app.core.sites import SiteNow
from field_app.store import looks_at
from field_app.ui import drafts, parts, theme
from field_app.ui.day_words import day
from field_app.ui.guard import say, screen
from field_app.ui.leave_fields import LEAVE_CALLED, LeaveFields, form_of, to_keep
from field_app.ui.looking import use_timings
from field_app.ui.lot_rows import lot_row
from field_app.ui.lot_words import fix_words
from field_app.ui.photographs import PhotographRow
from field_app.ui.refusals import NO_PROBLEMS, elsewhere, not_kept
from field_app.ui.season_words import season_sentence
from field_app.ui.services import use_app, use_services
from field_app.ui.site_words import edge_of, leave_short, leave_words, site_route, stands_there, way_words
from field_app.ui.tree_season import TreeSeason
from field_app.ui.undo import undo_bar
from field_app.words import mid, tr

__all__ = ["Tree", "copy_button", "find_site"]

#: So many looks are shown [1].
_LOOKS = 3
#: So many lots of one tree are shown before one asks for more [1].
_LOTS = 10


def find_site(sites: tuple[SiteNow, ...], ref: str) -> SiteNow:
    """The site that an address names; Refused if there is none, as after it was taken back."""
    for site in sites:
        if site.id in (ref, f"urn:uuid:{ref}"):
            return site
    raise refuse("tree", tr("it is not in this book"), tr("Go back to Trees and choose it there."))


@screen
def Tree() -> ft.View:
    """One site, with its leave to be changed in place."""
    services, state = use_services(), use_app()
    params, path = ft.use_route_params(), ft.use_view_path()
    changing, set_changing = ft.use_state(False)
    form, set_form = ft.use_state(_NO_FORM)
    problems, set_problems = ft.use_state(NO_PROBLEMS)
    shown, set_shown = ft.use_state(_LOTS)
    site = find_site(state.sites, params.get("id", ""))
    today = state.today()
    lots = ft.use_memo(lambda: services.book.lots(limit=shown + 1, site=site.id), [site.id, shown, state.lots])
    draft_name = f"leave {site.id}"
    typed: LeaveForm = form or drafts.kept(state, draft_name) or form_of(site.leave)

    def put(fresh: LeaveForm) -> None:
        drafts.keep(state, draft_name, fresh)
        set_form(fresh)

    def stop() -> None:
        drafts.drop(state, draft_name)
        set_form(_NO_FORM)
        set_problems(NO_PROBLEMS)
        set_changing(False)

    def save() -> None:
        try:
            state.set_leave(site.id, to_keep(drafts.kept(state, draft_name) or typed))
        except Refused as refused:
            set_problems(refused.problems)
            return
        except FolderFault as fault:
            set_problems((fault.problem,))
            return
        stop()

    here = state.here.position if state.here else None
    known = use_timings(site.id)
    season = season_sentence(known, today) if site.leave_on(today) == "given" else ""
    about = (stands_there(site), way_words(site, here))
    kicker = " · ".join(part for part in ((site.name, *about) if season else about) if part)
    title = season or f"{site.name}: {leave_short(site, today)}"
    if changing:
        return parts.page_view(
            path, site.name, tr("Leave to gather"),
            [*elsewhere(problems, LEAVE_CALLED), LeaveFields(typed, put, problems, today)],
            dock=[parts.outline_button(tr("As it was"), stop, "leave-stop", main=True, expand=True),
                  parts.main_button(tr("Keep it"), save, "leave-save")],
            dock_note=not_kept(problems, LEAVE_CALLED), back="/trees")
    looks = looks_at(services.book, site.id)
    body: list[ft.Control] = [
        _leave_card(site, today, lambda: set_changing(True)),
        TreeSeason(site.id),
        _position_card(site, services.decimal),
        *([parts.card([parts.second(tr("Note")), parts.body(site.facts.note)])] if site.facts.note else []),
        *_looks_card(site, looks, today),
        *_figures(site),
        parts.heading(tr("Lots from here")),
        *([lot_row(lot, today, services.decimal, with_site=False, grave=state.apart.get(lot.id, False))
           for lot in lots[:shown]]
          or [parts.second(tr("Nothing logged here yet."))]),
    ]
    if len(lots) > shown:
        body.append(parts.outline_button(tr("Show more"), lambda: set_shown(shown + _LOTS), "tree-more"))
    return parts.page_view(
        path, kicker, title, body, undo=undo_bar(site.id), back="/trees",
        dock=[parts.outline_button(tr("Note a look"), parts.going(f"{site_route(site.id)}/look"), "tree-look",
                                   main=True,
                                   expand=True),
              parts.main_button(tr("Log a windfall"), parts.going(f"/windfall/{params.get('id', '')}"), "tree-log")])


_NO_FORM: LeaveForm | None = None


def _leave_card(site: SiteNow, today: dt.date, change: Callable[[], Any]) -> ft.Control:
    leave = site.leave
    rows: list[ft.Control] = [parts.body(leave_words(site, today), bold=True)]
    if leave is not None and leave.note:
        rows.append(parts.second(leave.note))
    if leave is not None and leave.until == today and leave.state == "given":
        rows.append(parts.body(tr("It ends today: ask again before the next walk.")))
    return parts.card([parts.with_way(
        ft.Column(rows, spacing=theme.GRID), parts.quiet_button(tr("Change the leave"), change, "leave-change"))],
        edge_of(site, today))


def _figures(site: SiteNow) -> list[ft.Control]:
    """The ways to the figures of what stands there, as they hold at this place."""
    known = [key for key in site.facts.materials if key in MATERIALS]
    if not known:
        return []
    return [ft.Row([parts.outline_button(tr("Figures of {stuff}", stuff=mid(tr(MATERIALS[key].name))),
                                         parts.going(f"/materials/{key}?site={site.id}"), f"figures-{key}")
                    for key in known], wrap=True, spacing=2 * theme.GRID, run_spacing=2 * theme.GRID)]


def _looks_card(site: SiteNow, looks: Sequence[LookNow], today: dt.date) -> list[ft.Control]:
    if not looks:
        return []
    rows = [ft.Column([parts.body(look_words(look.facts)),
                       parts.second(tr("looked at {day}", day=day(look.at.date(), today))),
                       PhotographRow(look.id, tr("a look at {tree}", tree=site.name), site_route(site.id),
                                     f"look-{look.id[-6:]}", can_add=False)], spacing=0,
                      margin=ft.Margin.only(top=theme.GRID))  # some room, so that its lines hang together
            for look in reversed(looks[-_LOOKS:])]
    return [parts.card([parts.second(tr("Last looks")), *rows], key="looks")]


def _position_card(site: SiteNow, decimal: str) -> ft.Control:
    if site.position is None:
        return parts.card([
            parts.second(tr("Where it is")),
            parts.body(tr("Not noted. Distances and a way there can't be shown.")),
            ft.Row([parts.outline_button(tr("Note where it is"), parts.going(f"{site_route(site.id)}/find"),
                                         "tree-find", icon=ft.Icons.MY_LOCATION)])])
    return parts.card([
        parts.second(tr("Where it is")),
        parts.lead(show_position(site.position)),
        parts.second(fix_words(site.facts.fix, of_site=False, decimal=decimal)),
        ft.Row([parts.outline_button(tr("Find it"), parts.going(f"{site_route(site.id)}/find"), "tree-find",
                                     icon=ft.Icons.NEAR_ME_OUTLINED), copy_button(site.position)],
               wrap=True, spacing=theme.GAP),
    ])


def copy_button(position: Position) -> ft.Control:
    """Copies a position as every map reads it: latitude and longitude in decimal degrees."""
    text = f"{position.lat:.6f}, {position.lon:.6f}"
    return parts.outline_button(tr("Copy the position"), _copied, "position-copy", icon=ft.Icons.COPY_OUTLINED,
                                action=ft.CopyToClipboard(text))


def _copied() -> None:
    say(tr("The position is copied."))
