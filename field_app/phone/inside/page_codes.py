"""Reads the codes of labels from photographs, with what the page has for it."""

from __future__ import annotations

import json
import logging
from collections.abc import Callable
from typing import Any

from field_app.core.problems import refuse
from field_app.ui import LARGEST, no_picture
from field_app.words import tr

__all__ = ["PageCodes"]


class PageCodes:
    """The browser opens the picture and makes it smaller; the package beside the page finds the code in it."""

    def __init__(self, worker: Any, as_js: Callable[[bytes], Any]) -> None:
        self._worker, self._as_js = worker, as_js

    async def texts(self, picture: bytes) -> tuple[str, ...]:
        """The texts of the codes on a picture; Refused if it can't be opened as one."""
        if len(picture) > LARGEST:
            raise no_picture()
        try:
            found = json.loads(await self._worker.read_codes(self._as_js(picture)))
        except Exception as error:  # the browser's errors have no class of their own in Python
            logging.getLogger(__name__).warning("no code could be read: %s", error)
            raise refuse("picture", tr("this browser can't read codes from photographs"),
                         tr("Type the code that stands on the label.")) from None
        if found is None:
            raise no_picture()
        return tuple(found)
