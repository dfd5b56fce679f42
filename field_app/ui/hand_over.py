"""Dye day: hand the lots over to whoever plans it, in one file that can be read without this program."""

from __future__ import annotations

import dataclasses
import datetime as dt
import logging
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any

import flet as ft

from field_app.core.course import Stopped, part, step
from field_app.core.lots import LotNow
from field_app.core.plan_work import work_out
from field_app.core.problems import Refused
from field_app.core.sites import SiteNow
from field_app.core.units import show_round
from field_app.handover import DayOut, PlannerOptions, Report, check, planner_file
from field_app.store import lots_of_plan, plan_of, pots_of_plan
from field_app.ui import parts, theme
from field_app.ui.all_lots import use_all_lots
from field_app.ui.choices import tick
from field_app.ui.guard import guarded, piece, screen
from field_app.ui.hand_over_choice import (
    Offer,
    asked_lot,
    cautions_of,
    file_name,
    inside_words,
    offer,
    size_words,
    together,
)
from field_app.ui.handed import note_handed
from field_app.ui.life_words import keeps_words
from field_app.ui.long_work import Course
from field_app.ui.lot_words import mass_words, stuff_words
from field_app.ui.services import Services, use_app, use_services
from field_app.ui.state import PAGE, AppState
from field_app.words import english, later, state_words, tr, tr_n

__all__ = ["HandOver"]

log = logging.getLogger(__name__)


@dataclass(frozen=True, slots=True)
class _Said:
    """What came of the last try to make the file."""

    kind: parts.Notice
    title: str
    words: str


_NOTHING_SAID: _Said | None = None
_AS_AT_FIRST: frozenset[str] | None = None
#: How far the file is [1], while none is made.
_RESTING: float | None = None
_PLACES = (("2", later("to about {distance}")), ("exact", later("exactly")))


@screen
def HandOver() -> ft.View:
    """Choose the lots, see what will be inside, make the file."""
    services, state = use_services(), use_app()
    ft.use_effect(guarded(state.catch_up), [])
    today, decimal, path = state.today(), services.decimal, ft.use_view_path()
    everything = use_all_lots()
    offered = offer(everything or (), today)
    asked: str = ft.use_memo(lambda: asked_lot(ft.context.page.route or ""), [])
    key = ft.use_route_params().get("plan", "")
    day: DayOut | None = ft.use_memo(lambda: _day(services, f"urn:uuid:{key}" if key else ""),
                                     [key, services.book.change_mark()])
    along, set_along = ft.use_state(True)
    picked, set_chosen = ft.use_state(_AS_AT_FIRST)
    planned = frozenset(one.lot for one in day.plan.facts.lots) if day else frozenset()
    chosen = (planned or offered.chosen_at_first(asked)) if picked is None else picked
    options, set_options = ft.use_state(PlannerOptions())
    said, set_said = ft.use_state(_NOTHING_SAID)
    share, set_share = ft.use_state(_RESTING)
    course: ft.MutableRef[Course | None] = ft.use_ref(None)
    lots = offered.those(chosen)
    sites = tuple(site for site in state.sites if site.id in {lot.facts.site for lot in lots})

    def choose(ids: frozenset[str]) -> None:
        set_chosen(ids)
        set_said(_NOTHING_SAID)

    def set_option(**changed: Any) -> None:
        set_options(dataclasses.replace(options, **changed))
        set_said(_NOTHING_SAID)

    async def make() -> None:
        await _Making(services, state, course, set_share, set_said).run(lots, sites, options, _along(day, along, lots))

    if everything is None:
        return parts.page_view(
            path, tr("For whoever plans the dye day"),
            tr_n("Looking through {n} lot", "Looking through {n} lots", state.lot_count), [], back="/dye-day")
    if not (offered.good or offered.past):
        return parts.page_view(
            path, tr("For whoever plans the dye day"), tr("Nothing to hand over yet"),
            [parts.notice("advice", tr("First something has to be gathered"),
                          tr("Log what fell at a tree. Its lots can then be handed over from here.")),
             *_unknown(offered)],
            dock=parts.main_button(tr("Log a windfall"), parts.going("/windfall"), "hand-log", icon=ft.Icons.ADD),
            back="/dye-day")
    net, air_dry, cloth = together(lots, state.estimate)
    body: list[ft.Control] = []
    if share is not None:
        body.append(parts.busy_card(tr_n("Making the file of {n} lot", "Making the file of {n} lots", len(lots)),
                                    "hand-busy", share, lambda: course.current and course.current.stop()))
    if said is not None:
        body.append(parts.notice(said.kind, said.title, said.words, live=True, key="hand-said"))
    if lots:
        body.append(parts.range_card(
            tr("dyes together, at medium"), cloth, of=tr("of dry cloth"), decimal=decimal, key="hand-cloth",
            more=[parts.range_row(tr("as it was gathered"), net, decimal=decimal),
                  parts.range_row(state_words("air-dry"), air_dry, decimal=decimal)]))
    body += [
        *([_day_card(day, along, set_along)] if day else []),
        _Choice(offered, chosen, choose, decimal),
        _inside(inside_words(lots, sites, options), options, set_option),
        *(parts.notice("caution", tr(caution.title), f"{tr(caution.text)} {tr(caution.advice)}")
          for caution in cautions_of(lots)),
    ]
    return parts.page_view(
        path, tr("For whoever plans the dye day"), _title(lots, net, decimal), body,
        dock=parts.main_button(tr("Make the lot file"), make, "hand-make", disabled=share is not None), back="/dye-day")


