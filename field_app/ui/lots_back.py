"""The lots that were taken back, on this device or another, each with the way to bring it back."""

from __future__ import annotations

import datetime as dt

import flet as ft

from field_app.core.units import show_range
from field_app.store import TakenBack, count_taken_back, taken_back
from field_app.ui import parts, theme
from field_app.ui.day_words import day
from field_app.ui.guard import piece
from field_app.ui.history_words import Names, names_of
from field_app.ui.lot_words import stuff_words
from field_app.ui.services import use_app, use_services
from field_app.words import tr, tr_n

__all__ = ["LotsBack"]

#: So many are read and shown at a time [1].
_PAGE = 20


@piece
def LotsBack(mark: tuple[int, int]) -> ft.Control:
    """How many lots are taken back, and on a tap which; mark: of the book, so that it is asked again."""
    services = use_services()
    opened, set_opened = ft.use_state(False)
    most, set_most = ft.use_state(_PAGE)
    count = ft.use_memo(lambda: count_taken_back(services.book), [mark])
    gone = ft.use_memo(lambda: taken_back(services.book, limit=most) if opened else (), [mark, opened, most])
    if not count:
        return ft.Container()
    inside: list[ft.Control] = []
    if opened:
        now, names = services.book.now(), names_of(services.book)
        inside = [parts.second(tr("They are in no list and no sum. What was said of them is kept, on every device.")),
                  *(_row(one, now, names, services.decimal) for one in gone)]
        if count > len(gone):
            inside.append(parts.outline_button(tr("Show {n} more of {all}", n=min(_PAGE, count - len(gone)),
                                                  all=count - len(gone)),
                                               lambda: set_most(most + _PAGE), "lots-back-more"))
    return parts.fold(tr("Taken back"), tr_n("{n:,} lot", "{n:,} lots", count), opened=opened,
                      on_toggle=lambda: set_opened(not opened), key="lots-back", controls=inside)


def _row(one: TakenBack, now: dt.datetime, names: Names, decimal: str) -> ft.Control:
    app = use_app()
    today = now.date()
    when = tr("Taken back {day} on {device}.", day=day(one.at.astimezone(now.tzinfo).date(), today),
              device=names.called(one.device))
    about = tr("Written by a newer field book than this one")
    if one.lot is not None:
        lot = one.lot
        about = " · ".join([show_range(lot.net, decimal=decimal), stuff_words(lot.facts), lot.site_name,
                            day(lot.gathered.date(), today)])
    return ft.Column([
        parts.body(one.code, bold=True), parts.second(about), parts.second(when),
        parts.outline_button(tr("Bring {lot} back", lot=one.code),
                             lambda: app.bring_back(one.id, tr("{lot} brought back", lot=one.code)),
                             f"lots-back-{one.code}")], spacing=theme.GRID)
