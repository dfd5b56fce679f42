"""Daily temperatures: read from a table that some other program wrote, and kept a year at a time.

The law of this file:

1. A table has a column of days (year-month-day), one of the lowest and one of the highest temperature, each known by
   its heading; the unit stands in the headings, or is told.
2. A day without a value is a gap: told, and never filled here.
3. Anything else that can't be read is a fault with its row, and then nothing is taken in.
4. A calendar year of a place is one record, far below the size that a record may have; taken in again, it replaces
   the earlier one.
"""

from __future__ import annotations

import csv
import datetime as dt
import re
import uuid
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal
from itertools import pairwise
from typing import Literal

from pydantic import StrictInt

from field_app.core.facts import Facts
from field_app.core.forms import LONGEST_NAME, Decision, Reader, Situation
from field_app.core.positions import Fix, read_position
from field_app.core.problems import Problem, Refused, refuse
from field_app.core.records import Draft, Thing
from field_app.words import listed, tr

__all__ = ["Table", "WarmthFacts", "WeatherForm", "decide_weather", "read_table", "temperatures", "warmth_fault",
           "warmth_id"]

#: The space of names in which a place and a year become the id of their record (RFC 9562, 5.5).
_WARMTH = uuid.UUID("6a7a3c0e-2f7d-5d8e-8c55-0f3f0b1d9a42")
_NUMBER = re.compile(r"[-+\u2212]?\d{1,3}(?:[.,]\d{1,3})?\Z", re.ASCII)
_KEPT = re.compile(r"-?\d{1,3}(\.\d{1,3})?\Z", re.ASCII)
_DAY = re.compile(r"(\d{4})-?(\d{2})-?(\d{2})(?:[T ].*)?\Z", re.ASCII)
_NOTHING = frozenset({"", "na", "n/a", "nan", "null", "none", "-", "--", "m", "."})
#: No place on earth was ever colder or warmer [°C]; and so many faults are told at most [1].
COLDEST, WARMEST, _TOLD = -70.0, 57.0, 8
Scale = Literal["degC", "degF"]


class WarmthFacts(Facts):
    """The lowest and highest temperature of each day from ``first`` on, within one calendar year, at one place.

    low, high: decimal text in the unit, empty where there is a gap; name: of the place, empty for the only one.
    """

    year: StrictInt
    first: dt.date
    unit: Scale
    low: tuple[str, ...]
    high: tuple[str, ...]
    name: str = ""


@dataclass(frozen=True, slots=True)
class WeatherForm:
    """A table to take in: its text, the unit if its headings don't tell it, the name and position of the place."""

    text: str
    unit: str = ""
    name: str = ""
    position: str | Fix = ""


@dataclass(frozen=True, slots=True)
class Table:
    """What a table says: days with the lowest and highest temperature as decimal text, and the gaps between them."""

    unit: Scale
    days: Mapping[dt.date, tuple[str, str]]
    gaps: tuple[tuple[dt.date, dt.date], ...]


def celsius(text: str, unit: Scale) -> float:
    """A temperature [°C].

    >>> celsius("50", "degF"), celsius("-3.5", "degC")
    (10.0, -3.5)
    """
    value = Decimal(text)
    return float((value - 32) * 5 / 9) if unit == "degF" else float(value)


def _in_unit(text: str, unit: Scale, wanted: Scale) -> str:
    """A temperature as decimal text in another unit, to a hundredth; in its own unit, as it was written."""
    if unit == wanted:
        return text
    value = Decimal(text)
    other = (value - 32) * 5 / 9 if wanted == "degC" else value * 9 / 5 + 32
    plain = format(other.quantize(Decimal("0.01")), "f")
    return plain.rstrip("0").rstrip(".")


def _columns(heads: Sequence[str]) -> tuple[int, int, int]:
    found: dict[str, int] = {}
    for at, head in enumerate(heads):
        plain = head.strip().casefold()
        for name, words in (("day", ("date", "day", "time")), ("low", ("min", "low")), ("high", ("max", "high"))):
            if any(word in plain for word in words) and name not in found:
                found[name] = at
                break
    missing = [words for name, words in (("day", "date"), ("low", "min"), ("high", "max")) if name not in found]
    if missing:
        raise refuse("headings", tr("there is no column for {missing} among: {heads}", missing=listed(missing),
                                    heads=", ".join(heads)[:200]),
                     tr("Name the columns date, min and max, with the unit, such as min (°C)."))
    return found["day"], found["low"], found["high"]


