"""Labels for the pails: which lots, on which paper, and how many places of the sheet are used up."""

from __future__ import annotations

from collections.abc import Callable

import flet as ft

from field_app.core.habits import habits
from field_app.core.problems import Problem, Refused
from field_app.core.units import read_number, show_number
from field_app.paper import Grid, labels_pdf, lot_label
from field_app.ui import parts, theme
from field_app.ui.all_lots import use_all_lots
from field_app.ui.choices import tick
from field_app.ui.guard import screen
from field_app.ui.life_words import gone, keeps_words
from field_app.ui.lot_words import mass_words, stuff_words
from field_app.ui.printing import Printed, print_out, said, use_paper
from field_app.ui.services import use_app, use_services
from field_app.words import later, tr, tr_n

__all__ = ["Labels"]

_PAPERS = (("A4", later("A4, 10 on a sheet")), ("Letter", later("Letter, 10 on a sheet")),
           ("single", later("one each, {size}")))
_NOTHING: Printed | None = None
_AS_AT_FIRST: frozenset[str] | None = None


def _single() -> str:
    """The size of a label of its own, in millimetres or inches."""
    if habits().measures == "metric":
        return "100 × 60 mm"
    return f"{show_number(round(100 / 25.4, 1))} × {show_number(round(60 / 25.4, 1))} in"


@screen
def Labels() -> ft.View:
    """All lots that are still there are ticked at first."""
    services, app = use_services(), use_app()
    path = ft.use_view_path()
    lots = tuple(lot for lot in (use_all_lots() or app.lots) if not gone(lot))
    picked, set_picked = ft.use_state(_AS_AT_FIRST)
    sheet, choose_sheet = use_paper()
    single, set_single = ft.use_state(False)
    paper = "single" if single else sheet
    skip, set_skip = ft.use_state("")
    printed, set_printed = ft.use_state(_NOTHING)
    chosen = frozenset(lot.id for lot in lots) if picked is None else picked
    those = [lot for lot in lots if lot.id in chosen]

    def turn(lot: str) -> Callable[[bool], None]:
        return lambda on: set_picked(chosen | {lot} if on else chosen - {lot})

    async def choose(picked: str) -> None:
        set_single(picked == "single")
        if picked != "single":
            await choose_sheet(picked)

    def make() -> bytes:
        grid = {"A4": Grid("A4"), "Letter": Grid("Letter"), "single": None}[paper]
        return labels_pdf([lot_label(lot, decimal=services.decimal) for lot in those], made=services.book.now(),
                          grid=grid, skip=_places(skip) if grid else 0)

    async def go() -> None:
        name = f"labels-{services.book.now():%Y-%m-%d}.pdf"
        set_printed(await print_out(services.device, name, make))

    if not lots:
        return parts.page_view(path, tr("For the pails"), tr("Nothing to label yet"), [parts.notice(
            "advice", tr("Log what fell first"),
            tr("Every lot gets a label with its code, what it is and how it keeps."))],
            dock=parts.main_button(tr("Log a windfall"), parts.going("/windfall"), "labels-log"), back="/lots")
    places: list[ft.Control] = [] if paper == "single" else [ft.Container(parts.field(
        tr("Places used up on the sheet"), skip, set_skip, "labels-skip", hint="0",
        keyboard=ft.KeyboardType.NUMBER), padding=ft.Padding.only(top=2 * theme.GRID))]
    return parts.page_view(
        path, tr("A code to scan, and in clear what it is"),
        tr_n("{n} label for the pails", "{n} labels for the pails", len(those)),
        [*said(printed, "labels-said"),
         parts.card([
             parts.body(tr("Paper"), bold=True),
             parts.chips([(key, tr(words, size=_single())) for key, words in _PAPERS], paper, choose,
                         "labels-paper"), *places]),
         parts.card([parts.body(tr("Which lots"), bold=True), *(
             tick(f"{lot.code} · {stuff_words(lot.facts)}", lot.id in chosen, turn(lot.id), f"label-{lot.code}",
                  more=f"{mass_words(lot.life.left, decimal=services.decimal)}, {keeps_words(lot, app.today())}")
             for lot in lots)])],
        dock=parts.main_button(tr("Make the labels"), go, "labels-make", icon=ft.Icons.PRINT_OUTLINED), back="/lots")


def _places(text: str) -> int:
    if not text.strip():
        return 0
    number = read_number(text, where="places used up")
    if number != int(number) or number < 0:
        raise Refused([Problem("places used up", tr("{text!r:.20} is not a number of places", text=text.strip()),
                               tr("Count the labels that are gone from the sheet."))])
    return int(number)
