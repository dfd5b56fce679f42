"""The main job on a phone without any signal, in a real browser."""

from __future__ import annotations

import json
import re
import uuid
from pathlib import Path

import pytest

from field_app.core.forms import SiteForm, WindfallForm
from field_app.core.load import estimate_lot
from field_app.handover import check
from field_app.main import local_now
from field_app.store import FieldBook, open_book
from field_app.sync import group_bytes
from tests.phone.handset import Handset, Host

BEFORE = """
from field_app.core.forms import LeaveForm, SiteForm, WindfallForm
book.add_site(SiteForm("Mill lane", "44.0123, -28.0057", ("black-walnut",), "", LeaveForm("given", "the miller")))
lot = book.log(WindfallForm(site="Mill lane", material="black-walnut", part="whole-fruit", ripeness="fallen",
                            gross="9.1", tare="1.1"))
json.dumps(lot.code)
"""
ALL = "json.dumps(sorted(lot.id for lot in book.lots(limit=-1)))"
#: Worked example 4: a struck US bushel of whole black walnuts, poured.
BUSHEL = {"material": "black-walnut", "part": "whole-fruit", "ripeness": "fallen", "pails": "1", "pail": "1 bu"}
WORTH = """
def worth(found):
    ranges = (found.net, found.fresh_hull, found.dry_matter, found.air_dry, *(shade.cloth for shade in found.shades))
    return [[each.low, each.central, each.high] for each in ranges]
"""


def desktop(folder: Path) -> FieldBook:
    """A book as the desktop keeps it."""
    return open_book(folder, clock=local_now, new_id=lambda: uuid.uuid4().urn)


def test_from_the_tree_to_the_file_without_a_signal(handset: Handset, host: Host, tmp_path: Path) -> None:
    """After one visit: no host, no network; log with a fix, read the worth, hand over, take in, restart, all there."""
    handset.python(BEFORE)
    host.stop()
    handset.flight_mode()
    handset.reload()
    handset.tap("Log a windfall")
    handset.tap("Find the nearest")
    handset.see(re.compile("nearest first", re.I), timeout=60_000)
    handset.tap(re.compile("Mill lane"))
    for sign in ("1", "4", "decimal sign", "2"):
        handset.tap(sign, exact=True)
    handset.see("13.1 kg (12.7–13.5)", timeout=60_000)
    handset.shot("phone-windfall")
    handset.tap("Save this windfall")
    handset.see(re.compile("Saved as "), timeout=60_000)
    newest = handset.python("""
lot = max(book.lots(), key=lambda each: each.id)
json.dumps([lot.code, lot.facts.gross.value, lot.position.lat, lot.position.lon, lot.facts.gathered])""")
    assert newest[1:4] == ["14.2", 44.0123, -28.0057]
    assert newest[4].endswith("-02:00")  # the phone's own clock, where it is
    handset.tap("Done")

    handset.tap("Dye day")
    handset.tap("Hand lots over")
    handset.see(re.compile("to hand over"), timeout=60_000)
    with handset.page.expect_download(timeout=60_000) as coming:
        handset.tap("Make the lot file")
    file = tmp_path / "lots.zip"
    coming.value.save_as(file)
    report = check(file.read_bytes())
    assert (list(report.problems), report.counts["lots"]) == ([], 2)

    other = desktop(tmp_path / "other")
    theirs = other.log(WindfallForm(new_site=SiteForm("Oak ride", "44.01, -28.01"), **BUSHEL))  # type: ignore[arg-type]
    group = tmp_path / "harvest-lots.zip"
    group.write_bytes(group_bytes(other))
    other.close()
    handset.tap("back")
    handset.tap("Share with the others who gather")
    with handset.page.expect_file_chooser(timeout=60_000) as dialog:
        handset.tap("Take in files")
    dialog.value.set_files([str(group)])
    handset.see("1 new lot and 1 new tree", timeout=60_000)

    before = handset.python(ALL)
    assert theirs.id in before
    assert len(before) == 3
    handset.restart()
    handset.flight_mode()
    handset.open(host.address)
    assert handset.python(ALL) == before
    handset.tap("Lots")
    handset.see(re.compile(newest[0]), timeout=60_000)
    handset.see(re.compile(theirs.code))
    handset.shot("phone-restarted")
    assert handset.requests.left() == []


def test_the_phone_reckons_as_the_desktop_does(handset: Handset, tmp_path: Path) -> None:
    """Worked example 4, typed into both, gives the same ranges to 1e-12, and what the paper says."""
    form = json.dumps(BUSHEL)
    there = handset.python(WORTH + f"""
from field_app.core.forms import SiteForm, WindfallForm
from field_app.core.load import estimate_lot
lot = book.log(WindfallForm(new_site=SiteForm("Oak ride", "44.01, -28.01"), **json.loads({form!r})))
json.dumps(worth(estimate_lot(lot.facts)))""")
    book = desktop(tmp_path / "desktop")
    lot = book.log(WindfallForm(new_site=SiteForm("Oak ride", "44.01, -28.01"), **BUSHEL))  # type: ignore[arg-type]
    book.close()
    names: dict[str, object] = {}
    exec(WORTH, names)
    here = names["worth"](estimate_lot(lot.facts))  # type: ignore[operator]  # made one line above
    assert len(here) == len(there)
    for ours, theirs in zip(here, there, strict=True):
        assert theirs == pytest.approx(ours, rel=1e-12, abs=0)
    assert there[0][1] == pytest.approx(19.73, abs=0.005)
    assert there[3][1] == pytest.approx(2.039, abs=0.0005)
