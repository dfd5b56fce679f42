"""What can be wrong, said so that a person can mend it.

A fault in what a person typed or in a file is a value, :class:`Problem`; several can be told at once.
Exceptions are split by who has to act::

    FieldAppError
    ├── Refused           the person: mend what was typed (carries the problems)
    └── FolderFault       the person or the machine: the data folder can't be used as it is
        ├── ForeignFolder     it holds something that is not ours
        ├── NewerFolder       it was written by a newer version
        ├── DamagedFolder     it is ours, but can't be read
        └── NoRoom            the disk is full, or may not be written
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field

from field_app.words import named, tr

__all__ = [
    "KINDS",
    "DamagedFolder",
    "FieldAppError",
    "FolderFault",
    "ForeignFolder",
    "NewerFolder",
    "NoRoom",
    "Problem",
    "Refused",
    "refuse",
]

#: Kinds of problems that somebody has to tell apart: a word that is not known here, as a newer program may know it;
#: a file that is cut off, was changed on its way, lacks records that it lists, is one for planners, was written by a
#: newer program, or isn't ours.
KINDS = ("unknown", "cut", "damaged", "records-missing", "planners-file", "newer-file", "not-ours")


@dataclass(frozen=True, slots=True)
class Problem:
    """One thing that is wrong.

    where: the field, option or place in a file, as a key in English ("gross", "lots.csv row 3"); ``place`` shows it.
    what: what is wrong, with the value that was met; fix: what to do about it, a whole sentence.
    Both are in the language spoken when the problem is made; a constant text is looked up here.
    record: the id of the record concerned, if there is one.
    kind: what a program may branch on, whatever the language (one of KINDS), or empty.

    >>> print(Problem("tare", "2 kg is more than the gross of 1 kg", "Swap them, or weigh the pail again."))
    tare: 2 kg is more than the gross of 1 kg. Swap them, or weigh the pail again.
    """

    where: str
    what: str
    fix: str
    record: str | None = None
    kind: str = field(default="", compare=False)

    def __post_init__(self) -> None:
        object.__setattr__(self, "what", tr(self.what))
        object.__setattr__(self, "fix", tr(self.fix))

    def __str__(self) -> str:
        return f"{self.place}: {self.what}. {self.fix}".rstrip()

    @property
    def place(self) -> str:
        """Where it is, for people."""
        return named(self.where)

    def as_json(self) -> dict[str, str]:
        """The same as plain data, without empty members."""
        parts = {"where": self.where, "what": self.what, "fix": self.fix, "record": self.record}
        return {name: text for name, text in parts.items() if text}


class FieldAppError(Exception):
    """Anything this program raises on purpose."""


class Refused(FieldAppError):
    """What was asked can't be done as it was typed; ``problems`` says why, nothing was changed."""

    def __init__(self, problems: Iterable[Problem]) -> None:
        self.problems = tuple(problems)
        super().__init__("\n".join(str(problem) for problem in self.problems))


class FolderFault(FieldAppError):
    """The data folder can't be used; ``problem`` says why and what to do. It was not changed."""

    def __init__(self, problem: Problem) -> None:
        self.problem = problem
        super().__init__(str(problem))


class ForeignFolder(FolderFault):
    """The folder holds something that this program did not write."""


class NewerFolder(FolderFault):
    """The folder was written by a newer version of this program."""


class DamagedFolder(FolderFault):
    """The folder is ours, but can't be read."""


class NoRoom(FolderFault):
    """The disk is full, or the folder may not be written."""


def refuse(where: str, what: str, fix: str, *, kind: str = "") -> Refused:
    """A refusal with one problem, to be raised by the caller."""
    return Refused([Problem(where, what, fix, kind=kind)])
