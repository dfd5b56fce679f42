"""What became of a lot, on its own screen: what is left, what was taken from it, and what doesn't add up."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Sequence

import flet as ft

from field_app.core.life import Draw, left_after
from field_app.core.lots import LotNow
from field_app.core.units import show_si
from field_app.ui import parts, theme
from field_app.ui.guard import piece
from field_app.ui.life_words import drawn_words, gone, measure_words, state_words, touched
from field_app.ui.services import use_app, use_services
from field_app.words import begun, tr

__all__ = ["TakeBack", "draws_card", "life_card", "life_notices", "take_button"]

#: So many draws are shown before one asks for all [1].
_SHOWN = 5


def take_button(lot: LotNow, *, wide: bool = False) -> ft.Control:
    """The way to take something from it; ``wide`` among others that are as wide as the screen."""
    return ft.Row([parts.outline_button(tr("Take from it"), parts.going(f"/lots/{lot.code}/draw"), "lot-take",
                                        icon=ft.Icons.REMOVE, expand=wide or None)])


def life_card(lot: LotNow, today: dt.date, decimal: str) -> list[ft.Control]:
    """State in words and what is left as a range; nothing for a lot that is as it was gathered."""
    life = lot.life
    if not touched(life):
        return []
    state = begun(state_words(life, today))
    nuts: list[ft.Control] = []
    if life.nuts_kg:
        kept = show_si(life.nuts_kg, "kg", decimal=decimal)
        nuts.append(parts.figure_row(tr("nuts kept for food"), kept, key="lot-nuts"))
    note = next((step.facts.note for step in reversed(life.steps) if step.facts.note), "")
    notes: list[ft.Control] = [parts.second(note)] if note else []
    if gone(lot):
        words = tr("Nothing is left of it.") if life.ended else tr("All of it was taken.")
        return [parts.card([parts.lead(state if life.ended else tr("Used up")), parts.second(words), *nuts, *notes],
                           key="lot-life")]
    of = tr("of liquor") if life.left.unit == "L" else ""
    label = tr("{state}; left", state=state) if life.draws else state
    return [parts.range_card(label, life.left, of=of, decimal=decimal, key="lot-life",
                             more=[*nuts, *notes, ft.Container(height=theme.GRID), take_button(lot)])]


def life_notices(lot: LotNow, decimal: str) -> list[ft.Control]:
    """What doesn't add up, with what to do about it."""
    life, found = lot.life, list[ft.Control]()
    if life.overdraft:
        more = show_si(life.overdraft, life.left.unit, decimal=decimal)
        again = parts.outline_button(tr("Weigh it again"), parts.going(f"/lots/{lot.code}/step"), "lot-weigh-again")
        found.append(parts.notice(
            "refused", tr("{more} more was taken than there was", more=more),
            tr("Two people may have taken from it at once. Weigh what is there, or put back below what was not "
               "taken."),
            controls=[ft.Row([again])], key="lot-overdraft"))
    if life.misfits:
        amounts = ", ".join(measure_words(draw, decimal=decimal) for draw in life.misfits)
        why = (tr("What is left is litres of liquor, and that is another measure. Put it back below, and note it anew "
                  "as litres of liquor.") if life.left.unit == "L" else
               tr("What is left is a weight, and that is another measure. Put it back below, and note it anew as a "
                  "weight."))
        found.append(parts.notice(
            "refused", tr("Not taken off yet: {amounts}", amounts=amounts), why, key="lot-misfits"))
    return found


@piece
def draws_card(lot: LotNow) -> ft.Control:
    """What was taken, newest first, each with a way to take it back."""
    services, app = use_services(), use_app()
    opened, set_opened = ft.use_state(False)
    today, draws = app.today(), lot.life.draws[::-1]
    shown = draws if opened else draws[:_SHOWN]
    rows: list[ft.Control] = [parts.body(tr("Taken from it"), bold=True)]
    # Some room before each, so that its lines hang together.
    rows += [ft.Container(_draw(lot, draw, today, services.decimal), padding=ft.Padding.only(top=theme.GRID))
             for draw in shown]
    if len(shown) < len(draws):
        rows.append(parts.quiet_button(tr("{n} more", n=len(draws) - len(shown)),
                                       lambda: set_opened(True), "draws-more"))
    return parts.card(rows, key="lot-draws")


def _draw(lot: LotNow, draw: Draw, today: dt.date, decimal: str) -> ft.Control:
    app = use_app()
    amount = measure_words(draw, decimal=decimal)

    def take_back() -> None:
        app.withdraw(lot.id, draw.id, tr("{amount} put back to {lot}", amount=amount, lot=lot.code))

    after = left_after(lot.facts, lot.net, lot.life, draw)
    words: Sequence[ft.Control] = [
        parts.body(amount, bold=True), parts.second(drawn_words(draw, today)),
        parts.second(tr("left then: {amount}", amount=parts.range_words(after)))]
    return parts.with_way(ft.Column(list(words), spacing=0),
                          parts.quiet_button(tr("Put back"), take_back, f"draw-back-{draw.id[-8:]}"))


@piece
def TakeBack(lot: LotNow, after: Callable[[], None]) -> ft.Control:
    """A question before a lot is taken back, which says what becomes of it."""
    app = use_app()
    asking, set_asking = ft.use_state(False)

    def take_back() -> None:
        app.withdraw(lot.id, lot.id, tr("{lot} taken back", lot=lot.code))
        after()

    if not asking:
        return ft.Row([parts.quiet_button(tr("Take this lot back"), lambda: set_asking(True), "lot-withdraw",
                                          first=True)])
    return parts.notice(
        "caution", tr("Take lot {lot} back?", lot=lot.code),
        tr("It leaves the lists and the sums, here and with the others. What was said of it stays in its "
           "history, and it can be brought back under the list of lots."), live=True, key="lot-withdraw-asked",
        controls=[ft.Row([parts.outline_button(tr("Take it back"), take_back, "lot-withdraw-yes"),
                          parts.outline_button(tr("Keep it"), lambda: set_asking(False), "lot-withdraw-no")],
                         wrap=True, spacing=2 * theme.GRID, run_spacing=2 * theme.GRID)])
