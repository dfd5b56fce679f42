"""A planner's list of draws, ``draws.csv``: the one table from which something is taken in.

The law of this file:

1. The header is ``draw_id,lot,amount,unit``, and any of ``purpose``, ``by`` and ``when`` after these (RFC 4180).
2. A draw id names a draw for ever, in every list of every planner: so taking a list twice changes nothing.
3. A row that is wrong is told by its number (the header is row 1) and left out; the others are read.
"""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from field_app.core.deeds import DrawForm
from field_app.core.problems import Problem, Refused
from field_app.core.units import UNITS, offered
from field_app.handover.cells import is_risky, read_text, shown
from field_app.handover.faults import Faults
from field_app.words import later, tr

__all__ = ["DRAWS", "HEADER", "PlannedDraw", "is_draws", "read_draws"]

DRAWS = "draws.csv"
HEADER = ("draw_id", "lot", "amount", "unit")
_MORE = ("purpose", "by", "when")
_SAVE = later("Save it as comma-separated UTF-8 text without a byte-order mark, as in RFC 4180.")
_AMOUNT = re.compile(r"[0-9]{1,12}(\.[0-9]{1,12})?\Z")
_COMMA = re.compile(r"[0-9]+,[0-9]+\Z")
_ID = re.compile(r"[A-Za-z0-9][A-Za-z0-9._:-]{0,79}\Z")
_MOST_BYTES, _MOST_ROWS, _LONGEST = 5_000_000, 20_000, 2000


@dataclass(frozen=True, slots=True)
class PlannedDraw:
    """A row: its number, the id or code of the lot, and the draw as a form, whose ref is the planner's id."""

    row: int
    lot: str
    form: DrawForm


def is_draws(data: bytes, name: str) -> bool:
    """Whether a file looks like a list of draws."""
    return name.lower().endswith(".csv") or data.lstrip(b"\xef\xbb\xbf").startswith(b"draw_id")


def read_draws(data: bytes, where: str = DRAWS) -> tuple[tuple[PlannedDraw, ...], tuple[Problem, ...]]:
    r"""The draws of a list, and all that is wrong with it, each by its row.

    >>> draws, problems = read_draws(b"draw_id,lot,amount,unit\r\n2026-7,4K7Q,2.5,kg\r\n")
    >>> draws[0].lot, draws[0].form.amount, draws[0].form.ref
    ('4K7Q', '2.5 kg', '2026-7')
    """
    faults = Faults()
    rows = _rows(data, where, faults)
    header = next(rows, None)
    found: dict[str, PlannedDraw] = {}
    if header is not None and _header_is_right(header, where, faults):
        for number, cells in enumerate(rows, 2):
            place = f"{where} row {number}"
            if number > _MOST_ROWS:
                faults.add(place, tr("is beyond the {most:,} rows that are read", most=_MOST_ROWS),
                           tr("Part the list."))
                break
            if len(cells) != len(header):
                faults.add(place, tr("has {count} cells, the header has {header}", count=len(cells),
                                     header=len(header)), _SAVE)
                continue
            draw = _draw(number, place, dict(zip(header, cells, strict=True)), faults)
            if draw is None:
                continue
            if draw.form.ref in found:
                faults.add(f"{place}, draw_id",
                           tr("{shown} is also in row {row}", shown=shown(draw.form.ref),
                              row=found[draw.form.ref].row),
                           tr("Give each draw an id of its own."))
                continue
            found[draw.form.ref] = draw
    return tuple(found.values()), faults.problems


