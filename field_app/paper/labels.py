"""Labels for pails: several on a sheet of A4 or Letter, or one on a page of its own, as PDF."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass

from field_app.core.problems import Problem, Refused
from field_app.paper.label_layout import INSIDE, code_side, rows_of
from field_app.paper.lot_label import LotLabel
from field_app.paper.page import PAPERS, Page, Paper
from field_app.paper.qr import draw_code
from field_app.words import either, tr

__all__ = ["LEAST", "SINGLE", "Grid", "labels_pdf"]

#: The size of a label that stands alone [mm].
SINGLE = (100.0, 60.0)
#: The smallest label on which the code is still read and the words are [mm].
LEAST = (62.0, 32.0)


@dataclass(frozen=True, slots=True)
class Grid:
    """How labels lie on a sheet: columns and rows [1], free margins left/right and top/bottom, and gaps [mm].

    Raises Refused if the labels would be smaller than can be read, or don't fit.

    >>> Grid().size
    (97.0, 53.4)
    """

    paper: Paper = "A4"
    columns: int = 2
    rows: int = 5
    side: float = 8.0
    top: float = 15.0
    gap: float = 0.0

    def __post_init__(self) -> None:
        found = []
        if self.paper not in PAPERS:
            found.append(Problem("paper", tr("{paper!r:.20} is not known", paper=self.paper),
                                 tr("Choose {papers}.", papers=either(list(PAPERS)))))
        if not (1 <= self.columns <= 6 and 1 <= self.rows <= 12):
            found.append(Problem("labels", tr("{columns} x {rows} don't go on a sheet", columns=self.columns,
                                              rows=self.rows),
                                 tr("Take 1 to 6 beside each other and 1 to 12 below each other.")))
        if not (0 <= self.side <= 60 and 0 <= self.top <= 60 and 0 <= self.gap <= 30):
            found.append(Problem("margins", tr("are wider than a sheet allows"),
                                 tr("Give up to 60 mm, gaps up to 30 mm.")))
        if found:
            raise Refused(found)
        width, height = self.size
        if width < LEAST[0] or height < LEAST[1]:
            raise Refused([Problem("labels", tr("of {width:.0f} x {height:.0f} mm are too small to be read wet",
                                                width=width, height=height),
                                   tr("Take fewer on a sheet: {width:.0f} x {height:.0f} mm at least.",
                                      width=LEAST[0], height=LEAST[1]))])

    @property
    def size(self) -> tuple[float, float]:
        """Width and height of a label [mm]."""
        width, height = PAPERS[self.paper]
        across = width - 2 * self.side - (self.columns - 1) * self.gap
        down = height - 2 * self.top - (self.rows - 1) * self.gap
        return across / self.columns, down / self.rows

    @property
    def count(self) -> int:
        """Labels on a sheet [1]."""
        return self.columns * self.rows


def labels_pdf(labels: Sequence[LotLabel], *, made: dt.datetime, grid: Grid | None = None, skip: int = 0) -> bytes:
    """The labels as PDF. grid: on sheets, or None for a page of its own each; skip: places used up already [1].

    Raises Refused for no label at all, or for more places skipped than a sheet has.
    """
    if not labels:
        raise Refused([Problem("lots", tr("none is named"), tr("Name the lots that need a label."))])
    title = tr("Labels: {codes}", codes=", ".join(label.code for label in labels))
    if grid is None:
        page = Page(*SINGLE, title, made)
        for label in labels:
            page.new()
            _draw(page, label, 0.0, 0.0, *SINGLE)
        return page.data()
    if not 0 <= skip < grid.count:
        raise Refused([Problem("skip", tr("a sheet has {count} places, {skip} can't be skipped", count=grid.count,
                                          skip=skip),
                               tr("Give 0 to {count}.", count=grid.count - 1))])
    page = Page(*PAPERS[grid.paper], title, made)
    width, height = grid.size
    for place, label in enumerate(labels, skip):
        at = place % grid.count
        if at == 0 or place == skip:
            page.new()
        down, along = divmod(at, grid.columns)
        x, y = grid.side + along * (width + grid.gap), grid.top + down * (height + grid.gap)
        page.box(x, y, width, height, thick=0.1)
        _draw(page, label, x, y, width, height)
    return page.data()


def _draw(page: Page, label: LotLabel, x: float, y: float, width: float, height: float) -> None:
    """One label: the code on the left, words beside and below it."""
    draw_code(page, label.urn, x + INSIDE - 1, y + INSIDE - 1, code_side(width, height))
    for row in rows_of(page, label, width, height):
        page.line(x + row.x, y + row.y, row.text, row.size, width=row.width + 0.01, bold=row.bold, least=row.size)
