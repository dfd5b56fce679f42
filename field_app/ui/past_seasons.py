"""The seasons looked back on: what trees gave and when, what was learnt, and how good the forecasts were."""

from __future__ import annotations

import asyncio
from collections.abc import Callable

import flet as ft

from field_app.core.coverage import Coverage
from field_app.core.review_estimates import CHECKED
from field_app.core.review_spots import check_spots, forecast_spots
from field_app.core.review_words import (
    bars_of,
    check_words,
    count_words,
    figure_range,
    held_words,
    in_hundredths,
    lesson_name,
    lesson_source,
    stood_name,
    stood_words,
    stuff_words,
    tally_words,
    title_of,
    verdict_words,
    weather_words,
    yield_rows,
)
from field_app.core.season_review import Lesson, Review, TreeReview, of_year
from field_app.paper import season_report
from field_app.store import season_steps
from field_app.ui import parts, theme
from field_app.ui.guard import guarded, screen
from field_app.ui.printing import PaperButton
from field_app.ui.services import use_app, use_services
from field_app.ui.winter_words import (
    dates_strip,
    said_of_count,
    said_of_yields,
    tree_words,
)
from field_app.words import later, tr

__all__ = ["PastSeasons"]

#: So many trees are shown until one asks for more, and so many are worked out between two drawings [1].
_SHOWN, _AT_ONCE = 10, 4
_NO_YEAR: int | None = None
_NOTHING: Review | None = None
_NOT_BEGUN: tuple[int, int] | None = None
_EARLIER, _LESS = (later("earlier"), later("later")), (later("less"), later("more"))


@screen
def PastSeasons() -> ft.View:
    """How good the forecasts and estimates were, each tree's yields and dates, and what was learnt."""
    services, app, path = use_services(), use_app(), ft.use_view_path()
    review, set_review = ft.use_state(_NOTHING)
    progress, set_progress = ft.use_state(_NOT_BEGUN)
    stopped, set_stopped = ft.use_state(False)
    attempt, set_attempt = ft.use_state(0)
    halt = ft.use_ref(False)
    year, set_year = ft.use_state(_NO_YEAR)
    shown, set_shown = ft.use_state(_SHOWN)
    mark = services.book.change_mark()

    async def work() -> None:
        steps = season_steps(services.book)
        halt.current = False
        while not halt.current:
            try:
                for _ in range(_AT_ONCE):
                    step = next(steps)
            except StopIteration as done:
                set_review(done.value)
                return
            set_progress(step)
            await asyncio.sleep(0)
            if services.book.change_mark() != mark:
                return  # the drawing that this change leads to begins anew
        set_stopped(True)

    def stop() -> None:
        halt.current = True

    def again() -> None:
        set_stopped(False)
        set_attempt(attempt + 1)

    ft.use_effect(guarded(app.catch_up), [])
    ft.use_effect(guarded(work), [mark, attempt])
    if review is None:
        return _waiting(path, progress, stopped, stop, again)
    told = of_year(review, year if year in review.all_years else None)
    body: list[ft.Control] = []
    if not review.all_years:
        body.append(parts.notice("advice", tr("Note looks and loads through the season"),
                                 tr("A look before a tree is ready and one after tell its date; a load weighed later "
                                    "tells how good its estimate was.")))
    else:
        chosen = [("all", tr("All years")), *((str(one), str(one)) for one in reversed(review.all_years))]
        body.append(parts.chips(chosen, "all" if told.year is None else str(told.year),
                                lambda key: set_year(None if key == "all" else int(key)), "past-year"))
        now = services.book.now()
        body.append(PaperButton(tr("Print these seasons"), f"seasons-{now:%Y-%m-%d}.pdf", lambda paper: season_report(
            told, made=now, paper=paper, decimal=services.decimal), "past-print", folded=True))
        body += [*_forecasts(told), *_estimates(told, services.decimal), *_trees(told, shown, services.decimal)]
        if len(told.trees) > shown:
            body.append(parts.outline_button(tr("Show more trees"), lambda: set_shown(shown + _SHOWN), "past-more"))
        body += _lessons(told.lessons, services.decimal)
    return parts.page_view(path, tr("Past seasons"), title_of(told), body, back="/trees/season")


def _waiting(path: str, progress: tuple[int, int] | None, stopped: bool, stop: Callable[[], None],
             again: Callable[[], None]) -> ft.View:
    if stopped:
        body: list[ft.Control] = [parts.body(tr("Nothing of your records has changed."))]
        return parts.page_view(path, tr("Past seasons"), tr("Looking back was stopped"), body, back="/trees/season",
                               dock=parts.main_button(tr("Look back again"), again, "past-again"))
    done, of = progress or (0, 0)
    words = tr("Looking back: {done} of {of} trees", done=done, of=of) if of else tr("Looking back")
    return parts.page_view(
        path, tr("Past seasons"), tr("Looking back"), [parts.busy_card(words, "past-busy", done / of if of else None)],
        back="/trees/season", dock=parts.outline_button(tr("Stop"), stop, "past-stop", main=True, expand=True))


