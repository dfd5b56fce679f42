"""Serves the screens to a browser on this machine, and asks nothing of any other machine.

The socket is bound to 127.0.0.1 first, so that a taken port is told before anything else happens; then the
client's files and its websocket are served from it behind a :class:`~field_app.ui.gate.Gate`.
The client is told to take nothing from a content network; what it asks for all the same, the policy of the
gate stops inside the browser.
"""

from __future__ import annotations

import contextlib
import errno
import signal
import socket
import threading
from collections.abc import Callable, Iterator
from pathlib import Path
from types import TracebackType
from typing import TYPE_CHECKING, Any

from field_app.core.problems import refuse
from field_app.ui.gate import HOSTS, Gate
from field_app.words import later, tr

if TYPE_CHECKING:
    import flet as ft
    import uvicorn

    Build = Callable[[ft.Page], Any]

__all__ = ["Running", "bind", "serve"]

TITLE = later("Field book")
ABOUT = later("What was gathered, and what it is worth as cloth.")

# What a person picks at once comes through the websocket in one piece: twenty photographs, or a full copy with as many.
LARGEST_MESSAGE = 256 * 1024 * 1024  # [byte]

# A connection that never became a session does not end by itself when the server stops.
PATIENCE = 3  # [s]


def bind(port: int) -> socket.socket:
    """A listening place on 127.0.0.1 at this port, or at any free one for port 0.

    Raises Refused (where="port") if the port can't be had.
    """
    if not 0 <= port <= 65535:
        raise refuse("port", tr("{port} is not a port number", port=port),
                     tr("Choose one from 1024 to 65535, or 0 for any."))
    place = socket.socket(socket.AF_INET, socket.SOCK_STREAM)
    try:
        # On Windows that option would let two programs share a port, and another one says the opposite.
        exclusive = getattr(socket, "SO_EXCLUSIVEADDRUSE", None)
        place.setsockopt(socket.SOL_SOCKET, exclusive or socket.SO_REUSEADDR, 1)
        place.bind((HOSTS[0], port))
        # Listening at once makes the first of two programs that want the port the only one.
        place.listen(128)
    except OSError as fault:
        place.close()
        if fault.errno in (errno.EADDRINUSE, getattr(errno, "WSAEADDRINUSE", None)):
            raise refuse(
                "port", tr("{port} is in use by another program, perhaps by field-app itself", port=port),
                tr("Go back to the window where it runs, stop it, or start with --port 0 for any free port."),
            ) from fault
        if fault.errno in (errno.EACCES, errno.EPERM):
            raise refuse("port", tr("{port} may not be used on this machine", port=port),
                         tr("Choose one from 1024 to 65535, or 0 for any.")) from fault
        raise refuse("port", tr("{port} can't be used: {strerror}", port=port, strerror=fault.strerror or fault),
                     tr("Choose another one, or 0 for any.")) from fault
    return place


def _server(gate: Gate, on_ready: Callable[[], None]) -> uvicorn.Server:
    import uvicorn  # a command without screens must not wait for it

    class Server(uvicorn.Server):
        async def startup(self, sockets: list[socket.socket] | None = None) -> None:
            await super().startup(sockets)
            on_ready()

        @contextlib.contextmanager
        def capture_signals(self) -> Iterator[None]:
            # The original raises the signal again when all is closed, and the exit code would not be 0.
            if threading.current_thread() is not threading.main_thread():
                yield
                return
            before = {kind: signal.signal(kind, self.handle_exit)
                      for kind in (signal.SIGINT, signal.SIGTERM)}
            try:
                yield
            finally:
                for kind, handler in before.items():
                    signal.signal(kind, handler)

    return Server(uvicorn.Config(
        gate, log_level="warning", log_config=None, access_log=False, loop="asyncio", lifespan="on",
        proxy_headers=False, server_header=False, ws="websockets-sansio", ws_per_message_deflate=False,
        ws_max_size=LARGEST_MESSAGE, timeout_graceful_shutdown=PATIENCE))


def _behind_gate(build: Build, port: int, token: str, assets: Path | None) -> Gate:
    # The one way to the ASGI application that also takes a name and does not show the framework's own.
    from flet_web.fastapi import app  # a command without screens must not wait for it

    return Gate(
        app(build, no_cdn=True, app_name=tr(TITLE), app_short_name=tr(TITLE), app_description=tr(ABOUT),
            assets_dir=str(assets) if assets else None),
        port=port, token=token)


def serve(
    build: Build, *, port: int, token: str, on_ready: Callable[[str], None], assets: Path | None = None,
) -> None:
    """Serves until SIGINT (Ctrl+C) or SIGTERM, then closes everything and returns.

    build: draws one page; called for every browser tab that opens.
    port: where to listen on 127.0.0.1; 0 for any free port.
    token: an unguessable text of 32 characters or more, made by the caller.
    on_ready: called once with the address to open, when it can be opened.
    assets: a folder with files that replace the client's own, such as its icons.
    Raises Refused (where="port") if the port can't be had.
    """
    with bind(port) as place:
        gate = _behind_gate(build, place.getsockname()[1], token, assets)
        _server(gate, lambda: on_ready(gate.address)).run(sockets=[place])


class Running:
    """The same server in a thread of its own, for tests; a context manager.

    address: the address to open, with the token.
    origin: scheme, host and port.
    gate: what stands before the screens.
    """

    def __init__(self, build: Build, *, token: str, port: int = 0, assets: Path | None = None) -> None:
        self._place = bind(port)
        self.port: int = self._place.getsockname()[1]
        self.gate = _behind_gate(build, self.port, token, assets)
        self.address = self.gate.address
        self.origin = f"http://{HOSTS[0]}:{self.port}"
        self._ready = threading.Event()
        self._server = _server(self.gate, self._ready.set)
        self._thread = threading.Thread(target=self._run, name=f"screens-{self.port}")
        self._fault: BaseException | None = None

    def _run(self) -> None:
        try:
            self._server.run(sockets=[self._place])
        except BaseException as fault:
            self._fault = fault
        finally:
            self._place.close()
            self._ready.set()

    def __enter__(self) -> Running:
        self._thread.start()
        self._ready.wait(30)
        if self._fault is not None:
            raise self._fault
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None,
    ) -> None:
        self._server.should_exit = True
        self._thread.join(30)
        if self._fault is not None and error is None:
            raise self._fault
