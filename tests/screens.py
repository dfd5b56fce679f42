"""Pictures of every screen, in every way it may be looked at: ``python -m tests.screens OUT [WAY ...] [--only PART]``.

They show the demo scenario in its season, served by the real program and drawn by a real browser.  Without a way,
all of them are made; each gets a folder of its own and sheets of eight small pictures to look through.
"""

from __future__ import annotations

import argparse
import asyncio
import datetime as dt
import hashlib
import subprocess
import sys
import tempfile
from collections.abc import Iterator
from dataclasses import dataclass, field, replace
from pathlib import Path

from PIL import Image
from playwright.sync_api import Browser, sync_playwright

from field_app.core.deeds import DrawForm, StepForm
from field_app.core.habits import habits_from
from field_app.ids import new_id
from field_app.store import FieldBook, keep_habits, open_book
from field_app.sync import group_bytes, merge_bytes
from field_app.ui.theme import colours_of
from field_app.ui.windfall_form import from_lot, to_form
from tests.browser.phone import FLAGS, Phone, Served, find_chromium
from tests.photographs import photograph

SEASON = "2026-10-08T15:00:00-02:00"
#: Lots of the demo: one on which two people disagree, one that became liquor, one of which too much was taken.
APART, LIQUOR, OVERDRAWN = "AWPF", "790X", "904D"
#: A photograph of the lot that became liquor, and how its name begins.
HEAP = photograph(size=(1600, 1200), way_up=6)
PICTURE = hashlib.sha256(HEAP).hexdigest()[:16]
#: A tree of the demo, black walnut with leave, and the one with the longest name.
TREE = "ee128bca-03a4-50cd-bbd8-7bf2f00436c6"
#: Screens by their addresses; with a name after the blank, what is tapped once one is there.
SCREENS = {
    "today": "/", "morning": "/ Where am I now?", "shown": "/shown", "this-device": "/this-device",
    "round": "/round Where am I now?",
    "trees": "/trees", "tree-new": "/trees/new", "season": "/trees/season", "past-seasons": "/trees/past",
    "come-back": "/trees/come-back", "tree": f"/trees/{TREE}", "look": f"/trees/{TREE}/look",
    "find": f"/trees/{TREE}/find Where am I?",
    "windfall": "/windfall", "windfall-known": f"/windfall/{TREE}",
    "lots": "/lots", "lot-find": "/lots/find", "labels": "/lots/labels", "lot": "/lots/W8V6",
    "lot-apart": f"/lots/{APART}", "history": f"/lots/{APART}/history", "step": f"/lots/{APART}/step",
    "correct": f"/lots/{APART}/correct", "lot-liquor": f"/lots/{LIQUOR}", "draw": f"/lots/{LIQUOR}/draw",
    "liquor": "/lots/904D/liquor", "liquor-made": f"/lots/{LIQUOR}/liquor", "lot-overdrawn": f"/lots/{OVERDRAWN}",
    "lot-test": "/lots/904D/test", "dyes": f"/lots/{LIQUOR}/dyes", "lot-colour": "/lots/904D/colour",
    "dye-day": "/dye-day", "plan-new": "/dye-day/plan/new", "colour": "/dye-day/colour",
    "swatch": "/dye-day/colour/swatch", "cloth": "/dye-day/cloth", "cloth-new": "/dye-day/cloth/new",
    "need": "/dye-day/need", "old-recipe": "/dye-day/old", "hand-over": "/dye-day/hand-over",
    "share": "/dye-day/share",
    "materials": "/materials", "material": "/materials/black-walnut", "figure": "/materials/black-walnut/dry-fresh",
    "figure-set": "/materials/black-walnut/dry-fresh/set", "pots": "/pots", "pot": "/pots/new",
    "photograph": f"/lots/{LIQUOR}/photograph/{PICTURE}", "nowhere": "/nowhere",
}
#: What still says something on a book without a record.
EMPTY = ("today", "trees", "tree-new", "season", "past-seasons", "come-back", "windfall", "lots", "labels", "dye-day",
         "plan-new", "colour", "cloth", "need", "old-recipe", "hand-over", "share", "materials", "pots", "round",
         "this-device", "shown")


@dataclass(frozen=True)
class Way:
    """One way of looking: size [CSS px], what the person chose, and the size of the browser's text [%]."""

    width: int = 390
    height: int = 844
    chosen: dict[str, str] = field(default_factory=dict)
    text: int = 100
    empty: bool = False


