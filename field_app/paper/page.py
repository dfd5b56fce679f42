"""A page to draw on: sizes in millimetres, the standard's own fonts, text that never leaves its box.

The fonts are the ones that every reader of PDF has (ISO 32000-1, 9.6.2.2), so nothing has to be embedded; they know
the letters of Western Europe. Other letters are told by their nearest of those, or by a question mark.
"""

from __future__ import annotations

import datetime as dt
import unicodedata
import warnings
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

if TYPE_CHECKING:
    from fpdf import FPDF

__all__ = ["PAPERS", "Page", "Paper", "printable"]

Paper = Literal["A4", "Letter"]
#: Sizes of paper, width and height [mm]: ISO 216, and ANSI/ASME Y14.1.
PAPERS: dict[Paper, tuple[float, float]] = {"A4": (210.0, 297.0), "Letter": (215.9, 279.4)}
#: A point [mm].
POINT = 25.4 / 72
_LEAST = 7.0  # points: smaller is not read with wet glasses
_INSTEAD = {"≤": "at most ", "≥": "at least ", "−": "-", "→": "to", "\u2009": " ", "\u202f": " ", "ₑ": "e", "⁰": "0"}


def printable(text: str) -> str:
    """The text in letters that the fonts know.

    >>> printable("Łódź – 8 °C, ≥ 2"), printable("日")
    ('Lódz – 8 °C, at least  2', '?')
    """
    found = []
    for sign in text:
        for one in _INSTEAD.get(sign, sign):
            found.append(_known(one))
    return "".join(found)


def _known(sign: str) -> str:
    try:
        sign.encode("cp1252")
    except UnicodeEncodeError:
        # A letter with a mark that the font lacks is read without it; Ł and its like are no such letters to Unicode.
        plain = unicodedata.normalize("NFKD", sign)[0]
        plain = {"Ł": "L", "ł": "l", "Đ": "D", "đ": "d", "ı": "i"}.get(plain, plain)
        try:
            plain.encode("cp1252")
        except UnicodeEncodeError:
            return "?"
        return plain
    return sign


@dataclass(slots=True)
class Page:
    """A document of one size of page [mm]; x and y are from its upper left corner [mm]."""

    width: float
    height: float
    pdf: FPDF

    @classmethod
    def of(cls, width: float, height: float, *, title: str, made: dt.datetime) -> Page:
        """An empty document. title: for whoever looks at its properties; made: when, with its offset."""
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")  # it warns that it can't put in photographs where Pillow is missing
            from fpdf import FPDF
        pdf = FPDF(unit="mm", format=(width, height))
        pdf.set_auto_page_break(False)
        pdf.set_margin(0)
        pdf.core_fonts_encoding = "windows-1252"
        pdf.set_title(printable(title))
        pdf.set_creator("field-app")
        pdf.set_producer("field-app")
        pdf.set_creation_date(made)
        return cls(width, height, pdf)

    def new(self) -> None:
        """Begin a page."""
        self.pdf.add_page()

    def width_of(self, text: str, size: float, *, bold: bool = False) -> float:
        """How wide a line of text is [mm] at a size [pt]."""
        self.pdf.set_font("helvetica", "B" if bold else "", size)
        return float(self.pdf.get_string_width(printable(text)))

    def line(self, x: float, y: float, text: str, size: float, *, width: float, bold: bool = False,
             least: float = _LEAST, right: bool = False) -> float:
        """One line of text with its top at y, made smaller until it fits the width [mm], then cut; gives its height.

        size, least: of the letters [pt]; right: whether it ends at x + width.
        """
        text = printable(text)
        while size > least and self.width_of(text, size, bold=bold) > width:
            size -= 0.5
        if self.width_of(text, size, bold=bold) > width:
            while text and self.width_of(f"{text}…", size, bold=bold) > width:
                text = text[:-1]
            text = f"{text}…"
        left = x + width - self.width_of(text, size, bold=bold) if right else x
        # The baseline of these fonts lies at 0.78 of the line's height below its top.
        self.pdf.text(left, y + 0.78 * size * POINT, text)
        return size * POINT * 1.18

    def lines(self, x: float, y: float, text: str, size: float, *, width: float, most: int = 99,
              bold: bool = False) -> float:
        """Text on as many lines as it takes, the last of ``most`` cut; gives its height [mm]."""
        start, rows = y, self.wrapped(text, size, width, bold=bold)
        for number, row in enumerate(rows[:most], 1):
            more = number == most and len(rows) > most
            y += self.line(x, y, f"{row}…" if more else row, size, width=width, bold=bold, least=size)
        return y - start

    def wrapped(self, text: str, size: float, width: float, *, bold: bool = False) -> Sequence[str]:
        """The text broken into lines of a width [mm]; a word that is too long is broken too."""
        rows = [""]
        for word in printable(text).split():
            trial = f"{rows[-1]} {word}".strip()
            if self.width_of(trial, size, bold=bold) <= width:
                rows[-1] = trial
                continue
            if rows[-1]:
                rows.append("")
            part = word
            while self.width_of(part, size, bold=bold) > width and len(part) > 1:
                cut = len(part) - 1
                while cut > 1 and self.width_of(part[:cut], size, bold=bold) > width:
                    cut -= 1
                rows[-1] = part[:cut]
                rows.append("")
                part = part[cut:]
            rows[-1] = part
        return rows

    def rule(self, x: float, y: float, width: float, *, thick: float = 0.25) -> None:
        """A level line [mm]."""
        self.pdf.set_line_width(thick)
        self.pdf.line(x, y, x + width, y)

    def box(self, x: float, y: float, width: float, height: float, *, thick: float = 0.2) -> None:
        """A frame [mm]."""
        self.pdf.set_line_width(thick)
        self.pdf.rect(x, y, width, height)

    def fill(self, x: float, y: float, width: float, height: float) -> None:
        """A black rectangle [mm]."""
        self.pdf.set_fill_color(0, 0, 0)
        self.pdf.rect(x, y, width, height, style="F")

    def data(self) -> bytes:
        """The document."""
        return bytes(self.pdf.output())