@dataclass(frozen=True)
class _Making:
    """The making of a file, for one drawing of the screen."""

    services: Services
    state: AppState
    course: ft.MutableRef[Course | None]
    show: Callable[[Any], Any]
    say: Callable[[Any], Any]

    async def run(self, lots: Sequence[LotNow], sites: Sequence[SiteNow], options: PlannerOptions,
                  days: Sequence[DayOut]) -> None:
        """Make the file of these and save it, or say why not."""
        if not lots:
            self.say(_Said("refused", tr("No lot is chosen"), tr("Tick the lots that go to the dye day, then make the "
                                                                 "file.")))
            return
        made, self.course.current = self.services.book.now(), Course()
        self.say(_NOTHING_SAID)
        self.show(0.0)
        try:
            data, report = await self.course.current.away(lambda: _made(lots, sites, made, options, days), self.show)
            came = await _save(self.services.device, file_name(made), data, report)
            if came.kind == "good":
                await note_handed(self.services, self.state)
            self.say(came)
        except Stopped:
            self.say(_Said("caution", tr("Nothing was written"), tr("You stopped it. Your choice is still here.")))
        finally:
            self.show(_RESTING)


def _made(lots: Sequence[LotNow], sites: Sequence[SiteNow], made: dt.datetime, options: PlannerOptions,
          days: Sequence[DayOut]) -> tuple[bytes, Report]:
    """The file, and what a reader finds in it."""
    with part(0.0, 0.7):
        data = planner_file(lots, sites, made=made, options=options, days=days)
    step(0.7)
    report = check(data)
    step(1.0)
    return data, report


def _day(services: Services, plan: str) -> DayOut | None:
    """The dye day that the address names, worked out as its lots stand, or None."""
    try:
        held = plan_of(services.book, plan) if plan else None
    except Refused:
        return None  # taken back meanwhile: the lots can be handed over all the same
    if held is None:
        return None
    with english():  # for the file, which programs read
        work = work_out(held.facts, lots_of_plan(services.book, held), pots_of_plan(services.book, held))
    return DayOut(held, work)


def _along(day: DayOut | None, along: bool, lots: Sequence[LotNow]) -> tuple[DayOut, ...]:
    """The day, if it goes along and all of its lots do."""
    ids = {lot.id for lot in lots}
    if day is None or not along or not all(one.lot in ids for one in day.plan.facts.lots):
        return ()
    return (day,)


def _day_card(day: DayOut, along: bool, set_along: Callable[[bool], None]) -> ft.Control:
    return parts.card([
        parts.body(tr("The dye day"), bold=True),
        tick(tr("Take {name} along", name=day.plan.name), along, set_along, "hand-day",
             more=tr("Liquor, baths, helpers and times, in tables of their own, if all of its lots go too."))])


def _title(lots: Sequence[LotNow], net: Any, decimal: str) -> str:
    if not lots:
        return tr("Choose what goes to the dye day")
    return tr_n("{n} lot, {mass}, to hand over", "{n} lots, {mass}, to hand over", len(lots),
                mass=mass_words(net, decimal=decimal))


