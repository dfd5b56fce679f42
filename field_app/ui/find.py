"""Finding a tree: how far and which way, how sure that is, and a better position for it once one stands there."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any

import flet as ft

from field_app.core.finding import Combined, Way, turn_words, way_to
from field_app.core.positions import Fix, distance_m, show_distance
from field_app.core.problems import FolderFault, Refused
from field_app.core.site_fix import disagree, noted_fix, together
from field_app.core.sites import SiteNow
from field_app.core.units import show_si
from field_app.store import FieldBook, add_fix
from field_app.ui import parts, theme
from field_app.ui.device import POOR_M, Sight
from field_app.ui.find_dial import Dial
from field_app.ui.find_sights import Sights, use_sights
from field_app.ui.find_typed import TypedPlace
from field_app.ui.guard import piece, say, screen
from field_app.ui.locating import by_hand
from field_app.ui.refusals import NO_PROBLEMS
from field_app.ui.services import use_app, use_services
from field_app.ui.site_words import leave_words, site_route
from field_app.ui.state import AppState, Done
from field_app.ui.tree import find_site
from field_app.words import begun, tr, tr_n

__all__ = ["FindTree", "keep_fix"]

#: Nearer than this one may well be beside it [m].
_BESIDE_M = 60.0
_NO_SIGHT: Sight | None = None
_NO_FIXES: tuple[Fix, ...] = ()


def keep_fix(app: AppState, book: FieldBook, site: SiteNow, fixes: Sequence[Fix], *, instead: bool) -> None:
    """Correct where a site is, so that it can be undone on this page."""
    add_fix(book, site.id, fixes, instead=instead)
    last = book.log_book.last_own()
    app.done = Done(tr("position of {name} corrected", name=site.name), site.id, last.name) if last else None
    app.refresh()


@screen
def FindTree() -> ft.View:
    """The way to one tree, from the last fix; it asks the device when a person taps, or keeps asking while led."""
    services, state = use_services(), use_app()
    params, path = ft.use_route_params(), ft.use_view_path()
    site = find_site(state.sites, params.get("id", ""))
    sights: Sights = use_sights()
    sight, asking = sights.sight, sights.asking
    taken, set_taken = ft.use_state(_NO_FIXES)
    refused, set_refused = ft.use_state(NO_PROBLEMS)
    beside, set_beside = ft.use_state(False)
    kept, set_kept = ft.use_state(_NO_SIGHT)
    fix = sight.fix if sight is not None else state.here
    # Only what was asked for on this screen is known to be of this place, and nothing counts twice.
    fixes = taken or ((sight.fix,) if sight is not None and sight is not kept else ())

    async def more() -> None:
        before, found = fixes, await sights.ask()
        if found is not None and found.fix in before:
            # A reading that is the same to the last digit was kept by the device, and not taken anew.
            say(tr("The device gave the same fix again. Wait a moment, then ask once more."))
        elif found is not None:
            set_taken((*before, found.fix))

    def keep(instead: bool) -> None:
        try:
            keep_fix(state, services.book, site, fixes, instead=instead)
        except (Refused, FolderFault) as error:
            set_refused(error.problems if isinstance(error, Refused) else (error.problem,))
            return
        set_taken(_NO_FIXES)
        set_kept(sight)
        set_refused(NO_PROBLEMS)
        say(tr("Where {name} is was corrected.", name=site.name))

    dock = _asking(sights, main=True)
    faults = [parts.notice("refused", begun(one.what), _way_on(one.fix, site), live=True, key="find-problem")
              for one in (*sights.problems, *refused)]
    improve: list[ft.Control] = []
    if fixes:
        near = site.position is None or beside or distance_m(fixes[-1].position, site.position) <= _BESIDE_M
        improve = ([parts.heading(tr("Standing beside it?")),
                    _Improve(site, fixes, more, keep, asking, services.decimal)]
                   if near else [parts.quiet_button(tr("I stand beside it: the noted place is wrong"),
                                                    lambda: set_beside(True), "find-beside")])
    if site.position is None:
        return parts.page_view(
            path, tr("Finding {name}", name=site.name), tr("Where it is was not noted"),
            [*faults, *_notes(site, state), *improve, TypedPlace(site)],
            dock=dock, back=site_route(site.id))
    if fix is None:
        return parts.page_view(
            path, tr("Finding {name}", name=site.name), tr("Where are you?"),
            [*faults, parts.body(tr("One tap asks the device. It works where there is no signal; the first fix may "
                                    "take a minute under trees.")), *_notes(site, state), TypedPlace(site)], dock=dock,
            back=site_route(site.id))
    asks: list[ft.Control] = []
    way = way_to(fix, site.position, tree_fix=noted_fix(site.facts, site.position),
                 heading_deg=None if sight is None else sight.heading_deg)
    if way.there:
        # Once one stands there, the thumb finds what one does there, and the way is asked for above.
        asks = [ft.Row(_asking(sights, main=False), wrap=True, spacing=2 * theme.GRID, run_spacing=2 * theme.GRID)]
        dock = [parts.outline_button(tr("Note a look"), parts.going(f"{site_route(site.id)}/look"), "find-look",
                                     main=True, expand=True),
                parts.main_button(tr("Log a windfall"), parts.going(f"/windfall/{params.get('id', '')}"), "find-log")]
    body = [*faults, *_notes(site, state), *_way(way, fix, sight, services.decimal), *asks, *improve, TypedPlace(site)]
    return parts.page_view(path, _kicker(site, fix, services.decimal), _title(way, services.decimal), body, dock=dock,
                           back=site_route(site.id))


def _way_on(fix: str, site: SiteNow) -> str:
    """What to do without a fix: typing where one stands leads nowhere, what is noted of the place may."""
    if site.position is None:
        return fix
    return tr("{advice} Until then go by what is noted of the place.", advice=fix.removesuffix(by_hand()).strip())


def _asking(sights: Sights, *, main: bool) -> list[ft.Control]:
    """The ways to ask where one is: to be led, and once; main: as the main action of the screen."""
    led = tr("Stop") if sights.led else tr("Lead me")
    ask = tr("Asking …") if sights.asking and not sights.led else tr("Where am I?")
    if main:
        return [parts.outline_button(led, sights.lead, "find-lead", main=True, expand=True),
                parts.main_button(ask, sights.ask, "find-ask", disabled=sights.asking)]
    return [parts.outline_button(led, sights.lead, "find-lead"),
            parts.outline_button(ask, sights.ask, "find-ask", disabled=sights.asking)]


def _kicker(site: SiteNow, fix: Fix, decimal: str) -> str:
    if fix.accuracy_m is None:
        return tr("{name} · the device did not say how sure it is", name=site.name)
    return tr("{name} · fix ± {metres}", name=site.name, metres=show_si(fix.accuracy_m, "m", decimal=decimal))


def _title(way: Way, decimal: str) -> str:
    if way.there:
        return tr("You are there: look around")
    where = way.compass if way.turn_deg is None else turn_words(way.turn_deg)
    return f"{show_distance(way.distance_m, decimal=decimal)}, {where}"


def _way(way: Way, fix: Fix, sight: Sight | None, decimal: str) -> list[ft.Control]:
    ring = show_distance(way.ring_m, decimal=decimal)
    bearing = f"{way.bearing_deg:.0f}°, {way.compass}"
    words = (tr("You stand within the ring of {ring}", ring=ring) if way.there else
             tr("An arrow to the tree: {distance} at {bearing}, within {ring}",
                distance=show_distance(way.distance_m, decimal=decimal), bearing=bearing, ring=ring))
    dial: ft.Control = Dial(way, words)
    rows = [dial, parts.small(_up_words(way, sight)),
            parts.figure_row(tr("distance, straight"), show_distance(way.distance_m, decimal=decimal)),
            parts.figure_row(tr("bearing from north"), bearing),
            parts.figure_row(tr("the tree stands within"), ring)]
    poor = fix.accuracy_m is not None and fix.accuracy_m > POOR_M
    return [parts.card(rows),
            *([parts.notice("caution", tr("Too rough to tell one tree from the next"),
                            tr("Step into the open, wait a moment, and ask again."))] if poor else [])]


def _up_words(way: Way, sight: Sight | None) -> str:
    """What is up on the dial, and why it doesn't turn if it doesn't."""
    if way.turn_deg is not None:
        return tr("Up is where you are walking.")
    if sight is None:
        return tr("Up is north. This is from the last fix: ask again where you are now.")
    return tr("Up is north: a device knows where it is heading only while you walk. Take a few steps, and ask "
              "again.")


def _notes(site: SiteNow, state: AppState) -> list[ft.Control]:
    today = state.today()
    rows: list[ft.Control] = []
    if site.facts.note:
        rows.append(parts.card([parts.second(tr("Note")), parts.body(site.facts.note)], "sky"))
    if site.leave_on(today) != "given":
        kind: parts.Notice = "refused" if site.leave_on(today) == "refused" else "caution"
        rows.append(parts.notice(kind, leave_words(site, today), key="leave-notice"))
    return rows


@piece
def _Improve(site: SiteNow, fixes: tuple[Fix, ...], more: Callable[[], Any], keep: Callable[[bool], Any], asking: bool,
             decimal: str) -> ft.Control:
    """What the fixes taken here come to, and the button that corrects the place by them."""
    noted = noted_fix(site.facts, site.position)
    apart = noted is not None and any(disagree(noted, fix) for fix in fixes)
    found = together(noted, fixes, instead=apart)
    sure = show_si(found.fix.accuracy_m or 0.0, "m", decimal=decimal)
    rows: list[ft.Control] = [parts.figure_row(tr_n("{n} fix taken here", "{n} fixes taken here", len(fixes)),
                                               tr("± {metres} together", metres=sure))]
    if noted is not None:
        moved = show_distance(distance_m(noted.position, found.fix.position), decimal=decimal)
        rows.append(parts.figure_row(tr("it would move by"), moved))
    rows += [parts.second(_left_out(found))] if found.dropped else []
    if apart:
        rows.append(parts.notice("caution", tr("Far from where it is noted"),
                                 tr("Is it the right tree? If the noted position is wrong, take this one instead."),
                                 key="find-apart"))
    words = tr("Take it instead of the noted one") if apart else tr("Add this fix to the place")
    return parts.card([
        *rows,
        parts.outline_button(words, lambda: keep(apart), "find-keep", icon=ft.Icons.ADD_LOCATION_ALT_OUTLINED),
        parts.quiet_button(tr("Asking …") if asking else tr("Take another fix first"), more, "find-more",
                           disabled=asking),
    ])


def _left_out(found: Combined) -> str:
    why = {"rough": tr("too rough beside the best"), "far": tr("far from the others")}
    told = ", ".join(dict.fromkeys(why[one.why] for one in found.dropped))
    return tr("{count} of them left out: {reasons}.", count=len(found.dropped), reasons=told)
