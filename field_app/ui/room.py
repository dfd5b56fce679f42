"""How much room a screen has: a telephone held sideways is low, and text can be large."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from contextvars import ContextVar

import flet as ft

__all__ = ["ROOM", "Room", "in_room", "room_here"]

#: A screen at least so wide and not so high [logical px] has its actions beside what scrolls.
_WIDE, _LOW = 600.0, 520.0
#: On an upright screen less high than this, a form and its keypad don't fit above each other [logical px].
_SHORT = 720.0
#: In less than this, two actions and the four places don't fit above each other [logical px].
_LEAST = 300.0
#: From this size of the device's text on, actions stand below each other [1].
_LARGE = 1.25


@ft.observable
class Room:
    """What of the size of the page matters; screens are drawn again when it changes.

    beside: whether it is wide and low; short: whether it is upright and small;
    low: so low that not even the actions fit, as with an open keyboard;
    scale: how much larger than ours the device's text is [1];
    large: whether that is so much that things beside each other would be squeezed.
    """

    def __init__(self, width: float | None = None, height: float | None = None) -> None:
        self.beside = False
        self.short = False
        self.low = False
        self._most: tuple[float, float] = (0.0, 0.0)
        self.scale = 1.0
        self.fits(width, height)

    def fits(self, width: float | None, height: float | None) -> None:
        """Take the size of the page [logical px]; None: not known."""
        self.beside = bool(width and height and width >= _WIDE and height < _LOW and width > height)
        self.low = bool(height and height < _LEAST)
        # An open keyboard makes any screen lower, and nothing may change places while one types.
        wide, high = width or 0.0, height or 0.0
        self._most = (wide, max(high, self._most[1]) if wide == self._most[0] else high)
        self.short = 0.0 < self._most[1] < _SHORT and wide <= self._most[1]

    def text(self, scale: float) -> None:
        """Take how much larger than ours the device's text is [1]."""
        self.scale = scale

    @property
    def large(self) -> bool:
        """Whether the text is so large that things beside each other would be squeezed."""
        return self.scale >= _LARGE


_NO_ROOM: Room | None = None
ROOM = ft.create_context(_NO_ROOM)
_here: ContextVar[Room | None] = ContextVar("room", default=None)


@contextmanager
def in_room() -> Iterator[None]:
    """While a screen is drawn, it knows its room. To be asked for first of all in a component."""
    before = _here.set(ft.use_context(ROOM))
    try:
        yield
    finally:
        _here.reset(before)


def room_here() -> Room:
    """The room of the screen that is being drawn; where nobody knows, that of an upright telephone."""
    return _here.get() or Room()
