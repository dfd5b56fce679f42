"""A phone with a browser, the real program it looks at, and a watch on what it asks of others.

The client paints on a canvas; its text and buttons are found in the tree it makes for screen readers, which a
real click on a hidden button turns on.
"""

from __future__ import annotations

import io
import os
import re
import shutil
import signal
import socket
import subprocess
import sys
import threading
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import TYPE_CHECKING, Any
from urllib.parse import urlsplit

from PIL import Image

if TYPE_CHECKING:
    from playwright.sync_api import Browser, BrowserContext, Locator, Page, Request

ROOT = Path(__file__).parents[2]
WIDTH, HEIGHT, SCALE = 390, 844, 2
# On the invented island of the demo scenario; the accuracy [m] is that of a phone under trees.
HERE = {"latitude": 44.0123, "longitude": -28.0057, "accuracy": 7}
# The client holds what follows a touch for a fifth of a second, to tell a tap from the start of a drag.
HAND = 250  # [ms]
SLOW = 60_000  # [ms] the first start of the client on a busy machine

FLAGS = ("--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-background-networking",
         "--disable-component-update", "--disable-sync", "--disable-domain-reliability")

_WORDS = """() => {
    const words = [], walk = node => {
        if (node.nodeType === Node.TEXT_NODE) words.push(node.data);
        if (node.nodeType !== Node.ELEMENT_NODE) return;
        words.push(node.getAttribute('aria-label') || '', node.value || '');
        node.childNodes.forEach(walk);
    };
    const host = document.querySelector('flt-semantics-host');
    if (host) walk(host);
    return words.map(text => text.trim()).filter(text => text);
}"""

_TITLE = "() => document.querySelector('flt-semantics-host h1')?.textContent || ''"
# What the browser does when the address is changed by hand and only its end differs.
_GO = """address => {
    history.pushState(null, '', address);
    dispatchEvent(new PopStateEvent('popstate', {state: null}));
}"""


def find_chromium() -> str | None:
    """The path of a Chromium on this machine, or None; FIELD_APP_CHROMIUM names one."""
    if named := os.environ.get("FIELD_APP_CHROMIUM"):
        return named if Path(named).exists() else None
    found = (shutil.which(name) for name in ("chromium", "chromium-browser", "google-chrome"))
    return next((path for path in found if path), None)


class Elsewhere:
    """What stands in for the rest of the world: the browser's proxy for every host but this machine.

    It notes what was asked for and hangs up, so nothing leaves this machine, whatever the page does, and a
    request that the page's own log would not show is noted as well. Browsers open lines in advance and drop them
    unused, more so when they are killed: a line on which nothing came names no host, so it asks for nothing.
    """

    def __init__(self) -> None:
        self._place = socket.create_server(("127.0.0.1", 0))
        self.port: int = self._place.getsockname()[1]
        self._asked: list[str] = []
        self._thread = threading.Thread(target=self._listen, name="elsewhere")
        self._thread.start()

    def _listen(self) -> None:
        while True:
            try:
                line, _ = self._place.accept()
            except OSError:
                return
            with line:
                line.settimeout(5)
                try:
                    words = line.recv(4096).decode("latin-1").split()
                except OSError:
                    continue
            if words == ["stop"]:
                return
            if not words:
                continue
            target = words[1] if len(words) > 1 else "?"
            host = urlsplit(target if "//" in target else f"//{target}").hostname or target
            self._asked.append(host)

    def asked(self) -> list[str]:
        """Hosts that were asked for, without those that this browser asks on its own account.

        Chromium looks for its maker's update and account servers whatever page is open.
        """
        own = re.compile(r"(?!fonts\.)([a-z0-9-]+\.)*(google\.com|googleapis\.com|gvt1\.com)")
        return [host for host in self._asked if not own.fullmatch(host)]

    def close(self) -> None:
        """Stop listening."""
        with socket.create_connection(("127.0.0.1", self.port)) as line:
            line.sendall(b"stop")
        self._thread.join(10)
        self._place.close()


