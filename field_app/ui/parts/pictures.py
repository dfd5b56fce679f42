"""Photographs: small ones in a row, each to be tapped, and one large."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any

import flet as ft

from field_app.ui import theme
from field_app.ui.guard import guarded
from field_app.ui.parts import text
from field_app.words import tr

__all__ = ["large_picture", "picture_button", "picture_row", "small_picture"]

#: The side of a small picture [px]; three of them fit beside each other on a narrow phone.
_SMALL = 96
#: Enough for a sharp one on a fine screen; a whole photograph would take fifty times the memory [px].
_DECODED = 3 * _SMALL


def picture_row(pictures: Sequence[ft.Control]) -> ft.Control:
    """Small pictures beside each other, in as many rows as it takes."""
    return ft.Row(list(pictures), wrap=True, spacing=2 * theme.GRID, run_spacing=2 * theme.GRID)


def picture_button(data: bytes | None, said: str, on_click: Callable[..., Any], key: str, *,
                   wrong: str = "") -> ft.Control:
    """A small picture to tap.

    data: its bytes, or None as long as they are being read; said: what a screen reader says of it;
    wrong: what is wrong with it, in place of the picture.
    """
    face: ft.Control
    if wrong:
        face = _lost(wrong, said)
    elif data is None:
        face = ft.Container(width=_SMALL, height=_SMALL, bgcolor=theme.SAND, alignment=ft.Alignment.CENTER,
                            content=ft.Icon(ft.Icons.PHOTO_OUTLINED, color=theme.BARK, size=28, semantics_label=said))
    else:
        face = _picture(data, said)
    style = ft.ButtonStyle(padding=0, bgcolor=theme.SAND, side=ft.BorderSide(1, theme.EDGE),
                           shape=ft.RoundedRectangleBorder(radius=12))
    return ft.Button(face, key=key, style=style, elevation=0, on_click=guarded(on_click),
                     clip_behavior=ft.ClipBehavior.ANTI_ALIAS)


def small_picture(data: bytes, said: str) -> ft.Control:
    """A small picture that is only looked at; said: what a screen reader says of it."""
    return ft.Container(_picture(data, said), border=ft.Border.all(1, theme.EDGE), border_radius=12,
                        clip_behavior=ft.ClipBehavior.ANTI_ALIAS)


def _picture(data: bytes, said: str) -> ft.Control:
    picture = ft.Image(src=data, width=_SMALL, height=_SMALL, fit=ft.BoxFit.COVER, cache_width=_DECODED,
                       semantics_label=said, gapless_playback=True, error_content=_lost(tr("can't be shown"), said))
    # On the web a picture's own words don't reach the button around it.
    return ft.Semantics(label=said, exclude_semantics=True, content=picture)


def _lost(wrong: str, said: str) -> ft.Control:
    return ft.Container(
        ft.Column([ft.Icon(ft.Icons.BROKEN_IMAGE_OUTLINED, color=theme.MADDER, size=28, semantics_label=said),
                   ft.Text(wrong, size=theme.SMALL, color=theme.MADDER, text_align=ft.TextAlign.CENTER)],
                  spacing=2, tight=True, alignment=ft.MainAxisAlignment.CENTER,
                  horizontal_alignment=ft.CrossAxisAlignment.CENTER),
        width=_SMALL, height=_SMALL, padding=theme.GRID, alignment=ft.Alignment.CENTER)


def large_picture(data: bytes, said: str, height: float) -> ft.Control:
    """One large, to be drawn nearer with two fingers; height: of the room for it [px]."""
    picture = ft.Image(src=data, fit=ft.BoxFit.CONTAIN, semantics_label=said, expand=True, gapless_playback=True,
                       error_content=text.body(tr("This device can't show it.")))
    return ft.Container(
        ft.InteractiveViewer(picture, min_scale=1, max_scale=8, clip_behavior=ft.ClipBehavior.HARD_EDGE),
        height=height, bgcolor=theme.SAND, border_radius=theme.RADIUS, clip_behavior=ft.ClipBehavior.ANTI_ALIAS,
        alignment=ft.Alignment.CENTER)
