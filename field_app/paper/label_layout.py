"""Where the words of a label stand: as large as all of them fit, and never over its edge.

The law of this file:

1. All words in full come first: the letters are made smaller, down to LEAST_SHARE, before anything is left out.
2. Then cautions are left out from the last; then what it is, how much and when are cut, and until when comes last.
3. No letter is smaller than SMALLEST, but those of a line that is cut anyway.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from field_app.paper.lot_label import LotLabel
from field_app.paper.page import POINT, Page

__all__ = ["INSIDE", "LEAST_SHARE", "SMALLEST", "Row", "code_side", "rows_of"]

#: Between the edge of a label and what is on it [mm].
INSIDE = 2.5
#: Letters become so much smaller at most [1], and no smaller than this [pt].
LEAST_SHARE, SMALLEST = 0.55, 8.0
#: Sizes where there is room for all [pt]: the short code, what it is, how much, when, until when, cautions.
_CODE, _WHAT, _MASS, _WHEN, _USE_BY, _CAUTION = 34.0, 16.0, 14.0, 13.0, 14.0, 11.0
_STEPS = 10
#: Of the height of its letters, a line takes so much [1].
_LINE = 1.18


@dataclass(frozen=True, slots=True)
class Row:
    """One line of words: where its top begins [mm], its size [pt], and how wide it may be [mm]."""

    x: float
    y: float
    text: str
    size: float
    bold: bool
    width: float

    @property
    def bottom(self) -> float:
        """Where it ends [mm]."""
        return self.y + self.size * POINT * _LINE


@dataclass(frozen=True, slots=True)
class _Cut:
    """How much is left out: cautions kept, and lines of what it is, how much, when and until when, at most [1]."""

    cautions: int
    what: int = 99
    mass: int = 99
    when: int = 99
    use_by: int = 99


def code_side(width: float, height: float) -> float:
    """The side of the code with its quiet zone on a label [mm]."""
    return min(0.66 * height, height - 2 * INSIDE, 0.36 * width, 34.0)


def rows_of(page: Page, label: LotLabel, width: float, height: float) -> tuple[Row, ...]:
    """The lines of a label of a width and height [mm], from its upper left corner; page: knows the letters."""
    bottom = height - INSIDE
    found: tuple[Row, ...] = ()
    for cut in _cuts(label):
        for step in range(_STEPS + 1):
            share = 1 - (1 - LEAST_SHARE) * step / _STEPS
            found = tuple(_laid(page, label, width, height, share, cut))
            if all(row.bottom <= bottom for row in found):
                return found
    return tuple(row for row in found if row.bottom <= bottom)


def _cuts(label: LotLabel) -> Iterator[_Cut]:
    for kept in range(len(label.cautions), -1, -1):
        yield _Cut(kept)
    yield from (_Cut(0, *most) for most in ((2, 9, 9, 2), (1, 9, 9, 2), (1, 2, 1, 2), (1, 2, 0, 2), (1, 1, 0, 1)))


def _laid(page: Page, label: LotLabel, width: float, height: float, share: float, cut: _Cut) -> Iterator[Row]:
    side = code_side(width, height)
    left = INSIDE + side + 1
    room, y = width - INSIDE - left, INSIDE
    code = _fitting(page, label.code, _CODE * max(share, 0.6), room)
    row = Row(left, y, label.code, code, True, room)
    yield row
    y = row.bottom
    beside = ((label.what, _WHAT, True, cut.what), (f"{label.mass}, {label.state}", _MASS, True, cut.mass),
              (label.gathered, _WHEN, False, cut.when))
    for text, size, bold, most in beside:
        for row in _lines(page, text, max(SMALLEST, size * share), room, bold, most, left, y):
            yield row
            y = row.bottom
    # Below the code, not beside it: there the whole width is free.
    y = max(y, INSIDE + side - 2) + 0.5
    inside = width - 2 * INSIDE
    cautions = "  ".join(label.cautions[:cut.cautions])
    for text, size, bold, most in ((label.use_by, _USE_BY, True, cut.use_by), (cautions, _CAUTION, False, 99)):
        for row in _lines(page, text, max(SMALLEST, size * share), inside, bold, most, INSIDE, y):
            yield row
            y = row.bottom


def _lines(page: Page, text: str, size: float, width: float, bold: bool, most: int, x: float, y: float
           ) -> Iterator[Row]:
    rows = page.wrapped(text, size, width, bold=bold) if text else ()
    for number, words in enumerate(rows[:most], 1):
        row = Row(x, y, f"{words}…" if number == most < len(rows) else words, size, bold, width)
        yield row
        y = row.bottom


def _fitting(page: Page, text: str, size: float, width: float) -> float:
    """The greatest size up to this one at which a line fits [pt]."""
    wide = page.width_of(text, size, bold=True)
    return size if wide <= width else max(SMALLEST, size * width / wide)
