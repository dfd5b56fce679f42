"""Dye days as rows of our files: the plan, and what was worked out from it when the file was made."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from field_app.core.estimate import Range
from field_app.core.plan_work import BathWork, PlanWork
from field_app.core.plans import PlanNow
from field_app.core.units import show_range
from field_app.handover.cells import Cell, decimal_of
from field_app.handover.columns_days import BATHS, DAYS, INTO_POTS, LIQUORS
from field_app.handover.options import PlannerOptions
from field_app.handover.package import Part, table_part
from field_app.handover.rows import Row

__all__ = ["DayOut", "day_parts"]

_JOIN = " | "  # as Darwin Core recommends for lists


@dataclass(frozen=True, slots=True)
class DayOut:
    """A dye day that leaves with its lots: the plan, and what comes of it as its lots stand now."""

    plan: PlanNow
    work: PlanWork


def day_parts(days: Iterable[DayOut], *, options: PlannerOptions) -> tuple[Part, ...]:
    """The tables of dye days, or none if there is no day."""
    chosen = sorted({day.plan.id: day for day in days}.values(), key=lambda day: (day.plan.facts.day, day.plan.id))
    if not chosen:
        return ()
    rows = {DAYS: [_day_row(day, options) for day in chosen], INTO_POTS: _numbered(map(_lot_rows, chosen)),
            LIQUORS: _numbered(map(_liquor_rows, chosen)), BATHS: _numbered(map(_bath_rows, chosen))}
    return tuple(table_part(table, found, *options.columns) for table, found in rows.items())


def _numbered(rows: Iterable[Iterable[Row]]) -> list[Row]:
    whole = (row for found in rows for row in found)
    return [{"number": number, **row} for number, row in enumerate(whole, 1)]


def _three(name: str, value: Range | None) -> dict[str, Cell]:
    if value is None:
        return {f"{name}_low": None, name: None, f"{name}_high": None}
    return {f"{name}_low": decimal_of(value.low), name: decimal_of(value.central),
            f"{name}_high": decimal_of(value.high)}


def _day_row(day: DayOut, options: PlannerOptions) -> Row:
    facts, work = day.plan.facts, day.work
    end = max((row.end for row in work.clock), default=None)
    row: dict[str, Cell] = {
        "dyeDayID": day.plan.id, "day": facts.day.isoformat(), "state": "done" if day.plan.done else "planned",
        "fire": facts.fire, "ends": end.isoformat(timespec="minutes") if end and work.baths else None,
        "soak_h": decimal_of(work.soak), "boil_h": decimal_of(work.boil), "strainings": facts.strainings,
        "cautions": _JOIN.join(caution.short for caution in work.cautions) or None,
        # A problem of a lot may name it, and its code is in the file anyway.
        "problems": _JOIN.join(f"{problem.where} {problem.what}" for problem in work.problems) or None}
    if options.notes:
        row |= {"name": facts.name, "note": facts.note or None}
    return row


def _lot_rows(day: DayOut) -> Iterator[Row]:
    for liquor in day.work.liquors:
        for one in liquor.takings:
            unit = one.amount.unit
            yield {"dyeDayID": day.plan.id, "materialEntityID": one.lot.id,
                   **_three("amount_kg", one.amount if unit == "kg" else None),
                   **_three("amount_L", one.amount if unit == "L" else None)}


def _liquor_rows(day: DayOut) -> Iterator[Row]:
    for liquor in day.work.liquors:
        made = liquor.made
        yield {"dyeDayID": day.plan.id, "material": liquor.stuff.key, **_three("water_L", made.water if made else None),
               **_three("liquor_L", liquor.volume), **_three("extract_kg", liquor.extract),
               "pots_filled": made.kettles.times if made and made.kettles else None,
               "kept_L": decimal_of(liquor.kept)}


def _bath_rows(day: DayOut) -> Iterator[Row]:
    for liquor in day.work.liquors:
        for bath in liquor.baths:
            band = bath.dyed.band
            yield {"dyeDayID": day.plan.id, "material": liquor.stuff.key, "place": bath.place, "cloth": bath.cloth,
                   **_three("cloth_kg", bath.mass), "shade_wanted": bath.bath.shade, "mordant": bath.bath.mordant,
                   "time_h": decimal_of(bath.dyed.load.hours), "liquor_L": decimal_of(bath.liquor),
                   "water_L": decimal_of(bath.water), **_three("uptake_g_per_kg", bath.dyed.uptake),
                   "shade_low": band.low, "shade": band.central, "shade_high": band.high,
                   "helpers": _JOIN.join(_doses(bath)) or None, **_three("rinse_L", bath.rinses.litres)}


def _doses(bath: BathWork) -> Sequence[str]:
    return [f"{dose.helper.name} for {dose.fibre}: {show_range(dose.grams) if dose.grams else 'as its label says'}"
            for dose in bath.doses]
