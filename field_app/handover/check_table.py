"""Checks a CSV file row by row; the header is row 1.

Each cell is checked for itself, then the cells of a row against each other.
"""

from __future__ import annotations

import csv
import datetime as dt
import io
import re
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from decimal import Decimal

from field_app.core.units import factor_si
from field_app.handover.cells import Cell, is_risky, read_text, shown
from field_app.handover.check_descriptor import Described, read_moment_text
from field_app.handover.columns import RANGES, Column, Table
from field_app.handover.faults import Faults
from field_app.words import later, tr

__all__ = ["CheckedRow", "read_table"]

_NUMBER = re.compile(r"[+-]?[0-9]{1,15}(\.[0-9]{1,15})?\Z")
_COMMA = re.compile(r"[+-]?[0-9]+,[0-9]+\Z")
_DAY = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}\Z")
LONGEST = 4000
MOST_ROWS = 1_000_000
MOST_COLUMNS = 1000
_SAVE = later("Save it as comma-separated UTF-8 text without a byte-order mark, as in RFC 4180.")
#: What a basis needs to have been measured.
_NEEDS = {"weighed": ("gross",), "counted": ("count",), "poured": ("pails", "pail")}


@dataclass(frozen=True, slots=True)
class CheckedRow:
    """A row: its number, its cells as they stand, and the values of those that could be read."""

    number: int
    cells: Mapping[str, str]
    values: Mapping[str, Cell | dt.date]

    def has(self, name: str) -> bool:
        """Whether the cell is there and not empty."""
        return bool(self.cells.get(name))


def read_table(table: Table, data: bytes, described: Described, faults: Faults) -> list[CheckedRow]:
    """The rows of a table that could be read; all faults are told."""
    fields = described.fields.get(table.name, {})
    rows = _rows(table.path, data, faults)
    header = next(rows, None)
    if header is None:
        faults.add(table.path, tr("has no header"), _SAVE)
        return []
    if len(header) > MOST_COLUMNS:
        faults.add(f"{table.path} row 1", tr("has {count:,} columns; at most {most:,} are read",
                                             count=len(header), most=MOST_COLUMNS))
        return []
    if header != list(fields):
        _header_fault(table.path, header, fields, faults)
    keys: dict[str, int] = {}
    checked = []
    for number, cells in enumerate(rows, 2):
        where = f"{table.path} row {number}"
        if number > MOST_ROWS:
            faults.add(where, tr("is beyond the {most:,} rows that are read", most=MOST_ROWS))
        if number > MOST_ROWS or faults.hopeless:
            break
        if len(cells) != len(header):
            faults.add(where, tr("has {count} cells, the header has {header}", count=len(cells), header=len(header)),
                       _SAVE)
            continue
        row = _row(number, where, dict(zip(header, cells, strict=True)), fields, faults)
        key = row.cells.get(table.key, "")
        if key and key in keys:
            faults.add(f"{where}, {table.key}", tr("{shown} is also in row {row}", shown=shown(key, 60),
                                                   row=keys[key]),
                       tr("Take one of the two out."), key)
        keys.setdefault(key, number)
        _together(where, row, described, faults)
        checked.append(row)
    return checked


def _rows(path: str, data: bytes, faults: Faults) -> Iterator[list[str]]:
    if data.startswith(b"\xef\xbb\xbf"):
        faults.add(path, tr("starts with a byte-order mark"), _SAVE)
        data = data[3:]
    try:
        text = data.decode("utf-8")
    except UnicodeDecodeError as error:
        line = data.count(b"\n", 0, error.start) + 1
        faults.add(f"{path} line {line}", tr("byte 0x{byte:02X} is not UTF-8", byte=data[error.start]), _SAVE)
        return
    if "\n" in text and "\r\n" not in text:
        faults.note(path, tr("ends its lines with LF only, RFC 4180 has CR LF"), tr("Nothing has to be done."))
    reader = csv.reader(io.StringIO(text, newline=""), strict=True)
    number = 0
    try:
        for number, cells in enumerate(reader, 1):  # noqa: B007  # the number is told if the next row breaks
            yield cells
    except csv.Error as error:
        faults.add(f"{path} row {number + 1}", tr("can't be read ({error})", error=error), _SAVE)


