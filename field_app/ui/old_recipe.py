"""An old recipe in pails, yards, gallons and ounces, turned into today's amounts for one's own cloth and load."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from typing import Any

import flet as ft

from field_app.core.bands import ShadeWord
from field_app.core.cloth_text import read_cloths
from field_app.core.cloths import ClothItem, cloth_words
from field_app.core.estimate import Range
from field_app.core.lots import LotNow
from field_app.core.old_measures import Converted, OldRecipe, Reach, converted, reach, read_recipe, show_amount
from field_app.core.old_text import Gallons
from field_app.core.problems import Problem, Refused
from field_app.core.units import read_measure, show_range, show_round, whose_gallons
from field_app.store import cloth_lists
from field_app.ui import drafts, parts
from field_app.ui.all_lots import use_all_lots
from field_app.ui.cloth_pick import Picked, picker
from field_app.ui.guard import guarded, screen
from field_app.ui.life_words import gone
from field_app.ui.lot_words import stuff_words
from field_app.ui.own_units import in_own
from field_app.ui.refusals import NO_PROBLEMS, at, headline
from field_app.ui.services import use_app, use_services
from field_app.words import later, tr, tr_as

__all__ = ["OldRecipeScreen", "RecipeTyped"]

_NAME, _ROUTE = "old recipe", "/dye-day/old"
_WHOSE: tuple[tuple[Gallons, str], ...] = (("", later("it doesn't say")), ("us", "US"), ("imperial", later("imperial")))
#: The title where no cloth of one's own is told.
_BY_CUSTOM: dict[ShadeWord, str] = {"pale": later("Pale, by custom"), "light": later("Light, by custom"),
                                    "medium": later("Medium, by custom"), "dark": later("Dark, by custom")}
_MOST_LOTS = 12


@dataclass(frozen=True, slots=True)
class RecipeTyped:
    """What is typed: the old cloth, what it took line by line, whose gallons, the pail, own cloth, own lot."""

    picked: Picked
    cloth: str = ""
    lines: str = ""
    gallons: Gallons = ""
    pail: str = ""
    lot: str = ""


@dataclass(frozen=True, slots=True)
class _Result:
    recipe: OldRecipe
    lines: tuple[Converted, ...]
    own: tuple[ClothItem, ...]
    reaches: Reach | None


_NO_RESULT: _Result | None = None


def _work_out(typed: RecipeTyped, lots: Sequence[LotNow]) -> _Result:
    """The recipe in today's measures. Raises Refused with all that is wrong."""
    problems: list[Problem] = []
    cloth: tuple[ClothItem, ...] = ()
    pail = None
    try:
        cloth = read_cloths([typed.cloth], where="old cloth")
    except Refused as refused:
        problems += refused.problems
    try:
        if typed.pail.strip():
            pail = read_measure(in_own(typed.pail, "volume"), kind="volume", where="pail", default_unit="L",
                                gallons=whose_gallons(typed.gallons)).si
    except Refused as refused:
        problems += refused.problems
    try:
        recipe = read_recipe(cloth, [line for line in typed.lines.splitlines() if line.strip()],
                             gallons=typed.gallons, pail=pail)
    except Refused as refused:
        raise Refused([*problems, *refused.problems]) from None
    if problems:
        raise Refused(problems)
    own = typed.picked.read()
    lines = converted(recipe, own)
    return _Result(recipe, lines, own, reach(lines, [lot for lot in lots if lot.id == typed.lot], own))