class Requests:
    """Every request of a browser context, with those that its policy stopped before they were sent."""

    def __init__(self, context: BrowserContext) -> None:
        self.made: list[str] = []
        self.stopped: list[str] = []
        context.on("request", lambda request: self.made.append(request.url))
        context.on("requestfailed", self._failed)

    def _failed(self, request: Request) -> None:
        if request.failure == "csp":
            self.stopped.append(request.url)

    def left(self) -> list[str]:
        """Requests that went to any host but 127.0.0.1."""
        rest = list(self.made)
        for url in self.stopped:
            rest.remove(url)
        near = ("127.0.0.1", "localhost", None)  # None: data:, blob: and about: addresses
        return [url for url in rest if urlsplit(url).hostname not in near]


class Phone:
    """One browser of its own, without cookies, the size of a phone.

    page: Playwright's page, for whatever has no shorter word here.
    home: where the program's screens are, once it was opened: the address without the token.
    requests: what it asked for so far.
    """

    def __init__(self, browser: Browser, shots: Path, *, here: Mapping[str, Any] | None = HERE) -> None:
        self._shots = shots
        place: dict[str, Any] = {"geolocation": dict(here), "permissions": ["geolocation"]} if here else {}
        self.context = browser.new_context(
            viewport={"width": WIDTH, "height": HEIGHT}, device_scale_factor=SCALE, is_mobile=True,
            has_touch=True, locale="en-GB", **place)
        self.requests = Requests(self.context)
        self.page: Page = self.context.new_page()
        self.home = ""
        self.errors: list[str] = []
        self._excused = False
        self.page.on("pageerror", self._failed)

    def _failed(self, error: object) -> None:
        if not self._excused:
            self.errors.append(str(error))

    def excuse(self) -> None:
        """From here to the next opening, errors don't count: the client complains when the program is gone."""
        self._excused = True

    def open(self, address: str) -> None:
        """Open the address that the program printed, and wait until its first screen can be read."""
        self._excused = False
        self.page.goto(address)
        self.wake()
        where = urlsplit(self.page.url)
        self.home = f"{where.scheme}://{where.netloc}/{where.path.split('/')[1]}/"

    def visit(self, route: str) -> None:
        """Go to a screen by its address inside the app, such as "/lots", after the app was opened."""
        self.page.goto(self.home + route.removeprefix("/"))
        self.wake()

    def go(self, route: str) -> None:
        """Go to a screen whose address is changed while the app runs: much quicker than to visit it."""
        before = self.page.evaluate(_TITLE)
        self.page.evaluate(_GO, self.home + route.removeprefix("/"))
        for _ in range(40):  # a title may stay as it is
            self.page.wait_for_timeout(100)
            if self.page.evaluate(_TITLE) not in ("", before):
                break
            if self.page.locator("flt-semantics-placeholder").count():  # the page was loaded anew
                self.wake()
        self.rest(calm=450)

    def reload(self) -> None:
        """Load the page again, as a person does who pulls it down."""
        self.page.reload()
        self.wake()

    def wake(self) -> None:
        """Turn on the tree for screen readers, which is off in every newly loaded page, and wait for rest."""
        self.page.wait_for_selector("flt-semantics-placeholder", state="attached", timeout=SLOW)
        # Until the first screen is painted the page's own opening lies over it, and there is nothing yet to be told.
        self.page.wait_for_selector(".opening", state="detached", timeout=SLOW)
        self.page.evaluate("document.querySelector('flt-semantics-placeholder').click()")
        self.rest()

    def rest(self, *, calm: float = 900, limit: float = SLOW) -> None:
        """Wait until there are words on the screen that stay the same for a while [ms].

        A page that is loaded again shows for a moment what its session showed last.
        """
        before, quiet, waited = "", 0.0, 0.0
        while quiet < calm:
            if waited > limit:
                raise TimeoutError(f"the screen did not come to rest; it says:\n{before}")
            self.page.wait_for_timeout(150)
            now = self.words()
            quiet = quiet + 150 if now and now == before else 0.0
            before, waited = now, waited + 150

    def find(self, text: str | re.Pattern[str]) -> Locator:
        """The first thing with this text or label."""
        return self.page.get_by_text(text).or_(self.page.get_by_label(text)).first

    def see(self, text: str | re.Pattern[str], *, timeout: float = 15_000) -> None:
        """Wait until a text or label is there [ms]."""
        self.find(text).wait_for(timeout=timeout)

    def tap(self, name: str | re.Pattern[str], *, exact: bool = False) -> None:
        """Tap the button with this name, no faster than a hand can."""
        self.page.get_by_role("button", name=name, exact=exact).first.click()
        self.page.wait_for_timeout(HAND)

    def write(self, label: str | re.Pattern[str], text: str) -> None:
        """Put the cursor into a field and type."""
        self.put_cursor(label)
        self.page.keyboard.type(text, delay=15)

    def put_cursor(self, label: str | re.Pattern[str], *, limit: float = 15_000) -> None:
        """Tap a field, and wait until the keyboard would write into it [ms]."""
        self.page.get_by_role("textbox", name=label).first.click()
        # Asked again and again from here: a page whose policy allows no eval can't wait by itself.
        while not self.page.evaluate("['INPUT', 'TEXTAREA'].includes(document.activeElement?.tagName)"):
            limit -= 100
            if limit < 0:
                raise TimeoutError(f"no cursor came into {label}")
            self.page.wait_for_timeout(100)

    def words(self) -> str:
        """All that a screen reader would find on the screen, one thing a line."""
        return "\n".join(dict.fromkeys(self.page.evaluate(_WORDS)))

    def stand(self, latitude: float, longitude: float, accuracy: float = 7) -> None:
        """Move to another place [deg, deg, m]."""
        self.context.set_geolocation(
            {"latitude": latitude, "longitude": longitude, "accuracy": accuracy})

    def shot(self, name: str) -> Path:
        """A picture of the screen, after movements have come to rest; FIELD_APP_SHOTS names the folder."""
        self.page.wait_for_timeout(600)
        path = self._shots / f"{name}.png"
        self.page.screenshot(path=path)
        return path

    def opening(self, start: Callable[[], object], *, limit: float = SLOW) -> list[tuple[int, int, int]]:
        """The colours that the corner of the window had in turn, until the first screen was there and rested.

        start: begins to load the page; limit: so long it may take [ms].
        """
        start()
        seen: list[tuple[int, int, int]] = []
        there = 0
        while there < 10:  # what would be shown after it is seen too
            assert limit > 0, f"the first screen did not come; the corner was {seen}"
            picture = Image.open(io.BytesIO(self.page.screenshot(clip={"x": 2, "y": 2, "width": 4, "height": 4})))
            colour = picture.convert("RGB").getpixel((0, 0))
            assert isinstance(colour, tuple)
            red, green, blue = map(int, colour)
            if seen[-1:] != [(red, green, blue)]:
                seen.append((red, green, blue))
            there += self.page.locator(".opening").count() == 0
            self.page.wait_for_timeout(50)
            limit -= 50
        return seen

    def close(self) -> None:
        """Close the browser window."""
        self.context.close()


