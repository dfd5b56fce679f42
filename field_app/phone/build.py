"""Builds the folder of static files that is the app on a phone.

The same program and the same locked packages give the same bytes, whenever the folder is made.
"""

from __future__ import annotations

import base64
import gzip
import hashlib
import json
import shutil
import tempfile
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from pathlib import Path

import flet_web

import field_app
from field_app.core.course import step
from field_app.core.problems import Problem, Refused, refuse
from field_app.phone.client import client_files
from field_app.phone.decoder import decoder_files
from field_app.phone.icons import FONT, NAMES, OTHER_NAMES, icons_named, lean_font, lean_names, signs_of
from field_app.phone.pack import app_archive, app_files, lean_library, wheel_files
from field_app.phone.page import page_files, service_worker
from field_app.phone.wheels import fetch
from field_app.words import tr

__all__ = ["MARK", "Built", "base_path", "build", "folder_files", "write_folder"]

#: The file by which a folder is known as one that was made here.
MARK = "build.json"
_MADE_BY = "field-app phone"
_LIBRARY = "pyodide/python_stdlib.zip"


@dataclass(frozen=True, slots=True)
class Built:
    """What was made: the build's name, and its size on the disk and, compressed, over the wire [byte]."""

    name: str
    files: int
    on_disk: int
    over_the_wire: int


def base_path(text: str) -> str:
    """The path at which the folder will lie on its host, with a slash at both ends.

    Raises Refused if it is not a path.

    >>> base_path("/book/")
    '/book/'
    """
    if not text.startswith("/") or not text.endswith("/") or "//" in text or not set(text) <= _IN_PATH:
        raise refuse("--base-url", tr("{text!r} is not the path of a folder on a host", text=text),
                     tr("Write it like /field-book/, with a slash at both ends; / if it is the whole host."))
    return text


_IN_PATH = frozenset("abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789-._~/")


def folder_files(wheels: list[Path], base: str, package: Path | None = None) -> tuple[str, dict[str, bytes]]:
    """The build's name and every file of the folder, for these packages and this path.

    package: the program's folder, if not the one that runs.
    """
    package = package or Path(field_app.__file__).parent
    seeds = package / "seed_sites"
    if not seeds.is_dir():  # in a source checkout the scenario lies beside the package, in the wheel inside it
        seeds = package.parent / "seed_sites"
    files = client_files(Path(flet_web.get_package_web_dir()))
    files[_LIBRARY] = lean_library(files[_LIBRARY])
    packages, ours = dict(wheel_files(wheels)), dict(app_files(package, seeds))
    used = icons_named(ours)
    named, by_itself = signs_of(files["main.dart.js"].decode(), json.loads(packages[NAMES]))
    files[FONT] = lean_font(files[FONT], {*by_itself, *(named[name] for name in used)})
    packages |= {NAMES: lean_names(packages[NAMES], used), OTHER_NAMES: b"{}"}
    files["app.tar.gz"] = app_archive({**packages, **ours})
    files |= page_files(package / "assets", base) | decoder_files()
    name = _name(files)
    files["python-worker.js"] = files["python-worker.js"].replace(b"@BUILD@", name.encode())
    hashes = {"./" if file == "index.html" else file: base64.b64encode(hashlib.sha256(data).digest()).decode()
              for file, data in sorted(files.items())}
    files["sw.js"] = service_worker(name, hashes, files["index.html"].decode())
    files[MARK] = json.dumps({"made_by": _MADE_BY, "version": field_app.__version__, "build": name, "base": base},
                             indent=1).encode() + b"\n"
    return name, files


def _name(files: Mapping[str, bytes]) -> str:
    every = hashlib.sha256()
    for name in sorted(files):
        every.update(name.encode() + b"\0" + hashlib.sha256(files[name]).digest())
    return every.hexdigest()[:16]


def build(folder: Path, *, base: str = "/", say: Callable[[str], None]) -> Built:
    """Make the folder, or make it anew if it was made here.

    base: the path at which it will lie on its host; say: is told how far it is.
    Raises Refused if the folder holds anything else, FolderFault if the packages can't be had.
    """
    base = base_path(base)
    _check(folder)
    say(tr("Fetching the packages that run on a phone"))
    with tempfile.TemporaryDirectory() as place:
        wheels = fetch(Path(place))
        say(tr("Packing the program and its packages"))
        name, files = folder_files(wheels, base)
    say(tr("Writing {count} files", count=len(files)))
    write_folder(folder, files)
    say(tr("Weighing them as they travel"))
    wire = {}
    for number, (file, data) in enumerate(files.items()):
        step(number / len(files))
        wire[file] = gzip.compress(data, 9, mtime=0)
    return Built(name, len(files), sum(map(len, files.values())),
                 sum(min(len(wire[file]), len(files[file])) for file in files))


def _check(folder: Path) -> None:
    if not folder.exists() or (folder.is_dir() and not any(folder.iterdir())):
        return
    try:
        ours = json.loads((folder / MARK).read_bytes())["made_by"] == _MADE_BY
    except (OSError, ValueError, KeyError, TypeError):
        ours = False
    if not ours:
        raise Refused([Problem("DIR", tr("{folder} holds things that this command did not make", folder=folder),
                               tr("Name a folder that is empty, or not there yet, or that it made before."))])


def write_folder(folder: Path, files: Mapping[str, bytes]) -> None:
    """Put the files into the folder, in place of all that it held.

    Raises Refused if that can't be. Stopped half-way, it leaves the folder as it was."""
    # Beside its place first, so that a host that is reading the folder never finds half of one.
    folder = folder.absolute()
    try:
        folder.parent.mkdir(parents=True, exist_ok=True)
        new = Path(tempfile.mkdtemp(prefix=f".{folder.name}.", dir=folder.parent))
        try:
            for number, (name, data) in enumerate(files.items()):
                step(number / len(files))
                path = new / name
                path.parent.mkdir(parents=True, exist_ok=True)
                path.write_bytes(data)
            new.chmod(0o755)
            _change_places(new, folder)
        finally:
            shutil.rmtree(new, ignore_errors=True)  # what was there before, or what was stopped half-way
    except OSError as error:
        raise refuse("DIR", tr("{folder} could not be written ({strerror})", folder=folder, strerror=error.strerror),
                     tr("Make room, or name a folder that you may write.")) from error


def _change_places(new: Path, folder: Path) -> None:
    """The new folder comes into its place, and what was there lies where the new one was."""
    if not folder.exists():
        new.rename(folder)
        return
    before = new.with_name(f"{new.name}.before")
    folder.rename(before)
    try:
        new.rename(folder)
    except BaseException:
        before.rename(folder)
        raise
    before.rename(new)
