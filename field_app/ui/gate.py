"""Who may talk to the screens: one browser of one person on this machine, and nobody else.

The rules, in the order in which they are asked; the first that is broken refuses the request:

===================  ==========================================================================
the Host header      is 127.0.0.1 or localhost with our port, once (DNS rebinding sends another)
the Origin header    is our own address, if there is one; a websocket and anything but GET and
                     HEAD must have one
Sec-Fetch-Site       is "same-origin" or "none", if there is one (a page on another port of this
                     machine is "same-site": the cookie's SameSite does not stop it)
the token            opens the one address ``/?t=...``, which hands out the cookie
the room             every other path lies below ``/<room>/``
the cookie           is there
===================  ==========================================================================

Browsers send a cookie to every port of a host (RFC 6265 section 8.5), so a page served from another port
could have its own server read ours.
That is why the cookie is for one path only, the room, whose name can't be guessed either: no request to
another port has that path.

Whatever is refused gets the same readable page, which says what to do and nothing else.
"""

from __future__ import annotations

import hashlib
import hmac
from collections.abc import Awaitable, Callable, Iterable, MutableMapping
from dataclasses import dataclass, field
from typing import Any
from urllib.parse import parse_qs

from field_app.words import language, tr

__all__ = ["COOKIE", "HOSTS", "POLICY", "SAFETY", "Answer", "Gate"]

Scope = MutableMapping[str, Any]
Receive = Callable[[], Awaitable[MutableMapping[str, Any]]]
Send = Callable[[MutableMapping[str, Any]], Awaitable[None]]
App = Callable[[Scope, Receive, Send], Awaitable[None]]
Headers = list[tuple[bytes, bytes]]

HOSTS = ("127.0.0.1", "localhost")
COOKIE = "field-app"

# The inline scripts are those of the client's own index page; it compiles WebAssembly and takes fonts and
# pictures from data: and blob: addresses of its own making.
POLICY = "; ".join((
    "default-src 'self'",
    "script-src 'self' 'unsafe-inline' 'wasm-unsafe-eval'",
    "style-src 'self' 'unsafe-inline'",
    "img-src 'self' data: blob:",
    "connect-src 'self'",
    "font-src 'self' data:",
    "worker-src 'self' blob:",
    "frame-ancestors 'none'",
    "base-uri 'self'",
    "object-src 'none'",
    "form-action 'none'",
))

# Sent with every answer, and in place of whatever the app below says under these names.
# Cross-Origin-Embedder-Policy lets the client draw in a thread of its own.
SAFETY: tuple[tuple[str, str], ...] = (
    ("content-security-policy", POLICY),
    ("x-content-type-options", "nosniff"),
    ("referrer-policy", "no-referrer"),
    ("cross-origin-opener-policy", "same-origin"),
    ("cross-origin-resource-policy", "same-origin"),
    ("cross-origin-embedder-policy", "require-corp"),
    ("permissions-policy", "geolocation=(self), camera=(self), microphone=(), payment=(), usb=()"),
    ("x-frame-options", "DENY"),
    ("cache-control", "private, no-cache"),
)

# Pages that the web framework below adds by itself and that would load their scripts from elsewhere.
_NOT_OURS = frozenset({"docs", "docs/oauth2-redirect", "redoc", "openapi.json", "oauth_callback"})

_PAGE = """<!doctype html>
<html lang="{language}"><head><meta charset="utf-8"><meta name="viewport" content="width=device-width">
{head}<title>{name}</title>
<style>body {{ font: 18px/1.5 sans-serif; color: #2b1d14; background: #faf6ee; margin: 20vh auto 0;
max-width: 34em; padding: 0 20px }} h1 {{ font-size: 26px }}</style></head>
<body><h1>{title}</h1><p>{text}</p></body></html>
"""


def _page(title: str, text: str, head: str = "") -> str:
    return _PAGE.format(head=head, language=language(), name=tr("Field book"), title=title, text=text)


@dataclass(frozen=True, slots=True)
class Answer:
    """What the gate itself answers: an HTTP status, headers and a page."""

    status: int
    headers: tuple[tuple[str, str], ...] = ()
    page: str = ""


def _closed(status: int) -> Answer:
    return Answer(status, page=_page(
        tr("The field book is not open here"),
        tr("Start field-app again, or open the address it printed. Nothing that was saved is lost.")))


