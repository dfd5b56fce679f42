"""Fills an empty data folder with the demo scenario, through the same forms as the screens."""

from __future__ import annotations

import csv
import datetime as dt
import io
import itertools
import uuid
from collections.abc import Callable, Iterator, Mapping
from importlib.resources import files
from importlib.resources.abc import Traversable
from pathlib import Path
from typing import Any

from field_app.core.deeds import StepForm
from field_app.core.gather import LeaveForm, SiteForm, WindfallForm
from field_app.core.looks import LookForm
from field_app.core.own_deeds import OwnTestForm
from field_app.core.positions import Fix
from field_app.core.problems import refuse
from field_app.core.swatch_deeds import SwatchForm
from field_app.core.weather import WeatherForm
from field_app.store.book import FieldBook, open_book
from field_app.store.folder import holds_data
from field_app.store.looks import add_look
from field_app.store.own_values import note_test
from field_app.store.swatches import note_swatch
from field_app.store.warmth import take_weather
from field_app.words import tr

__all__ = ["SEASON_DAY", "fill_demo"]

#: The day on which the scenario stands: looking at it later shows older lots.
SEASON_DAY = dt.datetime.fromisoformat("2026-10-08T15:00:00-02:00")
#: The space of names of the scenario (RFC 9562, 5.5).
_SCENARIO = uuid.UUID("8f0f4a52-0d0b-5c56-8e0a-3d1f6b7c2e90")


def _seeds() -> Traversable:
    packed = files("field_app") / "seed_sites"
    # In a source checkout the scenario lies beside the package, in the wheel inside it.
    return packed if packed.is_dir() else files("field_app").joinpath("..", "seed_sites")


def _rows(name: str) -> list[dict[str, str]]:
    return list(csv.DictReader(io.StringIO((_seeds() / name).read_text(encoding="utf-8"))))


def _site_form(row: Mapping[str, str]) -> SiteForm:
    leave = LeaveForm(row["leave"], by=row["from"], until=row["until"], limit=row["limit"])
    return SiteForm(row["name"], position=row["position"], materials=tuple(row["materials"].split(";")),
                    note=row["note"], leave=leave)


def _windfall_form(row: Mapping[str, str], book: FieldBook) -> WindfallForm:
    facts: dict[str, Any] = {name: text for name, text in row.items() if name != "accuracy"}
    place = book.site(row["site"]).position
    if row["accuracy"] and place is not None:
        facts["position"] = Fix(place, "device", float(row["accuracy"]), "95 %")
    return WindfallForm(**facts)


def _names(new_id: Callable[[], str]) -> Iterator[str]:
    # The folder is a device of its own, but what the scenario tells of has the same names wherever it is told:
    # so its lots keep their codes, and two demos that meet are one.
    yield new_id()
    for number in itertools.count(1):
        yield f"urn:uuid:{uuid.uuid5(_SCENARIO, str(number))}"


def _tell_seasons(book: FieldBook) -> None:
    """Looks of this season and of three earlier ones, and the temperatures of this one, told on the season's day."""
    # Last, so that the names and with them the codes of the lots stay as they are.
    for row in _rows("looks.csv"):
        site = row.pop("site")
        add_look(book, site, LookForm(**row))
    text = (_seeds() / "temperatures.csv").read_text(encoding="utf-8")
    take_weather(book, WeatherForm(text, name="the mill", position="44.0125, -28.0060"))


def _tell_learning(book: FieldBook) -> None:
    """What was weighed again and tested since, and what was dyed to see: so that there is something to look back on."""
    for row in _rows("steps.csv"):
        book.step(row.pop("lot"), StepForm(**row))
    for row in _rows("tests.csv"):
        note_test(book, OwnTestForm(lot=book.lot(row.pop("lot")).id, **row))
    for row in _rows("swatches.csv"):
        note_swatch(book, SwatchForm(lot=book.lot(row.pop("lot")).id, **row))


def fill_demo(folder: Path, *, new_id: Callable[[], str]) -> FieldBook:
    """The book of a new demo folder. Raises Refused if the folder holds anything already."""
    if holds_data(folder):
        raise refuse("DIR", tr("{folder} is not empty", folder=folder),
                     tr("Name a folder that is empty or not there yet."))
    now, names = SEASON_DAY, _names(new_id)
    book = open_book(folder, clock=lambda: now, new_id=lambda: next(names))
    for row in _rows("sites.csv"):
        now = dt.datetime.fromisoformat(f"{row['day']}T09:00:00-02:00")
        book.add_site(_site_form(row))
    for row in _rows("windfalls.csv"):
        now = dt.datetime.fromisoformat(row["gathered"])
        book.log(_windfall_form(row, book))
    now = SEASON_DAY
    _tell_seasons(book)
    _tell_learning(book)
    return book
