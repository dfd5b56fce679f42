"""One lot: what it dyes, what is in it, how long it stays good, and why the numbers are what they are."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence

import flet as ft

from field_app.core.estimate import Range, Reason
from field_app.core.keeping import UseBy
from field_app.core.load import LotEstimate
from field_app.core.lots import LotNow
from field_app.core.positions import show_position
from field_app.core.problems import Refused
from field_app.paper import labels_pdf, lot_label
from field_app.ui import parts, theme
from field_app.ui.day_words import day
from field_app.ui.guard import piece, screen
from field_app.ui.history_words import apart_notice
from field_app.ui.life_words import gone, keeping_now, title_now, touched
from field_app.ui.lot_colour import LotColour
from field_app.ui.lot_life import TakeBack, draws_card, life_card, life_notices, take_button
from field_app.ui.lot_steps import steps_card
from field_app.ui.lot_words import dye_part, edge_of, fix_words, keeping_words, typed_rows
from field_app.ui.photographs import PhotographRow
from field_app.ui.printing import PrintButton
from field_app.ui.reason_words import MEASURED, reason_rows
from field_app.ui.services import use_app, use_services
from field_app.ui.tree import copy_button
from field_app.ui.undo import undo_bar
from field_app.words import begun, shade_words, state_words, tr

__all__ = ["Lot"]


@screen
def Lot() -> ft.View:
    """A lot by its code; Refused, in plain words, if there is none."""
    services, state = use_services(), use_app()
    params, path = ft.use_route_params(), ft.use_view_path()
    lot = ft.use_memo(lambda: services.book.lot(params.get("id", "")), [params.get("id", ""), state.lots])
    today, decimal = state.today(), services.decimal
    body = [*apart_notice(lot, state.apart), *life_notices(lot, decimal),
            *life_card(lot, today, decimal), *steps_card(lot)]
    try:
        body += _worth(lot, state.estimate(lot), today, decimal)
    except Refused as refused:
        body.append(parts.notice("refused", tr("What it is worth can't be worked out here"), str(refused)))
    if not (touched(lot.life) or gone(lot)):
        body.append(take_button(lot, wide=True))
    if lot.life.draws:
        body.append(draws_card(lot))
    if not gone(lot):
        body.append(PrintButton(tr("Print its label"), f"label-{lot.code}.pdf", lambda: labels_pdf(
            [lot_label(lot, decimal=decimal)], made=services.book.now()), "lot-label"))
    body.append(parts.card([parts.body(tr("Photographs"), bold=True), PhotographRow(
        lot.id, tr("lot {code}", code=lot.code), f"/lots/{lot.code}", "photograph")], key="lot-photographs"))
    body += [_typed(lot, today, decimal), TakeBack(lot, parts.going("/lots"))]
    return parts.page_view(
        path, tr("Lot {lot} · {tree} · {day}", lot=lot.code, tree=lot.site_name,
                 day=day(lot.gathered.date(), today)),
        title_now(lot, decimal=decimal), body, back="/lots", dock=_dock(lot),
        undo=undo_bar(lot.id))


def _dock(lot: LotNow) -> list[ft.Control]:
    if lot.life.ended:
        return [parts.main_button(tr("Back to lots"), parts.going("/lots"), "lot-back")]
    step = parts.outline_button(tr("Next step"), parts.going(f"/lots/{lot.code}/step"), "lot-step", main=True,
                                expand=True)
    if gone(lot):
        return [step, parts.main_button(tr("Back to lots"), parts.going("/lots"), "lot-back")]
    return [step,
            parts.main_button(tr("Hand over"), parts.going(f"/dye-day/hand-over?lot={lot.code}"), "lot-hand-over")]


def _worth(lot: LotNow, worth: LotEstimate, today: dt.date, decimal: str) -> list[ft.Control]:
    if gone(lot):
        return []
    by = keeping_now(lot)
    rows: list[ft.Control] = [_dyes(lot, worth, decimal), _on_cloth(lot)]
    if by is not None:
        rows.append(_use_by(by, today))
    rows.append(LotColour(lot))
    rows.append(_inside(lot, worth, decimal))
    rows.append(_liquor(lot))
    if worth.surer and not lot.life.steps:
        rows.append(parts.card([parts.body(tr("To be surer"), bold=True), *(parts.second(f"{i}. {deed}" if
                    len(worth.surer) > 1 else deed) for i, deed in enumerate(worth.surer, 1))], "sky", key="lot-surer"))
    rows.append(_tests(lot))
    rows.append(_Why(worth, by))
    rows.append(_Cautions(worth))
    return rows


def _tests(lot: LotNow) -> ft.Control:
    """The ways to a test of it, and to the figures that it is worked out with."""
    figures = f"/materials/{lot.facts.material}?site={lot.facts.site}"
    return ft.Row([parts.outline_button(tr("Note a test"), parts.going(f"/lots/{lot.code}/test"), "lot-test"),
                   parts.outline_button(tr("The figures behind it"), parts.going(figures), "lot-figures")],
                  wrap=True, spacing=2 * theme.GRID, run_spacing=2 * theme.GRID)


def _dyes(lot: LotNow, worth: LotEstimate, decimal: str) -> ft.Control:
    """The three shades on one scale, medium large as what custom means by a shade."""
    most = max(shade.cloth.high for shade in worth.shades) * 1.05
    medium = next(shade for shade in worth.shades if shade.name == "medium")
    more: list[ft.Control] = []
    for shade in worth.shades:
        if shade is medium:
            continue
        name = tr("at {shade}", shade=shade_words(shade.name))
        more += [ft.Container(height=theme.GRID),
                 parts.range_row(name, shade.cloth, decimal=decimal, key=f"lot-{shade.name}"),
                 parts.range_bar(shade.cloth, most, tr("cloth at {shade}", shade=shade_words(shade.name)),
                                 decimal=decimal)]
        if shade.words:
            more.append(parts.small(shade.words))
    # What was taken since is off already, so it says of what it speaks.
    whole = tr("what is left dyes, at medium") if touched(lot.life) else tr("dyes, at medium")
    return parts.range_card(whole, medium.cloth, of=tr("of dry cloth"), scale_max=most, more=more,
                            decimal=decimal, key="lot-dyes")


def _on_cloth(lot: LotNow) -> ft.Control:
    """The way to what it makes of some cloth of one's own, over time and load after load."""
    return ft.Row([parts.outline_button(tr("See it on your cloth"), parts.going(f"/lots/{lot.code}/dyes"),
                                        "lot-on-cloth",
                                        icon=ft.Icons.CHECKROOM, expand=True)])


