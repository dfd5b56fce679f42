"""One figure of a material: the table's band beside what is in force, why, and the ways to make it one's own."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable

import flet as ft

from field_app.core.figures import figure_words, sourced
from field_app.core.materials import Material, Parameter, material
from field_app.core.own import Learnt, OwnTest, OwnValue, learnt
from field_app.core.own_deeds import parameter_named
from field_app.core.problems import Refused
from field_app.store import FieldBook
from field_app.ui import parts
from field_app.ui.day_words import full_day
from field_app.ui.guard import piece, screen
from field_app.ui.own_verbs import back_test, back_value, figure_about
from field_app.ui.own_words import EVERYWHERE, TEST_WORDS, line_of_test, places_for, shown_range, use_place
from field_app.ui.services import use_app, use_services
from field_app.ui.undo import undo_bar
from field_app.words import begun, tr

__all__ = ["OneFigure", "held_at", "site_words"]


def site_words(book: FieldBook, site: str) -> str:
    """The name of a place by its id, or that it holds everywhere."""
    if not site:
        return tr(EVERYWHERE)
    try:
        return book.site(site).name
    except Refused:
        return tr("a place not known here")


def held_at(book: FieldBook, site: str) -> str:
    """Where something holds, as a sentence."""
    return tr("It holds at {place}.", place=site_words(book, site)) if site else tr("It holds everywhere.")


@screen
def OneFigure() -> ft.View:
    """A figure as it holds everywhere or at one place."""
    services, app = use_services(), use_app()
    params, path = ft.use_route_params(), ft.use_view_path()
    site, set_site = use_place()
    default = material(params.get("key", ""))
    name, row = parameter_named(default, params.get("figure", ""))
    lookup = app.in_force()
    one = learnt(default, lookup.records, site=site).get(name)
    now = one.row if one is not None else row
    words, stuff = figure_words(name, default), lookup(default.key, site)
    shown = shown_range(now)
    title = f"{begun(words)}: {parts.range_words(shown, decimal=services.decimal)}"
    places = places_for(default.key, app.sites, lookup.records)
    body: list[ft.Control] = []
    if len(places) > 1:
        body += [parts.second(tr("As it holds")), parts.chips(places, site, set_site, "place")]
    body += [*_apart(one), _picture(words, row, one, services.decimal), _source(row, one)]
    if one is not None and one.value is not None:
        body.append(_ValueCard(one.value, words))
    tests = [test for test in lookup.records.of(default.key).tests if test.parameter == name]
    if tests:
        body.append(_Tests(tests, stuff, default.key, name, overridden=one is not None and one.value is not None))
    here, where = f"/materials/{default.key}", f"?site={site}" if site else ""
    dock: list[ft.Control] = []
    if name == "extract" or name.startswith("dry-"):
        dock.append(parts.outline_button(tr("Note a test"), parts.going(f"{here}/test{where}"), "note-test", main=True,
                                         expand=True))
    dock.append(parts.main_button(tr("Set your own"), parts.going(f"{here}/{name}/set{where}"), "figure-set"))
    kicker = f"{tr(default.name)} · {site_words(services.book, site)}"
    return parts.page_view(path, kicker, title, body, undo=undo_bar(figure_about(default.key, name)),
                           back=f"/materials/{default.key}", dock=dock)


def _apart(one: Learnt | None) -> list[ft.Control]:
    if one is None or one.value is None or not one.value.disputed:
        return []
    return [parts.notice("refused", tr("People set different values here"),
                         tr("One of them holds for now. Set it anew, and that holds for everybody."),
                         key="figure-apart")]


def _picture(words: str, row: Parameter, one: Learnt | None, decimal: str) -> ft.Control:
    before = shown_range(row)
    if one is None:
        return parts.card([
            parts.range_row(tr("in the table"), before, decimal=decimal),
            parts.range_bar(before, None, words, decimal=decimal),
            parts.small(tr("One load in ten is below the low end, one in ten above the high one."))],
                          key="figure-picture")
    now = tr("your own value") if one.value is not None else tr("with your tests")
    return parts.card([parts.belief_picture(before, shown_range(one.row), called=words, was=tr("in the table"), now=now,
                                            decimal=decimal)], key="figure-picture")


def _source(row: Parameter, one: Learnt | None) -> ft.Control:
    lines: list[ft.Control] = []
    if one is not None:
        lines += [parts.second(tr("In force")), parts.body(f"{begun(one.row.source)}.")]
    words = sourced(row)
    lines += [parts.second(tr("The table's source")), parts.body(f"{begun(words)}.")]
    return parts.card(lines, key="figure-source")


@piece
def _ValueCard(value: OwnValue, words: str) -> ft.Control:
    """The value that holds, and the way back to the table's."""
    services, app = use_services(), use_app()
    facts, site = value.facts, value.facts.site or ""
    lines: list[ft.Control] = [
        parts.lead(tr("Your own value: {value} {unit}", value=facts.value, unit=facts.unit)),
        parts.second(f"{held_at(services.book, site)} {_set_by(facts.at, facts.by, app.today())}")]
    if facts.note:
        lines.append(parts.body(facts.note))

    def take_back() -> None:
        back_value(app, services.book, facts.material, facts.parameter, site, words)

    lines.append(ft.Row([parts.outline_button(tr("Take it back"), take_back, "value-back")]))
    return parts.card(lines, "sky", key="figure-value")


def _set_by(at: str, by: str, today: dt.date) -> str:
    day = full_day(dt.datetime.fromisoformat(at).date(), today)
    return tr("Set on {day} by {person}.", day=day, person=by) if by else tr("Set on {day}.", day=day)


@piece
def _Tests(tests: list[OwnTest], stuff: Material, key: str, name: str, overridden: bool) -> ft.Control:
    """The tests that teach it, newest first, each with a way to take it back."""
    services, app = use_services(), use_app()
    today = app.today()
    rows: list[ft.Control] = [parts.body(tr("Your tests"), bold=True)]
    if overridden:
        rows.append(parts.second(tr("While a value of your own is set, tests of other lots don't move it.")))
    for test in sorted(tests, key=lambda one: (one.facts.at, one.id), reverse=True):
        site = site_words(services.book, test.site) if test.site else ""
        lot = services.book.lot(test.lot).code if test.lot else ""
        line = line_of_test(test, stuff, today, site=site, lot=lot, decimal=services.decimal)
        back = parts.quiet_button(tr("Take back"), _taking_back(test, key, name), f"test-back-{test.id[-8:]}")
        rows.append(parts.with_way(parts.body(line), back))
    return parts.card(rows, key="figure-tests")


def _taking_back(test: OwnTest, key: str, name: str) -> Callable[[], None]:
    services, app = use_services(), use_app()
    return lambda: back_test(app, services.book, test.id, figure_about(key, name), tr(TEST_WORDS[test.facts.test][0]))