def _unit(heads: Iterable[str], told: str) -> Scale:
    if told:
        units: dict[str, Scale] = {"c": "degC", "f": "degF"}
        unit = units.get(told.strip().casefold().removeprefix("deg").removeprefix("°"))
        if unit is None:
            raise refuse("unit", tr("{told!r:.40} is neither C nor F", told=told), tr("Say C or F."))
        return unit
    scales = {letter.upper() for head in heads
              for letter in re.findall(r"(?:°|deg\s?|[\s_(\[/])([cf])(?:elsius|ahrenheit)?[\s)\]]*\Z", head.casefold())}
    if len(scales) != 1:
        raise refuse("unit", tr("the headings don't tell whether these are °C or °F"),
                     tr("Say which: --unit C or --unit F."))
    return "degF" if scales == {"F"} else "degC"


def read_table(text: str, *, today: dt.date, unit: str = "") -> Table:
    """The daily temperatures of a CSV table.

    Raises Refused with every row that can't be read, or if a column or the unit is missing, or nothing is in it.

    >>> text = "date,min (°C),max (°C)\\n2026-09-01,9.5,22\\n2026-09-03,8,20\\n"
    >>> table = read_table(text, today=dt.date(2026, 10, 1))
    >>> len(table.days), [(str(a), str(b)) for a, b in table.gaps]
    (2, [('2026-09-02', '2026-09-02')])
    """
    body = text.lstrip(chr(0xFEFF))  # the byte-order mark that some programs write
    first = body.partition("\n")[0]
    sign = max(";\t,", key=first.count)
    rows = list(csv.reader(body.splitlines(), delimiter=sign))
    if not rows or sign not in first:
        raise refuse("FILE", tr("is not a table with headings"),
                     tr("Give a CSV file with the columns date, min and max."))
    day_at, low_at, high_at = _columns(rows[0])
    scale = _unit((rows[0][low_at], rows[0][high_at]), unit)
    days: dict[dt.date, tuple[str, str]] = {}
    problems: list[Problem] = []
    for number, row in enumerate(rows[1:], 2):
        if not any(cell.strip() for cell in row):
            continue
        try:
            day = _day(row[day_at] if day_at < len(row) else "", today)
            pair = _pair(row, low_at, high_at, scale)
            if pair is not None and days.get(day, pair) != pair:
                raise refuse("", tr("{day} is told twice, with other temperatures", day=day),
                             tr("Keep one of the two."))
        except Refused as refused:
            problems += [replace(one, where=f"row {number}") for one in refused.problems]
            continue
        if pair is not None:
            days[day] = pair
    if problems:
        more = [Problem("FILE", tr("and {count} rows more", count=len(problems) - _TOLD), tr("Mend them too."))] if len(
            problems) > _TOLD else []
        raise Refused([*problems[:_TOLD], *more])
    if not days:
        raise refuse("FILE", tr("holds no day with both temperatures"),
                     tr("Give a CSV file with the columns date, min and max."))
    return Table(scale, days, _gaps(days))


def _day(text: str, today: dt.date) -> dt.date:
    match = _DAY.match(text.strip())
    try:
        day = dt.date(*map(int, match.groups())) if match else None
    except ValueError:
        day = None
    if day is None:
        raise refuse("", tr("{text!r:.40} is not a day", text=text.strip()),
                     tr("Write year-month-day, such as 2026-10-08."))
    if not dt.date(1900, 1, 1) <= day <= today:
        what = tr("{day} is before 1900", day=day) if day.year < 1900 else tr("{day} is still to come", day=day)
        raise refuse("", what, tr("Check the year."))
    return day


def _pair(row: Sequence[str], low_at: int, high_at: int, scale: Scale) -> tuple[str, str] | None:
    cells = [row[at].strip() if at < len(row) else "" for at in (low_at, high_at)]
    if any(cell.casefold() in _NOTHING for cell in cells):
        return None
    for cell in cells:
        if not _NUMBER.match(cell):
            raise refuse("", tr("{cell!r:.40} is not a temperature", cell=cell),
                         tr("Write a number, or leave the cell empty."))
    low, high = (format(Decimal(cell.replace(",", ".").replace("\u2212", "-").lstrip("+")), "f") for cell in cells)
    if Decimal(low) > Decimal(high):
        raise refuse("", tr("the lowest, {low}, is above the highest, {high}", low=low, high=high),
                     tr("Check whether the columns are swapped."))
    for value in (low, high):
        if not COLDEST <= celsius(value, scale) <= WARMEST:
            name, other = ("°C", "F") if scale == "degC" else ("°F", "C")
            raise refuse("", tr("{value} {unit} was never measured on earth", value=value, unit=name),
                         tr("If it is °{other}, say --unit {other}.", other=other))
    return low, high


