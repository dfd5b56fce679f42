"""The seasons looked back on, on paper: the pictures and words of the screen, one figure for both."""

from __future__ import annotations

import datetime as dt

from field_app.core.coverage import Coverage
from field_app.core.day_text import plain_day
from field_app.core.estimate import Range
from field_app.core.problems import Problem, Refused
from field_app.core.review_estimates import CHECKED
from field_app.core.review_spots import check_spots, date_rows, forecast_spots, share_of_check
from field_app.core.review_words import (
    bars_of,
    check_words,
    count_words,
    figure_range,
    held_words,
    in_hundredths,
    lesson_name,
    lesson_source,
    seen_words,
    stood_words,
    stuff_words,
    tally_words,
    title_of,
    verdict_words,
    weather_words,
)
from field_app.core.season_review import Lesson, Review, TreeReview
from field_app.core.units import show_si
from field_app.paper.flow import BODY, SIDE, SMALL, Flow
from field_app.paper.page import PAPERS, Page, Paper
from field_app.paper.pictures import ROW, chance, month_scale, range_line, spots, spots_height
from field_app.words import tr, tr_n

__all__ = ["season_report"]

#: The columns of a row [mm]: the name, and the figure in words; the picture has what is left between them.
_NAME, _FIGURE, _GAP = 50.0, 56.0, 3.0
#: From one line of a row to the next, and the height of a scale of days [mm].
_LINE, _SCALE = 3.8, 5.4
#: A band whose ends lie so far from the ends of its line [of its own width].
_ROOM = 0.35


def season_report(review: Review, *, made: dt.datetime, paper: Paper = "A4", decimal: str = "") -> bytes:
    """The report as PDF; decimal: the sign that this person writes.

    Raises Refused if nothing is known of any season.
    """
    if not review.all_years:
        raise Refused([Problem("seasons", tr("nothing is noted of any yet"),
                               tr("Note looks and loads through the season, and print it then."))])
    name = tr("Past seasons")
    flow = Flow(Page(*PAPERS[paper], name, made), name)
    flow.begin()
    flow.y += flow.page.lines(SIDE, flow.y, title_of(review), 18, width=flow.width, bold=True)
    flow.text(_about(review, made))
    flow.y += 1
    flow.text(tr("A band reaches from 10 % to 90 % of what was thought, the bar in it is the likeliest. A dot is what "
                 "came: full inside the band, a ring outside."), SMALL)
    _forecasts(flow, review)
    _estimates(flow, review, decimal)
    _trees(flow, review, decimal)
    _lessons(flow, review.lessons, decimal)
    return flow.page.data()


def _about(review: Review, made: dt.datetime) -> str:
    years = review.all_years if review.year is None else (review.year,)
    span = str(years[0]) if len(years) == 1 else f"{years[0]} – {years[-1]}"
    lots = sum(one.lots for tree in review.trees for one in tree.yields)
    loads = tr_n("{n} load", "{n} loads", lots)
    trees = tr_n("{n} place", "{n} places", len({tree.site for tree in review.trees}))
    return tr("{years}: {loads} from {places}. As known on {day}.", years=span, loads=loads, places=trees,
              day=plain_day(made.date()))


def _row(flow: Flow, name: str, figure: str, shares: tuple[float, float, float], dot: float | None = None
         ) -> None:
    """A range with its name before it and its figure in words behind it."""
    page, width = flow.page, flow.width
    high = _row_height(page, name, figure)
    flow.room(high)
    for text, x, wide in ((name, SIDE, _NAME), (figure, SIDE + width - _FIGURE, _FIGURE)):
        for number, words in enumerate(page.wrapped(text, SMALL, wide)):
            page.line(x, flow.y + 0.7 + _LINE * number, words, SMALL, width=wide, least=SMALL)
    range_line(page, SIDE + _NAME + _GAP, flow.y, width - _NAME - _FIGURE - 2 * _GAP, shares, dot)
    flow.y += high


def _row_height(page: Page, name: str, figure: str) -> float:
    """How high a row becomes [mm]."""
    lines = max(len(page.wrapped(name, SMALL, _NAME)), len(page.wrapped(figure, SMALL, _FIGURE)))
    return max(ROW, _LINE * lines + 0.6) + 0.6


def _counted(flow: Flow, name: str, told: Coverage, seen: tuple[float, ...], ends: tuple[str, str]) -> None:
    """Where each lay, how many lay inside, and what that says."""
    page, half = flow.page, flow.width * 0.5
    if not told.n:
        flow.text(name, bold=True)
        flow.text(verdict_words(told))
        return
    words = [(row, True) for row in page.wrapped(name, BODY, flow.width - half - 4, bold=True)]
    words += [(row, False) for text in (count_words(told), verdict_words(told))
              for row in page.wrapped(text, BODY, flow.width - half - 4)]
    high = max(spots_height(seen, half) + 1 + ROW + 4.5, 4.1 * len(words)) + 2
    flow.room(high)
    y = flow.y
    for row, bold in words:
        y += page.line(SIDE + half + 4, y, row, BODY, width=flow.width - half - 4, bold=bold, least=BODY)
    below = flow.y + 0.8 + spots(page, SIDE, flow.y + 0.8, half, seen, ends)
    chance(page, SIDE, below, half, (told.n, told.inside, told.by_chance))
    flow.y += high


