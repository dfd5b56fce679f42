"""A pen that goes down a page and on to the next one, so that nothing is ever written over the edge."""

from __future__ import annotations

from dataclasses import dataclass

from field_app.paper.page import Page
from field_app.words import tr

__all__ = ["BODY", "HEAD", "SIDE", "SMALL", "TOP", "Flow"]

#: Free margins at the sides, and above and below [mm].
SIDE, TOP = 14.0, 12.0
#: Sizes of letters: of a heading, of text, of small text [pt].
HEAD, BODY, SMALL = 11.0, 9.5, 8.5


@dataclass(slots=True)
class Flow:
    """Where the pen is on a page [mm]; title: stands above every page but the first."""

    page: Page
    title: str
    y: float = 0.0
    pages: int = 0

    @property
    def width(self) -> float:
        """Between the margins [mm]."""
        return self.page.width - 2 * SIDE

    def begin(self) -> None:
        """Begin a page."""
        self.page.new()
        self.pages += 1
        self.y = TOP
        if self.pages > 1:
            words = tr("{title}, page {number}", title=self.title, number=self.pages)
            self.y += self.page.line(SIDE, self.y, words, SMALL, width=self.width) + 1

    def room(self, height: float) -> None:
        """Go on to a next page if so much doesn't fit any more [mm]."""
        if self.y + height > self.page.height - TOP:
            self.begin()

    def head(self, text: str, follows: float = 8.0) -> None:
        """A heading with a line below, on the page of what follows it [mm]."""
        rows = self.page.wrapped(text, HEAD, self.width, bold=True)
        self.room(2.5 + 4.6 * len(rows) + follows)
        self.y += 2.0
        for row in rows:
            self.y += self.page.line(SIDE, self.y, row, HEAD, width=self.width, bold=True, least=HEAD)
        self.page.rule(SIDE, self.y, self.width, thick=0.3)
        self.y += 1.0

    def text(self, text: str, size: float = BODY, *, bold: bool = False, x: float = 0.0) -> None:
        """Text on as many lines as it takes, set in by x [mm]; size: of the letters [pt]."""
        for row in self.page.wrapped(text, size, self.width - x, bold=bold):
            self.room(4.5)
            self.y += self.page.line(SIDE + x, self.y, row, size, width=self.width - x, bold=bold, least=size)

    def pair(self, left: str, right: str, at: float, size: float = BODY) -> None:
        """Something on the left, and its text beside it from ``at`` [mm] on, both on as many lines as they take."""
        names = self.page.wrapped(left, size, at - 2, bold=True)
        rows = self.page.wrapped(right, size, self.width - at)
        for number in range(max(len(names), len(rows))):
            self.room(4.2)
            high = 0.0
            if number < len(names):
                high = self.page.line(SIDE, self.y, names[number], size, width=at - 2, bold=True, least=size)
            if number < len(rows):
                high = self.page.line(SIDE + at, self.y, rows[number], size, width=self.width - at, least=size)
            self.y += high
