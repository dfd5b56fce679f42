"""The main job as a person does it, in a real browser of the size of a phone."""

from __future__ import annotations

import json
import os
import re
import subprocess
import sys
from pathlib import Path

import pytest

from tests.browser.phone import ROOT, Phone, Served

SEASON = "2026-10-08T15:00:00-02:00"


def command(folder: Path, *args: str, as_of: str = SEASON) -> str:
    """What a command prints about the same data."""
    done = subprocess.run(
        [sys.executable, "-m", "field_app.cli", "--data", str(folder), "--as-of", as_of, *args],
        cwd=ROOT, capture_output=True, text=True, check=True, env={**os.environ, "FIELD_APP_NOW": ""})
    return done.stdout


@pytest.fixture
def demo(tmp_path: Path, start_app) -> Served:
    """The real program, serving the demo scenario in its season."""
    folder = tmp_path / "demo"
    subprocess.run([sys.executable, "-m", "field_app.cli", "demo", str(folder)], cwd=ROOT, check=True,
                   capture_output=True)
    return start_app(folder, as_of=SEASON)


class Taps:
    """Counts what a hand does: every tap but those on the keys of the keypad."""

    def __init__(self, phone: Phone) -> None:
        self.phone, self.count = phone, 0

    def tap(self, name: str, *, exact: bool = False) -> None:
        self.phone.tap(name, exact=exact)
        self.count += 1

    def key_in(self, text: str) -> None:
        for sign in text:
            self.phone.tap({".": "decimal sign"}.get(sign, sign), exact=True)


def newest(folder: Path) -> dict:
    return json.loads(command(folder, "lots", "--limit", "1", "--json"))[0]


def test_from_the_tree_to_the_lot_file(demo: Served, phone: Phone, tmp_path: Path) -> None:
    """Log a windfall with a fix, reload, see it, hand over, check the file."""
    hand = Taps(phone)
    phone.open(demo.address)
    phone.see(re.compile("^Go to .* and "))
    hand.tap("Log a windfall")
    hand.tap("Find the nearest")
    phone.see(re.compile("nearest first", re.I))
    hand.tap("Mill lane")
    hand.key_in("14.2")
    phone.see("13.1 kg (12.7–13.5)")
    phone.shot("walk-weighed")
    hand.tap("Save this windfall")
    phone.see(re.compile("Saved as "))
    phone.shot("walk-saved")
    assert hand.count <= 6
    lot = newest(demo.folder)
    assert lot["site"] == "Mill lane"
    assert lot["gross"] == {"value": "14.2", "unit": "kg"}
    assert lot["fix"]["source"] == "device"
    assert lot["fix"]["accuracy"] == "7"
    assert lot["position"] == {"lat": 44.0123, "lon": -28.0057}

    phone.reload()
    phone.see(f"Saved as {lot['code']}")
    phone.tap("Done")
    phone.tap("Lots")
    phone.see(lot["code"])
    phone.shot("walk-lots")
    phone.page.get_by_role("button", name=re.compile(lot["code"])).first.click()
    phone.see("13.1 kg of whole black walnuts")
    phone.see("dyes, at medium")
    phone.shot("walk-lot")
    told = json.loads(command(demo.folder, "estimate", lot["code"], "--json"))
    medium = next(shade["fibre_mass"] for shade in told["shades"] if shade["shade"] == "medium")
    phone.see(re.compile(rf"{medium['central']:.1f} kg"))  # the screen shows what the command line tells
    phone.page.go_back()

    phone.tap("Dye day")
    phone.tap("Hand lots over")
    phone.see(re.compile("to hand over"))
    with phone.page.expect_download() as coming:
        phone.tap("Make the lot file")
    file = tmp_path / "lots.zip"
    coming.value.save_as(file)
    phone.see(re.compile("Made and read back without a fault: 11 lots"))
    phone.shot("walk-handed-over")
    report = json.loads(command(demo.folder, "check", str(file), "--json"))
    assert report["problems"] == []
    assert report["counts"]["lots"] == 11
    # That no request left for another host is asserted when the phone is put away.


def test_a_first_start_says_what_to_do(start_app, phone: Phone) -> None:
    """An empty book shows the three steps and one thing to do."""
    phone.open(start_app(as_of=SEASON).address)
    phone.see("Begin with what fell")
    phone.see("Log a windfall")
    phone.shot("first-start")
