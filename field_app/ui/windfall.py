"""What fell: logging a load, from the scale to what it is worth, on one screen."""

from __future__ import annotations

import flet as ft

from field_app.core.cautions import cautions_for
from field_app.core.materials import MATERIALS
from field_app.core.units import show_si
from field_app.ui import parts
from field_app.ui.guard import screen
from field_app.ui.refusals import elsewhere, not_kept
from field_app.ui.room import room_here
from field_app.ui.services import use_app, use_services
from field_app.ui.windfall_desk import Desk, Shown, begin
from field_app.ui.windfall_load import load_section
from field_app.ui.windfall_more import more_section, when_words
from field_app.ui.windfall_saved import saved_view
from field_app.ui.windfall_what import what_folds
from field_app.ui.windfall_where import where_fold, where_notices
from field_app.words import later, tr

__all__ = ["WINDFALL_CALLED", "Windfall", "windfall_form"]

#: A field's name in a problem, as the screen calls it.
WINDFALL_CALLED = {"gross": later("on the scale"), "tare": later("empty pail"), "count": later("how many"),
                   "pails": later("how many pails"), "pail": later("what one pail holds"), "fill": later("how full"),
                   "site": later("where"), "name": later("name of the place"), "position": later("position"),
                   "ripeness": later("how ripe"), "part": later("weighed as"), "gathered": later("when"),
                   "material": later("what it is"), "wood": later("what wood"),
                   "condition": later("in what condition"), "note": later("note"), "leave": later("leave"),
                   "leave from": later("leave, from whom"), "leave until": later("leave, until when"),
                   "leave limit": later("leave, how much"), "leave note": later("leave, what else was said")}


@screen
def Windfall() -> ft.View:
    """The screen: a form while one types, and what the lot is worth once it is saved."""
    services, app = use_services(), use_app()
    asked, route = ft.use_route_params().get("site", ""), ft.use_view_path()
    first = ft.use_memo(lambda: begin(app, services, asked), [])
    typed, set_typed = ft.use_state(first)
    shown, set_shown = ft.use_state(_NOTHING)
    desk = Desk(typed, shown, app, services, set_typed, set_shown)
    if shown.lot is not None:
        return saved_view(route, shown.lot, app, services.decimal, desk.again)
    return parts.page_view(
        route, _kicker(desk), tr("What fell"), windfall_form(desk),
        dock=parts.main_button(tr("Save this windfall"), desk.save, "save"), dock_note=_under_save(desk), back="/")


def windfall_form(desk: Desk) -> list[ft.Control]:
    """All that one can say of a load, with the problems that belong to none of its fields on top."""
    folds, load = [where_fold(desk), *what_folds(desk)], load_section(desk)
    ordered = [parts.fold_card(folds), *where_notices(desk), *load]
    if (room_here().beside or room_here().short) and desk.site is not None:
        # There the folds would fill the height: once the place is known, what one types comes first.
        ordered = [parts.second(" · ".join(fold.summary for fold in folds if fold.summary)), *where_notices(desk),
                   *load, parts.fold_card(folds)]
    return [*elsewhere(desk.shown.problems, WINDFALL_CALLED), *ordered, *more_section(desk)]


_NOTHING = Shown()


def _kicker(desk: Desk) -> str:
    words = [desk.site.name] if desk.site else []
    fix = desk.typed.fix
    if fix is not None:
        words.append(tr("fix") if fix.accuracy_m is None
                     else tr("fix ± {metres}", metres=show_si(fix.accuracy_m, "m")))
    return " · ".join([*words, tr("kept on this device")])


def _under_save(desk: Desk) -> str | ft.Control:
    """Gloves, where the hand is; or what has to be mended before it can be saved."""
    typed, problems = desk.typed, desk.shown.problems
    if problems:
        return not_kept(problems, WINDFALL_CALLED)
    when = when_words(desk)
    known = cautions_for(typed.material, typed.part, "gather") if typed.material in MATERIALS else ()
    return f"{when} · {tr(known[0].short)}" if known else when

