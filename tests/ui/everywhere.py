"""Every screen over the demo scenario, and what its words say that a person is not used to."""

from __future__ import annotations

import datetime as dt
import json
import re
import tomllib
from dataclasses import replace
from pathlib import Path

import field_app
from field_app.core.cloth_lists import ClothForm
from field_app.core.deeds import DrawForm, StepForm
from field_app.core.own_deeds import OwnTestForm, ValueForm
from field_app.core.plan_deeds import BathForm, LotForm, PlanForm
from field_app.core.swatch_deeds import SwatchForm
from field_app.core.vessels import VesselForm
from field_app.ids import new_id
from field_app.store import (
    FieldBook,
    add_cloth,
    add_plan,
    add_vessel,
    fill_demo,
    note_swatch,
    note_test,
    open_book,
    plans,
    set_value,
)
from field_app.ui import Services, screens
from field_app.ui.parts import folds
from tests.ui.driver import Driver
from tests.words.unspoken import addresses, said

__all__ = ["METRIC", "MONTHS", "POINT", "POUNDS", "SEASON", "full_book", "lines", "open_folds", "read", "routes",
           "typed"]

SEASON = dt.datetime.fromisoformat("2026-10-08T15:00:00-02:00")
#: A figure with a metric unit, and one with another.
METRIC = re.compile(r"[0-9)]\s?(kg|g|L|mL|m|cm|mm|km|km/h|°C|g/L|g/kg|L/kg|kg/L|m²|m2|g/m²|g/m2|m³|kg/m³|L/\(h·m²\))"
                    r"(?![\w/²³])")
POUNDS = re.compile(r"[0-9)]\s?(lb|oz|gal|qt|pt|fl oz|ft|yd|mi|mph|°F|oz/gal|oz/lb|gal/lb|yd²|oz/yd²|lb/bu)(?![\w/²])")
#: A figure with a decimal point.
POINT = re.compile(r"\d\.\d")
_MONTH = "(Jan|Feb|Mar|Apr|May|Jun|Jul|Aug|Sep|Oct|Nov|Dec)"
#: A month by its name beside a figure.
MONTHS = re.compile(rf"\b\d+ {_MONTH}\b|\b{_MONTH} \d+")
#: What is shown as it stands elsewhere: positions as maps have them, and doses by weight of body, as whoever is called
#: in a poisoning asks for them.
_AS_IT_STANDS = re.compile(r"-?\d+\.\d{4,} ?[NSEW]?|28[.,]35 g|20\.09 %|1\.0 g|3\.0 g|10 kg|\d+ mg|per kg of body")
_CORE = Path(field_app.__file__).parent / "core"


def _published() -> set[str]:
    """What the tables quote from elsewhere: sources and the notes beside them."""
    found: set[str] = set()

    def look(held: object, quoted: bool) -> None:
        if isinstance(held, dict):
            for name, one in held.items():
                look(one, quoted or name in ("sources", "source", "note"))
        elif isinstance(held, list):
            for one in held:
                look(one, quoted)
        elif isinstance(held, str) and quoted:
            found.update(part.strip().casefold() for part in held.split(";"))

    for path in _CORE.glob("*.toml"):
        look(tomllib.loads(path.read_text(encoding="utf-8")), quoted=False)
    return {text for text in found if any(sign.isdigit() for sign in text)}


_PUBLISHED = _published()


def full_book(folder: Path) -> FieldBook:
    """The demo scenario in its season, and something of everything that the app keeps."""
    fill_demo(folder, new_id=new_id).close()
    book = open_book(folder, clock=lambda: SEASON, new_id=new_id)
    lots = book.lots(limit=-1)
    hull, other = (lot for lot in lots if lot.code in ("904D", "790X"))
    pot = add_vessel(book, VesselForm("big enamel", volume="60 L", diameter="45 cm"))
    add_vessel(book, VesselForm("grey pail", "pail", volume="12 L", tare="1.1 kg"))
    add_cloth(book, ClothForm("Autumn shawls", ["wool 3 kg", "silk 200 g"]))
    set_value(book, ValueForm("black-walnut", "piece-whole-fruit", "62 g"))
    note_test(book, OwnTestForm("dry", before="212 g", after="52 g", dish="12 g", lot=hull.id))
    note_swatch(book, SwatchForm("10", "20", "1 h", "dark", material="black-walnut", state="air-dry"))
    book.draw(hull.id, DrawForm("2.5 kg", by="the dye house"))
    book.step(other.id, StepForm("strained", volume="28.5 L", nuts="4.2 kg"))
    add_plan(book, PlanForm("Harvest dyeing", "2026-10-10", lots=[LotForm(book.lot(hull.id), "4.5 kg")], pots=[pot.id],
                            baths=[BathForm("wool 1.5 kg", mordant="alum"), BathForm("silk 300 g", "light")]))
    return book


def routes(book: FieldBook) -> list[str]:
    """An address of every screen."""
    (plan,) = plans(book)
    key = plan.id.removeprefix("urn:uuid:")
    return [*addresses(book), f"/dye-day/plan/{key}", f"/dye-day/plan/{key}/change",
            *(f"/lots/790X/{one}" for one in ("liquor", "step", "dyes")), "/materials/black-walnut/piece-whole-fruit",
            "/materials/black-walnut/kept-drained/set"]


def typed(book: FieldBook) -> set[str]:
    """The amounts that people typed, as they stand in the book and as they are shown."""
    found: set[str] = set()

    def look(held: object) -> None:
        if isinstance(held, dict):
            if {"value", "unit"} <= held.keys():
                plain = f"{held['value']} {held['unit']}"
                found.update((str(held.get("typed") or plain), plain))
            for one in held.values():
                look(one)
        elif isinstance(held, list):
            for one in held:
                look(one)
        elif isinstance(held, str) and re.match(r"(wool|silk|cotton|linen) \d", held):
            found.update((held, held[0].upper() + held[1:]))  # at the start of a line too

    for version in book.log_book.versions():
        look(json.loads(version.text))
    return found


def lines(text: str, known: set[str]) -> str:
    """A text without what people typed, and without what is shown as it stands elsewhere."""
    for amount in sorted(known, key=len, reverse=True):
        for form in (amount, amount.replace(".", ",")):
            text = re.sub(rf"(?<![\d.,]){re.escape(form)}", "…", text)
    for quoted in _PUBLISHED:
        if quoted in text.casefold():
            at = text.casefold().index(quoted)
            text = f"{text[:at]}…{text[at + len(quoted):]}"
    return _AS_IT_STANDS.sub("…", text)


def open_folds(monkeypatch) -> None:
    """Every fold stands open, so that what is inside is read too."""
    draw = folds._fold
    monkeypatch.setattr(folds, "_fold", lambda fold: draw(replace(fold, opened=True)))


async def read(book: FieldBook, route: str) -> list[tuple[str, str]]:
    """Everything that can be read or heard at an address."""
    d = await Driver.open(screens(Services(book=book)), route=route)
    await d.settle(80)
    d.check_alive()
    return [*said(d.top())]
