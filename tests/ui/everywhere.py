"""Every screen over the demo scenario, and what its words say that a person is not used to."""

from __future__ import annotations

import datetime as dt
import re
from pathlib import Path

from field_app.ids import new_id
from field_app.store import FieldBook, fill_demo, open_book
from field_app.ui import Services, screens
from tests.ui.driver import Driver
from tests.words.unspoken import addresses, said

__all__ = ["METRIC", "MONTHS", "POINT", "SEASON", "demo_book", "read", "routes"]

SEASON = dt.datetime.fromisoformat("2026-10-08T15:00:00-02:00")
#: A figure with a metric unit.
METRIC = re.compile(r"[0-9)]\s?(kg|g|L|mL|m|cm|mm|km|°C|g/L|g/kg|L/kg|kg/L|m²|g/m²|m³|kg/m³)(?![\w/²³])")
#: A figure with a decimal point.
POINT = re.compile(r"\d\.\d")
#: The name of a month beside a figure.
MONTHS = re.compile(r"\b\d+ (Jan|Feb|Mar|Apr|May|Jun|Jul|Aug|Sep|Oct|Nov|Dec)\b"
                    r"|\b(Jan|Feb|Mar|Apr|May|Jun|Jul|Aug|Sep|Oct|Nov|Dec) \d+")


def demo_book(folder: Path) -> FieldBook:
    """The demo scenario in its season."""
    fill_demo(folder, new_id=new_id).close()
    return open_book(folder, clock=lambda: SEASON, new_id=new_id)


def routes(book: FieldBook) -> list[str]:
    """An address of every screen."""
    return ["/shown", *addresses(book)]


async def read(book: FieldBook, route: str) -> list[tuple[str, str]]:
    """Everything that can be read or heard at an address."""
    d = await Driver.open(screens(Services(book=book)), route=route)
    await d.settle(80)
    d.check_alive()
    return [*said(d.top())]
