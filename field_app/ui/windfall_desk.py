"""What the parts of "What fell" share: what was typed, what is shown of it, and the verbs to change either."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable
from dataclasses import dataclass, replace
from functools import cached_property
from typing import Any

from field_app.core.lots import LotNow
from field_app.core.materials import MATERIALS, Material
from field_app.core.problems import FolderFault, Problem, Refused, refuse
from field_app.core.sites import SiteNow
from field_app.core.vessels import VesselNow
from field_app.store import vessels
from field_app.ui import drafts
from field_app.ui.chosen import wait_for
from field_app.ui.services import Services
from field_app.ui.state import AppState
from field_app.ui.windfall_form import Typed, fold_of, from_lot, placed, start, to_form, with_site
from field_app.words import tr

__all__ = ["Desk", "Shown", "begin", "begin_correcting", "draft_name", "find_site"]

_DRAFT = "windfall"
_URN = "urn:uuid:"
#: The fields that problems name, for members that are called otherwise.
_WHERE = {"place": ("position",), "fix": ("position",), "day": ("gathered",), "time": ("gathered",),
          "leave": ("leave", "leave from", "leave until", "leave limit", "leave note")}


@dataclass(frozen=True, slots=True)
class Shown:
    """What only the screen knows: problems, open folds, the field under the keypad, and the lot once saved.

    large_text: whether figures side by side would be cut off.
    """

    problems: tuple[Problem, ...] = ()
    opened: frozenset[str] = frozenset()
    active: str = ""
    search: str = ""
    locating: bool = False
    large_text: bool = False
    lot: LotNow | None = None


def find_site(app: AppState, key: str) -> SiteNow | None:
    """The known place of an id, with or without its prefix, or None."""
    return next((site for site in app.sites if key and key in (site.id, site.id.removeprefix(_URN))), None)


def draft_name(corrects: LotNow | None = None) -> str:
    """The name under which what was typed is kept while one looks elsewhere."""
    return f"{_DRAFT} {corrects.id}" if corrects else _DRAFT


def begin_correcting(app: AppState, lot: LotNow) -> Typed:
    """What was typed before to correct the lot, or what it says now."""
    kept: Typed | None = drafts.kept(app, draft_name(lot))
    return kept or from_lot(lot)


def begin(app: AppState, services: Services, asked: str) -> Typed:
    """What was typed before, or a fresh form; at the place that ``asked`` names, if it names one."""
    kept: Typed | None = drafts.kept(app, _DRAFT)
    typed = kept or start(services.book.last_lot(), app.sites)
    site = find_site(app, asked)
    if site is not None and typed.site != site.id:
        typed = with_site(typed, site, services.book.last_lot(site.id))
    return typed


@dataclass(frozen=True)
class Desk:
    """One drawing of the form.

    Every verb works on what is typed by then, not on what was drawn: two taps may come before a new drawing.
    corrects: the lot that is told anew, if it is one that is known.
    """

    typed: Typed
    shown: Shown
    app: AppState
    services: Services
    set_typed: Callable[[Any], None]
    set_shown: Callable[[Any], None]
    corrects: LotNow | None = None

    @cached_property
    def now(self) -> dt.datetime:
        """The time of this drawing."""
        return self.services.book.now()

    @cached_property
    def site(self) -> SiteNow | None:
        """The known place that is chosen, or None."""
        return None if self.typed.adding else find_site(self.app, self.typed.site)

    @cached_property
    def owned(self) -> tuple[VesselNow, ...]:
        """The pots and pails of this person, pails first."""
        return tuple(sorted(vessels(self.services.book), key=lambda one: one.facts.vessel != "pail"))

    @property
    def stuff(self) -> Material | None:
        """The material in force for what is typed, or None if none is chosen yet."""
        if self.typed.material not in MATERIALS:
            return None
        return self.app.in_force()(self.typed.material, self.site.id if self.site else "",
                                   self.corrects.id if self.corrects else "")

    @property
    def decimal(self) -> str:
        """The decimal sign of this person."""
        return self.services.decimal

    def at(self, *where: str) -> list[Problem]:
        """The problems of these fields."""
        return [problem for problem in self.shown.problems if problem.where in where]

    def is_open(self, fold: str) -> bool:
        """Whether a fold is open."""
        return fold in self.shown.opened

    # Verbs

    def edit(self, change: Callable[[Typed], Typed]) -> None:
        """Change what is typed, and keep it in case one looks elsewhere."""
        def changed(before: Typed) -> Typed:
            after = change(before)
            drafts.keep(self.app, draft_name(self.corrects), after)
            return after
        self.set_typed(changed)

    def show(self, change: Callable[[Shown], Shown]) -> None:
        """Change what is shown of it."""
        self.set_shown(change)

    def put(self, name: str) -> Callable[[Any], None]:
        """A handler that sets one member as a person typed or chose it."""
        def set_it(value: Any) -> None:
            self.edit(lambda before: before.by_hand(**{name: value}))
            self.mended(*_WHERE.get(name, (name,)))
        return set_it

    def mended(self, *where: str) -> None:
        """Tell the problems of these fields no more: what they were about was changed."""
        if self.at(*where):
            self.show(lambda before: replace(
                before, problems=tuple(p for p in before.problems if p.where not in where)))

    def toggle(self, *folds: str) -> Callable[[], None]:
        """A handler that opens folds or closes them."""
        def turn() -> None:
            self.show(lambda before: replace(before, opened=before.opened ^ set(folds)))
        return turn

    def close(self, *folds: str) -> None:
        """Close folds."""
        self.show(lambda before: replace(before, opened=before.opened - set(folds)))

    def pick(self, site: SiteNow) -> None:
        """Choose a known place."""
        last = self.services.book.last_lot(site.id)
        self.edit(lambda before: with_site(before, site, last))
        self.mended("site", "name")
        self.close("where")

    async def locate(self) -> None:
        """Ask the device where it is; what it answers is the position of the load and orders the places."""
        self._told("position", (), locating=True)
        try:
            if self.services.device is None:
                raise refuse("position", tr("this device can't be asked where it is"),
                             tr("Type or paste the position, or leave it out."))
            fix = await self.services.device.locate()
        except Refused as refused:
            self._told("position", refused.problems)
            return
        self._told("position", ())
        self.app.found(fix)
        self.edit(lambda before: before.by_hand(fix=fix))

    def _told(self, where: str, problems: tuple[Problem, ...], *, locating: bool = False) -> None:
        self.show(lambda before: replace(
            before, locating=locating,
            problems=(*(p for p in before.problems if p.where != where), *problems)))

    def save(self) -> None:
        """Log the load. If it can't be done, everything typed stays, and each problem is told at its field."""
        try:
            form = to_form(self.typed)
            lot = self.app.correct(self.corrects, form) if self.corrects else self.app.log(form)
        except (Refused, FolderFault) as fault:
            told = fault.problems if isinstance(fault, Refused) else (fault.problem,)
            problems = placed(told, self.typed)
            folds = {fold_of(problem) for problem in problems} - {""}
            self.show(lambda before: replace(before, problems=problems, opened=before.opened | folds))
            return
        drafts.drop(self.app, draft_name(self.corrects))
        wait_for(self.app, lot.id, self.typed.photographs)
        self.show(lambda before: Shown(lot=lot, large_text=before.large_text))

    def again(self) -> None:
        """Begin the next load at the same place."""
        site = self.shown.lot.facts.site if self.shown.lot else self.typed.site
        drafts.drop(self.app, _DRAFT)
        fresh = begin(self.app, self.services, site)
        self.set_typed(lambda _: fresh)
        self.show(lambda before: Shown(large_text=before.large_text))
