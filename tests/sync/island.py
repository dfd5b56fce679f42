"""Several devices on an invented island, each with a real data folder, and what one does with them."""

from __future__ import annotations

import datetime as dt
import hashlib
import itertools
from pathlib import Path

from field_app.core.deeds import DrawForm, StepForm
from field_app.core.forms import LeaveForm, SiteForm, WindfallForm
from field_app.core.positions import Fix, Position
from field_app.handover.sequence import VERSIONS
from field_app.handover.sequence import sequence as sequence_of
from field_app.store import open_book
from field_app.sync import group_bytes, sync_folder
from tests.handover.scene import opened

START = dt.datetime.fromisoformat("2026-10-08T15:24:00-02:00")
DECADE = dt.timedelta(days=3653)
SITES = ("Mill lane", "Old orchard", "Ford bend", "Chapel green", "Heron marsh", "Oak ride")


class Clock:
    """A clock that goes on a second at each look, and that the test may turn."""

    def __init__(self, now=START):
        self.now = now

    def __call__(self):
        self.now += dt.timedelta(seconds=1)
        return self.now


def ids(number):
    """Names that no other device makes."""
    return (f"urn:uuid:01890000-0000-7000-8000-{number:04x}{count:08x}" for count in itertools.count(1))


class Device:
    """A person's device: a data folder, a clock of its own, and its names."""

    def __init__(self, folder: Path, number: int, *, now=START):
        self.folder, self.number, self.clock = folder, number, Clock(now)
        names = ids(number)
        self.new_id = lambda: next(names)
        self.book = open_book(folder, clock=self.clock, new_id=self.new_id)

    @property
    def id(self):
        return self.book.log_book.device

    def close(self):
        self.book.close()

    def reopen(self):
        self.book.close()
        self.book = open_book(self.folder, clock=self.clock, new_id=self.new_id)

    def site(self, name="Mill lane", position="44.01234, -28.00567"):
        return self.book.add_site(SiteForm(name, position=position, materials=("black-walnut",),
                                           leave=LeaveForm("given", by="the miller")))

    def lot(self, site="Mill lane", gross="14.2 kg", **more):
        return self.book.log(windfall(site, gross=gross, **more))

    def step(self, lot, step, **more):
        return self.book.step(lot, StepForm(step, **more))

    def draw(self, lot, amount, **more):
        return self.book.draw(lot, DrawForm(amount, **more))

    def file(self):
        """Its group file as it would be now."""
        return group_bytes(self.book)

    def sync(self, folder):
        return sync_folder(self.book, folder)

    def texts(self):
        return set(self.book.log_book.texts())

    def sequence(self):
        return sequence_of(self.book.log_book.texts())

    def things(self):
        """Everything that holds here."""
        log = self.book.log_book
        with log.reading() as connection:
            every = [one for (one,) in connection.execute("select id from thing order by id")]
        return {one: log.thing(one) for one in every}


def windfall(site="Mill lane", **more):
    facts = {"site": site, "material": "black-walnut", "part": "whole-fruit", "ripeness": "fallen", "tare": "1.1 kg"}
    if "count" in more:
        facts["tare"] = ""
    return WindfallForm(**facts | more)


def at(lat, lon, accuracy=6.0):
    return Fix(Position(lat, lon), "device", accuracy, "95 %")


def digest(data: bytes) -> str:
    """What devices that know the same agree about: the bytes of the versions in a group file."""
    return hashlib.sha256(opened(data)[VERSIONS]).hexdigest()
