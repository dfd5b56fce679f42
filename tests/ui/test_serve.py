"""The server of the screens: one place on this machine, a clear word when it is taken, a clean end."""

import http.client
import logging
import os
import re
import signal
import socket
import subprocess
import sys
import tempfile
import textwrap
import threading
from collections.abc import Iterator
from pathlib import Path

import flet as ft
import pytest
from websockets.exceptions import InvalidStatus
from websockets.sync.client import ClientConnection, connect

import field_app
from field_app.core.pictures import LARGEST
from field_app.core.problems import Refused
from field_app.ui.gate import COOKIE, SAFETY
from field_app.ui.serve import LARGEST_MESSAGE, PATIENCE, Running, bind

TOKEN = "a-token-for-tests-only-0123456789-abcdef"
ROOT = Path(field_app.__file__).parent.parent


def draw(page: ft.Page) -> None:
    page.add(ft.Text("inside"))


@pytest.fixture(scope="module")
def running() -> Iterator[Running]:
    with Running(draw, token=TOKEN) as server:
        yield server


def get(server: Running, target: str, cookie: str = "") -> tuple[int, dict[str, str], bytes]:
    line = http.client.HTTPConnection("127.0.0.1", server.port, timeout=10)
    try:
        line.request("GET", target, headers={"Cookie": cookie} if cookie else {})
        answer = line.getresponse()
        headers = {name.lower(): value for name, value in answer.getheaders()}
        return answer.status, headers, answer.read()
    finally:
        line.close()


def talk(server: Running, *, origin: str, cookie: str) -> ClientConnection:
    return connect(f"ws://127.0.0.1:{server.port}{server.gate.root}/ws", origin=origin,  # type: ignore[arg-type]
                   additional_headers={"Cookie": cookie}, max_size=None)


# Over the wire


def test_the_printed_address_opens_the_client(running: Running) -> None:
    """A browser's way works over a real socket: address, redirect with cookie, index page."""
    status, headers, _ = get(running, running.address.removeprefix(running.origin))
    assert (status, headers["location"]) == (303, f"{running.gate.root}/")
    status, inside, page = get(running, headers["location"], headers["set-cookie"].split(";")[0])
    assert status == 200
    assert b"<title>Field book</title>" in page
    assert {name: inside[name] for name, _ in SAFETY} == dict(SAFETY)
    assert "server" not in inside


def test_a_stranger_sees_the_closed_page(running: Running) -> None:
    """Without a cookie there is the readable page and nothing else."""
    status, headers, page = get(running, "/")
    assert (status, headers["content-type"]) == (403, "text/html; charset=utf-8")
    assert b"Start field-app again, or open the address it printed." in page


def test_a_forwarded_host_is_not_believed(running: Running) -> None:
    """Headers that a proxy would add change nothing: there is no proxy here."""
    request = (f"GET {running.gate.root}/ HTTP/1.1\r\nHost: evil.example\r\nX-Forwarded-Host: 127.0.0.1:"
               f"{running.port}\r\nForwarded: host=127.0.0.1:{running.port}\r\n"
               f"Cookie: {COOKIE}={running.gate.key}\r\nConnection: close\r\n\r\n")
    with socket.create_connection(("127.0.0.1", running.port), timeout=10) as line:
        line.sendall(request.encode())
        assert line.makefile("rb").readline().split()[1] == b"403"


def test_the_websocket_is_for_our_page_alone(running: Running) -> None:
    """A websocket of our own page is accepted; from another origin, or without cookie, it gets a 403."""
    key = f"{COOKIE}={running.gate.key}"
    with talk(running, origin=running.origin, cookie=key) as line:
        line.ping().wait(10)
    for origin, cookie in (("http://127.0.0.1:1", key), (running.origin, "a=b")):
        with pytest.raises(InvalidStatus) as refused:
            talk(running, origin=origin, cookie=cookie)
        assert refused.value.response.status_code == 403


def test_a_large_file_comes_through(running: Running) -> None:
    """A message as large as eight photographs of the largest kind does not break the connection."""
    size = 8 * LARGEST
    assert 20 * LARGEST < LARGEST_MESSAGE
    with talk(running, origin=running.origin, cookie=f"{COOKIE}={running.gate.key}") as line:
        line.send(b"\xff" + bytes(size))  # a kind of message that the toolkit drops after it has read it
        assert line.ping().wait(20)


def test_only_this_machine_is_listened_to(running: Running) -> None:
    """The place is on 127.0.0.1 and on no other address, not even another one of this machine."""
    assert running._place.getsockname()[0] == "127.0.0.1"
    if sys.platform == "linux":
        with pytest.raises(ConnectionRefusedError):
            socket.create_connection(("127.0.0.2", running.port), timeout=5)


