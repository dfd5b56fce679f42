"""One dye day: what comes of the plan, when what is done, and how the cloth will come out."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence

import flet as ft

from field_app.core.estimate import Range
from field_app.core.plan_clock import ClockRow, day_words
from field_app.core.plan_work import BathWork, LiquorWork, PlanWork, work_out
from field_app.core.plans import MORDANTS, PlanFacts, PlanNow
from field_app.core.totals import total
from field_app.core.units import show_si
from field_app.paper import day_sheet
from field_app.store import finish_plan, lots_of_plan, plan_of, pots_of_plan
from field_app.ui import parts, theme
from field_app.ui.day_words import clock_time, full_day
from field_app.ui.guard import guarded, piece, say, screen
from field_app.ui.printing import PaperButton
from field_app.ui.refusals import NO_PROBLEMS, headline
from field_app.ui.room import room_here
from field_app.ui.services import use_app, use_services
from field_app.ui.undo import undo_bar
from field_app.words import begun, mid, shade_words, tr, tr_as, tr_n

__all__ = ["Plan", "plan_title"]


def plan_title(facts: PlanFacts, work: PlanWork, decimal: str = "") -> str:
    """The answer of the screen: how much cloth in which shades, and when the day ends."""
    if not work.baths:
        return tr("{name}: nothing to dye yet", name=facts.name)
    cloth = sum(bath.mass.central for bath in work.baths)
    shades = dict.fromkeys(bath.dyed.band.central for bath in work.baths)
    end = max(row.end for row in work.clock)
    told = {"mass": show_si(cloth, "kg", decimal=decimal), "shades": ", ".join(map(shade_words, shades)),
            "time": clock_time(end)}
    if end.date() == facts.day:
        return tr("{mass} of cloth, {shades}, by {time}", **told)
    return tr("{mass} of cloth, {shades}, by {time} the day after", **told)


@screen
def Plan() -> ft.View:
    """The plan worked out anew from its lots as they stand."""
    services, app = use_services(), use_app()
    ft.use_effect(guarded(app.catch_up), [])
    key, path = f"urn:uuid:{ft.use_route_params().get('id', '')}", ft.use_view_path()
    mark = services.book.change_mark()
    held: PlanNow = ft.use_memo(lambda: plan_of(services.book, key), [key, mark])
    refused, set_refused = ft.use_state(NO_PROBLEMS)
    facts = held.facts

    def worked() -> PlanWork:
        return work_out(facts, lots_of_plan(services.book, held), pots_of_plan(services.book, held))

    work: PlanWork = ft.use_memo(worked, [key, mark])
    decimal, short = services.decimal, held.id[-36:]

    def finish() -> None:
        from field_app.core.problems import Refused

        try:
            finish_plan(services.book, held.id)
        except Refused as problem:
            set_refused(problem.problems)
            return
        set_refused(NO_PROBLEMS)
        app.done = None
        app.refresh()
        say(tr("Done. What went into the pots is taken from its lots."))

    title = tr("{name} is done", name=held.name) if held.done else plan_title(facts, work, decimal)
    body: list[ft.Control] = [
        *(parts.notice("refused", headline(problem), problem.fix, live=True) for problem in refused),
        *(parts.notice("caution", begun(problem.what), problem.fix) for problem in work.problems if not held.done),
        *(_bath(bath, liquor, decimal) for liquor in work.liquors for bath in liquor.baths),
        *(_liquor(liquor, decimal) for liquor in work.liquors)]
    if work.helpers():
        body.append(_helpers(work, decimal))
    if work.baths:
        body.append(_rinsing(work.baths, decimal))
    if work.clock:
        body.append(_clock(work.clock, facts.day))
    if facts.note:
        body.append(parts.card([parts.second(tr("Note")), parts.body(facts.note)]))
    if work.cautions:
        body.append(_Cautions(work))
    body.append(ft.Row([parts.outline_button(tr("Hand over with its lots"), parts.going(f"/dye-day/hand-over/{short}"),
                                             "plan-hand-over", expand=True)]))
    body.append(PaperButton(tr("Print the sheet for the day"), f"dye-day-{facts.day}.pdf", lambda paper: day_sheet(
        held, work, made=services.book.now(), paper=paper, decimal=decimal), "plan-sheet"))
    dock: Sequence[ft.Control] = [
        parts.outline_button(tr("Change"), parts.going(f"/dye-day/plan/{short}/change"), "plan-change", main=True),
        parts.main_button(tr("It is done"), finish, "plan-done")]
    if held.done:
        dock = [parts.main_button(tr("Plan another day"), parts.going("/dye-day/plan/new"), "plan-another")]
    return parts.page_view(path, f"{held.name} · {full_day(facts.day, app.today())}", title, body, dock=dock,
                           undo=undo_bar(held.id),
                           dock_note="" if held.done else tr("Done takes what was planned from its lots."),
                           back="/dye-day")


def _bath(bath: BathWork, liquor: LiquorWork, decimal: str) -> ft.Control:
    mix = (tr("{liquor} of the liquor, {water} of water", liquor=show_si(bath.liquor, "L", decimal=decimal),
              water=show_si(bath.water, "L", decimal=decimal)) if bath.liquor else tr("in the same bath"))
    mordant = MORDANTS[bath.bath.mordant]  # type: ignore[index]  # checked when it was made
    return parts.card([
        parts.lead(f"{bath.place}. {bath.cloth}"),
        parts.second(f"{begun(tr(mordant))}, {bath.dyed.load.hours:g} h"),
        parts.body(bath.verdict),
        parts.figure_row(tr("into the bath"), mix),
        parts.range_row(tr("dye taken up"), bath.dyed.uptake, decimal=decimal),
    ], key=f"plan-bath-{liquor.stuff.key}-{bath.place}")


def _rinsing(baths: Sequence[BathWork], decimal: str) -> ft.Control:
    """All rinsing water once, and where it may not go."""
    rinses = baths[0].rinses
    low, central, high = (f"{end:.0f}" for end in (rinses.changes.low, rinses.changes.central, rinses.changes.high))
    litres = total((bath.rinses.litres for bath in baths), unit="L")
    return parts.card([
        parts.body(tr("Rinsing"), bold=True), parts.range_row(tr("water in all"), litres, decimal=decimal),
        parts.figure_row(tr_as("of rinsing water", "changes"), f"{central} ({low}–{high})"),
        parts.second(tr("Until it runs clear. {words}", words=tr(rinses.words)))], key="plan-rinsing")


def _liquor(liquor: LiquorWork, decimal: str) -> ft.Control:
    more: list[ft.Control] = [parts.range_row(tr("extract in it"), liquor.extract, decimal=decimal)]
    if liquor.made is not None:
        more += [parts.range_row(tr("water to put in"), liquor.made.water, decimal=decimal),
                 parts.range_row(tr("boils off"), liquor.made.boiled_off, decimal=decimal)]
        if liquor.made.kettles is not None:
            more.append(parts.figure_row(tr("pots filled"),
                                         tr_n("once", "{n} times", liquor.made.kettles.times)))
    if liquor.kept > 0.5:
        more.append(parts.figure_row(tr("kept for another day"), show_si(liquor.kept, "L", decimal=decimal)))
    if liquor.routes is not None:
        more.append(parts.second(tr(liquor.routes.words)))
    lots = ", ".join(one.words for one in liquor.takings)
    # Above the figure: beside it, the range of the liquor would seem to be that of the lots.
    label = tr("liquor of {stuff} from {lots}", stuff=mid(tr(liquor.stuff.name)), lots=lots)
    return parts.range_card(label, liquor.volume, of=tr("of liquor"), more=more, decimal=decimal,
                            key=f"plan-liquor-{liquor.stuff.key}")


def _helpers(work: PlanWork, decimal: str) -> ft.Control:
    from field_app.core.helpers import LABEL

    rows = [_grams(name, grams, decimal) for name, grams in work.helpers().items()]
    return parts.card([parts.body(tr("To weigh out"), bold=True), *rows, parts.small(tr(LABEL))], key="plan-helpers")


def _grams(name: str, grams: Range, decimal: str) -> ft.Control:
    return parts.range_row(tr(name), grams, decimal=decimal)


def _clock(rows: Sequence[ClockRow], day: dt.date) -> ft.Control:
    lines: list[ft.Control] = [parts.body(tr("The day by the clock"), bold=True)]
    for row in rows:
        when = day_words(row, day)
        hours = ft.Column([parts.body(row.hours_words, bold=True), *([parts.small(when)] if when else [])], spacing=0,
                          tight=True)
        said = parts.body(begun(row.words))
        if room_here().large:
            lines.append(ft.Column([hours, said], spacing=0, tight=True))
            continue
        said.expand = True
        lines.append(ft.Row([ft.Container(hours, width=112), said],
                            vertical_alignment=ft.CrossAxisAlignment.START, spacing=2 * theme.GRID))
    return parts.card(lines, key="plan-clock")


@piece
def _Cautions(work: PlanWork) -> ft.Control:
    """All cautions of the day, behind one line."""
    opened, set_opened = ft.use_state(False)
    return parts.fold(
        tr("Take care"), tr_n("{n} caution", "{n} cautions", len(work.cautions)), opened=opened,
        on_toggle=lambda: set_opened(not opened), key="plan-cautions",
        controls=[parts.notice("caution", tr(caution.title), f"{tr(caution.text)} {tr(caution.advice)}")
                  for caution in work.cautions])
