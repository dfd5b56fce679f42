"""The dye materials, and all that is known of one: each figure as a range with its source, one's own beside it."""

from __future__ import annotations

from collections.abc import Sequence

import flet as ft

from field_app.core.figures import DISAGREE, figure_words, said_source, sections_of, sourced
from field_app.core.materials import MATERIALS, RIPENESS, Material, Parameter, material
from field_app.core.units import show_number
from field_app.ui import parts, theme
from field_app.ui.choices import found
from field_app.ui.guard import guarded, piece, screen
from field_app.ui.own_words import own_count, places_for, shown_range, use_place
from field_app.ui.services import use_app, use_services
from field_app.ui.undo import undo_bar
from field_app.words import begun, tr, tr_n

__all__ = ["MaterialFigures", "Materials"]


@screen
def Materials() -> ft.View:
    """All materials, to be searched; those with figures of one's own say so."""
    app = use_app()
    search, set_search = ft.use_state("")
    ft.use_effect(guarded(app.catch_up), [])
    lookup, keys = app.in_force(), found(search)
    own = sum(lookup(key) is not MATERIALS[key] for key in MATERIALS)
    title = (tr("{count} materials, {own} with figures of your own", count=len(MATERIALS), own=own) if own
             else tr("{count} dye materials", count=len(MATERIALS)))
    rows: list[ft.Control] = [
        parts.field(tr("Search"), search, set_search, "material-search", hint=tr("oak, gall, Juglans"))]
    if not keys:
        rows.append(parts.second(tr("Nothing here is called {search!r}. Try a shorter word.", search=search.strip())))
    for key in keys:
        stuff = MATERIALS[key]
        lines: list[ft.Control] = [parts.lead(tr(stuff.name)), parts.second(
            f"{stuff.botanical}: {', '.join(tr(part.name) for part in stuff.parts)}")]
        if count := own_count(lookup(key), stuff):
            lines.append(parts.body(tr_n("{n} figure of your own", "{n} figures of your own", count)))
        rows.append(parts.card(lines, "sky" if count else None, on_click=parts.going(f"/materials/{key}"),
                               key=f"material-{key}"))
    return parts.page_view("/materials", tr("What the estimates stand on, with sources"), title, rows,
                           back="/")


@screen
def MaterialFigures() -> ft.View:
    """One material, as it holds everywhere or at one place."""
    services, app = use_services(), use_app()
    default = material(ft.use_route_params().get("key", ""))
    path, (site, set_site) = ft.use_view_path(), use_place()
    lookup = app.in_force()
    stuff = lookup(default.key, site)
    count = own_count(stuff, default)
    name, figures = tr(stuff.name), len(stuff.parameters)
    title = (tr("{name}: {figures} figures, {own} of them your own", name=name, figures=figures, own=count) if count
             else tr("{name}: {figures} figures, none of them your own yet", name=name, figures=figures))
    places = places_for(default.key, app.sites, lookup.records)
    body: list[ft.Control] = []
    if len(places) > 1:
        body += [parts.second(tr("As it holds")), parts.chips(places, site, set_site, "place")]
    body += [_Section(default.key, site, heading, names, services.decimal) for heading, names in sections_of(stuff)]
    if any(part.shows_ripeness for part in stuff.parts):
        body.append(_Ripeness())
    return parts.page_view(
        path, stuff.botanical, title, body, undo=undo_bar(), back="/materials",
        dock=parts.main_button(tr("Note a test"), parts.going(f"/materials/{default.key}/test?site={site}"),
                               "note-test"))


@piece
def _Section(key: str, site: str, heading: str, names: Sequence[str], decimal: str) -> ft.Control:
    """One heading with its figures, closed at first: there are many."""
    app = use_app()
    opened, set_opened = ft.use_state("dry-fresh" in names)
    default, stuff = MATERIALS[key], app.in_force()(key, site)
    own = sum(stuff.parameters[name] is not default.parameters.get(name) for name in names)
    summary = (tr_n("{n} figure, {own} your own", "{n} figures, {own} your own", len(names), own=own) if own
               else tr_n("{n} figure", "{n} figures", len(names)))
    inside = [_figure(key, site, name, stuff, default.parameters.get(name), decimal) for name in names]
    return parts.fold(heading, summary, opened=opened, on_toggle=lambda: set_opened(not opened),
                      key=f"section-{names[0]}", controls=inside if opened else [])


def _figure(key: str, site: str, name: str, stuff: Material, default: Parameter | None, decimal: str) -> ft.Control:
    row = stuff.parameters[name]
    shown, words = shown_range(row), figure_words(name, stuff)
    own = default is not None and row is not default
    lines: list[ft.Control] = [
        parts.range_row(words, shown, decimal=decimal, key=f"shown-{name}"),
        parts.range_bar(shown, max(shown.high, shown_range(default).high if default else 0.0) * 1.25, words,
                        decimal=decimal),
        parts.small(tr("Your own: {source}", source=tr(row.source)) if own and row.mark != "own"
                    else begun(sourced(row)))]
    route = f"/materials/{key}/{name}{f'?site={site}' if site else ''}"
    return ft.Container(
        ft.Column([*lines, ft.Row([parts.quiet_button(tr("See and change"), parts.going(route), f"figure-{name}",
                                                        first=True)])],
                  spacing=theme.GRID, horizontal_alignment=ft.CrossAxisAlignment.STRETCH))


@piece
def _Ripeness() -> ft.Control:
    """The words for how ripe it is, joined with test, code and worth."""
    opened, set_opened = ft.use_state(False)
    rows: list[ft.Control] = [parts.body(tr(DISAGREE))]
    for ripe in RIPENESS.values():
        test = (tr("{test} General BBCH code {bbch}.", test=tr(ripe.test), bbch=ripe.bbch) if ripe.bbch is not None
                else tr(ripe.test))
        worth = show_number(ripe.strength_low) if ripe.strength_low == ripe.strength_high else (
            f"{show_number(ripe.strength_low)}–{show_number(ripe.strength_high)}")
        rows.append(ft.Column([
            parts.figure_row(tr(ripe.words), tr("worth {worth}", worth=worth)), parts.second(test),
            parts.small(begun(said_source(ripe.mark, ripe.source)))], spacing=2,
            horizontal_alignment=ft.CrossAxisAlignment.STRETCH))
    return parts.fold(tr("How ripe, and what it may be worth"), tr("the sources disagree"), opened=opened,
                      on_toggle=lambda: set_opened(not opened), key="section-ripe", controls=rows if opened else [])