def test_files_of_ours_take_the_place_of_the_clients(tmp_path: Path) -> None:
    """An icon in the folder of assets is served where the toolkit's own would be."""
    (tmp_path / "favicon.png").write_bytes(b"ours")
    with Running(draw, token=TOKEN, assets=tmp_path) as server:
        key = f"{COOKIE}={server.gate.key}"
        assert get(server, f"{server.gate.root}/favicon.png", key)[2] == b"ours"
        assert get(server, f"{server.gate.root}/flutter_bootstrap.js", key)[0] == 200


# The port


def test_a_taken_port_is_told_with_a_way_out() -> None:
    """When another program has the port, the message names it and says what to do."""
    with bind(0) as first:
        port = first.getsockname()[1]
        with pytest.raises(Refused) as refused:
            bind(port)
    (problem,) = refused.value.problems
    assert problem.where == "port"
    assert problem.what.startswith(f"{port} is in use")
    assert "--port 0" in problem.fix


@pytest.mark.parametrize("port", [-1, 65536, 10**9])
def test_a_number_that_is_no_port_is_told(port: int) -> None:
    """A number that can't be a port is refused before anything is opened."""
    with pytest.raises(Refused, match=f"port: {port} is not a port number"):
        bind(port)


def test_port_zero_is_any_free_port() -> None:
    """Port 0 gives a free port, and two in a row differ."""
    with bind(0) as one, bind(0) as two:
        ports = {one.getsockname()[1], two.getsockname()[1]}
    assert len(ports) == 2
    assert 0 not in ports


# The end


def test_afterwards_nothing_is_left(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    """After the end the port is free, the thread is gone and so are the patched files."""
    monkeypatch.setattr(tempfile, "tempdir", str(tmp_path))
    with Running(draw, token=TOKEN) as server:
        get(server, f"{server.gate.root}/", f"{COOKIE}={server.gate.key}")
        assert list(tmp_path.iterdir()) != []
    bind(server.port).close()
    assert f"screens-{server.port}" not in {thread.name for thread in threading.enumerate()}
    assert list(tmp_path.iterdir()) == []


PROGRAM = textwrap.dedent(f"""
    import sys
    from field_app.ui.serve import serve
    serve(lambda page: None, port=0, token={TOKEN!r}, on_ready=lambda address: print(address, flush=True))
    print("closed", flush=True)
""")


def start() -> tuple[subprocess.Popen[str], int, str]:
    process = subprocess.Popen([sys.executable, "-c", PROGRAM], cwd=ROOT, text=True,
                               stdout=subprocess.PIPE, stderr=subprocess.PIPE)
    assert process.stdout is not None
    address = process.stdout.readline().strip()
    match = re.fullmatch(r"http://127\.0\.0\.1:(\d+)/\?t=" + TOKEN, address)
    assert match is not None, process.communicate()[1]
    return process, int(match[1]), address


def end(process: subprocess.Popen[str], kind: signal.Signals) -> tuple[int, str, str]:
    process.send_signal(kind)
    try:
        out, err = process.communicate(timeout=PATIENCE + 10)
    finally:
        process.kill()
        process.wait()
    return process.returncode, out, err


@pytest.mark.skipif(os.name != "posix", reason="signals as on POSIX")
@pytest.mark.parametrize("kind", [signal.SIGINT, signal.SIGTERM])
def test_a_signal_ends_it_cleanly(kind: signal.Signals) -> None:
    """Ctrl+C and a plain kill close everything, let the caller go on, and nothing is complained of."""
    process, port, _ = start()
    with socket.create_connection(("127.0.0.1", port), timeout=10):
        pass
    assert end(process, kind) == (0, "closed\n", "")


@pytest.mark.skipif(os.name != "posix", reason="signals as on POSIX")
def test_a_silent_connection_does_not_hold_the_end_up() -> None:
    """A websocket that never says who it is delays the end by the patience at most."""
    process, port, address = start()
    line = http.client.HTTPConnection("127.0.0.1", port, timeout=10)
    line.request("GET", address.partition(str(port))[2])
    answer = line.getresponse()
    root, key = answer.getheader("location", ""), answer.getheader("set-cookie", "").split(";")[0]
    line.close()
    with connect(f"ws://127.0.0.1:{port}{root}ws", origin=f"http://127.0.0.1:{port}",  # type: ignore[arg-type]
                 additional_headers={"Cookie": key}):
        code, out, _ = end(process, signal.SIGTERM)
    assert (code, out) == (0, "closed\n")


def test_the_server_is_loaded_when_it_is_needed() -> None:
    """Who only imports the module does not wait for the web server."""
    seen = subprocess.run(
        [sys.executable, "-c", "import sys, field_app.ui.serve; print({'uvicorn', 'flet_web'} & set(sys.modules))"],
        cwd=ROOT, text=True, capture_output=True, check=True)
    assert seen.stdout == "set()\n"


def test_a_fault_of_the_server_reaches_the_caller(caplog: pytest.LogCaptureFixture) -> None:
    """If the server can't start, the test that wanted it hears why."""
    caplog.set_level(logging.CRITICAL)
    server = Running(draw, token=TOKEN)
    server._place.close()
    with pytest.raises((OSError, SystemExit)), server:
        pass
