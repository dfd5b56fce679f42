"""A file that leaves this device: handed to another app where there is a sheet for it, or saved."""

from __future__ import annotations

import logging
from dataclasses import dataclass

from field_app.ui.device import Device

__all__ = ["Left", "hand_out"]

log = logging.getLogger(__name__)


@dataclass(frozen=True, slots=True)
class Left:
    """What became of a file: whether it left (or the person stopped it), and whether another app got it."""

    done: bool
    sent: bool


async def hand_out(device: Device, name: str, data: bytes, words: str, *, send: bool) -> Left:
    """Send the file to another app, or save it, which is also done where sending turns out not to work.

    words: what is said with a file that is sent.
    Raises RuntimeError, OSError or TimeoutError if it could not be saved.
    """
    if send:
        try:
            return Left(await device.send_file(name, data, words), sent=True)
        except (RuntimeError, TimeoutError) as error:
            log.warning("%s was not sent, and is saved instead: %s", name, error)
    return Left(await device.save_file(name, data), sent=False)
