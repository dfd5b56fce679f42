"""Plans of dye days in the book: making, changing and finishing them, and reading them."""

from __future__ import annotations

from collections.abc import Sequence

from pydantic import ValidationError

from field_app.core.day_text import plain_day
from field_app.core.lots import LotNow
from field_app.core.plan_deeds import PlanForm, decide_done, decide_plan
from field_app.core.plans import PlanNow, plan_now
from field_app.core.pots import Pot
from field_app.core.problems import Refused, refuse
from field_app.core.sites import name_key
from field_app.core.vessels import VesselNow
from field_app.store.book import FieldBook
from field_app.store.vessels import vessels
from field_app.words import tr

__all__ = ["add_plan", "change_plan", "finish_plan", "lots_of_plan", "plan_of", "plans", "pots_of_plan",
           "pots_owned"]


def plans(book: FieldBook) -> tuple[PlanNow, ...]:
    """All plans by their day, the nearest to come last; those that this version can't read are left out."""
    found = []
    for thing in book.log_book.things("plan"):
        try:
            found.append(plan_now(thing))
        except ValidationError:
            continue  # from another version of this program: kept and handed on, not shown
    return tuple(sorted(found, key=lambda plan: (plan.facts.day, plan.id)))


def plan_of(book: FieldBook, key: str) -> PlanNow:
    """The plan with this id or name. Raises Refused if there is none, or several of that name."""
    thing = book.log_book.thing(key)
    if thing is not None and thing.kind == "plan" and not thing.deleted:
        return plan_now(thing)
    found = [plan for plan in plans(book) if name_key(plan.name) == name_key(key)]
    if len(found) == 1:
        return found[0]
    if found:
        days = ", ".join(plain_day(plan.facts.day) for plan in found)
        raise refuse("plan", tr("{count} dye days are named {key!r}, on {days}", count=len(found), key=key, days=days),
                     tr("Give one of them another name."))
    raise refuse("plan", tr("no dye day is named {key!r}", key=key), tr("List the dye days to see their names."))


def lots_of_plan(book: FieldBook, plan: PlanNow) -> tuple[LotNow, ...]:
    """The lots of a plan that are known here, in its order."""
    lots = []
    for one in plan.facts.lots:
        try:
            lots.append(book.lot(one.lot))
        except Refused:
            continue  # taken back, or not yet come from another device: whoever asks sees that it lacks
    return tuple(lots)


def pots_owned(book: FieldBook) -> tuple[VesselNow, ...]:
    """The pots one owns, by name; pails are not for the fire."""
    return tuple(one for one in vessels(book) if one.facts.vessel == "pot")


def pots_of_plan(book: FieldBook, plan: PlanNow) -> tuple[Pot, ...]:
    """The pots of a plan that are still owned."""
    return tuple(one.as_pot() for one in pots_owned(book) if one.id in plan.facts.pots)


def add_plan(book: FieldBook, form: PlanForm) -> PlanNow:
    """A new plan, durable when this returns. Raises Refused."""
    return plan_of(book, book.append(decide_plan(form, book.situation())))


def change_plan(book: FieldBook, key: str, form: PlanForm) -> PlanNow:
    """A plan told anew; what was planned before stays in its history. Raises Refused, also for a day that is done."""
    plan = plan_of(book, key)
    if plan.done:
        raise refuse("plan", tr("{name} is done", name=plan.name), tr("Plan another day."))
    return plan_of(book, book.append(decide_plan(form, book.situation(), changes=book.held(plan.id))))


def finish_plan(book: FieldBook, key: str) -> tuple[PlanNow, Sequence[LotNow]]:
    """The day is done: its lots are drawn from. Gives the plan and the lots as they stand now. Raises Refused."""
    plan = plan_of(book, key)
    book.append(decide_done(plan, lots_of_plan(book, plan), book.situation()))
    plan = plan_of(book, plan.id)
    return plan, lots_of_plan(book, plan)
