"""One photograph, large: when it was taken, a copy without its place, and a way to take it away."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass

import flet as ft

from field_app.core.pictures import Picture, bare_copy, read_picture
from field_app.core.problems import Refused, refuse
from field_app.store import Album, Photograph, looks_at
from field_app.ui import parts, theme
from field_app.ui.day_words import clock_time, day
from field_app.ui.guard import guarded, screen
from field_app.ui.hand_over_choice import size_words
from field_app.ui.photographs import photograph_said
from field_app.ui.services import use_app, use_services
from field_app.ui.site_words import site_route
from field_app.ui.tree import find_site
from field_app.words import begun, tr

__all__ = ["LookPhotograph", "LotPhotograph"]


@dataclass(frozen=True, slots=True)
class _Held:
    """The bytes, once they were read, and what they are; or why there are none."""

    data: bytes | None = None
    picture: Picture | None = None
    wrong: str = ""
    asking: bool = False
    kind: parts.Notice = "good"
    heading: str = ""
    words: str = ""


_NOTHING = _Held()


@screen
def LotPhotograph() -> ft.View:
    """A photograph of a lot."""
    services, state = use_services(), use_app()
    params = ft.use_route_params()
    lot = ft.use_memo(lambda: services.book.lot(params.get("id", "")), [params.get("id", ""), state.lots])
    return _one(params.get("photograph", ""), (lot.id,), tr("lot {code}", code=lot.code), f"lot-{lot.code}",
                f"/lots/{lot.code}")


@screen
def LookPhotograph() -> ft.View:
    """A photograph of a look at a tree."""
    services, state = use_services(), use_app()
    params = ft.use_route_params()
    site = find_site(state.sites, params.get("id", ""))
    looks = tuple(look.id for look in looks_at(services.book, site.id))
    return _one(params.get("photograph", ""), looks, tr("a look at {tree}", tree=site.name), "look",
                site_route(site.id))


def _found(album: Album, key: str, things: tuple[str, ...]) -> tuple[Photograph, int, int]:
    """The photograph that an address names, its place among those of the same thing, and how many they are."""
    for thing in things:
        there = album.of(thing)
        for number, one in enumerate(there, 1):
            if key and one.sha256.startswith(key):
                return one, number, len(there)
    raise refuse("photograph", tr("it is not on this device"),
                 tr("Go back, and choose one of those that are there."))


def _one(key: str, things: tuple[str, ...], called: str, file: str, above: str) -> ft.View:
    services, app = use_services(), use_app()
    held, set_held = ft.use_state(_NOTHING)
    one, number, count = _found(services.book.album, key, things)
    said = photograph_said(number, count, called)

    async def read() -> None:
        try:
            data = await services.book.album.read(one)
            picture = read_picture(data, "photograph")
        except Refused as refused:
            wrong = refused.problems[0]
            set_held(_Held(wrong=f"{begun(wrong.what)}. {wrong.fix}"))
            return
        set_held(_Held(data, picture))

    async def save_copy() -> None:
        if held.data is None or services.device is None:
            return
        name = f"{file}-{number}.{'jpg' if one.kind == 'jpeg' else one.kind}"
        try:
            copy = bare_copy(held.data, "photograph")
            kept = await services.device.save_file(name, copy)
        except (Refused, RuntimeError, OSError, TimeoutError) as fault:
            tell("refused", tr("It could not be saved"), str(fault))
            return
        if kept:
            tell("good", f"{name}, {size_words(len(copy))}", tr("The picture alone is in it. In a browser it lies with "
                                                                "the downloads."))
        else:
            tell("caution", tr("Nothing was written"), tr("The saving was stopped."))

    def tell(kind: parts.Notice, heading: str, words: str) -> None:
        set_held(lambda before: _Held(before.data, before.picture, before.wrong, False, kind, heading, words))

    def ask(asking: bool) -> None:
        set_held(lambda before: _Held(before.data, before.picture, before.wrong, asking))

    def take_away() -> None:
        services.book.album.take_away(one)
        app.refresh()
        ft.context.page.navigate(above)

    ft.use_effect(guarded(read), [one.name])
    body: list[ft.Control] = []
    if held.heading:
        body.append(parts.notice(held.kind, held.heading, held.words, live=True, key="photograph-said"))
    if held.asking:
        body.append(parts.notice(
            "caution", tr("Take this photograph away?"),
            tr("For a day it can be brought back where it was shown; then it is gone from this device for good. Copies "
               "that were saved elsewhere stay."), live=True, key="photograph-asked",
            controls=[ft.Row([parts.outline_button(tr("Take it away"), take_away, "photograph-yes"),
                              parts.outline_button(tr("Keep it"), lambda: ask(False), "photograph-no")],
                             wrap=True, spacing=2 * theme.GRID, run_spacing=2 * theme.GRID)]))
    body += _picture(held, said)
    if held.picture is not None:
        body.append(_noted(one, held.picture))
    today = app.today()
    return parts.page_view(
        ft.use_view_path(), _kicker(one, held, today), begun(said), body, back=above,
        dock=[parts.outline_button(tr("Take it away"), lambda: ask(True), "photograph-take", main=True, expand=True),
              parts.main_button(tr("Save a copy"), save_copy, "photograph-copy",
                                disabled=held.data is None or services.device is None)],
        dock_note=tr("A copy holds the picture alone: no place, no time, no camera."))


def _kicker(one: Photograph, held: _Held, today: dt.date) -> str:
    kept = day(dt.datetime.fromisoformat(one.at).date(), today)
    taken = "" if held.picture is None else held.picture.noted.taken
    if not taken:
        return tr("kept {day}, on this device only", day=kept)
    moment = dt.datetime.fromisoformat(taken)
    return tr("taken {day}, {time} · on this device only", day=day(moment.date(), today), time=clock_time(moment))


def _picture(held: _Held, said: str) -> list[ft.Control]:
    if held.wrong:
        return [parts.notice("refused", tr("This photograph can't be shown"), held.wrong, key="photograph-wrong")]
    if held.data is None or held.picture is None:
        return [ft.Container(parts.second(tr("Fetching it …")), height=240, alignment=ft.Alignment.CENTER)]
    page = ft.context.page
    # As high as the picture is at the width of the screen, and no higher than leaves the words below it in sight.
    wide, high = held.picture.width, held.picture.height
    if held.picture.noted.way_up > 4:  # EXIF: from 5 on it lies on its side
        wide, high = high, wide
    width = min((page.width or 390) - 2 * theme.MARGIN, 900)
    return [parts.large_picture(held.data, said, min(width * high / wide, max(240.0, (page.height or 844) - 430)))]


def _noted(one: Photograph, picture: Picture) -> ft.Control:
    """What it is, and whether the camera put the place into it."""
    placed = tr("The camera wrote into it where it was taken. A full copy of your data keeps that.")
    if not picture.noted.placed:
        placed = tr("No position was found in it.")
    return ft.Column([parts.second(tr("{wide} × {high} pixels, {size}", wide=picture.width, high=picture.height,
                                      size=size_words(one.size))),
                      parts.second(placed)], spacing=0)
