"""Reading the codes of labels from a photograph, where there is something that can."""

from __future__ import annotations

import asyncio
import io
import logging
from importlib.util import find_spec
from typing import Protocol

from field_app.core.problems import Refused, refuse
from field_app.words import tr

__all__ = ["LARGEST", "CodeReader", "LibraryReader", "installed_reader", "no_picture"]

log = logging.getLogger(__name__)

#: A photograph with more [byte] is not one of a label.
LARGEST = 60_000_000
#: Codes on a label that fills a tenth of the picture have still three pixels a module at this width [px].
_WIDEST = 2400


class CodeReader(Protocol):
    """Reads codes from pictures, without the network."""

    async def texts(self, picture: bytes) -> tuple[str, ...]:
        """The texts of the codes on a picture as a camera writes it, none if there are none.

        Raises Refused (where="picture") if it can't be opened as a picture.
        """


def no_picture() -> Refused:
    """What is said of a file that can't be opened as a picture."""
    return refuse("picture", tr("it can't be opened as a picture"),
                  tr("Photograph the label anew, or type the code that stands on it."))


class LibraryReader:
    """Reads with the library for codes that a computer may have beside this program."""

    async def texts(self, picture: bytes) -> tuple[str, ...]:
        """As :class:`CodeReader` says; the work is done beside the screen."""
        return await asyncio.to_thread(_read, picture)


def _read(data: bytes) -> tuple[str, ...]:
    import zxingcpp
    from PIL import Image

    if len(data) > LARGEST:
        raise no_picture()
    try:
        with Image.open(io.BytesIO(data)) as opened:
            opened.draft("L", (_WIDEST, _WIDEST))
            picture = opened.convert("L")
    except (OSError, ValueError, SyntaxError, Image.DecompressionBombError) as error:
        log.info("a picture could not be opened: %s", error)
        raise no_picture() from None
    picture.thumbnail((_WIDEST, _WIDEST))
    found = zxingcpp.read_barcodes(picture)
    return tuple(dict.fromkeys(code.text for code in found))


def installed_reader() -> CodeReader | None:
    """The reader of this computer, or None if the libraries for it are not installed."""
    return LibraryReader() if find_spec("zxingcpp") and find_spec("PIL") else None
