"""The commands that print: labels for the pails, and the sheet for a dye day."""

from __future__ import annotations

from pathlib import Path

import click

from field_app.cli_base import Call, Command, as_json, json_option, told
from field_app.cli_plan import day_out
from field_app.disk import write_file
from field_app.paper import PAPERS, Grid, day_sheet, labels_pdf, lot_label, pdf_name
from field_app.words import tr, tr_n

__all__ = ["COMMANDS"]

_FILE = click.Path(path_type=Path, dir_okay=False)


@click.command("labels", cls=Command)
@click.argument("lots", nargs=-1, required=True, metavar="LOT...")
@click.argument("file", type=_FILE, metavar="FILE.pdf")
@click.option("--paper", type=click.Choice([*PAPERS, "single"]), default="A4", show_default=True,
              help="Sheets of A4 or Letter, or a page of 100 x 60 mm for each label.")
@click.option("--columns", type=int, default=2, show_default=True, metavar="N", help="Labels beside each other.")
@click.option("--rows", type=int, default=5, show_default=True, metavar="N", help="Labels below each other.")
@click.option("--side", type=float, default=8.0, show_default=True, metavar="MM", help="Free margin left and right.")
@click.option("--top", type=float, default=15.0, show_default=True, metavar="MM", help="Free margin above and below.")
@click.option("--gap", type=float, default=0.0, show_default=True, metavar="MM", help="Between labels.")
@click.option("--skip", type=int, default=0, show_default=True, metavar="N", help="Places used up already.")
@json_option
@click.pass_obj
@told
def labels(call: Call, /, lots: tuple[str, ...], file: Path, paper: str, columns: int, rows: int, side: float,
           top: float, gap: float, skip: int, for_programs: bool) -> None:
    """Print labels for the pails: a code to scan, the short code in clear, what, when, how much, until when.

    \b
    Example:
      field-app labels 904D JB07 labels.pdf
    """
    book, file = call.book(), pdf_name(file)
    chosen = [book.lot(code) for code in lots]
    grid = None if paper == "single" else Grid(
        paper, columns, rows, side, top, gap)  # type: ignore[arg-type]  # one of the choices
    data = labels_pdf([lot_label(lot) for lot in chosen], made=book.now(), grid=grid, skip=skip)
    write_file(file, data)
    if for_programs:
        as_json({"file": str(file), "bytes": len(data), "labels": len(chosen)})
    else:
        click.echo(tr_n("{file}: {n} label.", "{file}: {n} labels.", len(chosen), file=file))


@click.command("sheet", cls=Command)
@click.argument("name", metavar="PLAN")
@click.argument("file", type=_FILE, metavar="FILE.pdf")
@click.option("--paper", type=click.Choice(list(PAPERS)), default="A4", show_default=True, help="Size of the paper.")
@json_option
@click.pass_obj
@told
def sheet(call: Call, name: str, file: Path, paper: str, for_programs: bool) -> None:
    """Print the sheet of a dye day: lots, liquor, baths, times, helpers, and room to write what came out.

    \b
    Example:
      field-app sheet "Harvest dyeing" sheet.pdf
    """
    book, file = call.book(), pdf_name(file)
    day = day_out(book, name)
    data = day_sheet(day.plan, day.work, made=book.now(), paper=paper)  # type: ignore[arg-type]  # one of the choices
    write_file(file, data)
    if for_programs:
        as_json({"file": str(file), "bytes": len(data)})
    else:
        click.echo(tr("{file}: the sheet of {plan}.", file=file, plan=day.plan.name))


COMMANDS: tuple[click.Command, ...] = (labels, sheet)
