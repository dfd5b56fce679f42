"""A day of the season in a real browser: the morning, at the tree, and back at the shed."""

from __future__ import annotations

import datetime as dt
import json
import re
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest

from field_app.ids import new_id
from field_app.store import open_book
from tests.browser.phone import ROOT, Phone, Served
from tests.browser.test_main_job import Taps, command, newest

MORNING = "2026-10-08T10:00:00-02:00"


@pytest.fixture
def demo(tmp_path: Path, start_app: Callable[..., Served]) -> Served:
    """The real program on a morning of the demo's season, with two pails of one's own."""
    folder = tmp_path / "demo"
    subprocess.run([sys.executable, "-m", "field_app.cli", "demo", str(folder)], cwd=ROOT, check=True,
                   capture_output=True)
    for name, holds, tare in (("blue pail", "30 L", "1.4 kg"), ("small pail", "12 L", "0.8 kg")):
        command(folder, "pots", "add", name, "--kind", "pail", "--volume", holds, "--tare", tare)
    return start_app(folder, as_of=MORNING)


def test_the_morning_says_where_to_and_why(demo: Served, phone: Phone) -> None:
    """One screen: the trees with why, the round from where one is, the light, the pails, the cautions."""
    phone.open(demo.address)
    phone.see(re.compile("^Go to .* and "))
    phone.see(re.compile("Waiting a day loses"))
    phone.shot("day-1-morning")
    phone.tap("Where am I now?")
    phone.see("The round")
    phone.see(re.compile("16:50, sunset 17:20"))
    words = phone.words()
    assert "from where you are" in words
    told = json.loads(command(demo.folder, "round", "--from", "44.0123, -28.0057", "--json", as_of=MORNING))
    assert [stop["site"] for stop in told["stops"]] == re.findall(r"^\d · (.+)$", words, re.M)
    total = told["total"]
    assert f"{total['central']:.1f} kg" in words
    phone.shot("day-1-round")
    phone.tap(re.compile("^take along"))
    phone.see("blue pail, 30 L")
    phone.see("1.4 kg empty")
    phone.tap(re.compile("^take care"))
    phone.see("The juice stains")
    phone.shot("day-1-take")


def test_at_the_tree_in_six_taps_and_the_weight(demo: Served, phone: Phone) -> None:
    """Found, looked at and logged: each within six taps beside the weight, counted from the screen one stands on."""
    hand = Taps(phone)
    phone.open(demo.address)
    phone.see(re.compile("^Go to "))
    hand.tap("Where am I now?")
    phone.see("The round")
    hand.tap("Find Mill lane")
    phone.see("You are there: look around")
    phone.shot("day-2-found")
    hand.tap("Note a look")
    hand.tap("fallen, firm")
    hand.tap("Keep this look")
    phone.see(re.compile("Ready now; go by"))
    phone.see("Undo")
    phone.shot("day-2-looked")
    assert hand.count <= 6, "finding a tree and noting how it stands"
    look = json.loads(command(demo.folder, "when", "Mill lane", "--json", as_of=MORNING))[0]
    assert look["standing"] == "ready"

    hand.count = 0
    hand.tap("Log a windfall")
    phone.see("Mill lane")
    hand.key_in("9.6")
    phone.see(re.compile(r"8\.5 kg"))  # the pail of last time there is taken off: 1.1 kg
    phone.shot("day-2-weighed")
    hand.tap("Save this windfall")
    phone.see(re.compile("Saved as "))
    phone.see("Undo")
    phone.shot("day-2-saved")
    assert hand.count <= 2, "a known tree, from its own screen"
    lot = newest(demo.folder)
    assert (lot["site"], lot["gross"]["value"], lot["tare"]["value"]) == ("Mill lane", "9.6", "1.1")
    phone.tap("Undo")
    phone.see("Taken back")
    assert newest(demo.folder)["code"] != lot["code"]


def test_from_today_a_known_tree_is_logged_in_six_taps(demo: Served, phone: Phone) -> None:
    """From the first screen to the saved lot: at most six taps beside the weight, with what was chosen last preset."""
    hand = Taps(phone)
    phone.open(demo.address)
    phone.see(re.compile("^Go to "))
    hand.tap("Log a windfall")
    hand.tap("Find the nearest")
    phone.see(re.compile("nearest first", re.I))
    hand.tap("Mill lane")
    hand.key_in("9.6")
    hand.tap("Save this windfall")
    phone.see(re.compile("Saved as "))
    assert hand.count <= 6
    lot = newest(demo.folder)
    assert (lot["material"], lot["part"]) == ("black-walnut", "whole-fruit")


def test_back_at_the_shed(demo: Served, phone: Phone) -> None:
    """What spoils first stands first; water, kettle and strainer are two taps away; each draw says what was left."""
    phone.open(demo.address)
    phone.tap("Lots", exact=True)
    phone.see("Use first")
    order = re.findall(r"^(AWPF|790X|JB07|904D)", phone.words(), re.M)
    assert order[:3] == ["AWPF", "790X", "JB07"]
    phone.shot("day-3-lots")
    phone.page.get_by_role("button", name=re.compile("AWPF")).first.click()
    phone.tap("Put under water")
    phone.see("What was done with it")
    phone.tap("Keep this step")
    phone.see(re.compile("Under water since today"))
    phone.see("Undo")
    phone.shot("day-3-soaked")
    phone.tap("Boil", exact=True)
    phone.tap("Keep this step")
    phone.tap("Strain", exact=True)
    phone.see("What was done with it")
    Taps(phone).key_in("30")
    phone.shot("day-3-straining")
    phone.tap("Keep this step")
    phone.see(re.compile(r"30\.0 L of liquor"))
    phone.tap("Take from it")
    phone.see(re.compile("left"))
    Taps(phone).key_in("12")
    phone.tap("Take it")
    phone.see(re.compile(r"left then: 18"))
    phone.shot("day-3-drawn")
    book = open_book(demo.folder, clock=lambda: dt.datetime.fromisoformat(MORNING), new_id=new_id)
    left = book.lot("AWPF").life.left
    book.close()
    assert (left.unit, round(left.central)) == ("L", 18)


def test_back_leads_to_trees(demo: Served, phone: Phone) -> None:
    """From the days to come back on and from past seasons, the way back is by the season to the trees."""
    phone.open(demo.address)
    phone.tap("Trees", exact=True)
    for way in ("When to come back", "Past seasons in pictures"):
        phone.see("The season of all trees")
        phone.tap("The season of all trees")
        phone.rest()
        phone.tap(way)
        phone.rest()
        phone.tap("back")
        phone.rest()
        phone.tap("back")
        phone.see(re.compile("trees, .* without leave"))