def _use_by(by: UseBy, today: dt.date) -> ft.Control:
    rows: list[ft.Control] = [parts.lead(begun(keeping_words(by, today)))]
    rows += [parts.second(by.words), parts.body(by.advice)]
    return parts.card(rows, edge_of(by, today), key="lot-use-by")


def _liquor(lot: LotNow) -> ft.Control:
    made = lot.life.left.unit == "L"
    words = (tr("How strong it is, how long it keeps.") if made
             else tr("How much water, which pots, how strong it gets."))
    return parts.card([parts.body(tr("Its liquor") if made else tr("In the pot"), bold=True), parts.second(words),
                       ft.Row(
        [parts.outline_button(tr("See its liquor") if made else tr("Plan the liquor"),
                              parts.going(f"/lots/{lot.code}/liquor"),
                              "lot-liquor", icon=ft.Icons.WATER_DROP_OUTLINED)])], key="lot-pot")


def _inside(lot: LotNow, worth: LotEstimate, decimal: str) -> ft.Control:
    rows: list[tuple[str, Range]] = []
    if worth.fresh_hull != worth.net:
        rows.append((tr("hull in it"), worth.fresh_hull))
    rows += [(tr("dry matter of the {stuff}", stuff=dye_part(lot.facts)), worth.dry_matter),
             (state_words("air-dry"), worth.air_dry)]
    if worth.nuts is not None:
        rows.append((tr("nuts left over, wet"), worth.nuts))
    nets = [(tr("net"), worth.net)]
    if touched(lot.life):
        left = tr("went into what is left") if lot.life.left.unit == "L" else tr("left, net")
        nets = [(tr("gathered, net"), lot.net), (left, worth.net)]
    return parts.card([*(parts.range_row(name, mass, decimal=decimal) for name, mass in nets),
                       *(parts.range_row(name, mass, decimal=decimal) for name, mass in rows)], key="lot-inside")


@piece
def _Why(worth: LotEstimate, by: UseBy | None) -> ft.Control:
    opened, set_opened = ft.use_state(False)
    reasons = (*worth.reasons(), *([by.reason] if by else []))
    inside = reason_rows(reasons) if opened else []
    return parts.fold(tr("Why these numbers"), _how_known(reasons), opened=opened,
                      on_toggle=lambda: set_opened(not opened), key="lot-why", controls=inside)


def _how_known(reasons: Sequence[Reason]) -> str:
    """How many of the inputs this person measured, and how many are defaults."""
    own = sum(reason.basis in MEASURED for reason in reasons)
    return tr("{own} measured by you, {count} taken from the trade", own=own, count=len(reasons) - own)


@piece
def _Cautions(worth: LotEstimate) -> ft.Control:
    """The first few as lines with what to do; all of them, with their sources, when opened."""
    opened, set_opened = ft.use_state(False)
    cautions = worth.cautions
    notices: list[ft.Control] = []
    if opened:
        notices = [parts.notice("caution", tr(caution.title), f"{tr(caution.text)} {tr(caution.advice)}",
                                controls=[parts.small(tr(caution.source))]) for caution in cautions]
    return parts.fold(tr("Take care"), " ".join(tr(caution.short) for caution in cautions[:2]), opened=opened,
                      on_toggle=lambda: set_opened(not opened), key="lot-care", controls=notices)


def _typed(lot: LotNow, today: dt.date, decimal: str) -> ft.Control:
    rows: list[ft.Control] = [parts.body(tr("What was put down"), bold=True)]
    rows += [parts.figure_row(name, value) for name, value in typed_rows(lot, today, decimal=decimal)]
    if lot.position is not None:
        rows.append(parts.figure_row(tr("where"), show_position(lot.position)))
        rows.append(parts.second(fix_words(lot.facts.fix, of_site=lot.position_is_site, decimal=decimal)))
        rows.append(ft.Row([copy_button(lot.position)]))
    if lot.facts.note:
        rows += [parts.second(tr("note")), parts.body(lot.facts.note)]
    rows.append(ft.Row(
        [parts.outline_button(tr("Correct it"), parts.going(f"/lots/{lot.code}/correct"), "lot-correct",
                              icon=ft.Icons.EDIT_OUTLINED),
         parts.outline_button(tr("History"), parts.going(f"/lots/{lot.code}/history"), "lot-history",
                              icon=ft.Icons.HISTORY)],
        wrap=True, spacing=2 * theme.GRID, run_spacing=2 * theme.GRID))
    return parts.card(rows, key="lot-typed")
