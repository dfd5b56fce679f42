"""On this phone or computer: who keeps the records, how much room there is, and a full copy out and in."""

from __future__ import annotations

import asyncio
import io
from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import Any

import flet as ft

from field_app.core.course import Stopped, part
from field_app.core.problems import FolderFault, Refused
from field_app.core.units import show_number
from field_app.store import BackedUp, FieldBook, add_backup, add_photographs, backup_bytes, write_backup
from field_app.ui import parts, theme
from field_app.ui.device import Device
from field_app.ui.guard import guarded, screen
from field_app.ui.hand_over_choice import file_name
from field_app.ui.handed import (
    NO_LIMITS,
    Handed,
    Limits,
    handed_words,
    limit_problem,
    note_handed,
    read_handed,
    read_limits,
    remember_limit,
)
from field_app.ui.home import FolderHome, Room
from field_app.ui.long_work import Course
from field_app.ui.outward import Left, hand_out
from field_app.ui.services import Services, use_app, use_services
from field_app.ui.state import AppState
from field_app.words import later, tr, tr_n

__all__ = ["ThisDevice", "room_words"]

_MB, _GB = 1_000_000, 1_000_000_000
_INSIDE = later("Everything in one file, exact places too. Keep it on another device.")
_SENT = later("It is with the app you chose. Everything is in it, exact places too.")
_WRITTEN = later("Everything is in it, exact places too. Keep it on another device. In a browser it lies with the "
                 "downloads.")


@dataclass(frozen=True, slots=True)
class _Seen:
    """What the screen knows of the device, once it has answered, what is being done, and what came of the last work.

    share: how far it is [1], if that is known; course: of work that can be stopped.
    """

    room: Room | None = None
    handed: Handed | None = None
    limits: Limits = NO_LIMITS
    busy: bool = False
    kind: parts.Notice = "good"
    heading: str = ""
    words: str = ""
    doing: str = ""
    share: float | None = None
    course: Course | None = None

    def said(self, kind: parts.Notice, heading: str, words: str) -> _Seen:
        """The same, with what came of the work."""
        return replace(self, busy=False, course=None, share=None, kind=kind, heading=heading, words=words)


