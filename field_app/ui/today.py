"""Today, in the order of a morning: where to and why, the round, what to take, what spoils, leave, and what was last.

Nothing here is waited for: forecasts and the round come in after the first drawing, and what is long is folded.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Iterable, Sequence

import flet as ft

from field_app.core.lots import LotNow
from field_app.core.sites import SiteNow
from field_app.core.standing import standing
from field_app.store import Timing, vessels
from field_app.ui import parts, theme
from field_app.ui.day_words import clock_time, day, full_day
from field_app.ui.guard import guarded, screen
from field_app.ui.handed import reminder
from field_app.ui.life_words import keeping_now
from field_app.ui.looking import Looked, looking_line, use_looked
from field_app.ui.lot_rows import lot_row
from field_app.ui.lot_words import wants_using
from field_app.ui.season_words import due_today, ready_words
from field_app.ui.services import use_app, use_services
from field_app.ui.site_words import edge_of, leave_words, site_route, some_names, stands_there
from field_app.ui.standpoint import use_begin
from field_app.ui.state import AppState
from field_app.ui.today_round import DayRound, round_card, use_round
from field_app.ui.today_take import take_folds
from field_app.ui.today_trees import due_card
from field_app.words import listed, mid, tr, tr_n

__all__ = ["Today", "answer", "leave_to_see_to", "use_first"]

#: So many of each are shown; the places have them all [1].
_FIRST = 3
#: So many trees are named in the title [1], in so many signs at most [1].
_NAMED, _LONG = 3, 44
#: Leave that ends within these days is told in time.
_SOON = dt.timedelta(days=7)


def use_first(lots: Iterable[LotNow], today: dt.date) -> tuple[LotNow, ...]:
    """The lots that want using this week, the most pressing first; those of unknown keeping come last."""
    pressing = [(by.latest or dt.date.max, lot) for lot in lots
                if (by := keeping_now(lot)) is not None and wants_using(by, today)]
    return tuple(lot for _, lot in sorted(pressing, key=lambda pair: (pair[0], pair[1].id)))


def leave_to_see_to(sites: Iterable[SiteNow], today: dt.date) -> tuple[SiteNow, ...]:
    """The sites where leave has ended, ends within a week, or was never asked; what was refused stays so."""
    def urgency(site: SiteNow) -> tuple[int, dt.date] | None:
        state, until = site.leave_on(today), site.leave.until if site.leave else None
        if state == "given":
            return (0, until) if until is not None and until - today <= _SOON else None
        return {"expired": (1, until or today), "not-asked": (2, today)}.get(state)

    found = [(rank, site) for site in sites if (rank := urgency(site)) is not None]
    return tuple(site for _, site in sorted(found, key=lambda pair: (pair[0], pair[1].name)))


def answer(pressing: Sequence[LotNow], asking: Sequence[SiteNow], lot_count: int,
           due: Sequence[Timing] = (), day_round: DayRound | None = None) -> str:
    """The title: where to today, in the order of the round once there is one, or else what wants doing first."""
    if due:
        stops = day_round.round.stops if day_round is not None else ()
        places_due = list(dict.fromkeys(one.site.name for one in due))
        names = [stop.candidate.name for stop in stops] or places_due
        if len(names) == 1:
            return tr("{name} is worth the way today", name=names[0])
        places = listed(names)
        if len(names) <= _NAMED and len(places) <= _LONG:
            return tr("Go to {places}", places=places)
        # A round over some of them says nothing of how many there are.
        count = len(places_due if day_round is not None and day_round.unplanned else names)
        return tr("{count} trees are worth the way today", count=count)
    if pressing:
        return tr_n("1 lot wants using this week", "{n} lots want using this week", len(pressing))
    if asking:
        return tr_n("See about leave at {name}", "See about leave at {n} places", len(asking), name=asking[0].name)
    return tr("Nothing spoils this week") if lot_count else tr("Nothing gathered yet")


@screen
def Today() -> ft.View:
    """The first place, in the order of a morning. On empty data it says what to do first."""
    services, app = use_services(), use_app()
    alone, set_alone = ft.use_state(0)
    opened, set_opened = ft.use_state(frozenset[str]())

    async def remind() -> None:
        set_alone(await reminder(services, app))

    def toggle(fold: str) -> Callable[[], None]:
        return lambda: set_opened(lambda before: before ^ {fold})

    ft.use_effect(guarded(app.catch_up), [])
    ft.use_effect(guarded(remind), [app.lot_count])
    now = services.book.now()
    today = now.date()
    looked, begin = use_looked(), use_begin()
    due = due_today(looked.known)
    day_round = use_round(looked, begin.where)
    planned = day_round.round if day_round is not None else None
    pails = ft.use_memo(lambda: [one for one in vessels(services.book) if one.facts.vessel == "pail"],
                        [services.book.change_mark()])
    pressing, asking = use_first(app.lots, today), leave_to_see_to(app.sites, today)
    empty = not app.sites and not app.lots
    body: list[ft.Control] = [_alone(alone)] if alone else []
    if empty:
        body += _first_steps()
    else:
        here = begin.where.position if begin.where else None
        body += [*looking_line(looked), *_rest_day(app, looked, due),
                 *due_card(due, here, opened="due" in opened, on_open=toggle("due")),
                 *(round_card(day_round, begin, now, due=len(due), placed=any(one.site.position for one in due))
                   if due else _round(app.sites, today)),
                 *take_folds(due, planned, pails, opened, toggle),
                 *_pressing(app, pressing, today),
                 *_folds(app, pressing, asking, looked, today, opened, toggle, quiet=not due)]
    body.append(_yours())
    title = answer(pressing, asking, app.lot_count, due, day_round)
    if not due and app.sites:
        if not looked.done:
            title = tr("Where to today?")
        elif not pressing and not asking:
            title = tr("No tree is worth the way today")
    settings = parts.icon_button(ft.Icons.TUNE, tr("how things are shown"), parts.going("/shown"), "settings")
    return parts.page_view(
        "/", f"{full_day(today, today)} · {clock_time(now)}", tr("Begin with what fell") if empty else title, body,
        place="today", kicker_end=[settings],
        dock=parts.main_button(tr("Log a windfall"), parts.going("/windfall"), "log", icon=ft.Icons.ADD))


def _rest_day(app: AppState, looked: Looked, due: Sequence[Timing]) -> list[ft.Control]:
    """Why there is nowhere to go, and when there will be; nothing where there is, or nobody has looked yet."""
    if due or not looked.done or not app.sites:
        return []
    today = app.today()
    if all(site.leave_on(today) == "refused" for site in app.sites):
        return [parts.notice("advice", tr("Leave was refused everywhere"),
                             tr("Ask who owns other trees, and add them here."), key="rest-day")]
    ready = [one for one in looked.known if one.site.leave_on(today) in ("not-asked", "expired")
             and standing(one.forecast, today) == "ready"]
    if ready:
        return [parts.notice("caution", tr("{name} is ready, but you have no leave", name=ready[0].site.name),
                             tr("Ask first; then it comes in here."), key="rest-day")]
    coming = [one for one in looked.known if one.site.leave_on(today) == "given" and one.forecast.p50 > today]
    soonest = min(coming, key=lambda one: one.forecast.p50, default=None)
    if soonest is None:
        words = tr("Say what stands where, note a look now and then, and here it says when to go.")
    else:
        words = tr("Next comes {name}, {stuff}, around {day}.", name=soonest.site.name, stuff=mid(soonest.stuff.name),
                   day=day(soonest.forecast.p50, today))
    return [parts.notice("advice", tr("Nothing wants fetching"), words, key="rest-day")]


def _first_steps() -> list[ft.Control]:
    steps = (
        ("1", tr("Log a windfall at the tree"),
         tr("Where it fell, what it is, and what the scale shows with the pail.")),
        ("2", tr("Read what it is worth"),
         tr("Hull, dry matter and the wool it dyes, each as a range with its reasons.")),
        ("3", tr("Hand the lots over"), tr("One open file for whoever plans the dye day.")),
    )
    cards: list[ft.Control] = [
        parts.card([ft.Row(
            [ft.Text(number, size=theme.FIGURE, weight=ft.FontWeight.BOLD, color=theme.BARK),
             ft.Column([parts.lead(head), parts.second(text)], spacing=2, expand=True)],
            spacing=theme.GAP, vertical_alignment=ft.CrossAxisAlignment.START)])
        for number, head, text in steps
    ]
    return [*cards, parts.second(tr("Everything stays on this device, and works where there is no signal.")),
            parts.quiet_button(tr("Or note a tree first"), parts.going("/trees/new"), "first-tree")]


def _yours() -> ft.Control:
    """The way to what the estimates stand on, and to the vessels."""
    return ft.Row([parts.outline_button(tr("Materials and their figures"), parts.going("/materials"), "to-materials"),
                   parts.outline_button(tr("Pots and pails"), parts.going("/pots"), "to-pots"),
                   parts.outline_button(tr("Past seasons"), parts.going("/trees/past"), "to-past")],
                  wrap=True, spacing=2 * theme.GRID, run_spacing=2 * theme.GRID)


def _round(sites: Sequence[SiteNow], today: dt.date) -> list[ft.Control]:
    """The way to a round where no tree calls for one, if there is a tree to go to."""
    if not any(site.position and site.leave_on(today) == "given" for site in sites):
        return []
    return [parts.quiet_button(tr("Plan a round all the same"), parts.going("/round"), "round")]


def _row(app: AppState, lot: LotNow, today: dt.date) -> ft.Control:
    row: ft.Control = lot_row(lot, today, grave=app.apart.get(lot.id, False))
    return row


def _pressing(app: AppState, lots: Sequence[LotNow], today: dt.date) -> list[ft.Control]:
    if not lots:
        return []
    rows: list[ft.Control] = [parts.heading(tr("Use first")), *(_row(app, lot, today) for lot in lots[:_FIRST])]
    if len(lots) > _FIRST:
        rows.append(parts.quiet_button(tr("{count} more in Lots", count=len(lots) - _FIRST), parts.going("/lots"),
                                       "more-pressing"))
    return rows


def _folds(app: AppState, pressing: Sequence[LotNow], asking: Sequence[SiteNow], looked: Looked, today: dt.date,
           opened: frozenset[str], toggle: Callable[[str], Callable[[], None]], *, quiet: bool) -> list[ft.Control]:
    """Leave to see to and the last windfalls, each a line that opens; quiet: nothing else asks for the person."""
    folds: list[parts.Fold] = []
    # A line that is open from the start is closed by a tap.
    if asking:
        folds.append(parts.Fold(
            tr("leave to see to"), some_names([site.name for site in asking]), "leave", ("leave" in opened) != quiet,
            toggle("leave"), lambda: _leave(asking, looked, today)))
    above = {lot.id for lot in pressing[:_FIRST]}
    last = [lot for lot in app.lots if lot.id not in above][:_FIRST]
    if last:
        calm = quiet and not pressing and not asking
        folds.append(parts.Fold(
            tr("last windfalls"), tr("{code}, {day}", code=last[0].code, day=day(last[0].gathered.date(), today)),
            "last", ("last" in opened) != calm, toggle("last"), lambda: [_row(app, lot, today) for lot in last]))
    return [parts.fold_card(folds)] if folds else []


def _leave(sites: Sequence[SiteNow], looked: Looked, today: dt.date) -> list[ft.Control]:
    ready = {one.site.id: one for one in reversed(looked.known) if standing(one.forecast, today) == "ready"}
    rows: list[ft.Control] = []
    for site in sites[:_FIRST]:
        soon = site.leave_on(today) == "given"
        lines = [parts.lead(site.name), parts.second(stands_there(site)), parts.body(leave_words(site, today))]
        if site.id in ready:
            lines.append(parts.second(f"{ready_words(ready[site.id].forecast, today)}."))
        rows.append(parts.card(lines, "amber" if soon else edge_of(site, today),
                               on_click=parts.going(site_route(site.id)), key=f"leave-{site.name}"))
    if len(sites) > _FIRST:
        rows.append(parts.quiet_button(tr("{count} more in Trees", count=len(sites) - _FIRST), parts.going("/trees"),
                                       "more-leave"))
    return rows


def _alone(lots: int) -> ft.Control:
    words = tr_n("1 lot was logged since you last did. What is on one device alone is gone with it.",
                 "{n} lots were logged since you last did. What is on one device alone is gone with it.", lots)
    return parts.notice(
        "caution", tr("Hand over, or write a full copy"), words, key="alone",
        controls=[ft.Row([parts.outline_button(tr("Hand over"), parts.going("/dye-day"), "alone-hand"),
                          parts.outline_button(tr("Full copy"), parts.going("/this-device"), "alone-copy")],
                         wrap=True, spacing=theme.GAP, run_spacing=theme.GAP)])
