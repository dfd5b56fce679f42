"""How far long work is, and its end if the person stops it.

The work says how far it is at places where it may end without harm (:func:`step`); whoever started it may listen
(:func:`heard`), and ends it by raising Stopped there.  Where nobody listens nothing happens.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from contextvars import ContextVar

__all__ = ["Stopped", "heard", "part", "step"]


class Stopped(Exception):
    """The person stopped the work: what was not finished of it is not kept."""


#: Who listens, and of what part of the whole the work is that goes on [1].
_listening: ContextVar[tuple[Callable[[float], object], float, float] | None] = ContextVar("listening", default=None)


@contextmanager
def heard(tell: Callable[[float], object]) -> Iterator[None]:
    """Within this, *tell* is called with how much of the work is done [1, 0 to 1]; it may raise Stopped.

    >>> told = []
    >>> with heard(told.append), part(0.5, 1.0):
    ...     step(0.5)
    >>> told
    [0.75]
    """
    before = _listening.set((tell, 0.0, 1.0))
    try:
        yield
    finally:
        _listening.reset(before)


@contextmanager
def part(low: float, high: float) -> Iterator[None]:
    """Within this, the work is that part of the whole [1, 0 to 1]."""
    now = _listening.get()
    if now is None:
        yield
        return
    tell, first, last = now
    before = _listening.set((tell, first + low * (last - first), first + high * (last - first)))
    try:
        yield
    finally:
        _listening.reset(before)


def step(share: float) -> None:
    """So much is done [1, 0 to 1]. Raises Stopped if the work is not to go on; call it where that does no harm."""
    now = _listening.get()
    if now is not None:
        tell, first, last = now
        tell(first + share * (last - first))
