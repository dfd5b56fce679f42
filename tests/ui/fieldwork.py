"""A real book in a folder of its own, filled as a test needs it, and the screens opened on it."""

from __future__ import annotations

import asyncio
import csv
import datetime as dt
import io
import itertools
import zipfile
from collections.abc import Callable, Coroutine
from pathlib import Path
from typing import Any

from field_app.core.gather import LeaveForm, SiteForm, WindfallForm
from field_app.store import FieldBook, open_book
from field_app.ui import Services, screens
from tests.ui.driver import Driver

__all__ = ["DAY", "GIVEN", "FieldBag", "denied", "fix_at", "made", "make", "on_screen", "play", "rows", "three"]

#: The time at which every test stands, unless it says otherwise.
DAY = dt.datetime.fromisoformat("2026-10-08T15:00:00-02:00")


class FieldBag:
    """A book whose clock the test sets."""

    def __init__(self, folder: Path) -> None:
        self.now = DAY
        numbers = itertools.count(1)
        self.book: FieldBook = open_book(
            folder / "book", clock=lambda: self.now,
            new_id=lambda: f"urn:uuid:00000000-0000-7000-8000-{next(numbers):012x}")

    def tree(self, name: str, **how: Any) -> str:
        """Add a tree and give its id."""
        return self.book.add_site(SiteForm(name, **how)).id

    def lot(self, site: str, *, days_ago: int = 0, **how: Any) -> Any:
        """Log whole black walnuts, 14.2 kg with a pail of 1.1 kg, unless told otherwise."""
        gathered = (DAY - dt.timedelta(days=days_ago)).isoformat(timespec="seconds")
        facts = {"material": "black-walnut", "part": "whole-fruit", "ripeness": "fallen", "gross": "14.2",
                 "tare": "1.1", "gathered": gathered, "wood": "felled" if how.get("part") == "bark" else "", **how}
        return self.book.log(WindfallForm(site=site, **facts))

    def room(self, there: bool) -> None:
        """Whether the database may still grow: as on a disk that is full, or on one with room again."""
        with self.book.log_book.reading() as connection:
            connection.execute(f"pragma max_page_count = {2**30 if there else 1}")

    async def open(self, route: str, **how: Any) -> Driver:
        """The screens, at an address."""
        return await Driver.open(screens(Services(book=self.book)), route=route, **how)


GIVEN = LeaveForm("given", by="the miller", until="2026-11-15")


def fix_at(lat: float, lon: float, accuracy: float | None = 5.0) -> dict[str, Any]:
    """Replies of a device that says where it is."""
    position = {"latitude": lat, "longitude": lon, "accuracy": accuracy}
    return {"is_location_service_enabled": True, "request_permission": "whileInUse",
            "get_current_position": position}


def on_screen(d: Driver) -> list[str]:
    """The keys of what can be seen and touched."""
    return d.keys()


def denied(_: Any) -> None:
    """A device call that fails as it does where the position was not allowed."""
    raise RuntimeError("User denied permissions to access the device's location.")


def play(walk: Callable[[], Coroutine[Any, Any, None]]) -> None:
    """Run a walk through the screens."""
    asyncio.run(walk())


def three(bag: FieldBag) -> tuple[Any, Any, Any]:
    """Three lots of two trees, a third tree beside them: good, past its best, and dry."""
    mill = bag.tree("Mill lane", position="44.012345, -28.005678", leave=GIVEN, note="behind the gate")
    oak = bag.tree("Oak ride", position="44.004170, -27.992150")
    bag.tree("Schoolyard", position="44.010900, -28.008110")
    return (bag.lot(mill, note="the early one"), bag.lot(mill, days_ago=40),
            bag.lot(oak, material="acorn-cups", part="cup", ripeness="", condition="air-dry"))


async def make(d: Driver) -> None:
    """Tap for the lot file, and wait until the work beside the screen is done."""
    await d.tap("hand-make")
    for _ in range(500):
        await d.settle()
        if not d.find("hand-busy"):
            return
        await asyncio.sleep(0.01)
    raise AssertionError("the work did not end")


async def made(d: Driver) -> bytes:
    """The lot file that the screen gives to the device."""
    await make(d)
    (call,) = d.calls("save_file")
    return bytes(call["src_bytes"])


def rows(data: bytes, name: str) -> list[dict[str, str]]:
    """A table of a lot file."""
    with zipfile.ZipFile(io.BytesIO(data)) as packed:
        return list(csv.DictReader(io.StringIO(packed.read(name).decode())))
