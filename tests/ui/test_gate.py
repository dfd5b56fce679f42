"""Who may talk to the screens, asked of the gate itself, with the real client's files behind it."""

import asyncio
from collections.abc import Iterator
from http.cookies import SimpleCookie
from typing import Any

import flet as ft
import pytest
from hypothesis import given
from hypothesis import strategies as st

from field_app.ui.gate import COOKIE, SAFETY, Gate

PORT = 8550
TOKEN = "a-token-for-tests-only-0123456789-abcdef"
OWN = f"http://127.0.0.1:{PORT}"


def draw(page: ft.Page) -> None:
    page.add(ft.Text("inside"))


class Answered:
    """What came back: status (0: a websocket was refused, 1: it was accepted), headers and body."""

    def __init__(self, sent: list[Any]) -> None:
        start = sent[0]
        self.status = {"websocket.close": 0, "websocket.accept": 1}.get(start["type"], start.get("status"))
        self.lines = [(name.decode().lower(), value.decode()) for name, value in start.get("headers", ())]
        self.headers = dict(self.lines)
        self.body = b"".join(message.get("body", b"") for message in sent[1:]).decode()


@pytest.fixture(scope="module")
def gate() -> Iterator[Gate]:
    """A gate before the real ASGI application; its start and stop make and remove the patched files."""
    from flet_web.fastapi import app

    made = Gate(app(draw, no_cdn=True), port=PORT, token=TOKEN)
    yield made
    asyncio.run(_stop(made))


async def _stop(gate: Gate) -> None:
    messages = iter([{"type": "lifespan.startup"}, {"type": "lifespan.shutdown"}])

    async def receive() -> Any:
        return next(messages)

    async def send(message: Any) -> None:
        assert message["type"].endswith("complete")

    await gate({"type": "lifespan", "asgi": {"version": "3.0"}}, receive, send)


def ask(
    gate: Gate, target: str, *headers: tuple[str, str], host: str | None = f"127.0.0.1:{PORT}",
    method: str = "GET", cookie: str | None = None, websocket: bool = False,
) -> Answered:
    path, _, query = target.partition("?")
    lines = [*headers]
    lines += [("host", host)] if host is not None else []
    lines += [("cookie", cookie)] if cookie is not None else []
    scope = {
        "type": "websocket" if websocket else "http", "asgi": {"version": "3.0"}, "http_version": "1.1",
        "scheme": "ws" if websocket else "http", "path": path, "raw_path": path.encode(),
        "query_string": query.encode(), "root_path": "", "client": ("127.0.0.1", 50000),
        "server": ("127.0.0.1", PORT), "subprotocols": [],
        "headers": [(name.encode(), value.encode("latin-1")) for name, value in lines],
    }
    if not websocket:
        scope["method"] = method
    asked = iter([{"type": "websocket.connect"}, {"type": "websocket.disconnect", "code": 1000}]
                 if websocket else [{"type": "http.request", "body": b"", "more_body": False}])
    sent: list[Any] = []

    async def receive() -> Any:
        try:
            return next(asked)
        except StopIteration:
            await asyncio.Event().wait()

    async def send(message: Any) -> None:
        sent.append(message)

    async def exchange() -> None:
        if not websocket:
            await gate(scope, receive, send)
            return
        # A client that leaves before it registered is never let go by the toolkit, so the wait is ended here.
        serving = asyncio.create_task(gate(scope, receive, send))
        while not sent and not serving.done():
            await asyncio.sleep(0)
        serving.cancel()
        await asyncio.gather(serving, return_exceptions=True)

    asyncio.run(exchange())
    return Answered(sent)


def key(gate: Gate) -> str:
    return f"{COOKIE}={gate.key}"


def check_refused(answer: Answered) -> None:
    assert answer.status == 403
    assert "Start field-app again, or open the address it printed." in answer.body
    assert "inside" not in answer.body


# The way in