@dataclass(frozen=True)
class _Desk:
    """The verbs of the screen, for one drawing of it."""

    services: Services
    app: AppState
    seen: _Seen
    show: Callable[[Any], None]

    async def look(self) -> None:
        """Ask the device what it knows."""
        device = self.services.device
        home = self.services.home or FolderHome(self.services.book)
        try:
            room = await home.room()
        except (OSError, RuntimeError):
            room = Room()
        handed = await read_handed(device) if device else None
        limits = await read_limits(device, in_browser=home.in_browser) if device else Limits()
        self.show(lambda before: replace(before, room=room, handed=handed, limits=limits))

    async def ask_to_keep(self) -> None:
        """Ask the browser again; it answers by what it makes of how the book is used."""
        home = self.services.home
        if home is None:
            return
        await home.ask_to_keep()
        await asyncio.sleep(0.5)
        room = await home.room()
        self.show(lambda before: replace(before, room=room).said(
            *(("good", tr("The browser keeps your records"), tr("It won't clear them to make room.")) if room.kept else
              ("caution", tr("The browser did not promise it"),
               tr("Put the field book on the home screen, open it from "
                  "there, and ask again. Until then, hand over often.")))))

    def limit(self, **changed: str) -> None:
        """Remember after how many lots or days to remind."""
        limits = replace(self.seen.limits, **changed)
        self.show(lambda before: replace(before, limits=limits))
        device = self.services.device

        async def soon() -> None:
            if device is not None:
                await remember_limit(device, limits)

        ft.context.page.run_task(guarded(soon))

    async def send_copy(self) -> None:
        """Hand everything, in one file, to another app."""
        await self._copy_out(send=True)

    async def save_copy(self) -> None:
        """Save everything in one file."""
        await self._copy_out(send=False)

    async def _copy_out(self, *, send: bool) -> None:
        device, book = self.services.device, self.services.book
        if device is None:
            return
        course = Course()
        self.show(lambda before: replace(before, busy=True, heading="", doing=tr("Writing a full copy"), share=0.0,
                                         course=course))
        name = file_name(book.now()).replace("lots", "field-book", 1)
        try:
            done, left = await self._out(device, name, course, send=send)
        except Stopped:
            nothing = tr("Nothing was sent") if send else tr("Nothing was written")
            self.show(lambda before: before.said("caution", nothing, tr("You stopped it. No part of it is left.")))
            return
        except (Refused, FolderFault, RuntimeError, OSError, TimeoutError) as fault:
            why = str(fault)
            self.show(lambda before: before.said("refused", tr("The full copy was not written"), why))
            return
        if not left.done:
            stopped = (tr("Nothing was sent"), tr("The sending was stopped.")) if left.sent else (
                tr("Nothing was written"), tr("The saving was stopped."))
            self.show(lambda before: before.said("caution", *stopped))
            return
        await note_handed(self.services, self.app)
        await self.look()
        words = tr(_SENT if left.sent else _WRITTEN)
        if done.photographs:
            words = tr_n("{n} photograph is in it, as the camera wrote it.",
                         "{n} photographs are in it, as the camera wrote them.", done.photographs) + " " + words
        if done.left_out:
            missing = tr_n("{n} photograph is not in it: its file is missing or damaged.",
                           "{n} photographs are not in it: their files are missing or damaged.", len(done.left_out))
            self.show(lambda before: before.said("caution", f"{name}, {room_words(done.size)}", f"{missing} {words}"))
            return
        self.show(lambda before: before.said("good", f"{name}, {room_words(done.size)}", words))

    async def _out(self, device: Device, name: str, course: Course, *, send: bool) -> tuple[BackedUp, Left]:
        """Hand out a full copy: what is in it, and what became of it. Raises Stopped, until the device has it."""
        book, home = self.services.book, self.services.home
        if home is not None and not send:
            written = await course.here(lambda: home.copy_out(book, name), self._so_far)
            if written is not None:
                return written, Left(done=True, sent=False)
        if home is not None and home.in_browser:
            # There is one thread there, so the work itself has to let a tap on Stop come through.
            file = io.BytesIO()
            done = await course.here(lambda: write_backup(book.log_book, file, book.album.shelf, name), self._so_far)
            data = file.getvalue()
        else:
            data, done = await course.away(lambda: backup_bytes(book.log_book), self._so_far)
        course.hear(1.0)
        # What the device does with it has no end that is known, and the device's own way to stop it.
        self.show(lambda before: replace(before, share=None, course=None))
        return done, await hand_out(device, name, data, tr(_INSIDE), send=send)

    def _so_far(self, share: float) -> None:
        self.show(lambda before: replace(before, share=share))

    async def copied_in(self, event: Any) -> None:
        """Put back what the person picked; nothing, if they changed their mind."""
        files = list(event.files)
        if not files:
            return
        course = Course()
        self.show(lambda before: replace(before, busy=True, heading="", doing=tr("Putting a full copy back"), share=0.0,
                                         course=course))
        book, taken = self.services.book, 0
        before_it = (self.app.lot_count, len(self.app.sites))
        try:
            if files[0].bytes is None:
                raise RuntimeError(tr("the device did not give the file"))
            taken = await course.away(lambda: _put_back(book, files[0].name, files[0].bytes), self._so_far)
            pictures = await course.here(lambda: _pictures_back(book, files[0].name, files[0].bytes), self._so_far)
        except Stopped:
            what = (tr_n("{n} record put back", "{n} records put back", taken) if taken
                    else tr("Nothing was put back"))
            self.show(lambda before: before.said("caution", what, tr(
                "You stopped it. Nothing that was here was taken away. Put the same copy back once more for the "
                "rest.")))
            return
        except (Refused, FolderFault, RuntimeError, OSError) as fault:
            why = str(fault)
            self.show(lambda before: before.said("refused", tr("Nothing was put back"), why))
            return
        finally:
            self.app.refresh()
        lots, trees = self.app.lot_count - before_it[0], len(self.app.sites) - before_it[1]
        await self.look()
        self.show(lambda before: before.said(
            "good", (tr_n("{n} record put back", "{n} records put back", taken) if taken or pictures
                     else tr("All of it was here already")),
            tr("{lots} and {trees} more than before. Nothing that was here was taken away.",
               lots=tr_n("{n} lot", "{n} lots", lots), trees=tr_n("{n} tree", "{n} trees", trees))
            + (f" {tr_n('{n} photograph came along.', '{n} photographs came along.', pictures)}" if pictures else "")))


