"""A page to draw on: sizes in millimetres, the standard's own fonts, text that never leaves its box.

The fonts are the ones that every reader of PDF has (ISO 32000-1, 9.6.2.2), so nothing has to be embedded; they know
the letters of Western Europe. Other letters are told by their nearest of those, or by a question mark.
"""

from __future__ import annotations

import datetime as dt
import io
import unicodedata
from collections.abc import Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import Literal

from field_app.core.problems import refuse
from field_app.core.units import UNITS
from field_app.paper.metrics import width_of
from field_app.words import later, tr

__all__ = ["PAPERS", "Page", "Paper", "pdf_name", "printable"]

Paper = Literal["A4", "Letter"]
#: Sizes of paper, width and height [mm]: ISO 216, and ANSI/ASME Y14.1.
PAPERS: dict[Paper, tuple[float, float]] = {"A4": (210.0, 297.0), "Letter": (215.9, 279.4)}
#: A point [mm].
POINT = 25.4 / 72
#: How far the handles of a quarter of a circle reach, drawn as a Bézier curve: 4 (sqrt 2 - 1) / 3 [of its radius].
_ARM = 0.5523
_UNITS = frozenset({"%", *(unit.label for unit in UNITS.values())})
_LEAST = 7.0  # points: smaller is not read with wet glasses
_INSTEAD = {"≤": later("at most "), "≥": later("at least "), "−": "-", "→": later("to"), "\u2009": " ", "\u202f": " ",
            "ₑ": "e", "⁰": "0"}


def pdf_name(file: Path) -> Path:
    """The same name. Raises Refused (where="FILE") if it is not one of a PDF."""
    if file.suffix.lower() != ".pdf":
        raise refuse("FILE", tr("{name} is no name for a PDF", name=file.name),
                     tr("Let it end in .pdf, such as labels.pdf."))
    return file


def printable(text: str) -> str:
    """The text in letters that the fonts know.

    >>> printable("Łódź – 8 °C, ≥ 2"), printable("日")
    ('Lódz – 8 °C, at least  2', '?')
    """
    found = []
    for sign in text:
        for one in tr(_INSTEAD[sign]) if sign in _INSTEAD else sign:
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


def _together(words: Sequence[str]) -> Sequence[str]:
    """The words, each figure in one with its unit, so that no line ends between them.

    >>> _together(["came", "to", "16.9", "kg:", "5", "(4–6)"])
    ['came', 'to', '16.9 kg:', '5', '(4–6)']
    >>> _together(["(±", "2", "days)"])
    ['(± 2', 'days)']
    """
    found: list[str] = []
    for word in words:
        if found and (found[-1][-1] == "±" or (found[-1][-1].isdigit() and word.rstrip(".,:;)") in _UNITS)):
            found[-1] += f" {word}"
        else:
            found.append(word)
    return found


def _number(value: float) -> str:
    return f"{value:.3f}".rstrip("0").rstrip(".")


@dataclass(slots=True)
class Page:
    """A document of one size of page [mm]; x and y are from its upper left corner [mm].

    title: for whoever looks at its properties; made: when, with its offset.
    """

    width: float
    height: float
    title: str
    made: dt.datetime
    _pages: list[list[str]] = field(default_factory=list)

    def new(self) -> None:
        """Begin a page."""
        self._pages.append([])

    def _put(self, operators: str) -> None:
        self._pages[-1].append(operators)

    def _at(self, x: float, y: float) -> str:
        """A point, as the document counts it: in points from the lower left corner."""
        return f"{_number(x / POINT)} {_number((self.height - y) / POINT)}"

    def width_of(self, text: str, size: float, *, bold: bool = False) -> float:
        """How wide a line of text is [mm] at a size [pt]."""
        return width_of(printable(text).encode("cp1252"), bold=bold) * size * POINT

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
        self._text(left, y + 0.78 * size * POINT, text, size, bold=bold)
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
        for word in _together(printable(text).split()):
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

    def _text(self, x: float, y: float, text: str, size: float, *, bold: bool) -> None:
        sign = text.encode("cp1252")
        self._put(f"BT /{'B' if bold else 'R'} {_number(size)} Tf {self._at(x, y)} Td <{sign.hex()}> Tj ET")

    def rule(self, x: float, y: float, width: float, *, thick: float = 0.25) -> None:
        """A level line [mm]."""
        self._put(f"{_number(thick / POINT)} w {self._at(x, y)} m {self._at(x + width, y)} l S")

    def box(self, x: float, y: float, width: float, height: float, *, thick: float = 0.2) -> None:
        """A frame [mm]."""
        self._put(f"{_number(thick / POINT)} w {self._rectangle(x, y, width, height)} S")

    def fill(self, x: float, y: float, width: float, height: float, *, grey: float = 0.0) -> None:
        """A filled rectangle [mm]; grey: 0 is black, 1 white."""
        filled = f"{self._rectangle(x, y, width, height)} f"
        self._put(f"q {_number(grey)} g {filled} Q" if grey else filled)

    def upright(self, x: float, y: float, height: float, *, thick: float = 0.25) -> None:
        """A line straight down [mm]."""
        self._put(f"{_number(thick / POINT)} w {self._at(x, y)} m {self._at(x, y + height)} l S")

    def dot(self, x: float, y: float, radius: float, *, full: bool = True) -> None:
        """A dot with its middle at x and y, or a ring on white [mm]."""
        arm = radius * _ARM
        corners = ((0, -radius), (arm, -radius, radius, -arm, radius, 0), (radius, arm, arm, radius, 0, radius),
                   (-arm, radius, -radius, arm, -radius, 0), (-radius, -arm, -arm, -radius, 0, -radius))
        start, *curves = (" ".join(self._at(x + one[at], y + one[at + 1]) for at in range(0, len(one), 2))
                          for one in corners)
        path = f"{start} m {' c '.join(curves)} c h"
        self._put(f"{path} f" if full else f"q 1 g {_number(0.45 / POINT)} w {path} B Q")

    def _rectangle(self, x: float, y: float, width: float, height: float) -> str:
        return f"{self._at(x, y + height)} {_number(width / POINT)} {_number(height / POINT)} re"

    def data(self) -> bytes:
        """The document, the same for the same pages."""
        import pydyf

        pdf = pydyf.PDF()
        pdf.info["Title"] = pydyf.String(printable(self.title))
        pdf.info["Creator"] = pdf.info["Producer"] = pydyf.String("field-app")
        pdf.info["CreationDate"] = pydyf.String(f"D:{self.made.astimezone(dt.UTC):%Y%m%d%H%M%S}Z")
        fonts = pydyf.Dictionary({name: pydyf.Dictionary({
            "Type": "/Font", "Subtype": "/Type1", "BaseFont": f"/{base}", "Encoding": "/WinAnsiEncoding"})
            for name, base in (("R", "Helvetica"), ("B", "Helvetica-Bold"))})
        for operators in self._pages:
            stream = pydyf.Stream([line.encode("ascii") for line in operators], compress=True)
            pdf.add_object(stream)
            pdf.add_page(pydyf.Dictionary({
                "Type": "/Page", "Parent": pdf.pages.reference, "Contents": stream.reference,
                "MediaBox": pydyf.Array([0, 0, round(self.width / POINT, 3), round(self.height / POINT, 3)]),
                "Resources": pydyf.Dictionary({"ProcSet": pydyf.Array(["/PDF", "/Text"]), "Font": fonts})}))
        out = io.BytesIO()
        pdf.write(out)
        return out.getvalue()
