"""A phone that can be switched off: a real browser with a profile of its own, on a folder that was really built.

What a person saved lies in the profile; the browser may be closed, or killed as by an empty battery, and started again.
"""

from __future__ import annotations

import json
import os
import signal
import threading
import time
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING, Any

from field_app.phone.serve import Server
from tests.browser.phone import FLAGS, HEIGHT, HERE, SCALE, WIDTH, Elsewhere, Phone, Requests

if TYPE_CHECKING:
    from playwright.sync_api import Page, Playwright, Worker

#: Python starts in the browser, on a machine that may be busy [ms].
START = 240_000

# The one book of the page, as the screens hold it.
BOOK = """
import gc, json
from field_app.store import FieldBook
book = next(found for found in gc.get_objects() if type(found) is FieldBook)
"""


class Host:
    """Serves a built folder, and can be switched off and on again at the same address."""

    def __init__(self, folder: Path) -> None:
        self.port = 0
        self.folder = folder
        self.start()

    def start(self) -> None:
        """Serve, as a host does."""
        self._server = Server(self.folder, self.port)
        self.port = int(self._server.server_address[1])
        self.address = self._server.address
        self._thread = threading.Thread(target=self._server.serve_forever, args=(0.05,), name="host")
        self._thread.start()

    def stop(self) -> None:
        """Serve no more."""
        self._server.shutdown()
        self._server.server_close()
        self._thread.join(10)


