"""What a person sees once the load is safe: its code, and what it is worth."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import flet as ft

from field_app.core.lots import LotNow
from field_app.core.problems import Refused
from field_app.ui import parts
from field_app.ui.day_words import clock_time, day
from field_app.ui.lot_words import dye_part, keeping_words, title_of_one
from field_app.ui.photographs import PhotographRow
from field_app.ui.state import AppState
from field_app.ui.undo import undo_bar
from field_app.words import tr

__all__ = ["saved_view"]


def saved_view(route: str, lot: LotNow, app: AppState, decimal: str, again: Callable[..., Any]) -> ft.View:
    """Saved, with the code to write on the pail; from here to the next load, the lot, or Today."""
    today = app.today()
    if not app.is_kept(lot):
        return parts.page_view(
            route, tr("Lot {code} · {site}", code=lot.code, site=lot.site_name), tr("Taken back"),
            [parts.notice("advice", tr("{code} is not in the lists any more", code=lot.code),
                          tr("Nobody counts on it now."), live=True)],
            back="/", dock=[parts.outline_button(tr("Another load"), again, "another", main=True, expand=True),
                            parts.main_button(tr("Done"), parts.going("/"), "done")])
    body: list[ft.Control] = [
        parts.notice("good", tr("Saved as {code}", code=lot.code), tr("Write the code on the pail."), key="saved",
                     live=True),
        *_worth(lot, app, decimal),
        PhotographRow(lot.id, tr("lot {code}", code=lot.code), f"/lots/{lot.code}", "photograph"),
        parts.quiet_button(tr("See this lot"), parts.going(f"/lots/{lot.code}"), "see-lot"),
    ]
    when = lot.gathered
    return parts.page_view(
        route, tr("Lot {code} · {site} · {day}, {time}", code=lot.code, site=lot.site_name,
                  day=day(when.date(), today), time=clock_time(when)),
        title_of_one(lot, decimal=decimal), body, undo=undo_bar(lot.id), back="/",
        dock=[parts.outline_button(tr("Another load"), again, "another", main=True, expand=True),
              parts.main_button(tr("Done"), parts.going("/"), "done")])


def _worth(lot: LotNow, app: AppState, decimal: str) -> list[ft.Control]:
    try:
        worth = app.estimate(lot)
    except Refused as refused:
        return [parts.notice("caution", problem.what, problem.fix) for problem in refused.problems]
    medium = next(shade for shade in worth.shades if shade.name == "medium")
    rows: list[ft.Control] = []
    if lot.facts.part == "whole-fruit":
        rows.append(parts.range_row(dye_part(lot.facts), worth.fresh_hull, decimal=decimal))
    rows += [parts.range_row(tr("air-dry"), worth.air_dry, decimal=decimal),
             parts.figure_row(tr("keeps"), keeping_words(worth.use_by, app.today()))]
    if worth.use_by.advice:
        rows.append(parts.second(tr(worth.use_by.advice)))
    found = [parts.range_card(tr("dyes, at medium"), medium.cloth, of=tr("of wool"), decimal=decimal, key="worth"),
             parts.card(rows)]
    if worth.surer:
        found.append(parts.card([parts.body(tr("To be surer"), bold=True), parts.second(worth.surer[0])], "sky"))
    return found
