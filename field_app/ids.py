"""Names for new records: UUIDs of version 7, which sort by the time at which they were made.

RFC 9562 section 5.7 gives the layout: 48 bit of Unix time [ms], the version, 12 bit, the variant, 62 bit.
Within one millisecond the 74 bits that are not time count up by a random step from a random start
(section 6.2, method 2), so that names from one process always rise and still can't be guessed.
A clock that goes back does not make them fall: the last millisecond is counted on.

Only the program's entrances use this module, since it reads the clock and the system's randomness.
"""

from __future__ import annotations

import secrets
import threading
import time
from collections.abc import Callable
from uuid import UUID

__all__ = ["IdMaker", "new_id", "uuid7"]

_FREE_BITS = 74
_STEP_BITS = 32
# Section 6.2: a counter that starts with its highest bit clear has room for a whole millisecond.
_START_BITS = _FREE_BITS - 1


def uuid7(millisecond: int, free: int) -> UUID:
    """The UUID of version 7 with this time and these free bits.

    millisecond: Unix time [ms], below 2**48.
    free: what is not time, below 2**74 [1]; its 12 highest bits come before the variant.
    Raises ValueError if either is out of its range.
    Source: RFC 9562 section 5.7.

    >>> uuid7(1645557742000, (0xCC3 << 62) | 0x18C4DC0C0C07398F)
    UUID('017f22e2-79b0-7cc3-98c4-dc0c0c07398f')
    """
    if not 0 <= millisecond < 1 << 48 or not 0 <= free < 1 << _FREE_BITS:
        raise ValueError("time or free bits out of range")
    high, low = free >> 62, free & ((1 << 62) - 1)
    return UUID(int=millisecond << 80 | 0x7 << 76 | high << 64 | 0b10 << 62 | low)


class IdMaker:
    """Makes one rising series of names; may be called from any thread.

    clock: gives the Unix time [ms].
    random_bits: gives so many random bits as a number [1].
    """

    def __init__(self, clock: Callable[[], int], random_bits: Callable[[int], int]) -> None:
        self._clock, self._random_bits = clock, random_bits
        self._lock = threading.Lock()
        self._millisecond, self._free = -1, 0

    def __call__(self) -> str:
        """The next name, such as "urn:uuid:017f22e2-79b0-7cc3-98c4-dc0c0c07398f"."""
        with self._lock:
            now = self._clock()
            self._free += 1 + self._random_bits(_STEP_BITS)
            if now > self._millisecond:
                self._millisecond, self._free = now, self._random_bits(_START_BITS)
            elif self._free >= 1 << _FREE_BITS:
                self._millisecond, self._free = self._millisecond + 1, self._random_bits(_START_BITS)
            return uuid7(self._millisecond, self._free).urn


new_id = IdMaker(lambda: time.time_ns() // 1_000_000, secrets.randbits)
