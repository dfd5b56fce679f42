"""What is rarely typed, each behind one line that says how it stands: scale, when, position, leave, note, cautions."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import flet as ft

from field_app.core.cautions import cautions_for
from field_app.core.materials import MATERIALS
from field_app.core.units import show_si
from field_app.ui import parts, theme
from field_app.ui.chosen import ChosenPictures, chosen_words
from field_app.ui.day_field import DayField, moment_words
from field_app.ui.day_words import clock_time
from field_app.ui.leave_fields import LeaveFields, form_of
from field_app.ui.site_words import WORD_ON_LEAVE, leave_words
from field_app.ui.windfall_desk import Desk
from field_app.ui.windfall_fine import fine_fold
from field_app.ui.windfall_where import position_fields
from field_app.words import tr

__all__ = ["more_section"]


def more_section(desk: Desk) -> list[ft.Control]:
    """One card of folds."""
    position = [] if desk.typed.adding else [_position(desk)]
    return [parts.fold_card([*fine_fold(desk), _when(desk), *position, _leave(desk), _note(desk),
                             *_photographs(desk), *_cautions(desk)])]


def when_words(desk: Desk) -> str:
    """When it was gathered, as it is told so far."""
    typed = desk.typed
    return (moment_words(typed.day, typed.time, desk.now.date()) if typed.earlier
            else tr("now, {time}", time=clock_time(desk.now)))


def _when(desk: Desk) -> parts.Fold:
    typed, today = desk.typed, desk.now.date()

    def choose(key: str) -> None:
        if key == "now":
            desk.edit(lambda before: before.by_hand(earlier=False))
        else:
            desk.edit(lambda before: before.by_hand(
                earlier=True, day=before.day or today.isoformat(), time=before.time or clock_time(desk.now)))
        desk.mended("gathered")

    def inside() -> list[ft.Control]:
        chosen = "earlier" if typed.earlier else "now"
        controls: list[ft.Control] = [
            parts.chips([("now", tr("now")), ("earlier", tr("earlier"))], chosen, choose, "when"),
            *parts.problem_text(desk.at("gathered")),
        ]
        if typed.earlier:
            controls.append(ft.Row(
                [ft.Container(DayField(tr("Day"), typed.day, desk.put("day"), "day", last=today), expand=3),
                 parts.field(tr("Time"), typed.time, desk.put("time"), "time", helper=tr("as 09:30"),
                             keyboard=ft.KeyboardType.DATETIME, expand=2)],
                spacing=theme.GAP, vertical_alignment=ft.CrossAxisAlignment.START))
        return controls

    return parts.Fold(tr("when"), when_words(desk), opened=desk.is_open("when"), on_toggle=desk.toggle("when"),
                      key="when", inside=inside, wrong=bool(desk.at("gathered")))


def _position(desk: Desk) -> parts.Fold:
    typed = desk.typed
    if typed.fix is not None:
        near = typed.fix.accuracy_m
        summary = (tr("by this device, it did not say how closely") if near is None
                   else tr("by this device, ± {metres}", metres=show_si(near, "m")))
    elif typed.place.strip():
        summary = typed.place.strip()
    else:
        known = desk.site is not None and desk.site.position is not None
        summary = tr("as noted for the place") if known else tr("not noted")
    return parts.Fold(tr("position"), summary, opened=desk.is_open("position"), on_toggle=desk.toggle("position"),
                      key="position-fold", inside=lambda: [position_fields(desk)], wrong=bool(desk.at("position")))


def _leave(desk: Desk) -> parts.Fold:
    today = desk.now.date()
    form = desk.typed.leave
    if form is not None:
        summary = tr(dict(WORD_ON_LEAVE)[form.state])
        summary += f", {form.by}" if form.by else ""
    else:
        summary = leave_words(desk.site, today) if desk.site else tr("not asked yet")
    where = ("leave", "leave from", "leave until", "leave limit", "leave note")
    shown = form or form_of(desk.site.leave if desk.site else None)
    return parts.Fold(
        tr("leave to gather"), summary, opened=desk.is_open("leave"), on_toggle=desk.toggle("leave"), key="leave-fold",
        wrong=bool(desk.at(*where)),
        inside=lambda: [LeaveFields(shown, desk.put("leave"), tuple(desk.at(*where)), today)])


def _note(desk: Desk) -> parts.Fold:
    note = desk.typed.note.strip()
    return parts.Fold(tr("note"), note or tr("none"), opened=desk.is_open("note"), on_toggle=desk.toggle("note"),
                      key="note-fold", wrong=bool(desk.at("note")),
                      inside=lambda: [parts.field(tr("Note"), desk.typed.note, desk.put("note"), "note",
                                                  desk.at("note"),
                                                  hint=tr("the third tree, by the gate"), lines=2)])


def _photographs(desk: Desk) -> list[parts.Fold]:
    """Not for a lot that is there already: its own screen has them."""
    if desk.corrects is not None:
        return []
    chosen = desk.typed.photographs

    def change(made: Callable[[Any], Any]) -> None:
        desk.edit(lambda before: before.by_hand(photographs=made(before.photographs)))

    return [parts.Fold(tr("photographs"), chosen_words(chosen), opened=desk.is_open("photographs"),
                       on_toggle=desk.toggle("photographs"), key="photographs-fold",
                       inside=lambda: [ChosenPictures(chosen, change, "photographs")])]


def _cautions(desk: Desk) -> list[parts.Fold]:
    if desk.typed.material not in MATERIALS:
        return []
    known = cautions_for(desk.typed.material, desk.typed.part, "gather")
    if not known:
        return []

    def inside() -> list[ft.Control]:
        return [ft.Column([parts.body(tr(caution.title), bold=True),
                           parts.second(f"{tr(caution.text)} {tr(caution.advice)}"),
                           parts.small(tr(caution.source))], spacing=2) for caution in known]

    first = tr(known[0].title)
    summary = tr("{caution}, and {count} more", caution=first, count=len(known) - 1) if len(known) > 1 else first
    return [parts.Fold(tr("before you gather"), summary, opened=desk.is_open("cautions"),
                       on_toggle=desk.toggle("cautions"), key="cautions", inside=inside)]
