"""What the browser tells of the room for records, and its promise to keep them."""

from __future__ import annotations

import json
from typing import Any

from field_app.ui import Room

__all__ = ["PageHome"]


class PageHome:
    """The browser's own storage."""

    in_browser = True

    def __init__(self, worker: Any) -> None:
        self._worker = worker

    async def room(self) -> Room:
        """What is used and left for this app, and whether the browser promised to keep it. Raises RuntimeError."""
        try:
            told = json.loads(await self._worker.room())
        except Exception as error:  # the browser's errors have no class of their own in Python
            raise RuntimeError(str(error)) from error
        usage, quota = told["usage"], told["quota"]
        free = None if usage is None or quota is None else max(0, quota - usage)
        return Room(usage, free, bool(told["kept"]))

    async def ask_to_keep(self) -> None:
        """Only the page may ask, so it is told to."""
        self._worker.ask_to_keep()