def _forecasts(flow: Flow, review: Review) -> None:
    flow.head(tr("How good the forecasts were"), 26.0)
    for early, name in ((False, tr("A week before the likeliest day")), (True, tr("As the season began"))):
        _counted(flow, name, review.forecasts(early), forecast_spots(review, early), (tr("earlier"), tr("later")))
    if review.judged:
        flow.text(weather_words(review.judged), SMALL)


def _estimates(flow: Flow, review: Review, decimal: str) -> None:
    flow.head(tr("How good the estimates were"), 26.0)
    _counted(flow, tr("What was thought before the weighing"), review.estimates, check_spots(review),
             (tr("less"), tr("more")))
    for kind, name in CHECKED.items():
        of_kind = review.estimates_of(kind)
        if of_kind.n:
            flow.pair(tally_words(of_kind), tr(name), 34.0, SMALL)
    flow.y += 1
    for check in review.checks:
        of = " ".join(part for part in (check.lot, check.site) if part) or stuff_words(check.material)
        thought = check.thought
        reach = (thought.high - thought.low) * (1 + 2 * _ROOM)
        if reach <= 0:
            continue
        start = thought.low - (thought.high - thought.low) * _ROOM
        _row(flow, f"{of}, {tr(CHECKED[check.kind])}", check_words(check, decimal),
             (_ROOM / (1 + 2 * _ROOM), (thought.central - start) / reach, (1 + _ROOM) / (1 + 2 * _ROOM)),
             (share_of_check(check) + _ROOM) / (1 + 2 * _ROOM))


def _trees(flow: Flow, review: Review, decimal: str) -> None:
    if not review.trees:
        return
    # One scale for all, so that trees can be told apart by their yields.
    most = max((mass.high for tree in review.trees for _, _, mass in bars_of(tree, decimal)), default=0.0)
    flow.head(tr("Tree by tree"), 24.0)
    flow.text(tr("What was brought in is drawn as it was logged, on lines that reach from nothing to {mass}. Dates: "
                 "the forecast of a week before, and when the tree was seen to be ready.",
                 mass=show_si(most, "kg", decimal=decimal)), SMALL)
    for tree in review.trees:
        _tree(flow, tree, most, decimal)


def _tree(flow: Flow, tree: TreeReview, most: float, decimal: str) -> None:
    name = f"{tree.site_name}: {stuff_words(tree.material)}"
    bars = bars_of(tree, decimal)
    years = [year for year in tree.years if year.stood]
    dates = [(f"{year.year}: {seen_words(year)}", f"{stood_words(year.stood[-1])}, {held_words(year, year.stood[-1])}")
             for year in years]
    # A tree stays on one page; one with more years than a page holds begins on a new one.
    texts = [*((row, figure) for row, figure, _ in bars), *dates]
    high = sum(_row_height(flow.page, row, figure) for row, figure in texts)
    flow.room(1.5 + 4.4 * len(flow.page.wrapped(name, BODY, flow.width, bold=True)) + (_SCALE if dates else 0.0) + high)
    flow.y += 1.5
    flow.text(name, bold=True)
    for row, figure, mass in bars:
        scale = most or 1.0
        _row(flow, row, figure, (mass.low / scale, mass.central / scale, mass.high / scale))
    if not dates:
        return
    flow.room(_SCALE + 2 * ROW)
    drawn = date_rows(tree)
    first, last = month_scale(flow.page, SIDE + _NAME + _GAP, flow.y, flow.width - _NAME - _FIGURE - 2 * _GAP, drawn,
                              any(year.season.south for year in years))
    flow.y += _SCALE
    for (row, figure), one in zip(dates, drawn, strict=True):
        low, central, high = ((day - first) / (last - first) for day in (one.low, one.central, one.high))
        _row(flow, row, figure, (low, central, high), None if one.seen is None else (one.seen - first) / (last - first))


def _lessons(flow: Flow, lessons: tuple[Lesson, ...], decimal: str) -> None:
    flow.head(tr("What was learnt"), 16.0)
    for one in lessons:
        before, after = in_hundredths(one.before), in_hundredths(one.after)
        name = lesson_name(one)
        flow.room(5.0 * len(flow.page.wrapped(name, BODY, flow.width, bold=True)) + 2 * ROW + 6)
        flow.text(name, bold=True)
        start = min(before.low, after.low)
        reach = (max(before.high, after.high) - start) or 1.0

        def shares(told: Range, start: float = start, reach: float = reach) -> tuple[float, float, float]:
            low, central, high = ((value - start) / reach for value in (told.low, told.central, told.high))
            return low, central, high

        _row(flow, tr("before"), figure_range(one.before, decimal), shares(before))
        _row(flow, tr("now, {source}", source=lesson_source(one)), figure_range(one.after, decimal), shares(after))
        flow.y += 1
    if not lessons:
        flow.text(tr("Nothing yet. A test of your own, or a swatch, narrows the table's figures."))
