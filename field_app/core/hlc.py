"""A clock that never runs backwards: the hybrid logical clock of Kulkarni and others (2014).

Milliseconds of the device's clock and a counter that orders what falls into the same one, or what happens
while the device's clock is behind what it has already seen.
The text form sorts as time does.
"""

from __future__ import annotations

import re
from typing import NamedTuple

__all__ = ["LEAP_MS", "Stamp", "after_receiving", "after_sending", "read_stamp"]

#: A stamp further ahead of this device's clock than this is kept, but not followed [ms].
LEAP_MS = 24 * 3600 * 1000
_FORM = re.compile(r"([0-9]{13})-([0-9a-f]{4})-([0-9a-f]{16})\Z")


class Stamp(NamedTuple):
    """ms: device time since 1970 [ms]; counter: order within it [1]; device: 16 hexadecimal digits."""

    ms: int
    counter: int
    device: str

    def __str__(self) -> str:
        return f"{self.ms:013d}-{self.counter:04x}-{self.device}"


def read_stamp(text: str) -> Stamp:
    """The stamp of a text form; ValueError if it is not one.

    >>> read_stamp("0000000000010-0002-00000000000000aa").counter
    2
    """
    match = _FORM.match(text)
    if not match:
        raise ValueError(f"not a stamp: {text!r}")
    return Stamp(int(match[1]), int(match[2], 16), match[3])


def _next(ms: int, counter: int, device: str) -> Stamp:
    # A counter that overflows its four digits borrows a millisecond, so that text order stays time order.
    return Stamp(ms + 1, 0, device) if counter > 0xFFFF else Stamp(ms, counter, device)


def after_sending(last: Stamp, now_ms: int) -> Stamp:
    """The stamp for something done now [ms], later than everything stamped or seen before.

    >>> str(after_sending(Stamp(10, 1, "00000000000000aa"), 9))
    '0000000000010-0002-00000000000000aa'
    """
    if now_ms > last.ms:
        return Stamp(now_ms, 0, last.device)
    return _next(last.ms, last.counter + 1, last.device)


def after_receiving(last: Stamp, seen: Stamp, now_ms: int) -> Stamp:
    """The clock after a stamp from elsewhere was seen at ``now_ms`` [ms].

    A stamp more than :data:`LEAP_MS` ahead comes from a clock that is wrong; it is not followed.
    """
    if seen.ms > now_ms + LEAP_MS:
        return last
    top = max(last.ms, seen.ms, now_ms)
    if top == last.ms == seen.ms:
        return _next(top, max(last.counter, seen.counter) + 1, last.device)
    if top == last.ms:
        return _next(top, last.counter + 1, last.device)
    if top == seen.ms:
        return _next(top, seen.counter + 1, last.device)
    return Stamp(top, 0, last.device)
