"""An invented island, four of its sites and four lots, and how to take a file apart and put it together again."""

from __future__ import annotations

import csv
import datetime as dt
import hashlib
import io
import json
import zipfile
from collections.abc import Callable
from typing import Any

from field_app.core.facts import Facts, FixFacts, LeaveFacts, LotFacts, SiteFacts
from field_app.core.lots import LotNow, lot_now
from field_app.core.positions import Position
from field_app.core.records import Thing, code_of
from field_app.core.sites import SiteNow, site_now
from field_app.core.units import Measure
from field_app.handover import PlannerOptions, planner_file
from field_app.handover.packing import pack

MADE = dt.datetime.fromisoformat("2026-10-09T18:00:00-02:00")
#: Ids made by hand, as random as they need to be here.
MILL, ORCHARD, CHAPEL, GONE = (f"urn:uuid:0199c3a4-7b1e-7d2f-9a41-5e0c77aa000{number}" for number in "1234")
SECRETS = ("Mill lane", "Old orchard", "Chapel green", "behind the gate", "under the big limb", "the miller")


def thing(kind: str, id: str, facts: Facts, position: Position | None) -> Thing:
    place = None if position is None else (position.lat, position.lon)
    return Thing(id=id, kind=kind, facts=facts.as_json(), position=place, heads=("ni:///sha-256;x",),
                 first_hlc="0", last_hlc="0", device="0" * 16, deleted=False)


def site(name: str, id: str, position: Position | None, fix: FixFacts | None = None,
         leave: LeaveFacts | None = None, note: str = "") -> SiteNow:
    facts = SiteFacts(name=name, materials=("black-walnut", "alder-bark"), note=note, fix=fix)
    return site_now(thing("site", id, facts, position), leave and thing("leave", f"{id[:-4]}0009", leave, None))


def lot(number: int, where: str, position: Position | None = None, *, at: SiteNow | None = None,
        **facts: Any) -> LotNow:
    """A lot; at: the site that gives it its position, if it has none of its own."""
    known = {"material": "black-walnut", "part": "whole-fruit", "basis": "weighed", "ripeness": "fallen",
             "gathered": f"2026-10-0{number}T15:24:00-02:00", "site": where}
    held = LotFacts(**{**known, **facts})
    id = f"urn:uuid:0199c3a4-7b1e-7d2f-9a41-5e0c77bb000{number}"
    home = None if at is None else thing("site", at.id, at.facts, at.position)
    return lot_now(thing("lot", id, held, position), code=code_of(id), site=home)


def sites() -> list[SiteNow]:
    return [
        site("Mill lane", MILL, Position(44.012345, -28.005678),
             FixFacts(source="device", accuracy="8.5", meaning="68 %"),
             LeaveFacts(site=MILL, state="given", by="the miller", until=dt.date(2026, 11, 30)),
             "behind the gate"),
        site("Old orchard", ORCHARD, Position(43.987654, -27.991234), FixFacts(source="typed")),
        site("Chapel green", CHAPEL, None, leave=LeaveFacts(site=CHAPEL, state="given",
                                                            until=dt.date(2026, 10, 1))),
    ]


def lots() -> list[LotNow]:
    mill, orchard, chapel = sites()
    return [
        lot(1, MILL, Position(44.012398, -28.005544), at=mill, gross=Measure("14.20", "kg"),
            tare=Measure("2", "lb"), fix=FixFacts(source="device", accuracy="6"), note="under the big limb"),
        lot(2, MILL, at=mill, basis="counted", count=120),
        lot(3, ORCHARD, at=orchard, material="alder-bark", part="bark", ripeness=None, basis="poured",
            pails="2.5", pail=Measure("5", "gal-us"), fill="0.8", note="=HYPERLINK(\"x\")"),
        lot(4, CHAPEL, at=chapel, part="hull", condition="air-dry", ripeness="browned",
            gross=Measure("1250", "g")),
    ]


def good(options: PlannerOptions | None = None) -> bytes:
    return planner_file(lots(), sites(), made=MADE, options=options)


def opened(data: bytes) -> dict[str, bytes]:
    with zipfile.ZipFile(io.BytesIO(data)) as archive:
        return {name: archive.read(name) for name in archive.namelist()}


def closed(files: dict[str, bytes], *, hashed: bool = True) -> bytes:
    """The zip of the files, with sizes and hashes set right, as a careful planner would."""
    if hashed:
        package = json.loads(files["datapackage.json"])
        for resource in package["resources"]:
            data = files.get(resource["path"], b"")
            resource["bytes"], resource["hash"] = len(data), f"sha256:{hashlib.sha256(data).hexdigest()}"
        files = {**files, "datapackage.json": json.dumps(package, indent=1).encode()}
    return pack(files)


def rows_of(data: bytes) -> list[list[str]]:
    return list(csv.reader(io.StringIO(data.decode("utf-8"), newline=""), strict=True))


def cells_of(rows: list[list[str]]) -> bytes:
    out = io.StringIO(newline="")
    csv.writer(out, lineterminator="\r\n").writerows(rows)
    return out.getvalue().encode()


def with_file(change: Callable[[bytes], bytes], path: str, options: PlannerOptions | None = None) -> bytes:
    files = opened(good(options))
    files[path] = change(files[path])
    return closed(files)


def with_cell(path: str, row: int, column: str, cell: str) -> bytes:
    """A good file in which one cell is another; row 1 is the header."""
    def change(data: bytes) -> bytes:
        rows = rows_of(data)
        rows[row - 1][rows[0].index(column)] = cell
        return cells_of(rows)
    return with_file(change, path)


def with_json(path: str, change: Callable[[Any], None]) -> bytes:
    """A good file in which a JSON member was changed in place."""
    files = opened(good())
    value = json.loads(files[path])
    change(value)
    files[path] = json.dumps(value).encode()
    return closed(files, hashed=path != "datapackage.json")