WAYS = {
    "day": Way(chosen={"light": "day"}), "empty": Way(empty=True), "night": Way(chosen={"light": "night"}),
    "sun": Way(chosen={"light": "sun"}), "narrow": Way(360, 640), "large": Way(text=200),
    "landscape": Way(844, 390), "tablet": Way(820, 1180),
    "left": Way(chosen={"hand": "left", "measures": "us", "dates": "iso"}),
    "german": Way(chosen={"language": "de", "decimal": "comma"}),
}


def made_demo(folder: Path) -> FieldBook:
    """The book of a new demo folder."""
    subprocess.run([sys.executable, "-m", "field_app.cli", "demo", str(folder)], check=True, capture_output=True)
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


def taken(browser: Browser, way: Way, folder: Path, out: Path, only: str) -> Iterator[Path]:
    """One picture a screen."""
    # Kept as a tap keeps it: light and hand are of the device, and nothing says them for one start.
    book = open_book(folder, clock=lambda: dt.datetime.fromisoformat(SEASON), new_id=new_id)
    keep_habits(book.log_book, habits_from(way.chosen))
    book.close()
    ground = colours_of(habits_from(way.chosen).light).ground
    served = Served(folder, "--as-of", SEASON)
    phone = Phone(browser, out)
    phone.page.set_viewport_size({"width": way.width, "height": way.height})
    if way.text != 100:
        phone.page.add_init_script("new MutationObserver(() => { document.documentElement?.style.setProperty("
                                   f"'font-size', '{way.text}%'); }}).observe(document, {{childList: true}});")
    try:
        phone.open(served.address)
        for name, address in SCREENS.items():
            if only in name and (not way.empty or name in EMPTY):
                route, _, tap = address.partition(" ")
                phone.visit(route)
                if tap and way.chosen.get("language", "en") == "en" and not way.empty:
                    # The program still knows where it is from the screen before: then there is nothing to ask.
                    if phone.page.get_by_role("button", name=tap).count():
                        phone.tap(tap)
                    phone.page.wait_for_timeout(2000)
                yield painted(phone, name, ground)
    finally:
        phone.close()
        served.stop()


def painted(phone: Phone, name: str, ground: str, tries: int = 40) -> Path:
    """The picture of a screen, taken until it is there: the client waits, and has words before it paints."""
    for _ in range(tries):
        path = phone.shot(name)
        with Image.open(path) as image:
            picture = image.convert("RGB")
        corner = "#{:02X}{:02X}{:02X}".format(*picture.getpixel((2, 2)))
        # Before the screens come, the client shows its own ground, which is none of ours.
        if corner == ground and any(low < high for low, high in picture.getextrema()):
            return path
        phone.page.wait_for_timeout(500)
    raise RuntimeError(f"nothing was painted on {name}; it says:\n{phone.words()}")


def sheet(pictures: list[Path], to: Path, width: int) -> None:
    """One picture of many, four beside each other."""
    small = []
    for path in pictures:
        with Image.open(path) as image:
            small.append(image.convert("RGB").resize((width, image.height * width // image.width)))
    across = 1600 // width
    high = max(image.height for image in small)
    whole = Image.new("RGB", (across * (width + 10), -(-len(small) // across) * (high + 10)), "#8a8178")
    for number, image in enumerate(small):
        whole.paste(image, (number % across * (width + 10), number // across * (high + 10)))
    whole.save(to)


def main(out: Path, ways: list[str], only: str) -> None:
    """Write a folder of pictures a way, and sheets of them."""
    with tempfile.TemporaryDirectory() as scratch:
        demo, empty = Path(scratch) / "demo", Path(scratch) / "empty"
        # Before the browser: its loop would keep the photographs from being put away.
        go_on(demo, Path(scratch) / "other")
        with sync_playwright() as playwright:
            browser = playwright.chromium.launch(executable_path=find_chromium(), args=list(FLAGS))
            for name in ways or list(WAYS):
                way, folder = WAYS[name], out / name
                folder.mkdir(parents=True, exist_ok=True)
                pictures = list(taken(browser, way, empty if way.empty else demo, folder, only))
                for first in range(0, len(pictures), 8):
                    sheet(pictures[first:first + 8], out / f"{name}-{first // 8 + 1}.png",
                          640 if way.width > way.height else 390)
                print(folder, len(pictures))


if __name__ == "__main__":
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("out", type=Path)
    parser.add_argument("ways", nargs="*", metavar="WAY", help=", ".join(WAYS))
    parser.add_argument("--only", default="", help="screens whose name holds this")
    asked = parser.parse_args()
    main(asked.out, asked.ways, asked.only)
