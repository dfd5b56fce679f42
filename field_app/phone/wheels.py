"""The packages that run on the phone: which, in which exact versions, and how they are fetched.

``wheels.lock`` names each by version and SHA-256, as a requirements file of pip in hash-checking mode.
It is made anew by ``python -m field_app.phone.lock`` and never by hand; a build takes exactly what it names.
"""

from __future__ import annotations

import re
import subprocess
import sys
from pathlib import Path

from field_app.core.problems import FolderFault, Problem

__all__ = ["LOCK", "ROOTS", "download", "fetch", "locked"]

LOCK = Path(__file__).with_name("wheels.lock")

#: What the screens, the store and the computing import on a phone; what these need comes with them.
ROOTS = ("flet==1.0.5", "flet-geolocator==1.0.5", "pydantic>=2.12,<3", "pint>=0.25,<0.26", "geopy>=2.4",
         "geographiclib>=2.0", "rfc8785>=0.1.4", "astral>=3.2",
         "icalendar>=6.1", "pydyf>=0.11", "segno>=1.6")

#: The runtime inside flet-web 1.0.5 is Python 3.14 for WebAssembly; compiled packages carry this tag.
_TAGS = ("--only-binary=:all:", "--platform", "pyemscripten_2026_0_wasm32", "--platform", "any",
         "--python-version", "314", "--implementation", "cp", "--abi", "cp314", "--abi", "none")
_PIN = re.compile(r"([a-z0-9._-]+)==(\S+)((?: --hash=sha256:[0-9a-f]{64})+)")


def locked(text: str) -> dict[str, str]:
    """Names and exact versions in the text of a lock file.

    Raises ValueError for a line that is neither a pin with its hash nor a comment.
    """
    pins: dict[str, str] = {}
    for line in text.splitlines():
        if not line or line.startswith("#"):
            continue
        match = _PIN.fullmatch(line)
        if match is None:
            raise ValueError(f"{line!r} is not a pin with a hash")
        pins[match[1]] = match[2]
    return pins


def download(into: Path, *what: str) -> list[Path]:
    """Have pip fetch wheels for the phone's runtime into a folder, and give them sorted by name.

    what: arguments of ``pip download`` that say which.
    Raises FolderFault if pip could not get them.
    """
    done = subprocess.run(
        [sys.executable, "-m", "pip", "download", "--quiet", "--disable-pip-version-check", "--no-input",
         "--dest", str(into), *_TAGS, *what], capture_output=True, text=True, check=False)
    if done.returncode:
        last = (done.stderr.strip().splitlines() or ["pip gave no reason"])[-1]
        raise FolderFault(Problem("the phone's packages", f"could not be fetched ({last})",
                                  "Connect this machine to the network and run the command again; "
                                  "the phones need none."))
    return sorted(into.glob("*.whl"))


def fetch(into: Path) -> list[Path]:
    """The locked wheels, each checked against its hash. Raises FolderFault if they can't be had."""
    return download(into, "--no-deps", "--require-hashes", "--requirement", str(LOCK))
