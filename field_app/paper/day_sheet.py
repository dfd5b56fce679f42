"""The sheet for a dye day: what goes into which pot, when, how much of what, and room to write what came out.

One page where it fits; what doesn't goes on to a next page, and never over the edge.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from field_app.core.plan_clock import day_words
from field_app.core.plan_work import BathWork, LiquorWork, PlanWork
from field_app.core.plans import MORDANTS, PlanNow
from field_app.core.units import show_range, show_si
from field_app.paper.flow import SIDE, SMALL, Flow
from field_app.paper.lot_label import day_text, what_text
from field_app.paper.page import PAPERS, Page, Paper
from field_app.words import tr

if TYPE_CHECKING:
    import datetime as dt

__all__ = ["day_sheet"]

def day_sheet(plan: PlanNow, work: PlanWork, *, made: dt.datetime, paper: Paper = "A4", decimal: str = "") -> bytes:
    """The sheet as PDF; decimal: the sign that this person writes."""
    facts = plan.facts
    page = Page(*PAPERS[paper], f"{facts.name}, {facts.day}", made)
    sheet = Flow(page, facts.name)
    sheet.begin()
    sheet.y += page.lines(SIDE, sheet.y, facts.name, 18, width=sheet.width, most=2, bold=True)
    ends = max((row.end for row in work.clock), default=None)
    until = tr(", last rinse at {ends:%H:%M}", ends=ends) if ends and work.baths else ""
    sheet.text(tr("{day_text}, fire at {fire}{until}", day_text=day_text(facts.day), fire=facts.fire, until=until))
    for problem in work.problems:
        sheet.text(tr("To settle: {problem}", problem=problem), bold=True)
    for liquor in work.liquors:
        _liquor(sheet, liquor, decimal)
    for liquor in work.liquors:
        for bath in liquor.baths:
            _bath(sheet, bath, liquor, decimal)
    _helpers(sheet, work, decimal)
    if work.clock:
        sheet.head(tr("The day by the clock"))
        for row in work.clock:
            day = day_words(row, facts.day)
            sheet.pair(row.hours_words + (f", {day}" if day else ""), row.words, 44.0)
    _rinsing(sheet, work.baths, decimal)
    if work.cautions:
        sheet.head(tr("Take care"))
        sheet.text("  ".join(caution.short for caution in work.cautions), SMALL)
    if facts.note:
        sheet.head(tr("Note"))
        sheet.text(facts.note)
    _came_out(sheet, work.baths)
    return page.data()


def _liquor(sheet: Flow, liquor: LiquorWork, decimal: str) -> None:
    sheet.head(tr("Liquor of {name}: {show_range}", name=liquor.stuff.name.lower(),
                  show_range=show_range(liquor.volume, decimal=decimal)))
    for one in liquor.takings:
        amount = show_si(one.amount.central, one.amount.unit, decimal=decimal)
        sheet.pair(one.lot.code, f"{amount} of {what_text(one.lot)}", 18.0)
    made = liquor.made
    if made is not None:
        pots = tr(" Fill the pots {times} times.",
                  times=made.kettles.times) if made.kettles and made.kettles.times > 1 else ""
        sheet.text(tr("Put in {show_range} of water; {show_range2} boils off.{pots}",
                      show_range=show_range(made.water, decimal=decimal),
                      show_range2=show_range(made.boiled_off, decimal=decimal), pots=pots))
    sheet.text(tr("In it: {show_range} of extract.", show_range=show_range(liquor.extract, decimal=decimal)))
    if liquor.kept > 0.5:
        sheet.text(tr("Keep {show_si} of it for another day, cool or frozen.",
                      show_si=show_si(liquor.kept, "L", decimal=decimal)))


def _bath(sheet: Flow, bath: BathWork, liquor: LiquorWork, decimal: str) -> None:
    sheet.head(tr("Bath {place} of {name}: {cloth}", place=bath.place, name=liquor.stuff.name.lower(),
                  cloth=bath.cloth), 14.0)
    mix = (tr("{show_si} of the liquor and {show_si2} of water", show_si=show_si(bath.liquor, "L", decimal=decimal),
              show_si2=show_si(bath.water, "L", decimal=decimal)) if bath.liquor else tr("the same bath again"))
    mordant = next(words for key, words in MORDANTS.items() if key == bath.bath.mordant)
    sheet.text(tr("{show_range} of cloth in {mix}, {hours:g} h; {mordant}.",
                  show_range=show_range(bath.mass, decimal=decimal), mix=mix, hours=bath.dyed.load.hours,
                  mordant=mordant))
    sheet.text(bath.verdict)
    for dose in bath.doses:
        grams = show_range(dose.grams, decimal=decimal) if dose.grams else tr("as its label says")
        sheet.text(tr("{name} for {fibre}: {grams}. {words}", name=dose.helper.name, fibre=dose.fibre, grams=grams,
                      words=dose.helper.words), SMALL, x=4.0)


def _helpers(sheet: Flow, work: PlanWork, decimal: str) -> None:
    grams = work.helpers()
    if not grams:
        return
    from field_app.core.helpers import LABEL

    sheet.head(tr("To weigh out"))
    for name, amount in grams.items():
        sheet.pair(show_range(amount, decimal=decimal), name, 44.0)
    sheet.text(LABEL, SMALL)


def _rinsing(sheet: Flow, baths: Sequence[BathWork], decimal: str) -> None:
    if not baths:
        return
    from field_app.core.totals import total

    litres = total((bath.rinses.litres for bath in baths), unit="L")
    sheet.head(tr("Rinsing"))
    sheet.text(tr("{show_range} of water in all, until it runs clear. {words}",
                  show_range=show_range(litres, decimal=decimal), words=baths[0].rinses.words))


def _came_out(sheet: Flow, baths: Sequence[BathWork]) -> None:
    """Room to write beside every load what came of it."""
    sheet.head(tr("What came out"), 16.0)
    names = [f"{bath.place}. {bath.cloth}" for bath in baths] or ["", "", ""]
    for name in names:
        sheet.room(12.0)
        sheet.page.box(SIDE, sheet.y, sheet.width, 11.0)
        sheet.page.line(SIDE + 1.5, sheet.y + 1, name, SMALL, width=sheet.width * 0.45)
        sheet.page.line(SIDE + sheet.width * 0.5, sheet.y + 1, tr("shade, time, notes:"), SMALL,
                        width=sheet.width * 0.3)
        sheet.y += 12.0