class Served:
    """The real program in a process of its own, serving the data of one folder.

    address: what it printed; folder: its data; said: its messages so far, line by line.
    """

    def __init__(self, folder: Path, *options: str, environment: Mapping[str, str] | None = None) -> None:
        self.folder = folder
        inherited = {name: text for name, text in os.environ.items() if not name.startswith("FIELD_APP_")}
        self.process = subprocess.Popen(
            [sys.executable, "-m", "field_app.cli", "--no-browser", "--port", "0", "--data", str(folder),
             *options],
            cwd=ROOT, env={**inherited, **(environment or {})}, text=True,
            stdout=subprocess.DEVNULL, stderr=subprocess.PIPE)
        self.said: list[str] = []
        self.address = ""
        self._ready = threading.Event()
        self._reader = threading.Thread(target=self._read, name="messages")
        self._reader.start()
        if not self._ready.wait(60) or not self.address:
            self.kill()
            raise RuntimeError("the program did not start:\n" + "\n".join(self.said))

    def _read(self) -> None:
        assert self.process.stderr is not None
        for line in self.process.stderr:
            self.said.append(line.rstrip())
            if found := re.search(r"http://127\.0\.0\.1:\d+/\S*", line):
                self.address = found[0]
                self._ready.set()
        self._ready.set()

    @property
    def port(self) -> int:
        """The port on 127.0.0.1."""
        return urlsplit(self.address).port or 0

    def stop(self) -> int:
        """Stop it as Ctrl+C does, and give its exit code."""
        if self.process.poll() is None:
            self.process.send_signal(signal.SIGINT)
        try:
            return self.process.wait(20)
        finally:
            self.kill()

    def kill(self) -> None:
        """End it at once, as a power cut does."""
        self.process.kill()
        self.process.wait()
        self._reader.join(10)
        if self.process.stderr is not None:
            self.process.stderr.close()
