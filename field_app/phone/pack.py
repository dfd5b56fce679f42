"""What Python needs on the phone, in two archives: the standard library, and the app with its packages.

Both leave out what is never imported there.
The same input gives the same bytes: names are sorted, and no time or owner is written.
"""

from __future__ import annotations

import gzip
import io
import re
import tarfile
import zipfile
from collections.abc import Iterable, Iterator, Mapping
from pathlib import Path

from field_app.phone.client import patched
from field_app.phone.described import without_descriptions

__all__ = ["app_archive", "app_files", "lean_library", "wheel_files"]

#: Where the client's worker looks for packages, inside the archive.
PACKAGES = "__pypackages__"

#: What is left out of packages, each with its reason.
_NOT_FROM_PACKAGES = re.compile("|".join((
    r"[^/]+\.dist-info/(?!licenses/|METADATA$).*",  # for installers; licences must travel along, and versions are asked
    r".*\.(pyi|pyx|pxd|c|h)|.*/py\.typed",          # for type checkers and compilers
    r"platformdirs-[^/]+/sboms/.*",                 # for auditors of the package
    r"[^/]+/(tests?|testsuite)/.*|.*/(testing|pytest_plugin)\.py|flet/testing/.*",  # for testing these packages
    r"tzdata/zoneinfo/(?!__init__\.py|UTC$|Etc/(__init__\.py|UTC$)).*",  # times here carry their offset, not a zone
    r"pydantic/v1/.*|pydantic/mypy\.py",            # the interface of before version 2; a plugin for type checkers
    r"geopy/(geocoders/.*|adapters\.py|extra/.*)",   # each asks a service on the network
    r"astral/(geocoder|moon|location|table4|sidereal|__main__)\.py|segno/(cli|helpers)\.py",  # towns, moon
    r"msgpack/fallback\.py",                        # in place of the compiled part, which is there
)))

#: Packages of which a third is what their parts are for, and which never look at it.
_DESCRIBED = re.compile(r"(flet|pydantic)/.*\.py")

#: Lines of packages that import what was left out, and what stands there instead.
_CHANGED = {
    "geopy/__init__.py": {"from geopy.geocoders import *  # noqa\n": "", "del options  # noqa\n": ""},
}

#: What is left out of the standard library: programs, servers, mail, debuggers and other operating systems.
_NOT_FROM_LIBRARY = re.compile("|".join((
    r"(_pyrepl|multiprocessing|unittest|xmlrpc|wsgiref|ensurepip|idlelib|tkinter|turtledemo|venv|pydoc_data"
    r"|lib2to3|curses|dbm|pathlib/__pycache__|test)/.*",
    r"(pdb|bdb|doctest|pydoc|imaplib|poplib|smtplib|ftplib|telnetlib|mailbox|mailcap|optparse|turtle|profile"
    r"|cProfile|pstats|trace|tracemalloc|cgi|cgitb|nntplib|socketserver|timeit|this|antigravity"
    r"|modulefinder|pyclbr|tabnanny|wave|plistlib|netrc|pty|tty|rlcompleter|_pyio|_android_support|_ios_support"
    r"|_apple_support|sre_compile|sre_constants|sre_parse|nturl2path|crypt|chunk|sndhdr|imghdr|aifc|sunau)\.py",
    r"(pickletools|cmd|compileall|fileinput|filecmp|getpass|sched|shelve|symtable|zipapp)\.py|logging/(handlers|config)\.py"
    r"|xml/dom/.*|ctypes/((util|_aix)\.py|macholib/.*)|asyncio/(tools|__main__)\.py|sqlite3/(dump|__main__)\.py|json/tool\.py",
    r"http/(server|cookiejar)\.py|asyncio/(windows_|proactor).*|concurrent/interpreters/.*",
    # Alphabets of the East, and pages of old mainframes; text here is UTF-8, in zips cp437, in PDF cp1252.
    r"encodings/(big5|cp(?!(437|1252)\b)[0-9]|euc_|gb|hp_|hz|iso2022|iso8859_(?!1\b|15)|johab|koi8|kz|mac_|palmos|ptcp|shift_|tis|uu_|"
    r"quopri|rot|utf_7|utf_32|bz2|hex|zlib|charmap|mbcs|oem|undefined).*",
)))
#: Of our own files, what only the machine that builds needs; catalogues of words are read in their compiled form.
_NOT_FROM_OURS = re.compile(
    r"cli.*\.py|assets/.*|ui/(serve|gate)\.py|phone/(?!__init__\.py|inside/).*|words/.*\.pot?|.*__pycache__.*")


def wheel_files(wheels: Iterable[Path]) -> Iterator[tuple[str, bytes]]:
    """Names and contents of what is installed from wheels."""
    for wheel in wheels:
        with zipfile.ZipFile(wheel) as archive:
            for name in archive.namelist():
                if name.endswith("/") or _NOT_FROM_PACKAGES.fullmatch(name):
                    continue
                data = archive.read(name)
                if name.endswith(".dist-info/METADATA"):
                    data = data.partition(b"\n\n")[0] + b"\n"  # the name and version, without the package's page
                if _DESCRIBED.fullmatch(name):
                    data = without_descriptions(data)
                if changes := _CHANGED.get(name):
                    data = patched(data.decode(), name, changes).encode()
                yield name, data


def app_files(package: Path, seeds: Path) -> Iterator[tuple[str, bytes]]:
    """Names and contents of our own files.

    package: the folder of ``field_app``; seeds: that of the demo scenario, which may lie inside or beside it.
    """
    for root, prefix in ((package, "field_app"), (seeds, "field_app/seed_sites")):
        for path in root.rglob("*"):
            name = path.relative_to(root).as_posix()
            inside = root is package and seeds in path.parents
            if path.is_file() and not inside and not _NOT_FROM_OURS.fullmatch(name):
                yield f"{prefix}/{name}", path.read_bytes()


def app_archive(files: Mapping[str, bytes]) -> bytes:
    """A compressed archive of these files for the client's worker.

    >>> app_archive({"a.py": b"", "b.py": b""}) == app_archive({"b.py": b"", "a.py": b""})
    True
    """
    plain = io.BytesIO()
    with tarfile.open(fileobj=plain, mode="w", format=tarfile.USTAR_FORMAT) as archive:
        for name in sorted(files):
            entry = tarfile.TarInfo(f"{PACKAGES}/{name}")
            entry.size, entry.mode = len(files[name]), 0o644
            archive.addfile(entry, io.BytesIO(files[name]))
    packed = io.BytesIO()
    with gzip.GzipFile(filename="", fileobj=packed, mode="wb", compresslevel=9, mtime=0) as stream:
        stream.write(plain.getvalue())
    return packed.getvalue()


def lean_library(data: bytes) -> bytes:
    """The runtime's standard library, a zip, without what is never imported on a phone."""
    lean = io.BytesIO()
    with zipfile.ZipFile(io.BytesIO(data)) as library, zipfile.ZipFile(lean, "w") as archive:
        for name in sorted(library.namelist()):
            if name.endswith("/") or _NOT_FROM_LIBRARY.fullmatch(name):
                continue
            # Many hosts compress scripts on the way, but take an archive for compressed already.
            entry = zipfile.ZipInfo(name, (1980, 1, 1, 0, 0, 0))
            entry.external_attr = 0o644 << 16
            archive.writestr(entry, library.read(name), zipfile.ZIP_DEFLATED, 9)
    return lean.getvalue()