def _header_fault(path: str, header: list[str], fields: Mapping[str, Column | None], faults: Faults) -> None:
    where = f"{path} row 1"
    if len(header) == 1 and len(fields) > 1 and any(sign in header[0] for sign in ";\t"):
        faults.add(where, tr("is parted by semicolons or tabs, not commas"), _SAVE)
        return
    missing = [name for name in fields if name not in header]
    extra = [name for name in header if name not in fields]
    twice = sorted({name for name in header if header.count(name) > 1})
    for name in missing:
        faults.add(f"{where}, {name if fields[name] else shown(name)}", tr("this column is missing"))
    for name in extra:
        faults.add(f"{where}, {shown(name)}", tr("this column is not described in datapackage.json"),
                   tr("Describe it there, or take it out."))
    for name in twice:
        faults.add(f"{where}, {shown(name)}", tr("this column is there twice"), tr("Take one of the two out."))
    if not (missing or extra or twice):
        faults.add(where, tr("has its columns in another order than datapackage.json"),
                   tr("Put them back in that order."))


def _row(number: int, where: str, cells: dict[str, str], fields: Mapping[str, Column | None],
         faults: Faults) -> CheckedRow:
    values: dict[str, Cell | dt.date] = {}
    for name, cell in cells.items():
        column = fields.get(name)
        place = f"{where}, {name if column else shown(name)}"
        if len(cell) > LONGEST:
            faults.add(place, tr("has {count:,} signs; at most {most:,} are read", count=len(cell),
                                 most=LONGEST), tr("Shorten it."))
        elif is_risky(cell) and not cell.startswith("'") and not _NUMBER.match(cell):
            faults.add(place, tr("{shown} would be run as a formula by a spreadsheet", shown=shown(cell)),
                       tr("Put a ' before it."))
        elif column is None:
            continue
        elif cell == "":
            if column.required:
                faults.add(place, tr("is empty"), tr("Every row needs it."))
        else:
            value = _READ[column.type](cell, column, place, faults)
            if value is not None:
                values[name] = value
    return CheckedRow(number, cells, values)


def _text(cell: str, column: Column, place: str, faults: Faults) -> str | None:
    text = read_text(cell)
    if column.values and text not in column.values:
        faults.add(place, tr("{shown} is not one of {choices}", shown=shown(text), choices=", ".join(column.values)),
                   tr("Choose one of them."))
        return None
    if column.pattern and not re.fullmatch(column.pattern, text):
        faults.add(place, tr("{shown} does not have the form {pattern}", shown=shown(text), pattern=column.pattern))
        return None
    return text


def _number(cell: str, column: Column, place: str, faults: Faults) -> Decimal | None:
    if not _NUMBER.match(cell):
        fix = (tr("Write a decimal point, as in 5.5.") if _COMMA.match(cell)
               else tr("Write digits with a decimal point, without unit, exponent or thousands sign."))
        faults.add(place, tr("{shown} is not a number", shown=shown(cell)), fix)
        return None
    value = Decimal(cell)
    if column.minimum is not None and value < Decimal(str(column.minimum)):
        faults.add(place, tr("{cell} is less than {least:g}", cell=cell, least=column.minimum))
        return None
    if column.maximum is not None and value > Decimal(str(column.maximum)):
        faults.add(place, tr("{cell} is more than {most:g}", cell=cell, most=column.maximum))
        return None
    return value


def _whole(cell: str, column: Column, place: str, faults: Faults) -> Decimal | None:
    if _NUMBER.match(cell) and "." in cell:
        faults.add(place, tr("{shown} is not a whole number", shown=shown(cell)), tr("Write digits only."))
        return None
    return _number(cell, column, place, faults)


def _moment(cell: str, _: Column, place: str, faults: Faults) -> str | None:
    if read_moment_text(cell) is None:
        faults.add(place, tr("{shown} is not a date and time with its offset", shown=shown(cell)),
                   tr("Write it as in 2026-10-08T15:24:00-02:00."))
        return None
    return cell


