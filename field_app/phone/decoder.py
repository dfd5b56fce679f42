"""The reader of QR codes for the page: a package for browsers, kept here just as it was published.

A build takes its files out of ``packages/``, so that it needs neither the network nor the tools of that world.
To take a newer one, put its archive there and its published hash here, and run ``tests/phone``.
"""

from __future__ import annotations

import base64
import hashlib
import io
import tarfile
from pathlib import Path

from field_app.core.problems import FolderFault, Problem
from field_app.words import tr

__all__ = ["ARCHIVE", "SHA512", "decoder_files"]

#: The package "qr" 0.7.0 (MIT or Apache 2.0), as its author published it.
ARCHIVE = Path(__file__).with_name("packages") / "qr-0.7.0.tgz"
#: The hash under which it was published.
SHA512 = "/VrrACmOAwZVipuRITwfEwOL5oAMEHH5PTmBWaGtlTom2Thxaa+rhmna4zU9PRN2uLw2wdccbkHOLGZb1Q9SdA=="
#: What the page needs of it; the rest draws codes on the page, or is for compilers.
_NEEDED = ("decode.js", "index.js", "LICENSE-MIT")


def decoder_files(archive: Path = ARCHIVE) -> dict[str, bytes]:
    """Names in the folder for phones and contents. Raises FolderFault if the archive is not the one published."""
    try:
        data = archive.read_bytes()
    except OSError:
        data = b""
    if base64.b64encode(hashlib.sha512(data).digest()).decode() != SHA512:
        raise FolderFault(Problem(archive.name, tr("is missing or was changed since it was published"),
                                  tr("Install this program anew, and run the command again.")))
    with tarfile.open(fileobj=io.BytesIO(data), mode="r:gz") as packed:
        return {f"qr/{name}": _content(packed, f"package/{name}") for name in _NEEDED}


def _content(packed: tarfile.TarFile, name: str) -> bytes:
    file = packed.extractfile(name)
    assert file is not None  # a plain file of an archive whose hash is known
    return file.read()
