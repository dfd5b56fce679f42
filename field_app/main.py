"""Starts the screens: puts the book, the clock, the names of records and the page together.

Three ways lead here: the ``field-app`` command, ``python field_app/main.py``, and a packed app, in which the
files of this folder lie at the root of an archive and no package is around them.
"""

from __future__ import annotations

import sys

if not __package__ and "field_app" not in sys.modules:
    # As a script or at an archive's root there is no package; this makes one of the folder beside us.
    from importlib.util import module_from_spec, spec_from_file_location
    from pathlib import PurePath

    me = PurePath(__file__)  # packed apps may hold compiled files, so the suffix is taken over
    spec = spec_from_file_location("field_app", str(me.with_stem("__init__")))
    if spec is not None and spec.loader is not None:
        sys.modules["field_app"] = module_from_spec(spec)
        spec.loader.exec_module(sys.modules["field_app"])

import contextlib
import datetime as dt
import os
import re
import secrets
import threading
import webbrowser
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import TYPE_CHECKING

from field_app.core.habits import habits_from
from field_app.core.problems import FolderFault, Refused, refuse
from field_app.ids import new_id
from field_app.words import tr

if TYPE_CHECKING:
    from field_app.store import FieldBook

__all__ = ["clock_from", "data_folder", "local_now", "open_screens", "run"]

Clock = Callable[[], dt.datetime]

PORT = 8550
ASSETS = Path(__file__).parent / "assets"
# RFC 3339, 5.6; a person may leave out the seconds.
_MOMENT = re.compile(r"(\d{4}-\d\d-\d\d)[Tt ](\d\d:\d\d)(:\d\d(?:\.\d+)?)?([Zz]|[+-]\d\d:\d\d)")


def local_now() -> dt.datetime:
    """The time of this machine, with the offset that holds here now."""
    return dt.datetime.now().astimezone()


def clock_from(text: str) -> Clock:
    """The clock to work by: this machine's, or one that stands still at the time the text names.

    text: empty, or a date and time with its offset as in RFC 3339.
    Raises Refused if the text is anything else.

    >>> clock_from("2026-10-08T15:00:00-02:00")().isoformat()
    '2026-10-08T15:00:00-02:00'
    """
    body = text.strip()
    if not body:
        return local_now
    try:
        match = _MOMENT.fullmatch(body)
        if match is None:
            raise ValueError
        day, time, seconds, offset = match.groups()
        moment = dt.datetime.fromisoformat(f"{day}T{time}{seconds or ':00'}{offset.upper()}")
    except ValueError:
        raise refuse(
            "as of", tr("{body!r} is not a date and time with its offset from UTC", body=body),
            tr("Write it like 2026-10-08T15:00:00-02:00 (in --as-of or in FIELD_APP_NOW).")) from None
    return lambda: moment


def data_folder(environment: Mapping[str, str]) -> Path:
    """Where the data are when nobody names a folder: FIELD_APP_DATA, or the user's data folder.

    A packed app has a folder of its own for what it keeps, which the system names in FLET_APP_STORAGE_DATA.
    """
    if named := environment.get("FIELD_APP_DATA"):
        return Path(named)
    if _is_packed(environment) and (kept := environment.get("FLET_APP_STORAGE_DATA")):
        return Path(kept) / "field-book"
    from platformdirs import user_data_path  # the other two ways don't need it

    return user_data_path("field-app", appauthor=False)


def open_screens(
    folder: Path, *, port: int = PORT, open_browser: bool = True, clock: Clock = local_now,
    said: Mapping[str, str] | None = None,
) -> None:
    """Opens the book in a folder and serves the screens on this machine until they are stopped.

    The address is told on standard error, and opened in the browser unless ``open_browser`` is False.
    port: on 127.0.0.1; 0 for any free one; said: how things are shown, as was said at this start.
    Raises Refused (where="port") if the port can't be had, and the folder faults.
    """
    from field_app.ui import Services, installed_reader, screens  # commands must not wait for the toolkit
    from field_app.ui.serve import serve  # the same

    def tell(address: str) -> None:
        _say(tr("The field book in {folder} is open at {address}\nCtrl+C stops it.", folder=folder, address=address))
        if open_browser:
            # Some browsers keep the caller waiting until they are closed again.
            threading.Thread(target=_show, args=(address,), daemon=True).start()

    book = _book(folder, clock)
    try:
        _sweep(book)
        serve(screens(Services(book=book, codes=installed_reader(), said=said or {})), port=port,
              token=secrets.token_urlsafe(32), on_ready=tell, assets=ASSETS if ASSETS.is_dir() else None)
    finally:
        book.close()


def run(environment: Mapping[str, str]) -> int:
    """Starts what this file is for when it is run by itself, and gives the exit code."""
    try:
        clock = clock_from(environment.get("FIELD_APP_NOW", ""))
        if sys.platform == "emscripten":
            from field_app.phone.inside import run_in_page  # there is nothing of it outside a phone's browser

            run_in_page(clock=clock, new_id=new_id)
        elif _is_packed(environment) and not _toolkit_would_serve():
            _run_packed(data_folder(environment), clock)
        else:
            open_screens(data_folder(environment), clock=clock, said=_said_in(environment))
    except Refused as refused:
        _say(str(refused))
        return 2
    except FolderFault as fault:
        _say(str(fault))
        return 1
    return 0


def _said_in(environment: Mapping[str, str]) -> dict[str, str]:
    """How things are shown, as the environment says. Raises Refused for a value that is not offered."""
    names = ("measures", "decimal", "dates", "clock", "language")
    said = {name: text for name in names if (text := environment.get(f"FIELD_APP_{name.upper()}"))}
    habits_from(said, strict=True)
    return said


def _is_packed(environment: Mapping[str, str]) -> bool:
    return "FLET_PLATFORM" in environment


def _toolkit_would_serve() -> bool:
    """Whether the toolkit would put the screens on the network by itself, for every machine to see.

    It does so where it finds no display, or is told to; then our own way is taken.
    """
    from flet.utils import get_bool_env_var, is_linux_server

    headless: bool = is_linux_server()  # type: ignore[no-untyped-call]  # the toolkit left it without types
    return headless or bool(get_bool_env_var("FLET_FORCE_WEB_SERVER"))


def _run_packed(folder: Path, clock: Clock) -> None:
    import flet as ft  # commands must not wait for the toolkit

    from field_app.ui import Services, screens  # the same

    book = _book(folder, clock)
    try:
        _sweep(book)
        ft.run(screens(Services(book=book)), assets_dir=str(ASSETS))
    finally:
        book.close()


def _book(folder: Path, clock: Clock) -> FieldBook:
    from field_app.store import open_book  # reading a clock needs no database

    # With a clock of another time and place, a time typed without offset is meant there, not here.
    here = dt.datetime.astimezone if clock is local_now else None
    return open_book(folder, clock=clock, new_id=new_id, localise=here)


def _sweep(book: FieldBook) -> None:
    """Make room of photographs that were taken away long enough ago; if that can't be done, another time."""
    import asyncio  # commands without screens don't wait for it

    with contextlib.suppress(FolderFault):
        asyncio.run(book.album.sweep())


def _show(address: str) -> None:
    if not webbrowser.open(address):
        _say(tr("No browser could be started; open the address yourself."))


def _say(text: str) -> None:
    sys.stderr.write(f"{text}\n")
    sys.stderr.flush()


if __name__ == "__main__":
    code = run(os.environ)
    if code or sys.platform != "emscripten":  # in a page the screens live on after this line
        sys.exit(code)
