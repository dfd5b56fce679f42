"""The field book: the one door through which screens and commands read and write.

It gathers what a decision needs, lets :mod:`field_app.core` decide, and appends what was decided.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable
from pathlib import Path

from field_app.core.deeds import (
    DrawForm,
    StepForm,
    decide_draw,
    decide_step,
    decide_undo,
    decide_withdrawal,
    draw_id,
)
from field_app.core.differences import Difference, differences
from field_app.core.forms import Decision, LeaveForm, SiteForm, Situation, WindfallForm
from field_app.core.gather import decide_leave, decide_site, decide_windfall
from field_app.core.label_text import label_key
from field_app.core.left import estimate_left
from field_app.core.load import LotEstimate
from field_app.core.lots import LotNow
from field_app.core.own import InForce
from field_app.core.positions import Position
from field_app.core.problems import Problem, Refused, refuse
from field_app.core.records import Draft, Thing, Version, code_of, sort_of
from field_app.core.sites import SiteNow, name_key, nearest_first, site_now
from field_app.store.log import Log
from field_app.store.lots import SHOWN, Beside, lots_now
from field_app.store.own_values import OwnNow, own_now
from field_app.store.photographs import Album
from field_app.store.shelf import PHOTOGRAPHS, FolderShelf, Shelf
from field_app.words import tr

__all__ = ["FieldBook", "open_book"]


class FieldBook:
    """Sites, leave and lots in one data folder. Every verb that writes raises Refused or a folder fault.

    clock: gives the aware local time; new_id: gives ``urn:uuid:...``;
    localise: gives a naive local time its offset (that of the clock, if left out);
    shelf: where the bytes of photographs lie (a folder beside the database, if left out).
    album: the photographs.
    """

    def __init__(self, log: Log, *, clock: Callable[[], dt.datetime], new_id: Callable[[], str],
                 localise: Callable[[dt.datetime], dt.datetime] | None = None, shelf: Shelf | None = None) -> None:
        self.log_book = log
        self.album = Album(log, shelf or FolderShelf(log.folder / PHOTOGRAPHS), clock)
        self._clock, self._new_id, self._localise = clock, new_id, localise
        self._own: OwnNow | None = None

    def now(self) -> dt.datetime:
        """The time of this device, with its offset."""
        return self._clock()

    def close(self) -> None:
        """Let go of the data folder."""
        self.log_book.close()

    @property
    def folder(self) -> Path:
        """Where the data are."""
        return self.log_book.folder

    def change_mark(self) -> tuple[int, int]:
        """Differs from an earlier one if anything was written since, here or by another program."""
        return self.log_book.change_mark()

    # Reading

    def sites(self, near: Position | None = None) -> tuple[SiteNow, ...]:
        """All sites, nearest first if ``near`` is given, else by name."""
        leaves: dict[str | None, Thing] = {}
        for leave in self.log_book.things("leave"):
            leaves[leave.of] = leave  # in the order of their stamps, so the last one told holds
        sites = tuple(site_now(thing, leaves.get(thing.id)) for thing in self.log_book.things("site"))
        return tuple(site for site, _ in nearest_first(sites, near)) if near else sites

    def site(self, key: str) -> SiteNow:
        """The site with this id or name. Raises Refused if there is none, or several of that name."""
        thing = self.log_book.thing(key)
        if thing is not None and thing.kind == "site" and not thing.deleted:
            leaves = self.log_book.things("leave", of=thing.id)
            return site_now(thing, leaves[-1] if leaves else None)
        found = [site for site in self.sites() if name_key(site.name) == name_key(key)]
        if len(found) == 1:
            return found[0]
        if found:
            raise refuse("site", tr("{count} sites are named {key!r}", count=len(found), key=key),
                         tr("Name it by its id."))
        raise refuse("site", tr("no site is named {key!r}", key=key), tr("List the sites to see their names."))

    def lots(self, *, limit: int = 50, after: LotNow | None = None, site: str | None = None) -> tuple[LotNow, ...]:
        """Lots, newest gathered first; ``after`` is the last one of the page before. limit -1: all [1].

        Those that this version can't read (see :meth:`unreadable`) are kept, but left out.
        """
        before = None
        if after is not None:
            before = (after.gathered.astimezone(dt.UTC).isoformat(timespec="seconds"), after.id)
        lots: list[LotNow] = []
        while limit < 0 or len(lots) < limit:
            want = limit if limit < 0 else limit - len(lots)
            things = self.log_book.things("lot", of=site, limit=want, newest_first=True, before=before)
            lots += [lot for lot in lots_now(self.log_book, things, self.in_force()) if lot is not None]
            if limit < 0 or len(things) < want:
                break
            before = (sort_of(things[-1]), things[-1].id)
        return tuple(lots)

    def unreadable(self) -> tuple[Problem, ...]:
        """Lots that another version of this program wrote and this one can't read; nothing of them is lost."""
        things = self.log_book.things("lot")
        return tuple(
            Problem(f"lot {code_of(thing.id, SHOWN)}", tr("was written by another version of this program"),
                    tr("It is kept and handed on; update this program to see it."), thing.id)
            for thing, lot in zip(things, lots_now(self.log_book, things, self.in_force()), strict=True) if lot is None)

    def lot(self, key: str) -> LotNow:
        """The lot with this id or code, as on its label. Raises Refused if there is none, or several codes start so."""
        asked = label_key(key)
        thing = self.log_book.thing(key) or self.log_book.thing(asked)
        if thing is not None and thing.kind == "lot" and not thing.deleted:
            return self._lot(thing)
        found = self.log_book.by_code(asked, "lot") if asked else ()
        if len(found) == 1:
            return self._lot(found[0])
        if found:
            codes = ", ".join(code_of(thing.id, SHOWN + 4) for thing in found)
            raise refuse("lot", tr("{count} codes start with {text!r}", count=len(found), text=key),
                         tr("Type more of it: {codes}.", codes=codes))
        raise self._no_lot(key, asked, thing)

    def _no_lot(self, key: str, asked: str, thing: Thing | None) -> Refused:
        """Why there is no lot of this id or code, and what to do about it."""
        gone = [thing] if thing else list(self.log_book.by_code(asked, "lot", deleted=True)) if asked else []
        if len(gone) == 1 and gone[0].kind == "lot":
            return refuse("lot", tr("{code} was taken back", code=code_of(gone[0].id, SHOWN)),
                          tr("Bring it back among the lots, if it is still there."))
        if asked.startswith("urn:") and thing is None:
            return refuse("lot", tr("the lot with this label's id is not on this device"),
                          tr("Take in the group file of whoever gathered it, and try again."))
        return refuse("lot", tr("no lot has the code {text!r:.60}", text=key), tr("List the lots to see their codes."))

    def last_lot(self, site: str | None = None) -> LotNow | None:
        """The lot logged last, of all or at one site."""
        lots = self.log_book.things("lot", of=site, newest_first=True, limit=20)
        latest = sorted(lots, key=lambda thing: thing.first_hlc, reverse=True)
        return next((lot for lot in lots_now(self.log_book, latest, self.in_force()) if lot is not None), None)

    def count(self, kind: str) -> int:
        """How many sites or lots there are [1]."""
        return self.log_book.count(kind)

    def estimate(self, key: str) -> LotEstimate:
        """What is left of a lot is worth, as hull, dry matter and cloth."""
        return estimate_left(self.lot(key))

    def in_force(self) -> InForce:
        """The values in force: the table of materials with what is of one's own in it."""
        self._own = own_now(self.log_book, self._own)
        return self._own.in_force

    def _lot(self, thing: Thing) -> LotNow:
        return Beside(self.log_book, (thing,), self.in_force()).lot(thing)

    def history(self, thing: str) -> tuple[Version, ...]:
        """Everything that was said of a thing, oldest first."""
        return self.log_book.versions(thing)

    def differences(self, thing: str) -> tuple[Difference, ...]:
        """Where people say different things of one thing, and nobody has settled it yet."""
        held = self.log_book.thing(thing)
        if held is None or len(held.heads) < 2:
            return ()
        said = {version.name: version for version in self.log_book.versions(thing)}
        return differences([said[name] for name in held.heads])

    def devices(self) -> tuple[str, ...]:
        """The ids of all devices whose records are known here, and of this one, in their order."""
        with self.log_book.reading() as connection:
            found = {device for (device,) in connection.execute("select distinct device from version")}
        return tuple(sorted(found | {self.log_book.device}))

    # Writing

    def situation(self) -> Situation:
        """What a decision has to know: the sites, the time, and where a new id comes from."""
        return Situation(self.sites(), self.now(), self._new_id, self._localise)

    def append(self, decision: Decision) -> str:
        """Write what was decided, durable when this returns; gives the id of what it was about. Raises Refused."""
        decided = decision.unless_refused()
        self.log_book.append(decided.drafts, now_ms=int(self.now().timestamp() * 1000))
        return decided.main

    def add_site(self, form: SiteForm) -> SiteNow:
        """A new site, durable when this returns."""
        return self.site(self.append(decide_site(form, self.situation())))

    def set_leave(self, key: str, form: LeaveForm) -> SiteNow:
        """Leave to gather at a site, as it was told now; what was told before stays in the history."""
        site = self.site(key)
        return self.site(self.append(decide_leave(form, site, self.situation())))

    def log(self, form: WindfallForm) -> LotNow:
        """A load as it was typed, durable when this returns."""
        return self.lot(self.append(decide_windfall(form, self.situation())))

    def correct(self, key: str, form: WindfallForm) -> LotNow:
        """A lot told anew; what was told before stays in its history."""
        return self.lot(self.append(decide_windfall(form, self.situation(), corrects=self.held(self.lot(key).id))))

    def step(self, key: str, form: StepForm) -> LotNow:
        """What was done with a lot: weighed again, soaked, boiled, strained, dried, spent or spoiled."""
        lot = self.lot(key)
        self.append(decide_step(form, lot.id, lot.life, self.situation()))
        return self.lot(lot.id)

    def draw(self, key: str, form: DrawForm) -> LotNow:
        """Something taken from a lot; Refused if it is more than is left. A planner's draw is taken once."""
        lot = self.lot(key)
        if not (form.ref and self.log_book.thing(draw_id(form.ref))):
            self.append(decide_draw(form, lot.id, lot.life, self.situation()))
        return self.lot(lot.id)

    def settle(self, thing: str, version: str) -> None:
        """Settles what people say differently: what ``version`` says holds from now on."""
        held = self.held(thing)
        chosen = next((one for one in self.log_book.versions(thing) if one.name == version), None)
        if chosen is None:
            raise refuse("version", tr("is not one of this record"), tr("Choose one of those shown."))
        self.append(Decision((Draft(thing, held.kind, chosen.facts, chosen.position, held.heads,
                                     deleted=chosen.deleted),), thing))

    def withdraw(self, thing: str) -> None:
        """Takes a record back; it stays in the history, and may be brought back by undoing."""
        self.append(decide_withdrawal(self.held(thing)))

    def undo(self) -> str:
        """Undoes the last thing done on this device; gives the id of what it was about."""
        last = self.log_book.last_own()
        thing = None if last is None else self.log_book.thing(last.thing)
        return self.append(decide_undo(last, thing, () if last is None else self.log_book.versions(last.thing)))

    def held(self, key: str) -> Thing:
        """What holds of the record with this id, taken back or not. Raises Refused if there is none."""
        thing = self.log_book.thing(key)
        if thing is None:
            raise refuse("record", tr("there is none with the id {key!r}", key=key), tr("List what there is."))
        return thing


def open_book(folder: Path, *, clock: Callable[[], dt.datetime], new_id: Callable[[], str],
              localise: Callable[[dt.datetime], dt.datetime] | None = None) -> FieldBook:
    """The book in a folder, made there if it is empty. Raises the folder faults of the core."""
    # The random end of a UUID of version 7 (RFC 9562, 5.7) is this device's name in a new folder.
    log = Log(folder, new_device=new_id().replace("-", "")[-16:])
    return FieldBook(log, clock=clock, new_id=new_id, localise=localise)
