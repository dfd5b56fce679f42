"""Pictures of every screen at the size of a phone: ``python -m tests.screens OUT``.

They show the demo scenario in its season, served by the real program and drawn by a real browser.
"""

from __future__ import annotations

import subprocess
import sys
import tempfile
from pathlib import Path

from playwright.sync_api import sync_playwright

from tests.browser.phone import FLAGS, Phone, Served, find_chromium

SEASON = "2026-10-08T15:00:00-02:00"
#: What to tap on the way to each screen, from the one before.
WALK = {"today": (), "windfall": ("Log a windfall",), "trees": (".back", "Trees"), "tree-new": ("Add a tree",),
        "lots": (".back", "Lots"), "dye-day": ("Dye day",)}


def main(out: Path) -> None:
    """Write one picture a screen into a folder."""
    out.mkdir(parents=True, exist_ok=True)
    with tempfile.TemporaryDirectory() as scratch:
        demo, empty = Path(scratch) / "demo", Path(scratch) / "empty"
        subprocess.run([sys.executable, "-m", "field_app.cli", "demo", str(demo)], check=True)
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
                finally:
                    phone.close()
                    served.stop()


if __name__ == "__main__":
    main(Path(sys.argv[1]))
