"""Pictures of every screen at the size of a phone: ``python -m tests.screens OUT``.

They show the demo scenario in its season, served by the real program and drawn by a real browser.
"""

from __future__ import annotations

import asyncio
import datetime as dt
import hashlib
import subprocess
import sys
import tempfile
from dataclasses import replace
from pathlib import Path

from playwright.sync_api import sync_playwright

from field_app.core.deeds import DrawForm, StepForm
from field_app.ids import new_id
from field_app.store import FieldBook, open_book
from field_app.sync import group_bytes, merge_bytes
from field_app.ui.windfall_form import from_lot, to_form
from tests.browser.phone import FLAGS, Phone, Served, find_chromium
from tests.photographs import photograph

SEASON = "2026-10-08T15:00:00-02:00"
#: What to tap on the way to each screen, from the one before.
WALK = {"today": (), "windfall": ("Log a windfall",), "trees": (".back", "Trees"), "tree-new": ("Add a tree",),
        "lots": (".back", "Lots"), "dye-day": ("Dye day",),
        "share": ("Share with the others",)}
#: Lots of the demo: one on which two people disagree, one that became liquor, one of which too much was taken.
APART, LIQUOR, OVERDRAWN = "AWPF", "790X", "904D"
#: A photograph of the lot that became liquor, and how its name begins.
HEAP = photograph(size=(1600, 1200), way_up=6)
PICTURE = hashlib.sha256(HEAP).hexdigest()[:16]
#: The screens of what becomes of a lot, by their addresses.
LATER = {"liquor": "/lots/904D/liquor", "liquor-made": f"/lots/{LIQUOR}/liquor",
         "lot-apart": f"/lots/{APART}", "history": f"/lots/{APART}/history", "step": f"/lots/{APART}/step",
         "correct": f"/lots/{APART}/correct", "lot-liquor": f"/lots/{LIQUOR}", "draw": f"/lots/{LIQUOR}/draw",
         "lot-overdrawn": f"/lots/{OVERDRAWN}", "share": "/dye-day/share",
         "colour": "/dye-day/colour", "swatch": "/dye-day/colour/swatch",
         "materials": "/materials", "material": "/materials/black-walnut",
         "figure": "/materials/black-walnut/dry-fresh", "figure-set": "/materials/black-walnut/dry-fresh/set",
         "lot-find": "/lots/find", "labels": "/lots/labels",
         "lot-test": "/lots/904D/test", "pots": "/pots", "pot": "/pots/new",
         "cloth": "/dye-day/cloth",
         "cloth-new": "/dye-day/cloth/new", "need": "/dye-day/need", "dyes": f"/lots/{LIQUOR}/dyes",
         "old-recipe": "/dye-day/old", "season": "/trees/season",
         "past-seasons": "/trees/past", "come-back": "/trees/come-back",
         "photograph": f"/lots/{LIQUOR}/photograph/{PICTURE}"}
#: Screens that need a tap once they are there: where they are, and what to tap.
TAPPED = {"round": ("/round", "Where am I now?"), "morning": ("/", "Where am I now?"),
          "find": ("/trees/ee128bca-03a4-50cd-bbd8-7bf2f00436c6/find", "Where am I?")}


def made_demo(folder: Path) -> FieldBook:
    """The book of a new demo folder."""
    subprocess.run([sys.executable, "-m", "field_app.cli", "demo", str(folder)], check=True)
    return open_book(folder, clock=lambda: dt.datetime.fromisoformat(SEASON), new_id=new_id)


def go_on(demo: Path, other: Path) -> None:
    """What two people do with the lots of the season, each on a device of their own, before they meet."""
    one, two = made_demo(demo), made_demo(other)
    for book, gross, amount, purpose in ((one, "24.2", "11 kg", "shawl, medium brown"),
                                         (two, "20.9", "12.5 kg", "curtains of the parish hall")):
        book.correct(APART, to_form(replace(from_lot(book.lot(APART)), gross=gross)))
        book.draw(OVERDRAWN, DrawForm(amount, by="the dye house", purpose=purpose))
    one.step(LIQUOR, StepForm("strained", volume="28 L", nuts="4.2 kg", note="in the grey bucket"))
    for number, data in enumerate((HEAP, photograph(size=(1600, 1200), shade=60)), 1):
        asyncio.run(one.album.add(one.lot(LIQUOR).id, data, f"heap-{number}.jpg"))
    merge_bytes(one, group_bytes(two), "the other device")
    one.close()
    two.close()


def main(out: Path) -> None:
    """Write one picture a screen into a folder."""
    out.mkdir(parents=True, exist_ok=True)
    with tempfile.TemporaryDirectory() as scratch:
        demo, empty = Path(scratch) / "demo", Path(scratch) / "empty"
        go_on(demo, Path(scratch) / "other")
        with sync_playwright() as playwright:
            browser = playwright.chromium.launch(executable_path=find_chromium(), args=list(FLAGS))
            for name, folder in (("demo", demo), ("empty", empty)):
                served = Served(folder, "--as-of", SEASON)
                phone = Phone(browser, out)
                try:
                    phone.open(served.address)
                    for screen, taps in WALK.items():
                        for name_of_button in taps:
                            if name_of_button == ".back":
                                phone.page.go_back()
                                phone.page.wait_for_timeout(800)
                            else:
                                phone.tap(name_of_button)
                        print(phone.shot(f"{name}-{screen}"))
                    for screen, address in LATER.items() if folder == demo else ():
                        phone.visit(address)
                        print(phone.shot(f"{name}-{screen}"))
                    for screen, (address, tap) in TAPPED.items() if folder == demo else ():
                        phone.visit(address)
                        phone.tap(tap)
                        phone.page.wait_for_timeout(2500)
                        print(phone.shot(f"{name}-{screen}"))
                finally:
                    phone.close()
                    served.stop()


if __name__ == "__main__":
    main(Path(sys.argv[1]))
