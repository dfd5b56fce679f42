"""Where it fell: a known place, nearest or last used first, or a new one in place."""

from __future__ import annotations

import flet as ft

from field_app.core.positions import Fix, distance_m, show_distance
from field_app.core.sites import SiteNow
from field_app.ui import parts, theme
from field_app.ui.position_fields import PositionFields
from field_app.ui.site_words import leave_words, way_words
from field_app.ui.windfall_desk import Desk
from field_app.ui.windfall_form import by_use
from field_app.words import tr

__all__ = ["position_fields", "where_fold", "where_notices"]

#: So many places are offered before one asks for all [1].
_FIRST = 5
#: Farther than this from a place, beyond what the fix can be off, one is at another place [m].
_FAR_M = 300.0


def where_fold(desk: Desk) -> parts.Fold:
    """The place, open as long as none is chosen."""
    wrong = bool(desk.at("site", "name"))
    if desk.typed.adding:
        return parts.Fold(tr("where"), desk.typed.name.strip() or tr("a new place"), "where", True,
                          desk.toggle("where"), lambda: [_new_place(desk)], wrong)
    site = desk.site
    if site is None:
        return parts.Fold(tr("where"), tr("choose"), "where", True, desk.toggle("where"), lambda: [_choosing(desk)],
                          wrong)
    here = desk.app.here.position if desk.app.here else None
    words = " · ".join(part for part in (site.name, way_words(site, here)) if part)
    return parts.Fold(tr("where"), words, "where", desk.is_open("where"), desk.toggle("where"),
                      lambda: [_choosing(desk)], wrong)


def where_notices(desk: Desk) -> list[ft.Control]:
    """What has to be known about the place before one gathers there."""
    site = desk.site
    return [*_leave_notice(desk, site), *_far_notice(desk, site)] if site else []


def _leave_notice(desk: Desk, site: SiteNow) -> list[ft.Control]:
    today = desk.now.date()
    state = site.leave_on(today)
    if state == "given" or desk.typed.leave is not None:
        return []
    return [parts.notice("refused" if state == "refused" else "caution", leave_words(site, today),
                         key="leave-notice")]


def _far_notice(desk: Desk, site: SiteNow) -> list[ft.Control]:
    fix = desk.typed.fix
    if fix is None or site.position is None:
        return []
    away = distance_m(fix.position, site.position)
    if away <= _FAR_M + (fix.accuracy_m or 0.0):
        return []
    return [parts.notice("caution", tr("You are {distance} from {place}", distance=show_distance(away),
                                       place=site.name),
                         tr("Is it the right place? The load is kept with the position of this device."),
                         key="far")]


def _choosing(desk: Desk) -> ft.Control:
    here = desk.app.here
    known = by_use(desk.app.sites, desk.app.lots, here)
    shown = known if desk.is_open("all-places") else known[:_FIRST]

    def words(site: SiteNow) -> str:
        if here is None or site.position is None:
            return site.name
        return f"{site.name} · {show_distance(distance_m(here.position, site.position))}"

    def choose(key: str) -> None:
        if key == "new":
            desk.edit(lambda before: before.by_hand(adding=True))
        else:
            desk.pick(next(site for site in known if site.id == key))

    options = [(site.id, words(site)) for site in shown]
    lines: list[ft.Control] = [
        parts.small(tr("nearest first") if here else tr("last used first")),
        parts.chips([*options, ("new", tr("a new place"))], desk.typed.site, choose, "site"),
        *parts.problem_text(desk.at("site")),
    ]
    if len(known) > len(shown):
        lines.append(parts.quiet_button(tr("All {count} places", count=len(known)), desk.toggle("all-places"),
                                        "all-places"))
    lines += [_nearest(desk), *parts.problem_text(desk.at("position"))]
    return ft.Column(lines, spacing=2 * theme.GRID, horizontal_alignment=ft.CrossAxisAlignment.STRETCH)


def _nearest(desk: Desk) -> ft.Control:
    if desk.shown.locating:
        return ft.Row([ft.ProgressRing(width=24, height=24, color=theme.SKY, semantics_label=tr("looking")),
                       parts.body(tr("Looking for where you are. Stand in the open."), expand=True)], spacing=10)
    words = tr("Find the nearest again") if desk.app.here else tr("Find the nearest")
    return parts.outline_button(words, desk.locate, "locate", icon=ft.Icons.MY_LOCATION)


def _new_place(desk: Desk) -> ft.Control:
    lines: list[ft.Control] = [
        parts.field(tr("Name of the place"), desk.typed.name, desk.put("name"), "name", desk.at("name", "site"),
                    hint=tr("as you will know it again")),
        position_fields(desk),
    ]
    if desk.app.sites:
        lines.append(parts.quiet_button(
            tr("Choose a known place"), lambda: desk.edit(lambda before: before.by_hand(adding=False)),
            "known-place"))
    return ft.Column(lines, spacing=theme.GAP, horizontal_alignment=ft.CrossAxisAlignment.STRETCH)


def position_fields(desk: Desk) -> ft.Control:
    """The position from the device, typed or pasted; it may be left out."""
    def take(fix: Fix | None) -> None:
        if fix is not None:
            desk.app.found(fix)
        desk.put("fix")(fix)

    typed = desk.typed
    fields: ft.Control = PositionFields(typed.place, typed.fix, desk.put("place"), take,
                                        tuple(desk.at("position")))
    return fields