def test_the_token_is_exchanged_for_a_cookie(gate: Gate) -> None:
    """The printed address leads to a clean one and leaves a cookie that neither script nor other site can use."""
    answer = ask(gate, gate.address.removeprefix(OWN), ("sec-fetch-site", "none"))
    assert (answer.status, answer.headers["location"]) == (303, f"{gate.root}/")
    assert TOKEN not in answer.headers["location"]
    assert TOKEN not in answer.headers["set-cookie"]
    assert answer.headers["cache-control"] == "no-store"
    (cookie,) = SimpleCookie(answer.headers["set-cookie"]).values()
    assert (cookie.key, cookie.value, cookie["path"]) == (COOKIE, gate.key, f"{gate.root}/")
    assert cookie["httponly"]
    assert cookie["samesite"] == "Strict"
    assert (cookie["domain"], cookie["max-age"], cookie["expires"]) == ("", "", "")


def test_a_link_on_another_page_leads_in_by_a_page_of_ours(gate: Gate) -> None:
    """After a click on the printed address elsewhere, a page moves on by itself where a redirect would fail."""
    answer = ask(gate, f"/?t={TOKEN}", ("sec-fetch-site", "cross-site"))
    assert answer.status == 200
    assert f'<meta http-equiv="refresh" content="0; url={gate.root}/">' in answer.body
    assert "set-cookie" in answer.headers
    assert TOKEN not in answer.body


def test_the_cookie_opens_the_client_and_its_files(gate: Gate) -> None:
    """With the cookie the real index page comes, set up for its own folder and without a content network."""
    index = ask(gate, f"{gate.root}/", ("sec-fetch-site", "none"), cookie=key(gate))
    assert index.status == 200
    assert f'<base href="{gate.root}/">' in index.body
    assert f'flet.webSocketEndpoint="{gate.root}/ws";' in index.body
    assert "flet.noCdn=true;" in index.body
    assert 'flet.fontFallbackBaseUrl="assets/fonts/";' in index.body
    assert ask(gate, f"{gate.root}/lots/4K7Q", cookie=key(gate)).body == index.body
    script, own = f"{gate.root}/flutter_bootstrap.js", ("sec-fetch-site", "same-origin")
    assert ask(gate, script, own, cookie=key(gate)).status == 200
    assert ask(gate, f"{gate.root}/nothing.js", cookie=key(gate)).status == 404


def test_the_cookie_opens_the_websocket(gate: Gate) -> None:
    """A page of ours may open the websocket."""
    assert ask(gate, f"{gate.root}/ws", ("origin", OWN), cookie=key(gate), websocket=True).status == 1


def test_both_names_of_this_machine_will_do(gate: Gate) -> None:
    """The name localhost works like the number, and names are read without regard to case."""
    for host in (f"localhost:{PORT}", f"LocalHost:{PORT}"):
        assert ask(gate, f"{gate.root}/", host=host, cookie=key(gate)).status == 200
    assert ask(gate, f"{gate.root}/ws", ("origin", f"http://localhost:{PORT}"), host=f"localhost:{PORT}",
               cookie=key(gate), websocket=True).status == 1


def test_other_cookies_of_this_machine_do_no_harm(gate: Gate) -> None:
    """Another program on this machine can't lock the person out by a cookie of the same name."""
    for cookies in (f"other=1; {key(gate)}", f"{COOKIE}=no; {key(gate)}", f"{key(gate)}; {COOKIE}=no"):
        assert ask(gate, f"{gate.root}/", cookie=cookies).status == 200


# Refusals


@pytest.mark.parametrize("target", [
    "/", "/index.html", "/favicon.ico", "/robots.txt", "/ws", "/docs", "/openapi.json", "//", "/..",
    "{root}", "{root}/", "{root}/ws", "{root}/main.dart.js", "{root}/flutter_service_worker.js",
    "{root}/assets/FontManifest.json", "{root}/../etc/passwd", "{root}/?t={token}",
])
def test_without_the_cookie_nothing_is_told(gate: Gate, target: str) -> None:
    """Every path answers 403 and the page that says what to do, the same for all."""
    answer = ask(gate, target.format(root=gate.root, token=TOKEN))
    check_refused(answer)
    assert answer.body == ask(gate, "/").body
    assert ask(gate, target.format(root=gate.root, token=TOKEN), method="HEAD").body == ""