@dataclass(frozen=True, slots=True)
class Gate:
    """An ASGI application in front of another one that lets only its owner's browser through.

    app: the application behind it, which finds itself below ``root_path``.
    port: the port that browsers ask for.
    token: what the opened address carries; not guessable, and made by the caller.
    """

    app: App
    port: int
    token: str = field(repr=False)
    root: str = field(init=False, repr=False)
    key: str = field(init=False, repr=False)

    def __post_init__(self) -> None:
        if len(self.token) < 32:
            raise ValueError("the token must not be guessable: 32 characters or more")
        # Both follow from the token, so that the person who has it never needs to know them.
        object.__setattr__(self, "root", f"/{self._derive('room')[:16]}")
        object.__setattr__(self, "key", self._derive("key"))

    def _derive(self, purpose: str) -> str:
        return hmac.new(self.token.encode(), purpose.encode(), hashlib.sha256).hexdigest()

    @property
    def address(self) -> str:
        """The address to open once; it leads to the screens and leaves no token behind."""
        return f"http://{HOSTS[0]}:{self.port}/?t={self.token}"

    def judge(self, scope: Scope) -> Answer | None:
        """The gate's own answer to a request, or None where the app may answer."""
        headers: Headers = scope["headers"]
        hosts = _all(headers, b"host")
        if len(hosts) != 1 or hosts[0].lower() not in self._hosts():
            return _closed(403)
        origins = _all(headers, b"origin")
        reads = scope["type"] == "http" and scope["method"] in ("GET", "HEAD")
        if any(origin != f"http://{hosts[0].lower()}" for origin in origins) or not (origins or reads):
            return _closed(403)
        sites = set(_all(headers, b"sec-fetch-site"))
        if reads and scope["path"] == "/" and self._has_token(scope):
            return self._entry(asked_by_hand=sites <= {"none"})
        if not sites <= {"same-origin", "none"}:
            return _closed(403)
        path: str = scope["path"]
        if not path.startswith(f"{self.root}/") or not self._has_key(headers):
            return _closed(403)
        return _closed(404) if path.removeprefix(f"{self.root}/").rstrip("/") in _NOT_OURS else None

    def _hosts(self) -> Iterable[str]:
        bare = HOSTS if self.port == 80 else ()
        return (*(f"{host}:{self.port}" for host in HOSTS), *bare)

    def _has_token(self, scope: Scope) -> bool:
        given = parse_qs(scope["query_string"].decode("latin-1")).get("t", [])
        return len(given) == 1 and _same(given[0], self.token)

    def _has_key(self, headers: Headers) -> bool:
        pairs = (pair.strip().partition("=") for line in _all(headers, b"cookie") for pair in line.split(";"))
        return any(name == COOKIE and _same(value, self.key) for name, _, value in pairs)

    def _entry(self, *, asked_by_hand: bool) -> Answer:
        cookie = f"{COOKIE}={self.key}; Path={self.root}/; HttpOnly; SameSite=Strict"
        headers = (("set-cookie", cookie), ("cache-control", "no-store"))
        place = f"{self.root}/"
        if asked_by_hand:
            return Answer(303, (*headers, ("location", place)))
        # Behind a link on another site's page a redirect still counts as that site's request and would
        # go without the strict cookie; a page that moves on by itself is a request of our own.
        refresh = f'<meta http-equiv="refresh" content="0; url={place}">\n'
        page = _page(tr("Field book"), tr("One moment."), refresh)
        return Answer(200, headers, page)

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Answers a request, or lets the app answer it; lifespan messages pass."""
        if scope["type"] not in ("http", "websocket"):
            await self.app(scope, receive, send)
            return
        answer = self.judge(scope)
        if answer is None:
            await self.app({**scope, "root_path": self.root}, receive, _guarding(send))
        elif scope["type"] == "websocket":
            # Before it was accepted, closing is how ASGI refuses a websocket: the browser gets a bare 403.
            await send({"type": "websocket.close", "code": 1008})
        else:
            await _say(answer, send, body=scope["method"] != "HEAD")


def _all(headers: Headers, name: bytes) -> list[str]:
    return [value.decode("latin-1") for key, value in headers if key.lower() == name]


def _same(given: str, right: str) -> bool:
    return hmac.compare_digest(given.encode(), right.encode())


def _safe(headers: Iterable[tuple[bytes, bytes]], own: Iterable[tuple[str, str]] = ()) -> Headers:
    """These headers with ours on top, and without any that would open the answers to other pages."""
    ours = {**dict(SAFETY), **dict(own)}
    kept = [(name, value) for name, value in headers
            if name.decode("latin-1").lower() not in ours
            and not name.lower().startswith(b"access-control-")]
    return kept + [(name.encode(), value.encode()) for name, value in ours.items()]


def _guarding(send: Send) -> Send:
    async def safe_send(message: MutableMapping[str, Any]) -> None:
        if message["type"] == "http.response.start":
            message = {**message, "headers": _safe(message.get("headers", ()))}
        await send(message)

    return safe_send


async def _say(answer: Answer, send: Send, *, body: bool) -> None:
    page = answer.page.encode()
    about = [(b"content-type", b"text/html; charset=utf-8"), (b"content-length", str(len(page)).encode())]
    await send({"type": "http.response.start", "status": answer.status,
                "headers": _safe(about, answer.headers)})
    await send({"type": "http.response.body", "body": page if body else b""})
