"""Topping up a spent bath from the liquor of a lot: how much of it to add, and how often it lasts."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Any

import flet as ft

from field_app.core.liquor import Liquor
from field_app.core.lots import LotNow
from field_app.core.problems import Problem, Refused
from field_app.core.topping import Topping, read_strength, topping
from field_app.core.units import read_measure, show_round
from field_app.ui import drafts, parts, theme
from field_app.ui.guard import piece
from field_app.ui.lot_words import mass_words
from field_app.ui.own_units import in_own, own_label
from field_app.ui.refusals import at, elsewhere
from field_app.ui.services import use_app, use_services
from field_app.words import later, tr

__all__ = ["BathTyped", "TopUp", "topped_up"]

_CALLED = {"bath": later("bath"), "now": later("now"), "wanted": later("wanted")}


@dataclass(frozen=True, slots=True)
class BathTyped:
    """What is typed of the bath: litres, how strong it is and should be, and whether it keeps its level."""

    bath: str = ""
    now: str = ""
    wanted: str = ""
    level: bool = False


def topped_up(typed: BathTyped, liquor: Liquor) -> tuple[Topping | None, tuple[Problem, ...]]:
    """What to add of a lot's liquor, or None with the problems; neither, while a field is still empty."""
    if not all(text.strip() for text in (typed.bath, typed.now, typed.wanted)):
        return None, ()
    try:
        litres = read_measure(in_own(typed.bath, "volume"), kind="volume", where="bath", default_unit="L").si
        return topping(litres, _strength(typed.now, "now"), _strength(typed.wanted, "wanted"), liquor.strength,
                       liquor.volume, level=typed.level), ()
    except Refused as refused:
        return None, refused.problems


def _strength(text: str, where: str) -> Any:
    # A bare number in these fields is a reading; so much is said beside them.
    bare = not any(sign.isalpha() or sign in "%°" for sign in text)
    return read_strength(f"{text} brix" if bare else text, where=where)


@piece
def TopUp(lot: LotNow, liquor: Liquor) -> ft.Control:
    """One line, to be opened: three fields, and what to do in a sentence."""
    app, app_decimal = use_app(), use_services().decimal
    name = f"top up {lot.id}"
    begin: BathTyped = drafts.kept(app, name) or BathTyped()
    typed, set_typed = ft.use_state(begin)
    opened, set_opened = ft.use_state(False)

    def edit(**changes: Any) -> None:
        def changed(before: BathTyped) -> BathTyped:
            after = replace(before, **changes)
            drafts.keep(app, name, after)
            return after
        set_typed(changed)

    found, problems = topped_up(typed, liquor)
    answer: list[ft.Control] = [*elsewhere(problems, _CALLED)]
    if found is not None:
        answer = [parts.notice("advice", found.words, live=True, key="top-up-answer")]
    inside: list[ft.Control] = [
        parts.second(tr("This liquor brings a bath that gave its dye back to strength.")),
        parts.field(tr("How much is in the bath"), typed.bath, lambda text: edit(bath=text), "top-bath",
                    at(problems, "bath"),
                    suffix=own_label("volume"), keyboard=ft.KeyboardType.NUMBER,
                    hint=show_round(30, "L").partition(" ")[0]),
        ft.Row([parts.field(tr("It shows"), typed.now, lambda text: edit(now=text), "top-now", at(problems, "now"),
                            suffix=tr("°Brix"), keyboard=ft.KeyboardType.NUMBER, hint="0.5", expand=1),
                parts.field(tr("It should"), typed.wanted, lambda text: edit(wanted=text), "top-wanted",
                            at(problems, "wanted"), suffix=tr("°Brix"), keyboard=ft.KeyboardType.NUMBER, hint="1.0",
                            expand=1)],
               spacing=theme.GAP, vertical_alignment=ft.CrossAxisAlignment.START),
        parts.chips([("grows", tr("the bath may grow")), ("level", tr("it keeps its level"))],
                    "level" if typed.level else "grows", lambda key: edit(level=key == "level"), "top-level"),
        *answer]
    summary = tr("a spent bath")
    if found and found.add.high:
        summary = tr("add {amount}", amount=mass_words(found.add, decimal=app_decimal))
    return parts.fold(tr("top up"), summary, opened=opened, on_toggle=lambda: set_opened(not opened),
                      key="liquor-top-up", controls=inside if opened else [], wrong=bool(problems))
