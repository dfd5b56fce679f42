"""The one thing that changes while the screens are open: snapshots of the book, and verbs.

Every member is replaced, never changed in place: a collection that is changed in place would not be drawn.
"""

from __future__ import annotations

import datetime as dt

import flet as ft

from field_app.core.gather import LeaveForm, SiteForm, WindfallForm
from field_app.core.load import LotEstimate, estimate_lot
from field_app.core.lots import LotNow
from field_app.core.positions import Fix
from field_app.core.sites import SiteNow
from field_app.store import FieldBook
from field_app.ui.theme import Light

__all__ = ["PAGE", "AppState"]

#: How many lots are read, and sent to the screen, at a time [1].
PAGE = 50


@ft.observable
class AppState:
    """What the screens show.

    sites: all, by name; lots: the newest, newest first; lot_count: how many there are in all [1];
    here: the device's last fix, or None; light: the chosen light; saved: the code of the lot logged last
    on this page, or empty.
    """

    def __init__(self, book: FieldBook, light: Light = "device") -> None:
        self._book = book
        self._estimates: dict[tuple[str, ...], LotEstimate] = {}
        self._mark: tuple[int, int] = (-1, -1)
        self.sites: tuple[SiteNow, ...] = ()
        self.lots: tuple[LotNow, ...] = ()
        self.lot_count = 0
        self.here: Fix | None = None
        self.light: Light = light
        self.saved = ""
        self.refresh()

    # Reading

    def today(self) -> dt.date:
        """The day it is here."""
        return self._book.now().date()

    def refresh(self) -> None:
        """Read the book again."""
        self._mark = self._book.change_mark()
        self.sites = self._book.sites()
        self.lots = self._book.lots(limit=max(PAGE, len(self.lots)))
        self.lot_count = self._book.count("lot")

    def catch_up(self) -> None:
        """Read the book again if anything was written to it, here or by another program."""
        if self._book.change_mark() != self._mark:
            self.refresh()

    def more_lots(self) -> None:
        """Read the next page of lots."""
        if self.lots:
            self.lots = (*self.lots, *self._book.lots(limit=PAGE, after=self.lots[-1]))

    def estimate(self, lot: LotNow) -> LotEstimate:
        """What a lot is worth; worked out once for each version of it."""
        key = (lot.id, *lot.heads)
        if key not in self._estimates:
            self._estimates[key] = estimate_lot(lot.facts)
        return self._estimates[key]

    # Writing: each verb is durable when it returns, and raises Refused if it can't be done as typed.

    def log(self, form: WindfallForm) -> LotNow:
        """Log a load."""
        lot = self._book.log(form)
        self.refresh()
        self.saved = lot.code
        return lot

    def add_site(self, form: SiteForm) -> SiteNow:
        """Add a site."""
        site = self._book.add_site(form)
        self.refresh()
        return site

    def set_leave(self, site: str, form: LeaveForm) -> SiteNow:
        """Note the leave to gather at a site."""
        changed = self._book.set_leave(site, form)
        self.refresh()
        return changed

    def found(self, fix: Fix) -> None:
        """Remember where the device is."""
        self.here = fix

    def choose_light(self, light: Light) -> None:
        """Choose the light of the screens."""
        self.light = light
