"""The sheet by which a browser hands a file to another app, where it has one for files like ours."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

__all__ = ["PageSheet"]


class PageSheet:
    """The browser's sheet. Only the page may open it, so its worker asks the page to.

    as_js: hands bytes over to the browser.
    """

    def __init__(self, worker: Any, as_js: Callable[[bytes], Any]) -> None:
        self._worker, self._as_js = worker, as_js

    async def send(self, name: str, data: bytes, words: str) -> bool:
        """Let the person choose an app for the file. False if they changed their mind.

        Raises RuntimeError if the browser refuses, as it does when the tap was too long ago.
        """
        try:
            said = str(await self._worker.send_file(name, self._as_js(data), words))
        except Exception as error:  # the browser's errors have no class of their own in Python
            raise RuntimeError(str(error)) from error
        if said not in ("sent", "stopped"):
            raise RuntimeError(said)
        return said == "sent"
