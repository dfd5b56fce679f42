"""Chooses the newest packages for the phone that fit, and writes their versions and hashes to ``wheels.lock``.

Run as ``python -m field_app.phone.lock``, then build and run the tests of the phone before committing it.
"""

from __future__ import annotations

import hashlib
import sys
import tempfile
from collections.abc import Iterable
from pathlib import Path

from field_app.core.problems import FolderFault
from field_app.phone.wheels import LOCK, ROOTS, download

__all__ = ["UNUSED", "lock_text", "main"]

#: Packages that others ask for and that are never imported on a phone, with the reason.
UNUSED = {
    "anyio": "comes with httpx",
    "certifi": "comes with httpx",
    "h11": "comes with httpx",
    "httpcore": "comes with httpx",
    "httpx": "for signing in with a server; there is none",
    "idna": "comes with httpx",
    "oauthlib": "for signing in with a server; there is none",
}

_HEAD = """\
# Made by `python -m field_app.phone.lock`; do not edit.
# Packages for Python 3.14 on WebAssembly, the runtime inside flet-web 1.0.5.
"""


def lock_text(wheels: Iterable[Path]) -> str:
    """The lock file for these wheels: a pin and its hash each, sorted by name."""
    lines = []
    for wheel in wheels:
        name, version = wheel.name.split("-")[:2]
        name = name.lower().replace("_", "-")
        if name not in UNUSED:
            lines.append(f"{name}=={version} --hash=sha256:{hashlib.sha256(wheel.read_bytes()).hexdigest()}\n")
    return _HEAD + "".join(sorted(lines))


def main() -> int:
    """Write the lock file and say what is in it; gives the exit code."""
    with tempfile.TemporaryDirectory() as folder:
        try:
            text = lock_text(download(Path(folder), *ROOTS))
        except FolderFault as fault:
            sys.stderr.write(f"{fault.problem}\n")
            return 1
    LOCK.write_text(text, encoding="utf-8")
    sys.stdout.write(text)
    return 0


if __name__ == "__main__":
    sys.exit(main())