def _day(cell: str, _: Column, place: str, faults: Faults) -> dt.date | None:
    try:
        if _DAY.match(cell):
            return dt.date.fromisoformat(cell)
    except ValueError:
        pass
    faults.add(place, tr("{shown} is not a day", shown=shown(cell)), tr("Write it as in 2026-10-08."))
    return None


_READ: Mapping[str, Callable[[str, Column, str, Faults], Cell | dt.date]] = {
    "string": _text, "number": _number, "integer": _whole, "datetime": _moment, "date": _day}


def _together(where: str, row: CheckedRow, described: Described, faults: Faults) -> None:
    for name in RANGES:
        _in_order(where, row, name, faults)
    earliest, latest = row.values.get("use_by_earliest"), row.values.get("use_by_latest")
    if isinstance(earliest, dt.date) and isinstance(latest, dt.date) and latest < earliest:
        faults.add(f"{where}, use_by_latest",
                   tr("{latest} is before use_by_earliest, {earliest}", latest=latest,
                      earliest=earliest))
    for name in ("gross", "tare", "pail"):
        if row.has(name) != row.has(f"{name}_unit"):
            there, lost = (name, f"{name}_unit") if row.has(name) else (f"{name}_unit", name)
            faults.add(f"{where}, {lost}", tr("is empty, but {there} is not", there=there),
                       tr("A number and its unit go together."))
    _tare(where, row, faults)
    for name in _NEEDS.get(row.cells.get("basis", ""), ()):
        if not row.has(name):
            faults.add(f"{where}, {name}", tr("is empty, but basis is {basis}", basis=row.cells["basis"]))
    _position(where, row, described, faults)


def _in_order(where: str, row: CheckedRow, name: str, faults: Faults) -> None:
    names = (f"{name}_low", name, f"{name}_high")
    there = [part for part in names if row.has(part)]
    if there and len(there) < 3:
        for part in names:
            if part not in there and part in row.cells:
                faults.add(f"{where}, {part}", tr("is empty, but {there} is not", there=there[0]),
                           tr("Low, central and high go together."))
    values = [row.values.get(part) for part in names]
    low, central, high = values
    if not (isinstance(low, Decimal) and isinstance(central, Decimal) and isinstance(high, Decimal)):
        return
    if not low <= central <= high:
        faults.add(f"{where}, {name}", tr("low {low}, central {central} and high {high} are not in order", low=low,
                                          central=central, high=high))


def _tare(where: str, row: CheckedRow, faults: Faults) -> None:
    gross, tare = row.values.get("gross"), row.values.get("tare")
    gross_unit, tare_unit = row.values.get("gross_unit"), row.values.get("tare_unit")
    if not (isinstance(gross, Decimal) and isinstance(tare, Decimal)
            and isinstance(gross_unit, str) and isinstance(tare_unit, str)):
        return
    same = gross_unit == tare_unit
    in_order = tare < gross if same else tare * factor_si(tare_unit) < gross * factor_si(gross_unit)
    if not in_order:
        faults.add(f"{where}, tare",
                   tr("{tare} {tare_unit} is not less than the gross of {gross} {gross_unit}",
                      tare=tare, tare_unit=tare_unit, gross=gross, gross_unit=gross_unit),
                   tr("Swap them, or weigh the pail again."))


def _position(where: str, row: CheckedRow, described: Described, faults: Faults) -> None:
    names = ("decimalLatitude", "decimalLongitude", "geodeticDatum")
    there = [name for name in names if row.has(name)]
    if there and len(there) < 3:
        for name in names:
            if name not in there and name in row.cells:
                faults.add(f"{where}, {name}", tr("is empty, but {there} is not", there=there[0]),
                           tr("Latitude, longitude and datum go together."))
    places = described.options.places
    if places is None:
        return
    for name in names[:2]:
        value = row.values.get(name)
        if isinstance(value, Decimal) and value != round(value, places):
            faults.add(f"{where}, {name}",
                       tr("{value} is more exact than the {places} places that the file promises", value=value,
                          places=places),
                       tr("Ask whoever made the file to round it."))
