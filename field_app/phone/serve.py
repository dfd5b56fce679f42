"""Serves a built folder to this machine alone, for trying it; a phone needs a host with HTTPS."""

from __future__ import annotations

import contextlib
import functools
import hashlib
import http.server
import json
import socket
from collections.abc import Callable
from http import HTTPStatus
from pathlib import Path

from field_app.core.problems import refuse
from field_app.phone.build import MARK
from field_app.words import tr

__all__ = ["Server", "serve"]

_TYPES = {".html": "text/html; charset=utf-8", ".txt": "text/plain; charset=utf-8", ".js": "text/javascript",
          ".mjs": "text/javascript", ".json": "application/json", ".wasm": "application/wasm", ".png": "image/png",
          ".svg": "image/svg+xml", ".woff2": "font/woff2", ".otf": "font/otf", ".ttf": "font/ttf",
          ".zip": "application/zip", ".gz": "application/gzip"}


class _Handler(http.server.BaseHTTPRequestHandler):
    protocol_version = "HTTP/1.1"

    def __init__(self, folder: Path, base: str, *rest: object) -> None:
        self._folder, self._base = folder, base
        super().__init__(*rest)  # type: ignore[arg-type]  # what the server gives, unseen

    def do_GET(self) -> None:
        """A file of the folder."""
        self._answer(body=True)

    def do_HEAD(self) -> None:
        """What would be said of a file of the folder."""
        self._answer(body=False)

    def _answer(self, *, body: bool) -> None:
        port = self.connection.getsockname()[1]
        path = self.path.partition("?")[0]
        # Another name that leads to this machine is another page's way in.
        allowed = self.headers.get("Host") in (f"127.0.0.1:{port}", f"localhost:{port}")
        name = path.removeprefix(self._base) or "index.html"
        file = self._folder / name
        inside = path.startswith(self._base) and self._folder in file.resolve().parents
        if not (allowed and inside and file.is_file()):
            self._send(HTTPStatus.NOT_FOUND if allowed else HTTPStatus.FORBIDDEN, {"Content-Type": "text/plain"},
                       f"There is nothing here; the app is at {self._base}\n".encode(), body=body)
            return
        data = file.read_bytes()
        tag = f'"{hashlib.sha256(data).hexdigest()[:32]}"'
        # The service worker keeps what is needed; whoever asks here shall get what lies here now.
        headers = {"ETag": tag, "Cache-Control": "no-cache", "X-Content-Type-Options": "nosniff",
                   "Content-Type": _TYPES.get(file.suffix, "application/octet-stream")}
        if self.headers.get("If-None-Match") == tag:
            self._send(HTTPStatus.NOT_MODIFIED, headers, b"", body=False)
        else:
            self._send(HTTPStatus.OK, headers, data, body=body)

    def _send(self, status: HTTPStatus, headers: dict[str, str], data: bytes, *, body: bool) -> None:
        self.send_response(status)
        for name, value in {**headers, "Content-Length": str(len(data))}.items():
            self.send_header(name, value)
        self.end_headers()
        if body:
            self.wfile.write(data)

    def log_message(self, *_: object) -> None:
        """Nobody reads it."""


class Server(http.server.ThreadingHTTPServer):
    """A server of one built folder on 127.0.0.1; address: where to open it.

    port: 0 for any free one.
    Raises Refused if the folder was not built here, or the port can't be had.
    """

    daemon_threads = True

    def __init__(self, folder: Path, port: int) -> None:
        self._open: set[socket.socket] = set()
        try:
            base = str(json.loads((folder / MARK).read_bytes())["base"])
        except (OSError, ValueError, KeyError, TypeError):
            raise refuse("DIR", tr("{folder} is not a folder that this command made", folder=folder),
                         tr("Build it first: field-app phone DIR.")) from None
        try:
            super().__init__(("127.0.0.1", port), functools.partial(_Handler, folder.resolve(), base))
        except OSError as error:
            raise refuse("--port", tr("{port} can't be used ({strerror})", port=port, strerror=error.strerror),
                         tr("Choose another one, or 0 for any free port.")) from None
        self.address = f"http://127.0.0.1:{self.server_address[1]}{base}"

    def process_request(self, request: socket.socket, client_address: object) -> None:  # type: ignore[override]
        """Answer on this connection for as long as the browser keeps it."""
        self._open.add(request)
        super().process_request(request, client_address)

    def shutdown_request(self, request: socket.socket) -> None:  # type: ignore[override]
        """The connection has ended."""
        self._open.discard(request)
        super().shutdown_request(request)

    def server_close(self) -> None:
        """Answer no more, on connections that a browser keeps open neither: it would still see this folder there."""
        super().server_close()
        for request in list(self._open):
            with contextlib.suppress(OSError):  # the browser has gone meanwhile
                request.shutdown(socket.SHUT_RDWR)


def serve(folder: Path, port: int, say: Callable[[str], None]) -> None:
    """Serve a built folder until Ctrl+C; say: is told the address.

    Raises Refused if the folder was not built here, or the port can't be had.
    """
    with Server(folder, port) as server:
        say(tr("The phone's app is at {address}\nCtrl+C stops it.", address=server.address))
        try:
            server.serve_forever()
        except KeyboardInterrupt:
            return