def _put_back(book: FieldBook, name: str, data: bytes) -> int:
    with part(0.0, 0.7):
        return add_backup(book.log_book, data, name, now_ms=round(1000 * book.now().timestamp())).new


async def _pictures_back(book: FieldBook, name: str, data: bytes) -> int:
    with part(0.7, 1.0):
        return await add_photographs(book.album, data, name)


@screen
def ThisDevice() -> ft.View:
    """What a person must know about where the records are, and the two ways of a full copy."""
    services, app, page = use_services(), use_app(), ft.context.page
    seen, set_seen = ft.use_state(_Seen())
    desk = _Desk(services, app, seen, set_seen)
    ft.use_effect(guarded(desk.look), [])
    device = services.device
    if device is not None:
        # The picker is one for the page's life; what it hands over belongs to the screen that shows it.
        device.on_picked = guarded(desk.copied_in)
    sends = device is not None and device.has_share_sheet
    in_browser = services.home is not None and services.home.in_browser
    here = tr("this phone") if in_browser or page.platform in (ft.PagePlatform.ANDROID, ft.PagePlatform.IOS) else (
        tr("this computer"))
    body: list[ft.Control] = []
    if seen.busy:
        body.append(parts.busy_card(seen.doing, "device-busy", seen.share, seen.course.stop if seen.course else None))
    if seen.heading:
        body.append(parts.notice(seen.kind, seen.heading, seen.words, live=True, key="device-said"))
    body += [*_promise(seen.room, desk), _where(services, seen.room, in_browser), _handed(desk, here),
             *_home_screen(page.platform, in_browser), *([_as_file(desk)] if sends else []), _back(device, seen.busy)]
    lots = tr_n("{n} lot", "{n} lots", app.lot_count)
    return parts.page_view(
        ft.use_view_path(), tr("Kept here, sent nowhere"), tr("{lots} on {device}", lots=lots, device=here), body,
        back="/",
        dock=parts.main_button(tr("Send a full copy"), desk.send_copy, "device-send", disabled=seen.busy) if sends
        else parts.main_button(tr("Write a full copy"), desk.save_copy, "device-copy",
                               disabled=device is None or seen.busy),
        dock_note=tr(_INSIDE))


def _as_file(desk: _Desk) -> ft.Control:
    return parts.card([
        parts.body(tr("A full copy as a file"), bold=True),
        parts.second(tr("Instead of sending it, it can be saved here, and carried by cable or stick.")),
        ft.Container(ft.Row([parts.outline_button(
            tr("Save it as a file"), desk.save_copy, "device-copy", icon=ft.Icons.SAVE_ALT, disabled=desk.seen.busy,
            expand=True)]), padding=ft.Padding.only(top=2 * theme.GRID)),
    ])


def _promise(room: Room | None, desk: _Desk) -> list[ft.Control]:
    if room is None or room.kept is None:
        return []
    if room.kept:
        return [parts.notice("good", tr("The browser promised to keep your records"),
                             tr("It won't clear them to make room."),
                             key="device-kept")]
    return [parts.notice(
        "caution", tr("The browser has not promised to keep your records"),
        tr("When the phone runs full, it might clear them. Put the field book on the home screen, and hand "
           "over often."),
        key="device-not-kept",
        controls=[ft.Container(parts.outline_button(tr("Ask it to keep them"), desk.ask_to_keep, "device-ask"),
                               padding=ft.Padding.only(top=2 * theme.GRID))])]


