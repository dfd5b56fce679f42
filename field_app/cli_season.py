"""The command that looks back on the seasons: what trees gave and when, and how good the forecasts were."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import click

from field_app.cli_base import Call, Command, as_json, json_option, told
from field_app.core.coverage import Coverage
from field_app.core.problems import refuse
from field_app.core.review_estimates import CHECKED
from field_app.core.review_words import (
    check_words,
    count_words,
    figure_range,
    held_words,
    lesson_name,
    lesson_source,
    seen_words,
    stood_name,
    stood_words,
    stuff_words,
    tally_words,
    verdict_words,
    weather_words,
    yield_rows,
)
from field_app.core.season_review import Review, TreeReview
from field_app.disk import write_file
from field_app.paper import PAPERS, Paper, pdf_name, season_report
from field_app.store import season_review
from field_app.words import mid, tr, tr_n

__all__ = ["COMMANDS", "season_lines"]


def season_lines(review: Review) -> Iterator[str]:
    """The seasons, line by line: each tree, what was learnt, and how good forecasts and estimates were."""
    for tree in review.trees:
        yield from _tree_lines(tree)
    yield tr("What was learnt")
    for one in review.lessons:
        yield tr("  {figure}: {before} before, {after} now, {source}", figure=lesson_name(one),
                 before=figure_range(one.before), after=figure_range(one.after), source=lesson_source(one))
    if not review.lessons:
        yield tr("  Nothing yet: note a test of your own or a swatch.")
    yield tr("How good the forecasts were")
    yield from _count_lines(tr("as the season began"), review.forecasts(True))
    yield from _count_lines(tr("a week before the likeliest day"), review.forecasts(False))
    if review.judged:
        yield f"  {weather_words(review.judged)}"
    yield tr("How good the estimates were")
    yield from _count_lines(tr("all estimates"), review.estimates)
    for kind, name in CHECKED.items():
        of_kind = review.estimates_of(kind)
        if of_kind.n:
            yield f"  {tr(name)}: {tally_words(of_kind)}"
    for check in review.checks:
        of = " ".join(part for part in (check.lot, check.site) if part) or stuff_words(check.material)
        yield f"    {check.day} {of}, {tr(CHECKED[check.kind])}: {check_words(check)}"


def _tree_lines(tree: TreeReview) -> Iterator[str]:
    yield f"{tree.site_name}, {mid(stuff_words(tree.material))}"
    for one in tree.yields:
        for name, mass in yield_rows(one, tree.material):
            yield f"  {one.year}  {name:<24}{figure_range(mass)}"
    for year in tree.years:
        yield tr("  {year}  ready: {seen}", year=year.year, seen=seen_words(year))
        for stood in year.stood:
            yield tr("        forecast {when}: {days}, {held}", when=stood_name(stood), days=stood_words(stood),
                     held=held_words(year, stood))


def _count_lines(name: str, count: Coverage) -> Iterator[str]:
    yield f"  {name}: {count_words(count)}"
    yield f"    {verdict_words(count)}"


@click.command("season", cls=Command)
@click.argument("file", type=click.Path(path_type=Path, dir_okay=False), required=False, metavar="[FILE.pdf]")
@click.option("--paper", type=click.Choice(list(PAPERS)), default="A4", show_default=True, help="Size of the paper.")
@click.option("--year", type=int, metavar="YEAR", help="Only this year; default: all.")
@json_option
@click.pass_obj
@told
def season(call: Call, /, file: Path | None, paper: Paper, year: int | None, for_programs: bool) -> None:
    """Look back on the seasons: what each tree gave and when it was ready, what you learnt, and how good the
    forecasts and estimates were.

    Each forecast is worked out from the records of before its day alone. Four in five ranges should hold.
    With FILE.pdf all of it is drawn on paper instead.

    \b
    Examples:
      field-app season --year 2025
      field-app season seasons.pdf
    """
    if file is not None:
        file = pdf_name(file)
    book = call.book()
    review = season_review(book, year)
    if year is not None and year not in review.all_years:
        known = ", ".join(map(str, review.all_years)) or tr("none yet")
        raise refuse("--year", tr("nothing is noted of {year}", year=year), tr("Choose one of: {known}.", known=known))
    if file is not None:
        data = season_report(review, made=book.now(), paper=paper)
        write_file(file, data)
        if for_programs:
            as_json({"file": str(file), "bytes": len(data)})
        else:
            click.echo(tr("{file}: {years}.", file=file, years=tr_n(
                "one season", "{n} seasons", 1 if year is not None else len(review.all_years))))
        return
    if for_programs:
        as_json(review.as_json())
        return
    for line in season_lines(review):
        click.echo(line)


COMMANDS: tuple[click.Command, ...] = (season,)
