"""What came of syncing with a folder, in words and as plain data."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path
from types import MappingProxyType
from typing import Any

from field_app.core.problems import Problem
from field_app.core.units import show_si
from field_app.handover.group import NOTICE, Disagreement
from field_app.words import tr, tr_n

__all__ = ["FileTaken", "Overdraft", "SyncReport"]


@dataclass(frozen=True, slots=True)
class FileTaken:
    """What came of one file: how many records were new, were known, and are newly set aside [1].

    cut: whether its end is missing; problems: all that is wrong with it; notes: what is odd but harms nothing.
    """

    name: str
    new: int = 0
    known: int = 0
    set_aside: int = 0
    cut: bool = False
    problems: tuple[Problem, ...] = ()
    notes: tuple[Problem, ...] = ()


@dataclass(frozen=True, slots=True)
class Overdraft:
    """A lot of which more was drawn than there was: by how much, in [kg] or [L]."""

    lot: str
    code: str
    amount: float
    unit: str

    @property
    def words(self) -> str:
        """The same as one sentence."""
        return tr("lot {code}: {amount} more was drawn than there was", code=self.code,
                  amount=show_si(self.amount, self.unit))


@dataclass(frozen=True, slots=True)
class SyncReport:
    """What came of syncing with a folder.

    file: this device's own; wrote: whether it had to be written; first: whether it is there for the first time;
    files: those that were taken in; ignored: others in the folder [1]; devices: new records by device [1];
    waiting: records set aside in all [1]; clocks, copies: what to know about clocks and copied folders;
    cloned: whether this folder turned out to be a copy; device: its id now.
    """

    folder: Path
    file: Path
    device: str
    wrote: bool
    first: bool
    files: tuple[FileTaken, ...] = ()
    ignored: int = 0
    devices: Mapping[str, int] = field(default_factory=lambda: MappingProxyType({}))
    waiting: int = 0
    disagreements: tuple[Disagreement, ...] = ()
    overdrafts: tuple[Overdraft, ...] = ()
    clocks: tuple[Problem, ...] = ()
    copies: tuple[Problem, ...] = ()
    cloned: bool = False

    @property
    def new(self) -> int:
        """How many records came in [1]."""
        return sum(one.new for one in self.files)

    @property
    def set_aside(self) -> int:
        """How many records are newly set aside [1]."""
        return sum(one.set_aside for one in self.files)

    @property
    def problems(self) -> tuple[Problem, ...]:
        """All that is wrong with the files."""
        return tuple(problem for one in self.files for problem in one.problems)

    @property
    def notice(self) -> str:
        """What to tell before such a file leaves the device for the first time, or nothing."""
        return tr(NOTICE) if self.first else ""

    def sentences(self) -> tuple[str, ...]:
        """What happened and what somebody should see to, most important first; problems are told by themselves."""
        told = [self._came()]
        told.append(tr("{file} is written.", file=self.file.name) if self.wrote
                    else tr("{file} was up to date.", file=self.file.name))
        if self.set_aside:
            told.append(tr_n("{n:,} record could not be taken in and is set aside.",
                             "{n:,} records could not be taken in and are set aside.", self.set_aside))
        told.extend(tr("People disagree about {what}.", what=one.words) for one in self.disagreements)
        told.extend(tr("Overdraft of {what}.", what=one.words) for one in self.overdrafts)
        if self.cloned:
            told.append(tr("This data folder was copied or restored: records were written elsewhere under its old "
                           "id. All are kept; it goes on as device {device}.", device=self.device))
        told.extend(str(note) for note in (*self.copies, *self.clocks))
        told.extend(str(note) for one in self.files for note in one.notes)
        return tuple(told)

    def _came(self) -> str:
        if not self.files:
            return tr("No file of others is there yet.")
        if not self.new:
            return tr_n("Nothing new in {n:,} file.", "Nothing new in {n:,} files.", len(self.files))
        by = ", ".join(tr("{count:,} from device {device}", count=count, device=device)
                       for device, count in self.devices.items())
        return tr_n("{n:,} record new: {by}.", "{n:,} records new: {by}.", self.new, by=by)

    def as_json(self) -> dict[str, Any]:
        """The same as plain data."""
        return {
            "folder": str(self.folder), "file": self.file.name, "device": self.device, "wrote": self.wrote,
            "first": self.first, "notice": self.notice, "new": self.new, "devices": dict(self.devices),
            "set_aside": self.set_aside, "waiting": self.waiting, "ignored": self.ignored,
            "files": [{"name": one.name, "new": one.new, "known": one.known, "set_aside": one.set_aside,
                       "cut": one.cut} for one in self.files],
            "disagreements": [{"record": one.record, "kind": one.kind, "belongs_to": one.belongs_to,
                               "about": one.difference.about, "grave": one.difference.grave,
                               "holds": one.difference.holds.words,
                               "others": [other.words for other in one.difference.others]}
                              for one in self.disagreements],
            "overdrafts": [{"lot": one.lot, "code": one.code, "amount": one.amount, "unit": one.unit}
                           for one in self.overdrafts],
            "cloned": self.cloned,
            "copies": [note.as_json() for note in self.copies], "clocks": [note.as_json() for note in self.clocks],
            "problems": [problem.as_json() for problem in self.problems],
            "notes": [note.as_json() for one in self.files for note in one.notes]}