class Handset(Phone):
    """One phone with what it holds. Its first page is open at the app when this returns."""

    def __init__(self, playwright: Playwright, profile: Path, chromium: str, world: Elsewhere, shots: Path) -> None:
        self._playwright, self.profile, self._chromium, self._world = playwright, profile, chromium, world
        self._shots = shots
        self.errors: list[str] = []
        self.left: list[str] = []
        self._switch_on()

    def _switch_on(self) -> None:
        self.context = self._playwright.chromium.launch_persistent_context(
            self.profile, executable_path=self._chromium, headless=True, accept_downloads=True,
            args=[*FLAGS, f"--proxy-server=http://127.0.0.1:{self._world.port}"],
            viewport={"width": WIDTH, "height": HEIGHT}, device_scale_factor=SCALE, is_mobile=True, has_touch=True,
            locale="en-GB", timezone_id="Atlantic/South_Georgia", geolocation=dict(HERE), permissions=["geolocation"])
        self._on = True
        self.requests = Requests(self.context)
        self.said: list[str] = []
        self._excused = False
        self._attend(self.context.pages[0])

    def _attend(self, page: Page) -> None:
        self.page = page
        page.on("pageerror", self._failed)
        page.on("console", lambda message: self.said.append(message.text))

    def another_tab(self) -> Page:
        """Open a further tab, at which the phone looks from here on; gives the one before."""
        before = self.page
        self._attend(self.context.new_page())
        return before

    def close_tab(self) -> None:
        """Close the tab, with an empty one beside it, as a browser keeps one."""
        self.another_tab().close()

    def open(self, address: str, *, seen: bool = True) -> None:
        """Go to the app and wait for its first screen; seen: whether to read it."""
        self.home = address
        self.page.goto(address, wait_until="commit")
        self.started(seen=seen)

    def reload(self) -> None:
        """Load the page again."""
        self.page.reload(wait_until="commit")
        self.started()

    def started(self, *, seen: bool = True) -> None:
        """Wait until the first screen is there, and can be read."""
        self.told("step", "shown")
        if seen:
            self.wake()

    def visit(self, route: str) -> None:
        """Go to a screen by its address inside the app, such as "/lots"."""
        self.page.evaluate("route => { location.hash = route; }", route)
        self.rest()

    def settled(self) -> None:
        """Wait until the app is kept whole, and what was compiled of it."""
        self.told("offline", "ready")
        wait(lambda: self.page.evaluate("""async () => {
            for (const key of await caches.keys())
                if (key.includes("compiled") && await caches.match("pyodide/python_stdlib.zip", {cacheName: key}))
                    return true;
            return false; }"""), START, lambda: f"nothing compiled is kept; {self.said[-3:]}", self.page)

    def data(self) -> dict[str, str]:
        """What the page says of itself."""
        found: dict[str, str] = self.page.evaluate("() => ({...document.documentElement.dataset})")
        return found

    def told(self, name: str, value: str, *, limit: float = START) -> None:
        """Wait until the page says this of itself [ms]."""
        failed = self.page.locator("#failed")

        def there() -> bool:
            assert failed.count() == 0, f"{failed.inner_text()} {self.said[-3:]}"
            return self.data().get(name) == value

        wait(there, limit, lambda: f"{self.data()} {self.said[-3:]}", self.page)

    @property
    def worker(self) -> Worker:
        """The thread in which Python runs."""
        wait(lambda: self.page.workers, START, lambda: "no worker", self.page)
        return self.page.workers[0]

    def python(self, code: str) -> Any:
        """Run code in the phone's Python, beside the app, and give its last value as JSON data."""
        return json.loads(self.worker.evaluate("code => self.pyodide.runPython(code)", BOOK + code))

    def begin(self, code: str) -> None:
        """Start code in the phone's Python and don't wait for it."""
        self.worker.evaluate("code => { self.pyodide.runPythonAsync(code); }", BOOK + code)

    def leave_app(self) -> None:
        """Go to another page of the same host, which may look at the app's files but does not hold them."""
        self.page.goto(self.home.removesuffix("/").rpartition("/")[0] + "/none", wait_until="commit")
        self.page.wait_for_timeout(500)

    def files(self) -> dict[str, bytes]:
        """The app's own files, seen from the page that :meth:`leave_app` opens."""
        found = self.page.evaluate("""async () => {
            const files = {};
            for await (const [name, file] of (await navigator.storage.getDirectory()).entries())
                files[name] = [...new Uint8Array(await (await file.getFile()).arrayBuffer())];
            return files; }""")
        return {name: bytes(data) for name, data in found.items()}

    def put_file(self, name: str, data: bytes) -> None:
        """Let one of the app's files hold this, from the page that :meth:`leave_app` opens."""
        self.page.evaluate("""async ([name, data]) => {
            const file = await (await navigator.storage.getDirectory()).getFileHandle(name, {create: true});
            const stream = await file.createWritable();
            await stream.write(new Uint8Array(data));
            await stream.close(); }""", [name, list(data)])

    def room(self, size: int | None) -> None:
        """Let the browser give the app so much room [byte], or as much as it would."""
        size_there = {} if size is None else {"quotaSize": size}
        origin = self.page.evaluate("location.origin")
        self.context.new_cdp_session(self.page).send(
            "Storage.overrideQuotaForOrigin", {"origin": origin, **size_there})

    def flight_mode(self) -> None:
        """No network from here on."""
        self.context.set_offline(True)

    def restart(self) -> None:
        """Close the browser as a person does, and start it again."""
        self.close()
        self._switch_on()

    def die(self) -> None:
        """End the whole browser at once, as an empty battery does, and start it again."""
        mine = os.fsencode(f"--user-data-dir={self.profile}")
        for place in Path("/proc").iterdir():
            if place.name.isdigit():
                try:
                    if mine in (place / "cmdline").read_bytes().split(b"\0"):
                        os.kill(int(place.name), signal.SIGKILL)
                except OSError:
                    continue  # it has ended meanwhile
        self._put_away()
        for name in ("SingletonLock", "SingletonCookie", "SingletonSocket"):
            (self.profile / name).unlink(missing_ok=True)
        self._switch_on()

    def close(self) -> None:
        """Close the browser."""
        if self._on:
            self._put_away()

    def _put_away(self) -> None:
        self._on = False
        self.left += self.requests.left()
        try:
            self.context.close()
        except Exception as error:  # a browser that was killed can't be asked to close
            if "closed" not in str(error).lower():
                raise

    def complaints(self) -> list[str]:
        """Requests that left the host, and errors in the pages, so far."""
        return [*self.left, *self.errors]


def wait(done: Callable[[], Any], limit: float, why: Callable[[], str], page: Any) -> None:
    """Ask until it is so, at most so long [ms]."""
    end = time.monotonic() + limit / 1000
    while not done():
        if time.monotonic() > end:
            raise TimeoutError(why())
        page.wait_for_timeout(100)
