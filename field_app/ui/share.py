"""Share with the others who gather: a file for the group, files from them, and a folder that all share."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from typing import Any

import flet as ft

from field_app.core.course import Stopped
from field_app.core.problems import FolderFault, Problem, Refused
from field_app.store import FieldBook
from field_app.store.sync import Apart, apart
from field_app.sync import NOTICE, SetAside, group_name, set_aside
from field_app.ui import parts
from field_app.ui import share_parts as sections
from field_app.ui.device import Device
from field_app.ui.guard import guarded, screen
from field_app.ui.hand_over_choice import size_words
from field_app.ui.handed import note_handed
from field_app.ui.history_words import Names, names_of
from field_app.ui.long_work import Course
from field_app.ui.outward import hand_out
from field_app.ui.services import Services, use_app, use_services
from field_app.ui.share_words import Heed, aloud, folder_words, in_words
from field_app.ui.sharing import Incoming, folder_up_to_date, made_file, take_all
from field_app.ui.state import AppState
from field_app.ui.undo import undo_bar
from field_app.words import later, tr, tr_n

__all__ = ["Share"]

#: Names under which this device remembers that the person was told of exact places, and the shared folder.
_TOLD, _FOLDER = "told-exact-places", "shared-folder"


@dataclass(frozen=True, slots=True)
class _Seen:
    """What the screen shows of the work: what is under way, how far [1], and what came of the last work.

    asking: what the person is asked about exact places for: to send the file, to write it, the folder, or nothing;
    fault: what to call problems that stand alone; course: of the work under way, if it can be stopped.
    """

    busy: str = ""
    share: float | None = None
    kind: parts.Notice = "good"
    heading: str = ""
    lines: tuple[str, ...] = ()
    problems: tuple[Problem, ...] = ()
    asking: str = ""
    course: Course | None = None
    fault: str = later("That did not work")


_NOTHING = _Seen()


@dataclass(frozen=True, slots=True)
class _Found:
    """What the book holds at a mark that concerns sharing; hidden: whether some lots can't be shown."""

    mark: tuple[int, int]
    own: str
    devices: tuple[str, ...]
    aside: tuple[SetAside, ...]
    apart: tuple[Apart, ...]
    heed: tuple[Heed, ...]
    hidden: bool


def _look(book: FieldBook, mark: tuple[int, int] | None, kept: ft.MutableRef[_Found | None]) -> _Found:
    """What the book holds now, or what was kept while it is worked on."""
    before: _Found | None = kept.current
    if mark is None and before is not None:
        return before
    log, devices = book.log_book, book.devices()
    found = _Found(
        mark or book.change_mark(), log.device, devices, set_aside(log), apart(log),
        tuple(aloud(book, Names(log.device, devices))), bool(book.unreadable()))
    kept.current = found
    return found


