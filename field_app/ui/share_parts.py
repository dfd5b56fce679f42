"""The parts of the sharing screen: what came in, the shared folder, what is said differently, what is set aside."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Sequence
from typing import Any

import flet as ft

from field_app.core.problems import Problem
from field_app.core.records import code_of
from field_app.store.sync import Apart
from field_app.sync import SetAside
from field_app.ui import parts, theme
from field_app.ui.day_words import day
from field_app.ui.guard import piece
from field_app.ui.history_words import Names, people
from field_app.ui.services import use_services
from field_app.ui.settle_cards import SettleCard
from field_app.ui.share_words import Heed, grouped, plain_problems
from field_app.words import later, listed, told, tr, tr_n

__all__ = ["Unreadable", "apart_section", "aside_section", "below", "came_in", "folder_section", "heed_section"]

#: So many problems, and so many records set aside, are told one by one [1].
_TOLD = 20


def came_in(busy: str, share: float | None, kind: parts.Notice, heading: str, lines: Sequence[str],
            problems: Sequence[Problem], names: Names, *, fault: str = later("That did not work"),
            stop: Callable[[], object] | None = None) -> list[ft.Control]:
    """How far the work is [1], or what came of it; fault: the heading of problems that stand alone; stop: ends it."""
    found: list[ft.Control] = []
    if busy:
        found.append(parts.busy_card(busy, "share-busy", share, stop))
    if heading:
        found.append(parts.notice(kind, heading, controls=[parts.second(line) for line in lines], live=True,
                                  key="share-said"))
    if problems:
        plain = plain_problems(problems)
        said: list[ft.Control] = []
        for number, problem in enumerate(plain[:_TOLD]):
            said.append(parts.body(told(problem.place, names.within(problem.what))))
            # What to do is said once for all that is wrong with one file.
            if [one.fix for one in plain[number + 1:number + 2]] != [problem.fix]:
                said.append(ft.Container(parts.second(problem.fix), padding=ft.Padding.only(bottom=theme.GRID)))
        if len(plain) > _TOLD:
            said.append(parts.second(tr("And {count:,} more like these.", count=len(plain) - _TOLD)))
        found.append(parts.notice("refused", tr("Not all could be taken in") if heading else tr(fault), controls=said,
                                  live=True, key="share-problems"))
    return found


def below(buttons: Sequence[ft.Control]) -> ft.Control:
    """Buttons under a text, beside each other where there is room."""
    row = ft.Row(list(buttons), wrap=len(buttons) > 1, spacing=2 * theme.GRID, run_spacing=2 * theme.GRID)
    return ft.Container(row, padding=ft.Padding.only(top=2 * theme.GRID))


def folder_section(folder: str, on_change: Callable[[str], Any], sync: Callable[[], Any], busy: bool,
                   problems: Sequence[Problem]) -> list[ft.Control]:
    """A folder on this computer that all share, by whatever carries its files."""
    return [parts.card([
        parts.body(tr("A folder that all share"), bold=True),
        parts.second(tr("A folder that everybody's computer sees, on a stick or through a program that copies it. "
                        "What the others put there is taken in, and your own file is put there.")),
        ft.Container(parts.field(tr("Path of the folder"), folder, on_change, "share-folder", problems),
                     padding=ft.Padding.only(top=theme.GAP)),
        below([parts.outline_button(tr("Bring it up to date"), sync, "share-sync", icon=ft.Icons.SYNC, disabled=busy,
                                    expand=True)])])]


def apart_section(open_ones: Sequence[Apart], names: Names) -> list[ft.Control]:
    """What people say differently: of lots the way to their history, of places the choice itself."""
    if not open_ones:
        return []
    found: list[ft.Control] = [parts.heading(tr("Said differently"))]
    lots: dict[str, list[Apart]] = {}
    for one in open_ones:
        lot = one.thing.id if one.thing.kind == "lot" else str(one.thing.facts.get("lot", ""))
        if lot:
            lots.setdefault(lot, []).append(one)
        else:
            found.append(SettleCard(one, one.thing.id, names))
    for lot, several in lots.items():
        matters = listed(list(dict.fromkeys(
            tr(difference.about) for one in several for difference in one.differences)))
        found.append(parts.card(
            [parts.lead(tr("Lot {lot}", lot=code_of(lot))),
             parts.body(tr("{people} about {matters}", people=people(several[0]), matters=matters)),
             parts.second(tr("Tap to settle it."))],
            "madder" if any(d.grave for one in several for d in one.differences) else "amber",
            on_click=parts.going(f"/lots/{lot}/history"), key=f"share-apart-{code_of(lot)}"))
    return found


def aside_section(aside: Sequence[SetAside], names: Names, now: dt.datetime) -> list[ft.Control]:
    """What could not be taken in and is kept, with the reasons."""
    return [_Aside(tuple(aside), names, now.date(), now.tzinfo)] if aside else []


@piece
def _Aside(aside: tuple[SetAside, ...], names: Names, today: dt.date, tz: dt.tzinfo | None) -> ft.Control:
    opened, set_opened = ft.use_state(False)
    inside: list[ft.Control] = []
    if opened:
        inside.append(parts.second(tr("They are kept as they came, and harm nothing. A newer field book may be able "
                                      "to read them; or ask the others for their files once more.")))
        why = grouped(aside)
        for problem, count, last in why[:_TOLD]:
            when = day(dt.datetime.fromtimestamp(last / 1000, tz).date(), today)
            inside.append(ft.Column([
                parts.body(f"{_records(count)} · {when}", bold=True),
                parts.body(f"{problem.place}: {names.within(problem.what)}"), parts.second(problem.fix)], spacing=2))
        if len(why) > _TOLD:
            inside.append(parts.second(tr("And {count:,} more like these.", count=len(why) - _TOLD)))
    return parts.fold(tr("Set aside"), _records(len(aside)), opened=opened,
                      on_toggle=lambda: set_opened(not opened), key="share-aside", controls=inside)


def _records(count: int) -> str:
    return tr_n("{n:,} record", "{n:,} records", count)


def heed_section(heard: Sequence[Heed]) -> list[ft.Control]:
    """What somebody should see to, each with the way to its lot."""
    return [parts.notice(
        "caution", one.title, one.words, key=f"share-heed-{one.lot}" if one.lot else None,
        controls=[below([parts.outline_button(tr("See lot {lot}", lot=one.lot), parts.going(f"/lots/{one.lot}"),
                                              f"share-lot-{one.lot}")])] if one.lot else [])
            for one in heard]


@piece
def Unreadable(mark: tuple[int, int]) -> ft.Control:
    """Lots that a newer program wrote and this one can't show; mark: of the book, so that it is asked again."""
    book = use_services().book
    codes = ft.use_memo(lambda: [one.where.removeprefix("lot ") for one in book.unreadable()], [mark])
    if not codes:
        return ft.Container()
    lots = ", ".join(codes[:_TOLD])
    if len(codes) > _TOLD:
        lots = tr("{lots} and {count} more", lots=lots, count=len(codes) - _TOLD)
    return parts.notice(
        "caution", tr_n("A lot this field book can't show", "{n} lots this field book can't show", len(codes)),
        tr_n("{lots} was written by a newer field book than this one. It is kept and handed on. Update this field "
             "book to see it.",
             "{lots} were written by a newer field book than this one. They are kept and handed on. Update this "
             "field book to see them.", len(codes), lots=lots), key="unreadable")
