"""The sheet for a dye day: what goes into which pot, when, how much of what, and room to write what came out.

One page where it fits; what doesn't goes on to a next page, and never over the edge.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence

from field_app.core.day_text import clock_time, plain_day
from field_app.core.liquor import Liquor
from field_app.core.plan_clock import day_words
from field_app.core.plan_work import BathWork, LiquorWork, PlanWork
from field_app.core.plans import MORDANTS, PlanNow, read_clock
from field_app.core.units import show_number, show_range, show_si
from field_app.paper.flow import SIDE, SMALL, TOP, Flow
from field_app.paper.lot_label import what_text
from field_app.paper.page import PAPERS, Page, Paper
from field_app.words import mid, tr

__all__ = ["day_sheet"]

#: Less than this [L] is no liquor to speak of.
_HARDLY = 0.05
#: The room to write beside a load, where the page has it [mm].
_ROOM = 24.0


def day_sheet(plan: PlanNow, work: PlanWork, *, made: dt.datetime, paper: Paper = "A4", decimal: str = "") -> bytes:
    """The sheet as PDF; decimal: the sign that this person writes."""
    facts = plan.facts
    page = Page(*PAPERS[paper], f"{facts.name}, {facts.day}", made)
    sheet = Flow(page, facts.name)
    sheet.begin()
    # Smaller rather than cut: a name may be long.
    size = 18 if len(page.wrapped(facts.name, 18, sheet.width, bold=True)) <= 2 else 12
    sheet.y += page.lines(SIDE, sheet.y, facts.name, size, width=sheet.width, bold=True)
    ends = max((row.end for row in work.clock), default=None)
    when = {"day": plain_day(facts.day), "fire": clock_time(read_clock(facts.fire, where="fire"))}
    sheet.text(tr("{day}, fire at {fire}, last rinse at {ends}", **when, ends=clock_time(ends)) if ends and work.baths
               else tr("{day}, fire at {fire}", **when))
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
    sheet.head(tr("Liquor of {stuff}: {volume}", stuff=mid(tr(liquor.stuff.name)),
                  volume=show_range(liquor.volume, decimal=decimal)))
    for one in liquor.takings:
        amount = show_si(one.amount.central, one.amount.unit, decimal=decimal)
        sheet.pair(one.lot.code, tr("{amount} of {stuff}", amount=amount, stuff=mid(what_text(one.lot))), 18.0)
    made = liquor.made
    if made is not None:
        put_in = tr("Put in {water} of water; {boiled_off} boils off.", water=show_range(made.water, decimal=decimal),
                    boiled_off=show_range(made.boiled_off, decimal=decimal))
        sheet.text(put_in)
        _pots(sheet, made, decimal)
    sheet.text(tr("In it: {mass} of extract.", mass=show_range(liquor.extract, decimal=decimal)))
    if liquor.kept > 0.5:
        sheet.text(tr("Keep {volume} of it for another day, cool or frozen.",
                      volume=show_si(liquor.kept, "L", decimal=decimal)))


def _pots(sheet: Flow, made: Liquor, decimal: str) -> None:
    """What goes into each pot at once, and how often."""
    if made.kettles is None:
        return
    if made.kettles.times > 1:
        sheet.text(tr("Fill the pots {times} times.", times=made.kettles.times))
    for one in made.kettles.fillings:
        size = show_si(one.pot.volume, "L", decimal=decimal)
        name = tr("{pot}, {volume}", pot=one.pot.name, volume=size) if one.pot.name else tr(
            "Pot of {volume}", volume=size)
        sheet.pair(name, tr("{stuff} of stuff and {water} of water", stuff=show_si(one.stuff, "kg", decimal=decimal),
                            water=show_si(one.water, "L", decimal=decimal)), 44.0)


def _bath(sheet: Flow, bath: BathWork, liquor: LiquorWork, decimal: str) -> None:
    sheet.head(tr("Bath {place} of {stuff}: {cloth}", place=bath.place, stuff=mid(tr(liquor.stuff.name)),
                  cloth=bath.cloth), 14.0)
    told = {"mass": show_range(bath.mass, decimal=decimal), "hours": show_number(bath.dyed.load.hours),
            "mordant": next(tr(words) for key, words in MORDANTS.items() if key == bath.bath.mordant)}
    if 0 < bath.liquor < _HARDLY:
        sheet.text(tr("{mass} of cloth in {water} of water, {hours} h; {mordant}. No liquor is left for it.", **told,
                      water=show_si(bath.water, "L", decimal=decimal)))
    elif bath.liquor:
        sheet.text(tr("{mass} of cloth in {liquor} of the liquor and {water} of water, {hours} h; {mordant}.", **told,
                      liquor=show_si(bath.liquor, "L", decimal=decimal),
                      water=show_si(bath.water, "L", decimal=decimal)))
    else:
        sheet.text(tr("{mass} of cloth in the same bath again, {hours} h; {mordant}.", **told))
    sheet.text(bath.verdict)
    for dose in bath.doses:
        grams = show_range(dose.grams, decimal=decimal) if dose.grams else tr("as its label says")
        sheet.text(tr("{helper} for {fibre}: {grams}. {words}", helper=dose.helper.name, fibre=tr(dose.fibre),
                      grams=grams, words=dose.helper.words), SMALL, x=4.0)


def _helpers(sheet: Flow, work: PlanWork, decimal: str) -> None:
    grams = work.helpers()
    if not grams:
        return
    from field_app.core.helpers import LABEL

    sheet.head(tr("To weigh out"))
    for name, amount in grams.items():
        sheet.pair(show_range(amount, decimal=decimal), name, 44.0)
    sheet.text(tr(LABEL), SMALL)


def _rinsing(sheet: Flow, baths: Sequence[BathWork], decimal: str) -> None:
    if not baths:
        return
    from field_app.core.totals import total

    litres = total((bath.rinses.litres for bath in baths), unit="L")
    sheet.head(tr("Rinsing"))
    sheet.text(tr("{volume} of water in all, until it runs clear. {words}",
                  volume=show_range(litres, decimal=decimal), words=baths[0].rinses.words))


def _came_out(sheet: Flow, baths: Sequence[BathWork]) -> None:
    """Room to write beside every load what came of it."""
    sheet.head(tr("What came out"), 16.0)
    names = [f"{bath.place}. {bath.cloth}" for bath in baths] or ["", "", ""]
    page, width = sheet.page, sheet.width * 0.45
    rows = [page.wrapped(name, SMALL, width) for name in names]
    free = (page.height - TOP - sheet.y) / len(names) - 1
    for row in rows:
        high = max(11.0, 3.6 * len(row) + 2, min(free, _ROOM))
        sheet.room(high + 1)
        page.box(SIDE, sheet.y, sheet.width, high)
        for number, words in enumerate(row):
            page.line(SIDE + 1.5, sheet.y + 1 + 3.6 * number, words, SMALL, width=width, least=SMALL)
        page.line(SIDE + sheet.width * 0.5, sheet.y + 1, tr("shade, time, notes:"), SMALL, width=width)
        sheet.y += high + 1
