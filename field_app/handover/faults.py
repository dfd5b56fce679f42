"""Collects what is wrong with a file, up to a limit, and what is only worth knowing."""

from __future__ import annotations

from field_app.core.problems import Problem, Refused
from field_app.words import later, tr

__all__ = ["ASK", "Faults"]

ASK = later("Ask whoever made the file for a new copy.")
#: More than these help nobody to mend a file.
MOST = 200
#: After so many more, reading on would only cost time.
HOPELESS = 10_000


class Faults:
    """Faults and notes in the order in which they were met; beyond the limit they are only counted.

    >>> faults = Faults()
    >>> faults.add("lots.csv row 3, tare", "is more than gross")
    >>> print(*faults.problems)
    lots.csv row 3, tare: is more than gross. Ask whoever made the file for a new copy.
    """

    def __init__(self) -> None:
        self._problems: list[Problem] = []
        self._notes: list[Problem] = []
        self._beyond = 0

    def add(self, where: str, what: str, fix: str = ASK, record: str | None = None, *, kind: str = "") -> None:
        """Say that something is wrong."""
        self._keep(Problem(where, what, fix, record, kind))

    def take(self, refused: Refused) -> None:
        """Say what somebody else found wrong."""
        for problem in refused.problems:
            self._keep(problem)

    def note(self, where: str, what: str, fix: str) -> None:
        """Say something that is worth knowing, but not wrong."""
        if len(self._notes) < MOST:
            self._notes.append(Problem(where, what, fix))

    def _keep(self, problem: Problem) -> None:
        if len(self._problems) < MOST:
            self._problems.append(problem)
        else:
            self._beyond += 1

    @property
    def hopeless(self) -> bool:
        """Whether so much is wrong that reading on is of no use."""
        return self._beyond >= HOPELESS

    @property
    def problems(self) -> tuple[Problem, ...]:
        """Everything that is wrong."""
        if not self._beyond:
            return tuple(self._problems)
        words = (tr("has {count} more faults and was not read to its end", count=self._beyond) if self.hopeless
                 else tr("has {count} more faults like these", count=self._beyond))
        return (*self._problems, Problem("file", words, ASK))

    @property
    def notes(self) -> tuple[Problem, ...]:
        """Everything that is worth knowing."""
        return tuple(self._notes)
