"""Starts the screens inside the page: tells the page how far it is, opens the records, draws."""

from __future__ import annotations

import asyncio
import datetime as dt
import json
import logging
import tempfile
from collections.abc import Callable
from importlib import import_module
from pathlib import Path
from typing import Any

import flet as ft

from field_app.core.habits import go_by, habits_from
from field_app.core.problems import FolderFault, Problem
from field_app.phone.inside.compiled import keep_compiled
from field_app.phone.inside.page_codes import PageCodes
from field_app.phone.inside.page_home import PageHome
from field_app.phone.inside.page_sheet import PageSheet
from field_app.phone.inside.records import open_log
from field_app.phone.inside.shelf import PageShelf
from field_app.store import FieldBook
from field_app.ui import Services, screens
from field_app.words import named, tr

__all__ = ["run_in_page"]

log = logging.getLogger(__name__)


def run_in_page(*, clock: Callable[[], dt.datetime], new_id: Callable[[], str]) -> None:
    """Hands the app to the client in this page.

    clock: gives the aware local time; new_id: gives ``urn:uuid:...``.
    """
    # Both are there in the page's worker alone.
    flet_js = import_module("flet_js")
    to_js = import_module("pyodide.ffi").to_js

    def tell(**what: Any) -> None:
        flet_js.tell(json.dumps(what))

    async def main(page: ft.Page) -> None:
        tell(step="records")
        args = flet_js.args
        sheet = PageSheet(flet_js, to_js) if args and args.sends else None
        # What the page speaks, by what the person chose or by the browser, so that a first start speaks it too.
        said = {"language": str(args.language)} if args else {}
        go_by(habits_from(said))
        try:
            opened = await flet_js.open_records((args.role if args else "") or "writer")
            records = await open_log(opened, Path(tempfile.mkdtemp()), as_js=to_js,
                                     new_device=new_id().replace("-", "")[-16:])
        except FolderFault as fault:
            tell(notice=_notice(fault.problem, final=True))
            return
        tell(step="drawing", role=opened.role)
        for problem in records.notices:
            tell(notice=_notice(problem, final=False))
        shelf = PageShelf(flet_js.photographs, writes=opened.role == "writer", as_js=to_js)
        book = FieldBook(records, clock=clock, new_id=new_id, localise=dt.datetime.astimezone, shelf=shelf)
        screens(Services(book=book, home=PageHome(flet_js, as_js=to_js), codes=PageCodes(flet_js, to_js), sheet=sheet,
                         said=said))(page)
        await asyncio.sleep(0)
        tell(step="shown")
        if opened.role == "writer":
            await _sweep(book, flet_js)
        await keep_compiled(flet_js.keep_compiled, to_js)

    ft.run(main)


async def _sweep(book: FieldBook, worker: Any) -> None:
    """Make room of what is not needed any more; if that can't be done, it is done another time."""
    try:
        await book.album.sweep()
        await worker.forget_copies()
    except Exception as error:  # the browser's errors have no class of their own in Python
        log.warning("not all that is not needed was thrown away: %s", error)


def _notice(problem: Problem, *, final: bool) -> dict[str, Any]:
    return {"heading": tr("The {where}: {what}", where=named(problem.where), what=problem.what), "texts": [problem.fix],
            "final": final}