@pytest.mark.parametrize("target", ["/", "/index.html", "/main.dart.js", "/ws", "{root}x/", "{root}"])
def test_with_the_cookie_only_the_room_is_open(gate: Gate, target: str) -> None:
    """Outside of the room's own path the cookie opens nothing."""
    check_refused(ask(gate, target.format(root=gate.root), cookie=key(gate)))


@pytest.mark.parametrize("query", [
    "", "?", "?t=", f"?t={TOKEN[:-1]}", f"?t={TOKEN}x", f"?t={TOKEN.upper()}", f"?T={TOKEN}",
    f"?token={TOKEN}", f"?t={TOKEN}&t={TOKEN}", f"?t=no&t={TOKEN}", "?t=%FF%FE",
])
def test_only_the_token_is_the_token(gate: Gate, query: str) -> None:
    """What is nearly the token opens nothing."""
    check_refused(ask(gate, f"/{query}"))


@given(st.text(st.characters(codec="ascii"), max_size=60))
def test_nothing_else_opens(text: str) -> None:
    """No text but the token opens the way in, and none but the key passes as the cookie."""
    gate = Gate(draw, port=PORT, token=TOKEN)  # type: ignore[arg-type]  # only judge() is asked
    scope = {"type": "http", "method": "GET", "path": "/", "query_string": f"t={text}".encode(),
             "headers": [(b"host", b"127.0.0.1:8550")]}
    room = {**scope, "path": f"{gate.root}/",
            "headers": [*scope["headers"], (b"cookie", f"{COOKIE}={text}".encode())]}
    for answer in (gate.judge(scope), gate.judge(room)):
        assert answer is not None
        assert answer.status == 403


@pytest.mark.parametrize("host", [
    None, "", "127.0.0.1", "localhost", "127.0.0.1:8551", "evil.example", f"evil.example:{PORT}",
    f"127.0.0.1.evil.example:{PORT}", f"localhost.:{PORT}", f"[::1]:{PORT}", f"0.0.0.0:{PORT}",
    f"127.1:{PORT}", f"127.0.0.1:{PORT}, evil.example", f"user@127.0.0.1:{PORT}",
])
def test_a_name_that_is_not_ours_is_refused(gate: Gate, host: str | None) -> None:
    """A name that was made to point at this machine (DNS rebinding) gets nothing, whatever it brings."""
    own = ("origin", f"http://{host}")
    check_refused(ask(gate, f"{gate.root}/", host=host, cookie=key(gate)))
    check_refused(ask(gate, f"{gate.root}/", own, host=host, cookie=key(gate)))
    check_refused(ask(gate, f"/?t={TOKEN}", host=host))
    assert ask(gate, f"{gate.root}/ws", own, host=host, cookie=key(gate), websocket=True).status == 0


def test_two_names_are_refused(gate: Gate) -> None:
    """A second Host header does not get past by standing beside a good one."""
    check_refused(ask(gate, f"{gate.root}/", ("host", "evil.example"), cookie=key(gate)))


@pytest.mark.parametrize("origin", [
    "null", "", "http://evil.example", "http://127.0.0.1", "http://127.0.0.1:8551", f"https://127.0.0.1:{PORT}",
    f"http://localhost:{PORT}", f"http://127.0.0.1:{PORT}/", f"{OWN}.evil.example", f"{OWN} http://evil.example",
])
def test_a_page_from_elsewhere_is_refused(gate: Gate, origin: str) -> None:
    """A page of another origin gets nothing: not by reading, not by sending, not by a websocket."""
    other = ("origin", origin)
    for method in ("GET", "HEAD", "POST", "PUT", "DELETE", "OPTIONS"):
        assert ask(gate, f"{gate.root}/", other, method=method, cookie=key(gate)).status == 403
    assert ask(gate, f"{gate.root}/ws", other, cookie=key(gate), websocket=True).status == 0
    assert ask(gate, f"{gate.root}/ws", other, ("origin", OWN), cookie=key(gate), websocket=True).status == 0


