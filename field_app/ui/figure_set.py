"""Setting a figure of one's own, everywhere or at one place."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

import flet as ft

from field_app.core.figures import figure_words
from field_app.core.habits import habits
from field_app.core.materials import material
from field_app.core.own_deeds import ValueForm, parameter_named
from field_app.core.own_facts import units_for
from field_app.core.problems import Problem
from field_app.ui import parts
from field_app.ui.figure import held_at
from field_app.ui.guard import screen
from field_app.ui.own_verbs import keep_value
from field_app.ui.own_words import asked, places_for, shown_range
from field_app.ui.refusals import at, elsewhere, not_kept
from field_app.ui.services import use_app, use_services
from field_app.ui.sheet import Sheet, use_sheet
from field_app.words import later, tr

__all__ = ["FigureSet", "ValueTyped"]

_CALLED = {"value": later("the value"), "low": later("its low end"), "high": later("its high end"),
           "by": later("who says so"), "note": later("note"), "unit": later("the unit")}


@dataclass(frozen=True, slots=True)
class ValueTyped:
    """What is typed or chosen so far."""

    value: str = ""
    low: str = ""
    high: str = ""
    unit: str = ""
    site: str = ""
    by: str = ""
    note: str = ""
    earlier: bool = False
    day: str = ""
    time: str = ""


def offered_units(units: Iterable[str]) -> dict[str, str]:
    """The units to choose from with how they are shown: this person's own first, and no foreign gallon.

    >>> offered_units(("L/kg", "US gal/lb", "imp gal/lb")), offered_units(("%", "1"))
    ({'L/kg': 'L/kg'}, {'%': '%', '1': 'share of 1'})
    """
    own = {"metric": "", "us": "US ", "imperial": "imp "}[habits().measures]
    near = [unit for unit in units if (own and own in unit) or not ("US " in unit or "imp " in unit)]
    if own:
        near.sort(key=lambda unit: not (own in unit or unit in ("oz", "lb")))
    return {unit: tr("share of 1") if unit == "1" else unit.replace(own, "") if own else unit for unit in near}


@screen
def FigureSet() -> ft.View:
    """One form: the value, its ends if they are known, and where it holds."""
    services, app = use_services(), use_app()
    params, path = ft.use_route_params(), ft.use_view_path()
    asked_site = asked(ft.context.page.route or "", "site")
    stuff = material(params.get("key", ""))
    name, row = parameter_named(stuff, params.get("figure", ""))
    offered, words = offered_units(units_for(row)), figure_words(name, stuff)
    sheet = use_sheet(f"value {stuff.key} {name}", lambda: ValueTyped(unit=next(iter(offered)), site=asked_site))
    typed = sheet.typed

    def save() -> None:
        form = ValueForm(stuff.key, name, typed.value, typed.low, typed.high, typed.site, typed.unit, typed.by,
                         typed.note)
        if sheet.try_to(lambda: keep_value(app, services.book, form, words), _fold_of):
            where = f"?site={typed.site}" if typed.site else ""
            ft.context.page.navigate(f"/materials/{stuff.key}/{name}{where}")

    places = places_for(stuff.key, app.sites, app.in_force().records, typed.site)
    shown_unit = ft.Container(parts.second(offered.get(typed.unit, typed.unit))) if len(offered) == 1 else parts.chips(
        list(offered.items()), typed.unit, sheet.put("unit"), "unit")
    now = app.in_force()(stuff.key, typed.site).parameters[name]
    return parts.page_view(
        path, f"{tr(stuff.name)} · {words}", tr("Your own value"),
        [*elsewhere(sheet.problems, _CALLED),
         parts.range_row(tr("in the table"), shown_range(row)),
         parts.range_row(tr("in force now"), shown_range(now), key="in-force"),
         sheet.number(tr("Value"), "value", first=True), *parts.problem_text(at(sheet.problems, "value")), shown_unit,
         sheet.side_by_side(sheet.number(tr("Low end"), "low", expand=1),
                            sheet.number(tr("High end"), "high", expand=1),
                            where=("low", "high")),
         parts.small(tr("Leave the ends open if you have one figure alone: it is then taken as good to 10 %.")),
         sheet.keypad("value", "value"),
         *([parts.second(tr("Where it holds")), parts.chips(places, typed.site, sheet.put("site"), "place")]
           if len(places) > 1 else []),
         parts.fold_card([_line(sheet, tr("who says so"), tr("Who says so"), "by", tr("not told"), tr("the dye house")),
                          _line(sheet, tr("note"), tr("Note"), "note", tr("none"),
                                tr("weighed 50 fruits on the market scale"))])],
        dock=parts.main_button(tr("Keep this value"), save, "value-save"),
        dock_note=not_kept(sheet.problems, _CALLED) or held_at(services.book, typed.site),
        back=f"/materials/{stuff.key}/{name}")


def _fold_of(problem: Problem) -> str:
    return problem.where if problem.where in ("by", "note") else ""


def _line(sheet: Sheet[ValueTyped], folded: str, label: str, name: str, empty: str, hint: str) -> parts.Fold:
    wrong, text = at(sheet.problems, name), getattr(sheet.typed, name)
    return parts.Fold(folded, text.strip() or empty, f"{name}-fold", sheet.is_open(name), sheet.toggle(name),
                      lambda: [parts.field(label, text, sheet.put(name), name, wrong, hint=hint)], wrong=bool(wrong))
