"""Dye day: the days that are planned, and the ways on: cloth and colour, handing over, sharing."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence

import flet as ft

from field_app.core.plans import PlanNow
from field_app.store import FieldBook, lots_of_plan, plans
from field_app.ui import parts
from field_app.ui.day_words import full_day
from field_app.ui.guard import guarded, screen
from field_app.ui.services import use_app, use_services
from field_app.ui.undo import undo_bar
from field_app.words import later, tr

__all__ = ["WAYS", "DyeDay"]

#: What else one does here: words, what it is for, route, key.
WAYS: tuple[tuple[str, str, str, str], ...] = (
    (later("How much to gather"), later("For cloth of yours and a shade, less what is in store."),
     "/dye-day/need", "to-need"),
    (later("What lots dye"), later("How dark, after how long, load after load in the same liquor."),
     "/dye-day/dyes", "to-dyes"),
    (later("Lists of cloth"), later("What is to be dyed, weighed, measured or by the piece."),
     "/dye-day/cloth", "to-cloth"),
    (later("An old recipe"), later("Pails, yards, gallons and ounces in today's measures, for your cloth."),
     "/dye-day/old", "to-old"),
    (later("See the colours"), later("Cloth of yours with walnut, bark or galls: plain, with alum, with iron."),
     "/dye-day/colour", "to-colour"),
    (later("Hand lots over"), later("One file for whoever plans the dye day elsewhere."),
     "/dye-day/hand-over", "to-hand-over"),
    (later("Share with the others who gather"), later("Lots, trees and what was taken, exact places and all."),
     "/dye-day/share", "to-share"),
)


@screen
def DyeDay() -> ft.View:
    """Plans, the next one first, then the ways on."""
    services, app = use_services(), use_app()
    ft.use_effect(guarded(app.catch_up), [])
    mark = services.book.change_mark()
    held: tuple[PlanNow, ...] = ft.use_memo(lambda: plans(services.book), [mark])
    today = app.today()
    to_come = [plan for plan in held if not plan.done and plan.facts.day >= today]
    open_still = [plan for plan in held if not plan.done and plan.facts.day < today]
    done = [plan for plan in reversed(held) if plan.done]
    title = _coming(to_come[0], today) if to_come else tr("No dye day is planned")
    body: list[ft.Control] = []
    if not held:
        body.append(parts.notice(
            "advice", tr("Plan one"),
            tr("Choose lots and cloth, and it says how much liquor, which baths, how long, how "
               "much alum or iron, and how the cloth comes out.")))
    body += _cards(services.book, to_come, "")
    body += _cards(services.book, open_still, tr("Not told as done yet"))
    body += _cards(services.book, done, tr("Done"))
    body += [_way(*way) for way in WAYS]
    return parts.page_view(
        "/dye-day", tr("Liquor, cloth and colour"), title, body, undo=undo_bar(),
        dock=parts.main_button(tr("Plan a dye day"), parts.going("/dye-day/plan/new"), "plan-new", icon=ft.Icons.ADD),
        place="dye-day")


def _coming(plan: PlanNow, today: dt.date) -> str:
    days = (plan.facts.day - today).days
    if days > 1:
        return tr("{plan} is on {day}", plan=plan.name, day=full_day(plan.facts.day, today))
    return tr("{plan} is tomorrow", plan=plan.name) if days else tr("{plan} is today", plan=plan.name)


def _cards(book: FieldBook, found: Sequence[PlanNow], name: str) -> list[ft.Control]:
    app = use_app()
    rows: list[ft.Control] = [parts.heading(name)] if found and name else []
    for plan in found:
        lots = lots_of_plan(book, plan)
        cloth = "; ".join(item for bath in plan.facts.baths for item in bath.cloth)
        rows.append(parts.card(
            [parts.lead(plan.name), parts.second(full_day(plan.facts.day, app.today())),
             parts.body(", ".join(lot.code for lot in lots) or tr("no lots chosen yet")),
             parts.second(cloth or tr("no cloth chosen yet"))],
            edge="leaf" if plan.done else None, key=f"plan-{plan.id[-8:]}",
            on_click=parts.going(f"/dye-day/plan/{plan.id[-36:]}")))
    return rows


def _way(words: str, about: str, route: str, key: str) -> ft.Control:
    return parts.card([parts.body(tr(words), bold=True), parts.second(tr(about))], key=key, on_click=parts.going(route))