def _gaps(days: Iterable[dt.date]) -> tuple[tuple[dt.date, dt.date], ...]:
    known = sorted(days)
    one = dt.timedelta(days=1)
    return tuple((before + one, after - one) for before, after in pairwise(known)
                 if after - before > one)


def warmth_id(name: str, year: int) -> str:
    """The id of the record of a place and a year: the same on every device."""
    return f"urn:uuid:{uuid.uuid5(_WARMTH, f'{name.casefold()} {year}')}"


def decide_weather(form: WeatherForm, held: Mapping[str, Thing], situation: Situation) -> tuple[Decision, Table | None]:
    """The records of a table, one a calendar year, and what was read; held: the warmth that is known, by id.

    Days of a year that are known and not in the table stay as they are.
    """
    reader = Reader()
    name = reader.text("name", form.name, LONGEST_NAME)
    fix: Fix | None = form.position if isinstance(form.position, Fix) else None
    if isinstance(form.position, str) and form.position.strip():
        fix = reader.read(lambda: read_position(str(form.position)))
    table = reader.read(lambda: read_table(form.text, today=situation.now.date(), unit=form.unit))
    if reader.problems or table is None:
        return Decision(problems=tuple(reader.problems)), None
    position = None if fix is None else (fix.position.lat, fix.position.lon)
    drafts = []
    for year in sorted({day.year for day in table.days}):
        key = warmth_id(name, year)
        before, unit = held.get(key), table.unit
        days = {day: pair for day, pair in table.days.items() if day.year == year}
        if before is not None and not before.deleted:
            old = WarmthFacts.model_validate(dict(before.facts))
            unit = old.unit
            days = {**_days_of(old), **{day: (_in_unit(low, table.unit, unit), _in_unit(high, table.unit, unit))
                                        for day, (low, high) in days.items()}}
        facts = _facts(name, year, unit, days).as_json()
        moved = position is not None and before is not None and before.position != position
        if before is None or before.deleted or dict(before.facts) != facts or moved:
            drafts.append(Draft(key, "warmth", facts, position or (before.position if before else None),
                                before.heads if before else ()))
    return Decision(tuple(drafts), drafts[-1].thing if drafts else ""), table


def _days_of(facts: WarmthFacts) -> dict[dt.date, tuple[str, str]]:
    return {facts.first + dt.timedelta(days=at): (low, high)
            for at, (low, high) in enumerate(zip(facts.low, facts.high, strict=True)) if low and high}


def _facts(name: str, year: int, unit: Scale, days: Mapping[dt.date, tuple[str, str]]) -> WarmthFacts:
    first, last = min(days), max(days)
    span = [days.get(first + dt.timedelta(days=at), ("", "")) for at in range((last - first).days + 1)]
    return WarmthFacts(name=name, year=year, first=first, unit=unit, low=tuple(low for low, _ in span),
                       high=tuple(high for _, high in span))


def temperatures(facts: Iterable[WarmthFacts]) -> dict[dt.date, tuple[float, float]]:
    """The lowest and highest temperature of each day that is known [°C]."""
    return {day: (celsius(low, one.unit), celsius(high, one.unit))
            for one in facts for day, (low, high) in _days_of(one).items()}


def warmth_fault(facts: WarmthFacts) -> Problem | None:
    """What stands against the facts of temperatures from elsewhere, or None."""
    if not 1 <= len(facts.low) <= 366 or len(facts.low) != len(facts.high):
        return Problem("low", tr("and high are not the days of one year"), tr("Ask for the table again."))
    last = facts.first + dt.timedelta(days=len(facts.low) - 1)
    if not facts.first.year == last.year == facts.year or not 1900 <= facts.year <= 2286:
        return Problem("first", tr("and year are not of one year"), tr("Ask for the table again."))
    for low, high in zip(facts.low, facts.high, strict=True):
        if (low or high) and not (_KEPT.match(low) and _KEPT.match(high) and Decimal(low) <= Decimal(high)):
            return Problem("low", tr("{low!r:.20} to {high!r:.20} is no day", low=low, high=high),
                           tr("Ask for the table again."))
    return None
