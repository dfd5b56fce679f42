"""All lots of the book for a screen that needs them at once, without making the person wait."""

from __future__ import annotations

import asyncio

import flet as ft

from field_app.core.lots import LotNow
from field_app.ui.guard import guarded
from field_app.ui.services import use_app, use_services
from field_app.ui.state import PAGE

__all__ = ["use_all_lots"]

_Mark = tuple[int, int]
_NOTHING: tuple[_Mark | None, tuple[LotNow, ...]] = (None, ())


def use_all_lots() -> tuple[LotNow, ...] | None:
    """All lots, newest first, or None while the later ones of many are being read.

    They are read a page at a time, and between two pages the screen may be touched.
    """
    services, state = use_services(), use_app()
    (read_at, lots), set_read = ft.use_state(_NOTHING)
    mark = services.book.change_mark()
    all_there = len(state.lots) >= state.lot_count

    async def read() -> None:
        found = state.lots
        while not all_there:
            page = services.book.lots(limit=PAGE, after=found[-1] if found else None)
            found = (*found, *page)
            await asyncio.sleep(0)
            if services.book.change_mark() != mark:
                return  # the drawing that this change leads to reads again
            if len(page) < PAGE:
                set_read((mark, found))
                return

    ft.use_effect(guarded(read), [mark, all_there])
    if all_there:
        return state.lots
    return lots if read_at == mark else None
