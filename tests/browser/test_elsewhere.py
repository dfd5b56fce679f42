"""What stands in for the rest of the world notes each host that is asked for, and nothing else."""

from __future__ import annotations

import contextlib
import socket
from collections.abc import Iterator

import pytest

from tests.browser.phone import Elsewhere


@pytest.fixture
def world() -> Iterator[Elsewhere]:
    world = Elsewhere()
    yield world
    world.close()


def say(world: Elsewhere, what: bytes) -> None:
    with socket.create_connection(("127.0.0.1", world.port)) as line:
        line.sendall(what)
        line.shutdown(socket.SHUT_WR)
        line.settimeout(10)
        with contextlib.suppress(ConnectionResetError):
            line.recv(1)


@pytest.mark.parametrize(("asked", "noted"), [
    (b"CONNECT maps.example:443 HTTP/1.1\r\nHost: maps.example:443\r\n\r\n", "maps.example"),
    (b"GET http://tiles.example/7/1 HTTP/1.1\r\nHost: tiles.example\r\n\r\n", "tiles.example"),
    (b"\x16\x03\x01", "?"),
])
def test_what_is_asked_for_is_noted(world: Elsewhere, asked: bytes, noted: str) -> None:
    """A request, whole or not to be read, counts."""
    say(world, asked)
    assert world.asked() == [noted]


def test_a_line_that_is_dropped_unused_asks_for_nothing(world: Elsewhere) -> None:
    """Browsers open lines in advance; the request after one is still noted."""
    say(world, b"")
    assert world.asked() == []
    say(world, b"GET http://tiles.example/7/1 HTTP/1.1\r\n\r\n")
    assert world.asked() == ["tiles.example"]
