"""Take from it: how much is taken from a lot, for what and by whom, and what is left while one types."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass

import flet as ft

from field_app.core.deeds import DrawForm, decide_draw
from field_app.core.facts import DrawFacts
from field_app.core.forms import Situation
from field_app.core.life import Draw, LotLife, live, most_drawable
from field_app.core.lots import LotNow
from field_app.core.problems import Problem
from field_app.core.units import offered_first, show_si
from field_app.ui import drafts, parts
from field_app.ui.guard import screen
from field_app.ui.life_words import gone, keeps_words
from field_app.ui.lot_words import stuff_words
from field_app.ui.own_units import amount_text, same_kind
from field_app.ui.refusals import at, elsewhere, not_kept
from field_app.ui.services import use_app, use_services
from field_app.ui.sheet import Sheet, units_row, use_sheet, when_fold
from field_app.words import begun, later, tr

__all__ = ["DrawTyped", "LotDraw", "after_draw"]

_CALLED = {"amount": later("how much"), "for": later("for what"), "by": later("by whom"), "at": later("when")}
#: Who took something last on this page, which is mostly who does so next.
_WHO = "who draws"
_NOT_KEPT, _LAST = "urn:uuid:00000000-0000-0000-0000-000000000000", "~"


@dataclass(frozen=True, slots=True)
class DrawTyped:
    """What is typed so far."""

    amount: str = ""
    unit: str = "kg"
    purpose: str = ""
    by: str = ""
    earlier: bool = False
    day: str = ""
    time: str = ""

    def form(self) -> DrawForm:
        """As the book takes it."""
        return DrawForm(amount_text(self.amount, self.unit), by=self.by, purpose=self.purpose,
                        at=f"{self.day} {self.time}".strip() if self.earlier else "")


def after_draw(lot: LotNow, form: DrawForm, now: dt.datetime) -> LotLife | None:
    """What would be left of a lot after a draw, or None while that can't be read or is more than there is."""
    decided = decide_draw(form, lot.id, lot.life, Situation((), now, lambda: _NOT_KEPT))
    if decided.problems:
        return None
    draw = Draw(_NOT_KEPT, DrawFacts.model_validate(dict(decided.drafts[0].facts)), _LAST)
    return live(lot.facts, lot.net, lot.life.steps, [*lot.life.draws, draw])


@screen
def LotDraw() -> ft.View:
    """One form, with what is left under the amount."""
    services, app = use_services(), use_app()
    key, path = ft.use_route_params().get("id", ""), ft.use_view_path()
    lot = ft.use_memo(lambda: services.book.lot(key), [key, app.lots])
    unit = lot.life.left.unit
    sheet = use_sheet(f"draw {lot.id} {unit}", lambda: DrawTyped(unit=same_kind(unit), by=drafts.kept(app, _WHO) or ""))
    typed = sheet.typed
    if gone(lot):
        words = keeps_words(lot, app.today())
        return parts.page_view(
            path, tr("Lot {lot} · {stuff}", lot=lot.code, stuff=stuff_words(lot.facts)),
            tr("Nothing is left to take"),
            [parts.notice("caution", begun(words), tr("If there is more after all, weigh it again."))],
            dock=parts.main_button(tr("Back to the lot"), parts.going(f"/lots/{lot.code}"), "draw-back"),
            back=f"/lots/{lot.code}")

    def save() -> None:
        words = tr("{amount} taken from {lot}", amount=typed.form().amount, lot=lot.code)
        if sheet.try_to(lambda: app.draw(lot, typed.form(), words), _fold_of):
            drafts.keep(app, _WHO, typed.by.strip())
            ft.context.page.navigate(f"/lots/{lot.code}")

    units = offered_first("volume")[:6] if unit == "L" else offered_first("mass")
    return parts.page_view(
        path, tr("Lot {lot} · {stuff}", lot=lot.code, stuff=stuff_words(lot.facts)), tr("Take from it"),
        [*elsewhere(sheet.problems, _CALLED),
         sheet.side_by_side(sheet.number(tr("How much"), "amount", first=True, expand=1),
                            sheet.unit_button(typed.unit), where=("amount",)),
         *units_row(sheet, units, typed.unit), _left(sheet, lot), sheet.keypad("amount"),
         parts.field(tr("For what"), typed.purpose, sheet.put("purpose", "for"), "purpose", at(sheet.problems, "for"),
                     hint=tr("shawl, medium brown")),
         parts.field(tr("By whom"), typed.by, sheet.put("by"), "by", at(sheet.problems, "by"),
                     hint=tr("the dye house")),
         parts.fold_card([when_fold(sheet)])],
        dock=parts.main_button(tr("Take it"), save, "draw-save"), dock_note=not_kept(sheet.problems, _CALLED),
        back=f"/lots/{lot.code}")


def _fold_of(problem: Problem) -> str:
    return "when" if problem.where == "at" else ""


def _left(sheet: Sheet[DrawTyped], lot: LotNow) -> ft.Control:
    """What there is and what will be left, on one scale, so that taking is seen."""
    before, after = lot.life.left, after_draw(lot, sheet.typed.form(), sheet.now)
    most = show_si(most_drawable(lot.life), before.unit, decimal=sheet.decimal)
    then: ft.Control = parts.figure_row(tr("left after that"), "–", key="left-then")
    if after is not None:
        then = parts.range_row(tr("left after that"), after.left, key="left-then", decimal=sheet.decimal)
    label = tr("there is") if after is None else tr("left after that")
    # Every line is there from the beginning, so that the keys below stay where the finger is.
    return parts.card([
        parts.range_row(tr("there is"), before, key="left-before", decimal=sheet.decimal), then,
        parts.range_bar(after.left if after else before, before.high * 1.05, label, decimal=sheet.decimal),
        parts.second(tr("{most} at most can be taken.", most=most))])
