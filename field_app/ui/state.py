"""The one thing that changes while the screens are open: snapshots of the book, and verbs.

Every member is replaced, never changed in place: a collection that is changed in place would not be drawn.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

import flet as ft

from field_app.core.deeds import DrawForm, StepForm
from field_app.core.gather import LeaveForm, SiteForm, WindfallForm
from field_app.core.habits import Habits, go_by, habits
from field_app.core.left import estimate_left
from field_app.core.load import LotEstimate
from field_app.core.lots import LotNow
from field_app.core.own import InForce
from field_app.core.positions import Fix
from field_app.core.problems import refuse
from field_app.core.sites import SiteNow
from field_app.store import FieldBook, Forecasts, bring_back, keep_habits
from field_app.store.sync import apart
from field_app.words import tr

__all__ = ["PAGE", "AppState", "Done"]

#: How many lots are read, and sent to the screen, at a time [1].
PAGE = 50


@dataclass(frozen=True, slots=True)
class Done:
    """What was done last on this page and can still be undone.

    words: what it was; about: the id of the lot or place; version: the name of what was written.
    """

    words: str
    about: str
    version: str


@ft.observable
class AppState:
    """What the screens show.

    sites: all, by name; lots: the newest, newest first; lot_count: how many there are in all [1];
    here: the device's last fix, or None; habits: what the person is used to; saved: the code of the lot logged last
    on this page, or empty; done: what can be undone, or None;
    apart: the ids of the lots of which people say different things, and whether that is grave;
    forecasts: what is known of every tree, worked out as a screen asks for it.
    """

    def __init__(self, book: FieldBook) -> None:
        self._book = book
        self._estimates: dict[tuple[str, ...], tuple[LotNow, LotEstimate]] = {}
        self._mark: tuple[int, int] = (-1, -1)
        self.forecasts = Forecasts(book)
        self.sites: tuple[SiteNow, ...] = ()
        self.lots: tuple[LotNow, ...] = ()
        self.lot_count = 0
        self.here: Fix | None = None
        self.habits: Habits = habits()
        self.saved = ""
        self.done: Done | None = None
        self.apart: Mapping[str, bool] = MappingProxyType({})
        self.refresh()

    # Reading

    def today(self) -> dt.date:
        """The day it is here."""
        return self._book.now().date()

    def refresh(self) -> None:
        """Read the book again."""
        self._mark = self._book.change_mark()
        self.habits = habits()  # another page may have changed them
        self.sites = self._book.sites()
        self.lots = self._book.lots(limit=max(PAGE, len(self.lots)))
        self.lot_count = self._book.count("lot")
        told: dict[str, bool] = {}
        for one in apart(self._book.log_book):
            lot = one.thing.id if one.thing.kind == "lot" else str(one.thing.facts.get("lot", ""))
            # A step or a draw of which people say different things is one of its lot; places are told elsewhere.
            told[lot] = told.get(lot, False) or any(difference.grave for difference in one.differences)
        self.apart = MappingProxyType(told)

    def catch_up(self) -> None:
        """Read the book again if anything was written to it, here or by another program."""
        if self._book.change_mark() != self._mark:
            self.refresh()

    def is_kept(self, lot: LotNow) -> bool:
        """Whether the lot is in the book, and was not taken back."""
        held = self._book.log_book.thing(lot.id)
        return held is not None and not held.deleted

    def more_lots(self) -> None:
        """Read the next page of lots."""
        if self.lots:
            self.lots = (*self.lots, *self._book.lots(limit=PAGE, after=self.lots[-1]))

    def estimate(self, lot: LotNow) -> LotEstimate:
        """What is left of a lot is worth; worked out once for each version of it, its life, and what is in force."""
        # Its reasons are words and figures as this person reads them.
        key = (lot.id, *lot.heads, repr(self.habits))
        known = self._estimates.get(key)
        if known is None or known[0].stuff is not lot.stuff or known[0].life != lot.life:
            known = self._estimates[key] = (lot, estimate_left(lot))
        return known[1]

    def in_force(self) -> InForce:
        """The values in force: the table of materials with what is of one's own in it."""
        return self._book.in_force()

    # Writing: each verb is durable when it returns, and raises Refused if it can't be done as typed.

    def log(self, form: WindfallForm) -> LotNow:
        """Log a load."""
        lot = self._book.log(form)
        self.did(lot.id, tr("{what} logged", what=lot.code))
        self.saved = lot.code
        return lot

    def correct(self, lot: LotNow, form: WindfallForm) -> LotNow:
        """Tell a lot anew."""
        changed = self._book.correct(lot.id, form)
        self.did(lot.id, tr("{what} corrected", what=lot.code))
        return changed

    def step(self, lot: LotNow, form: StepForm, words: str) -> LotNow:
        """Note what was done with a lot; words: what to call it when it is undone."""
        changed = self._book.step(lot.id, form)
        self.did(lot.id, words)
        return changed

    def draw(self, lot: LotNow, form: DrawForm, words: str) -> LotNow:
        """Take something from a lot; words: what to call it when it is undone."""
        changed = self._book.draw(lot.id, form)
        self.did(lot.id, words)
        return changed

    def withdraw(self, lot: str, thing: str, words: str) -> None:
        """Take back a lot, or something that was said of it, such as a draw."""
        self._book.withdraw(thing)
        self.did(lot, words)

    def bring_back(self, lot: str, words: str) -> None:
        """Bring back a lot that was taken back, on this device or another."""
        bring_back(self._book, lot)
        self.did(lot, words)

    def settle(self, about: str, thing: str, version: str, words: str) -> None:
        """Let one of several sayings about a lot or a place hold for everybody."""
        self._book.settle(thing, version)
        self.did(about, words)

    def undo(self) -> Done:
        """Undo what was done last on this page, and say what that was.

        Raises Refused if something else was done meanwhile, on another page or by a command.
        """
        done, last = self.done, self._book.log_book.last_own()
        self.done = None
        if done is None or last is None or last.name != done.version:
            raise refuse("undo", tr("something else was done meanwhile"), tr("Look at it, and correct it there."))
        self._book.undo()
        self.refresh()
        return done

    def did(self, about: str, words: str) -> None:
        """Read the book again after a write, and remember what was done, so that it can be undone."""
        last = self._book.log_book.last_own()
        self.done = Done(words, about, last.name) if last else None
        self.refresh()

    def add_site(self, form: SiteForm) -> SiteNow:
        """Add a site."""
        site = self._book.add_site(form)
        self.done = None
        self.refresh()
        return site

    def set_leave(self, site: str, form: LeaveForm) -> SiteNow:
        """Note the leave to gather at a site."""
        changed = self._book.set_leave(site, form)
        self.done = None
        self.refresh()
        return changed

    def found(self, fix: Fix) -> None:
        """Remember where the device is."""
        self.here = fix

    def used_to(self, **values: str) -> None:
        """Choose how things are shown, kept on this device when it returns; every screen is drawn anew by it."""
        chosen = habits().changed(**values)
        keep_habits(self._book.log_book, chosen)
        go_by(chosen)
        self.habits = chosen