def test_who_does_not_say_from_where_may_only_read(gate: Gate) -> None:
    """Without an Origin header there is no websocket and no method but GET and HEAD."""
    assert ask(gate, f"{gate.root}/ws", cookie=key(gate), websocket=True).status == 0
    for method in ("POST", "PUT", "PATCH", "DELETE", "OPTIONS", "TRACE", "get"):
        check_refused(ask(gate, f"{gate.root}/", method=method, cookie=key(gate)))
    assert ask(gate, f"{gate.root}/", ("origin", OWN), method="POST", cookie=key(gate)).status == 405
    assert ask(gate, f"{gate.root}/", method="HEAD", cookie=key(gate)).status == 200


@pytest.mark.parametrize("cookie", [None, "", f"{COOKIE}=", f"{COOKIE}=no", COOKIE, f"x{COOKIE}=", "=", ";;"])
def test_the_websocket_needs_the_cookie(gate: Gate, cookie: str | None) -> None:
    """A websocket without the right cookie is refused before it is accepted."""
    assert ask(gate, f"{gate.root}/ws", ("origin", OWN), cookie=cookie, websocket=True).status == 0


@pytest.mark.parametrize("site", ["same-site", "cross-site", "SAME-ORIGIN", ""])
def test_a_picture_or_frame_on_another_port_is_refused(gate: Gate, site: str) -> None:
    """A request that another page causes is refused even with the cookie: it comes from no page of ours."""
    check_refused(ask(gate, f"{gate.root}/", ("sec-fetch-site", site), cookie=key(gate)))


# What goes out with every answer


def test_the_policy_is_whole() -> None:
    """The policy is the one that the client was seen to work with, and closes what it does not need."""
    policy = dict(SAFETY)["content-security-policy"]
    assert dict(part.split(" ", 1) for part in policy.split("; ")) == {
        "default-src": "'self'",
        "script-src": "'self' 'unsafe-inline' 'wasm-unsafe-eval'",
        "style-src": "'self' 'unsafe-inline'",
        "img-src": "'self' data: blob:",
        "connect-src": "'self'",
        "font-src": "'self' data:",
        "worker-src": "'self' blob:",
        "frame-ancestors": "'none'",
        "base-uri": "'self'",
        "object-src": "'none'",
        "form-action": "'none'",
    }


@pytest.mark.parametrize("target", [
    "/?t={token}", "/", "{root}/", "{root}/main.dart.mjs", "{root}/nothing.js", "{root}/docs"])
def test_every_answer_is_kept_from_other_pages(gate: Gate, target: str) -> None:
    """Each answer carries each safety header once, and none that would open it to other pages."""
    answer = ask(gate, target.format(root=gate.root, token=TOKEN), cookie=key(gate))
    names = [name for name, _ in answer.lines]
    assert {name: answer.headers[name] for name, _ in SAFETY if name != "cache-control"} == {
        name: value for name, value in SAFETY if name != "cache-control"}
    assert [name for name in names if names.count(name) > 1] == []
    assert [name for name in names if name.startswith("access-control-")] == []
    assert answer.headers["cache-control"] in ("private, no-cache", "no-store")


@pytest.mark.parametrize("path", ["docs", "docs/", "redoc", "openapi.json", "docs/oauth2-redirect"])
def test_pages_that_load_from_elsewhere_are_not_there(gate: Gate, path: str) -> None:
    """The framework's own pages about itself, which load scripts from a content network, are hidden."""
    answer = ask(gate, f"{gate.root}/{path}", cookie=key(gate))
    assert answer.status == 404
    assert "script" not in answer.body


def test_the_token_is_long_and_shows_nowhere() -> None:
    """A short token is refused, and a gate in a traceback or a log does not give it away."""
    with pytest.raises(ValueError, match="32"):
        Gate(draw, port=PORT, token="x" * 31)  # type: ignore[arg-type]  # it never comes to be
    gate = Gate(draw, port=PORT, token=TOKEN)  # type: ignore[arg-type]  # nothing is asked of the app
    assert TOKEN not in repr(gate)
    assert gate.key not in repr(gate)


def test_another_token_makes_another_room(gate: Gate) -> None:
    """Room and key follow from the token, so that those of an earlier start open nothing."""
    other = Gate(gate.app, port=PORT, token=TOKEN[::-1])
    assert other.root != gate.root
    assert other.key != gate.key
    check_refused(ask(other, f"{other.root}/", cookie=key(gate)))