@dataclass(frozen=True)
class _Desk:
    """The verbs of the screen, for one drawing of it."""

    services: Services
    app: AppState
    seen: _Seen
    folder: str
    show: Callable[[Any], None]

    async def send(self) -> None:
        """Hand the group file to another app of the device."""
        await self._ask_first("send")

    async def file(self) -> None:
        """Write the group file."""
        await self._ask_first("file")

    async def bring_folder(self) -> None:
        """Bring the shared folder up to date."""
        await self._ask_first("folder")

    async def _ask_first(self, what: str) -> None:
        # Before the first time, it is said that exact places are inside.
        device = self.services.device
        if device is not None and not await device.remembered(_TOLD):
            self.show(_Seen(asking=what))
        else:
            await self._go_on(what)

    async def agreed(self) -> None:
        """The person knows now, and is not asked again on this device."""
        if self.services.device is not None:
            await self.services.device.remember(_TOLD, "yes")
        await self._go_on(self.seen.asking)

    async def _go_on(self, what: str) -> None:
        await (self._sync() if what == "folder" else self._hand_out(send=what == "send"))

    async def _hand_out(self, *, send: bool) -> None:
        device, book = self.services.device, self.services.book
        if device is None:
            return
        self.show(_Seen(busy=tr("Writing your group file")))
        try:
            data, name = await made_file(book), group_name(book.log_book.device)
            left = await hand_out(device, name, data, tr(NOTICE), send=send)
        except (Refused, FolderFault, RuntimeError, OSError, TimeoutError) as fault:
            self.show(_Seen(problems=_told(fault, tr("the group file"))))
            return
        if left.done:
            await note_handed(self.services, self.app)
            self.show(_Seen(heading=f"{name}, {size_words(len(data))}",
                            lines=(tr(_SENT if left.sent else _WRITTEN),)))
        else:
            nothing = (tr("Nothing was written"), tr("The saving was stopped.")) if not left.sent else (
                tr("Nothing was sent"), tr("The sending was stopped."))
            self.show(_Seen(kind="caution", heading=nothing[0], lines=nothing[1:]))

    async def _sync(self) -> None:
        book = self.services.book
        course = Course()
        self.show(_Seen(busy=tr("Looking through the shared folder"), share=0.0, course=course))
        try:
            report, came = await folder_up_to_date(book, self.folder, course, self._so_far)
        except Stopped:
            self.app.refresh()
            self.show(_Seen(kind="caution", heading=tr("The shared folder was not brought up to date"),
                            lines=(tr("You stopped it. What came in before stays, and no file is half taken in. "
                                      "Bring the folder up to date again for the rest."),)))
            return
        except (Refused, FolderFault, OSError) as fault:
            self.app.refresh()
            self.show(_Seen(problems=_told(fault, "FOLDER")))
            return
        if self.services.device is not None:
            await self.services.device.remember(_FOLDER, self.folder.strip())
        self.app.refresh()
        await note_handed(self.services, self.app)
        heading, lines = folder_words(report, came, names_of(book))
        self.show(_Seen(heading=heading, lines=lines, problems=report.problems))

    def _so_far(self, share: float) -> None:
        self.show(lambda before: replace(before, share=share))

    async def picked(self, event: Any) -> None:
        """Take in the files that the person picked; none, if they changed their mind."""
        files = [Incoming(file.name, file.bytes) for file in event.files]
        if not files:
            return
        course = Course()
        self.show(_Seen(busy=tr_n("Taking in {n} file", "Taking in {n} files", len(files)), share=0.0, course=course))
        came = await take_all(self.services.book, files, course, self._so_far)
        self.app.refresh()
        heading, lines = in_words(came, names_of(self.services.book))
        if came.stopped:
            some = (heading,) if came.new or came.draws else ()
            self.show(_Seen(kind="caution", heading=tr("The taking in was stopped"), lines=(*some, *lines, tr(
                "What came in before stays, and no file is half taken in. Take the files in again for the rest.")),
                problems=(*came.refused, *came.problems)))
            return
        self.show(_Seen(heading=heading, lines=lines, problems=(*came.refused, *came.problems),
                        fault=later("Nothing was taken in")))


