"""What Python compiled at the first start of a build, kept so that later starts need not compile it again.

Losing it costs a second or two at the next start, and nothing else.
"""

from __future__ import annotations

import asyncio
import io
import logging
import marshal
import sys
import tarfile
import zipfile
from collections.abc import Awaitable, Callable
from importlib import import_module
from importlib.util import MAGIC_NUMBER
from pathlib import Path
from typing import Any
from zipimport import zipimporter

from field_app.core.measures import factor_si

__all__ = ["keep_compiled"]

log = logging.getLogger(__name__)

_HERE = "/home/pyodide/"
#: Until a person has found the first thing to tap, the phone has better things to do [s].
_PAUSE = 2.0
#: Imported where they are first used, so that the first screen need not wait; ready before a person needs them.
_LATE = ("pint", "geopy.distance", "geographiclib.geodesic", "astral.sun")
#: Without its source beside it, a compiled file is not compared with one: the header of PEP 552, all zero.
_UNCHECKED = MAGIC_NUMBER + bytes(12)
_FIRST = (1980, 1, 1, 0, 0, 0)


async def keep_compiled(keep: Callable[[str, Any], Awaitable[None]], as_js: Callable[[bytes], Any]) -> None:
    """Import what the next screens will need, and hand what was compiled to ``keep``, unless it came from there.

    keep: takes a name and bytes: the packages, as an archive to unpack beside them, and the standard library, a zip
    that takes the place of the one with sources.
    """
    await asyncio.sleep(_PAUSE)
    for name in _LATE:
        import_module(name)
        await asyncio.sleep(0)  # a tap goes first
    factor_si("kg")  # the first use makes the registry of units
    modules = [module for module in list(sys.modules.values()) if getattr(module, "__spec__", None) is not None]
    library = next((path for path in sys.path if path.endswith(".zip")), "")
    origins = [str(module.__spec__.origin) for module in modules if module.__spec__]
    if not library or any(origin.startswith(library) and origin.endswith(".pyc") for origin in origins):
        return
    try:
        await keep("compiled.tar", as_js(await _packages(modules)))
        await keep("pyodide/python_stdlib.zip", as_js(await _library(library, modules)))
    except Exception as error:  # the browser's errors have no class of their own in Python
        log.warning("what was compiled was not kept: %s", error)


async def _packages(modules: list[Any]) -> bytes:
    packed = io.BytesIO()
    with tarfile.open(fileobj=packed, mode="w") as archive:
        for path in {str(getattr(module, "__cached__", "") or "") for module in modules}:
            if path.startswith(_HERE) and Path(path).exists():
                archive.add(path, path.removeprefix(_HERE))
                await asyncio.sleep(0)  # a tap goes first
    return packed.getvalue()


async def _library(path: str, modules: list[Any]) -> bytes:
    lean = io.BytesIO()
    loaded = {str(module.__spec__.origin).removeprefix(f"{path}/"): module.__spec__
              for module in modules if isinstance(module.__spec__.loader, zipimporter)}
    with zipfile.ZipFile(path) as library, zipfile.ZipFile(lean, "w") as archive:
        for name in library.namelist():
            spec = loaded.get(name)
            if spec is None or not name.endswith(".py"):
                archive.writestr(zipfile.ZipInfo(name, _FIRST), library.read(name))
            else:
                code = spec.loader.get_code(spec.name)
                archive.writestr(zipfile.ZipInfo(f"{name}c", _FIRST), _UNCHECKED + marshal.dumps(code))
            await asyncio.sleep(0)  # a tap goes first
    return lean.getvalue()
