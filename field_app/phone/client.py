"""The web client of the toolkit, as the phone gets it: pruned, and with the few places changed that must be.

Every change says which text it expects; if the client no longer holds it, the build stops, rather than make a
folder that asks the network for something.
"""

from __future__ import annotations

import hashlib
import json
import re
from collections.abc import Mapping
from pathlib import Path

from field_app.core.problems import FolderFault, Problem

__all__ = ["ClientChanged", "client_files", "patched"]

#: What a phone never loads, each with its reason.
_UNUSED = re.compile("|".join((
    r"pyodide/(python(\.exe|\.bat)?|pyodide\.js|.*\.d\.ts|.*\.whl|console.*)",  # for other hosts, and an installer
    r"main\.dart\.(wasm|mjs)|flutter\.js\.map",               # another way of compiling the same client
    r"canvaskit/(skwasm|wimp).*|canvaskit/(chromium|experimental_webparagraph)/.*|.*\.symbols",  # other renderers
    r"assets/packages/(flutter_math_fork|media_kit|record_web|cupertino_icons)/.*",  # formulas, video, sound, icons
    r"flutter_service_worker\.js|flutter\.js",                # unregisters itself; a second copy of the loader
    r"icons/.*|favicon\.png|manifest\.json|index\.html",      # ours take their place
)))
_FAMILIES_UNUSED = ("flutter_math_fork", "cupertino_icons")
#: The client's worker, whose contract with the client our own worker keeps.
WORKER_SHA256 = "5c2f0c4ac3a7c2a8376226124942cfd29515a4abd95e97267fa4db371b94b947"


class ClientChanged(FolderFault):
    """What is changed here is not what the change was made for; the problem says where."""

    def __init__(self, where: str, what: str) -> None:
        super().__init__(Problem(where, what, "Install the packages in the versions that this program names, "
                                              "and run the command again."))


def patched(text: str, name: str, changes: Mapping[str, str]) -> str:
    """The text with each of the keys, which must be there once, replaced.

    Raises ClientChanged.
    """
    for old, new in changes.items():
        if text.count(old) != 1:
            raise ClientChanged(name, f"holds {old.strip()[:60]!r} {text.count(old)} times, not once")
        text = text.replace(old, new)
    return text


def client_files(web: Path) -> dict[str, bytes]:
    """The files of the client, without what is never loaded, and changed where they must be."""
    files = {}
    for path in web.rglob("*"):
        name = path.relative_to(web).as_posix()
        if path.is_file() and not _UNUSED.fullmatch(name):
            files[name] = path.read_bytes()
    found = hashlib.sha256(files.pop("python-worker.js")).hexdigest()
    if found != WORKER_SHA256:
        raise ClientChanged("python-worker.js", "of the client is not the one that ours stands in for")
    for name, change in (("python.js", _python_js), ("flutter_bootstrap.js", _bootstrap)):
        files[name] = change(files[name].decode()).encode()
    # Under this name people find it, and hosts compress it on the way.
    files["licences.txt"] = files.pop("assets/NOTICES")
    lock = json.loads(files["pyodide/pyodide-lock.json"])
    files["pyodide/pyodide-lock.json"] = json.dumps({**lock, "packages": {}}).encode()  # ours come in the archive
    fonts = json.loads(files["assets/FontManifest.json"])
    files["assets/FontManifest.json"] = json.dumps(
        [font for font in fonts if not any(unused in font["family"] for unused in _FAMILIES_UNUSED)]
        + [{"family": "Roboto", "fonts": [{"asset": "fonts/roboto.woff2"}]}], separators=(",", ":")).encode()
    return files


def _bootstrap(text: str) -> str:
    # The loader would replace our service worker by one that removes itself.
    bare, count = re.subn(r"\n\s*serviceWorkerSettings:\s*\{.*?\},(?=\s*\n)", "", text, flags=re.DOTALL)
    if count != 1:
        raise ClientChanged("flutter_bootstrap.js", "of the client sets up no service worker any more")
    # What is shown while Python starts goes when the first screen is there, not when the canvas is.
    return patched(bare, "flutter_bootstrap.js",
                   {"document.getElementById('loading')?.remove();": "fieldBook.step('canvas');",
                    # One renderer that runs in every browser.
                    "var flutterConfig = {\n": "var flutterConfig = {\n    canvasKitVariant: \"full\",\n"})


def _python_js(text: str) -> str:
    return patched(text, "python.js", {
        # Python starts with the page, beside the client, and not after it.
        """    app.worker = new Worker(
        (flet.entrypointBaseUrl.endsWith("/") ?
            flet.entrypointBaseUrl.slice(0, -1) : flet.entrypointBaseUrl) + "/python-worker.js",
        { type: "module" });
""": "    app.worker = fieldBook.worker;\n",
        # Whether this tab may write is known in the page alone.
        "        args: args,\n":
            "        args: { ...args, role: await fieldBook.role, sends: fieldBook.sends, "
            "language: fieldBook.language },\n",
        "        } else {\n            app.dartOnMessage(event.data);":
            "        } else if (event.data.fieldBook) {\n            fieldBook.told(event.data.fieldBook);\n"
            "        } else {\n            app.dartOnMessage(event.data);",
    })
