"""Today: what wants doing first, and the way to log what fell."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Sequence

import flet as ft

from field_app.core.lots import LotNow
from field_app.core.sites import SiteNow
from field_app.store import Timing
from field_app.ui import parts, theme
from field_app.ui.day_words import clock_time, full_day
from field_app.ui.guard import guarded, screen
from field_app.ui.handed import reminder
from field_app.ui.life_words import keeping_now
from field_app.ui.looking import looking_line, use_looked
from field_app.ui.lot_rows import lot_row
from field_app.ui.lot_words import wants_using
from field_app.ui.season_words import due_today, why_words
from field_app.ui.services import use_app, use_services
from field_app.ui.site_words import edge_of, leave_words, site_route, stands_there, way_words
from field_app.ui.state import AppState
from field_app.words import tr, tr_n

__all__ = ["Today", "answer", "leave_to_see_to", "use_first"]

#: So many of each are shown; the places have them all [1].
_FIRST = 3
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
           due: Sequence[Timing] = ()) -> str:
    """The title: what wants doing first, in one sentence."""
    if due:
        places = len({one.site.id for one in due})
        return (tr_n("{name} is worth the way today", "{n} trees are worth the way today", places,
                     name=due[0].site.name))
    if pressing:
        return (tr_n("1 lot wants using this week", "{n} lots want using this week", len(pressing)))
    if asking:
        return tr_n("See about leave at {name}", "See about leave at {n} places", len(asking), name=asking[0].name)
    return tr("Nothing spoils this week") if lot_count else tr("Nothing gathered yet")


@screen
def Today() -> ft.View:
    """The first place. On empty data it says what to do first."""
    services, app = use_services(), use_app()
    alone, set_alone = ft.use_state(0)

    async def remind() -> None:
        set_alone(await reminder(services, app))

    ft.use_effect(guarded(app.catch_up), [])
    ft.use_effect(guarded(remind), [app.lot_count])
    now = services.book.now()
    today = now.date()
    pressing, asking = use_first(app.lots, today), leave_to_see_to(app.sites, today)
    looked = use_looked()
    due = due_today(looked.known)
    empty = not app.sites and not app.lots
    settings = parts.icon_button(ft.Icons.TUNE, tr("how things are shown"), parts.going("/shown"), "settings")
    body: list[ft.Control] = []
    if alone:
        body.append(_alone(alone))
    if empty:
        body += _first_steps()
    else:
        body += [*looking_line(looked), *_due(due, app, services.decimal), *_round(app.sites),
                 *_pressing(app, pressing, today, services.decimal), *_leave(asking, today),
                 *_last(app, pressing, today, services.decimal)]
    body.append(_yours())
    return parts.page_view(
        "/", f"{full_day(today, today)} · {clock_time(now)}",
        tr("Begin with what fell") if empty else answer(pressing, asking, app.lot_count, due), body, place="today",
        kicker_end=[settings],
        dock=parts.main_button(tr("Log a windfall"), parts.going("/windfall"), "log", icon=ft.Icons.ADD))


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
            [ft.Text(number, size=theme.FIGURE, weight=ft.FontWeight.BOLD, color=theme.BARK, width=32),
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


def _round(sites: Sequence[SiteNow]) -> list[ft.Control]:
    """The way to the round of the day, once there is a tree to go to."""
    if not any(site.position for site in sites):
        return []
    return [parts.card([parts.lead(tr("Which trees today?")),
                        parts.second(tr("A round over what is due, within the light, your time and what you can "
                                        "carry."))],
                       "sky", on_click=parts.going("/round"), key="round")]


def _row(app: AppState, lot: LotNow, today: dt.date, decimal: str) -> ft.Control:
    row: ft.Control = lot_row(lot, today, decimal, grave=app.apart.get(lot.id, False))
    return row


def _pressing(app: AppState, lots: Sequence[LotNow], today: dt.date, decimal: str) -> list[ft.Control]:
    if not lots:
        return []
    rows: list[ft.Control] = [parts.heading(tr("Use first")),
                              *(_row(app, lot, today, decimal) for lot in lots[:_FIRST])]
    if len(lots) > _FIRST:
        rows.append(parts.quiet_button(tr("{count} more in Lots", count=len(lots) - _FIRST), parts.going("/lots"),
                                       "more-pressing"))
    return rows


def _due(due: Sequence[Timing], app: AppState, decimal: str) -> list[ft.Control]:
    """The trees that are worth the way, each with why; they lead to the tree."""
    if not due:
        return []
    here = app.here.position if app.here else None
    rows: list[ft.Control] = [parts.heading(tr("Trees worth the way"))]
    for one in due[:_FIRST]:
        ground = one.ground(one.today)
        lines: list[ft.Control] = [
            ft.Row([parts.lead(one.site.name), *([parts.body(way)] if (way := way_words(one.site, here)) else [])],
                   wrap=True, spacing=10, run_spacing=0, alignment=ft.MainAxisAlignment.SPACE_BETWEEN),
            parts.second(f"{one.stuff.name}. {why_words(one)}")]
        if ground is not None:
            lines += [parts.range_bar(ground.kg, label=tr("on the ground"), decimal=decimal),
                      parts.range_row(tr("on the ground"), ground.kg, decimal=decimal)]
        rows.append(parts.card(lines, "leaf", on_click=parts.going(site_route(one.site.id)),
                               key=f"due-{one.site.name}-{one.stuff.key}"))
    if len(due) > _FIRST:
        rows.append(parts.quiet_button(tr("{count} more in the season", count=len(due) - _FIRST),
                                       parts.going("/trees/season"),
                                       "more-due"))
    return rows


def _leave(sites: Sequence[SiteNow], today: dt.date) -> list[ft.Control]:
    if not sites:
        return []
    rows: list[ft.Control] = [parts.heading(tr("Leave to see to"))]
    for site in sites[:_FIRST]:
        soon = site.leave_on(today) == "given"
        rows.append(parts.card(
            [parts.lead(site.name), parts.second(stands_there(site)), parts.body(leave_words(site, today))],
            "amber" if soon else edge_of(site, today), on_click=parts.going(site_route(site.id)),
            key=f"leave-{site.name}"))
    if len(sites) > _FIRST:
        rows.append(parts.quiet_button(tr("{count} more in Trees", count=len(sites) - _FIRST), parts.going("/trees"),
                                       "more-leave"))
    return rows


def _last(app: AppState, pressing: Sequence[LotNow], today: dt.date, decimal: str) -> list[ft.Control]:
    # What is listed above as pressing isn't listed a second time.
    above = {lot.id for lot in pressing[:_FIRST]}
    lots = [lot for lot in app.lots if lot.id not in above][:_FIRST]
    if not lots:
        return []
    return [parts.heading(tr("Last windfalls")), *(_row(app, lot, today, decimal) for lot in lots)]


def _alone(lots: int) -> ft.Control:
    words = tr_n("1 lot was logged", "{n} lots were logged", lots)
    return parts.notice(
        "caution", tr("Hand over, or write a full copy"),
        tr("{words} since you last did. What is on one device alone is "
           "gone with it.", words=words), key="alone",
        controls=[ft.Row([parts.outline_button(tr("Hand over"), parts.going("/dye-day"), "alone-hand"),
                          parts.outline_button(tr("Full copy"), parts.going("/this-device"), "alone-copy")],
                         wrap=True, spacing=theme.GAP, run_spacing=theme.GAP)])