async def _save(device: Any, name: str, data: bytes, report: Report) -> _Said:
    """Write the file through the device, and say what is in it as a reader finds it."""
    if not report.ok:
        log.error("a file of ours did not pass the check: %s", "; ".join(map(str, report.problems)))
        return _Said("refused", tr("The file would not be right, so it was not written"),
                     tr("{problem} Leave that lot out, and the rest can be handed over.",
                        problem=report.problems[0]))
    if device is None:
        return _Said("refused", tr("This device can't save files"), tr("Open the field book on another one."))
    try:
        written = await device.save_file(name, data)
    except (RuntimeError, OSError, TimeoutError) as error:
        log.warning("the lot file was not saved: %s", error)
        return _Said("refused", tr("The file could not be saved"),
                     tr("The device said: {error}. Make room or choose another folder, and try again; your choice is "
                        "still here.", error=error))
    if not written:
        return _Said("caution", tr("Nothing was written"), tr("The saving was stopped. Your choice is still here."))
    return _Said("good", f"{name}, {size_words(len(data))}", _read_back(report))


def _read_back(report: Report) -> str:
    """What a reader found in the file."""
    count = report.counts
    lots, trees = (tr_n("{n} lot", "{n} lots", count.get("lots", 0)),
                   tr_n("{n} tree", "{n} trees", count.get("sites", 0)))
    if count.get("dye-days"):
        return tr("Made and read back without a fault: {lots} from {trees} with the dye day, as a table for a "
                  "spreadsheet and as points for a map. In a browser it lies with the downloads.",
                  lots=lots, trees=trees)
    return tr("Made and read back without a fault: {lots} from {trees}, as a table for a spreadsheet and as points "
              "for a map. In a browser it lies with the downloads.", lots=lots, trees=trees)


@piece
def _Choice(offered: Offer, chosen: frozenset[str], choose: Callable[[frozenset[str]], Any],
            decimal: str) -> ft.Control:
    """The lots with a box each: the good ones, then those past their best."""
    state = use_app()
    shown, set_shown = ft.use_state(PAGE)
    today = state.today()

    def turn(lot: str) -> Callable[[bool], Any]:
        return lambda on: choose(chosen | {lot} if on else chosen - {lot})

    rows: list[ft.Control] = [
        parts.body(tr("Which lots"), bold=True),
        ft.Row([
            parts.outline_button(tr("All good ones"), lambda: choose(frozenset(lot.id for lot in offered.good)),
                                 "hand-all"),
            parts.outline_button(tr("None"), lambda: choose(frozenset()), "hand-none")],
            wrap=True, spacing=2 * theme.GRID, run_spacing=2 * theme.GRID)]
    left = shown
    for name, lots in (("", offered.good), (tr("Past their best"), offered.past)):
        if name and lots and left > 0:
            rows.append(parts.body(name, bold=True))
        rows += [tick(f"{lot.code} · {stuff_words(lot.facts)}", lot.id in chosen, turn(lot.id), f"pick-{lot.code}",
                      more=f"{mass_words(lot.life.left, decimal=decimal)}, {keeps_words(lot, today)}")
                 for lot in lots[:max(left, 0)]]
        left -= len(lots)
    if left < 0:
        rows.append(parts.outline_button(tr("Show {n} more of {all}", n=min(PAGE, -left), all=-left),
                                         lambda: set_shown(shown + PAGE), "hand-more"))
    rows += _unknown(offered)
    return parts.card(rows, key="hand-lots")


def _unknown(offered: Offer) -> list[ft.Control]:
    if not offered.unknown:
        return []
    codes = ", ".join(lot.code for lot in offered.unknown)
    return [parts.notice("caution", tr("Not on offer: {codes}", codes=codes),
                         tr("Of such stuff this version knows nothing, so it can't say what is in it."))]


def _inside(lines: Sequence[str], options: PlannerOptions, set_option: Callable[..., Any]) -> ft.Control:
    place = "exact" if options.places is None else str(options.places)
    return parts.card([
        parts.body(tr("What will be inside"), bold=True),
        *(parts.second(line) for line in lines),
        ft.Container(height=theme.GRID),
        parts.second(tr("Where the trees stand is told")),
        parts.chips([(key, tr(words, distance=show_round(1000.0, "km"))) for key, words in _PLACES], place,
                    lambda key: set_option(places=None if key == "exact" else int(key)), "places"),
        tick(tr("Name the trees"), options.names, lambda on: set_option(names=on), "hand-names"),
        tick(tr("Take the notes along"), options.notes, lambda on: set_option(notes=on), "hand-notes"),
    ], key="hand-inside")