def _counted(name: str, told: Coverage, spots: tuple[float, ...], ends: tuple[str, str], key: str) -> list[ft.Control]:
    """Two pictures and their words: where each lay, and whether chance explains how many lay inside."""
    rows: list[ft.Control] = [parts.lead(name)]
    if told.n:
        where = tr("{name}, where each lay: {count}", name=name, count=count_words(told))
        spread: ft.Control = parts.spots_picture(spots, (tr(ends[0]), tr(ends[1])), where)
        count: ft.Control = parts.count_picture(told.n, told.inside, told.by_chance, said_of_count(name, told))
        rows += [spread, ft.Text(count_words(told), key=key, size=theme.BODY, weight=ft.FontWeight.BOLD,
                                 color=theme.HULL), count]
    rows.append(parts.body(verdict_words(told)))
    return rows


def _forecasts(told: Review) -> list[ft.Control]:
    rows = _counted(tr("A week before the likeliest day"), told.forecasts(False), forecast_spots(told, False), _EARLIER,
                    "past-week")
    first = _counted(tr("As the season began"), told.forecasts(True), forecast_spots(told, True), _EARLIER,
                     "past-early")
    found: list[ft.Control] = [
        parts.heading(tr("How good the forecasts were")),
        parts.second(tr("Each forecast is worked out from what was noted before its day alone. Dot: the date seen "
                        "lay inside its band; ring: outside. Below: the dot is how many lay inside, the band what "
                        "chance explains, the bar in it what is expected, four in five.")),
        parts.card(rows, key="past-forecasts"), parts.card(first)]
    if told.judged:
        found.append(parts.second(weather_words(told.judged)))
    return found


def _estimates(told: Review, decimal: str) -> list[ft.Control]:
    rows = _counted(tr("What was thought before the weighing"), told.estimates, check_spots(told), _LESS,
                    "past-estimates")
    if not told.checks:
        rows.append(parts.second(tr("Weigh a load that was counted or poured, within two days; weigh the hulls when "
                                    "the nuts are out, and what is dried; or note a test of your own.")))
    rows += [parts.figure_row(tr(name), tally_words(of_kind)) for kind, name in CHECKED.items()
             if (of_kind := told.estimates_of(kind)).n]
    for check in told.checks:
        of = " ".join(part for part in (check.lot, check.site) if part) or stuff_words(check.material)
        rows.append(ft.Container(ft.Column(
            [parts.body(f"{of}, {tr(CHECKED[check.kind])}"), parts.second(check_words(check, decimal))],
            spacing=0, tight=True), padding=ft.Padding.only(top=theme.GRID)))
    return [parts.heading(tr("How good the estimates were")), parts.card(rows, key="past-checks")]


def _trees(told: Review, shown: int, decimal: str) -> list[ft.Control]:
    if not told.trees:
        return []
    # One scale for all, so that trees can be told apart by their yields.
    most = max((mass.high for tree in told.trees for one in tree.yields
                for _, mass in yield_rows(one, tree.material)), default=0.0)
    return [parts.heading(tr("Tree by tree")),
            parts.second(tr("Bars: what was brought in, all on one scale, as it was logged. Band: the forecast of a "
                            "week before, the bar in it most likely. Dot: when it was seen to be ready.")),
            *(_tree(tree, most, decimal) for tree in told.trees[:shown])]


def _tree(tree: TreeReview, most: float, decimal: str) -> ft.Control:
    rows: list[ft.Control] = [parts.lead(tree_words(tree))]
    if tree.yields:
        bars: ft.Control = parts.year_bars(bars_of(tree, decimal), most * 1.05, said_of_yields(tree, decimal))
        rows.append(bars)
    strip = dates_strip(tree)
    if strip is not None:
        drawn: ft.Control = parts.season_strip(strip)
        rows.append(drawn)
    rows += [parts.second(tr("{year}, forecast {when}: {days}, {held}", year=year.year, when=stood_name(stood),
                             days=stood_words(stood), held=held_words(year, stood)))
             for year in tree.years for stood in year.stood[-1:]]
    return parts.card(rows, key=f"past-{tree.site_name}-{tree.material}")


def _lessons(lessons: tuple[Lesson, ...], decimal: str) -> list[ft.Control]:
    found: list[ft.Control] = [parts.heading(tr("What was learnt"))]
    for one in lessons:
        drawn: ft.Control = parts.belief_picture(in_hundredths(one.before), in_hundredths(one.after),
                                                 called=lesson_name(one), was=tr("before"), now=tr("now"),
                                                 decimal=decimal)
        found.append(parts.card([parts.lead(lesson_name(one)), drawn, parts.second(
            tr("{before} before, {after} now, {source}", before=figure_range(one.before, decimal),
               after=figure_range(one.after, decimal), source=lesson_source(one)))],
                                key=f"past-{one.material}-{one.name}"))
    if not lessons:
        found.append(parts.card([
            parts.body(tr("Nothing yet.")),
            parts.second(tr("A test of your own, or a swatch, narrows the table's figures.")),
            parts.outline_button(tr("Materials and their figures"), parts.going("/materials"), "past-materials")]))
    return found