@screen
def Share() -> ft.View:
    """What goes out, what comes in, and what somebody should see to."""
    services, state = use_services(), use_app()
    device, book, path = services.device, services.book, ft.use_view_path()
    seen, set_seen = ft.use_state(_NOTHING)
    folder, set_folder = ft.use_state("")
    kept: ft.MutableRef[_Found | None] = ft.use_ref(None)
    # While the book is being worked on beside the screen, asking it would make the screen wait.
    mark = None if seen.busy else book.change_mark()
    found = ft.use_memo(lambda: _look(book, mark, kept), [mark])
    names = Names(found.own, found.devices)
    desk = _Desk(services, state, seen, folder, set_seen)

    async def begin() -> None:
        if device is not None and (kept := await device.remembered(_FOLDER)):
            set_folder(lambda typed: typed or kept)

    ft.use_effect(guarded(begin), [])
    if device is not None:
        # The picker is one for the page's life; what it hands over belongs to the screen that shows it.
        device.on_picked = guarded(desk.picked)
    can = device is not None and not seen.busy
    sends = device is not None and device.has_share_sheet
    body: list[ft.Control] = [
        *sections.came_in(seen.busy, seen.share, seen.kind, seen.heading, seen.lines, _elsewhere(seen.problems), names,
                           fault=seen.fault, stop=seen.course.stop if seen.course else None),
        *_ask(seen.asking, desk.agreed, lambda: set_seen(_NOTHING)),
        *sections.apart_section(found.apart, names), *sections.heed_section(found.heed),
        *([sections.Unreadable(found.mark)] if found.hidden else []),
        *(_as_file(desk, can=can) if sends else []),
        _from_others(device, can=can),
        *(sections.folder_section(folder, set_folder, desk.bring_folder, bool(seen.busy),
                         [one for one in seen.problems if one.where == "FOLDER"])
          if device is not None and device.has_folders else []),
        *sections.aside_section(found.aside, names, services.book.now()),
    ]
    return parts.page_view(
        path, tr("With the others who gather"), _title(len(found.apart), len(found.devices)), body, undo=undo_bar(),
        back="/dye-day",
        dock=parts.main_button(tr("Send my group file"), desk.send, "share-send", disabled=not can) if sends
        else parts.main_button(tr("Write my group file"), desk.file, "share-write", disabled=not can),
        dock_note=tr("Exact places are inside: only for people who may know the trees."))


def _as_file(desk: _Desk, *, can: bool) -> list[ft.Control]:
    return [parts.card([
        parts.body(tr("By a stick or a shared folder"), bold=True),
        parts.second(tr("Where a message does not get through, your group file can be saved and carried.")),
        sections.below([parts.outline_button(tr("Save it as a file"), desk.file, "share-write",
                                             icon=ft.Icons.SAVE_ALT, disabled=not can, expand=True)])])]


def _from_others(device: Device | None, *, can: bool) -> ft.Control:
    pick = ft.PickFiles(device.picker, with_data=True, allow_multiple=True) if device else None
    return parts.card([
        parts.body(tr("From the others"), bold=True),
        parts.second(tr("Group files of those who gather with you, or a list of what a dye day takes. Taking one in "
                        "twice changes nothing.")),
        sections.below([parts.outline_button(tr("Take in files"), _nothing, "share-take",
                                             icon=ft.Icons.FILE_OPEN_OUTLINED,
                                    disabled=not can, action=pick, expand=True)])])


_SENT = later("It is with the app you chose. Whoever gets it takes it in here; it may be sent as often as you "
              "like.")
_WRITTEN = (later("Give it to the others, by stick, by message or in a shared folder; each takes it in here. In a "
                  "browser it lies with the downloads."))


def _nothing() -> None:
    """The tap itself opens the dialog on the device; what is picked arrives by itself."""


def _title(open_ones: int, devices: int) -> str:
    if open_ones:
        return tr_n("{n} thing is said differently", "{n} things are said differently", open_ones)
    others = devices - 1
    if others < 1:
        return tr("Share what you gathered")
    return tr_n("You and {n} other device, of one mind", "You and {n} other devices, of one mind", others)


def _told(fault: BaseException, where: str) -> tuple[Problem, ...]:
    if isinstance(fault, Refused):
        return fault.problems
    if isinstance(fault, FolderFault):
        return (fault.problem,)
    return (Problem(where, tr("could not be saved; the device said: {fault}", fault=fault),
                    tr("Make room, and try again.")),)


def _elsewhere(problems: Sequence[Problem]) -> list[Problem]:
    return [problem for problem in problems if problem.where != "FOLDER"]


_YES = {"send": later("Send it"), "file": later("Write it"), "folder": later("Go on")}


def _ask(asking: str, yes: Callable[[], Any], no: Callable[[], Any]) -> list[ft.Control]:
    if not asking:
        return []
    return [parts.notice(
        "caution", tr("Exact places are inside"), tr(NOTICE), live=True, key="share-asked",
        controls=[sections.below([parts.outline_button(tr(_YES[asking]), yes, "share-yes"),
                         parts.outline_button(tr("Not now"), no, "share-no")])])]