def _where(services: Services, room: Room | None, in_browser: bool) -> ft.Control:
    place = (tr("In the browser of this phone, and nowhere else.") if in_browser
             else tr("In {folder}", folder=services.book.folder))
    rows: list[ft.Control] = [parts.body(tr("Where your records are"), bold=True), parts.second(place)]
    if room is not None:
        rows += [parts.figure_row(label, room_words(size), key=key) for label, size, key in (
            (tr("the field book takes") if in_browser else tr("they take"), room.used, "device-used"),
            (tr("room for more"), room.free, "device-free"))]
    return parts.card(rows)


def room_words(size: int | None) -> str:
    """A size on a disk, as a person reads it [byte].

    >>> room_words(1_540_000), room_words(5_400_000_000), room_words(None)
    ('2 MB', '5.4 GB', 'not told')
    """
    if size is None:
        return tr("not told")
    if size >= _GB:
        return f"{show_number(round(size / _GB, 1))} GB"
    return f"{round(size / _MB)} MB" if size >= _MB else _size(size)


def _size(size: int) -> str:
    return f"{round(size / 1000)} kB" if size >= 1000 else tr_n("{n} byte", "{n} bytes", size)


def _handed(desk: _Desk, here: str) -> ft.Control:
    limits = desk.seen.limits

    def box(label: str, text: str, name: str) -> ft.Control:
        wrong = limit_problem(label, text)
        return parts.field(label, text, lambda typed: desk.limit(**{name: typed}), f"remind-{name}",
                           [wrong] if wrong else [], keyboard=ft.KeyboardType.NUMBER)

    return parts.card([
        parts.body(tr("Last handed over"), bold=True),
        ft.Text(handed_words(desk.seen.handed, desk.app.lot_count, desk.services.book.now()), key="device-handed",
                size=theme.BODY, color=theme.HULL),
        parts.second(tr("A lot file, a group file or a full copy counts. What lies on {device} alone is gone with it.",
                        device=here)),
        ft.Container(height=theme.GRID),
        box(tr("Remind me after so many lots"), limits.lots, "lots"),
        ft.Container(height=theme.GRID),
        ft.Container(height=2 * theme.GRID),  # for the label above the frame
        box(tr("or after so many days"), limits.days, "days"),
        parts.second(tr("0 means never.")),
    ])


def _home_screen(platform: Any, in_browser: bool) -> list[ft.Control]:
    if not in_browser:
        return []
    if platform in (ft.PagePlatform.IOS, ft.PagePlatform.MACOS):
        return [parts.notice(
            "advice", tr("Put it on the home screen"),
            tr("Tap the browser's share sign, then Add to Home Screen, and open it from there. Until you do, the "
               "browser may clear your records after 7 days without a visit. What you saved here does not move "
               "along: write a full copy first, and put it back there."), key="device-home")]
    return [parts.notice(
        "advice", tr("Put it on the home screen"),
        tr("In the browser's menu, tap Add to home screen or Install. It is the same book, and the browser is "
           "likelier to keep it."), key="device-home")]


def _back(device: Any, busy: bool) -> ft.Control:
    pick = ft.PickFiles(device.picker, with_data=True) if device else None
    return parts.card([
        parts.body(tr("From another device"), bold=True),
        parts.second(tr("A full copy of another phone or computer is added to what is here. Nothing is taken away, "
                        "and putting the same one back twice changes nothing.")),
        ft.Container(ft.Row([parts.outline_button(
            tr("Put a full copy back"), _nothing, "device-back", icon=ft.Icons.FILE_OPEN_OUTLINED,
            disabled=device is None or busy, action=pick, expand=True)]), padding=ft.Padding.only(top=2 * theme.GRID)),
    ])


def _nothing() -> None:
    """The tap itself opens the dialog on the device; what is picked arrives by itself."""