def _rows(data: bytes, where: str, faults: Faults) -> Iterator[list[str]]:
    if len(data) > _MOST_BYTES:
        faults.add(where, tr("is {count:,} bytes; at most {most:,} are read", count=len(data),
                             most=_MOST_BYTES), tr("Part the list."))
        return
    if data.startswith(b"\xef\xbb\xbf"):
        faults.add(where, tr("starts with a byte-order mark"), _SAVE)
        return
    try:
        text = data.decode("utf-8")
    except UnicodeDecodeError as error:
        line = data.count(b"\n", 0, error.start) + 1
        faults.add(f"{where} line {line}", tr("byte 0x{byte:02X} is not UTF-8", byte=data[error.start]), _SAVE)
        return
    if not text.strip():
        faults.add(where, tr("is empty"), tr("Begin it with the header {header}.", header=",".join(HEADER)))
        return
    rows = csv.reader(io.StringIO(text, newline=""), strict=True)
    number = 0
    try:
        for number, cells in enumerate(rows, 1):  # noqa: B007  # the number is told if the next row breaks
            yield cells
    except csv.Error as error:
        faults.add(f"{where} row {number + 1}", tr("can't be read ({error})", error=error), _SAVE)


def _header_is_right(header: Sequence[str], where: str, faults: Faults) -> bool:
    due = tr("Begin the list with {header}; {more} may follow.", header=",".join(HEADER), more=", ".join(_MORE))
    if len(header) == 1 and any(sign in header[0] for sign in ";\t"):
        faults.add(f"{where} row 1", tr("is parted by semicolons or tabs, not commas"), _SAVE)
    elif tuple(header[:len(HEADER)]) != HEADER:
        faults.add(f"{where} row 1", tr("is {shown}", shown=shown(",".join(header), 80)), due)
    elif odd := [name for place, name in enumerate(header) if name not in (*HEADER, *_MORE) or name in header[:place]]:
        faults.add(f"{where} row 1, {shown(odd[0])}",
                   tr("is not a column of a list of draws, or there twice"), due)
    else:
        return True
    return False


def _draw(number: int, place: str, cells: Mapping[str, str], faults: Faults) -> PlannedDraw | None:
    found = [*_cell_faults(place, cells)]
    if not found:
        found = [*_value_faults(place, cells)]
    if found:
        faults.take(Refused(found))
        return None
    form = DrawForm(amount=f"{cells['amount']} {UNITS[cells['unit']].label}", ref=cells["draw_id"],
                    purpose=read_text(cells.get("purpose", "")), by=read_text(cells.get("by", "")),
                    at=read_text(cells.get("when", "")))
    return PlannedDraw(number, cells["lot"], form)


def _cell_faults(place: str, cells: Mapping[str, str]) -> Iterator[Problem]:
    for name, cell in cells.items():
        if name in HEADER and not cell:
            yield Problem(f"{place}, {name}", tr("is empty"), tr("Every row needs it."))
        elif len(cell) > _LONGEST or any(ord(sign) < 32 for sign in cell):
            yield Problem(f"{place}, {name}", tr("is too long, or holds signs that can't be shown"), tr("Shorten it."))
        elif name in _MORE and is_risky(cell) and not cell.startswith("'"):
            yield Problem(f"{place}, {name}", tr("{shown} would be run as a formula by a spreadsheet",
                                                 shown=shown(cell)),
                          tr("Put a ' before it."))


def _value_faults(place: str, cells: Mapping[str, str]) -> Iterator[Problem]:
    if not _ID.match(cells["draw_id"]):
        yield Problem(f"{place}, draw_id", tr("{shown} is not an id", shown=shown(cells["draw_id"])),
                      tr("Use letters, digits, points, colons and hyphens, 80 at most."))
    if not _AMOUNT.match(cells["amount"]):
        fix = (tr("Write a decimal point, as in 5.5.") if _COMMA.match(cells["amount"])
               else tr("Write digits with a decimal point; the unit has its own column."))
        yield Problem(f"{place}, amount", tr("{shown} is not a number", shown=shown(cells["amount"])),
                      fix)
    units = (*offered("mass"), *offered("volume"))
    if cells["unit"] not in units:
        yield Problem(f"{place}, unit", tr("{shown} is not one of {choices}", shown=shown(cells["unit"]),
                                           choices=", ".join(units)),
                      tr("Choose one of them."))
