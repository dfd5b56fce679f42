"""The picture at the top of the README: ``python -m tests.readme_picture``, from the real program."""

from __future__ import annotations

import base64
import re
import subprocess
import sys
import tempfile
from pathlib import Path

from playwright.sync_api import sync_playwright

from tests.browser.phone import FLAGS, ROOT, Phone, Served, find_chromium

SEASON = "2026-10-08T15:00:00-02:00"
PICTURE = ROOT / "field_app" / "assets" / "screens.png"


def main() -> None:
    """Walk to three screens and put their pictures side by side."""
    with tempfile.TemporaryDirectory() as scratch, sync_playwright() as playwright:
        demo, out = Path(scratch) / "demo", Path(scratch)
        subprocess.run([sys.executable, "-m", "field_app.cli", "demo", str(demo)], check=True)
        browser = playwright.chromium.launch(executable_path=find_chromium(), args=list(FLAGS))
        served = Served(demo, "--as-of", SEASON)
        phone = Phone(browser, out)
        phone.open(served.address)
        phone.see(re.compile("^Go to .* and "))
        shots = [phone.shot("1")]
        phone.tap("Log a windfall")
        phone.tap("Find the nearest")
        phone.tap("Mill lane")
        for sign in ("1", "4", "decimal sign", "2"):
            phone.tap(sign, exact=True)
        phone.see("13.1 kg (12.7–13.5)")
        shots.append(phone.shot("2"))
        phone.tap("Save this windfall")
        phone.tap("See this lot")
        phone.see("at light")
        shots.append(phone.shot("3"))
        phone.close()
        served.stop()
        page = browser.new_page(viewport={"width": 1230, "height": 892})
        images = "".join(f'<img width="390" src="data:image/png;base64,{base64.b64encode(s.read_bytes()).decode()}">'
                         for s in shots)
        page.set_content(f'<body style="margin:0;padding:24px 18px;background:#8a8178;display:flex;gap:12px">{images}')
        page.screenshot(path=PICTURE)
        browser.close()


if __name__ == "__main__":
    main()
