"""Two people's devices agree through one file, in two real browsers on two running programs."""

from __future__ import annotations

import json
import re
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

from tests.browser.phone import ROOT, Phone, Served
from tests.browser.test_main_job import SEASON, command


def test_a_windfall_goes_from_one_device_to_the_other(
    start_app: Callable[..., Served], new_phone: Callable[..., Phone], tmp_path: Path,
) -> None:
    """Logged on one, written as a group file, taken in on the other: the lot is there on its screen."""
    one, two = tmp_path / "one", tmp_path / "two"
    for name, position in (("Mill lane", "44.01234, -28.00567"), ("Ford bend", "44.02, -28.01")):
        command(one, "site", "add", name, "--at", position, "--material", "black-walnut")
    first, second = start_app(one, as_of=SEASON), start_app(two, as_of=SEASON)
    here, there = new_phone(), new_phone()

    here.open(first.address)
    here.tap("Log a windfall")
    here.tap("Mill lane")
    for key in ("1", "4", "decimal sign", "2"):
        here.tap(key, exact=True)
        here.rest(calm=300)  # what the first key makes known moves the keypad
    here.tap("Save this windfall")
    here.see(re.compile("Saved as "))
    lot = json.loads(command(one, "lots", "--json"))[0]
    assert lot["gross"] == {"value": "14.2", "unit": "kg"}
    here.tap("Done")
    here.tap("Dye day")
    here.tap("Share with the others who gather")
    here.tap("Write my group file")
    here.see("Exact places are inside")
    here.shot("sharing-asked")
    with here.page.expect_download() as coming:
        here.tap("Write it")
    file = tmp_path / coming.value.suggested_filename
    coming.value.save_as(file)
    assert re.fullmatch(r"harvest-lots\.[0-9a-f]{16}\.zip", file.name)
    here.see(re.compile(re.escape(file.name)))

    there.open(second.address)
    there.tap("Dye day")
    there.tap("Share with the others who gather")
    with there.page.expect_file_chooser() as dialog:
        there.tap("Take in files")
    dialog.value.set_files([str(file)])
    there.see("1 new lot and 2 new trees")
    there.see("You and 1 other device, of one mind")
    there.shot("sharing-taken-in")
    there.visit(f"/lots/{lot['code']}")
    there.see(re.compile(rf"Lot {lot['code']}"))
    there.shot("sharing-lot")
    there.see(re.compile(rf"{lot['net_mass']['central']:.1f} kg of"))
    there.see(re.compile("Mill lane"))
    assert json.loads(command(two, "lots", "--json"))[0]["id"] == lot["id"]


def test_a_folder_brings_two_devices_to_the_same(
    start_app: Callable[..., Served], phone: Phone, tmp_path: Path,
) -> None:
    """The folder's path is typed once; after a reload it stands there still, and both know the same trees."""
    one, two, shared = tmp_path / "one", tmp_path / "two", tmp_path / "shared"
    shared.mkdir()
    command(one, "site", "add", "Mill lane", "--at", "44.01234, -28.00567")
    subprocess.run([sys.executable, "-m", "field_app.cli", "--data", str(one), "sync", str(shared)], cwd=ROOT,
                   check=True, capture_output=True)
    phone.open(start_app(two, as_of=SEASON).address)
    phone.visit("/dye-day/share")
    phone.write("Path of the folder", str(shared))
    phone.tap("Bring it up to date")
    phone.tap("Go on")
    phone.see("1 new tree")
    phone.shot("sharing-folder")
    assert len(list(shared.glob("harvest-lots.*.zip"))) == 2
    phone.reload()
    phone.page.get_by_role("textbox", name="Path of the folder").first.click()
    phone.page.wait_for_function("path => document.activeElement?.value === path", arg=str(shared), timeout=10_000)
