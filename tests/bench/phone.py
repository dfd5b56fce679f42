"""What the phone's app costs: its size over the wire, and its start against an empty page of the same runtime.

``python -m tests.bench.phone`` builds both, and starts them in turn, offline, from what the browser kept.
"""

from __future__ import annotations

import json
import re
import shutil
import statistics
import sys
import tarfile
import tempfile
import time
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

import flet_web
from flet.controls.types import RouteUrlStrategy, WebRenderer
from flet_web import patch_font_manifest_json, patch_index_html
from playwright.sync_api import Playwright, sync_playwright

from field_app.phone.build import MARK, build
from field_app.phone.pack import wheel_files
from field_app.phone.wheels import LOCK as WHEELS
from field_app.phone.wheels import download, locked
from tests.browser.phone import Elsewhere, find_chromium
from tests.phone.handset import Handset, Host

#: At most so much over the wire [byte], and so many times the empty page's start [1].
MOST_BYTES, MOST_RATIO = 15_000_000, 1.25
_TURNS = 5
#: What the toolkit itself needs, and nothing of ours.
_BARE = ("flet", "msgpack", "repath", "six")
_EMPTY = """
import flet as ft

def main(page: ft.Page):
    page.add(ft.Text("Nothing here"))

ft.run(main)
"""
_KEEP = """
self.addEventListener("install", event => event.waitUntil((async () => {
  const cache = await caches.open("bare");
  await cache.addAll(await (await fetch("files.json")).json());
  await self.skipWaiting();
})()));
self.addEventListener("activate", event => event.waitUntil(self.clients.claim()));
self.addEventListener("fetch", event => event.respondWith((async () =>
  (await caches.match(event.request, {ignoreSearch: true})) ?? new Response("", {status: 404}))()));
"""


@dataclass(frozen=True, slots=True)
class Found:
    """over_the_wire: [byte]; ours, bare: the median time to the first screen [s]; ratio: of the two [1]."""

    over_the_wire: int
    ours: float
    bare: float

    @property
    def ratio(self) -> float:
        """Our start over that of the empty page [1]."""
        return self.ours / self.bare


def empty_page(folder: Path) -> None:
    """An empty page of the toolkit, as its own client runs it, kept by a service worker."""
    shutil.copytree(flet_web.get_package_web_dir(), folder)
    pins = locked(WHEELS.read_text(encoding="utf-8"))
    with tempfile.TemporaryDirectory() as place:
        wheels = download(Path(place), "--no-deps", *(f"{name}=={pins[name]}" for name in _BARE))
        inside = Path(place) / "inside"
        for name, data in {**{f"__pypackages__/{name}": data for name, data in wheel_files(wheels)},
                           "main.py": _EMPTY.encode()}.items():
            (inside / name).parent.mkdir(parents=True, exist_ok=True)
            (inside / name).write_bytes(data)
        with tarfile.open(folder / "app.tar.gz", "w:gz") as archive:
            archive.add(inside, arcname="/")
    patch_index_html(
        index_path=str(folder / "index.html"), base_href="/", app_name="bare", pyodide=True,
        pyodide_script_path="main.py", pyodide_version="314.0.7", app_package_url="app.tar.gz",
        web_renderer=WebRenderer.CANVAS_KIT, route_url_strategy=RouteUrlStrategy.HASH, no_cdn=True)
    page = (folder / "index.html").read_text(encoding="utf-8")
    page = page.replace('flet.pyodideUrl="pyodide/pyodide.mjs"', 'flet.pyodideUrl="./pyodide/pyodide.mjs"')
    page = page.replace("</head>", '<script>navigator.serviceWorker.register("sw.js")</script></head>')
    (folder / "index.html").write_text(page, encoding="utf-8")
    loader = folder / "flutter_bootstrap.js"
    loader.write_text(re.sub(r"\n\s*serviceWorkerSettings:\s*\{.*?\},(?=\s*\n)", "", loader.read_text("utf-8"),
                             flags=re.DOTALL), encoding="utf-8")
    patch_font_manifest_json(manifest_path=str(folder / "assets/FontManifest.json"))
    (folder / "sw.js").write_text(_KEEP, encoding="utf-8")
    files = ["./", *(path.relative_to(folder).as_posix() for path in folder.rglob("*")
                     if path.is_file() and path.name != "sw.js")]
    (folder / "files.json").write_text(json.dumps(files), encoding="utf-8")
    (folder / MARK).write_text(json.dumps({"base": "/"}), encoding="utf-8")


def start_time(phone: Handset, address: str, words: str) -> float:
    """From asking for the page to its first words, as a person can read and tap them [s]."""
    phone.page.goto("about:blank")
    begun = time.perf_counter()
    phone.page.goto(address, wait_until="commit")
    phone.page.wait_for_selector("flt-semantics-placeholder", state="attached", timeout=240_000)
    phone.page.evaluate("document.querySelector('flt-semantics-placeholder').click()")
    phone.page.get_by_text(words).first.wait_for(timeout=240_000)
    phone.page.locator(".opening").wait_for(state="detached", timeout=240_000)  # it would lie above them
    return time.perf_counter() - begun


def starts(playwright: Playwright, hosts: Mapping[str, tuple[Path, str]], turns: int) -> dict[str, list[float]]:
    """The times of the starts from what the browser kept, without any host, taken in turn [s]."""
    chromium = find_chromium()
    assert chromium is not None
    world, times = Elsewhere(), {name: [] for name in hosts}  # type: ignore[var-annotated]  # of numbers
    with tempfile.TemporaryDirectory() as place:
        phones = {}
        for name, (folder, words) in hosts.items():
            host = Host(folder)
            phone = phones[name] = Handset(playwright, Path(place) / name, chromium, world, Path(place))
            phone.home = host.address
            start_time(phone, host.address, words)
            phone.page.evaluate("navigator.serviceWorker.ready")
            if name == "ours":
                phone.settled()
            phone.page.wait_for_timeout(2000)
            host.stop()
            phone.flight_mode()
            start_time(phone, host.address, words)  # the first start without a host warms up both alike
        for _ in range(turns):
            for name, phone in phones.items():
                times[name].append(start_time(phone, phone.home, hosts[name][1]))
        for phone in phones.values():
            phone.close()
    world.close()
    return times


def measure(turns: int = _TURNS) -> Found:
    """Build both, and measure."""
    with tempfile.TemporaryDirectory() as place, sync_playwright() as playwright:
        ours, bare = Path(place) / "ours", Path(place) / "bare"
        made = build(ours, say=lambda _: None)
        empty_page(bare)
        times = starts(playwright, {"ours": (ours, "Begin with what fell"), "bare": (bare, "Nothing here")}, turns)
    return Found(made.over_the_wire, statistics.median(times["ours"]), statistics.median(times["bare"]))


def main() -> int:
    """Say what was found; 1 if an aim is missed."""
    found = measure()
    print(f"over the wire: {found.over_the_wire / 1e6:.1f} MB, at most {MOST_BYTES / 1e6:.0f}")
    print(f"start, kept and offline: {found.ours:.2f} s; an empty page: {found.bare:.2f} s; "
          f"ratio {found.ratio:.2f}, at most {MOST_RATIO}")
    return int(found.over_the_wire > MOST_BYTES or found.ratio > MOST_RATIO)


if __name__ == "__main__":
    sys.exit(main())