@screen
def OldRecipeScreen() -> ft.View:
    """What the book says, worked out in one go; what is wrong is said beside its field."""
    services, app = use_services(), use_app()
    ft.use_effect(guarded(app.catch_up), [])
    decimal = services.decimal
    first: RecipeTyped = ft.use_memo(lambda: drafts.kept(app, _NAME) or RecipeTyped(Picked()), [])
    typed, set_typed = ft.use_state(first)
    problems, set_problems = ft.use_state(NO_PROBLEMS)
    result, set_result = ft.use_state(_NO_RESULT)
    lists = ft.use_memo(lambda: cloth_lists(services.book), [services.book.change_mark()])
    lots = tuple(lot for lot in use_all_lots() or () if not gone(lot))

    def change(**how: Any) -> None:
        fresh = replace(drafts.kept(app, _NAME) or typed, **how)
        drafts.keep(app, _NAME, fresh)
        set_typed(fresh)

    def putting(name: str) -> Callable[[Any], None]:
        return lambda value: change(**{name: value})

    def pick(turn: Callable[[Picked], Picked]) -> None:
        now: RecipeTyped = drafts.kept(app, _NAME) or typed
        change(picked=turn(now.picked))

    def work_out() -> None:
        try:
            set_result(_work_out(drafts.kept(app, _NAME) or typed, lots))
            set_problems(NO_PROBLEMS)
        except Refused as refused:
            set_problems(refused.problems)
            set_result(_NO_RESULT)

    taken = [problem for problem in problems if problem.where.startswith("take")]
    # Its old words are read in English alone, so the hints show them so.
    body: list[ft.Control] = [
        *(_answer(result, decimal) if result else []),
        parts.heading(tr("What the book says")),
        parts.field(tr("The cloth it dyed"), typed.cloth, putting("cloth"), "old-cloth", at(problems, "old cloth"),
                    hint="wool 20 yd 54 in heavy"),
        parts.field(tr("What it took, a line each"), typed.lines, putting("lines"), "old-lines", taken, lines=3,
                    hint="2 pails fresh hull"),
        parts.second(tr("Whose gallon, bushel and fluid ounce")),
        parts.chips([(key, tr(words)) for key, words in _WHOSE], typed.gallons, putting("gallons"), "gallons"),
        parts.field(tr("What a pail held"), typed.pail, putting("pail"), "old-pail", at(problems, "pail"),
                    hint=show_round(12, "L")),
        parts.heading(tr("Your own cloth")), *picker(typed.picked, pick, lists, decimal=decimal),
    ]
    if lots:
        body += [parts.heading(tr("Your own load")),
                 parts.chips([(lot.id, f"{lot.code} · {stuff_words(lot.facts)}") for lot in lots[:_MOST_LOTS]],
                             typed.lot, lambda key: change(lot="" if key == typed.lot else key), "old-lot")]
    body += [parts.notice("refused", headline(problem), problem.fix, live=True)
             for problem in at(problems, "lot")]
    title = tr("An old recipe in today's measures") if result is None else _title(result)
    return parts.page_view(_ROUTE, tr("Pails, yards, gallons and ounces"), title, body, back="/dye-day",
                           dock=parts.main_button(tr("Work it out"), work_out, "old-work"),
                           dock_note="" if not problems else tr("Something is to be mended first."))


def _title(result: _Result) -> str:
    line = next((one for one in result.lines if one.band is not None), result.lines[0])
    if line.today is not None:
        return tr("{amount} of {stuff}", amount=show_amount(line.today),
                  stuff=tr(line.taking.name))
    return tr(_BY_CUSTOM[line.band.central]) if line.band else tr("In today's measures")


def _percent(share: Range, decimal: str) -> str:
    return show_range(Range(share.low * 100, share.central * 100, share.high * 100, "%"), decimal=decimal)


def _answer(result: _Result, decimal: str) -> list[ft.Control]:
    cards = [_line_card(line, decimal) for line in result.lines]
    whose = (tr("For {cloth}", cloth=cloth_words(result.own)) if result.own
             else tr("Add your own cloth to see its amounts"))
    rows: list[ft.Control] = [parts.heading(whose), *cards]
    if result.reaches is not None:
        enough = result.reaches.times.central >= 1
        rows.append(parts.notice("good" if enough else "caution", tr("Your load"), result.reaches.words,
                                 key="old-reach"))
    rows.append(parts.card([parts.second(words) for words in result.recipe.stated], key="old-stated"))
    return rows


def _line_card(line: Converted, decimal: str) -> ft.Control:
    share = _percent(line.share, decimal) if line.share.unit == "1" else show_range(line.share, decimal=decimal)
    rows: list[ft.Control] = [parts.body(line.taking.text, bold=True)]
    if line.today is not None:
        rows.append(parts.figure_row(tr(line.taking.name), show_amount(line.today)))
    rows += [parts.figure_row(tr_as("in the old days", "then"), show_amount(line.old)),
             parts.figure_row(tr("on the weight of cloth"), share)]
    if line.strength is not None:
        rows.append(parts.figure_row(tr("in its water"), show_range(line.strength, decimal=decimal)))
    if line.band is not None and line.air_dry is not None:
        rows.append(parts.figure_row(tr("as air-dry"), _percent(line.air_dry, decimal)))
        rows.append(parts.figure_row(tr("by custom"), line.band.words))
    if line.words:
        rows.append(parts.second(line.words))
    return parts.card(rows)
